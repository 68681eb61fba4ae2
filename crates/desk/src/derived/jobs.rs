//! What a thread of its own works out for the desk: the figures of one revision, and its pages.

use crate::state::Plane;
use crate::worker::Wanted;
use drawing::views;
use knife::Knife;
use marks::Drawing;
use paper::PaperError;
use reckon::tables::Tables;
use reckon::{Group, Reckoning, Shop, reckon_while};
use sheets::sharing::{self, PaperLayout};
use sheets::{PrintRequest, printing};
use std::sync::Arc;

/// What a job leaves.
pub(super) enum Done {
    Figures(Box<Figures>),
    Pages(Box<Pages>),
}

/// From what figures are worked out.
pub(super) struct FiguresJob {
    pub(super) epoch: u64,
    pub(super) knife: Arc<Knife>,
    pub(super) revision: u64,
    pub(super) plane: Plane,
    pub(super) shop: Arc<Shop>,
}

/// Everything that follows from one revision of the knife.
pub(super) struct Figures {
    pub(super) job: FiguresJob,
    pub(super) reckoning: Arc<Reckoning>,
    pub(super) readings: Vec<Group>,
    pub(super) pictures: Pictures,
}

impl FiguresJob {
    pub(super) fn run(self, wanted: Wanted<'_>) -> Option<Figures> {
        let reckoning = reckon_while(&self.knife, &self.shop, Tables::built_in(), wanted)?;
        let readings = reckon::readings(&self.knife, &reckoning);
        let pictures = Pictures::of(&self.knife, &reckoning, self.plane);
        Some(Figures { reckoning: Arc::new(reckoning), readings, pictures, job: self })
    }
}

/// What the canvas shows, in its plane.
pub(super) struct Pictures {
    pub(super) drawing: Drawing,
    pub(super) chain: Drawing,
    pub(super) sheath: Drawing,
    pub(super) on_edge: Drawing,
}

impl Pictures {
    pub(super) fn of(knife: &Knife, reckoning: &Reckoning, plane: Plane) -> Self {
        let plane_from_bar = plane.plane_from_bar(knife);
        let on_bar = views::blank_on_bar(knife, reckoning, views::Extent::Whole);
        let whole = (0.0, knife.bar.length_mm);
        let chain = reckoning.chain.as_ref();
        let chain = chain.map_or_else(Drawing::new, |chain| views::chain_marks(chain, whole));
        Self {
            drawing: on_bar.moved(plane_from_bar),
            chain: chain.moved(plane_from_bar),
            sheath: views::sheath_on_knife(reckoning).moved(plane.plane_from_knife(knife)),
            on_edge: match plane {
                Plane::Bar => views::edge_on(knife, reckoning),
                Plane::Knife => views::edge_on_level(knife, reckoning),
            },
        }
    }
}

/// From what pages are laid out.
pub(super) struct PagesJob {
    pub(super) epoch: u64,
    pub(super) knife: Arc<Knife>,
    pub(super) revision: u64,
    pub(super) reckoning: Arc<Reckoning>,
    pub(super) shop: Arc<Shop>,
    pub(super) request: PrintRequest,
}

/// Sheets on their pages, for one revision and one wish.
pub(super) struct Pages {
    pub(super) epoch: u64,
    pub(super) revision: u64,
    pub(super) request: PrintRequest,
    /// Every sheet's key and title, in the order of the work.
    pub(super) sheets: Vec<(&'static str, String)>,
    pub(super) layout: Result<PaperLayout, PaperError>,
}

impl PagesJob {
    /// No pages come of no sheets.
    pub(super) fn run(self) -> Pages {
        let Self { epoch, knife, revision, reckoning, shop, request } = self;
        let mut all = printing::sheets(&knife, &reckoning);
        let sheets = all.iter().map(|sheet| (sheet.key, sheet.title.clone())).collect();
        all.retain(|sheet| !request.excluded.contains(sheet.key));
        if let Some(size) = request.hand {
            printing::add_hand(&mut all, size, &knife, &reckoning);
        }
        let keys: Vec<&str> = all.iter().map(|sheet| sheet.key).collect();
        let sharing = request.sharing.among(&keys);
        sharing.order(&mut all);
        let layout = if all.is_empty() {
            Ok(PaperLayout::default())
        } else {
            printing::setup_for(&knife.name, &request, &shop)
                .map(|setup| printing::for_knife(setup, &knife))
                .and_then(|setup| sharing::lay_out(all, &sharing, &setup, &mut |_, _, _| ()))
        };
        Pages { epoch, revision, request, sheets, layout }
    }
}
