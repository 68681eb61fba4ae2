//! From a page to printpdf's operations and layers: the only place where millimetres become points.
//!
//! Everything gives `None` for a number that a file can't hold.

use super::faces::{self, Signs};
use super::structure::{Marking, WARNING, is_caution, is_label};
use crate::pens::{Stroke, phase_mm, stroke};
use crate::{Page, PaperError};
use kurbo::{Affine, BezPath, Circle, PathEl, Point, Vec2};
use marks::{FontFace, Item, Label, Mark, Pen, lettering};
use printpdf::{
    Color, CurTransMat, DictItem, Greyscale, Layer, LayerIntent, LayerInternalId, LayerSubtype,
    Line, LineCapStyle, LineDashPattern, LineJoinStyle, LinePoint, Op, PaintMode, PdfFontHandle,
    PdfPage, Polygon, PolygonRing, Pt, Rect, TextItem, TextMatrix, WindingOrder,
};
use std::collections::{BTreeMap, BTreeSet};

/// Points to the millimetre: 1 pt is 1/72 in (ISO 32000-1, 8.3.2.3).
const PT_PER_MM: f64 = 72.0 / 25.4;

/// Cubics to a circle: eight are off by 4·10⁻⁶ of its radius at most.
const ARCS: u32 = 8;
/// Four are off by 2.8·10⁻⁴, which is half a micrometre at this radius, mm: a bar has thousands of
/// smaller holes.
const SMALL_RADIUS_MM: f64 = 1.8;

/// A page with everything on it.
///
/// # Errors
/// [`PaperError::NotFinite`].
pub(super) fn page(page: &Page) -> Result<PdfPage, PaperError> {
    written(page).ok_or_else(|| PaperError::NotFinite { sheet: page.key.into() })
}

/// A page of the same size with every sign on it that any page uses.
///
/// # Errors
/// [`PaperError::NotFinite`].
pub(super) fn stand_in(page: &Page, signs: &Signs) -> Result<PdfPage, PaperError> {
    let shown = |(face, signs): (&FontFace, &BTreeSet<char>)| {
        let font = PdfFontHandle::External(faces::id(*face));
        let items = vec![TextItem::Text(signs.iter().collect())];
        [Op::SetFont { font, size: Pt(1.0) }, Op::ShowText { items }]
    };
    let ops = std::iter::once(Op::StartTextSection).chain(signs.iter().flat_map(shown));
    let ops = ops.chain([Op::EndTextSection]).collect();
    sized(page, ops).ok_or_else(|| PaperError::NotFinite { sheet: page.key.into() })
}

fn sized(page: &Page, ops: Vec<Op>) -> Option<PdfPage> {
    let sheet = Rect::from_wh(pt(page.size_mm.width)?, pt(page.size_mm.height)?);
    Some(PdfPage { media_box: sheet.clone(), trim_box: sheet.clone(), crop_box: sheet, ops })
}

/// One layer for each pen any page uses.
pub(super) fn layers(pages: &[Page]) -> BTreeMap<LayerInternalId, Layer> {
    let mut layers = BTreeMap::new();
    for (place, pen) in Pen::ALL.into_iter().enumerate() {
        if pages.iter().any(|page| of(page, pen).next().is_some()) {
            layers.insert(
                layer(place),
                Layer {
                    name: pen.name().to_owned(),
                    creator: String::new(),
                    intent: LayerIntent::View,
                    usage: LayerSubtype::Artwork,
                },
            );
        }
    }
    layers
}

/// The name of a pen's layer, by the pen's place in [`Pen::ALL`]; names sort as pens do.
fn layer(place: usize) -> LayerInternalId {
    LayerInternalId(format!("L{place:02}"))
}

fn of(page: &Page, pen: Pen) -> impl Iterator<Item = &Item> {
    page.drawing.items.iter().filter(move |item| item.pen == pen)
}

fn written(page: &Page) -> Option<PdfPage> {
    let mut ops = Vec::new();
    if let Some(trim) = page.trim {
        // All that follows goes through the printer's trim; the figures themselves stay true.
        ops.push(Op::SetTransformationMatrix { matrix: CurTransMat::Raw(matrix(trim, 1e8)?) });
    }
    let marking = Marking::of(page);
    for (place, pen) in Pen::ALL.into_iter().enumerate() {
        if of(page, pen).next().is_none() {
            continue;
        }
        ops.push(Op::BeginLayer { layer_id: layer(place) });
        ops.push(Op::SaveGraphicsState);
        set_stroke(&mut ops, stroke(pen))?;
        if let Some(id) = marking.lines.get(&place) {
            ops.push(id.map_or(Op::BeginMarkedContent { tag: "Artifact".to_owned() }, |id| {
                begin("Figure", id, None)
            }));
            of(page, pen).filter(|item| !is_label(item)).try_for_each(|own| mark(&mut ops, own))?;
            ops.push(Op::EndMarkedContent);
        }
        for (item, id) in page.drawing.items.iter().zip(&marking.labels) {
            if let (Mark::Text(label), Some(id)) = (&item.mark, id)
                && item.pen == pen
            {
                ops.push(begin("Span", *id, is_caution(label).then_some(WARNING)));
                text(&mut ops, label)?;
                ops.push(Op::EndMarkedContent);
            }
        }
        ops.push(Op::RestoreGraphicsState);
        ops.push(Op::EndLayer);
    }
    sized(page, ops)
}

/// Begins a marked content, with what stands for its signs where they are read.
fn begin(tag: &str, id: i64, read: Option<&str>) -> Op {
    let mut map = BTreeMap::from([("MCID".to_owned(), DictItem::Int(id))]);
    if let Some(read) = read {
        let data = read.as_bytes().to_vec();
        map.insert("ActualText".to_owned(), DictItem::String { data, literal: true });
    }
    let properties = DictItem::Dict { map };
    Op::BeginMarkedContentWithProperties { tag: tag.to_owned(), properties }
}

fn set_stroke(ops: &mut Vec<Op>, stroke: Stroke) -> Option<()> {
    let col = Color::Greyscale(Greyscale::new(single(stroke.grey, 1e2)?, None));
    ops.extend([
        Op::SetOutlineThickness { pt: pt(stroke.width_mm)? },
        Op::SetLineCapStyle { cap: LineCapStyle::Butt },
        Op::SetLineJoinStyle { join: LineJoinStyle::Round },
        Op::SetOutlineColor { col: col.clone() },
        Op::SetFillColor { col },
        dashes(stroke, 0.0)?,
    ]);
    Some(())
}

fn dashes(stroke: Stroke, phase_mm: f64) -> Option<Op> {
    let lengths: Vec<f32> =
        stroke.dashes_mm.iter().map(|mm| Some(pt(*mm)?.0)).collect::<Option<_>>()?;
    Some(Op::SetLineDashPattern { dash: LineDashPattern::new(pt(phase_mm)?.0, &lengths) })
}

fn mark(ops: &mut Vec<Op>, item: &Item) -> Option<()> {
    match &item.mark {
        Mark::Path(path) => {
            let phase = phase_mm(item.pen, path);
            if phase > 0.0 {
                ops.push(dashes(stroke(item.pen), phase)?);
            }
            ops.extend(lines(path)?.into_iter().map(|line| Op::DrawLine { line }));
        }
        Mark::Fill(area) => {
            let rings = lines(area)?.into_iter().map(|line| PolygonRing { points: line.points });
            let (mode, winding_order) = (PaintMode::Fill, WindingOrder::NonZero);
            let polygon = Polygon { rings: rings.collect(), mode, winding_order };
            ops.push(Op::DrawPolygon { polygon });
        }
        Mark::Circle(line) => {
            ops.extend(lines(&circle(*line))?.into_iter().map(|line| Op::DrawLine { line }));
        }
        Mark::Text(label) => text(ops, label)?,
    }
    Some(())
}

/// The parts of a path, each drawn without a break.
fn lines(path: &BezPath) -> Option<Vec<Line>> {
    let mut lines: Vec<Line> = Vec::new();
    let (mut start, mut last) = (Point::ORIGIN, Point::ORIGIN);
    for element in path.elements() {
        let (bends, to) = match *element {
            PathEl::MoveTo(p) => {
                lines.push(Line { points: vec![node(p, false)?], is_closed: false });
                (start, last) = (p, p);
                continue;
            }
            PathEl::ClosePath => {
                if let Some(line) = lines.last_mut() {
                    line.is_closed = true;
                }
                last = start;
                continue;
            }
            PathEl::LineTo(p) => (None, p),
            // The same curve one degree up.
            PathEl::QuadTo(a, p) => (Some([last.lerp(a, 2.0 / 3.0), p.lerp(a, 2.0 / 3.0)]), p),
            PathEl::CurveTo(a, b, p) => (Some([a, b]), p),
        };
        if lines.last().is_none_or(|line| line.is_closed) {
            lines.push(Line { points: vec![node(last, false)?], is_closed: false });
        }
        let points = &mut lines.last_mut()?.points;
        for bend in bends.into_iter().flatten() {
            points.push(node(bend, true)?);
        }
        points.push(node(to, false)?);
        last = to;
    }
    Some(lines)
}

/// A circle as cubics. A cubic of control length 4/3·tan(α/4) meets an arc of α at both ends and
/// its middle.
fn circle(circle: Circle) -> BezPath {
    let arcs = if circle.radius <= SMALL_RADIUS_MM { ARCS / 2 } else { ARCS };
    let turn = std::f64::consts::TAU / f64::from(arcs);
    let reach = 4.0 / 3.0 * (turn / 4.0).tan();
    let at = |k: u32| circle.radius * Vec2::from_angle(f64::from(k % arcs) * turn);
    let quarter = |v: Vec2| Vec2::new(-v.y, v.x) * reach;
    let mut path = BezPath::new();
    path.move_to(circle.center + at(0));
    for k in 0..arcs {
        let (a, b) = (at(k), at(k + 1));
        let centre = circle.center;
        path.curve_to(centre + a + quarter(a), centre + b - quarter(b), centre + b);
    }
    path.close_path();
    path
}

fn text(ops: &mut Vec<Op>, label: &Label) -> Option<()> {
    if label.text.is_empty() {
        return Some(());
    }
    let (x, y) = lettering::start_mm(label);
    let turn = Affine::rotate(label.turn_deg.to_radians());
    let place = Affine::translate(label.at.to_vec2()) * turn * Affine::translate((x, y));
    let font = PdfFontHandle::External(faces::id(label.face));
    let format_against = lettering::with_fallbacks(&label.text).into_owned();
    ops.extend([
        Op::StartTextSection,
        Op::SetFont { font, size: pt(lettering::type_size_mm(label.height_mm))? },
        Op::SetTextMatrix { matrix: TextMatrix::Raw(matrix(place, 1e6)?) },
        Op::ShowText { items: vec![TextItem::Text(format_against)] },
        Op::EndTextSection,
    ]);
    Some(())
}

/// A map of the page onto itself, its turn and stretch to so many parts of one.
fn matrix(map: Affine, parts: f64) -> Option<[f32; 6]> {
    let [a, b, c, d, e, f] = map.as_coeffs();
    let turn = |n| single(n, parts);
    Some([turn(a)?, turn(b)?, turn(c)?, turn(d)?, pt(e)?.0, pt(f)?.0])
}

fn node(p: Point, bezier: bool) -> Option<LinePoint> {
    Some(LinePoint { p: printpdf::Point { x: pt(p.x)?, y: pt(p.y)? }, bezier })
}

/// Millimetres in points, to 0.0001 pt (0.00004 mm).
fn pt(mm: f64) -> Option<Pt> {
    single(mm * PT_PER_MM, 1e4).map(Pt)
}

/// A number to so many parts of one, as printpdf holds it; never -0.
#[expect(clippy::cast_possible_truncation, reason = "the PDF library holds 32-bit numbers")]
fn single(value: f64, parts: f64) -> Option<f32> {
    let held = ((value * parts).round() / parts + 0.0) as f32;
    held.is_finite().then_some(held)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::ParamCurve;

    #[test]
    fn a_circle_is_round() {
        for radius in [0.1, 1.5, SMALL_RADIUS_MM, 1.81, 6.0, 210.0] {
            let circle_mm = Circle::new((100.0, 50.0), radius);
            let mut max_mm = 0.0_f64;
            for segment in circle(circle_mm).segments() {
                for k in 0..=50 {
                    let p = segment.eval(f64::from(k) / 50.0);
                    max_mm = max_mm.max((p.distance(circle_mm.center) - radius).abs());
                }
            }
            assert!(max_mm < if radius < 100.0 { 0.000_5 } else { 0.001 }, "{radius}: {max_mm}");
        }
    }

    #[test]
    fn a_path_goes_on_from_where_it_closed() {
        let mut path = BezPath::new();
        path.move_to((10.0, 20.0));
        path.line_to((30.0, 20.0));
        path.line_to((30.0, 40.0));
        path.close_path();
        path.line_to((0.0, 0.0));
        path.move_to((5.0, 5.0));
        path.quad_to((6.0, 7.0), (8.0, 5.0));
        let lines = lines(&path).unwrap();
        let message: Vec<(bool, usize)> =
            lines.iter().map(|line| (line.is_closed, line.points.len())).collect();
        assert_eq!(message, [(true, 3), (false, 2), (false, 4)]);
        assert_eq!(lines[1].points[0], lines[0].points[0]);
    }

    #[test]
    fn numbers_are_short_and_true_and_real() {
        assert_eq!(pt(25.4).unwrap().0.to_string(), "72");
        assert_eq!(pt(-1e-9).unwrap().0.to_string(), "0");
        // 420 mm, the longer side of A3 (ISO 216).
        assert!((f64::from(pt(420.0).unwrap().0) / PT_PER_MM - 420.0).abs() < 0.000_05);
        for wrong in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300] {
            assert_eq!(pt(wrong), None, "{wrong}");
        }
    }
}
