//! Drawings from elsewhere: the corpus of small files, one issue each, and what must come of it.

use knife::intake::{Taken, take_svg};
use outline::kurbo::{ParamCurveArea, PathSeg, Shape};
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
const NO_SIZE: &str = "the drawing gives no physical size; 96 px to the inch was taken";

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
    ("duplicate-nodes", BOX),
    ("ellipse-made-round", BOX_H6),
    ("ellipse-outline", Is(PI * 100.0 * 20.0, H6, Millimetre, &[])),
    ("entities", BOX),
    ("entity-bomb", Fails("the drawing repeats its own text (entities) too often to be read; save it again as plain SVG")),
    ("far-from-origin", Is(8000.0, &[[1_000_050.0, 1_999_970.0, 6.0]], Millimetre, &[])),
    ("figure-of-eight", Is(0.0, H6, Millimetre, &[])),
    ("fill-and-stroke-twice", BOX_H6),
    ("flat", Fails("the closed path near (5, -10) mm encloses nothing; draw the outline as one closed path")),
    ("gap-of-micrometres", Is(8000.0, &[], Millimetre, &["a gap of 0.008 mm near (5, -10.01) mm was closed"])),
    ("gap-of-millimetres", Fails("the outline is open: 3.2 mm are missing near (5, -13.2) mm; close the path in the drawing program")),
    ("hidden-parts", Is(8000.0, H6, Millimetre, &["2 hidden parts were left out"])),
    ("hole-over-the-edge", Is(8000.0, &[[50.0, -11.0, 6.0]], Millimetre, &[])),
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
    ("rect-round-hole", BOX_H6),
    ("rect-rounded", Is(8000.0 - (4.0 - PI) * 100.0, &[], Millimetre, &[])),
    ("size-broken", Fails("the drawing's width “wide” isn't a size; set the page size in the drawing program")),
    ("size-without-viewbox", Is(IN_6X1_5, &[[50.8, -44.45, 6.0]], Millimetre, &["the drawing gives a size but no viewBox; its bare numbers were taken as px, 96 to the inch"])),
    ("size-zero", Fails("the drawing's width “0” isn't a size; set the page size in the drawing program")),
    ("style-sheet", Is(8000.0, &[], Millimetre, &["1 style rule was not followed; check the outline's place and size"])),
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
];

fn corpus() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/corpus/svg")
}

/// Area about the first node, so that a far place costs no digits.
fn area(taken: &Taken) -> f64 {
    let from = taken.outline.segs()[0]
        .as_path_el()
        .end_point()
        .map_or_else(Default::default, |p| p.to_vec2());
    let moved = taken.outline.transformed(outline::kurbo::Affine::translate(-from));
    moved.segs().iter().map(PathSeg::signed_area).sum::<f64>().abs()
}

#[test]
fn every_file_of_the_corpus_comes_to_what_it_must() {
    for (name, want) in CORPUS {
        let bytes = std::fs::read(corpus().join(name).with_extension("svg")).unwrap();
        assert!(bytes.len() <= 4096, "{name} is more than 4 KiB");
        match (take_svg(&bytes), want) {
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
                let said: Vec<String> = taken.remarks.iter().map(ToString::to_string).collect();
                assert_eq!(said, *remarks, "{name}");
            }
            (Err(fault), Fails(words)) => assert_eq!(fault.to_string(), *words, "{name}"),
            (Ok(taken), Fails(_)) => {
                panic!("{name} was taken: {:?}", taken.outline.to_path().bounding_box())
            }
            (Err(fault), Is(..)) => panic!("{name} was refused: {fault}"),
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
    let mut named: Vec<&str> = CORPUS.iter().map(|(name, _)| *name).collect();
    named.sort_unstable();
    assert_eq!(files, named);
}
