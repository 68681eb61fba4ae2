//! DXF out and in: what is written comes back, what is drawn elsewhere is read right, what is
//! broken is refused with a sentence.

#![expect(clippy::unwrap_used, reason = "a drawing that can't be read must stop the test")]

use exchange::cut::{CutBlank, CutSheet, dxf, polyline};
use exchange::dxf_import::{DxfOutline, LeftOut, take_dxf};
use kurbo::{Circle, Point};
use outline::Outline;
use proptest::prelude::*;
use std::f64::consts::PI;
use std::fmt::Write as _;
use units::LengthUnit;

/// A drawing with these entities, in millimetres.
fn drawing(entities: &str) -> String {
    format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{entities}0\n\
         ENDSEC\n0\nEOF\n"
    )
}

fn pairs(all: &[(i32, &str)]) -> String {
    all.iter().fold(String::new(), |mut text, (code, value)| {
        let _ = write!(text, "{code}\n{value}\n");
        text
    })
}

fn line(a: (f64, f64), b: (f64, f64)) -> String {
    format!("0\nLINE\n8\n0\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n", a.0, a.1, b.0, b.1)
}

fn circle(x: f64, y: f64, r: f64) -> String {
    format!("0\nCIRCLE\n8\n0\n10\n{x}\n20\n{y}\n40\n{r}\n")
}

fn taken(text: &str) -> DxfOutline {
    take_dxf(text.as_bytes(), None, 0.01).unwrap()
}

/// A closed line of two corners with a bulge of 1 each is a circle; with corners between, a slot.
fn slot(more: &str) -> String {
    let corners = [(0, 0, 0), (100, 0, 1), (100, 20, 0), (0, 20, 1)];
    let mut text = format!("0\nLWPOLYLINE\n8\n0\n90\n4\n70\n1\n{more}");
    for (x, y, bulge) in corners {
        let _ = write!(text, "10\n{x}\n20\n{y}\n42\n{bulge}\n");
    }
    text
}

#[test]
fn every_starter_comes_back_from_its_own_dxf() {
    for starter in knife::STARTERS {
        let knife = starter.knife();
        let outline = knife.profile.outline().unwrap();
        let blank = CutBlank {
            name: knife.name.clone(),
            outline: outline.clone(),
            holes: knife.holes.iter().map(knife::Hole::circle).collect(),
            drilled_later: 0,
            thickness_mm: 3.0,
        };
        let sheet = CutSheet { blanks: vec![blank], bars: Vec::new() };
        for unit in [LengthUnit::Millimetre, LengthUnit::Inch] {
            let found = take_dxf(&dxf(&sheet, unit), None, 0.01).unwrap();
            let back = found.taken.outline;
            assert!((back.area() / outline.area() - 1.0).abs() < 1e-4, "{}", starter.key);
            assert!((back.perimeter() / outline.perimeter() - 1.0).abs() < 1e-4);
            for seg in outline.segs() {
                use kurbo::ParamCurve;
                for i in 0..8 {
                    let p = seg.eval(f64::from(i) / 8.0);
                    assert!(back.nearest(p).distance_mm < 0.005, "{}", starter.key);
                }
            }
            assert_eq!(found.taken.holes.len(), knife.holes.len());
            for (hole, wanted) in found.taken.holes.iter().zip(&knife.holes) {
                assert!(hole.center.distance(wanted.at) < 1e-5);
                assert!((2.0 * hole.radius - wanted.diameter_mm).abs() < 1e-5);
            }
            assert_eq!(found.taken.unit, unit);
            assert!(found.left_out.is_empty(), "{:?}", found.left_out);
        }
    }
}

#[test]
fn arcs_keep_their_promise_on_every_reference_outline() {
    for starter in knife::STARTERS {
        let outline = starter.knife().profile.outline().unwrap();
        let corners = polyline(&outline);
        assert!(corners.len() >= outline.segs().len() / 2 && corners.len() < 3_000);
        assert!(corners.iter().all(|corner| outline.nearest(corner.at).distance_mm < 1e-6 + 0.005));
    }
}

// By hand: 100 × 20 with half circles of 10 mm at its ends.
#[test]
fn bulges_normals_and_units_are_read() {
    let area = 2000.0 + PI * 100.0;
    let plain = taken(&drawing(&slot("")));
    assert!((plain.taken.outline.area() - area).abs() < 1e-6);
    let down = taken(&drawing(&slot("210\n0\n220\n0\n230\n-1\n")));
    assert!((down.taken.outline.area() - area).abs() < 1e-6);
    let bounds = down.taken.outline.bounds();
    assert!((bounds.x0 + 110.0).abs() < 1e-9 && (bounds.x1 - 10.0).abs() < 1e-9, "{bounds:?}");
    let centimetres = drawing(&slot("")).replace("70\n4\n0\nENDSEC", "70\n5\n0\nENDSEC");
    let found = taken(&centimetres);
    assert!((found.taken.outline.area() / (area * 100.0) - 1.0).abs() < 1e-9);
    let none = drawing(&slot("")).replace("$INSUNITS", "$NOUNITS");
    let refused = take_dxf(none.as_bytes(), None, 0.01).unwrap_err().to_string();
    assert!(refused.contains("--units mm or --units in"), "{refused}");
    let found = take_dxf(none.as_bytes(), Some(LengthUnit::Millimetre), 0.01).unwrap();
    assert!((found.taken.outline.area() - area).abs() < 1e-6);
    // Tilted out of the plane it is no outline.
    let tilted = drawing(&(slot("210\n0\n220\n1\n230\n1\n") + &circle(0.0, 0.0, 30.0)));
    let left = taken(&tilted).left_out;
    assert!(left.iter().any(|out| out.to_string().contains("don't lie flat")), "{left:?}");
}

#[test]
fn pieces_join_within_the_gap_that_is_asked_for() {
    let sides = [
        ((0.0, 0.0), (60.0, 0.0)),
        ((60.0, 0.04), (60.0, 20.0)),
        ((0.0, 20.0), (60.0, 20.0)),
        ((0.0, 20.0), (0.0, 0.0)),
    ];
    let text = drawing(&sides.map(|(a, b)| line(a, b)).concat());
    let open = take_dxf(text.as_bytes(), None, 0.01).unwrap_err().to_string();
    assert!(open.contains("the outline is open: 0.04 mm are missing"), "{open}");
    let joined = take_dxf(text.as_bytes(), None, 0.05).unwrap();
    assert!((joined.taken.outline.area() - 1200.0).abs() < 3.0);
    assert!(
        joined.taken.warnings.iter().any(|warning| warning.to_string().contains("gap of 0.04 mm"))
    );
    for gap in [-0.1, 9.0, f64::NAN] {
        assert!(take_dxf(text.as_bytes(), None, gap).unwrap_err().to_string().contains("gap"));
    }
}

// By hand: the slot at half its size, turned by 90°, and mirrored by a negative scale.
#[test]
fn blocks_are_expanded_where_they_are_inserted() {
    let block = "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nSLOT\n70\n0\n10\n10\n20\n0\n".to_owned()
        + &slot("")
        + &circle(50.0, 10.0, 3.0)
        + "0\nENDBLK\n0\nENDSEC\n";
    let insert = pairs(&[
        (0, "INSERT"),
        (8, "0"),
        (2, "slot"),
        (10, "7"),
        (20, "5"),
        (41, "-0.5"),
        (42, "0.5"),
        (50, "90"),
    ]);
    let text = drawing(&insert).replacen(
        "0\nSECTION\n2\nENTITIES\n",
        &(block + "0\nSECTION\n2\nENTITIES\n"),
        1,
    );
    let found = taken(&text);
    let area = (2000.0 + PI * 100.0) / 4.0;
    assert!((found.taken.outline.area() - area).abs() < 1e-6);
    // Base point (10, 0): the circle's (40, 10) becomes (−20, 5), turned (−5, −20), at (2, −15).
    assert!(found.taken.holes[0].center.distance(Point::new(2.0, -15.0)) < 1e-9);
    assert!((found.taken.holes[0].radius - 1.5).abs() < 1e-9);
}

#[test]
fn what_is_left_out_is_told() {
    let text = pairs(&[
        (0, "TEXT"),
        (10, "0"),
        (20, "0"),
        (40, "5"),
        (1, "a knife"),
        (0, "HATCH"),
        (8, "0"),
    ]);
    let hidden = circle(5.0, 5.0, 2.0).replace("8\n0\n", "8\n0\n60\n1\n");
    let found = taken(&drawing(&(slot("") + &text + &hidden)));
    let found: Vec<String> = found.left_out.iter().map(ToString::to_string).collect();
    for wanted in ["1 HATCH was left out", "1 TEXT was left out", "1 entities hidden"] {
        assert!(found.iter().any(|line| line.contains(wanted)), "{wanted}: {found:?}");
    }
}

/// Twenty and more broken drawings, each refused by one sentence that says what to do.
#[test]
fn broken_drawings_are_refused_with_a_sentence() {
    let spline = |knots: &[&str], points: usize| {
        let mut text = pairs(&[(0, "SPLINE"), (8, "0"), (70, "8"), (71, "3")]);
        knots.iter().for_each(|knot| text.push_str(&pairs(&[(40, knot)])));
        (0..points).for_each(|i| {
            let x = (10 * i).to_string();
            text.push_str(&pairs(&[(10, x.as_str()), (20, "0"), (30, "0")]));
        });
        drawing(&text)
    };
    let in_block = |inner: &str, insert: &str| {
        let block = format!(
            "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nA\n10\n0\n20\n0\n{inner}0\nENDBLK\n0\nENDSEC\n"
        );
        let whole = drawing(&format!("0\nINSERT\n2\nA\n10\n0\n20\n0\n{insert}"));
        whole.replacen("0\nSECTION\n2\nENTITIES\n", &(block + "0\nSECTION\n2\nENTITIES\n"), 1)
    };
    let good = drawing(&slot(""));
    let broken: Vec<(Vec<u8>, &str)> = vec![
        (Vec::new(), "empty"),
        (b" \r\n\t ".to_vec(), "empty"),
        (b"%PDF-1.7\n1 0 obj\n".to_vec(), "isn't a DXF"),
        (b"<svg/>\n\n".to_vec(), "isn't a DXF"),
        (vec![0xFF; 4000], "isn't a DXF"),
        (b"AutoCAD Binary DXF\r\n\x1a\x00\x00\x00SEC".to_vec(), "save it again"),
        (b"AutoCAD DXB 1.0\r\n\x1a\x00".to_vec(), "isn't a DXF"),
        (good.as_bytes()[..150].to_vec(), "save it again"),
        (good.replace("\n42\n1\n", "\n42\nround\n").into_bytes(), "faulty near line"),
        (good.replace("\n10\n100\n", "\n?\n100\n").into_bytes(), "faulty"),
        (good.replace("SECTION\n2\nENTITIES", "SECTION\n7\nENTITIES").into_bytes(), "faulty"),
        (good.replace("$INSUNITS", "$NOUNITS").into_bytes(), "--units"),
        (good.replace("10\n100\n", "10\n1e400\n").into_bytes(), "LWPOLYLINE number 1"),
        (good.replace("42\n1\n", "42\nnan\n").into_bytes(), "can't be used"),
        (drawing("").into_bytes(), "the drawing is empty"),
        (drawing(&line((0.0, 0.0), (90.0, 0.0))).into_bytes(), "open"),
        (drawing(&circle(0.0, 0.0, -4.0)).into_bytes(), "CIRCLE number 1"),
        (drawing(&circle(0.0, 0.0, 0.5)).into_bytes(), "only 1 mm long"),
        (drawing(&circle(0.0, 0.0, 5e6)).into_bytes(), "check the drawing's units"),
        (drawing(&circle(1e11, 0.0, 50.0)).into_bytes(), "too coarse"),
        (spline(&[], 4).into_bytes(), "knots and control points"),
        (spline(&["0", "0", "0", "0", "-1", "1", "1", "1"], 4).into_bytes(), "knots"),
        (spline(&["0"; 8], 4).into_bytes(), "knots"),
        (in_block("0\nINSERT\n2\nA\n10\n1\n20\n0\n", "").into_bytes(), "more than 16 deep"),
        (
            in_block(&line((0.0, 0.0), (9.0, 0.0)), "70\n30000\n71\n30000\n").into_bytes(),
            "entities",
        ),
        (in_block("", "70\n30000\n71\n30000\n").into_bytes(), "entities"),
    ];
    assert!(broken.len() >= 20);
    for (bytes, says) in &broken {
        let shown = String::from_utf8_lossy(&bytes[..bytes.len().min(60)]).into_owned();
        let fault = take_dxf(bytes, None, 0.01).expect_err(&shown).to_string();
        assert!(fault.contains(says), "{shown:?}: {fault}");
        assert!(!fault.contains('\n') && !fault.ends_with('.'), "{fault}");
    }
}

/// The same drawing as bytes (the DXF reference's "Binary DXF files"), with short or long codes.
fn binary(text: &str, long_codes: bool) -> Vec<u8> {
    let mut bytes = b"AutoCAD Binary DXF\r\n\x1a\0".to_vec();
    let lines: Vec<&str> = text.lines().collect();
    for pair in lines.chunks_exact(2) {
        let code: i16 = pair[0].parse().unwrap();
        match u8::try_from(code) {
            _ if long_codes => bytes.extend(code.to_le_bytes()),
            Ok(short) if short < u8::MAX => bytes.push(short),
            _ => {
                bytes.push(u8::MAX);
                bytes.extend(code.to_le_bytes());
            }
        }
        match code {
            10..=59 | 210..=239 => bytes.extend(pair[1].parse::<f64>().unwrap().to_le_bytes()),
            60..=79 => bytes.extend(pair[1].parse::<i16>().unwrap().to_le_bytes()),
            90..=99 => bytes.extend(pair[1].parse::<i32>().unwrap().to_le_bytes()),
            310 => bytes.extend([2, 0xAB, 0]),
            _ => {
                bytes.extend(pair[1].as_bytes());
                bytes.push(0);
            }
        }
    }
    bytes
}

#[test]
fn a_drawing_of_bytes_is_read_as_its_text_is() {
    let more = pairs(&[(310, "AB00"), (210, "0"), (220, "0"), (230, "-1")]);
    let text = drawing(&(slot(&more) + &circle(-50.0, 10.0, 3.0)));
    for long_codes in [false, true] {
        let bytes = binary(&text, long_codes);
        assert_eq!(take_dxf(&bytes, None, 0.01).unwrap(), taken(&text));
        for end in (23..bytes.len() - 12).step_by(7) {
            let fault = take_dxf(&bytes[..end], None, 0.01).unwrap_err().to_string();
            assert!(!fault.contains("line"), "{end}: {fault}");
        }
        let many = drawing(&circle(50.0, 10.0, 3.0).repeat(100_001));
        let fault = take_dxf(&binary(&many, long_codes), None, 0.01).unwrap_err().to_string();
        assert!(fault.contains("more than 100000 entities"), "{fault}");
    }
}

/// Dates out of range, thumbnails, groups in groups and data of other programs, which once ended the
/// program within the library: the outline is taken all the same.
#[test]
fn what_is_no_outline_is_not_read() {
    let good = slot("");
    let plain = taken(&drawing(&good));
    let date = |date: &str| pairs(&[(9, "$TDCREATE"), (40, date), (9, "$TDUPDATE"), (40, date)]);
    let before =
        |more: &str| drawing(&good).replacen("9\n$INSUNITS", &format!("{more}9\n$INSUNITS"), 1);
    let thumbnail =
        pairs(&[(0, "SECTION"), (2, "THUMBNAILIMAGE"), (90, "-1"), (310, "FF"), (0, "ENDSEC")]);
    let objects =
        pairs(&[(0, "SECTION"), (2, "OBJECTS"), (0, "XRECORD"), (310, "odd"), (0, "ENDSEC")]);
    let in_entity = |more: &str| drawing(&slot(more));
    let style = pairs(&[(9, "$DIMSTYLE"), (2, "ISO-25"), (9, "$DIMSCALE"), (40, "1.0")]);
    let tables = pairs(&[
        (0, "SECTION"),
        (2, "TABLES"),
        (0, "TABLE"),
        (2, "VPORT"),
        (5, "8"),
        (330, "0"),
        (100, "AcDbSymbolTable"),
        (70, "1"),
        (0, "VPORT"),
        (2, "*ACTIVE"),
        (70, "0"),
        (10, "x"),
        (0, "ENDTAB"),
        (0, "TABLE"),
        (2, "LAYER"),
        (70, "1"),
        (0, "LAYER"),
        (102, "{ACAD"),
        (360, "9"),
        (102, "}"),
        (2, "Steel"),
        (70, "0"),
        (62, "7"),
        (6, "Continuous"),
        (0, "ENDTAB"),
        (0, "ENDSEC"),
    ]);
    let group = pairs(&[(102, "{A"), (40, "7"), (102, "}")]);
    let drawings = [
        before(&date("1e300")),
        before(&date("-1e18")),
        before(&date("nan")),
        before(&style),
        drawing(&good).replacen(
            "0\nSECTION\n2\nENTITIES",
            &(tables + "0\nSECTION\n2\nENTITIES"),
            1,
        ),
        thumbnail + &drawing(&good),
        objects + &drawing(&good),
        in_entity(&group),
        in_entity(&(pairs(&[(102, "{A")]).repeat(40_000) + &pairs(&[(102, "}")]))),
        in_entity(&pairs(&[(1001, "A"), (1002, "{")]).repeat(40_000)),
        in_entity(&pairs(&[
            (310, "A"),
            (1010, "x"),
            (330, "ZZ"),
            (370, "99999999"),
            (70_000, "?"),
        ])),
    ];
    for (i, text) in drawings.iter().enumerate() {
        assert_eq!(taken(text), plain, "{i}");
    }
    // Lines are told as they stand in the file.
    let faulty = before(&date("1e300")).replace("\n42\n1\n", "\n42\nround\n");
    let line = faulty.lines().position(|line| line == "round").unwrap();
    let fault = take_dxf(faulty.as_bytes(), None, 0.01).unwrap_err().to_string();
    assert!(
        (line..=line + 2).any(|line| fault.contains(&format!("near line {line}"))),
        "{line}: {fault}"
    );
    // A name is held against others at every copy.
    let long = "É".repeat(3_000);
    for code in [2, 8] {
        let named = drawing(&(pairs(&[(0, "INSERT"), (code, long.as_str())]) + &good));
        let fault = take_dxf(named.as_bytes(), None, 0.01).unwrap_err().to_string();
        assert!(fault.contains("near line"), "{fault}");
    }
    // Runs of what the library would keep, as knots, are counted.
    let knots = drawing(&(pairs(&[(0, "SPLINE"), (71, "3")]) + &"40\n1\n".repeat(600_000)));
    let fault = take_dxf(knots.as_bytes(), None, 0.01).unwrap_err().to_string();
    assert!(fault.contains("entities"), "{fault}");
}

/// Nothing reaches the library but whole pairs as they are seen here: tabs before a code, and signs
/// that it reads as others, once hid a date out of range or a section's end from the first look.
#[test]
fn what_the_library_would_see_otherwise_is_refused() {
    let good = drawing(&slot(""));
    let header = pairs(&[(0, "SECTION"), (2, "HEADER"), (9, "$TDCREATE"), (40, "99999999999")]);
    let hidden = [
        (format!("0\nX\n\u{b}{header}0\nENDSEC\n{good}"), 3),
        (good.replacen("0\nENDSEC", "0\nENDS\\U+0045C", 1), 9),
        (good.replacen("0\nENDSEC", "0\nENDSEC^ ", 1), 9),
        (good.replacen("2\nENTITIES", "7\nENTITIES", 1), 13),
    ];
    for (text, line) in &hidden {
        let fault = take_dxf(text.as_bytes(), None, 0.01).unwrap_err().to_string();
        assert!(fault.contains(&format!("near line {line},")), "{fault}");
    }
    for after in ["\n\n\n", "\r\n\u{1a}", "?\n?\n?\n"] {
        assert_eq!(taken(&format!("{good}{after}")), taken(&good), "{after:?}");
    }
}

#[test]
fn frozen_layers_and_those_turned_off_are_left_out() {
    let layer = |name: &str, more: &[(i32, &str)]| {
        pairs(&[(0, "LAYER"), (2, name)]) + &pairs(more) + &pairs(&[(6, "CONTINUOUS")])
    };
    let tables = pairs(&[(0, "SECTION"), (2, "TABLES"), (0, "TABLE"), (2, "LAYER"), (70, "5")])
        + &layer("Maße", &[(70, "1"), (62, "7")])
        + &layer("Bolts", &[(62, "7"), (70, "65")])
        + &layer("Ma\\U+00DFe 2", &[(70, "1"), (62, "3")])
        + &layer("Off", &[(70, "0"), (62, "-3")])
        + &layer("Shown", &[(70, "64"), (62, "3")])
        + &pairs(&[(0, "ENDTAB"), (0, "ENDSEC")]);
    let on = |layer: &str| circle(50.0, 10.0, 3.0).replacen("8\n0", &format!("8\n{layer}"), 1);
    for (layer, hidden) in
        [("Maße", 1), ("BOLTS", 1), ("Maße 2", 1), ("Ma\\U+00DFe", 1), ("Off", 1), ("Shown", 0)]
    {
        let whole = drawing(&(slot("") + &on(layer)));
        let whole =
            whole.replacen("0\nSECTION\n2\nENT", &(tables.clone() + "0\nSECTION\n2\nENT"), 1);
        // Signs that the code page lacks are written by their numbers until release 2007.
        let by_number = layer == "Maße 2" || layer.contains('\\');
        for version in ["AC1009", "AC1032"].into_iter().take(if by_number { 1 } else { 2 }) {
            let whole =
                whole.replacen("9\n$INS", &format!("9\n$ACADVER\n1\n{version}\n9\n$INS"), 1);
            // Before release 2007 names are written in the code page.
            let bytes = if version == "AC1009" {
                whole.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect()
            } else {
                whole.into_bytes()
            };
            let found = take_dxf(&bytes, None, 0.01).unwrap();
            assert_eq!(found.taken.holes.len(), 1 - hidden, "{layer} {version}");
            let is_said = found.left_out.iter().any(|left| matches!(left, LeftOut::Hidden { .. }));
            assert_eq!(is_said, hidden == 1, "{layer} {version}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    /// Bytes changed anywhere: an answer, never a panic.
    #[test]
    fn any_change_is_answered(at in 0.0..1.0_f64, byte in any::<u8>(), cut in 0.0..1.0_f64, cuts in any::<bool>()) {
        let mut bytes = drawing(&(slot("") + &circle(50.0, 10.0, 3.0))).into_bytes();
        let place = ((bytes.len() - 1) as f64 * at) as usize;
        bytes[place] = byte;
        if cuts {
            bytes.truncate((bytes.len() as f64 * cut) as usize);
        }
        let _ = take_dxf(&bytes, Some(LengthUnit::Millimetre), 0.01);
    }

    /// What is written is read: a random polygon with a hole.
    #[test]
    fn any_polygon_comes_back(radii in prop::collection::vec(20.0..60.0_f64, 5..24), x in -300.0..300.0_f64) {
        let n = radii.len() as f64;
        let corners: Vec<Point> = radii.iter().enumerate().map(|(i, r)| {
            let turn = 2.0 * PI * i as f64 / n;
            Point::new(x + r * turn.cos(), r * turn.sin())
        }).collect();
        let outline = Outline::polygon(&corners).unwrap();
        let blank = CutBlank {
            name: String::new(),
            outline: outline.clone(),
            holes: vec![Circle::new((x, 0.0), 4.0)],
            drilled_later: 0,
            thickness_mm: 3.0,
        };
        let bytes = dxf(&CutSheet { blanks: vec![blank], bars: Vec::new() }, LengthUnit::Millimetre);
        let found = take_dxf(&bytes, None, 0.01).unwrap().taken;
        prop_assert!((found.outline.area() / outline.area() - 1.0).abs() < 1e-6);
        prop_assert!(found.holes.len() == 1 && found.holes[0].center.distance(Point::new(x, 0.0)) < 1e-5);
    }
}
