//! The blade at true size: outline, plunge, grind, swedge and guide lines with their names, the
//! places of the sections, and below it the blade on edge.

use super::{BladeView, LETTER_MM, stations};
use crate::MarkPart as _;
use crate::views::blank::break_line;
use crate::views::callout::{callouts_within, keep_within, spread};
use crate::views::{Callout, edge_on};
use knife::{PartId, Placement};
use kurbo::{Affine, BezPath, Line, ParamCurve, PathSeg, Point, Rect, Shape};
use marks::{Drawing, FontFace, HAlign, Item, Label, Mark, Pen, VAlign, lettering};
use reckon::{GuideLine, ScaleFigures, guide_lines};

/// The blade is broken off this far behind plunge and scale front, mm.
const BEHIND_MM: f64 = 4.0;
/// A scale front further behind the plunge than this is left out, mm.
const MAX_BEHIND_MM: f64 = 30.0;
/// What is left of the blank behind the break must be longer than this, mm.
const WORTH_MM: f64 = 12.0;
/// The column of names stands this far behind the break, mm.
const COLUMN_MM: f64 = 9.0;
/// White between two names in it, mm.
const APART_MM: f64 = 1.1;
/// Row of names above the blade, mm.
const NAME_ROW_MM: f64 = 7.0;
/// Marks of a section's place go from so far to so far off the blade, mm.
const MARK_MM: (f64, f64) = (1.0, 4.5);
/// Height of a section's letter, mm.
const STATION_MM: f64 = 3.5;
/// White between the blade and the blade on edge, mm.
const EDGE_ON_MM: f64 = 9.0;

pub(super) fn drawn(view: &BladeView<'_>) -> Drawing {
    let mut drawing = Drawing::new();
    let Some(outline) = &view.reckoning.outline else { return drawing };
    let break_x = break_x(view);
    let whole = view.to_sheet * outline.to_path();
    let kept = break_x.map_or_else(|| whole.clone(), |x| ahead_of(&whole, x, view.towards_butt));
    let bounds = kept.bounding_box();
    let guides = guide_lines(view.reckoning);
    lines(&mut drawing, view, &guides, bounds);
    drawing.add_part(Pen::Blank, Mark::Path(kept.clone()), PartId::Profile);
    if let Some(x) = break_x {
        let zigzag = break_line(x, 1.0);
        let ys = crossings(&whole, x);
        if let (Some(low), Some(high)) = (ys.first(), ys.last()) {
            let zigzag = if high - low > 6.0 { break_line(x, high - low) } else { zigzag };
            let zigzag = Affine::translate((0.0, *low)) * zigzag;
            drawing.add_part(Pen::Blank, Mark::Path(zigzag), PartId::Profile);
        }
    }
    let butt_x = break_x.unwrap_or(if view.towards_butt > 0.0 { bounds.x1 } else { bounds.x0 });
    let column_x = butt_x + view.towards_butt * COLUMN_MM;
    let top = guide_names(&mut drawing, view, &guides, column_x, bounds);
    let ends = if view.towards_butt > 0.0 {
        (f64::MIN, column_x - COLUMN_MM / 2.0)
    } else {
        (column_x + COLUMN_MM / 2.0, f64::MAX)
    };
    drawing.extend(callouts_within(
        names(view, bounds),
        (bounds.y1 + NAME_ROW_MM).max(top + 1.0),
        ends,
    ));
    let lowest = places(&mut drawing, view, &whole, bounds);
    on_edge(&mut drawing, view, (lowest, column_x), break_x);
    drawing
}

/// Where the blank is broken off, x on the sheet; `None` when all of it is drawn.
fn break_x(view: &BladeView<'_>) -> Option<f64> {
    let butt = view.towards_butt;
    let bevel = view.reckoning.bevel.as_ref()?;
    let line = bevel.plunge.unwrap_or(Line::new(bevel.plunge_frame.foot, bevel.plunge_frame.foot));
    // How far towards the butt, told along it.
    let far = |p: Point| (view.to_sheet * p).x * butt;
    let plunge = far(line.p0).max(far(line.p1));
    let front = view.reckoning.scales.as_ref().map(|scales| {
        let line = scales.front_ends();
        far(line.p0).max(far(line.p1)).max(far(scales.middle))
    });
    let front = front.filter(|front| (0.0..MAX_BEHIND_MM).contains(&(front - plunge)));
    let at = front.unwrap_or(plunge + 2.0 * BEHIND_MM) + BEHIND_MM;
    let bounds = view.to_sheet.transform_rect_bbox(view.profile.bounds);
    let end = (bounds.x0 * butt).max(bounds.x1 * butt);
    (end - at > WORTH_MM).then_some(at * butt)
}

/// The part of a path on the tip's side of a station; curves are split where they cross it.
fn ahead_of(path: &BezPath, x: f64, towards_butt: f64) -> BezPath {
    let mut kept = BezPath::new();
    let mut end: Option<Point> = None;
    for seg in path.segments() {
        let mut cuts = vec![0.0, 1.0];
        cuts.extend(seg.intersect_line(across(x)).iter().map(|hit| hit.segment_t));
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.windows(2).filter(|pair| pair[1] - pair[0] > 1e-9) {
            let piece = seg.subsegment(pair[0]..pair[1]);
            if (piece.eval(0.5).x - x) * towards_butt > 0.0 {
                continue;
            }
            if end.is_none_or(|end| end.distance(piece.start()) > 1e-9) {
                kept.move_to(piece.start());
            }
            kept.push(piece.as_path_el());
            end = Some(piece.end());
        }
    }
    kept
}

fn across(x: f64) -> Line {
    Line::new((x, -1e5), (x, 1e5))
}

/// Heights at which a path crosses a station, ascending.
fn crossings(path: &BezPath, x: f64) -> Vec<f64> {
    let hits = |seg: PathSeg| {
        let hits = seg.intersect_line(across(x));
        hits.iter().map(move |hit| seg.eval(hit.segment_t).y).collect::<Vec<_>>()
    };
    let mut ys: Vec<f64> = path.segments().flat_map(hits).collect();
    ys.sort_by(f64::total_cmp);
    ys
}

/// Plunge, grind, swedge and guide lines, and the scale front where it is seen.
fn lines(drawing: &mut Drawing, view: &BladeView<'_>, guides: &[GuideLine], bounds: Rect) {
    let mut add = |pen: Pen, path: &BezPath, part: PartId| {
        drawing.add_part(pen, Mark::Path(view.to_sheet * path.clone()), part);
    };
    // The last facet's line is the grind line itself.
    for guide in guides.iter().rev().skip(1).rev() {
        for piece in &guide.pieces {
            add(Pen::Guide, piece, PartId::GrindLine);
        }
    }
    if let Some(bevel) = &view.reckoning.bevel {
        for piece in &bevel.grind {
            add(Pen::Bevel, piece, PartId::GrindLine);
        }
        if let Some(line) = bevel.plunge {
            add(Pen::Bevel, &line.to_path(0.0), PartId::Plunge);
        }
    }
    for piece in view.reckoning.swedge.iter().flat_map(|swedge| &swedge.grind) {
        add(Pen::Bevel, piece, PartId::GrindLine);
    }
    if let Some(scales) = scale_front(view, bounds) {
        add(Pen::Scale, &scales.front_path(), PartId::Scales);
    }
}

/// The scales, where their front line lies on what is drawn of the blank.
fn scale_front<'a>(view: &BladeView<'a>, bounds: Rect) -> Option<&'a ScaleFigures> {
    view.reckoning.scales.as_ref().filter(|scales| {
        let ends = scales.front_ends();
        [ends.p0, scales.middle, ends.p1].iter().all(|p| {
            let x = (view.to_sheet * *p).x;
            bounds.x0 < x && x < bounds.x1
        })
    })
}

/// Names above the blade.
fn names(view: &BladeView<'_>, bounds: Rect) -> Vec<Callout> {
    let mut names = Vec::new();
    let mut add = |at: Point, text: &str, part: PartId| {
        let at = view.to_sheet * at;
        names.push(Callout { at, text: text.to_owned(), part: Some(part) });
    };
    let higher = |line: Line| if line.p0.y > line.p1.y { line.p0 } else { line.p1 };
    if let Some(line) = view.reckoning.bevel.as_ref().and_then(|bevel| bevel.plunge) {
        add(higher(line), "plunge line", PartId::Plunge);
    }
    if let Some(scales) = scale_front(view, bounds) {
        add(higher(scales.front_ends()), "scale front", PartId::Scales);
    }
    let swedge = view.reckoning.swedge.as_ref().zip(view.knife.swedge);
    if let Some((figures, stated)) = swedge
        && let Some(piece) = figures.grind.first()
        && let Some(el) = piece.elements().get(piece.elements().len() / 2)
        && let Some(at) = el.end_point()
    {
        let text = format!(
            "swedge line: {} down, {} per side, {} left",
            view.fine(stated.height_mm),
            units::show_angle(figures.angle_deg, 1),
            view.fine(stated.thickness_mm)
        );
        add(at, &text, PartId::GrindLine);
    }
    names
}

/// A name for a line that ends at the plunge.
struct Name {
    at: Option<Point>,
    text: String,
}

/// The names of guide lines and grind line in a column behind the break, each led to the end of
/// its line at the plunge; returns how high the uppermost leader reaches.
fn guide_names(
    drawing: &mut Drawing,
    view: &BladeView<'_>,
    guides: &[GuideLine],
    column_x: f64,
    bounds: Rect,
) -> f64 {
    let Some(bevel) = &view.reckoning.bevel else { return bounds.y1 };
    let top = bevel.plunge.map(|line| line.p1);
    let rear = |pieces: &[BezPath]| {
        let ends = pieces.iter().flat_map(BezPath::elements).filter_map(kurbo::PathEl::end_point);
        ends.min_by(|a, b| {
            bevel.plunge_frame.ahead_of(*a).total_cmp(&bevel.plunge_frame.ahead_of(*b))
        })
    };
    let mut wanted: Vec<Name> = guides
        .iter()
        .map(|guide| {
            let last = guide.facet + 1 == guides.len();
            let what = match (last, bevel.grind.is_empty()) {
                (true, true) => "  spine",
                (true, false) => "  grind line",
                _ => "",
            };
            Name {
                at: if last { rear(&guide.pieces).or(top) } else { rear(&guide.pieces) },
                text: format!(
                    "{}   {}   {}{what}",
                    guide.facet + 1,
                    units::show_angle(guide.angle_deg, 1),
                    view.fine(guide.height_mm)
                ),
            }
        })
        .filter(|name| name.at.is_some())
        .collect();
    let heading = if guides.is_empty() {
        let text = format!("grind line   {}", view.fine(bevel.height_mm));
        wanted.push(Name { at: rear(&bevel.grind).or(top), text });
        None
    } else {
        Some("facet, angle per side, height")
    };
    column(drawing, view, column_x, wanted, heading, bounds)
}

fn column(
    drawing: &mut Drawing,
    view: &BladeView<'_>,
    column_x: f64,
    wanted: Vec<Name>,
    heading: Option<&str>,
    bounds: Rect,
) -> f64 {
    let mut wanted: Vec<(Point, String)> =
        wanted.into_iter().filter_map(|name| Some((view.to_sheet * name.at?, name.text))).collect();
    wanted.sort_by(|a, b| a.0.y.total_cmp(&b.0.y));
    let tall = LETTER_MM * (1.06 + lettering::DESCENT);
    let ys: Vec<f64> = wanted.iter().map(|(at, _)| at.y).collect();
    let talls = vec![tall; ys.len()];
    let mut middles = spread(&ys, &talls, APART_MM);
    keep_within(&mut middles, &talls, APART_MM, (bounds.y0 - tall, f64::MAX));
    let across = if view.towards_butt > 0.0 { HAlign::Start } else { HAlign::End };
    let put = |drawing: &mut Drawing, text: String, y: f64, face: FontFace| {
        let mut label =
            Label::new(text, Point::new(column_x, y), LETTER_MM).anchored(across, VAlign::Middle);
        label.face = face;
        drawing.text(Pen::Dimension, label);
    };
    for ((at, text), y) in wanted.into_iter().zip(&middles) {
        // The middle of the box lies a little below that of the capitals.
        let y = y + 0.13 * LETTER_MM;
        let near = Point::new(column_x - view.towards_butt * 1.2, y);
        drawing.add_part(Pen::Dimension, Line::new(at, near).into(), PartId::GrindLine);
        put(drawing, text, y, FontFace::Regular);
    }
    if let (Some(words), Some(top)) = (heading, middles.last()) {
        put(drawing, words.to_owned(), top + tall + 2.0, FontFace::Bold);
    }
    middles.last().copied().unwrap_or(bounds.y1)
}

/// Marks and letters of the sections' places; returns the lowest of them and of the blade.
fn places(drawing: &mut Drawing, view: &BladeView<'_>, whole: &BezPath, bounds: Rect) -> f64 {
    let mut lowest = bounds.y0;
    for station in stations::all(view) {
        let x = (view.to_sheet * Point::new(station.section.x_mm, 0.0)).x;
        let ys = crossings(whole, x);
        let (Some(low), Some(high)) = (ys.first(), ys.last()) else { continue };
        for (y, direction) in [(low, -1.0), (high, 1.0)] {
            let mark = Line::new((x, y + direction * MARK_MM.0), (x, y + direction * MARK_MM.1));
            drawing.add(Pen::Section, mark.into());
        }
        let at = Point::new(x, low - MARK_MM.1 - 1.0);
        let label = Label::new(station.letter.to_string(), at, STATION_MM).bold();
        drawing.text(Pen::Dimension, label.anchored(HAlign::Middle, VAlign::Top));
        lowest = lowest.min(at.y - STATION_MM);
    }
    lowest
}

/// The blade on edge, below `lowest` and in line with the blade.
fn on_edge(
    drawing: &mut Drawing,
    view: &BladeView<'_>,
    (lowest, column_x): (f64, f64),
    break_x: Option<f64>,
) {
    let mut lying = view.knife.clone();
    lying.bar.placement = Placement { at: Point::ORIGIN, turn_deg: 0.0 };
    let on_edge = edge_on(&lying, view.reckoning);
    let half_mm = view.knife.bar.thickness_mm / 2.0;
    let y = lowest - EDGE_ON_MM - half_mm;
    // Seen from the other face it is turned end for end, that face upward.
    let turned = if view.to_sheet == Affine::IDENTITY { 1.0 } else { -1.0 };
    let place = Affine::translate((0.0, y)) * Affine::scale(turned);
    for item in on_edge.items.into_iter().filter(|item| item.pen != Pen::Scale) {
        let Mark::Path(path) = item.mark else { continue };
        let path = place * path;
        let path = break_x.map_or_else(|| path.clone(), |x| ahead_of(&path, x, view.towards_butt));
        let pen = if item.pen == Pen::Cut { Pen::Blank } else { item.pen };
        drawing.items.push(Item { mark: Mark::Path(path), pen, tag: item.tag });
    }
    if let Some(x) = break_x {
        let end = Line::new((x, y - half_mm - 2.0), (x, y + half_mm + 2.0));
        drawing.add_part(Pen::Blank, end.into(), PartId::Profile);
    }
    let across = if view.towards_butt > 0.0 { HAlign::Start } else { HAlign::End };
    let stock = view.fine(view.knife.bar.thickness_mm);
    let edge = view.knife.bevel.map(|bevel| view.fine(bevel.edge_thickness_mm));
    let says = [
        format!("on edge: stock {stock}"),
        edge.map_or_else(String::new, |edge| match view.ground_face() {
            None => format!("edge {edge}, about the centre line"),
            Some("left") => format!("edge {edge}, at the right face"),
            Some(_) => format!("edge {edge}, at the left face"),
        }),
    ];
    for (text, up) in says.into_iter().zip([1.0, -1.0]) {
        if !text.is_empty() {
            let at = Point::new(column_x, y + up * 2.2);
            let label = Label::new(text, at, LETTER_MM).anchored(across, VAlign::Middle);
            drawing.text(Pen::Dimension, label);
        }
    }
}
