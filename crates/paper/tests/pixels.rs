//! Pages drawn by renderers that know nothing of the writers, and measured by their pixels.

#![expect(clippy::unwrap_used, reason = "a test fails where it unwraps")]

mod common;

use common::demo;
use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_interpret::util::TransformExt;
use hayro::hayro_syntax::Pdf;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::vello_cpu::{Pixmap, RasterizerSettings, RenderContext, Resources, TargetInit};
use hayro::{RenderCache, RenderSettings, render_into};
use kurbo::{Affine, Circle, Point, Rect, Shape, Size, Vec2};
use marks::{Drawing, Mark, Pen};
use paper::{MM_PER_INCH, Meta, PROOF_MM, Sheet, lay_out, pdf, png, svg};

/// Dots to the millimetre: 1270 dpi.
const DOTS_PER_MM: f64 = 50.0;

/// A patch of a page as dark (1) to light (0) dots, rows from the top.
struct Patch {
    width: usize,
    dark: Vec<f64>,
}

impl Patch {
    fn height(&self) -> usize {
        self.dark.len() / self.width
    }

    fn at(&self, x: usize, y: usize) -> f64 {
        self.dark[y * self.width + x]
    }

    /// Centres of the dark runs along row `y`, in dots, by weight.
    fn runs_across(&self, y: usize) -> Vec<f64> {
        runs((0..self.width).map(|x| self.at(x, y)))
    }

    /// Centres of the dark runs along column `x`.
    fn runs_down(&self, x: usize) -> Vec<f64> {
        runs((0..self.height()).map(|y| self.at(x, y)))
    }
}

fn runs(dots: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut centres = Vec::new();
    let (mut weight, mut moment) = (0.0, 0.0);
    for (k, dark) in dots.chain([0.0]).enumerate() {
        if dark > 0.02 {
            weight += dark;
            moment += dark * (k as f64 + 0.5);
        } else if weight > 0.0 {
            centres.push(moment / weight);
            (weight, moment) = (0.0, 0.0);
        }
    }
    centres
}

/// Draws a patch (mm, page frame) of a PDF's first page.
fn patch(bytes: &[u8], page_mm: Size, patch_mm: Rect) -> Patch {
    let pdf = Pdf::new(bytes.to_vec()).unwrap();
    let page = &pdf.pages()[0];
    let dots = |mm: f64| (mm * DOTS_PER_MM).round() as u16;
    let mut context = RenderContext::new(dots(patch_mm.width()), dots(patch_mm.height()));
    let scale = DOTS_PER_MM * MM_PER_INCH / 72.0;
    let shift = Vec2::new(-patch_mm.x0, patch_mm.y1 - page_mm.height) * DOTS_PER_MM;
    let whole = Affine::translate(shift) * Affine::scale(scale);
    let first = page.initial_transform(true).to_kurbo().as_coeffs();
    render_into(
        page,
        &RenderCache::new(),
        &InterpreterSettings::default(),
        &RenderSettings::default(),
        &mut context,
        Affine::new((whole * Affine::new(first)).as_coeffs()),
    );
    context.flush();
    let mut pixmap = Pixmap::new(context.width(), context.height());
    let settings =
        RasterizerSettings { target_init: TargetInit::Clear(WHITE), ..Default::default() };
    context.render_with(&mut pixmap, &mut Resources::default(), settings);
    let dark = pixmap.data().iter().map(|dot| 1.0 - f64::from(dot.g) / 255.0).collect();
    Patch { width: usize::from(pixmap.width()), dark }
}

fn printed(paper: &str) -> (Size, Drawing, Vec<u8>) {
    let pages = lay_out(&[demo::sheet(215.0)], &demo::setup(paper)).unwrap();
    let bytes = pdf(&pages, &Meta::default()).unwrap();
    (pages[0].size_mm, pages[0].drawing.clone(), bytes)
}

/// The largest closed four-sided line of the ruler pen.
fn proof_square(drawing: &Drawing) -> Rect {
    let square = |item: &marks::Item| match &item.mark {
        Mark::Path(path) if item.pen == Pen::Ruler && path.segments().count() == 4 => {
            Some(path.bounding_box())
        }
        _ => None,
    };
    drawing.items.iter().filter_map(square).max_by(|a, b| a.width().total_cmp(&b.width())).unwrap()
}

#[test]
fn the_proof_square_measures_50_mm_by_its_pixels() {
    for paper in ["letter", "a4"] {
        let (size, drawing, bytes) = printed(paper);
        let square = proof_square(&drawing);
        let seen = patch(&bytes, size, square.inflate(1.0, 1.0));
        // A row through the upper quarter misses the inner square and its lettering.
        let across = seen.runs_across((4.0 * DOTS_PER_MM) as usize);
        assert_eq!(across.len(), 2, "{across:?}");
        let wide = (across[1] - across[0]) / DOTS_PER_MM;
        assert!((wide - PROOF_MM).abs() < 0.005, "{paper}: {wide} mm wide");
        let down = seen.runs_down((47.0 * DOTS_PER_MM) as usize);
        let high = (down.last().unwrap() - down[0]) / DOTS_PER_MM;
        assert!((high - PROOF_MM).abs() < 0.005, "{paper}: {high} mm high");
        // The inner square's right side: one inch from the left one, near the foot.
        let foot = seen.runs_across((49.5 * DOTS_PER_MM) as usize);
        let inch = (foot[1] - foot[0]) / DOTS_PER_MM;
        assert!((inch - MM_PER_INCH).abs() < 0.005, "{paper}: {inch}");
    }
}

#[test]
fn a_rule_measures_true_by_its_pixels() {
    let (size, drawing, bytes) = printed("letter");
    // The level base line: the longest level line of the ruler pen.
    let level = |item: &marks::Item| match &item.mark {
        Mark::Path(path) if item.pen == Pen::Ruler && path.bounding_box().height() < 1e-9 => {
            Some(path.bounding_box())
        }
        _ => None,
    };
    let base = drawing
        .items
        .iter()
        .filter_map(level)
        .max_by(|a, b| a.width().total_cmp(&b.width()))
        .unwrap();
    let strip = Rect::new(base.x0 - 1.0, base.y0 - 2.0, base.x1 + 1.0, base.y0 + 2.0);
    let seen = patch(&bytes, size, strip);
    // One millimetre above the base line every millimetre has its tick.
    let mm = seen.runs_across(DOTS_PER_MM as usize);
    assert!(mm.len() > 200);
    for (k, at) in mm.iter().enumerate() {
        let off = (at - mm[0]) / DOTS_PER_MM - k as f64;
        assert!(off.abs() < 0.01, "{k} mm: off by {off}");
    }
    // One millimetre below it every 1/32 in of the first inch, then every 1/16 in.
    let inch = seen.runs_across((3.0 * DOTS_PER_MM) as usize);
    for (k, at) in inch.iter().enumerate() {
        let part = if k <= 32 { k } else { 2 * k - 32 } as f64;
        let off = (at - inch[0]) / DOTS_PER_MM - part * MM_PER_INCH / 32.0;
        assert!(off.abs() < 0.01, "{part}/32 in: off by {off}");
    }
}

#[test]
fn a_circle_is_round_by_its_pixels() {
    let mut drawing = Drawing::new();
    drawing.add(Pen::Hole, Mark::Circle(Circle::new((0.0, 0.0), 6.35)));
    let sheet = Sheet {
        key: "hole",
        title: "Hole".into(),
        drawing,
        notes: vec![],
        inserts: vec![],
        ..Sheet::default()
    };
    let pages = lay_out(&[sheet], &demo::setup("letter")).unwrap();
    let bytes = pdf(&pages, &Meta::default()).unwrap();
    let centre = pages[0].from_sheet * Point::ORIGIN;
    let seen = patch(&bytes, pages[0].size_mm, Rect::from_center_size(centre, (14.0, 14.0)));
    let middle = seen.width / 2;
    for cut in [seen.runs_across(middle), seen.runs_down(middle)] {
        assert_eq!(cut.len(), 2);
        let diameter = (cut[1] - cut[0]) / DOTS_PER_MM;
        assert!((diameter - 12.7).abs() < 0.005, "{diameter}");
    }
}

/// SVG through another renderer: edges stand on the dots they should.
#[test]
fn the_picture_is_true_and_tells_its_dots() {
    let mut drawing = Drawing::new();
    drawing.line(Pen::Cut, Point::new(10.0, 0.0), Point::new(10.0, 20.0));
    drawing.line(Pen::Cut, Point::new(90.0, 0.0), Point::new(90.0, 20.0));
    let window = Rect::new(0.0, 0.0, 100.0, 20.0);
    let bytes = png(&drawing, window, 254.0).unwrap();
    // pHYs (ISO/IEC 15948): 10 000 dots to the metre both ways, unit metre.
    let at = bytes.windows(4).position(|four| four == b"pHYs").unwrap();
    assert_eq!(bytes[at + 4..at + 13], [0, 0, 0x27, 0x10, 0, 0, 0x27, 0x10, 1]);
    let picture = resvg::tiny_skia::Pixmap::decode_png(&bytes).unwrap();
    assert_eq!((picture.width(), picture.height()), (1000, 200));
    let row = (0..1000).map(|x| 1.0 - f64::from(picture.pixel(x, 100).unwrap().green()) / 255.0);
    let runs = runs(row);
    assert_eq!(runs.len(), 2);
    assert!((runs[0] - 100.0).abs() < 0.01 && (runs[1] - 900.0).abs() < 0.01, "{runs:?}");
}

/// Lettering in the picture comes from the shipped face, not from whatever the machine has.
#[test]
fn the_picture_letters_with_the_shipped_face() {
    let pages = lay_out(&[demo::sheet(150.0)], &demo::setup("letter")).unwrap();
    let page = &pages[0];
    let bytes = png(&page.drawing, page.size_mm.to_rect(), 100.0).unwrap();
    let picture = resvg::tiny_skia::Pixmap::decode_png(&bytes).unwrap();
    // The name stands in the upper left corner inside the margin: 10 to 17 mm down, 10 to 30 in.
    let dark = |x: u32, y: u32| picture.pixel(x, y).unwrap().green() < 100;
    let letters = (40..110).flat_map(|x| (40..65).map(move |y| (x, y)));
    assert!(letters.filter(|(x, y)| dark(*x, *y)).count() > 200);
}

#[test]
fn the_svg_is_in_millimetres_with_a_group_a_pen() {
    let window = Rect::new(-10.0, -10.0, 225.0, 60.0);
    let text = svg(&demo::blank(215.0), window, "Heron & <friends>");
    assert!(text.contains("width=\"235mm\" height=\"70mm\" viewBox=\"0 0 235 70\""));
    assert!(text.contains("<title>Heron &amp; &lt;friends&gt;</title>"));
    for id in ["cut-line", "holes", "centre-marks", "bar", "dimensions"] {
        assert!(text.contains(&format!("<g id=\"{id}\"")), "{id}");
    }
    assert!(text.contains("<circle cx=\"128.25\" cy=\"43\" r=\"1.63195\"/>"));
    assert!(!text.contains("-0 ") && !text.contains("NaN"));
    let exponent = |three: &[u8]| three[0].is_ascii_digit() && &three[1..] == b"e-";
    assert!(!text.as_bytes().windows(3).any(exponent));
}

#[test]
fn a_picture_of_too_many_dots_is_refused() {
    let window = Rect::new(0.0, 0.0, 1000.0, 1000.0);
    for dpi in [1e4, f64::NAN, f64::INFINITY] {
        assert!(png(&Drawing::new(), window, dpi).is_err(), "{dpi}");
    }
}
