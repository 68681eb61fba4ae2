//! The finished knife in the round: how it is turned, zoomed and cut open, and its solid, which a
//! thread of its own makes.

use exchange::solid::{SolidFault, USUAL_CHORD_MM};
use exchange::view::{Cut, Eye, Frame, Lie, Picture, Scene, Side, picture, seen_parts};
use knife::Knife;
use kurbo::{Point, Vec2};
use reckon::tables::Tables;
use reckon::{Shop, reckon};
use std::sync::{Arc, Mutex};

/// While it turns no more dots than this are drawn, so that it follows the hand.
const QUICK_DOTS: f64 = 140_000.0;
/// Still, every dot of the screen is the mean of four, unless these were more dots than this.
const FINE_DOTS: f64 = 8_000_000.0;
/// It is still once it has not moved for so long, s.
const STILL_S: f64 = 0.12;
/// What fits the window may be shown so much larger than the whole length would be.
const NEAREST_FIT: f64 = 2.2;
/// The nearest and the farthest view, points to the millimetre.
const POINTS_PER_MM: (f64, f64) = (0.2, 120.0);

/// Which way the knife is cut open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CutWay {
    /// Not at all.
    #[default]
    None,
    /// Square to its length.
    Across,
    /// Parallel to its faces.
    Along,
}

/// A knife ready to be looked at.
pub(crate) struct Seen {
    pub(crate) scene: Scene,
    pub(crate) lie: Lie,
    /// Its lowest and highest coordinates, mm.
    pub(crate) bounds: ([f64; 3], [f64; 3]),
    /// Kinds of parts with what they are made of.
    pub(crate) materials: Vec<(String, String)>,
}

type Found = Result<Arc<Seen>, SolidFault>;
type Slot = Arc<Mutex<Option<Found>>>;

/// What was drawn last: from what, and the picture.
struct Drawn {
    seen: Arc<Seen>,
    eye: Eye,
    frame: Frame,
    is_fine: bool,
    picture: Arc<Picture>,
}

/// Wakes the desk when it is dropped.
struct Woken<F: Fn()>(F);

impl<F: Fn()> Drop for Woken<F> {
    fn drop(&mut self) {
        (self.0)();
    }
}

/// The finished knife in the round.
#[derive(Default)]
pub struct TurnState {
    /// Whether it stands in place of the canvas.
    pub shown: bool,
    /// From where it is looked at; over the spine, half turned, until it is turned.
    eye: Option<Eye>,
    /// The middle of the picture and points to the millimetre; what fits until it is moved.
    camera: Option<(Point, f64)>,
    /// Which way it is cut open.
    pub cut: CutWay,
    /// Where: x of the knife, or height over the centre plane, mm; the middle until it is chosen.
    pub cut_mm: [Option<f64>; 2],
    /// Whether the other half is kept.
    pub other_half: bool,
    /// For which knife the solid was made, and what came of it.
    made: Option<(Knife, Found)>,
    /// For which knife it is being made, and where the thread will leave it.
    job: Option<(Knife, Slot)>,
    drawn: Option<Drawn>,
    /// When it last moved, in seconds of the window's time.
    moved_s: f64,
    /// The picture as the graphics driver has it.
    pub(crate) texture: Option<(Arc<Picture>, egui::TextureHandle)>,
}

impl TurnState {
    /// Shows it, or the canvas again.
    pub(crate) fn toggle(&mut self) {
        self.shown = !self.shown;
    }

    /// Takes over what the thread has made, and begins anew if the knife has moved on. `wake` is
    /// called when the thread is done.
    pub(crate) fn refresh(&mut self, knife: &Knife, shop: &Shop, wake: impl Fn() + Send + 'static) {
        if let Some((_, slot)) = &self.job {
            // A thread that broke down lets go of its end and leaves nothing.
            let is_gone = Arc::strong_count(slot) == 1;
            let found = match slot.lock().ok().and_then(|mut slot| slot.take()) {
                Some(found) => found,
                None if is_gone => Err(SolidFault::NotClosed),
                None => return,
            };
            self.made = self.job.take().map(|(knife, _)| (knife, found));
        }
        if self.made.as_ref().is_some_and(|(of, _)| of == knife) {
            return;
        }
        let slot = Slot::default();
        let (theirs, of, shop) = (Arc::clone(&slot), knife.clone(), shop.clone());
        let thread = std::thread::Builder::new().name("solid".to_owned()).spawn(move || {
            // Dropped in reverse, and even when it breaks down: the slot first, then the wake.
            let _woken = Woken(wake);
            let end = theirs;
            let found = make(&of, &shop);
            if let Ok(mut slot) = end.lock() {
                *slot = Some(found);
            }
        });
        if thread.is_ok() {
            self.job = Some((knife.clone(), slot));
        }
    }

    /// Whether a thread is at work.
    pub fn is_busy(&self) -> bool {
        self.job.is_some()
    }

    /// The solid made last, which may be that of the knife a moment ago.
    pub(crate) fn seen(&self) -> Option<Arc<Seen>> {
        self.made.as_ref().and_then(|(_, found)| found.as_ref().ok()).cloned()
    }

    /// Why there is no solid.
    pub(crate) fn fault(&self) -> Option<&SolidFault> {
        self.made.as_ref().and_then(|(_, found)| found.as_ref().err())
    }

    /// From where it is looked at, without the cut.
    pub(crate) fn eye(&self, lie: &Lie) -> Eye {
        self.eye.unwrap_or_else(|| lie.eye(Side::ThreeQuarter))
    }

    /// The named side it is seen from, if from one.
    pub(crate) fn side(&self, lie: &Lie) -> Option<Side> {
        let eye = self.eye(lie);
        Side::ALL.into_iter().find(|side| lie.eye(*side).looks_as(&eye))
    }

    /// Looks from a named side, at all of it.
    pub(crate) fn look_from(&mut self, side: Side, lie: &Lie) {
        self.eye = Some(lie.eye(side));
        self.camera = None;
    }

    /// As it was looked at first: over the spine, half turned, whole.
    pub(crate) fn reset(&mut self) {
        self.eye = None;
        self.camera = None;
        self.cut = CutWay::None;
        self.cut_mm = [None; 2];
        self.other_half = false;
    }

    /// Turns it as it is seen, degrees to the right and down.
    pub(crate) fn turn(&mut self, lie: &Lie, right_deg: f64, down_deg: f64) {
        self.eye = Some(self.eye(lie).turned_by(right_deg, down_deg));
    }

    /// Rolls it in the picture's plane, counter-clockwise, degrees.
    pub(crate) fn roll(&mut self, lie: &Lie, degrees: f64) {
        self.eye = Some(self.eye(lie).rolled_by(degrees));
    }

    /// Shows all of it.
    pub(crate) fn fit(&mut self) {
        self.camera = None;
    }

    /// Where the cut is, x of the knife or height over the centre plane, mm.
    pub(crate) fn cut_at_mm(&self, seen: &Seen) -> Option<f64> {
        let (axis, chosen) = match self.cut {
            CutWay::None => return None,
            CutWay::Across => (0, self.cut_mm[0]),
            CutWay::Along => (2, self.cut_mm[1]),
        };
        let (low, high) = (seen.bounds.0[axis], seen.bounds.1[axis]);
        Some(chosen.unwrap_or(f64::midpoint(low, high)).clamp(low, high))
    }

    /// Cuts it there, mm.
    pub(crate) fn set_cut_mm(&mut self, mm: f64) {
        match self.cut {
            CutWay::None => {}
            CutWay::Across => self.cut_mm[0] = Some(mm),
            CutWay::Along => self.cut_mm[1] = Some(mm),
        }
    }

    /// The eye with its cut. Of a knife cut across the half with the tip is kept, of one cut along
    /// the right one: so three quarters show what is laid open.
    fn cutting_eye(&self, seen: &Seen) -> Eye {
        let sign = if self.other_half { -1.0 } else { 1.0 };
        let cut = self.cut_at_mm(seen).map(|mm| match self.cut {
            CutWay::Along => {
                let left = seen.lie.towards_butt * seen.lie.up;
                Cut::along(mm, -left * sign)
            }
            _ => Cut::across(mm, -seen.lie.towards_butt * sign),
        });
        self.eye(&seen.lie).with_cut(cut)
    }

    /// The part of the picture's plane that a window of this size shows, in points.
    pub(crate) fn frame(&self, seen: &Seen, width: usize, height: usize) -> Frame {
        // All of it, though cut open: what is cut away must not make the rest jump.
        let whole = Frame::around(&seen.scene, &self.eye(&seen.lie), width, height);
        match self.camera {
            Some((middle, per_mm)) => Frame { middle, mm_per_dot: 1.0 / per_mm, ..whole },
            None => {
                let (low, high) = seen.bounds;
                let longest = (0..3).map(|i| high[i] - low[i]).fold(0.0, f64::max);
                let nearest = longest / width.max(1) as f64 / NEAREST_FIT;
                Frame { mm_per_dot: whole.mm_per_dot.max(nearest), ..whole }
            }
        }
    }

    /// Moves the picture by points, right and down.
    pub(crate) fn pan(&mut self, frame: &Frame, right: f64, down: f64) {
        let by = Vec2::new(-right, down) * frame.mm_per_dot;
        self.camera = Some((frame.middle + by, 1.0 / frame.mm_per_dot));
    }

    /// Shows it nearer by a factor; what lies at a place of the window, in points from its upper
    /// left corner, stays there.
    pub(crate) fn zoom(&mut self, frame: &Frame, at: Point, by: f64) {
        let now = 1.0 / frame.mm_per_dot;
        let per_mm = (now * by).clamp(POINTS_PER_MM.0, POINTS_PER_MM.1);
        let off = Vec2::new(at.x - frame.width as f64 / 2.0, frame.height as f64 / 2.0 - at.y);
        let middle = frame.middle + off * (1.0 / now - 1.0 / per_mm);
        self.camera = Some((middle, per_mm));
    }

    /// Shows it with so many points to the millimetre.
    pub(crate) fn set_scale(&mut self, frame: &Frame, points_per_mm: f64) {
        let per_mm = points_per_mm.clamp(POINTS_PER_MM.0, POINTS_PER_MM.1);
        self.camera = Some((frame.middle, per_mm));
    }

    /// Notes whether it moves at this time, s; gives for how long it is still drawn coarsely, s.
    pub(crate) fn moving_for(&mut self, now_s: f64, moves: bool) -> Option<f64> {
        if moves {
            self.moved_s = now_s;
        }
        Some(self.moved_s + STILL_S - now_s).filter(|left_s| *left_s > 0.0)
    }

    /// Draws it if anything has changed; coarser while it moves.
    pub(crate) fn draw(
        &mut self,
        seen: &Arc<Seen>,
        frame: &Frame,
        dots_per_point: f64,
        moves: bool,
    ) {
        let eye = self.cutting_eye(seen);
        let full = frame.scaled(dots_per_point);
        let count = full.width as f64 * full.height as f64;
        let quick = (QUICK_DOTS / count).sqrt().min(1.0);
        let (wanted, is_fine) = if moves { (full.scaled(quick), false) } else { (full, true) };
        let is_known = self.drawn.as_ref().is_some_and(|drawn| {
            let same = Arc::ptr_eq(&drawn.seen, seen) && drawn.eye == eye;
            same && drawn.frame == wanted && drawn.is_fine == is_fine
        });
        if !is_known {
            let doubled = is_fine && 4.0 * count <= FINE_DOTS;
            let picture = if doubled {
                picture(&seen.scene, &eye, &wanted.scaled(2.0)).halved()
            } else {
                picture(&seen.scene, &eye, &wanted)
            };
            let (seen, picture) = (Arc::clone(seen), Arc::new(picture));
            self.drawn = Some(Drawn { seen, eye, frame: wanted, is_fine, picture });
        }
    }

    /// What is shown: from where, what of the plane, and the picture.
    pub fn picture(&self) -> Option<(Eye, Frame, &Arc<Picture>)> {
        self.drawn.as_ref().map(|drawn| (drawn.eye, drawn.frame, &drawn.picture))
    }
}

/// Makes the solid of a knife as it is looked at.
fn make(knife: &Knife, shop: &Shop) -> Found {
    let tables = Tables::built_in();
    let parts = seen_parts(knife, shop, tables, USUAL_CHORD_MM)?;
    let lie = Lie::of(reckon(knife, shop, tables).profile.as_ref());
    let mut materials: Vec<(String, String)> = Vec::new();
    for part in &parts {
        let entry = (kind_of(&part.name), part.material.name.clone());
        if !materials.contains(&entry) {
            materials.push(entry);
        }
    }
    let scene = Scene::of(&parts);
    let bounds = scene.bounds_mm().unwrap_or(([0.0; 3], [0.0; 3]));
    Ok(Arc::new(Seen { scene, lie, bounds, materials }))
}

/// "left scale" and "pin 2" as the kind of part they are.
fn kind_of(name: &str) -> String {
    let plain = name.trim_start_matches("left ").trim_start_matches("right ");
    plain.trim_end_matches(|sign: char| sign.is_ascii_digit()).trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::starter;

    fn turned() -> (TurnState, Arc<Seen>) {
        let knife = starter("drop-point").unwrap().knife();
        let seen = make(&knife, &Shop::default()).unwrap();
        (TurnState::default(), seen)
    }

    #[test]
    fn parts_are_named_by_their_kind() {
        assert_eq!(kind_of("left scale"), "scale");
        assert_eq!(kind_of("right front bolster"), "front bolster");
        assert_eq!(kind_of("pin 12"), "pin");
        assert_eq!(kind_of("blade"), "blade");
    }

    #[test]
    fn what_is_under_the_pointer_stays_there_while_it_is_zoomed() {
        let (mut state, seen) = turned();
        let before = state.frame(&seen, 800, 500);
        let at = Point::new(620.0, 90.0);
        // The place of the plane under it.
        let under = |frame: &Frame| {
            let off = Vec2::new(at.x - 400.0, 250.0 - at.y) * frame.mm_per_dot;
            frame.middle + off
        };
        state.zoom(&before, at, 1.7);
        let after = state.frame(&seen, 800, 500);
        assert!((before.mm_per_dot / after.mm_per_dot - 1.7).abs() < 1e-9);
        assert!(under(&before).distance(under(&after)) < 1e-9);
        state.pan(&after, 30.0, -20.0);
        let panned = state.frame(&seen, 800, 500);
        let by = (panned.middle - after.middle) / after.mm_per_dot;
        assert!((by - Vec2::new(-30.0, -20.0)).hypot() < 1e-9, "{by:?}");
        state.fit();
        assert_eq!(state.frame(&seen, 800, 500), before);
    }

    #[test]
    fn sides_are_known_again_and_forgotten_when_turned() {
        let (mut state, seen) = turned();
        assert_eq!(state.side(&seen.lie), Some(Side::ThreeQuarter));
        for side in Side::ALL {
            state.look_from(side, &seen.lie);
            assert_eq!(state.side(&seen.lie), Some(side));
        }
        state.turn(&seen.lie, 4.0, 0.0);
        assert_eq!(state.side(&seen.lie), None);
        state.turn(&seen.lie, -4.0, 0.0);
        assert_eq!(state.side(&seen.lie), Some(Side::Butt));
        state.roll(&seen.lie, 360.0);
        assert_eq!(state.side(&seen.lie), Some(Side::Butt));
        state.reset();
        assert_eq!(state.side(&seen.lie), Some(Side::ThreeQuarter));
    }

    #[test]
    fn it_is_drawn_coarse_while_it_moves_and_once_when_still() {
        let (mut state, seen) = turned();
        let frame = state.frame(&seen, 900, 500);
        assert!(state.moving_for(10.0, true).is_some_and(|left_s| left_s <= STILL_S));
        state.draw(&seen, &frame, 1.0, true);
        let (_, quick, _) = state.picture().unwrap();
        assert!(quick.width * quick.height < 150_000);
        assert!(state.moving_for(10.1, false).is_some_and(|left_s| left_s < 0.03));
        assert_eq!(state.moving_for(10.2, false), None);
        state.draw(&seen, &frame, 1.0, false);
        let first = state.picture().unwrap().2.clone();
        assert_eq!((first.width, first.height), (900, 500));
        state.draw(&seen, &frame, 1.0, false);
        assert!(Arc::ptr_eq(&first, state.picture().unwrap().2), "not drawn twice");
        state.cut = CutWay::Across;
        state.draw(&seen, &frame, 1.0, false);
        assert!(first != *state.picture().unwrap().2);
    }
}
