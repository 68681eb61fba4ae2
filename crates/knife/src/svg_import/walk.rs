//! Walks the drawing and gathers every shape that shows, in millimetres.
//!
//! SVG 2, chapters 5 (structure), 7 (coordinates) and 8.

use super::page::{self, Page};
use super::shape::{PercentBasis, ShapeReader};
use super::{
    ImportError, ImportWarning, MAX_SEGMENTS, length::PX_MM, remark, style::StyleSheets, tree,
};
use kurbo::{Affine, Circle, PathSeg, Point, Size, Vec2};
use roxmltree::{Document, Node, NodeId};
use std::cell::Cell;
use std::collections::HashMap;
use std::str::FromStr;
use svgtypes::{Align, AspectRatio, Transform};

/// The layers of this program's own drawings that are read.
const CUT_LINE: &str = "cut-line";
const HOLES: &str = "holes";
/// How deep groups and copies may be nested.
const DEEPEST: usize = 200;
/// How many elements may show, copies counted.
const MAX_ELEMENTS: usize = 300_000;
/// How much text of elements may be read again in copies, bytes.
const MAX_COPIED_BYTES: usize = 50_000_000;
/// What an attribute or a child counts for besides its text, bytes.
const COPIED_AT_LEAST: usize = 64;

/// A stretch of path in millimetres.
#[derive(Clone, Debug)]
pub struct PathPiece {
    /// Its segments, lines and cubics, each from where the one before it ends.
    pub segs: Vec<PathSeg>,
    /// Whether it is closed.
    pub closed: bool,
    /// The circle it is, when its numbers say so.
    pub circle: Option<Circle>,
}

/// Everything that shows.
#[derive(Debug, Default)]
pub(super) struct Contents {
    /// The stretches in the order of the drawing.
    pub(super) pieces: Vec<PathPiece>,
    /// What was passed over.
    pub(super) skipped: SkippedCounts,
}

/// Counts of what was passed over.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct SkippedCounts {
    /// Elements not shown.
    pub(super) hidden: usize,
    /// Texts.
    pub(super) texts: usize,
    /// Pictures.
    pub(super) pictures: usize,
    other_layers: usize,
    clipped: usize,
    style_rules: usize,
    copies_lost: usize,
    lacking_page: usize,
}

impl SkippedCounts {
    /// The counts as remarks.
    pub(super) fn warnings(&self) -> Vec<ImportWarning> {
        remark::counted(&[
            (self.hidden, |count| ImportWarning::Hidden { count }),
            (self.texts, |count| ImportWarning::Texts { count }),
            (self.pictures, |count| ImportWarning::Pictures { count }),
            (self.other_layers, |count| ImportWarning::OtherLayers { count }),
            (self.clipped, |count| ImportWarning::Clipped { count }),
            (self.style_rules, |count| ImportWarning::StyleIgnored { count }),
            (self.copies_lost, |count| ImportWarning::CopiesLost { count }),
            (self.lacking_page, |count| ImportWarning::NoSize { count }),
        ])
    }
}

/// Gathers what shows.
pub(super) fn walk(doc: &Document<'_>, page: &Page) -> Result<Contents, ImportError> {
    let root = doc.root_element();
    let mut ids = HashMap::new();
    for node in doc.descendants() {
        if let Some(id) = node.attribute("id") {
            ids.entry(id).or_insert(node);
        }
    }
    let sheet = StyleSheets::of(doc);
    let mut drawn = Contents::default();
    drawn.skipped.style_rules = sheet.passed_over;
    let mut walk = Walker {
        ids,
        sheet,
        copying: Vec::new(),
        copied_bytes: 0,
        elements: 0,
        segments: 0,
        contents: drawn,
    };
    let place = ElementContext {
        mm_from_user: page.mm_from_user,
        viewport: page.viewport,
        hidden: walk.sheet.hidden(root).unwrap_or(false),
        depth: 0,
    };
    if walk.sheet.removed(root) {
        walk.contents.skipped.hidden += 1;
        return Ok(walk.contents);
    }
    // A transform of the root acts outside its viewBox.
    let turned = walk.moved(root, Affine::IDENTITY)?;
    let flip = Affine::scale_non_uniform(PX_MM, -PX_MM);
    let back = Affine::scale_non_uniform(1.0 / PX_MM, -1.0 / PX_MM);
    let place = if turned == Affine::IDENTITY {
        place
    } else {
        ElementContext { mm_from_user: flip * turned * back * page.mm_from_user, ..place }
    };
    if is_own_drawing(root) {
        for layer in layers(root) {
            if [CUT_LINE, HOLES].iter().any(|read| layer.attribute("id") == Some(*read)) {
                walk.element(layer, ElementContext { depth: 1, ..place })?;
            } else {
                walk.contents.skipped.other_layers += 1;
            }
        }
        return Ok(walk.contents);
    }
    walk.children(root, place)?;
    Ok(walk.contents)
}

fn layers<'a, 'i>(root: Node<'a, 'i>) -> impl Iterator<Item = Node<'a, 'i>> {
    root.children().filter(|child| child.tag_name().name() == "g")
}

/// Whether this program drew it: nothing but titled layers, one of which is the cut line. Its other
/// lines may lie around that one, as where to cut the paper does.
fn is_own_drawing(root: Node<'_, '_>) -> bool {
    let titled = |layer: Node<'_, '_>| {
        layer.first_element_child().is_some_and(|first| first.tag_name().name() == "title")
    };
    let mut elements = root.children().filter(Node::is_element);
    elements.all(|child| match child.tag_name().name() {
        "title" => true,
        "g" => titled(child) && child.has_attribute("id"),
        _ => false,
    }) && layers(root).any(|layer| layer.attribute("id") == Some(CUT_LINE))
}

/// Where on the page an element's numbers lie.
#[derive(Clone, Copy)]
struct ElementContext {
    mm_from_user: Affine,
    viewport: Option<Size>,
    hidden: bool,
    depth: usize,
}

struct Walker<'a, 'i> {
    ids: HashMap<&'a str, Node<'a, 'i>>,
    sheet: StyleSheets<'a>,
    /// The elements being copied just now, so that none is copied within itself.
    copying: Vec<NodeId>,
    copied_bytes: usize,
    elements: usize,
    segments: usize,
    contents: Contents,
}

impl<'a, 'i> Walker<'a, 'i> {
    fn children(&mut self, node: Node<'a, 'i>, place: ElementContext) -> Result<(), ImportError> {
        if place.depth > DEEPEST {
            return Err(ImportError::TooDeep { limit: DEEPEST });
        }
        let place = ElementContext { depth: place.depth + 1, ..place };
        node.children().try_for_each(|child| {
            self.count_copied(COPIED_AT_LEAST)?;
            if child.is_element() { self.element(child, place) } else { Ok(()) }
        })
    }

    /// Counts what is read again in a copy.
    fn count_copied(&mut self, bytes: usize) -> Result<(), ImportError> {
        self.copied_bytes += if self.copying.is_empty() { 0 } else { bytes };
        if self.copied_bytes > MAX_COPIED_BYTES {
            return Err(ImportError::TooMuchCopied { limit: MAX_COPIED_BYTES });
        }
        Ok(())
    }

    fn element(&mut self, node: Node<'a, 'i>, place: ElementContext) -> Result<(), ImportError> {
        self.elements += 1;
        if self.elements > MAX_ELEMENTS {
            return Err(ImportError::TooManyElements { limit: MAX_ELEMENTS });
        }
        let texts = node.attributes().map(|attribute| attribute.value().len() + COPIED_AT_LEAST);
        self.count_copied(texts.sum())?;
        if !tree::is_svg(node) {
            return Ok(());
        }
        let tag = node.tag_name().name();
        match tag {
            "svg" | "g" | "a" | "switch" | "use" | "path" | "rect" | "circle" | "ellipse"
            | "polygon" | "polyline" | "line" | "text" | "image" => {}
            _ => return Ok(()),
        }
        if self.sheet.removed(node) {
            self.contents.skipped.hidden += 1;
            return Ok(());
        }
        self.contents.skipped.clipped += usize::from(self.sheet.clipped(node));
        let place = ElementContext {
            mm_from_user: self.moved(node, place.mm_from_user)?,
            hidden: self.sheet.hidden(node).unwrap_or(place.hidden),
            ..place
        };
        match tag {
            "g" | "a" => self.children(node, place),
            "switch" => self.switch(node, place),
            "svg" => self.nested(node, node, place),
            "use" => self.copy(node, place),
            _ => self.leaf(node, place),
        }
    }

    /// The place after the element's own transform.
    fn moved(&mut self, node: Node<'a, 'i>, outer: Affine) -> Result<Affine, ImportError> {
        let attribute = node.attribute("transform");
        let in_style = self.sheet.styled(node, "transform");
        if (attribute.is_some() || in_style.is_some()) && self.sheet.has_own_pivot(node) {
            self.contents.skipped.style_rules += 1;
        }
        let read = |text: &str| Transform::from_str(text).map(affine);
        if let Some(css) = in_style {
            // CSS writes the same functions with units; where it says more, it is told.
            match read(&css.replace("px", "").replace("deg", "")) {
                _ if css == "none" => return Ok(outer),
                Ok(by) => return Ok(outer * by),
                Err(_) => self.contents.skipped.style_rules += 1,
            }
        }
        match attribute.map(str::trim) {
            None | Some("" | "none") => Ok(outer),
            Some(text) => {
                let by = read(text).map_err(|_nothing_more| ImportError::BadTransform {
                    line: tree::line(node),
                    element: node.tag_name().name().to_owned(),
                    text: tree::quote(text),
                })?;
                Ok(outer * by)
            }
        }
    }

    /// The first part of a switch that any reader is meant to show.
    fn switch(&mut self, node: Node<'a, 'i>, place: ElementContext) -> Result<(), ImportError> {
        let plain = |child: &Node<'_, '_>| {
            tree::is_svg(*child)
                && !matches!(child.tag_name().name(), "foreignObject" | "title" | "desc")
                && child.attribute("requiredExtensions").is_none_or(|list| list.trim().is_empty())
                && child.attribute("systemLanguage").is_none_or(|list| list.starts_with("en"))
        };
        self.count_copied(COPIED_AT_LEAST * node.children().count())?;
        match node.children().find(plain) {
            Some(child) => self.element(child, ElementContext { depth: place.depth + 1, ..place }),
            None => Ok(()),
        }
    }

    /// A drawing or a symbol within the drawing; `sized` carries its width and height.
    fn nested(
        &mut self,
        node: Node<'a, 'i>,
        sized: Node<'a, 'i>,
        place: ElementContext,
    ) -> Result<(), ImportError> {
        let own = shape(&self.sheet, node, place, 0);
        let (x, y) = if node.tag_name().name() == "svg" {
            (
                own.px("x", PercentBasis::Width)?.unwrap_or(0.0),
                own.px("y", PercentBasis::Height)?.unwrap_or(0.0),
            )
        } else {
            (0.0, 0.0)
        };
        let by = shape(&self.sheet, sized, place, 0);
        let whole = place.viewport;
        let stated =
            |one: Option<f64>, other: Option<f64>, page: Option<f64>| one.or(other).or(page);
        let w = stated(
            by.px("width", PercentBasis::Width)?,
            own.px("width", PercentBasis::Width)?,
            whole.map(|s| s.width),
        );
        let h = stated(
            by.px("height", PercentBasis::Height)?,
            own.px("height", PercentBasis::Height)?,
            whole.map(|s| s.height),
        );
        let frame = w.zip(h).map(|(w, h)| Size::new(w, h));
        if frame.is_some_and(|size| !(size.width > 0.0 && size.height > 0.0)) {
            return Ok(());
        }
        if page::is_empty_view_box(node) {
            self.contents.skipped.hidden += 1;
            return Ok(());
        }
        let mut inner = place.mm_from_user * Affine::translate((x, y));
        let mut viewport = frame;
        if let Some(view) = page::view_box(node)? {
            let frame = frame.unwrap_or(Size::new(view.w, view.h));
            let aspect = page::aspect(node);
            let (sx, sy) = page::fit(aspect, frame.width / view.w, frame.height / view.h);
            let (ax, ay) = alignment(aspect);
            let shift = Vec2::new(
                ax * (frame.width - view.w * sx) - view.x * sx,
                ay * (frame.height - view.h * sy) - view.y * sy,
            );
            inner *= Affine::translate(shift) * Affine::scale_non_uniform(sx, sy);
            viewport = Some(Size::new(view.w, view.h));
        }
        self.children(node, ElementContext { mm_from_user: inner, viewport, ..place })
    }

    /// A copy of another element.
    fn copy(&mut self, node: Node<'a, 'i>, place: ElementContext) -> Result<(), ImportError> {
        let target = tree::href(node)
            .and_then(|href| href.strip_prefix('#'))
            .and_then(|id| self.ids.get(id).copied())
            .filter(|target| !self.copying.contains(&target.id()));
        let Some(target) = target else {
            self.contents.skipped.copies_lost += 1;
            return Ok(());
        };
        if place.depth > DEEPEST {
            return Err(ImportError::TooDeep { limit: DEEPEST });
        }
        let own = shape(&self.sheet, node, place, 0);
        let shift = (
            own.px("x", PercentBasis::Width)?.unwrap_or(0.0),
            own.px("y", PercentBasis::Height)?.unwrap_or(0.0),
        );
        let place = ElementContext {
            mm_from_user: place.mm_from_user * Affine::translate(shift),
            depth: place.depth + 1,
            ..place
        };
        self.copying.push(target.id());
        let done = match target.tag_name().name() {
            "symbol" | "svg" if tree::is_svg(target) && !self.sheet.removed(target) => {
                let mm_from_user = self.moved(target, place.mm_from_user)?;
                self.nested(target, node, ElementContext { mm_from_user, ..place })
            }
            _ => self.element(target, place),
        };
        self.copying.pop();
        done
    }

    fn leaf(&mut self, node: Node<'a, 'i>, place: ElementContext) -> Result<(), ImportError> {
        let tally = &mut self.contents.skipped;
        match node.tag_name().name() {
            _ if place.hidden => {
                tally.hidden += 1;
                return Ok(());
            }
            "text" => {
                tally.texts += 1;
                return Ok(());
            }
            "image" => {
                tally.pictures += 1;
                return Ok(());
            }
            _ => {}
        }
        let shape = shape(&self.sheet, node, place, MAX_SEGMENTS - self.segments);
        let drawn = shape.draw()?;
        self.contents.skipped.lacking_page += usize::from(shape.lacks_page.get());
        self.contents.skipped.style_rules += usize::from(shape.ignores_style.get());
        let circle = drawn.ellipse.and_then(|(at, radii)| circle(place.mm_from_user, at, radii));
        for sub in drawn.subpaths {
            self.segments += sub.segs.len();
            if self.segments > MAX_SEGMENTS {
                return Err(ImportError::TooManySegments);
            }
            let segs = sub.segs.iter().map(|seg| placed(place.mm_from_user, *seg)).collect();
            let segs: Vec<PathSeg> = segs;
            if !segs.iter().all(finite) {
                return Err(ImportError::NotFinite {
                    line: tree::line(node),
                    element: node.tag_name().name().to_owned(),
                });
            }
            self.contents.pieces.push(PathPiece { segs, closed: sub.closed, circle });
        }
        Ok(())
    }
}

fn shape<'a, 'i, 's>(
    sheet: &'s StyleSheets<'a>,
    node: Node<'a, 'i>,
    place: ElementContext,
    max: usize,
) -> ShapeReader<'a, 'i, 's> {
    let [a, b, c, d, _, _] = place.mm_from_user.as_coeffs();
    let unit_mm = a.hypot(b).max(c.hypot(d));
    ShapeReader {
        node,
        sheet,
        viewport: place.viewport,
        unit_mm,
        max_segments: max,
        lacks_page: Cell::new(false),
        ignores_style: Cell::new(false),
    }
}

fn affine(by: Transform) -> Affine {
    Affine::new([by.a, by.b, by.c, by.d, by.e, by.f])
}

/// The share of the room left over that lies before the content along x and y.
fn alignment(aspect: AspectRatio) -> (f64, f64) {
    match aspect.align {
        Align::None | Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    }
}

/// The circle that an ellipse becomes, if it does to nine digits.
fn circle(by: Affine, at: Point, radii: Vec2) -> Option<Circle> {
    let [a, b, c, d, _, _] = by.as_coeffs();
    let (u, v) = (Vec2::new(a, b) * radii.x, Vec2::new(c, d) * radii.y);
    let (long, short) = (u.hypot().max(v.hypot()), u.hypot().min(v.hypot()));
    let round = long - short <= 1e-9 * long && u.dot(v).abs() <= 1e-9 * long * long;
    let at = by * at;
    (round && at.is_finite() && long.is_finite()).then(|| Circle::new(at, u.cross(v).abs().sqrt()))
}

/// The segment in millimetres, a quadratic raised to a cubic.
fn placed(by: Affine, seg: PathSeg) -> PathSeg {
    match by * seg {
        PathSeg::Quad(quad) => PathSeg::Cubic(quad.raise()),
        other => other,
    }
}

fn finite(seg: &PathSeg) -> bool {
    match seg {
        PathSeg::Line(l) => l.is_finite(),
        PathSeg::Quad(q) => q.is_finite(),
        PathSeg::Cubic(c) => c.is_finite(),
    }
}
