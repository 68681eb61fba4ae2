//! Drawings from elsewhere: the corpus of small files, one issue each, and what must come of it.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use knife::svg_import::{ImportedOutline, guess_marks, import_svg};
use knife::{Bar, HoleKind, Placement, Reference, ReferenceEdge, ReferenceEnd};
use outline::kurbo::{Affine, ParamCurveArea, PathSeg, Point, Rect, Shape, Vec2};
use proptest::prelude::*;
use resvg::usvg;
use std::f64::consts::PI;
use std::path::PathBuf;
use units::LengthUnit::{self, Inch, Millimetre};

/// What must come of a file.
enum Want {
    /// Area in mm² (worked out by hand from the typed numbers), holes as x, y, diameter in mm,
    /// unit, remarks word for word.
    Is(f64, &'static [[f64; 3]], LengthUnit, &'static [&'static str]),
    /// The fault, word for word.
    Fails(&'static str),
}
use Want::{Fails, Is};

/// The plain blank of most files: 200 × 40 mm from (5, −50) to (205, −10).
const BOX: Want = Is(8000.0, &[], Millimetre, &[]);
/// The same with a 6 mm hole.
const BOX_H6: Want = Is(8000.0, H6, Millimetre, &[]);
const H6: &[[f64; 3]] = &[[50.0, -30.0, 6.0]];
/// 7 × 1.5 in, with a quarter-inch hole.
const IN_7X1_5: f64 = 7.0 * 1.5 * 25.4 * 25.4;
const IN_6X1_5: f64 = 6.0 * 1.5 * 25.4 * 25.4;
const QUARTER: &[[f64; 3]] = &[[101.6, -44.45, 6.35]];
const NO_SIZE: &str = "the drawing gives no physical size; 96 px to the inch was assumed";

#[rustfmt::skip]
const CORPUS: &[(&str, Want)] = &[
    ("all-hidden", Fails("everything in the drawing is hidden; show the outline's layer and save it again")),
    ("aspect-meet", BOX),
    ("aspect-none", Is(16000.0, &[], Millimetre, &[
        "the page stretches the drawing 2.0000 times as much in y as in x",
        "1 closed shape was left out because only round holes are taken"])),
    ("aspect-slice", Is(32000.0, &[], Millimetre, &[])),
    ("beyond-measure", Fails("the outline lies 1.00e12 mm from the drawing's origin, where coordinates are too coarse; move it onto the page")),
    ("centimetres", Is(700.0 * 150.0, &[[400.0, -175.0, 25.0]], Millimetre, &[])),
    ("circle-made-oval", Is(8000.0, &[], Millimetre, &["1 closed shape was left out because only round holes are taken"])),
    ("clockwise-turned", BOX),
    ("collinear-nodes", BOX),
    ("compound-path", Is(8000.0, &[[50.0, -30.0, 6.0], [94.0, -30.0, 8.0]], Millimetre, &[])),
    ("compressed", Fails("the file is a compressed drawing (svgz); save it as plain, uncompressed SVG")),
    ("cut-short", Fails("the drawing breaks off before its end; save it again as plain SVG")),
    ("defs-and-clips", Is(8000.0, &[], Millimetre, &["1 part was taken whole, without the clip path or mask"])),
    ("dots", Is(8000.0, H6, Millimetre, &["2 dots were left out because a hole is larger"])),
    ("duplicate-nodes", BOX),
    ("ellipse-made-round", BOX_H6),
    ("ellipse-outline", Is(PI * 100.0 * 20.0, H6, Millimetre, &[])),
    ("entities", BOX),
    ("entity-bomb", Fails("the drawing repeats its own text (entities) too often to be read; save it again as plain SVG")),
    // Its box runs from (1000005, 1999950) to (1000205, 1999990); the guessed tip is its lower right corner.
    ("far-from-origin", Is(8000.0, &[[-155.0, 20.0, 6.0]], Millimetre, &[
        "the outline lies far from the drawing's origin and was moved: its tip, drawn at (1000205, 1999950) mm, is at (0, 0)"])),
    ("figure-of-eight", Is(0.0, H6, Millimetre, &[])),
    ("fill-and-stroke-twice", BOX_H6),
    ("flat", Fails("the closed path near (5, -10) mm encloses nothing; draw the outline as one closed path")),
    // A six-sided blank within: 120 × 30, and 20 × 30 of its two points.
    ("frame-and-title-box", Is(4200.0, &[], Millimetre, &["a rectangle drawn around it was taken for a frame and left out",
        "1 closed shape beside the outline was left out"])),
    ("frame-around-open", Fails("the outline is open: 4.525 mm are missing near (28.2, -33.2) mm; close the path in the drawing program")),
    ("frame-around-rect", Is(8000.0, H6, Millimetre, &["a rectangle drawn around it was taken for a frame and left out"])),
    ("frame-drawn", Is(4200.0, H6, Millimetre, &["a rectangle drawn around it was taken for a frame and left out"])),
    ("frame-of-two-lines", Is(4200.0, &[], Millimetre, &["a rectangle drawn around it was taken for a frame and left out"])),
    ("gap-of-micrometres", Is(8000.0, &[], Millimetre, &["a gap of 0.008 mm near (5, -10.01) mm was closed"])),
    ("gap-of-millimetres", Fails("the outline is open: 3.2 mm are missing near (5, -13.2) mm; close the path in the drawing program")),
    ("hidden-parts", Is(8000.0, H6, Millimetre, &["2 hidden parts were left out"])),
    ("hole-over-the-edge", Is(8000.0, &[[50.0, -11.0, 6.0]], Millimetre, &[])),
    ("hole-too-wide", Is(240.0 * 140.0, &[[40.0, -30.0, 6.0]], Millimetre, &[
        "a circle of 101 mm at (150, -80) mm was left out because a hole has at most 100 mm"])),
    ("holes-not-round", Is(8000.0, &[], Millimetre, &[
        "2 closed shapes were left out because only round holes are taken",
        "1 closed shape beside the outline was left out"])),
    ("holes-outside", Is(8000.0, H6, Millimetre, &["a circle of 4 mm at (50, -57) mm lies outside the outline and was left out"])),
    ("huge", Fails("the outline is 20000 mm long (at most 3000 mm are taken); check the drawing's units")),
    ("inches", Is(IN_7X1_5, QUARTER, Inch, &[])),
    ("latin-1", Fails("the file isn't UTF-8 text (byte 141 is wrong); save the drawing as SVG in UTF-8")),
    ("many-circles-outside", Is(8000.0, &[], Millimetre, &[
        "a circle of 4 mm at (10, -57) mm lies outside the outline and was left out",
        "a circle of 4 mm at (30, -57) mm lies outside the outline and was left out",
        "a circle of 4 mm at (50, -57) mm lies outside the outline and was left out",
        "a circle of 4 mm at (70, -57) mm lies outside the outline and was left out",
        "a circle of 4 mm at (90, -57) mm lies outside the outline and was left out",
        "3 more circles were outside the outline and left out as well"])),
    ("many-moves", BOX),
    ("micro-segments", BOX),
    ("nested-deep", Fails("the drawing has groups nested more than 200 deep; ungroup them in the drawing program")),
    ("nested-svg", BOX),
    ("no-bytes", Fails("the file is empty; save the drawing again as SVG")),
    ("no-namespace", BOX),
    ("no-size", Is(IN_6X1_5, &[], Millimetre, &[NO_SIZE])),
    ("no-size-viewbox", Is(IN_6X1_5, &[], Millimetre, &[NO_SIZE])),
    ("not-xml", Fails("the file isn't an SVG drawing; save the outline as SVG in the drawing program")),
    ("nothing", Fails("the drawing is empty; draw the outline as one closed path")),
    ("number-broken", Fails("the rect in line 2 has y=“ten”, which isn't a number that can be used; correct it, or save the drawing again")),
    ("number-nan", Fails("the path in line 2 can't be read from character 11 of its data on; correct it, or save the drawing again")),
    ("number-not-finite", Fails("the path in line 2 can't be read from character 11 of its data on; correct it, or save the drawing again")),
    ("number-overflow", Fails("the path in line 2 has a coordinate too large to be a number; correct its transform or its numbers")),
    ("only-picture", Fails("the drawing holds a picture, not a line; trace it first, then save the traced path")),
    ("only-text", Fails("the drawing holds only text; draw the outline as one closed path")),
    // By hand: 3/20 of the cross product of the two handles, 200 × 100 + 200 × 100.
    ("one-curve", Is(6000.0, &[], Millimetre, &[])),
    ("open-extras", Is(8000.0, &[], Millimetre, &["3 open paths were left out"])),
    ("other-xml", Fails("the file holds “html”, not an SVG drawing; save the outline as SVG in the drawing program")),
    ("outlined-stroke", Is(8000.0, &[], Millimetre, &["a second outline within 0.5 mm of the first was left out, as a line saved with its width has two; the larger one was taken, so check its size"])),
    ("page-frame", Is(8000.0, &[], Millimetre, &["a rectangle exactly as large as the page was left out"])),
    ("page-frame-percent", Is(8000.0, &[], Millimetre, &["a rectangle exactly as large as the page was left out"])),
    ("page-is-the-blank", Is(210.0 * 60.0, H6, Millimetre, &[])),
    ("path-arcs", Is(160.0 * 40.0 + PI * 400.0, H6, Millimetre, &[])),
    ("path-broken", Fails("the path in line 3 can't be read from character 16 of its data on; correct it, or save the drawing again")),
    ("path-implicit-restart", Is(8000.0, H6, Millimetre, &["1 open path was left out"])),
    // A parabola cuts two thirds off its triangle (Archimedes): twice 2/3 of 4000.
    ("path-quadratics", Is(16000.0 / 3.0, &[], Millimetre, &[])),
    ("path-relative", BOX_H6),
    // fontTools 4, momentsPen: 7000.
    ("path-smooth", Is(7000.0, &[], Millimetre, &[])),
    ("picas", Is(IN_7X1_5, QUARTER, Millimetre, &[])),
    ("pieces", Is(8000.0, H6, Millimetre, &["the outline was joined from 4 paths"])),
    ("pieces-drawn-twice", Is(8000.0, &[], Millimetre, &["the outline was joined from 4 paths"])),
    ("pieces-one-missing", Fails("the outline is open: 40 mm are missing near (5, -50) mm; close the path in the drawing program")),
    ("pieces-with-a-branch", Is(8000.0, &[], Millimetre, &["the outline was joined from 4 paths", "1 open path was left out"])),
    ("plain", BOX_H6),
    ("points", Is(IN_7X1_5, QUARTER, Millimetre, &[])),
    ("polygon", Is(8000.0, H6, Millimetre, &[])),
    ("polyline-meeting", BOX),
    ("polyline-open", Fails("the outline is open: 40 mm are missing near (5, -50) mm; close the path in the drawing program")),
    ("prefixed", BOX),
    ("px", Is(IN_7X1_5, QUARTER, Millimetre, &[NO_SIZE])),
    ("quarter-millimetres", Is(IN_7X1_5, QUARTER, Millimetre, &[])),
    ("rect-many-round-holes", Is(8000.0, &[[50.0, -30.0, 6.0], [140.0, -30.0, 30.0]], Millimetre, &[])),
    ("rect-round-hole", BOX_H6),
    ("rect-rounded", Is(8000.0 - (4.0 - PI) * 100.0, &[], Millimetre, &[])),
    // A slot a fifth as long is no blank.
    ("rect-with-slot", Is(8000.0, &[], Millimetre, &["1 closed shape was left out because only round holes are taken"])),
    ("size-broken", Fails("the drawing's width “wide” isn't a size; set the page size in the drawing program")),
    ("size-in-style", BOX),
    ("size-without-viewbox", Is(IN_6X1_5, &[[50.8, -44.45, 6.0]], Millimetre, &["the drawing \
                                                                                 gives a size but \
                                                                                 no viewBox; its \
                                                                                 bare numbers \
                                                                                 were read as px, \
                                                                                 96 to the inch"])),
    ("size-zero", Fails("the drawing's width “0” isn't a size; set the page size in the drawing program")),
    ("sizes-in-style", BOX_H6),
    ("sizes-in-style-ignored", Is(8000.0, H6, Millimetre, &["2 style rules were not followed; check the outline's place and size"])),
    ("style-sheet", Is(8000.0, &[], Millimetre, &["2 hidden parts were left out"])),
    ("style-sheet-nested", Is(8000.0, &[], Millimetre, &[])),
    ("switch", BOX),
    ("tag-mismatch", Fails("the drawing is faulty at line 3, column 1, and can't be read; save it again as plain SVG")),
    ("text-beside", Is(8000.0, &[], Millimetre, &["1 text was left out", "1 picture was left out"])),
    ("tiny", Fails("the outline is only 0.2 mm long (at least 5 mm are wanted); check the drawing's units")),
    ("transform-broken", Fails("the path in line 2 has a transform that can't be read: “rotate(banana)”; ungroup it, or save the drawing again")),
    ("transform-in-style", BOX),
    ("transform-list", BOX_H6),
    ("transform-mirror", BOX_H6),
    ("transform-skew", Is(150.0 * 30.0, &[], Millimetre, &[])),
    ("use-bomb", Fails("the drawing shows more than 300000 elements, copies counted; save one that holds the outline alone")),
    ("use-cycle", Is(8000.0, &[], Millimetre, &["3 copies were left out because what is copied isn't in the drawing"])),
    ("use-symbol", Is(8000.0, &[[50.0, -30.0, 6.0], [100.0, -30.0, 12.0]], Millimetre, &[])),
    ("utf-16", BOX),
    ("utf-8-mark", BOX),
    ("viewbox-broken", Fails("the drawing's viewBox “0 0 210” isn't a size; set the page size in the drawing program")),
    ("viewbox-shifted", Is(200.0 * 30.0, &[[5.0, -7.0, 4.0]], Millimetre, &[])),
    ("width-alone", BOX),
    ("width-percent", Is(IN_6X1_5, &[], Millimetre, &[NO_SIZE])),
    ("viewbox-of-nothing", Is(8000.0, H6, Millimetre, &["1 hidden part was left out"])),
];

/// A blank drawn as smooth curves.
struct Blank {
    name: &'static str,
    /// fontTools 4, momentsPen, on the numbers as typed, mm².
    area_mm2: f64,
    holes: usize,
    /// The tip its maker marked, or else the outermost node.
    tip: (f64, f64),
    /// The heel its maker marked, where a node tells it from the edge.
    heel: Option<(f64, f64)>,
}

#[rustfmt::skip]
const BLANKS: &[Blank] = &[
    Blank { name: "blank-bird-and-trout", area_mm2: 2344.4209675893285, holes: 4, tip: (92.0, 2.2), heel: Some((2.0, -7.2)) },
    Blank { name: "blank-chef-240", area_mm2: 12804.32233788826, holes: 3, tip: (240.0, -2.0), heel: Some((1.0, -36.0)) },
    Blank { name: "blank-drop-point", area_mm2: 5542.515515864419, holes: 4, tip: (97.0, 5.0), heel: Some((3.0, -15.0)) },
    Blank { name: "blank-finger-notch", area_mm2: 5171.325000419229, holes: 3, tip: (104.0, 4.0), heel: Some((14.0, -14.0)) },
    Blank { name: "blank-jimping", area_mm2: 5418.012410149997, holes: 3, tip: (100.0, 5.0), heel: Some((3.0, -14.0)) },
    // Edge and spine are one curve with a loop, so there is no heel; the first hollow is told.
    Blank { name: "blank-loop-in-one-cubic", area_mm2: 3776.286810634527, holes: 1, tip: (50.0, 13.0), heel: Some((-102.3, -16.0)) },
    Blank { name: "blank-micro-segments", area_mm2: 3360.74832216527, holes: 2, tip: (150.0, -1.0), heel: Some((0.0, -14.0)) },
    Blank { name: "blank-self-touching", area_mm2: 4536.179297733969, holes: 1, tip: (95.0, 5.0), heel: Some((0.0, -14.0)) },
    Blank { name: "blank-sharpening-notch", area_mm2: 5366.02128317308, holes: 4, tip: (98.0, 6.0), heel: Some((7.2, -14.0)) },
    // Marked at (0, −13), but the edge runs on straight to the notch at −1.2.
    Blank { name: "blank-sheepsfoot", area_mm2: 5120.4941106426895, holes: 3, tip: (88.0, -11.5), heel: Some((-1.2, -13.0)) },
    Blank { name: "blank-spear-point", area_mm2: 5092.262785867909, holes: 4, tip: (112.0, 0.0), heel: Some((4.0, -11.5)) },
    Blank { name: "blank-tanto", area_mm2: 6247.7940374828895, holes: 5, tip: (121.0, 12.5), heel: Some((2.0, -14.0)) },
    Blank { name: "blank-trailing-point", area_mm2: 5495.8428872574195, holes: 3, tip: (133.0, 22.0), heel: Some((3.0, -13.0)) },
    Blank { name: "blank-zero-length-handles", area_mm2: 4897.3, holes: 2, tip: (96.0, 4.0), heel: Some((0.0, -13.0)) },
];

fn corpus() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/corpus/svg")
}

/// Area about the first node, so that a far place costs no digits.
fn area(taken: &ImportedOutline) -> f64 {
    let from = taken.outline.segs()[0]
        .as_path_el()
        .end_point()
        .map_or_else(Default::default, |p| p.to_vec2());
    let moved = taken.outline.transformed(Affine::translate(-from));
    moved.segs().iter().map(PathSeg::signed_area).sum::<f64>().abs()
}

#[test]
fn every_file_of_the_corpus_comes_to_what_it_must() {
    for (name, want) in CORPUS {
        let bytes = std::fs::read(corpus().join(name).with_extension("svg")).unwrap();
        assert!(bytes.len() <= 4096, "{name} is more than 4 KiB");
        match (import_svg(&bytes), want) {
            (Ok(taken), Is(want_area, holes, unit, remarks)) => {
                let got = area(&taken);
                assert!((got - want_area).abs() <= 1e-9 * want_area + 1e-9, "{name}: area {got}");
                assert_eq!(taken.holes.len(), holes.len(), "{name}: {:?}", taken.holes);
                for (hole, [x, y, d]) in taken.holes.iter().zip(*holes) {
                    let off = (hole.center.x - x).abs().max((hole.center.y - y).abs());
                    let wide = (2.0 * hole.radius - d).abs();
                    // The polygon's corners are typed to a millionth.
                    assert!(off.max(wide) < 1e-6, "{name}: {hole:?}");
                }
                assert_eq!(taken.unit, *unit, "{name}");
                let format_against: Vec<String> =
                    taken.warnings.iter().map(ToString::to_string).collect();
                assert_eq!(format_against, *remarks, "{name}");
            }
            (Err(fault), Fails(words)) => assert_eq!(fault.to_string(), *words, "{name}"),
            (Ok(taken), Fails(_)) => {
                panic!("{name} was taken: {:?}", taken.outline.to_path().bounding_box())
            }
            (Err(fault), Is(..)) => panic!("{name} was refused: {fault}"),
        }
    }
}

/// Files in which a reader that shows drawings sees something else, and why.
const SEEN_OTHERWISE: &[(&str, &str)] = &[
    ("compound-path", "a compound path is one path there"),
    ("far-from-origin", "f32 has no digits left there"),
    ("frame-and-title-box", "the frame is shown"),
    ("frame-around-rect", "the frame is shown"),
    ("frame-drawn", "the frame is shown"),
    ("frame-of-two-lines", "the frame is shown"),
    ("page-frame", "the page is shown"),
    ("page-frame-percent", "the page is shown"),
    ("path-implicit-restart", "a compound path is one path there"),
    ("pieces", "nothing is joined"),
    ("pieces-drawn-twice", "nothing is joined"),
    ("pieces-with-a-branch", "nothing is joined"),
    ("quarter-millimetres", "the unit is newer than that reader"),
    ("sizes-in-style", "sizes are read from attributes alone"),
    ("viewbox-of-nothing", "what has a viewBox without width shows (SVG 2, 8.6: it does not)"),
    ("size-in-style", "the size is read from attributes alone"),
    ("use-cycle", "a cycle makes that reader give up"),
    ("utf-16", "that reader takes UTF-8 alone"),
];

/// The boxes of all visible paths as usvg 0.49 (which holds paths in `f32`) reads them, mm.
fn boxes_by_usvg(bytes: &[u8]) -> Vec<Rect> {
    fn gather(group: &usvg::Group, boxes: &mut Vec<Rect>) {
        for node in group.children() {
            match node {
                usvg::Node::Group(inner) => gather(inner, boxes),
                usvg::Node::Path(path) if path.is_visible() => {
                    let b = path.abs_bounding_box();
                    let px = Rect::new(
                        b.left().into(),
                        b.top().into(),
                        b.right().into(),
                        b.bottom().into(),
                    );
                    boxes.push(px.scale_from_origin(25.4 / 96.0));
                }
                _ => {}
            }
        }
    }
    let mut boxes = Vec::new();
    let tree = usvg::Tree::from_data(bytes, &usvg::Options::default()).unwrap();
    gather(tree.root(), &mut boxes);
    boxes
}

#[test]
fn sizes_and_holes_agree_with_another_reader() {
    let alike = |name: &str| SEEN_OTHERWISE.iter().all(|(other, _)| *other != name);
    let read = CORPUS.iter().filter(|(_, want)| matches!(want, Is(..))).map(|(name, _)| *name);
    for name in read.chain(BLANKS.iter().map(|blank| blank.name)).filter(|name| alike(name)) {
        let bytes = std::fs::read(corpus().join(name).with_extension("svg")).unwrap();
        let taken = import_svg(&bytes).unwrap();
        let own = taken.outline.to_path().bounding_box();
        let boxes = boxes_by_usvg(&bytes);
        let largest = boxes.iter().copied().max_by(|a, b| a.area().total_cmp(&b.area())).unwrap();
        let close = 2e-6 * own.width();
        let off = own.size().to_vec2() - largest.size().to_vec2();
        assert!(off.hypot() < close, "{name}: {own:?}, {largest:?}");
        for hole in &taken.holes {
            let from_corner = Vec2::new(hole.center.x - own.x0, own.y1 - hole.center.y);
            let at = largest.origin() + from_corner;
            let same = |b: &Rect| {
                b.center().distance(at) < close && (b.width() - 2.0 * hole.radius).abs() < close
            };
            assert!(boxes.iter().any(same), "{name}: {hole:?}");
        }
    }
}

#[test]
fn the_table_names_every_file_once() {
    let mut files: Vec<String> = std::fs::read_dir(corpus())
        .unwrap()
        .map(|entry| entry.unwrap().path().file_stem().unwrap().to_string_lossy().into_owned())
        .collect();
    files.sort();
    let blanks = BLANKS.iter().map(|blank| blank.name);
    let mut named: Vec<&str> = CORPUS.iter().map(|(name, _)| *name).chain(blanks).collect();
    named.sort_unstable();
    assert_eq!(files, named);
}

fn read(name: &str) -> ImportedOutline {
    let bytes = std::fs::read(corpus().join(name).with_extension("svg")).unwrap();
    assert!(bytes.len() <= 4096, "{name} is more than 4 KiB");
    import_svg(&bytes).unwrap()
}

#[test]
fn blanks_keep_their_area_and_holes() {
    for blank in BLANKS {
        let taken = read(blank.name);
        let off = area(&taken) / blank.area_mm2 - 1.0;
        assert!(off.abs() < 1e-12, "{}: {off:e}", blank.name);
        assert_eq!((taken.holes.len(), taken.warnings.len()), (blank.holes, 0), "{}", blank.name);
    }
}

/// Tip and heel are found whichever way the outline lies or runs.
#[test]
fn tip_and_heel_are_guessed_where_the_maker_marked_them() {
    let near = |a: Option<Point>, b: Option<Point>| match (a, b) {
        (Some(a), Some(b)) => a.distance(b) < 1e-5,
        (a, b) => a.is_none() && b.is_none(),
    };
    for blank in BLANKS {
        let drawn = read(blank.name).outline;
        let mirrored = Affine::scale_non_uniform(-1.0, 1.0);
        for (by, outline) in [
            (Affine::IDENTITY, drawn.clone()),
            (Affine::IDENTITY, drawn.reversed()),
            (mirrored, drawn.transformed(mirrored)),
            (mirrored, drawn.reversed().transformed(mirrored)),
        ] {
            let marks = guess_marks(&outline);
            let at = |node: Option<usize>| node.and_then(|node| outline.nodes().nth(node));
            let (tip, heel) = (at(marks.tip), at(marks.heel));
            assert!(near(tip, Some(by * Point::from(blank.tip))), "{}: {tip:?}", blank.name);
            let want = blank.heel.map(|heel| by * Point::from(heel));
            assert!(near(heel, want), "{}: {heel:?}", blank.name);
        }
        // Stood on end it has a tip but no lower side.
        let upright = drawn.transformed(Affine::rotate(std::f64::consts::FRAC_PI_2));
        let marks = guess_marks(&upright);
        assert!(marks.tip.is_some() && marks.heel.is_none(), "{}", blank.name);
    }
}

#[test]
fn a_knife_is_made_of_what_was_taken() {
    let bar = Bar {
        grade: "SAE 1084".to_owned(),
        width_mm: 38.1,
        thickness_mm: 3.175,
        length_mm: 305.0,
        placement: Placement { at: Point::ORIGIN, turn_deg: 0.0 },
        reference: Reference { edge: ReferenceEdge::Lower, end: ReferenceEnd::Left },
    };
    let taken = read("blank-drop-point");
    let knife = taken.clone().into_knife("Reed", bar.clone());
    assert_eq!(knife.profile.outline().unwrap(), taken.outline);
    let tip = knife.profile.tip.and_then(|id| knife.profile.node(id)).unwrap();
    assert_eq!(tip.at, Point::new(97.0, 5.0));
    let kinds: Vec<HoleKind> = knife.holes.iter().map(|hole| hole.kind).collect();
    assert_eq!(kinds, [HoleKind::Pin; 4]);
    assert_eq!(knife.holes[3].circle(), taken.holes[3]);
    assert_eq!((knife.unit, &knife.bar, knife.name.as_str()), (Millimetre, &bar, "Reed"));
    let inches = read("inches").into_knife("Reed", bar);
    assert_eq!(inches.unit, Inch);
}

/// What drawing programs do to a file: numbers changed, parts cut out, parts repeated.
fn mutated() -> impl Strategy<Value = Vec<u8>> {
    let seeds: Vec<Vec<u8>> = CORPUS
        .iter()
        .filter(|(name, _)| !name.ends_with("-bomb"))
        .map(|(name, _)| std::fs::read(corpus().join(name).with_extension("svg")).unwrap())
        .collect();
    let snips: &[&str] = &[
        "1e308",
        "-1e-308",
        "0",
        "NaN",
        "A",
        "Z",
        "m",
        "\"",
        "<",
        "/>",
        "<g>",
        "</g>",
        "%",
        "mm",
        "&amp;",
        "transform=\"scale(0)\"",
        "1e15",
        "-",
        ".",
        "a1 1 0 1 1 0 0",
    ];
    let edit = (any::<prop::sample::Index>(), 0_usize..12, prop::sample::select(snips.to_vec()));
    (prop::sample::select(seeds), prop::collection::vec(edit, 1..6)).prop_map(
        |(mut bytes, edits)| {
            for (place, cut, snip) in edits {
                let from = place.index(bytes.len() + 1);
                let to = (from + cut).min(bytes.len());
                bytes.splice(from..to, snip.bytes());
            }
            bytes
        },
    )
}

/// Whatever is taken keeps what is promised of it.
fn promised(bytes: &[u8]) -> Result<(), TestCaseError> {
    match import_svg(bytes) {
        Ok(taken) => {
            let bounds = taken.outline.to_path().bounding_box();
            let length = bounds.width().max(bounds.height());
            prop_assert!((5.0..=3000.0).contains(&length), "{length} mm");
            for hole in &taken.holes {
                prop_assert!(hole.radius > 0.0 && bounds.contains(hole.center));
            }
            for remark in &taken.warnings {
                prop_assert!(!remark.to_string().contains("NaN"));
            }
            let marks = guess_marks(&taken.outline);
            prop_assert!(marks.tip.is_some_and(|tip| tip < taken.outline.segs().len()));
        }
        Err(fault) => {
            let words = fault.to_string();
            prop_assert!(!words.contains('\n') && !words.ends_with('.') && words.contains("; "));
        }
    }
    Ok(())
}

/// The least time of some runs, so that a busy machine does not fail the test.
fn seconds(bytes: &[u8], runs: usize) -> f64 {
    let once = |_| {
        let start = std::time::Instant::now();
        let _outcome = import_svg(bytes);
        start.elapsed().as_secs_f64()
    };
    (0..runs).map(once).fold(f64::INFINITY, f64::min)
}

fn drawing(body: &str) -> Vec<u8> {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" viewBox="0 0 300 100">{body}</svg>"#
    )
    .into_bytes()
}

/// A ring of `n` short lines around an oval, and the same as loose lines.
fn oval(n: u32) -> (String, String) {
    let at = |i: u32| {
        let angle = f64::from(i % n) / f64::from(n) * 2.0 * PI;
        (150.0 + 100.0 * angle.cos(), 50.0 + 20.0 * angle.sin())
    };
    let mut ring = String::from("<path d=\"M");
    let mut loose = String::new();
    for i in 0..n {
        let ((x, y), (x2, y2)) = (at(i), at(i + 1));
        ring += &format!("{x} {y} ");
        loose += &format!(r#"<path d="M{x} {y}L{x2} {y2}"/>"#);
    }
    (ring + "Z\"/>", loose)
}

#[test]
fn many_nodes_are_read_at_once() {
    let (ring, loose) = oval(10_000);
    let (ring, loose) = (drawing(&ring), drawing(&loose));
    let taken = import_svg(&ring).unwrap();
    assert_eq!(taken.outline.segs().len(), 10_000);
    let polygon = 10_000.0 / 2.0 * (2.0 * PI / 10_000.0).sin() * 100.0 * 20.0;
    assert!((area(&taken) / polygon - 1.0).abs() < 1e-9);
    let joined = import_svg(&loose).unwrap();
    assert!((area(&joined) / polygon - 1.0).abs() < 1e-9);
    for (what, bytes) in [("a ring", ring), ("loose lines", loose)] {
        let took = seconds(&bytes, 3);
        assert!(took < 1.0, "{what}: {took} s");
    }
}

/// Files made to take for ever end soon, in a sentence or an outline.
#[test]
fn hostile_drawings_end_soon() {
    let star: String =
        (0..60_000).map(|i| format!(r#"<path d="M0 0L{} {}"/>"#, 10 + i % 200, i % 97)).collect();
    let dense: String = (0..60_000)
        .map(|i| format!(r#"<path d="M{}.0000{} 0L0 .0000{}"/>"#, i % 2, i % 7, i % 9))
        .collect();
    let circles: String = (0..6_000)
        .map(|i| format!(r#"<circle cx="{}" cy="{}" r=".3"/>"#, i % 300, i % 89))
        .collect();
    let deep = format!("{}{}", "<g>".repeat(200_000), "</g>".repeat(200_000));
    let moves = format!(r#"<path d="{}"/>"#, "M0 0".repeat(400_000));
    let long = format!(r#"<path d="M0 0{}"/>"#, "l1 1".repeat(400_000));
    let uses = format!(r##"<g id="a">{}</g>"##, r##"<use href="#a"/>"##.repeat(2_000));
    let (oval, _) = oval(19_000);
    // What is said of an element is read again at every copy: of 200 kB, ten thousand times.
    let nested = r##"<g id="b"><use href="#a"/>"##.to_owned()
        + &r##"<use href="#a"/>"##.repeat(99)
        + "</g>"
        + &r##"<use href="#b"/>"##.repeat(100);
    let copied = |said: &str| format!("<defs><path id=\"a\" {said}/></defs>{nested}");
    let styled = copied(&format!(r#"style="{}""#, "a:b;".repeat(50_000)));
    let classes: String = (0..30_000).map(|i| format!("c{i} ")).collect();
    let classes = "<style>.x{display:none}.c1 .y{r:1px}</style>".to_owned()
        + &copied(&format!(r#"class="{classes}" d="M1 1h1""#));
    let turned = copied(&format!(r#"transform="{}""#, "scale(1) ".repeat(20_000)));
    let attributes: String = (0..900).map(|i| format!(" a{i}=\"\"")).collect();
    let empty = format!(r##"<g id="a">{}</g><defs/>{nested}"##, "<!-- -->".repeat(200_000));
    for (what, body) in [
        ("star", star),
        ("dense", dense),
        ("circles", format!("{oval}{circles}")),
        ("deep", deep),
        ("moves", moves),
        ("long", long),
        ("uses", uses),
        ("styled", styled),
        ("classes", classes),
        ("turned", turned),
        ("attributes", copied(&attributes)),
        ("moves copied", copied(&format!(r#"d="{}""#, "M0 0".repeat(50_000)))),
        ("nothing copied", empty),
    ] {
        let took = seconds(&drawing(&body), 1);
        assert!(took < 5.0, "{what}: {took} s");
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 1500,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn any_bytes_end_in_an_outline_or_a_sentence(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        promised(&bytes)?;
    }

    #[test]
    fn any_path_data_ends_in_an_outline_or_a_sentence(data in "[MLHVCSQTAZmlhvcsqtaz0-9 .,e-]{0,120}") {
        let head = r#"<svg xmlns="http://www.w3.org/2000/svg" width="9in" viewBox="0 0 9 9"><path d="M0 0"#;
        promised(format!("{head}{data}\"/></svg>").as_bytes())?;
    }

    #[test]
    fn a_changed_drawing_ends_in_an_outline_or_a_sentence(bytes in mutated()) {
        promised(&bytes)?;
    }
}
