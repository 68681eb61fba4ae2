//! Drawing an outline point by point on an empty bar: what was clicked so far.
//!
//! The points are no part of the knife until the outline is closed; closing is one step.

use knife::{Knife, Node, NodeId, NodeKind, Profile, limits};
use kurbo::{ParamCurveArclen, Point};
use outline::{
    Knot, Outline, OutlineError, Run, arc_turn, arcs_split, closed_curve_through, curve_through,
    stroke_through,
};
use reckon::OriginFrame;
use units::LengthUnit;

/// Two points nearer than this are one, mm: no tool tells them apart.
const SAME_MM: f64 = 0.01;
/// An outline with less area than this has no inside, mm².
const NO_AREA_MM2: f64 = 0.01;

/// Why the points are no outline yet, as one plain sentence.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NotClosed {
    /// There are too few.
    #[error("an outline needs at least three points; add more, then close it")]
    TooFew,
    /// They lie on one line.
    #[error("all points lie on one line, so there is no blank between them; add one beside it")]
    Flat,
    /// A coordinate is no number.
    #[error("the outline can't be closed: {0}")]
    Fault(#[from] OutlineError),
}

/// What the way to the next point is drawn with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Pen {
    /// A smooth curve through the points.
    #[default]
    Curve,
    /// A straight line to the next point.
    Straight,
    /// An arc of a circle: a point on it, then its end.
    Arc,
    /// A stroke by hand.
    Hand,
}

impl Pen {
    /// Every pen with its name.
    pub(crate) const ALL: [(Self, &'static str); 4] = [
        (Self::Curve, "Curve"),
        (Self::Straight, "Straight"),
        (Self::Arc, "Arc"),
        (Self::Hand, "By hand"),
    ];
}

/// The drawing under way.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DrawTool {
    /// Whether clicks add points.
    pub active: bool,
    /// The points so far, in the knife's plane.
    pub(crate) knots: Vec<Knot>,
    /// Points that were taken back, the last one last, each with the way that led to it.
    removed: Vec<(Knot, Run)>,
    /// The points of the outline that was closed last: undoing it brings them back.
    closed: Vec<Knot>,
    /// The point that is being dragged, and where it stood.
    pub(crate) dragged: Option<(usize, Point)>,
    /// Whether the pointer was pressed over the ground to put a point there.
    pub(crate) pressed: bool,
    /// Whether the next typed point is a corner.
    pub(crate) corner: bool,
    /// What the way to the next point is drawn with.
    pub(crate) pen: Pen,
    /// The point on an arc that was clicked, while its end isn't yet.
    pub(crate) through: Option<Point>,
    /// Where the pointer went in a stroke that is being drawn.
    pub(crate) stroke: Vec<Point>,
    /// What is being typed, and why it isn't a place.
    pub(crate) typed: [String; 2],
    pub(crate) refusal: Option<String>,
    /// What on the canvas can have the keyboard.
    pub(crate) focusable: Vec<egui::Id>,
    /// Whether the outline was closed just now: tip and heel are then offered.
    pub just_closed: bool,
}

impl DrawTool {
    /// A drawing to begin on this knife, if it has no outline yet.
    pub fn on(knife: &Knife) -> Self {
        Self { active: knife.profile.nodes.is_empty(), ..Self::default() }
    }

    /// Whether it takes the canvas of this knife: it has begun and there is no outline yet.
    pub(crate) fn takes_canvas(&self, knife: &Knife) -> bool {
        self.active && knife.profile.nodes.is_empty()
    }

    /// The points so far.
    pub fn knots(&self) -> &[Knot] {
        &self.knots
    }

    /// Whether there is something that would be lost.
    pub fn has_points(&self) -> bool {
        !self.knots.is_empty()
    }

    /// Whether one more point or two may close it.
    pub fn can_close(&self) -> bool {
        self.knots.len() >= 3
    }

    /// Adds a point, unless it lies on the last one; whether it was added.
    pub fn add(&mut self, at: Point, corner: bool) -> bool {
        let same = |knot: &Knot| knot.at.distance(at) < SAME_MM;
        if self.knots.last().is_some_and(same) || self.knots.len() >= *limits::NODES.end() {
            return false;
        }
        if self.pen == Pen::Arc && !self.knots.is_empty() {
            let Some(through) = self.through.take() else {
                self.through = Some(at);
                return true;
            };
            self.set_run(self.arc_to(through, at));
            self.pen = Pen::Curve;
        } else if self.pen == Pen::Straight {
            self.pen = Pen::Curve;
        }
        self.knots.push(Knot { corner, ..Knot::smooth(at) });
        self.removed.clear();
        self.corner = false;
        true
    }

    /// The arc from the last point through a second to a third; a curve where they are no three.
    pub(crate) fn arc_to(&self, through: Point, to: Point) -> Run {
        let turn = self.knots.last().and_then(|last| arc_turn(last.at, through, to));
        turn.map_or(Run::Curve, Run::Arc)
    }

    fn set_run(&mut self, run: Run) {
        if let Some(knot) = self.knots.last_mut() {
            knot.run = run;
        }
    }

    /// Takes another pen for the way to the next point.
    pub fn set_pen(&mut self, pen: Pen) {
        self.pen = pen;
        self.through = None;
        self.stroke.clear();
        self.set_run(if pen == Pen::Straight { Run::Straight } else { Run::Curve });
    }

    /// The pen for the way to the next point.
    pub fn pen(&self) -> Pen {
        self.pen
    }

    /// Adds a stroke by hand as few cubics. It goes on from the last point: from there by a
    /// smooth curve to where it began, if that is not there. Whether it was one.
    pub(crate) fn add_stroke(&mut self, tolerance_mm: f64) -> bool {
        let places = std::mem::take(&mut self.stroke);
        let cubics = stroke_through(&places, tolerance_mm);
        let room = limits::NODES.end().saturating_sub(self.knots.len());
        let (Some(first), true) = (cubics.first(), cubics.len() < room) else { return false };
        let joins = self.knots.last().is_some_and(|last| last.at.distance(first.p0) < SAME_MM);
        if !joins {
            self.knots.push(Knot::smooth(first.p0));
        }
        for c in &cubics {
            self.set_run(Run::Handles(c.p1 - c.p0, c.p2 - c.p3));
            self.knots.push(Knot::smooth(c.p3));
        }
        self.removed.clear();
        true
    }

    /// Goes on with a drawing that was kept from an earlier run.
    pub(crate) fn recover(&mut self, knots: Vec<Knot>) {
        *self = Self { active: true, knots, ..Self::default() };
        self.take_pen_of_run();
    }

    /// Takes the last point back.
    pub fn remove_last(&mut self) {
        if self.through.take().is_some() {
            return;
        }
        let Some(knot) = self.knots.pop() else { return };
        let led = self.knots.last().map_or(Run::Curve, |last| last.run);
        self.removed.push((knot, led));
        // Where an arc or a stroke led is not known any more.
        if led != Run::Straight {
            self.set_run(Run::Curve);
        }
        self.take_pen_of_run();
    }

    /// Puts the point again that was taken back last.
    pub fn restore_last(&mut self) {
        let Some((knot, led)) = self.removed.pop() else { return };
        self.set_run(led);
        self.knots.push(knot);
        self.take_pen_of_run();
    }

    /// The pen is that of the way to the next point, unless it is the hand.
    fn take_pen_of_run(&mut self) {
        if self.pen != Pen::Hand {
            self.pen = if self.is_straight() { Pen::Straight } else { Pen::Curve };
        }
    }

    /// Whether a point was taken back.
    pub fn can_restore(&self) -> bool {
        !self.removed.is_empty()
    }

    /// Leaves nothing behind.
    pub fn discard(&mut self) {
        *self = Self::default();
    }

    /// The outline is closed: it lies in the knife from now on.
    pub fn close(&mut self) {
        let closed = std::mem::take(&mut self.knots);
        *self = Self { closed, just_closed: true, ..Self::default() };
    }

    /// The closing was undone: the points are there again.
    pub fn reopen(&mut self) {
        let closed = std::mem::take(&mut self.closed);
        let knots = if closed.is_empty() { std::mem::take(&mut self.knots) } else { closed };
        *self = Self { active: true, knots, ..Self::default() };
    }

    /// Makes a point a corner, or smooth again.
    pub fn set_corner(&mut self, at: usize, corner: bool) {
        if let Some(knot) = self.knots.get_mut(at) {
            knot.corner = corner;
        }
    }

    /// Whether the next run is a straight line.
    pub fn is_straight(&self) -> bool {
        self.knots.last().is_some_and(|knot| knot.run == Run::Straight)
    }

    /// Moves a point.
    pub(crate) fn move_to(&mut self, at: usize, to: Point) {
        if let Some(knot) = self.knots.get_mut(at) {
            knot.at = to;
        }
    }

    /// Length of the curve so far, mm.
    pub fn length_mm(&self) -> f64 {
        curve_through(&arcs_split(&self.knots, false)).iter().map(|seg| seg.arclen(1e-4)).sum()
    }

    /// The closed outline as a profile, counter-clockwise, with tip and heel as they most likely
    /// are; node 1 is the first point.
    ///
    /// # Errors
    /// [`NotClosed`] when the points are none.
    pub fn profile(&self) -> Result<Profile, NotClosed> {
        let mut knots = self.knots.clone();
        if knots.len() > 3 && knots[0].at.distance(knots[knots.len() - 1].at) < SAME_MM {
            knots.pop();
        }
        if knots.len() < 3 {
            return Err(NotClosed::TooFew);
        }
        knots = arcs_split(&knots, true);
        let mut segs = closed_curve_through(&knots);
        let outline = Outline::new(segs.clone())?;
        if outline.area() < NO_AREA_MM2 && in_line(&knots) {
            return Err(NotClosed::Flat);
        }
        if outline.signed_area() < 0.0 {
            // The first point stays the first.
            segs = outline.reversed().segs().to_vec();
            knots[1..].reverse();
        }
        // What a given run meets without a corner may still break its direction there.
        let runs_on = Profile::from_outline(&Outline::new(segs.clone())?);
        let n = segs.len();
        let nodes = (0..n).map(|i| {
            let (before, after) = (&segs[(i + n - 1) % n], &segs[i]);
            let handle_in = if let kurbo::PathSeg::Cubic(c) = before { Some(c.p2) } else { None };
            let handle_out = if let kurbo::PathSeg::Cubic(c) = after { Some(c.p1) } else { None };
            let is_smooth = !knots[i].corner
                && runs_on.nodes[i].kind.is_smooth()
                && (handle_in.is_some() || handle_out.is_some());
            let kind = if is_smooth { NodeKind::Smooth } else { NodeKind::Corner };
            let id = NodeId(u32::try_from(i + 1).unwrap_or(u32::MAX));
            Node { id, at: knots[i].at, handle_in, handle_out, kind }
        });
        let mut profile = Profile { nodes: nodes.collect(), tip: None, heel: None };
        if let Some(marks) = reckon::guess_marks(&profile) {
            (profile.tip, profile.heel) = (Some(marks.tip), Some(marks.heel));
        }
        Ok(profile)
    }

    /// Reads the place that was typed, counted from the origin, and adds it; what is wrong with
    /// it stays to be told.
    pub(crate) fn add_typed(&mut self, unit: LengthUnit, origin: &OriginFrame) -> bool {
        let read = |text: &str, axis: &str| {
            if text.trim().is_empty() {
                return Err(format!("Type {axis} as well."));
            }
            let typed_mm = units::parse_length(text, unit).map_err(|why| why.to_string())?.to_mm();
            let mm =
                if axis == "x" { origin.to_knife_x(typed_mm) } else { origin.to_knife_y(typed_mm) };
            let range = &limits::COORDINATE_MM;
            range.contains(&mm).then_some(mm).ok_or_else(|| format!("{text} is too far away."))
        };
        let place = read(&self.typed[0], "x").and_then(|x| Ok((x, read(&self.typed[1], "y")?)));
        match place {
            Ok(place) => {
                let corner = self.corner;
                self.typed = [String::new(), String::new()];
                self.refusal = (!self.add(place.into(), corner))
                    .then(|| "That is where the last point lies.".to_owned());
                self.refusal.is_none()
            }
            Err(why) => {
                self.refusal = Some(crate::text::sentence(&why));
                false
            }
        }
    }
}

/// Whether all points lie on one line.
fn in_line(knots: &[Knot]) -> bool {
    let from = knots[0].at;
    let ways = || knots.iter().map(move |knot| knot.at - from);
    let far = ways().max_by(|a, b| a.hypot().total_cmp(&b.hypot())).unwrap_or_default();
    ways().all(|way| far.cross(way).abs() <= SAME_MM * far.hypot())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn drawn(points: &[(f64, f64)]) -> DrawTool {
        let mut tool = DrawTool { active: true, ..DrawTool::default() };
        for p in points {
            assert!(tool.add((*p).into(), false));
        }
        tool
    }

    #[test]
    fn an_outline_runs_counter_clockwise_whichever_way_it_was_drawn() {
        let mut tool = drawn(&[(0., 0.), (100., 15.), (200., 0.), (100., -15.)]);
        tool.set_corner(0, true);
        tool.knots[1].run = Run::Straight;
        let profile = tool.profile().unwrap();
        assert!(profile.outline().unwrap().signed_area() > 0.0);
        let at: Vec<f64> = profile.nodes.iter().map(|node| node.at.y).collect();
        assert_eq!(at, [0.0, -15.0, 0.0, 15.0]);
        // The straight run from the second to the third point, run backwards.
        assert!(profile.nodes[2].handle_out.is_none() && profile.nodes[3].handle_in.is_none());
        assert!(
            !profile.nodes[0].kind.is_smooth()
                && profile.nodes[1..].iter().all(|node| node.kind.is_smooth())
        );
    }

    #[test]
    fn what_is_no_outline_is_told() {
        assert_eq!(drawn(&[(0., 0.), (9., 0.)]).profile(), Err(NotClosed::TooFew));
        let mut line = drawn(&[(0., 0.), (9., 0.), (20., 0.)]);
        for at in 0..3 {
            line.set_corner(at, true);
        }
        assert_eq!(line.profile(), Err(NotClosed::Flat));
        let mut tool = drawn(&[(0., 0.)]);
        assert!(!tool.add((0.001, 0.001).into(), true), "twice on one place is one point");
    }

    #[test]
    fn points_are_taken_back_put_again_and_come_back_with_undo() {
        let mut tool = drawn(&[(0., 0.), (50., 20.), (90., 0.), (50., -20.)]);
        let all = tool.knots.clone();
        tool.remove_last();
        tool.remove_last();
        tool.restore_last();
        assert_eq!(tool.knots, all[..3]);
        assert!(tool.add((1.0, -9.0).into(), false) && !tool.can_restore());
        let before = tool.knots.clone();
        tool.close();
        assert!(!tool.active && tool.knots.is_empty() && tool.just_closed);
        tool.reopen();
        assert!(tool.active && tool.knots == before);
        tool.discard();
        assert_eq!(tool, DrawTool::default());
    }

    proptest! {
        /// Whatever is clicked, closing either says why not or gives nodes just where the
        /// points were.
        #[test]
        fn nodes_lie_on_the_points(
            points in prop::collection::vec(
                ((-99..300_i32), (-30..30_i32), any::<bool>(), any::<bool>()), 0..30),
        ) {
            let mut tool = DrawTool { active: true, ..DrawTool::default() };
            for (x, y, corner, straight) in points {
                if tool.add(Point::new(f64::from(x), f64::from(y)), corner) {
                    tool.set_pen(if straight { Pen::Straight } else { Pen::Curve });
                }
            }
            if let Ok(profile) = tool.profile() {
                prop_assert!(profile.outline().unwrap().signed_area() > -1e-6);
                for node in &profile.nodes {
                    prop_assert!(tool.knots.iter().any(|knot| knot.at.distance(node.at) < 1e-9));
                }
                prop_assert!(profile.nodes.len() + 1 >= tool.knots.len());
                let done = knife::Edit::DrawProfile(profile).apply(&Knife::empty());
                prop_assert!(done.is_ok());
            }
        }
    }

    #[test]
    fn an_arc_goes_through_its_three_points_and_a_stroke_begins_and_ends_where_it_did() {
        let mut tool = drawn(&[(0., 0.), (100., 15.)]);
        tool.set_pen(Pen::Arc);
        assert!(tool.add((130.0, 0.0).into(), false));
        assert_eq!(tool.knots.len(), 2, "the point on the arc is none of the outline's own");
        assert!(tool.add((100.0, -15.0).into(), false));
        assert_eq!((tool.knots.len(), tool.pen), (3, Pen::Curve));
        let profile = tool.profile().unwrap();
        let outline = profile.outline().unwrap();
        assert!(outline.nearest((130.0, 0.0).into()).distance_mm < 1e-3);
        assert!(profile.nodes.len() > 3, "a long arc is several cubics");
        tool.set_pen(Pen::Hand);
        tool.stroke = (0..=60).map(|i| Point::new(100.0 - f64::from(i), -15.0)).collect();
        assert!(tool.add_stroke(0.5));
        assert_eq!(tool.knots.last().unwrap().at, Point::new(40.0, -15.0));
        assert!(tool.knots.len() <= 5 && tool.stroke.is_empty());
        assert!(tool.profile().is_ok());
        assert!(!tool.add_stroke(0.5), "no stroke adds nothing");
    }
}
