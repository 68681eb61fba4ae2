//! The picture under the blank: how it is shown, and what a thread of its own read of it.

use super::Tracing;
use super::picture_edges::PictureEdges;
use crate::stamp::sum;
use egui::TextureHandle;
use host::Host;
use knife::PicturePlacement;
use kurbo::{Point, Rect};
use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};
use trace::{Edges, Plane, Progress};

/// Cells along each side of the picture into which it is cut to be seen from its plane: what lies
/// straight within one is off by less than 0.02 mm.
const CELLS: usize = 64;
/// How strongly it is seen at first.
const OPACITY: f32 = 0.6;

/// What was read of a picture.
#[derive(Clone, Debug)]
pub(crate) struct ReadPicture {
    /// The sum of the bytes that were read.
    sum: u64,
    pub(crate) picture: Arc<trace::Picture>,
    /// Its edges, px, once they are found.
    edges: Edges,
}

/// What the thread that loads it sends in turn.
enum Loaded {
    Picture(u64, Result<Arc<trace::Picture>, String>),
    Edges(Edges),
}

/// How the thread sends it.
type Sender<'a> = dyn Fn(Loaded) + 'a;

/// The picture as it lies in the knife's plane.
#[derive(Debug)]
struct PlacedPicture {
    placement: PicturePlacement,
    plane: Plane,
    /// The corners of its cells in rows from the top, mm.
    mesh: Vec<Point>,
    /// Its edges; `None` until they are found.
    edges: Option<PictureEdges>,
}

/// The picture under the blank.
pub struct PictureState {
    /// Whether it is shown.
    pub visible: bool,
    /// Whether it stays where it lies.
    pub locked: bool,
    /// Whether nodes and drawn points snap to its edges.
    pub snaps: bool,
    /// How strongly it is seen, 0 to 1.
    pub opacity: f32,
    /// From where it was read, or tried to be.
    looked_for: Option<String>,
    read: Option<ReadPicture>,
    loading: Option<(Receiver<Loaded>, Arc<Progress>)>,
    /// Why it can't be shown, or what is to be minded with it.
    problem: Option<String>,
    placed: Option<PlacedPicture>,
    pub(crate) texture: Option<TextureHandle>,
    /// How it was squared up last, to begin from there again.
    pub(crate) tracing: Option<Box<Tracing>>,
}

impl Default for PictureState {
    fn default() -> Self {
        Self {
            visible: true,
            locked: true,
            snaps: true,
            opacity: OPACITY,
            looked_for: None,
            read: None,
            loading: None,
            problem: None,
            placed: None,
            texture: None,
            tracing: None,
        }
    }
}

impl Drop for PictureState {
    fn drop(&mut self) {
        self.stop();
    }
}

impl PictureState {
    /// Whether it is being read.
    pub fn is_reading(&self) -> bool {
        self.loading.is_some()
    }

    /// Why it can't be shown, or what is to be minded with it, as one sentence.
    pub fn problem(&self) -> Option<&str> {
        self.problem.as_deref()
    }

    /// What was read of it.
    pub(crate) fn picture(&self) -> Option<&Arc<trace::Picture>> {
        self.read.as_ref().map(|read| &read.picture)
    }

    /// The sum of what was read, if that is another than the knife tells.
    pub(crate) fn changed(&self, picture: &knife::Picture) -> Option<u64> {
        self.read.as_ref().map(|read| read.sum).filter(|sum| *sum != picture.sum)
    }

    /// Takes a picture that is decoded already; its edges are found by a thread.
    pub(crate) fn take(
        &mut self,
        (path, sum): (&str, u64),
        picture: Arc<trace::Picture>,
        wake: impl Fn() + Send + 'static,
    ) {
        self.forget();
        self.looked_for = Some(path.to_owned());
        let edges = Edges::default();
        self.read = Some(ReadPicture { sum, picture: Arc::clone(&picture), edges });
        self.start(move |send, progress| load_edges(&picture, send, progress), wake);
    }

    /// Reads the picture that the knife has now from its file, unless that is done; what is to be
    /// told, once.
    pub(crate) fn refresh(
        &mut self,
        wanted: Option<(&knife::Picture, &Path)>,
        host: &dyn Host,
        wake: impl Fn() + Send + 'static,
    ) -> Option<String> {
        let Some((wanted, file)) = wanted else {
            if self.looked_for.is_some() {
                self.forget();
            }
            return None;
        };
        if self.looked_for.as_ref() == Some(&wanted.path) {
            let loading = self.poll(wanted);
            if self.read.as_ref().is_some_and(|read| read.sum == wanted.sum) {
                self.problem = None;
            }
            return loading;
        }
        self.forget();
        self.looked_for = Some(wanted.path.clone());
        match host.read(file) {
            Err(why) => {
                self.problem = Some(format!("The picture under the blank isn't shown: {why}"));
                self.problem.clone()
            }
            Ok(bytes) => {
                self.start(move |send, progress| load(bytes, send, progress), wake);
                None
            }
        }
    }

    /// Looks for it again in the next frame.
    pub(crate) fn look_again(&mut self) {
        self.looked_for = None;
    }

    /// Forgets what was read; how it is shown stays.
    fn forget(&mut self) {
        self.stop();
        (self.looked_for, self.read, self.problem) = (None, None, None);
        (self.placed, self.texture) = (None, None);
    }

    fn stop(&mut self) {
        if let Some((_, progress)) = self.loading.take() {
            progress.cancel();
        }
    }

    fn start(
        &mut self,
        work: impl FnOnce(&Sender<'_>, &Progress) + Send + 'static,
        wake: impl Fn() + Send + 'static,
    ) {
        let ((sender, loading), progress) = (channel(), Arc::new(Progress::default()));
        let theirs = Arc::clone(&progress);
        let thread = std::thread::Builder::new().name("picture".to_owned());
        let thread = thread.spawn(move || {
            // Whoever asked may look at another picture by now; then nobody hears.
            let send = |loaded: Loaded| {
                let _ = sender.send(loaded);
                wake();
            };
            work(&send, &theirs);
            drop(sender);
            wake();
        });
        self.loading = thread.is_ok().then_some((loading, progress));
    }

    /// Takes over what the thread has told so far.
    fn poll(&mut self, wanted: &knife::Picture) -> Option<String> {
        use std::sync::mpsc::TryRecvError;
        let before = self.problem.clone();
        while let Some((loading, _)) = &self.loading {
            match loading.try_recv() {
                Ok(Loaded::Picture(sum, Ok(picture))) => {
                    if sum != wanted.sum {
                        let path = &wanted.path;
                        self.problem = Some(format!(
                            "The picture under the blank, {path}, has changed since it was laid \
                             there; check whether it still fits"
                        ));
                    }
                    self.read = Some(ReadPicture { sum, picture, edges: Edges::default() });
                }
                Ok(Loaded::Picture(_, Err(why))) => {
                    let path = &wanted.path;
                    self.problem = Some(format!(
                        "The picture under the blank isn't shown: {path} can't be used: {why}"
                    ));
                }
                Ok(Loaded::Edges(edges)) => {
                    if let Some(read) = &mut self.read {
                        read.edges = edges;
                    }
                    if let Some(placed) = &mut self.placed {
                        placed.edges = None;
                    }
                }
                Err(TryRecvError::Empty) => break,
                Err(TryRecvError::Disconnected) => self.loading = None,
            }
        }
        self.problem.clone().filter(|_| self.problem != before)
    }

    /// Works out how it lies, where that has changed; its edges not while anything is dragged.
    pub(crate) fn prepare(&mut self, wanted: Option<&knife::Picture>, dragging: bool) {
        let (Some(wanted), Some(read)) = (wanted, &self.read) else {
            self.placed = None;
            return;
        };
        let placement = wanted.placement;
        if self.placed.as_ref().is_none_or(|placed| placed.placement != placement) {
            let gray = &read.picture.gray;
            let size = (gray.width(), gray.height());
            let plane = Plane::of_view(size, placement.mm_from_view, placement.distortion);
            self.placed = plane.map(|plane| {
                let mesh = cell_corners().map(|(u, v)| {
                    let px = Point::new(u * gray.width() as f64, v * gray.height() as f64);
                    plane.mm(px)
                });
                PlacedPicture { placement, mesh: mesh.collect(), plane, edges: None }
            });
        }
        if let Some(placed) = &mut self.placed
            && placed.edges.is_none()
            && !dragging
            && self.snaps
        {
            placed.edges = Some(PictureEdges::new(&read.edges, |px| placed.plane.mm(px)));
        }
    }

    /// The corners of its cells in the knife's plane, in rows from the top, mm, each with its share
    /// of the picture's width and height.
    pub(crate) fn mesh(&self) -> Option<impl Iterator<Item = (Point, (f64, f64))>> {
        let placed = self.placed.as_ref()?;
        Some(placed.mesh.iter().copied().zip(cell_corners()))
    }

    /// Cells along each side.
    pub(crate) const fn cells() -> usize {
        CELLS
    }

    /// What it covers of the knife's plane.
    pub(crate) fn bounds(&self) -> Option<Rect> {
        let mesh = &self.placed.as_ref()?.mesh;
        let first = *mesh.first()?;
        let first = Rect::from_points(first, first);
        Some(mesh.iter().fold(first, |bounds, p| bounds.union_pt(*p)))
    }

    /// The place on its edges nearest to a place of the knife's plane, within reach; nothing while
    /// it is hidden or not to be snapped to.
    pub(crate) fn nearest_edge(&self, at: Point, reach_mm: f64) -> Option<Point> {
        let edges = self.placed.as_ref().filter(|_| self.visible && self.snaps)?.edges.as_ref()?;
        edges.nearest(at, reach_mm)
    }
}

/// The corners of the cells in rows from the top, as shares of the picture's width and height.
fn cell_corners() -> impl Iterator<Item = (f64, f64)> {
    let share = |i: usize| i as f64 / CELLS as f64;
    (0..=CELLS).flat_map(move |row| (0..=CELLS).map(move |column| (share(column), share(row))))
}

/// Decodes a picture, then finds its edges.
fn load(bytes: Vec<u8>, send: &Sender<'_>, progress: &Progress) {
    let sum = sum(&bytes);
    let picture = trace::decode_to_show(&bytes).map(Arc::new);
    drop(bytes);
    let decoded = picture.clone().map_err(|why| why.to_string());
    send(Loaded::Picture(sum, decoded));
    if let Ok(picture) = picture {
        load_edges(&picture, send, progress);
    }
}

/// Finds a picture's edges. Without them nothing snaps, and nothing else is lost.
fn load_edges(picture: &trace::Picture, send: &Sender<'_>, progress: &Progress) {
    if let Ok(edges) = trace::edges(picture, progress) {
        send(Loaded::Edges(edges));
    }
}
