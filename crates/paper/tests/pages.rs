//! How drawings go on pages: tiles together are the whole, nothing lies on anything.

#![expect(clippy::unwrap_used, reason = "a test fails where it unwraps")]

mod common;

use common::demo;
use kurbo::{BezPath, Circle, ParamCurve, PathSeg, Point, Rect, Shape};
use marks::{Drawing, Item, Label, Mark, Pen, lettering};
use paper::{Page, PaperError, Sheet, clip, lay_out};
use proptest::prelude::*;

fn bare(drawing: Drawing) -> Sheet {
    Sheet {
        key: "bare",
        title: "Bare".into(),
        drawing,
        notes: vec!["A note.".into()],
        inserts: vec![],
        ..Sheet::default()
    }
}

/// Points along all lines of a pen, no farther apart than about 1 mm.
fn samples(drawing: &Drawing, pen: Pen) -> Vec<Point> {
    let mut points = Vec::new();
    for segment in segments(drawing, pen) {
        let steps = (segment.bounding_box().size().max_side() + 2.0).ceil();
        points.extend((0..=steps as u32).map(|k| segment.eval(f64::from(k) / steps)));
    }
    points
}

fn segments(drawing: &Drawing, pen: Pen) -> Vec<PathSeg> {
    let mut all = Vec::new();
    for item in drawing.items.iter().filter(|item| item.pen == pen) {
        match &item.mark {
            Mark::Path(path) => all.extend(path.segments()),
            Mark::Circle(circle) => all.extend(circle.to_path(1e-6).segments()),
            _ => {}
        }
    }
    all
}

fn distance(p: Point, segments: &[PathSeg]) -> f64 {
    use kurbo::ParamCurveNearest;
    segments.iter().map(|s| s.nearest(p, 1e-9).distance_sq.sqrt()).fold(f64::MAX, f64::min)
}

/// Every tile's lines, back in the sheet's own plane.
fn union(pages: &[Page]) -> Drawing {
    let mut all = Drawing::new();
    for page in pages {
        all.extend(page.drawing.moved(page.from_sheet.inverse()));
    }
    all
}

fn cubic_path(points: &[(f64, f64)]) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(points[0]);
    for three in points[1..].chunks_exact(3) {
        path.curve_to(three[0], three[1], three[2]);
    }
    path.close_path();
    path
}

/// A closed path with the handles of each piece evenly set: a third of the way, as far aside. The
/// cube in such a piece's polynomial is nought but for rounding.
fn even_path(points: &[(f64, f64)]) -> BezPath {
    let points: Vec<Point> = points.iter().map(|p| Point::new(p.0, p.1)).collect();
    let mut path = BezPath::new();
    path.move_to(points[0]);
    for (from, to) in points.iter().zip(&points[1..]) {
        let third = (*to - *from) / 3.0;
        let aside = third.turn_90() * 0.3;
        path.curve_to(*from + third + aside, *to - third + aside, *to);
    }
    path.close_path();
    path
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// The tiles' lines together are the drawing's lines, no more and no less.
    #[test]
    fn tiles_together_are_the_whole(
        points in proptest::collection::vec((0.0..420.0f64, 0.0..230.0f64), 10),
        centre in (60.0..360.0f64, 60.0..170.0f64),
        radius in 2.0..60.0f64,
    ) {
        let mut drawing = Drawing::new();
        drawing.add(Pen::Cut, Mark::Path(cubic_path(&points)));
        drawing.add(Pen::Hole, Mark::Circle(Circle::new(centre, radius)));
        drawing.line(Pen::Bevel, Point::new(0.0, 0.0), Point::new(420.0, 230.0));
        let pages = lay_out(&[bare(drawing.clone())], &demo::setup("letter")).unwrap();
        prop_assert!(pages.len() > 1);
        let all = union(&pages);
        for pen in [Pen::Cut, Pen::Hole, Pen::Bevel] {
            let (whole, parts) = (segments(&drawing, pen), segments(&all, pen));
            for p in samples(&drawing, pen) {
                prop_assert!(distance(p, &parts) < 0.01, "{pen:?} lost at {p:?}");
            }
            for p in samples(&all, pen) {
                prop_assert!(distance(p, &whole) < 0.01, "{pen:?} invented at {p:?}");
            }
        }
    }

    /// Whatever its size, a drawing finds a place where nothing lies on anything, at full size.
    #[test]
    fn any_size_is_laid_out_clean(
        width_mm in 0.5..620.0f64,
        height_mm in 0.5..200.0f64,
        paper in prop::sample::select(vec!["letter", "legal", "tabloid", "a4", "a3"]),
    ) {
        let mut drawing = Drawing::new();
        drawing.rect(Pen::Cut, Rect::new(3.0, 7.0, 3.0 + width_mm, 7.0 + height_mm));
        let sheet = bare(drawing);
        let pages = lay_out(std::slice::from_ref(&sheet), &demo::setup(paper)).unwrap();
        for page in &pages {
            let scale = page.from_sheet.determinant();
            prop_assert!((scale - 1.0).abs() < 1e-12);
            check_page(&format!("{paper}, {width_mm} × {height_mm}, {}", page.name), &sheet, page);
        }
    }

    /// A clipped drawing lies in the window and has all that lies in the window.
    #[test]
    fn clipping_keeps_the_inside_and_only_that(
        points in proptest::collection::vec((-50.0..150.0f64, -50.0..150.0f64), 13),
    ) {
        let window = Rect::new(0.0, 0.0, 100.0, 80.0);
        let hair = window.inflate(1e-6, 1e-6);
        for path in [cubic_path(&points), even_path(&points)] {
            let mut drawing = Drawing::new();
            drawing.add(Pen::Cut, Mark::Path(path));
            let cut = clip(&drawing, window);
            let parts = segments(&cut, Pen::Cut);
            for segment in &parts {
                prop_assert!(hair.union(segment.bounding_box()) == hair, "{segment:?}");
            }
            for p in samples(&drawing, Pen::Cut) {
                if window.inset(-0.001).contains(p) {
                    prop_assert!(distance(p, &parts) < 1e-4, "{p:?}");
                }
            }
        }
    }
}

#[test]
fn a_cut_closed_line_opens_and_a_whole_one_stays_closed() {
    let window = Rect::new(0.0, 0.0, 100.0, 100.0);
    let count = |rect: Rect| {
        let mut drawing = Drawing::new();
        drawing.rect(Pen::Cut, rect);
        let cut = clip(&drawing, window);
        let path = match cut.items.first().map(|item| item.mark.clone()) {
            Some(Mark::Path(path)) => path,
            _ => BezPath::new(),
        };
        let closed = path.elements().contains(&kurbo::PathEl::ClosePath);
        let moves = path.elements().iter().filter(|e| matches!(e, kurbo::PathEl::MoveTo(_)));
        (moves.count(), closed, path.perimeter(1e-9))
    };
    assert_eq!(count(Rect::new(10.0, 10.0, 90.0, 90.0)), (1, true, 320.0));
    // A corner outside: one open piece, though the path starts at its other corner.
    assert_eq!(count(Rect::new(50.0, 50.0, 150.0, 150.0)), (1, false, 100.0));
    assert_eq!(count(Rect::new(-50.0, -50.0, 50.0, 50.0)), (1, false, 100.0));
    // Two sides cross the window: two pieces.
    assert_eq!(count(Rect::new(-50.0, 20.0, 150.0, 60.0)), (2, false, 200.0));
    assert_eq!(count(Rect::new(200.0, 20.0, 250.0, 60.0)).0, 0);
    // A side along the window's own side stays.
    assert_eq!(count(Rect::new(0.0, 0.0, 100.0, 100.0)), (1, true, 400.0));
}

#[test]
fn every_label_stands_on_one_tile_whole() {
    let mut drawing = demo::blank(700.0);
    let words: Vec<String> = (0..40).map(|k| format!("label-{k}")).collect();
    for (k, word) in words.iter().enumerate() {
        drawing.text(Pen::Lettering, Label::new(word, Point::new(17.0 * k as f64, 25.0), 2.5));
    }
    let setup = demo::setup("letter");
    let pages = lay_out(&[bare(drawing)], &setup).unwrap();
    for word in &words {
        let shown = pages.iter().flat_map(|page| labels(&page.drawing, page.size_mm.to_rect()));
        assert_eq!(shown.filter(|(label, _)| label.text == *word).count(), 1, "{word}");
    }
}

/// Labels with their boxes; all must lie inside the margins.
fn labels(drawing: &Drawing, page: Rect) -> Vec<(Label, [Point; 4])> {
    let mut found = Vec::new();
    for item in &drawing.items {
        if let Mark::Text(label) = &item.mark {
            let corners = lettering::corners(label);
            let inner = page.inset(-9.99);
            assert!(corners.iter().all(|p| inner.contains(*p)), "{} {corners:?}", label.text);
            found.push((label.clone(), corners));
        }
    }
    found
}

/// Whether two turned boxes share more than a hair: no side of either tells them apart.
fn overlap(a: &[Point; 4], b: &[Point; 4]) -> bool {
    let apart = |one: &[Point; 4], other: &[Point; 4]| {
        (0..4).any(|k| {
            let side = one[(k + 1) % 4] - one[k];
            let outward = kurbo::Vec2::new(side.y, -side.x).normalize();
            other.iter().all(|p| (*p - one[k]).dot(outward) > -1e-3)
        })
    };
    !(apart(a, b) || apart(b, a))
}

#[test]
fn no_label_lies_on_another_or_on_the_drawing() {
    let mut large = Drawing::new();
    large.rect(Pen::Cut, Rect::new(0.0, 0.0, 420.0, 300.0));
    let mut tall = Drawing::new();
    tall.rect(Pen::Cut, Rect::new(0.0, 0.0, 60.0, 170.0));
    let mut wide = Drawing::new();
    wide.rect(Pen::Cut, Rect::new(0.0, 0.0, 165.0, 150.0));
    let lengths = [60.0, 150.0, 215.0, 245.0, 262.0, 270.0, 300.0, 500.0, 900.0];
    let mut sheets: Vec<Sheet> = [large, tall, wide].into_iter().map(bare).collect();
    sheets.extend(lengths.map(demo::sheet));
    let long: Vec<String> =
        (1..=18).map(|k| format!("{k}. A note of a length that is usual for notes.")).collect();
    sheets.extend([215.0, 500.0].map(|mm| Sheet { notes: long.clone(), ..demo::sheet(mm) }));
    for paper in ["letter", "legal", "tabloid", "a4", "a3"] {
        for sheet in &sheets {
            let pages = lay_out(std::slice::from_ref(sheet), &demo::setup(paper)).unwrap();
            for page in &pages {
                check_page(&format!("{paper}, {}", page.name), sheet, page);
            }
            let all: String = pages.iter().map(words).collect();
            for note in &sheet.notes {
                let last = note.split_whitespace().last().unwrap();
                assert!(all.contains(last), "{paper}: {note}");
            }
        }
    }
}

fn words(page: &Page) -> String {
    let said = page.drawing.items.iter().filter_map(|item| match &item.mark {
        Mark::Text(label) => Some(label.text.as_str()),
        _ => None,
    });
    said.collect::<Vec<_>>().join(" ")
}

fn check_page(place: &str, sheet: &Sheet, page: &Page) {
    let labels = labels(&page.drawing, page.size_mm.to_rect());
    for (k, (a, box_a)) in labels.iter().enumerate() {
        for (b, box_b) in &labels[k + 1..] {
            assert!(!overlap(box_a, box_b), "{place}: {} on {}", a.text, b.text);
        }
    }
    let lines: Vec<Point> = [Pen::Cut, Pen::Bar, Pen::Hole, Pen::Dimension]
        .into_iter()
        .flat_map(|pen| samples(&page.drawing, pen))
        .collect();
    let own = |text: &str| {
        let is_it = |item: &Item| matches!(&item.mark, Mark::Text(label) if label.text == text);
        sheet.drawing.items.iter().any(is_it)
    };
    for (label, corners) in labels.iter().filter(|(label, _)| !own(&label.text)) {
        for p in &lines {
            let dot = [*p, *p + (0.01, 0.0), *p + (0.01, 0.01), *p + (0.0, 0.01)];
            assert!(!overlap(corners, &dot), "{place}: {} on a line at {p:?}", label.text);
        }
    }
}

#[test]
fn the_paper_is_turned_then_the_drawing_then_it_is_tiled() {
    let lay = |length_mm: f64| lay_out(&[demo::sheet(length_mm)], &demo::setup("a4")).unwrap();
    assert!(lay(150.0).len() == 1 && lay(150.0)[0].turn_deg == 0.0);
    let lying = lay(215.0);
    assert!(lying[0].size_mm.width > lying[0].size_mm.height && lying[0].turn_deg == 0.0);
    let turned = lay(275.0);
    assert!(turned.len() == 1 && turned[0].turn_deg != 0.0);
    assert!(lay(330.0).len() == 2);
    let letter = lay_out(&[demo::sheet(258.0)], &demo::setup("letter")).unwrap();
    assert!(letter.len() == 1 && letter[0].turn_deg < 0.0);
    let mut tall = Drawing::new();
    tall.rect(Pen::Cut, Rect::new(0.0, 0.0, 40.0, 180.0));
    let tall = lay_out(&[bare(tall)], &demo::setup("a4")).unwrap();
    assert!(tall[0].size_mm.height > tall[0].size_mm.width);
}

#[test]
fn notes_that_leave_no_room_for_a_tile_get_a_page_of_their_own() {
    let mut sheet = demo::sheet(215.0);
    let note = "Keep the edge one sweep from heel to tip when you file to the line.";
    sheet.notes = vec![note.to_owned(); 8];
    let words = |page: &Page| -> String {
        let text = |item: &Item| match &item.mark {
            Mark::Text(label) => Some(label.text.clone()),
            _ => None,
        };
        page.drawing.items.iter().filter_map(text).collect::<Vec<_>>().join(" ")
    };
    let pages = lay_out(&[sheet.clone()], &demo::setup("a5")).unwrap();
    let (last, tiles) = pages.split_last().unwrap();
    assert!(tiles.len() > 1);
    assert_eq!(words(last).matches(note).count(), 8);
    assert!(last.name.ends_with("notes"), "{}", last.name);
    for (i, page) in pages.iter().enumerate() {
        assert!(words(page).contains(&format!("Sheet {} of {}", i + 1, pages.len())));
        assert!(words(page).contains("Print at actual size"));
    }
    for tile in tiles {
        assert!(words(tile).contains("on the page after the tiles"), "{}", words(tile));
        assert!(!words(tile).contains("one sweep") && tile.size_mm == tiles[0].size_mm);
    }
    // Where there is room the notes stand beside the drawing.
    let pages = lay_out(&[sheet], &demo::setup("a4")).unwrap();
    assert_eq!(pages.len(), 1);
    assert_eq!(words(&pages[0]).matches(note).count(), 8);
}

/// A template in one piece is worth a page for its notes.
#[test]
fn notes_make_way_where_they_alone_would_bring_a_joint() {
    let note = "Keep the edge one sweep from heel to tip when you file to the line.";
    let message = |page: &Page| {
        let is_told = |item: &&Item| matches!(&item.mark, Mark::Text(label) if label.text.contains("page of their own"));
        page.drawing.items.iter().find(is_told).is_some()
    };
    let mut sheet = demo::sheet(243.0);
    sheet.notes = vec![note.to_owned(); 2];
    let few = lay_out(&[sheet.clone()], &demo::setup("letter")).unwrap();
    assert!(few.len() == 1 && !message(&few[0]));
    sheet.notes = vec![note.to_owned(); 16];
    let whole = lay_out(&[sheet.clone()], &demo::setup("letter")).unwrap();
    assert!(whole.len() == 1 && !message(&whole[0]), "they stand wherever there is room");
    sheet.notes = vec![note.to_owned(); 48];
    let pages = lay_out(&[sheet], &demo::setup("letter")).unwrap();
    assert_eq!(pages.len(), 2);
    assert!(!pages[0].name.contains("tile") && message(&pages[0]), "{}", pages[0].name);
    assert!(pages[1].name.ends_with(", notes"), "{}", pages[1].name);
}

#[test]
fn register_crosses_meet() {
    let pages = lay_out(&[demo::sheet(500.0)], &demo::setup("letter")).unwrap();
    let crosses = |page: &Page| -> Vec<Point> {
        let centre = |item: &Item| match &item.mark {
            Mark::Circle(circle) if item.pen == Pen::Register => {
                Some(page.from_sheet.inverse() * circle.center)
            }
            _ => None,
        };
        page.drawing.items.iter().filter_map(centre).collect()
    };
    for pair in pages.windows(2) {
        let (a, b) = (crosses(&pair[0]), crosses(&pair[1]));
        let shared = a.iter().filter(|p| b.iter().any(|q| p.distance(*q) < 1e-9)).count();
        assert_eq!(shared, 2);
    }
}

// Notes that no page of A5 holds beside a tile, nor alone, run on to pages of their own.
#[test]
fn long_notes_run_on_to_further_pages() {
    let setup = demo::setup("a5");
    let word = |i: usize| format!("note{i:03} that tells at some length what to mind, and why.");
    for count in [3, 30, 100] {
        let mut sheet = demo::sheet(250.0);
        sheet.notes = (0..count).map(word).collect();
        let pages = lay_out(&[sheet], &setup).unwrap();
        let texts = |page: &Page| -> Vec<(String, Point)> {
            let labels = page.drawing.items.iter().filter_map(|item| match &item.mark {
                Mark::Text(label) => Some((label.text.clone(), label.at)),
                _ => None,
            });
            labels.collect()
        };
        let all: Vec<(String, Point)> = pages.iter().flat_map(texts).collect();
        for i in 0..count {
            let start = format!("note{i:03}");
            assert!(all.iter().any(|(text, _)| text.starts_with(&start)), "{count}: {start}");
        }
        for page in &pages {
            for (text, at) in texts(page) {
                let inside = Rect::from_origin_size(Point::ORIGIN, page.size_mm).inset(-9.0);
                assert!(inside.contains(at), "{text} at {at:?}");
            }
        }
        // Few stand on the sheet, unless they alone would bring a joint.
        let apart = pages.iter().any(|page| page.name.ends_with(", notes"));
        assert!(apart || count < 20, "{count}");
    }
}

#[test]
fn what_cannot_be_printed_is_told() {
    let setup = demo::setup("letter");
    let mut huge = Drawing::new();
    huge.line(Pen::Cut, Point::ORIGIN, Point::new(1e7, 1e6));
    let error = lay_out(&[bare(huge)], &setup).unwrap_err();
    assert!(matches!(error, PaperError::TooLarge { .. }), "{error}");
    let mut broken = Drawing::new();
    broken.line(Pen::Cut, Point::ORIGIN, Point::new(f64::NAN, 0.0));
    let error = lay_out(&[bare(broken)], &setup).unwrap_err();
    assert!(matches!(error, PaperError::NotFinite { .. }), "{error}");
    let mut narrow = demo::setup("letter");
    narrow.margin_mm = 70.0;
    let error = lay_out(&[demo::sheet(100.0)], &narrow).unwrap_err();
    assert!(matches!(error, PaperError::NoRoom { .. }), "{error}");
    assert!(error.to_string().contains(&format!("\"{}\"", demo::sheet(100.0).key)), "{error}");
    for wrong in [f64::NAN, f64::INFINITY, -5.0] {
        let mut odd = demo::setup("letter");
        odd.margin_mm = wrong;
        assert!(lay_out(&[demo::sheet(100.0)], &odd).is_err(), "{wrong}");
        odd.margin_mm = 10.0;
        odd.overlap_mm = wrong;
        let pages = lay_out(&[demo::sheet(500.0)], &odd);
        assert!(pages.is_ok() == wrong.is_finite());
    }
    assert_eq!(lay_out(&[bare(Drawing::new())], &setup).unwrap().len(), 1);
    assert!(lay_out(&[], &setup).unwrap().is_empty());
}

/// Each of the sheets would go, and the file would hold what nobody prints.
#[test]
fn more_pages_than_anyone_prints_are_refused_before_they_are_drawn() {
    let large = || {
        let mut drawing = Drawing::new();
        drawing.rect(Pen::Cut, Rect::new(0.0, 0.0, 500.0, 500.0));
        Sheet { key: "profile", title: "Profile".to_owned(), drawing, ..Sheet::default() }
    };
    let setup = demo::setup("a5");
    let pages = lay_out(&[large()], &setup).unwrap().len();
    let some = 300 / pages;
    let sheets: Vec<Sheet> = (0..some).map(|_| large()).collect();
    assert_eq!(lay_out(&sheets, &setup).unwrap().len(), some * pages);
    let sheets: Vec<Sheet> = (0..=some).map(|_| large()).collect();
    let error = lay_out(&sheets, &setup).unwrap_err();
    let message = format!("take {} pages of this paper and at most 300", (some + 1) * pages);
    assert!(error.to_string().contains(&message), "{error}");
}

/// Tables, as wide as this and each of its own height.
fn with_tables(main: Drawing, wide: f64, heights: &[f64]) -> Sheet {
    let table = |(k, height): (usize, &f64)| {
        let mut drawing = Drawing::new();
        drawing.rect(Pen::Frame, Rect::new(0.0, 0.0, wide, *height));
        drawing.text(Pen::Lettering, Label::new(format!("table {k}"), Point::new(2.0, 2.0), 3.0));
        drawing
    };
    let inserts = heights.iter().enumerate().map(table).map(Into::into).collect();
    Sheet { inserts, notes: vec!["Mind the note.".into()], ..bare(main) }
}

fn labelled(page: &Page, text: &str) -> bool {
    page.drawing.items.iter().any(|item| match &item.mark {
        Mark::Text(label) => label.text == text,
        _ => false,
    })
}

#[test]
fn a_table_stands_beside_the_drawing_where_there_is_room() {
    let sheet = with_tables(strip(150.0, 20.0), 100.0, &[30.0]);
    let pages = lay_out(&[sheet], &demo::setup("a4")).unwrap();
    assert_eq!(pages.len(), 1);
    assert!(labelled(&pages[0], "table 0"));
}

#[test]
fn tables_go_on_pages_of_their_own_and_stay_whole() {
    for (long, paper) in [(200.0, "letter"), (600.0, "a4"), (230.0, "a5")] {
        let heights = [60.0, 60.0, 80.0, 30.0];
        let sheet = with_tables(strip(long, 40.0), 160.0, &heights);
        let pages = lay_out(&[sheet], &demo::setup(paper)).unwrap();
        for (k, height) in heights.iter().enumerate() {
            let whole = pages.iter().filter(|page| {
                let framed = page.drawing.items.iter().any(|item| match &item.mark {
                    Mark::Path(path) => {
                        let size = path.bounding_box().size();
                        (size.width - 160.0).abs() < 1e-6 && (size.height - height).abs() < 1e-6
                    }
                    _ => false,
                });
                framed && labelled(page, &format!("table {k}"))
            });
            assert_eq!(whole.count(), 1, "table {k} on {paper}");
        }
        assert!(pages.iter().any(|page| labelled(page, "Mind the note.")), "{paper}");
        let numbers: Vec<usize> = pages.iter().map(|page| page.number).collect();
        assert_eq!(numbers, (1..=pages.len()).collect::<Vec<_>>());
        for page in &pages {
            let inside = Rect::from_origin_size((0.0, 0.0), page.size_mm).inflate(-9.5, -9.5);
            let ink = paper::extent(&page.drawing).unwrap();
            assert!(inside.union(ink) == inside, "{paper}: {ink:?} off the page");
        }
    }
}

/// A plain strip of steel.
fn strip(length_mm: f64, width_mm: f64) -> Drawing {
    let mut drawing = Drawing::new();
    drawing.rect(Pen::Cut, Rect::new(0.0, 0.0, length_mm, width_mm));
    drawing
}

/// Two tiles leave room beside a strip: tables stand there, whole and clear of the joint.
#[test]
fn tables_stand_on_a_tile_where_there_is_room() {
    for paper in ["letter", "a4"] {
        let sheet = with_tables(strip(400.0, 40.0), 90.0, &[30.0, 20.0]);
        let pages = lay_out(&[sheet], &demo::setup(paper)).unwrap();
        assert_eq!(pages.len(), 2, "{paper}");
        for (k, height) in [30.0, 20.0].iter().enumerate() {
            let on = pages.iter().filter(|page| labelled(page, &format!("table {k}")));
            let on: Vec<&Page> = on.collect();
            assert_eq!(on.len(), 1, "{paper}: table {k}");
            let whole = segments(&on[0].drawing, Pen::Frame).iter().any(|side| {
                (side.bounding_box().height() - height).abs() < 1e-6
                    && side.bounding_box().width() < 1e-6
            });
            assert!(whole, "{paper}: table {k}");
        }
        let all = union(&pages);
        let cut = segments(&strip(400.0, 40.0), Pen::Cut);
        assert!(samples(&all, Pen::Cut).into_iter().all(|p| distance(p, &cut) < 0.01), "{paper}");
    }
}

/// What a sheet has smaller is printed only where its drawing doesn't go level, and carries no
/// ruler: of what it has, the first that goes.
#[test]
fn what_is_too_long_is_printed_smaller_where_the_sheet_has_it_so() {
    let smaller = |length_mm: f64| {
        let mut picture = Drawing::new();
        picture.rect(Pen::Blank, Rect::new(0.0, 0.0, length_mm, 20.0));
        let inserts = vec![marks::Insert::Chart(picture)];
        Sheet { inserts, title: format!("Smaller, {length_mm}"), ..bare(Drawing::new()) }
    };
    let reduced = vec![smaller(320.0), smaller(160.0)];
    let sheet = Sheet { reduced, ..bare(strip(380.0, 40.0)) };
    let setup = demo::setup("letter");
    let pages = lay_out(std::slice::from_ref(&sheet), &setup).unwrap();
    assert_eq!((pages.len(), pages[0].name.as_str()), (1, "Smaller, 160"));
    let pens = |page: &Page, pen: Pen| page.drawing.items.iter().any(|item| item.pen == pen);
    assert!(!pens(&pages[0], Pen::Ruler) && !pens(&pages[0], Pen::Cut));
    assert!(words(&pages[0]).contains("Nothing on this page is to be measured"));
    let pages = lay_out(&[sheet], &demo::setup("a3")).unwrap();
    assert_eq!((pages.len(), pages[0].name.as_str()), (1, "Bare"));
    assert!(pens(&pages[0], Pen::Ruler) && pens(&pages[0], Pen::Cut));
}
