//! A picture that is being traced: what was chosen, and what a thread of its own found.

use kurbo::{Point, Size};
use std::path::Path;
use std::sync::{Arc, Mutex};
use trace::{
    Contours, ExtractOptions, FitOptions, Gray, Picture, SquaredUp, Squaring, TraceError, Traced,
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
    /// A scan density.
    Density,
}

/// What the thread found.
#[derive(Clone, Debug)]
pub(crate) struct Found {
    pub(crate) picture: Arc<Picture>,
    pub(crate) squared: Result<SquaredUp, TraceError>,
    pub(crate) contours: Result<Contours, TraceError>,
}

type Slot = Arc<Mutex<Option<Result<Found, TraceError>>>>;

/// A picture that is being traced.
#[derive(Clone, Debug)]
pub struct Tracing {
    /// The name that the blank gets.
    pub(crate) name: String,
    /// How it is squared up.
    pub(crate) squaring: SquaringChoice,
    /// The sheet's sides, mm.
    pub(crate) sheet: Size,
    /// The sheet's corners as dragged, px: top left, top right, bottom right, bottom left.
    pub(crate) corners: Option<[Point; 4]>,
    /// The corner that the arrow keys move.
    pub(crate) selected: Option<usize>,
    /// The scan's density, dots to the inch.
    pub(crate) dpi: f64,
    /// What is looked for.
    pub(crate) extract: ExtractOptions,
    /// How the outline is laid.
    pub(crate) fit: FitOptions,
    /// The picture, once it is decoded.
    pub(crate) picture: Option<Arc<Picture>>,
    /// How it was squared up.
    pub(crate) squared: Option<SquaredUp>,
    contours: Option<Contours>,
    /// The outline proposed, or why there is none.
    pub(crate) traced: Option<Result<Traced, TraceError>>,
    /// What the thread at work will leave; none when it is done.
    slot: Option<Slot>,
}

impl Tracing {
    /// Begins with a file's bytes; `wake` is called when the thread is done.
    pub(crate) fn begin(path: &Path, bytes: Vec<u8>, wake: impl Fn() + Send + 'static) -> Self {
        let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let mut new = Self {
            name,
            squaring: SquaringChoice::Auto,
            sheet: Size::new(215.9, 279.4),
            corners: None,
            selected: None,
            dpi: 300.0,
            extract: ExtractOptions::default(),
            fit: FitOptions::default(),
            picture: None,
            squared: None,
            contours: None,
            traced: None,
            slot: None,
        };
        let (squaring, extract) = (Squaring::Auto, new.extract.clone());
        new.start(
            move || trace::decode(&bytes).map(|p| find(Arc::new(p), &squaring, &extract)),
            wake,
        );
        new
    }

    /// Whether a thread is at work.
    pub(crate) fn is_busy(&self) -> bool {
        self.slot.is_some()
    }

    fn start(
        &mut self,
        work: impl FnOnce() -> Result<Found, TraceError> + Send + 'static,
        wake: impl Fn() + Send + 'static,
    ) {
        let slot = Slot::default();
        let theirs = Arc::clone(&slot);
        let thread = std::thread::Builder::new().name("tracing".to_owned()).spawn(move || {
            let found = work();
            // Whoever asked may have closed the dialog; then nobody looks.
            if let Ok(mut slot) = theirs.lock() {
                *slot = Some(found);
            }
            wake();
        });
        if thread.is_ok() {
            self.slot = Some(slot);
        }
    }

    /// Traces the picture again, squared up as chosen now.
    pub(crate) fn again(&mut self, wake: impl Fn() + Send + 'static) {
        let Some(picture) = self.picture.clone() else { return };
        let squaring = match self.squaring {
            SquaringChoice::Auto => Squaring::Auto,
            SquaringChoice::Mat => Squaring::Mat,
            SquaringChoice::Sheet => {
                Squaring::Rectangle { size: self.sheet, corners: self.corners }
            }
            SquaringChoice::Density => Squaring::Density(Some(self.dpi)),
        };
        let extract = self.extract.clone();
        self.start(move || Ok(find(picture, &squaring, &extract)), wake);
    }

    /// Takes over what the thread has found, if it is done.
    pub(crate) fn poll(&mut self) {
        let Some(slot) = &self.slot else { return };
        let Some(found) = slot.lock().ok().and_then(|mut slot| slot.take()) else { return };
        self.slot = None;
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

    /// The sheet's corners: as dragged, else well inside the picture.
    pub(crate) fn corners_or_usual(&self, gray: &Gray) -> [Point; 4] {
        self.corners.unwrap_or_else(|| {
            let (w, h) = (gray.width() as f64, gray.height() as f64);
            [(0.1, 0.1), (0.9, 0.1), (0.9, 0.9), (0.1, 0.9)].map(|(x, y)| Point::new(x * w, y * h))
        })
    }
}

fn find(picture: Arc<Picture>, squaring: &Squaring, extract: &ExtractOptions) -> Found {
    let squared = trace::square_up(&picture, squaring);
    let contours = squared.clone().and_then(|squared| trace::extract(&picture, &squared, extract));
    Found { picture, squared, contours }
}
