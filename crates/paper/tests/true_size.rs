//! The PDF's own content, read back and measured in millimetres.

#![expect(clippy::unwrap_used, reason = "a test fails where it unwraps")]

mod common;

use common::{demo, read};
use kurbo::{Affine, BezPath, Circle, ParamCurve, Point, Rect, Shape, Vec2};
use lopdf::Document;
use marks::{Drawing, Mark, Pen};
use paper::{MM_PER_INCH, Meta, PROOF_MM, Page, PageSetup, Paper, Sheet, lay_out, pdf};
use proptest::prelude::*;

/// True size is held to this, mm.
const TRUE_MM: f64 = 0.01;

fn print(sheets: &[Sheet], setup: &PageSetup) -> (Vec<Page>, Vec<u8>) {
    let pages = lay_out(sheets, setup).unwrap();
    let bytes = pdf(&pages, &Meta { title: "Heron".into(), ..Meta::default() }).unwrap();
    (pages, bytes)
}

fn bare(drawing: Drawing) -> Sheet {
    Sheet {
        key: "bare",
        title: "Bare".into(),
        drawing,
        notes: vec![],
        inserts: vec![],
        ..Sheet::default()
    }
}

#[test]
fn a_known_path_and_circle_come_out_true() {
    let mut path = BezPath::new();
    path.move_to((0.0, 0.0));
    path.curve_to((30.0, 40.0), (120.0, -50.0), (180.123_456, 20.0));
    path.line_to((7.0, 33.3));
    path.close_path();
    let circle = Circle::new((90.0, 12.0), 4.1275);
    let mut drawing = Drawing::new();
    drawing.add(Pen::Cut, Mark::Path(path.clone()));
    drawing.add(Pen::Hole, Mark::Circle(circle));
    let (pages, bytes) = print(&[bare(drawing)], &demo::setup("letter"));
    let to_page = pages[0].from_sheet;
    let read = &read::pages(&bytes)[0];

    let cut = read.layer(Pen::Cut.name()).next().unwrap();
    let expected = to_page * path;
    for (a, b) in expected.segments().zip(cut.path.segments()) {
        for t in [0.0, 0.1, 0.35, 0.5, 0.8, 1.0] {
            assert!(a.eval(t).distance(b.eval(t)) < TRUE_MM / 50.0);
        }
    }
    assert_eq!(expected.segments().count(), cut.path.segments().count());
    assert!((cut.path.perimeter(1e-6) - expected.perimeter(1e-6)).abs() < TRUE_MM / 10.0);

    let hole = read.layer(Pen::Hole.name()).next().unwrap();
    let centre = to_page * circle.center;
    for segment in hole.path.segments() {
        for k in 0..=20 {
            let off = segment.eval(f64::from(k) / 20.0).distance(centre) - circle.radius;
            assert!(off.abs() < 0.001, "{off}");
        }
    }
}

/// All five papers: a long line keeps its length over the whole page.
#[test]
fn the_longest_line_is_true_on_every_paper() {
    for (paper, length) in
        [("letter", 255.0), ("legal", 330.0), ("tabloid", 410.0), ("a4", 270.0), ("a3", 398.0)]
    {
        let mut drawing = Drawing::new();
        drawing.line(Pen::Cut, Point::new(-3.0, 1.0), Point::new(length - 3.0, 1.0));
        let (pages, bytes) = print(&[bare(drawing)], &demo::setup(paper));
        assert_eq!(pages.len(), 1, "{paper}");
        let read = &read::pages(&bytes)[0];
        let (a, b) = read.layer(Pen::Cut.name()).next().unwrap().ends().unwrap();
        assert!((a.distance(b) - length).abs() < 0.001, "{paper}: {}", a.distance(b));
    }
}

/// Ticks of both graduations on both axes, each against its own multiple of 1 mm or 1/32 in.
#[test]
fn rules_are_true_on_both_axes() {
    for (paper, length_mm) in [("letter", 215.0), ("a4", 215.0), ("a3", 300.0), ("letter", 500.0)] {
        let (_, bytes) = print(&[demo::sheet(length_mm)], &demo::setup(paper));
        for page in read::pages(&bytes) {
            for (along, side) in [
                (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)),
                (Vec2::new(0.0, 1.0), Vec2::new(1.0, 0.0)),
            ] {
                let (zero, length) = base_line(&page, along);
                assert!(length >= 101.6 - TRUE_MM, "100 mm and 4 in: {length}");
                let mm = ticks(&page, zero, along, side);
                assert!(mm.len() > 100);
                for (k, at) in mm.iter().enumerate() {
                    assert!((at - k as f64).abs() < TRUE_MM, "{k} mm stands at {at}");
                }
                let inch = ticks(&page, zero, along, -side);
                let parts: Vec<f64> = inch.iter().map(|at| at / MM_PER_INCH * 32.0).collect();
                assert!(parts.len() > 64);
                for (k, part) in parts.iter().enumerate() {
                    let wanted = if k <= 32 { k as f64 } else { 2.0 * k as f64 - 32.0 };
                    assert!((part - wanted).abs() * MM_PER_INCH / 32.0 < TRUE_MM, "{k}: {part}");
                }
            }
        }
    }
}

/// The longest ruler line along a direction: its start and its length.
fn base_line(page: &read::ReadPage, along: Vec2) -> (Point, f64) {
    page.layer(Pen::Ruler.name())
        .filter_map(|path| path.ends())
        .filter(|(a, b)| (*b - *a).cross(along).abs() < 1e-3)
        .map(|(a, b)| (a, a.distance(b)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap()
}

/// Where ticks stand on one side of a base line, sorted.
fn ticks(page: &read::ReadPage, zero: Point, along: Vec2, side: Vec2) -> Vec<f64> {
    let mut ticks: Vec<f64> = page
        .layer(Pen::Ruler.name())
        .filter_map(|path| path.ends())
        .filter(|(a, b)| (*a - zero).dot(side).abs() < 1e-3 && (*b - *a).dot(side) > 0.5)
        .map(|(a, _)| (a - zero).dot(along))
        .collect();
    ticks.sort_by(f64::total_cmp);
    ticks
}

#[test]
fn the_proof_square_is_true_on_every_page() {
    let (_, bytes) = print(&[demo::sheet(215.0), demo::sheet(500.0)], &demo::setup("letter"));
    let pages = read::pages(&bytes);
    assert!(pages.len() >= 3);
    for page in &pages {
        let mut squares: Vec<Rect> = page
            .layer(Pen::Ruler.name())
            .filter(|path| path.path.segments().count() == 4)
            .map(|path| path.path.bounding_box())
            .collect();
        squares.sort_by(|a, b| a.width().total_cmp(&b.width()));
        assert_eq!(squares.len(), 2);
        for (square, side) in squares.iter().zip([MM_PER_INCH, PROOF_MM]) {
            assert!((square.width() - side).abs() < 0.001, "{square:?}");
            assert!((square.height() - side).abs() < 0.001, "{square:?}");
        }
    }
}

/// ISO 216 and ASME Y14.1 sizes, as the reader sees the page, either way round.
#[test]
fn pages_have_the_size_of_their_paper() {
    for (paper, short, long) in [
        ("letter", 215.9, 279.4),
        ("legal", 215.9, 355.6),
        ("tabloid", 279.4, 431.8),
        ("a4", 210.0, 297.0),
        ("a3", 297.0, 420.0),
    ] {
        let (_, bytes) = print(&[demo::sheet(150.0), demo::sheet(700.0)], &demo::setup(paper));
        for page in read::pages(&bytes) {
            let (a, b) = (page.size_mm.width, page.size_mm.height);
            assert!((a.min(b) - short).abs() < 0.001 && (a.max(b) - long).abs() < 0.001);
        }
    }
}

#[test]
fn nothing_lies_in_the_margin() {
    for paper in ["letter", "legal", "tabloid", "a4", "a3", "a5"] {
        for length_mm in [80.0, 215.0, 245.0, 270.0, 300.0, 500.0] {
            let (_, bytes) = print(&[demo::sheet(length_mm)], &demo::setup(paper));
            for page in read::pages(&bytes) {
                let inner = page.size_mm.to_rect().inset(-10.0);
                for path in &page.paths {
                    let ink = path.ink();
                    // Half a line may straddle the margin's edge; nothing may lie beyond that.
                    let wide = inner.inflate(0.26, 0.26);
                    let inside = wide.union(ink) == wide;
                    assert!(inside, "{paper} {length_mm}: {} {ink:?}", path.layer);
                }
                for text in &page.texts {
                    assert!(inner.inflate(1e-3, 1e-3).contains(text.at), "{}", text.text);
                }
            }
        }
    }
}

#[test]
fn every_page_says_what_it_must() {
    let mut setup = demo::setup("a4");
    setup.heading.trim = "office printer, 100.2 % × 99.9 %".into();
    let (_, bytes) = print(&[demo::sheet(500.0)], &setup);
    let pages = read::pages(&bytes);
    let total = pages.len();
    assert!(total > 1);
    for (k, page) in pages.iter().enumerate() {
        let words = page.words();
        for said in [
            "Print at actual size (100 %)",
            "Heron",
            "Profile",
            "2026-11-25",
            "Printer correction: office printer, 100.2 % × 99.9 %",
            "A4, 210 × 297 mm",
            &format!("Sheet {} of {total}", k + 1),
            &format!("Tile {} of {total}.", k + 1),
            "Join ",
        ] {
            assert!(words.contains(said), "{said} in {words}");
        }
        for text in &page.texts {
            let capitals = text.size_mm * 0.7;
            assert!(capitals > 2.499, "{} is {capitals} mm high", text.text);
        }
    }
    setup.heading.trim.clear();
    setup.heading.date = None;
    let (_, bytes) = print(&[demo::sheet(215.0)], &setup);
    let words = read::pages(&bytes)[0].words();
    assert!(words.contains("Printer correction: none") && !words.contains("2026"));
}

#[test]
fn the_file_asks_for_no_scaling_and_names_its_layers() {
    let (_, bytes) = print(&[demo::sheet(215.0), demo::sheet(500.0)], &demo::setup("letter"));
    let document = Document::load_mem(&bytes).unwrap();
    let catalog = document.catalog().unwrap();
    let wishes = read::inner(&document, catalog, b"ViewerPreferences");
    assert_eq!(wishes.get(b"PrintScaling").unwrap().as_name().unwrap(), b"None");
    assert!(wishes.get(b"PickTrayByPDFSize").unwrap().as_bool().unwrap());
    let layers = read::inner(&document, catalog, b"OCProperties");
    let names: Vec<String> = layers
        .get(b"OCGs")
        .unwrap()
        .as_array()
        .unwrap()
        .iter()
        .map(|id| document.get_dictionary(id.as_reference().unwrap()).unwrap())
        .map(|group| read::string(group.get(b"Name").unwrap()))
        .collect();
    let known: Vec<&str> = Pen::ALL.iter().map(|pen| pen.name()).collect();
    assert!(names.iter().all(|name| known.contains(&name.as_str())));
    let mut once = names.clone();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), names.len(), "one layer a pen for the whole file: {names:?}");
    for pen in [Pen::Cut, Pen::Hole, Pen::Centre, Pen::Bar, Pen::Ruler, Pen::Register] {
        assert!(names.contains(&pen.name().to_owned()), "{pen:?}");
    }
    assert!(!names.contains(&Pen::Scale.name().to_owned()), "a pen nobody used");
    let info = document.trailer.get(b"Info").unwrap().as_reference().unwrap();
    let info = document.get_dictionary(info).unwrap();
    assert!(info.get(b"CreationDate").is_err());
    assert_eq!(read::string(info.get(b"Title").unwrap()), "Heron");
}

#[test]
fn the_same_pages_give_the_same_bytes() {
    let setup = demo::setup("letter");
    let (_, a) = print(&[demo::sheet(215.0), demo::sheet(500.0)], &setup);
    let (_, b) = print(&[demo::sheet(215.0), demo::sheet(500.0)], &setup);
    assert_eq!(a, b);
    let (_, c) = print(&[demo::sheet(215.1), demo::sheet(500.0)], &setup);
    assert_ne!(a, c);
    // However many cores there are.
    for threads in [1, 2, 3, 7] {
        let cores = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let sheets = [demo::sheet(215.0), demo::sheet(500.0)];
        let (_, d) = cores.install(|| print(&sheets, &setup));
        assert!(a == d, "on {threads} threads");
    }
}

#[test]
fn a_name_in_signs_the_face_lacks_still_prints() {
    let mut setup = demo::setup("letter");
    setup.heading.name = "刀 — Größe \u{7} ⌀6".into();
    let meta = Meta { title: setup.heading.name.clone(), ..Meta::default() };
    let pages = lay_out(&[demo::sheet(150.0)], &setup).unwrap();
    let bytes = pdf(&pages, &meta).unwrap();
    assert!(read::pages(&bytes)[0].words().contains("? — Größe   Ø6"));
    let document = Document::load_mem(&bytes).unwrap();
    let info = document.trailer.get(b"Info").unwrap().as_reference().unwrap();
    let title = document.get_dictionary(info).unwrap().get(b"Title").unwrap();
    assert_eq!(read::string(title), meta.title);
}

#[test]
fn a_turned_drawing_keeps_its_shape_and_its_rules_stand() {
    let sheet = demo::sheet(270.0);
    let (pages, bytes) = print(std::slice::from_ref(&sheet), &demo::setup("a4"));
    assert_eq!(pages.len(), 1);
    assert!(pages[0].turn_deg < 0.0);
    let c = pages[0].from_sheet.as_coeffs();
    assert!((Affine::new(c).determinant() - 1.0).abs() < 1e-12, "no scaling");
    let read = &read::pages(&bytes)[0];
    let cut = read.layer(Pen::Cut.name()).next().unwrap();
    let Mark::Path(outline) = &sheet.drawing.items[0].mark else { panic!() };
    assert!((cut.path.area().abs() - outline.area().abs()).abs() < 0.01);
    assert!((cut.path.perimeter(1e-6) - outline.perimeter(1e-6)).abs() < TRUE_MM);
    base_line(read, Vec2::new(1.0, 0.0));
    base_line(read, Vec2::new(0.0, 1.0));
}

/// A page sent through a trim: what a reader finds is the true page, put through the matrix that
/// was asked for about its middle, whichever way round the page lies.
#[test]
fn a_trim_moves_every_line_as_it_should_and_nothing_else() {
    let rows = [[1.021, 0.0017], [0.0017, 1.016]];
    for paper in ["letter", "a4", "a3"] {
        let mut setup = demo::setup(paper);
        let sheets = [demo::sheet(180.0), demo::sheet(258.0), demo::sheet(700.0)];
        let (_, bytes) = print(&sheets, &setup);
        setup.trim = Some(rows);
        let (_, sent) = print(&sheets, &setup);
        for (page, through) in read::pages(&bytes).iter().zip(read::pages(&sent)) {
            let size = page.size_mm;
            let [[a, b], [c, d]] = rows;
            // Lying, the paper's own left and right are up and down.
            let linear = if size.width > size.height { [d, -b, -c, a] } else { [a, c, b, d] };
            let middle = size.to_vec2() / 2.0;
            let trim = Affine::translate(middle)
                * Affine::new([linear[0], linear[1], linear[2], linear[3], 0.0, 0.0])
                * Affine::translate(-middle);
            assert_eq!(page.size_mm, through.size_mm);
            assert_eq!(page.paths.len(), through.paths.len());
            for (one, other) in page.paths.iter().zip(&through.paths) {
                assert_eq!(one.layer, other.layer);
                for (a, b) in one.path.segments().zip(other.path.segments()) {
                    for t in [0.0, 0.5, 1.0] {
                        assert!((trim * a.eval(t)).distance(b.eval(t)) < TRUE_MM / 10.0);
                    }
                }
            }
            assert_eq!(page.words(), through.words());
        }
    }
}

/// A closed outline about a bent middle line, wide and narrow as the numbers say, so long.
fn blank(long_mm: f64, halves: &[f64], bends: &[f64]) -> BezPath {
    let at = |i: usize, side: f64| {
        let last = (halves.len() - 1) as f64;
        Point::new(long_mm * i as f64 / last, bends[i] + side * halves[i])
    };
    let upper = (0..halves.len()).map(|i| at(i, 1.0));
    let lower = (0..halves.len()).rev().map(|i| at(i, -1.0));
    let points: Vec<Point> = upper.chain(lower).collect();
    let mut path = BezPath::new();
    path.move_to(points[0]);
    for (i, to) in points.iter().enumerate().skip(1) {
        let from = points[i - 1];
        let third = (*to - from) / 3.0;
        let swell = third.turn_90() * 0.3;
        path.curve_to(from + third + swell, *to - third + swell, *to);
    }
    path.close_path();
    path
}

fn nearest(p: Point, segments: &[kurbo::PathSeg]) -> f64 {
    use kurbo::ParamCurveNearest;
    segments.iter().map(|s| s.nearest(p, 1e-9).distance_sq.sqrt()).fold(f64::MAX, f64::min)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    /// Tiles read back from the file, put together by their register marks, are the drawing, on
    /// papers of all sizes and with all margins; nothing of them lies in a margin.
    #[test]
    fn tiles_of_the_file_together_are_the_whole(
        long_mm in 300.0..900.0f64,
        halves in prop::collection::vec(6.0..30.0f64, 6),
        bends in prop::collection::vec(-25.0..25.0f64, 6),
        sides in (180.0..330.0f64, 180.0..330.0f64),
        margin_mm in 0.0..14.0f64,
    ) {
        let paper = Paper::parse(&format!("{:.1}x{:.1}mm", sides.0, sides.1)).unwrap();
        let mut setup = demo::setup("a4").with_margin_mm(margin_mm).unwrap();
        setup.paper = paper;
        let outline = blank(long_mm, &halves, &bends);
        let mut drawing = Drawing::new();
        drawing.add(Pen::Cut, Mark::Path(outline.clone()));
        let (pages, bytes) = print(&[bare(drawing)], &setup);
        let read = read::pages(&bytes);
        prop_assume!(pages.len() > 1);
        let mut parts = Vec::new();
        let mut marks: Vec<(usize, Point)> = Vec::new();
        for (i, (page, read)) in pages.iter().zip(&read).enumerate() {
            let back = page.from_sheet.inverse();
            parts.extend(read.layer(Pen::Cut.name()).flat_map(|cut| {
                (back * cut.path.clone()).segments().collect::<Vec<_>>()
            }));
            let crosses = read.layer(Pen::Register.name());
            marks.extend(crosses.map(|cross| (i, back * cross.path.bounding_box().center())));
            let size = read.size_mm;
            let printed = Rect::new(0.0, 0.0, size.width, size.height).inset(-margin_mm + TRUE_MM);
            for path in &read.paths {
                let bounds = path.path.bounding_box();
                prop_assert!(printed.union(bounds) == printed, "{} {bounds:?}", path.layer);
            }
        }
        for (i, at) in &marks {
            let other = marks.iter().any(|(j, to)| i != j && at.distance(*to) < TRUE_MM);
            prop_assert!(other, "tile {i}: no neighbour has the mark at {at:?}");
        }
        prop_assert!(marks.len() >= 2 * pages.len());
        let whole: Vec<kurbo::PathSeg> = outline.segments().collect();
        let along = |segments: &[kurbo::PathSeg]| -> Vec<Point> {
            let at = |k: u32| f64::from(k) / 12.0;
            segments.iter().flat_map(|s| (0..=12).map(move |k| s.eval(at(k)))).collect()
        };
        for p in along(&whole) {
            prop_assert!(nearest(p, &parts) < TRUE_MM, "lost at {p:?}");
        }
        for p in along(&parts) {
            prop_assert!(nearest(p, &whole) < TRUE_MM, "invented at {p:?}");
        }
    }
}
