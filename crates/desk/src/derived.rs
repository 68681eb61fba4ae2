//! What follows from the knife, renewed once a revision and never while painting.

use crate::printing;
use drawing::{Drawing, views};
use knife::Knife;
use paper::{Page, PaperError};
use reckon::tables::Tables;
use reckon::{Group, Reckoning, Shop, reckon};

/// What follows from one revision of the knife.
pub struct Derived {
    revision: Option<u64>,
    count: u64,
    /// Everything worked out.
    pub reckoning: Reckoning,
    /// The blank on its bar, in the bar's plane.
    pub drawing: Drawing,
    /// The chain of holes and the saw cuts, in the bar's plane.
    pub chain: Drawing,
    /// The knife seen on edge: the bar's x, and the distance from the centre plane.
    pub on_edge: Drawing,
    /// The curvature comb in the bar's plane, when it is shown.
    pub comb: Option<Drawing>,
    /// Every figure with its name.
    pub readings: Vec<Group>,
    /// The pages of the Paper station and the paper they are for, once looked at.
    pages: Option<(u64, String, Result<Vec<Page>, PaperError>)>,
}

impl Derived {
    /// Nothing yet.
    pub fn new() -> Self {
        let knife = Knife::empty();
        Self {
            revision: None,
            count: 0,
            reckoning: reckon(&knife, &Shop::default(), Tables::built_in()),
            drawing: Drawing::new(),
            chain: Drawing::new(),
            on_edge: Drawing::new(),
            comb: None,
            readings: Vec::new(),
            pages: None,
        }
    }

    /// How often anything was worked out: an idle desk leaves it alone.
    pub fn count(&self) -> u64 {
        self.count
    }

    /// Works everything out anew if the knife has moved on.
    pub fn renew(&mut self, knife: &Knife, revision: u64) {
        if self.revision == Some(revision) {
            return;
        }
        self.revision = Some(revision);
        self.count += 1;
        self.reckoning = reckon(knife, &Shop::default(), Tables::built_in());
        self.drawing = views::blank_on_bar(knife, &self.reckoning, views::Extent::Whole);
        let whole = (0.0, knife.bar.length_mm);
        let chain = self.reckoning.chain.as_ref();
        self.chain = chain.map_or_else(Drawing::new, |chain| views::chain_marks(chain, whole));
        self.on_edge = views::edge_on(knife, &self.reckoning);
        self.comb = None;
        self.readings = reckon::readings(knife, &self.reckoning);
    }

    /// Draws the comb, once a revision.
    pub fn renew_comb(&mut self, knife: &Knife) {
        if let (None, Some(outline)) = (&self.comb, &self.reckoning.outline) {
            self.count += 1;
            let bar_from_knife = knife.bar.placement.bar_from_knife();
            let comb = views::comb(outline, &views::Comb::default());
            self.comb = Some(comb.moved(bar_from_knife));
        }
    }

    /// Lays the pages out anew if knife or paper have changed.
    pub fn renew_pages(&mut self, knife: &Knife, revision: u64, paper: &str) {
        let known = |(at, name, _): &(u64, String, _)| *at == revision && name == paper;
        if self.pages.as_ref().is_some_and(known) {
            return;
        }
        self.count += 1;
        let pages = printing::pages(knife, &printing::sheets(knife, &self.reckoning), paper, None);
        self.pages = Some((revision, paper.to_owned(), pages));
    }

    /// The pages, if they were laid out.
    pub fn pages(&self) -> Option<&Result<Vec<Page>, PaperError>> {
        self.pages.as_ref().map(|(_, _, pages)| pages)
    }

    /// Forgets which revision this is, after another knife was opened.
    pub fn forget(&mut self) {
        self.revision = None;
        self.pages = None;
    }
}

impl Default for Derived {
    fn default() -> Self {
        Self::new()
    }
}
