//! The page: how long a unit of the drawing is.

use super::length::{self, PX_MM};
use super::{ImportError, ImportWarning, style, tree};
use kurbo::{Affine, Rect, Size};
use roxmltree::Node;
use std::str::FromStr;
use svgtypes::{Align, AspectRatio, Length, LengthUnit as Unit, NumberListParser, ViewBox};
use units::LengthUnit;

/// What the root element says about size.
#[derive(Debug)]
pub(super) struct Page {
    /// Takes the drawing's user units to millimetres, y up; no shift.
    pub(super) mm_from_user: Affine,
    /// What percentages refer to, user units.
    pub(super) viewport: Option<Size>,
    /// The page itself, mm, when it has a size.
    pub(super) sheet_mm: Option<Rect>,
    /// The unit a person would read the drawing in.
    pub(super) unit: LengthUnit,
    /// What is to be said about the size.
    pub(super) warnings: Vec<ImportWarning>,
}

/// A stated side of the page: how long it is and whether a ruler would agree.
#[derive(Clone, Copy)]
struct Side {
    number: f64,
    unit_mm: f64,
    physical: Option<Unit>,
}

impl Page {
    /// Reads the size from the root element.
    pub(super) fn of(root: Node<'_, '_>) -> Result<Self, ImportError> {
        let width = side(root, "width")?;
        let height = side(root, "height")?;
        let view = view_box(root)?;
        let mut remarks = Vec::new();
        let scale = match view {
            Some(view) => scale(root, view, width, height),
            None => (PX_MM, PX_MM),
        };
        let physical = width.or(height).and_then(|side| side.physical);
        match (physical, view) {
            (None, _) => remarks.push(ImportWarning::NoPhysicalSize),
            (Some(_), None) => remarks.push(ImportWarning::BareNumbers),
            (Some(_), Some(_)) => {}
        }
        if (scale.0 - scale.1).abs() > 1e-9 * scale.0 {
            remarks.push(ImportWarning::Stretched { ratio: scale.1 / scale.0 });
        }
        let mm_from_user = Affine::new([scale.0, 0.0, 0.0, -scale.1, 0.0, 0.0]);
        let user = match view {
            Some(view) => Some(Rect::new(view.x, view.y, view.x + view.w, view.y + view.h)),
            None => width.zip(height).map(|(w, h)| Rect::new(0.0, 0.0, w.px(), h.px())),
        };
        Ok(Self {
            mm_from_user,
            viewport: user.map(|rect| rect.size()),
            sheet_mm: user.map(|rect| mm_from_user.transform_rect_bbox(rect)),
            unit: match physical {
                Some(Unit::In) => LengthUnit::Inch,
                _ => LengthUnit::Millimetre,
            },
            warnings: remarks,
        })
    }
}

impl Side {
    fn px(self) -> f64 {
        self.number * self.unit_mm / PX_MM
    }
}

/// A side of the page; nothing if it isn't stated, or only in terms of something else.
fn side(root: Node<'_, '_>, what: &'static str) -> Result<Option<Side>, ImportError> {
    let Some(text) = style::inline(root, what) else { return Ok(None) };
    if matches!(text.trim(), "" | "auto") {
        return Ok(None);
    }
    let bad = || ImportError::BadSize { what, text: tree::quote(text) };
    let Length { number, unit } = length::parse(text).ok_or_else(bad)?;
    let (unit_mm, physical) = match (unit, length::physical_mm(unit)) {
        (Unit::None | Unit::Px, _) => (PX_MM, None),
        (_, Some(mm)) => (mm, Some(unit)),
        (_, None) => return Ok(None),
    };
    if number > 0.0 { Ok(Some(Side { number, unit_mm, physical })) } else { Err(bad()) }
}

/// The element's viewBox.
pub(super) fn view_box(node: Node<'_, '_>) -> Result<Option<ViewBox>, ImportError> {
    let Some(text) = node.attribute("viewBox") else { return Ok(None) };
    ViewBox::from_str(text).map(Some).map_err(|_no_more_is_known| ImportError::BadSize {
        what: "viewBox",
        text: tree::quote(text),
    })
}

/// Whether the element says that nothing of it shows: its viewBox has no width or no height.
pub(super) fn is_empty_view_box(node: Node<'_, '_>) -> bool {
    let numbers = node.attribute("viewBox").map(|text| NumberListParser::from(text).take(4));
    let numbers: Vec<f64> = numbers.into_iter().flatten().flatten().collect();
    matches!(*numbers, [_, _, w, h] if w == 0.0 || h == 0.0)
}

/// The element's way of fitting its viewBox; what can't be read counts as unsaid.
pub(super) fn aspect(node: Node<'_, '_>) -> AspectRatio {
    node.attribute("preserveAspectRatio")
        .and_then(|text| AspectRatio::from_str(text).ok())
        .unwrap_or_default()
}

/// Millimetres to a user unit along x and y. The unit is multiplied last, so that a drawing
/// of millimetres gets exactly 1.
fn scale(
    root: Node<'_, '_>,
    view: ViewBox,
    width: Option<Side>,
    height: Option<Side>,
) -> (f64, f64) {
    let x = width.map(|side| side.number / view.w * side.unit_mm);
    let y = height.map(|side| side.number / view.h * side.unit_mm);
    match (x, y) {
        (None, None) => (PX_MM, PX_MM),
        (Some(one), None) | (None, Some(one)) => (one, one),
        (Some(x), Some(y)) => fit(aspect(root), x, y),
    }
}

/// The two scales that fit a viewBox, given those that would fill its frame.
pub(super) fn fit(aspect: AspectRatio, x: f64, y: f64) -> (f64, f64) {
    match (aspect.align, aspect.slice) {
        (Align::None, _) => (x, y),
        (_, false) => (x.min(y), x.min(y)),
        (_, true) => (x.max(y), x.max(y)),
    }
}
