//! Up to where the bevels go, and a grind line through points of its own.

use crate::command::Command;
use crate::state::Selection;
use crate::widgets::Form;
use knife::limits::LINE_POINTS;
use knife::{Edit, GrindLine, Knife};
use kurbo::{BezPath, Line, Point};
use reckon::Reckoning;

/// Points that a grind line of its own begins with.
const POINTS: usize = 4;
/// How near its points lie to the line that it was before, mm.
const NEAR_MM: f64 = 0.01;
/// How far up the blade it begins where there was no line to follow: this program's choice.
const UP: f64 = 0.75;

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Height,
    Spine,
    Own,
}

/// The choice between a height, the spine and a line of its own.
pub(super) fn choice(form: &mut Form<'_>, selection: &mut Selection) {
    let context = form.context;
    let now = match context.knife.grind_line {
        GrindLine::Height => Kind::Height,
        GrindLine::Spine => Kind::Spine,
        GrindLine::Through(_) => Kind::Own,
    };
    let kinds = [(Kind::Height, "Height"), (Kind::Spine, "Spine"), (Kind::Own, "Own line")];
    let tooltip = "Up to where the bevels go: as high all along the edge, up to the spine, or to a \
                   line of your own through points on the canvas.";
    if let Some(kind) = form.choice(("Up to", tooltip), &kinds, now).value {
        selection.grind_point = None;
        let line = match kind {
            Kind::Height => Some(GrindLine::Height),
            Kind::Spine => Some(GrindLine::Spine),
            Kind::Own => own(context.knife, context.reckoning()).map(GrindLine::Through),
        };
        if let Some(line) = line {
            form.actions.edit(Edit::SetGrindLine(line));
        }
    }
    let GrindLine::Through(points) = &context.knife.grind_line else { return };
    form.note(
        "Double-click on the blade for another point; drag the points, nudge them with the arrow \
         keys, or type the selected one's place.",
    );
    let selected = selection.grind_point.filter(|at| *at < points.len());
    form.wrapped(|form| {
        form.command(Command::AddLinePoint, points.len() < *LINE_POINTS.end());
        let removable = selected.is_some() && points.len() > *LINE_POINTS.start();
        let tooltip = "Removes the selected point from the grind line; two must stay.";
        if form.button_if(removable, ("Remove point", tooltip)) {
            form.actions.run(Command::Delete);
        }
    });
    if let Some(selected) = selected {
        form.point("Point", points[selected]).edit(|to| {
            let mut points = points.clone();
            points[selected] = to;
            Edit::SetGrindLine(GrindLine::Through(points))
        });
    }
}

/// The grind line with one more point, or with one in its widest gap when no place is pointed
/// at. A line that was none of its own becomes one.
pub(crate) fn added_point(knife: &Knife, reckoning: &Reckoning, at: Option<Point>) -> Option<Edit> {
    let mut points = match &knife.grind_line {
        GrindLine::Through(points) => points.clone(),
        _ => own(knife, reckoning)?,
    };
    let direction = reckoning.profile.as_ref()?.towards_butt;
    let gap = |pair: &&[Point]| pair[0].distance(pair[1]);
    let widest = points.windows(2).max_by(|a, b| gap(a).total_cmp(&gap(b)));
    let at = at.or_else(|| widest.map(|pair| pair[0].midpoint(pair[1])))?;
    let place = points.partition_point(|p| p.x * direction < at.x * direction);
    points.insert(place, at);
    Some(Edit::SetGrindLine(GrindLine::Through(points)))
}

/// The grind line without one of its points.
pub(crate) fn removed_point(knife: &Knife, place: usize) -> Option<Edit> {
    let GrindLine::Through(points) = &knife.grind_line else { return None };
    let mut points = points.clone();
    (place < points.len() && points.len() > *LINE_POINTS.start()).then(|| {
        points.remove(place);
        Edit::SetGrindLine(GrindLine::Through(points))
    })
}

/// Points of a line of its own to begin with: along the grind line as it is, from the tip to the
/// plunge; three quarters up the blade where there is none.
fn own(knife: &Knife, reckoning: &Reckoning) -> Option<Vec<Point>> {
    let direction = reckoning.profile.as_ref()?.towards_butt;
    let grind = &reckoning.bevel.as_ref()?.grind;
    let longest = grind.iter().max_by(|a, b| length(a).total_cmp(&length(b)));
    let mut points = match longest.filter(|path| length(path) > 1.0) {
        Some(path) => along(path),
        None => across(knife, reckoning)?,
    };
    points.sort_by(|a, b| (a.x * direction).total_cmp(&(b.x * direction)));
    (points.len() >= *LINE_POINTS.start()).then_some(points)
}

fn corners(path: &BezPath) -> Vec<Point> {
    let mut corners = Vec::new();
    kurbo::flatten(path, NEAR_MM, |element| corners.extend(element.end_point()));
    corners
}

fn length(path: &BezPath) -> f64 {
    corners(path).windows(2).map(|pair| pair[0].distance(pair[1])).sum()
}

/// Evenly spaced places along a path, its ends among them.
fn along(path: &BezPath) -> Vec<Point> {
    let corners = corners(path);
    let step = length(path) / (POINTS - 1) as f64;
    let (mut points, mut gone) = (vec![corners[0]], 0.0);
    for pair in corners.windows(2) {
        let long = pair[0].distance(pair[1]);
        while points.len() < POINTS - 1 && gone + long >= step * points.len() as f64 {
            let share = (step * points.len() as f64 - gone) / long;
            points.push(pair[0].lerp(pair[1], share));
        }
        gone += long;
    }
    points.extend(corners.last());
    points
}

/// Places up the blade between edge and spine.
fn across(knife: &Knife, reckoning: &Reckoning) -> Option<Vec<Point>> {
    let (outline, profile) = (reckoning.outline.as_ref()?, reckoning.profile.as_ref()?);
    let plunge_x = knife.bevel?.plunge_x_mm;
    let tip = knife.profile.tip.and_then(|id| knife.profile.node(id))?.at.x;
    let bounds = profile.bounds;
    let at = |share: f64| {
        let x = tip + (plunge_x - tip) * share;
        let line = Line::new((x, bounds.y0 - 1.0), (x, bounds.y1 + 1.0));
        let crossings = outline.crossings_with(line);
        let (low, high) = (crossings.first()?.at, crossings.last()?.at);
        let (edge, spine) = if profile.edge_is_up { (high, low) } else { (low, high) };
        Some(edge.lerp(spine, UP))
    };
    Some([0.2, 0.5, 0.8, 1.0].into_iter().filter_map(at).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use reckon::{Shop, reckon};

    fn reckoned(knife: &Knife) -> Reckoning {
        reckon(knife, &Shop::default(), reckon::tables::Tables::built_in())
    }

    #[test]
    fn a_line_of_its_own_begins_where_the_grind_line_was() {
        for starter in knife::STARTERS {
            let mut knife = starter.knife();
            if knife.bevel.is_none() {
                continue;
            }
            let before = reckoned(&knife);
            for line in [GrindLine::Height, GrindLine::Spine] {
                knife.grind_line = line;
                let points = own(&knife, &reckoned(&knife)).unwrap();
                assert!(points.len() >= 3, "{}", starter.key);
                let outline = before.outline.as_ref().unwrap();
                let off = |p: &Point| {
                    if outline.contains(*p) { 0.0 } else { outline.nearest(*p).distance_mm }
                };
                assert!(points.iter().all(|p| off(p) < 0.1), "{}", starter.key);
            }
        }
    }

    #[test]
    fn a_point_is_put_in_its_order_and_taken_out_again() {
        let mut knife = knife::STARTERS[0].knife();
        let reckoning = reckoned(&knife);
        let direction = reckoning.profile.as_ref().unwrap().towards_butt;
        let points = own(&knife, &reckoning).unwrap();
        let at = points[1].midpoint(points[2]);
        knife = added_point(&knife, &reckoning, Some(at)).unwrap().apply(&knife).unwrap();
        let GrindLine::Through(more) = &knife.grind_line else { panic!("a line of its own") };
        assert_eq!(more.len(), points.len() + 1);
        assert!(more.windows(2).all(|pair| pair[0].x * direction <= pair[1].x * direction));
        let back = removed_point(&knife, 2).unwrap().apply(&knife).unwrap();
        assert_eq!(back.grind_line, GrindLine::Through(points));
        assert_eq!(removed_point(&knife, 9), None);
        let gap = added_point(&knife, &reckoning, None).unwrap().apply(&knife).unwrap();
        let GrindLine::Through(gap) = &gap.grind_line else { panic!("a line of its own") };
        assert_eq!(gap.len(), more.len() + 1);
        knife.grind_line = GrindLine::Through(more[..2].to_vec());
        assert_eq!(removed_point(&knife, 0), None, "two must stay");
    }
}
