//! What follows from the knife, renewed once a revision and never while painting. With a
//! [`Worker`] a frame waits but for a moment for what is slow: it goes on with what was worked out
//! last, which says so by [`Derived::is_behind`].

mod jobs;

use crate::figures::Lengths;
use crate::ghost::GhostFigures;
use crate::shaded::{Light, ShadeRequest, Shaded, Surface, Tones, lit};
use crate::state::{Ghost, Plane};
use crate::worker::{Wanted, Worker};
use drawing::views;
use jobs::{Done, Figures, FiguresJob, Pages, PagesJob, Pictures};
use knife::Knife;
use marks::Drawing;
use paper::PaperError;
use reckon::tables::Tables;
use reckon::{Group, Reckoning, ReliefFigures, ReliefOptions, Section, Shop, reckon};
use sheets::PrintRequest;
use sheets::sharing::PaperLayout;
use std::sync::Arc;
use std::time::Duration;

/// What follows from one revision of the knife.
pub struct Derived {
    /// The knife from which all of it follows, and its revision; none before the first.
    knife: Arc<Knife>,
    revision: Option<u64>,
    /// For which revision it was asked last.
    asked: Option<u64>,
    /// The plane in which pictures are to be.
    plane: Plane,
    /// The one in which they were made.
    pictured: Option<Plane>,
    count: u64,
    /// Everything worked out.
    pub reckoning: Arc<Reckoning>,
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
    section_of: Option<(Option<u64>, f64)>,
    /// Every figure with its name.
    pub readings: Vec<Group>,
    /// Every sheet's key and title, in the order of the work, once looked at.
    pub sheets: Vec<(&'static str, String)>,
    /// The pages of the Paper station, once looked at; for which revision and wish they were asked
    /// for last.
    pages: Option<Pages>,
    pages_asked: Option<(Option<u64>, PrintRequest)>,
    /// The finished knife in light from the side, for which revision and wish.
    shaded: Option<(Option<u64>, ShadeRequest, Shaded)>,
    /// The shop that all of it goes by.
    shop: Arc<Shop>,
    /// What follows from another knife shown under this one.
    pub(crate) ghost: GhostFigures,
    /// A row of relief holes as asked for, and for which revision.
    relief: Option<(Option<u64>, ReliefOptions, ReliefFigures)>,
    /// What is asked for in an earlier one is no longer wanted.
    epoch: u64,
    /// Works out what can be slow; without it a frame does.
    worker: Option<Worker<Done>>,
}

impl Derived {
    /// Nothing yet.
    pub fn new() -> Self {
        let knife = Knife::empty();
        Self {
            revision: None,
            asked: None,
            plane: Plane::default(),
            pictured: None,
            drawing: Drawing::new(),
            chain: Drawing::new(),
            sheath: Drawing::new(),
            on_edge: Drawing::new(),
            count: 0,
            reckoning: Arc::new(reckon(&knife, &Shop::default(), Tables::built_in())),
            knife: Arc::new(knife),
            lengths: None,
            comb: None,
            comb_radii: Vec::new(),
            section: None,
            section_drawing: Drawing::new(),
            section_of: None,
            readings: Vec::new(),
            sheets: Vec::new(),
            shop: Arc::default(),
            ghost: GhostFigures::default(),
            relief: None,
            pages: None,
            pages_asked: None,
            shaded: None,
            epoch: 0,
            worker: None,
        }
    }

    /// How often anything was worked out: an idle desk leaves it alone.
    pub fn count(&self) -> u64 {
        self.count
    }

    /// From now on a thread works out what can be slow; a frame waits for it as long as `patience`,
    /// and `wake` is called when something comes later.
    pub fn work_in_background(&mut self, patience: Duration, wake: impl Fn() + Send + 'static) {
        self.worker = Worker::start(patience, wake);
    }

    /// Whether the figures follow from an earlier revision than the one asked for.
    pub fn is_behind(&self) -> bool {
        self.asked.is_some() && self.asked != self.revision
    }

    /// Whether the pages are those of an earlier revision or wish than was asked for.
    pub fn are_pages_behind(&self) -> bool {
        let made = self.pages.as_ref().map(|pages| (Some(pages.revision), &pages.request));
        let asked = self.pages_asked.as_ref().map(|(revision, request)| (*revision, request));
        asked.is_some() && asked != made
    }

    /// Whether it stays so: what was asked for came to nothing.
    pub fn has_failed(&self) -> bool {
        let is_behind = self.is_behind() || self.are_pages_behind();
        is_behind && self.worker.as_ref().is_none_or(|worker| !worker.is_busy())
    }

    /// Waits until nothing that was asked for is behind, if it ever comes.
    pub fn finish(&mut self) {
        if let Some(worker) = &self.worker {
            worker.finish();
            let done = worker.take();
            self.accept(done);
        }
    }

    /// Works everything out anew if the knife has moved on, and its pictures if it is to be seen
    /// in another plane.
    pub fn refresh(&mut self, knife: &Arc<Knife>, revision: u64, plane: Plane) {
        self.plane = plane;
        let done = self.worker.as_ref().and_then(Worker::take);
        self.accept(done);
        if let Some(job) = self.job_for(knife, revision) {
            let done = match &self.worker {
                None => figures(job, &|| true),
                Some(worker) => worker.ask_and_wait(move |wanted| figures(job, wanted)),
            };
            self.accept(done);
        }
        if self.pictured != Some(plane) && self.revision.is_some() {
            self.count += 1;
            self.take_pictures(plane, Pictures::of(&self.knife, &self.reckoning, plane));
        }
    }

    /// Has what follows from the knife worked out while the frame is painted: it is there for the
    /// next one.
    pub(crate) fn refresh_ahead(&mut self, knife: &Arc<Knife>, revision: u64) {
        if self.worker.is_none() {
            return;
        }
        let job = self.job_for(knife, revision);
        if let Some((job, worker)) = job.zip(self.worker.as_ref()) {
            worker.ask(move |wanted| figures(job, wanted));
        }
    }

    /// What is to be worked out for a revision that was not asked for yet.
    fn job_for(&mut self, knife: &Arc<Knife>, revision: u64) -> Option<FiguresJob> {
        if self.asked == Some(revision) {
            return None;
        }
        self.asked = Some(revision);
        if self.are_pages_behind() {
            // They may never come now, and are asked for again by whoever looks at them.
            self.pages_asked = None;
        }
        let (knife, shop) = (Arc::clone(knife), Arc::clone(&self.shop));
        Some(FiguresJob { epoch: self.epoch, knife, revision, plane: self.plane, shop })
    }

    /// Takes over what was worked out, if it is still wanted.
    fn accept(&mut self, done: Option<Done>) {
        match done {
            Some(Done::Figures(figures)) if figures.job.epoch == self.epoch => {
                let Figures { job, reckoning, readings, pictures } = *figures;
                self.count += 1;
                (self.knife, self.revision) = (job.knife, Some(job.revision));
                (self.reckoning, self.readings) = (reckoning, readings);
                self.lengths = None;
                self.take_pictures(job.plane, pictures);
            }
            Some(Done::Pages(pages)) if pages.epoch == self.epoch => {
                self.count += 1;
                self.sheets.clone_from(&pages.sheets);
                self.pages = Some(*pages);
            }
            _ => {}
        }
    }

    /// The plane in which the pictures are.
    pub fn plane(&self) -> Plane {
        self.plane
    }

    fn take_pictures(&mut self, plane: Plane, pictures: Pictures) {
        self.pictured = Some(plane);
        let Pictures { drawing, chain, sheath, on_edge } = pictures;
        (self.drawing, self.chain) = (drawing, chain);
        (self.sheath, self.on_edge) = (sheath, on_edge);
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
        self.shop = Arc::new(shop);
        self.ask_anew();
    }

    /// Lays a row of relief holes, once a revision and wish.
    pub fn refresh_relief(&mut self, ask: &ReliefOptions) {
        let revision = self.revision;
        let known =
            |(at, asked, _): &(Option<u64>, ReliefOptions, _)| *at == revision && asked == ask;
        if self.relief.as_ref().is_some_and(known) {
            return;
        }
        self.count += 1;
        self.relief = self.reckoning.outline.as_ref().map(|outline| {
            let row = reckon::relief_row(&self.knife, outline, ask, Tables::built_in());
            (revision, ask.clone(), row)
        });
    }

    /// The row of relief holes, if one was laid.
    pub fn relief(&self) -> Option<&ReliefFigures> {
        self.relief.as_ref().map(|(_, _, row)| row)
    }

    /// Compares another knife with this one, once a revision.
    pub(crate) fn refresh_ghost(&mut self, ghost: Option<&Ghost>) {
        let this = (&*self.knife, &*self.reckoning);
        self.ghost.refresh(this, self.revision, ghost, &self.shop);
    }

    /// Draws the comb, once a revision.
    pub fn refresh_comb(&mut self) {
        if let (None, Some(outline)) = (&self.comb, &self.reckoning.outline) {
            self.count += 1;
            let comb = views::comb(outline, &views::Comb::default());
            self.comb_radii = views::comb_radii(outline, &views::Comb::default());
            self.comb = Some(comb.moved(self.plane.plane_from_knife(&self.knife)));
        }
    }

    /// Cuts the knife anew if it has moved on, or is to be cut elsewhere. Without a place, past
    /// the middle of the blade.
    pub fn refresh_section(&mut self, x_mm: Option<f64>) {
        let Some(x_mm) = x_mm.or_else(|| self.usual_section()) else { return };
        if self.section_of == Some((self.revision, x_mm)) {
            return;
        }
        self.section_of = Some((self.revision, x_mm));
        self.count += 1;
        self.section = reckon::section_at(&self.knife, &self.reckoning, x_mm);
        self.section_drawing = self.section.as_ref().map(views::section).unwrap_or_default();
    }

    /// Where the cross-section is, x of the knife, mm.
    pub fn section_mm(&self) -> Option<f64> {
        self.section_of.map(|(_, x_mm)| x_mm)
    }

    /// Lights the finished knife from the side if it has moved on, or another part of it is seen;
    /// lets go of the picture when none is wanted.
    pub(crate) fn refresh_shaded(&mut self, request: Option<&ShadeRequest>) {
        let revision = self.revision;
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
            && was.looks_like(request)
            && (shaded.patch == patch || request.will_do(&shaded.patch, outline.bounds()))
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

    fn usual_section(&self) -> Option<f64> {
        let profile = self.reckoning.profile.as_ref()?;
        let tip = if profile.towards_butt > 0.0 { profile.bounds.x0 } else { profile.bounds.x1 };
        let bevel = self.knife.bevel;
        let plunge = bevel.map_or(profile.bounds.center().x, |bevel| bevel.plunge_x_mm);
        Some(tip + (plunge - tip) * 0.6)
    }

    /// Lays the pages out anew if the knife, or what is wanted of it, has changed; not before its
    /// figures are known.
    pub fn refresh_pages(&mut self, request: &PrintRequest) {
        let known = |(revision, asked): &(Option<u64>, PrintRequest)| {
            *revision == self.revision && asked == request
        };
        let Some(revision) = self.revision.filter(|_| !self.is_behind()) else { return };
        if self.pages_asked.as_ref().is_some_and(known) {
            return;
        }
        self.pages_asked = Some((Some(revision), request.clone()));
        let job = PagesJob {
            epoch: self.epoch,
            knife: Arc::clone(&self.knife),
            revision,
            reckoning: Arc::clone(&self.reckoning),
            shop: Arc::clone(&self.shop),
            request: request.clone(),
        };
        let done = match &self.worker {
            None => Some(Done::Pages(Box::new(job.run()))),
            Some(worker) => worker.ask_and_wait(move |_| Some(Done::Pages(Box::new(job.run())))),
        };
        self.accept(done);
    }

    /// The sheets on their pages, if they were laid out.
    pub fn pages(&self) -> Option<&Result<PaperLayout, PaperError>> {
        self.pages.as_ref().map(|pages| &pages.layout)
    }

    /// Everything is worked out anew; until then the old stands.
    fn ask_anew(&mut self) {
        self.epoch += 1;
        self.asked = None;
        self.revision = None;
        self.section_of = None;
        self.relief = None;
        self.pages_asked = None;
        self.shaded = None;
        self.ghost = GhostFigures::default();
    }

    /// Forgets all of it, after another knife was opened.
    pub fn forget(&mut self) {
        let (shop, worker) = (Arc::clone(&self.shop), self.worker.take());
        let (epoch, count, plane) = (self.epoch + 1, self.count, self.plane);
        *self = Self { shop, worker, epoch, count, plane, ..Self::new() };
    }
}

fn figures(job: FiguresJob, wanted: Wanted<'_>) -> Option<Done> {
    job.run(wanted).map(|figures| Done::Figures(Box::new(figures)))
}

impl Default for Derived {
    fn default() -> Self {
        Self::new()
    }
}
