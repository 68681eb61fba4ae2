//! The `drilling` sheet as printed: the file's own hole centres and figures held against each
//! other, its tables whole, and its drawing against a stored one.

#[path = "../../crates/paper/tests/common/read.rs"]
#[expect(dead_code, reason = "a reader shared with the paper's own tests")]
mod read;

use bench_tests::{blanks, root};
use drawing::views;
use knife::{Knife, Reference, ReferenceEdge, ReferenceEnd, file};
use kurbo::{Affine, ParamCurve, Point, Rect, Shape};
use marks::{Drawing, FontFace, Mark, Pen, lettering};
use paper::{Heading, Meta, Page, PageSetup, Paper, Sheet};
use reckon::{Reckoning, Shop, reckon, tables::Tables};
use std::fmt::Write as _;
use std::path::Path;
use std::{env, fs};
use units::LengthUnit;

/// What steel is drilled by may be off by this on paper, mm.
const TRUE_MM: f64 = 0.01;
/// Height of a dimension's own figure on this sheet, mm; the other unit's is lower.
const FIGURE_MM: f64 = 3.0;

fn opened(path: &Path) -> (Knife, Reckoning) {
    let knife = file::open(&fs::read(path).unwrap()).unwrap().knife;
    let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
    (knife, reckoning)
}

fn sheet(knife: &Knife, reckoning: &Reckoning) -> Sheet {
    Sheet {
        key: "drilling",
        title: "Drilling".to_owned(),
        drawing: views::drilling_sheet(knife, reckoning),
        notes: views::drilling_notes(knife, reckoning),
        inserts: views::drilling_tables(knife, reckoning).into_iter().map(Into::into).collect(),
        ..Sheet::default()
    }
}

fn laid_out(sheet: &Sheet, paper: &str) -> Vec<Page> {
    let setup = PageSetup::new(Paper::named(paper).unwrap(), Heading::default());
    paper::lay_out(std::slice::from_ref(sheet), &setup).unwrap()
}

#[test]
fn printed_figures_tell_the_printed_holes() {
    let (mut holes, mut figures) = (0, 0);
    for path in blanks() {
        let (mut knife, _) = opened(&path);
        for reference in [
            Reference { edge: ReferenceEdge::Lower, end: ReferenceEnd::Left },
            Reference { edge: ReferenceEdge::Upper, end: ReferenceEnd::Right },
        ] {
            knife.bar.reference = reference;
            let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
            let sheet = sheet(&knife, &reckoning);
            for paper in ["letter", "a3"] {
                let name = format!("{} on {paper}", path.display());
                let pages = laid_out(&sheet, paper);
                let read = read::pages(&paper::pdf(&pages, &Meta::default()).unwrap());
                let mut found = vec![false; knife.holes.len()];
                for (page, read) in pages.iter().zip(&read).filter(|(p, _)| !is_table(p)) {
                    let to_bar = page.from_sheet.inverse();
                    for circle in read.layer("Holes") {
                        let at = to_bar * circle.path.bounding_box().center();
                        let near = reckoning
                            .holes
                            .iter()
                            .position(|hole| hole.on_bar.distance(at) < TRUE_MM);
                        // A tile may show a part of a circle only.
                        if let Some(i) = near {
                            found[i] = true;
                        }
                    }
                    figures += compare(&name, &knife, read, to_bar);
                }
                assert!(found.iter().all(|found| *found), "{name}: {found:?}");
                holes += found.len();
            }
        }
    }
    assert!(holes > 400 && figures > 2 * holes, "{holes} holes, {figures} figures");
}

/// Every leader's start against the figure at its end; returns how many there were.
fn compare(name: &str, knife: &Knife, read: &read::ReadPage, to_bar: Affine) -> usize {
    let texts: Vec<(f64, Rect)> = read
        .texts
        .iter()
        .filter(|text| text.layer == "Dimensions")
        .filter(|text| (text.size_mm * 0.7 - FIGURE_MM).abs() < 0.01)
        .map(|text| {
            let figure = text.text.split(' ').next_back().unwrap();
            let figure: f64 = figure.replace('−', "-").parse().unwrap();
            let at = to_bar * text.at;
            let wide = lettering::width_mm(&text.text, FontFace::Regular, FIGURE_MM);
            (figure, Rect::new(at.x, at.y, at.x + wide, at.y + FIGURE_MM))
        })
        .collect();
    let (scale, half) = match knife.unit {
        LengthUnit::Inch => (25.4, 0.0005 * 25.4),
        LengthUnit::Millimetre => (1.0, 0.005),
    };
    let mut compared = 0;
    for path in read.layer("Dimensions").filter(|path| !path.filled) {
        let segs: Vec<_> = path.path.segments().collect();
        let [first, _] = segs[..] else { continue };
        let (start, bend) = (to_bar * first.start(), to_bar * first.end());
        let end = to_bar * segs[1].end();
        let away = |rect: &Rect| {
            let near = Point::new(end.x.clamp(rect.x0, rect.x1), end.y.clamp(rect.y0, rect.y1));
            near.distance(end)
        };
        let Some((figure, rect)) = texts.iter().min_by(|a, b| away(&a.1).total_cmp(&away(&b.1)))
        else {
            continue;
        };
        if away(rect) > 2.5 {
            continue;
        }
        let (bar, reference) = (&knife.bar, knife.bar.reference);
        let along = (start.x - bend.x).abs() < 1e-3;
        let drawn = match (along, reference.edge, reference.end) {
            (true, _, ReferenceEnd::Left) => start.x,
            (true, _, ReferenceEnd::Right) => bar.length_mm - start.x,
            (false, ReferenceEdge::Lower, _) => start.y,
            (false, ReferenceEdge::Upper, _) => bar.width_mm - start.y,
        };
        let off = (figure * scale - drawn).abs();
        assert!(off <= half + TRUE_MM, "{name}: {figure} is printed for {drawn} mm");
        compared += 1;
    }
    compared
}

fn is_table(page: &Page) -> bool {
    page.name.ends_with(", table")
}

#[test]
fn tables_stay_whole_and_figures_where_they_belong() {
    for path in blanks() {
        let (knife, reckoning) = opened(&path);
        let sheet = sheet(&knife, &reckoning);
        assert!(sheet.inserts.len() >= 2, "{}", path.display());
        for paper in ["letter", "tabloid", "a5", "a4"] {
            let name = format!("{} on {paper}", path.display());
            let pages = laid_out(&sheet, paper);
            let words: Vec<Vec<String>> = pages.iter().map(|page| said(&page.drawing)).collect();
            for insert in &sheet.inserts {
                let own = said(&insert.clone().into_drawing());
                let whole = words.iter().any(|words| own.iter().all(|word| words.contains(word)));
                assert!(whole, "{name}: a table is cut");
            }
            // On A5 the tiles are narrower than a row of figures has gaps for.
            for page in pages.iter().filter(|page| !is_table(page) && paper != "a5") {
                stays(&name, page, &sheet.drawing);
            }
        }
    }
}

fn said(drawing: &Drawing) -> Vec<String> {
    let text = |item: &marks::Item| match &item.mark {
        Mark::Text(label) => Some(label.text.clone()),
        _ => None,
    };
    drawing.items.iter().filter_map(text).collect()
}

/// A figure wider than the tiles' overlap, its middle on the joint, gives way by so much, mm.
const GIVES_WAY_MM: f64 = 3.0;

/// No figure was moved away from its leader by a joint.
fn stays(name: &str, page: &Page, sheet: &Drawing) {
    let at = |item: &marks::Item| match &item.mark {
        Mark::Text(label) if item.pen == Pen::Dimension => Some((label.text.clone(), label.at)),
        _ => None,
    };
    let drawn: Vec<(String, Point)> = sheet.items.iter().filter_map(at).collect();
    let to_sheet = page.from_sheet.inverse();
    for (text, place) in page.drawing.items.iter().filter_map(at) {
        let place = to_sheet * place;
        let is = drawn.iter().any(|(t, p)| *t == text && p.distance(place) < GIVES_WAY_MM);
        assert!(is, "{name}: \"{text}\" was moved");
    }
}

/// The drawing as text, to the hundredth of a millimetre. A change that is meant is stored by
/// running this test with `BLESS=1`; look at the sheet first.
#[test]
fn the_drawing_is_the_stored_one() {
    for name in ["first-knife", "petty-for-a-friend"] {
        let (knife, reckoning) = opened(&root().join(format!("samples/{name}.blank.json")));
        let mut message = plain(&views::drilling_sheet(&knife, &reckoning));
        for table in views::drilling_tables(&knife, &reckoning) {
            message.push_str(&plain(&table));
        }
        let stored = root().join(format!("tests/corpus/drawing/drilling-{name}.txt"));
        if env::var_os("BLESS").is_some() {
            fs::write(&stored, &message).unwrap();
        }
        let wanted = fs::read_to_string(&stored).unwrap();
        for (i, (message, wanted)) in message.lines().zip(wanted.lines()).enumerate() {
            assert_eq!(message, wanted, "line {} of {}", i + 1, stored.display());
        }
        assert_eq!(message.lines().count(), wanted.lines().count(), "{name}");
    }
}

/// One mark a line: its pen, its kind and where it is.
fn plain(drawing: &Drawing) -> String {
    // Adding nought takes the sign off a rounded −0.00.
    let n = |v: f64| format!("{:.2}", (v * 100.0).round() / 100.0 + 0.0);
    let place = |p: Point| format!("{},{}", n(p.x), n(p.y));
    let mut message = String::new();
    for item in &drawing.items {
        let mark = match &item.mark {
            Mark::Text(label) => format!(
                "{} at {} {} {:?} {:?} turned {}",
                label.text,
                place(label.at),
                n(label.height_mm),
                label.h_align,
                label.v_align,
                n(label.turn_deg)
            ),
            Mark::Circle(circle) => {
                format!("circle {} r {}", place(circle.center), n(circle.radius))
            }
            Mark::Path(path) | Mark::Fill(path) => {
                let fill = if matches!(item.mark, Mark::Fill(_)) { "fill" } else { "path" };
                let ends: Vec<String> =
                    path.elements().iter().filter_map(|e| e.end_point()).map(place).collect();
                format!("{fill} {}", ends.join(" "))
            }
        };
        let _ = writeln!(message, "{}: {mark}", item.pen.name());
    }
    message
}
