//! What follows from the knife, renewed once a revision and never while painting.

use crate::figures::Lengths;
use crate::ghost::GhostFigures;
use crate::shaded::{Light, ShadeRequest, Shaded, Surface, Tones, lit};
use crate::state::{Ghost, Plane};
use drawing::views;
use knife::Knife;
use marks::Drawing;
use paper::PaperError;
use reckon::tables::Tables;
use reckon::{Group, Reckoning, ReliefFigures, ReliefOptions, Section, Shop, reckon};
use sheets::sharing::{self, PaperLayout};
use sheets::{PrintRequest, printing};
use std::sync::Arc;

/// What follows from one revision of the knife.
pub struct Derived {
    revision: Option<u64>,
    /// The plane in which pictures are made, and the one they were made in.
    plane: Plane,
    pictured: Option<Plane>,
    count: u64,
    /// Everything worked out.
    pub reckoning: Reckoning,
    /// The blank on its bar, in the plane of the canvas.
    pub drawing: Drawing,
    /// The chain of holes and the saw cuts, in the plane of the canvas.
    pub chain: Drawing,
    /// The closed sheath round the knife, in the plane of the canvas.
    pub sheath: Drawing,
    /// The knife seen on edge: the canvas's x, and the distance from the centre plane.
    pub on_edge: Drawing,
    /// Lengths along the outline, once they are asked for.
    pub lengths: Option<Lengths>,
    /// The curvature comb in the plane of the canvas, when it is shown.
    pub comb: Option<Drawing>,
    /// Radii to be read on the comb: where, which way its tooth points, mm.
    pub(crate) comb_radii: Vec<(kurbo::Point, kurbo::Vec2, f64)>,
    /// The cross-section that is shown; `None` where there is no steel.
    pub section: Option<Section>,
    /// Its picture: the distance from the centre plane, and the knife's height.
    pub section_drawing: Drawing,
    /// For which revision and where it was cut.
    section_of: Option<(u64, f64)>,
    /// Every figure with its name.
    pub readings: Vec<Group>,
    /// Every sheet's key and title, in the order of the work, once looked at.
    pub sheets: Vec<(&'static str, String)>,
    /// The pages of the Paper station and what they are for, once looked at.
    pages: Option<(u64, PrintRequest, Result<PaperLayout, PaperError>)>,
    /// The finished knife in light from the side, for which revision and wish.
    shaded: Option<(u64, ShadeRequest, Shaded)>,
    /// The shop that all of it goes by.
    shop: Shop,
    /// What follows from another knife shown under this one.
    pub(crate) ghost: GhostFigures,
    /// A row of relief holes as asked for, and for which revision.
    relief: Option<(u64, ReliefOptions, ReliefFigures)>,
}

impl Derived {
    /// Nothing yet.
    pub fn new() -> Self {
        let knife = Knife::empty();
        Self {
            revision: None,
            plane: Plane::default(),
            pictured: None,
            count: 0,
            reckoning: reckon(&knife, &Shop::default(), Tables::built_in()),
            drawing: Drawing::new(),
            chain: Drawing::new(),
            sheath: Drawing::new(),
            on_edge: Drawing::new(),
            lengths: None,
            comb: None,
            comb_radii: Vec::new(),
            section: None,
            section_drawing: Drawing::new(),
            section_of: None,
            readings: Vec::new(),
            sheets: Vec::new(),
            shop: Shop::default(),
            ghost: GhostFigures::default(),
            relief: None,
            pages: None,
            shaded: None,
        }
    }

    /// How often anything was worked out: an idle desk leaves it alone.
    pub fn count(&self) -> u64 {
        self.count
    }

    /// Works everything out anew if the knife has moved on, and its pictures if it is to be seen
    /// in another plane.
    pub fn refresh(&mut self, knife: &Knife, revision: u64, plane: Plane) {
        self.plane = plane;
        if self.revision != Some(revision) {
            self.revision = Some(revision);
            self.pictured = None;
            self.reckoning = reckon(knife, &self.shop, Tables::built_in());
            self.lengths = None;
            self.readings = reckon::readings(knife, &self.reckoning);
        }
        if self.pictured != Some(plane) {
            self.pictured = Some(plane);
            self.count += 1;
            self.picture(knife);
        }
    }

    /// The plane in which the pictures are.
    pub fn plane(&self) -> Plane {
        self.plane
    }

    /// Draws what the canvas shows.
    fn picture(&mut self, knife: &Knife) {
        let plane_from_bar = self.plane.plane_from_bar(knife);
        let on_bar = views::blank_on_bar(knife, &self.reckoning, views::Extent::Whole);
        self.drawing = on_bar.moved(plane_from_bar);
        let whole = (0.0, knife.bar.length_mm);
        let chain = self.reckoning.chain.as_ref();
        let chain = chain.map_or_else(Drawing::new, |chain| views::chain_marks(chain, whole));
        self.chain = chain.moved(plane_from_bar);
        let plane_from_knife = self.plane.plane_from_knife(knife);
        self.sheath = views::sheath_on_knife(&self.reckoning).moved(plane_from_knife);
        self.on_edge = match self.plane {
            Plane::Bar => views::edge_on(knife, &self.reckoning),
            Plane::Knife => views::edge_on_level(knife, &self.reckoning),
        };
        self.comb = None;
    }

    /// Measures along the outline, once a revision.
    pub fn refresh_lengths(&mut self) {
        if let (None, Some(outline)) = (&self.lengths, &self.reckoning.outline) {
            self.count += 1;
            self.lengths = Some(Lengths::of(outline));
        }
    }

    /// The shop that everything goes by.
    pub fn shop(&self) -> &Shop {
        &self.shop
    }

    /// Takes another shop; everything is worked out anew.
    pub fn set_shop(&mut self, shop: Shop) {
        self.shop = shop;
        self.forget();
    }

    /// Lays a row of relief holes, once a revision and wish.
    pub fn refresh_relief(&mut self, knife: &Knife, revision: u64, ask: &ReliefOptions) {
        let known = |(at, asked, _): &(u64, ReliefOptions, _)| *at == revision && asked == ask;
        if self.relief.as_ref().is_some_and(known) {
            return;
        }
        self.count += 1;
        self.relief = self.reckoning.outline.as_ref().map(|outline| {
            (revision, ask.clone(), reckon::relief_row(knife, outline, ask, Tables::built_in()))
        });
    }

    /// The row of relief holes, if one was laid.
    pub fn relief(&self) -> Option<&ReliefFigures> {
        self.relief.as_ref().map(|(_, _, row)| row)
    }

    /// Holds another knife against this one, once a revision.
    pub(crate) fn refresh_ghost(&mut self, knife: &Knife, revision: u64, ghost: Option<&Ghost>) {
        self.ghost.refresh((knife, &self.reckoning), revision, ghost, &self.shop);
    }

    /// Draws the comb, once a revision.
    pub fn refresh_comb(&mut self, knife: &Knife) {
        if let (None, Some(outline)) = (&self.comb, &self.reckoning.outline) {
            self.count += 1;
            let comb = views::comb(outline, &views::Comb::default());
            self.comb_radii = views::comb_radii(outline, &views::Comb::default());
            self.comb = Some(comb.moved(self.plane.plane_from_knife(knife)));
        }
    }

    /// Cuts the knife anew if it has moved on, or is to be cut elsewhere. Without a place, past
    /// the middle of the blade.
    pub fn refresh_section(&mut self, knife: &Knife, revision: u64, x_mm: Option<f64>) {
        let Some(x_mm) = x_mm.or_else(|| self.usual_section(knife)) else { return };
        if self.section_of == Some((revision, x_mm)) {
            return;
        }
        self.section_of = Some((revision, x_mm));
        self.count += 1;
        self.section = reckon::section_at(knife, &self.reckoning, x_mm);
        self.section_drawing = self.section.as_ref().map(views::section).unwrap_or_default();
    }

    /// Where the cross-section is, x of the knife, mm.
    pub fn section_mm(&self) -> Option<f64> {
        self.section_of.map(|(_, x_mm)| x_mm)
    }

    /// Lights the finished knife from the side if it has moved on, or another part of it is seen;
    /// lets go of the picture when none is wanted.
    pub(crate) fn refresh_shaded(&mut self, revision: u64, request: Option<&ShadeRequest>) {
        let reckoning = &self.reckoning;
        let parts = reckoning.field.as_deref().zip(reckoning.outline.as_ref());
        let parts = parts.zip(reckoning.profile.as_ref()).zip(request);
        let Some((((field, outline), profile), request)) = parts else {
            self.shaded = None;
            return;
        };
        let patch = request.patch(outline.bounds());
        if let Some((at, was, shaded)) = &mut self.shaded
            && *at == revision
            && shaded.patch == patch
            && was.looks_like(request)
        {
            *was = *request;
            return;
        }
        self.count += 1;
        let left = (profile.towards_butt > 0.0) != profile.edge_is_up;
        let surface = Surface { field, outline, left };
        let light = Light::over(outline.bounds()).turned(request.knife_from_screen);
        let image = Arc::new(lit(&surface, &patch, &light, &Tones::of(request.tones)));
        self.shaded = Some((revision, *request, Shaded { image, patch }));
    }

    /// The finished knife in light from the side, if it was lit.
    pub fn shaded(&self) -> Option<&Shaded> {
        self.shaded.as_ref().map(|(_, _, shaded)| shaded)
    }

    /// For which wish it was lit.
    pub(crate) fn shaded_for(&self) -> Option<&ShadeRequest> {
        self.shaded.as_ref().map(|(_, request, _)| request)
    }

    fn usual_section(&self, knife: &Knife) -> Option<f64> {
        let profile = self.reckoning.profile.as_ref()?;
        let tip = if profile.towards_butt > 0.0 { profile.bounds.x0 } else { profile.bounds.x1 };
        let plunge = knife.bevel.map_or(profile.bounds.center().x, |bevel| bevel.plunge_x_mm);
        Some(tip + (plunge - tip) * 0.6)
    }

    /// Lays the pages out anew if the knife, or what is wanted of it, has changed. No pages
    /// come of no sheets.
    pub fn refresh_pages(&mut self, knife: &Knife, revision: u64, request: &PrintRequest) {
        let known = |(at, then, _): &(u64, PrintRequest, _)| *at == revision && then == request;
        if self.pages.as_ref().is_some_and(known) {
            return;
        }
        self.count += 1;
        let mut sheets = printing::sheets(knife, &self.reckoning);
        self.sheets = sheets.iter().map(|sheet| (sheet.key, sheet.title.clone())).collect();
        sheets.retain(|sheet| !request.excluded.contains(sheet.key));
        if let Some(size) = request.hand {
            printing::add_hand(&mut sheets, size, knife, &self.reckoning);
        }
        let keys: Vec<&str> = sheets.iter().map(|sheet| sheet.key).collect();
        let sharing = request.sharing.among(&keys);
        sharing.order(&mut sheets);
        let pages = if sheets.is_empty() {
            Ok(PaperLayout::default())
        } else {
            printing::setup_for(&knife.name, request, &self.shop)
                .map(|setup| printing::for_knife(setup, knife))
                .and_then(|setup| sharing::lay_out(sheets, &sharing, &setup, &mut |_, _, _| ()))
        };
        self.pages = Some((revision, request.clone(), pages));
    }

    /// The sheets on their pages, if they were laid out.
    pub fn pages(&self) -> Option<&Result<PaperLayout, PaperError>> {
        self.pages.as_ref().map(|(_, _, pages)| pages)
    }

    /// Forgets which revision this is, after another knife was opened.
    pub fn forget(&mut self) {
        self.revision = None;
        self.section = None;
        self.section_of = None;
        self.section_drawing = Drawing::new();
        self.relief = None;
        self.ghost = GhostFigures::default();
        self.pages = None;
        self.shaded = None;
    }
}

impl Default for Derived {
    fn default() -> Self {
        Self::new()
    }
}
