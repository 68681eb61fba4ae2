//! A picture that is being traced: what was chosen, and what a thread of its own found.

use crate::stamp::sum;
use kurbo::{Affine, Point, Size};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use trace::{
    Contours, ExtractOptions, FitOptions, Gray, Picture, Progress, SquaredUp, Squaring, TraceError,
    Traced,
};

/// How the picture is squared up, as chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SquaringChoice {
    /// Whatever is found.
    Auto,
    /// The tracing mat.
    Mat,
    /// A sheet whose corners may be dragged.
    Sheet,
    /// Two points and their distance.
    Points,
    /// A scan density.
    Density,
}

/// What is used of a traced picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UseOf {
    /// Its outline, in place of the one that is open; the picture lies under it if it is kept.
    Outline,
    /// The picture alone, under the outline that is open.
    Picture,
}

/// What the thread found.
#[derive(Clone, Debug)]
struct Found {
    picture: Arc<Picture>,
    squared: Result<SquaredUp, TraceError>,
    contours: Result<Contours, TraceError>,
}

type Slot = Arc<Mutex<Option<Result<Found, TraceError>>>>;

/// A thread at work: what it will leave, and how far it is.
#[derive(Clone, Debug)]
struct Work {
    slot: Slot,
    progress: Arc<Progress>,
}

/// A picture that is being traced.
#[derive(Clone, Debug)]
pub struct Tracing {
    /// The picture's file, from the root on.
    pub(crate) path: PathBuf,
    /// A sum of its bytes.
    pub(crate) sum: u64,
    /// The name that the blank gets.
    pub(crate) name: String,
    /// How it is squared up.
    pub(crate) squaring: SquaringChoice,
    /// The sheet's sides, mm.
    pub(crate) sheet: Size,
    /// The sheet's corners as dragged, px: top left, top right, bottom right, bottom left.
    pub(crate) corners: Option<[Point; 4]>,
    /// The two points as dragged, px.
    pub(crate) points: Option<[Point; 2]>,
    /// Their distance as typed, mm.
    pub(crate) distance_mm: Option<f64>,
    /// The corner or point that the arrow keys move.
    pub(crate) selected: Option<usize>,
    /// The scan's density, dots to the inch.
    pub(crate) dpi: f64,
    /// What is looked for.
    pub(crate) extract: ExtractOptions,
    /// How the outline is laid.
    pub(crate) fit: FitOptions,
    /// Whether the picture is to lie under its outline.
    pub(crate) keeps_picture: bool,
    /// The picture, once it is decoded.
    pub(crate) picture: Option<Arc<Picture>>,
    /// The picture as the graphics driver has it.
    pub(crate) texture: PictureTexture,
    /// How it was squared up.
    pub(crate) squared: Option<SquaredUp>,
    contours: Option<Contours>,
    /// The outline proposed, or why there is none.
    pub(crate) traced: Option<Result<Traced, TraceError>>,
    work: Option<Work>,
}

/// A picture as the graphics driver has it, once it was shown.
#[derive(Clone, Default)]
pub(crate) struct PictureTexture(pub(crate) Option<egui::TextureHandle>);

impl std::fmt::Debug for PictureTexture {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "PictureTexture({})", self.0.is_some())
    }
}

impl Tracing {
    /// Begins with a file's bytes; `wake` is called when the thread is done.
    pub(crate) fn begin(path: &Path, bytes: Vec<u8>, wake: impl Fn() + Send + 'static) -> Self {
        let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let mut new = Self {
            path: path.to_owned(),
            sum: sum(&bytes),
            name,
            squaring: SquaringChoice::Auto,
            sheet: Size::new(215.9, 279.4),
            corners: None,
            points: None,
            distance_mm: None,
            selected: None,
            dpi: 300.0,
            extract: ExtractOptions::default(),
            fit: FitOptions::default(),
            keeps_picture: true,
            picture: None,
            texture: PictureTexture::default(),
            squared: None,
            contours: None,
            traced: None,
            work: None,
        };
        let extract = new.extract.clone();
        let work = move |progress: &Progress| {
            let picture = Arc::new(trace::decode_to_show(&bytes)?);
            drop(bytes);
            Ok(find(picture, &Squaring::Auto, &extract, progress))
        };
        new.start(work, wake);
        new
    }

    /// How far the thread at work is, 0 to 1; `None` when there is none.
    pub(crate) fn progress(&self) -> Option<f32> {
        self.work.as_ref().map(|work| work.progress.share())
    }

    /// Lets the thread at work come to its end unheard.
    pub(crate) fn stop(&mut self) {
        if let Some(work) = self.work.take() {
            work.progress.cancel();
        }
    }

    fn start(
        &mut self,
        work: impl FnOnce(&Progress) -> Result<Found, TraceError> + Send + 'static,
        wake: impl Fn() + Send + 'static,
    ) {
        self.stop();
        let (slot, progress) = (Slot::default(), Arc::new(Progress::default()));
        let (theirs, watch) = (Arc::clone(&slot), Arc::clone(&progress));
        let thread = std::thread::Builder::new().name("tracing".to_owned()).spawn(move || {
            let found = work(&watch);
            // Whoever asked may have closed the dialog; then nobody looks.
            if let Ok(mut slot) = theirs.lock() {
                *slot = Some(found);
            }
            wake();
        });
        if thread.is_ok() {
            self.work = Some(Work { slot, progress });
        }
    }

    /// Traces the picture again, squared up as chosen now. Two points without a distance wait for
    /// it.
    pub(crate) fn again(&mut self, wake: impl Fn() + Send + 'static) {
        let Some(picture) = self.picture.clone() else { return };
        let squaring = match self.squaring {
            SquaringChoice::Auto => Squaring::Auto,
            SquaringChoice::Mat => Squaring::Mat,
            SquaringChoice::Sheet => {
                Squaring::Rectangle { size: self.sheet, corners: self.corners }
            }
            SquaringChoice::Points => {
                let [from, to] = self.points_or_usual(&picture.gray);
                let Some(mm) = self.distance_mm else {
                    self.stop();
                    (self.squared, self.contours, self.traced) = (None, None, None);
                    return;
                };
                Squaring::TwoPoints { from, to, mm }
            }
            SquaringChoice::Density => Squaring::Density(Some(self.dpi)),
        };
        let extract = self.extract.clone();
        self.start(move |progress| Ok(find(picture, &squaring, &extract, progress)), wake);
    }

    /// Takes over what the thread has found, if it is done.
    pub(crate) fn poll(&mut self) {
        let Some(work) = &self.work else { return };
        let Some(found) = work.slot.lock().ok().and_then(|mut slot| slot.take()) else { return };
        self.work = None;
        match found {
            Err(why) => self.traced = Some(Err(why)),
            Ok(Found { picture, squared, contours }) => {
                self.picture = Some(picture);
                self.squared = squared.ok();
                match contours {
                    Err(why) => {
                        self.contours = None;
                        self.traced = Some(Err(why));
                    }
                    Ok(contours) => {
                        self.contours = Some(contours);
                        self.refit();
                    }
                }
            }
        }
    }

    /// Lays the outline again through the same contour.
    pub(crate) fn refit(&mut self) {
        if let Some(contours) = &self.contours {
            self.traced = Some(trace::fit(contours, &self.fit));
        }
    }

    /// The outline proposed, if there is one.
    pub(crate) fn outline(&self) -> Option<&Traced> {
        self.traced.as_ref()?.as_ref().ok()
    }

    /// How the picture lies when its outline is laid level, if it was squared up.
    pub(crate) fn placement(&self) -> Option<knife::PicturePlacement> {
        let plane = &self.squared.as_ref()?.plane;
        let placement = knife::PicturePlacement {
            mm_from_view: plane.mm_from_view(),
            distortion: plane.distortion(),
        };
        let turned = self.outline().and_then(|traced| {
            let (_, turn_deg) = traced.levelled();
            Some(Affine::rotate_about(turn_deg?.to_radians(), traced.outline.centroid()))
        });
        Some(placement.transformed(turned.unwrap_or_default()))
    }

    /// The sheet's corners: as dragged, else as found, else well inside the picture.
    pub(crate) fn corners_or_usual(&self, gray: &Gray) -> [Point; 4] {
        if let Some(corners) = self.corners {
            return corners;
        }
        if let Some(SquaredUp { plane, found: trace::Found::Rectangle { size, .. }, .. }) =
            &self.squared
        {
            let (w, h) = (size.width, size.height);
            return [(0.0, h), (w, h), (w, 0.0), (0.0, 0.0)].map(|mm| plane.px(mm.into()));
        }
        [(0.1, 0.1), (0.9, 0.1), (0.9, 0.9), (0.1, 0.9)].map(|at| within(gray, at))
    }

    /// The two points: as dragged, else well inside the picture.
    pub(crate) fn points_or_usual(&self, gray: &Gray) -> [Point; 2] {
        self.points.unwrap_or_else(|| [(0.2, 0.5), (0.8, 0.5)].map(|at| within(gray, at)))
    }
}

/// A pixel by its share of the picture's width and height.
fn within(gray: &Gray, (x, y): (f64, f64)) -> Point {
    Point::new(x * gray.width() as f64, y * gray.height() as f64)
}

fn find(
    picture: Arc<Picture>,
    squaring: &Squaring,
    extract: &ExtractOptions,
    progress: &Progress,
) -> Found {
    let squared = trace::square_up(&picture, squaring, progress);
    let contours =
        squared.clone().and_then(|squared| trace::extract(&picture, &squared, extract, progress));
    Found { picture, squared, contours }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thread_that_is_stopped_is_not_heard() {
        let mut tracing = Tracing::begin(Path::new("/a/b.jpg"), Vec::new(), || ());
        let waits = |progress: &Progress| {
            while !progress.is_cancelled() {
                std::thread::yield_now();
            }
            Err(TraceError::Cancelled)
        };
        tracing.start(waits, || ());
        assert!(tracing.progress().is_some());
        tracing.poll();
        assert_eq!(tracing.traced, None);
        tracing.stop();
        assert_eq!(tracing.progress(), None);
        tracing.poll();
        assert_eq!((tracing.traced, tracing.name.as_str()), (None, "b"));
    }
}
