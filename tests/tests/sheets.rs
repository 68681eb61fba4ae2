//! Every sheet of every starter and sample on several papers: no words on words, none on a cut
//! line, nothing in a margin, the files small.

use bench_tests::blanks;
use bench_tests::pages::faults;
use kurbo::{BezPath, Point};
use marks::{Label, Mark, Pen};
use paper::Page;
use reckon::{Shop, reckon, tables::Tables};
use sheets::printing;
use sheets::sharing::{self, Sharing};
use std::fs;

const PAPERS: [&str; 3] = ["letter", "a4", "roll:610mm"];

#[test]
fn no_words_lie_on_words_or_cut_lines_and_nothing_in_a_margin() {
    let mut found = Vec::new();
    let mut pages_seen = 0;
    for path in blanks() {
        let knife = knife::file::open(&fs::read(&path).unwrap()).unwrap().knife;
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        let sheets = printing::sheets(&knife, &reckoning);
        for paper in PAPERS {
            let pages = printing::pages(&knife, &sheets, paper, Some("2026-11-26".into())).unwrap();
            for page in &pages {
                pages_seen += 1;
                let message = faults(page, 10.0).into_iter();
                found.extend(
                    message
                        .map(|fault| format!("{} on {paper}, {}: {fault}", knife.name, page.name)),
                );
            }
            let bytes = printing::pdf(&knife, &pages, None).unwrap().len();
            // With tiles and tables; the knives alone are a tenth of it.
            assert!(bytes < 400_000, "{} on {paper}: {bytes} bytes", knife.name);
        }
    }
    assert!(pages_seen > 150);
    assert!(
        found.is_empty(),
        "{} faults on {pages_seen} pages:\n{}",
        found.len(),
        found.join("\n")
    );
}

/// Cards and tables flow: on every paper no page of words is tiled or bears a ruler, no words lie
/// on words or in a margin; on letter and A4 heat and build take two pages each.
#[test]
fn cards_of_every_grade_flow_on_every_paper() {
    use knife::{Finish, Temper};
    let mut found = Vec::new();
    let path = blanks().into_iter().find(|path| path.ends_with("first-knife.blank.json")).unwrap();
    let first = knife::file::open(&fs::read(path).unwrap()).unwrap().knife;
    for (i, steel) in Tables::built_in().steels().iter().enumerate() {
        let mut knife = first.clone();
        knife.bar.grade = steel.grade.clone();
        if i % 2 == 0 || steel.grade == "AISI W2" {
            knife.treatment.temper = Some(Temper::Hardness(60.0));
            knife.treatment.finish = Some(Finish::Mirror);
        }
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        for paper in ["letter", "a4", "legal", "a5", "a3", "roll:610mm"] {
            for key in ["heat", "build", "plan"] {
                let sheet = printing::sheet(key, &knife, &reckoning).unwrap();
                let pages = printing::pages(&knife, &[sheet], paper, None).unwrap();
                let name = |page: &Page| format!("{} on {paper}, {}", steel.grade, page.name);
                if ["letter", "a4"].contains(&paper) {
                    let max = if key == "plan" { 1 } else { 2 };
                    if pages.len() > max {
                        found.push(format!("{} of {}", name(&pages[0]), pages.len()));
                    }
                }
                for page in &pages {
                    let message = faults(page, 10.0).into_iter();
                    found.extend(message.map(|fault| format!("{}: {fault}", name(page))));
                    let tiled = page.name.contains("tile");
                    let rulers = page.drawing.items.iter().any(|item| item.pen == Pen::Ruler);
                    let steps = key == "build" || page.name.contains("steps");
                    if (tiled && key != "plan") || (rulers && steps) {
                        found.push(format!("{}: furnished as a drawing", name(page)));
                    }
                    let shorter = page.size_mm.width.min(page.size_mm.height);
                    if paper.starts_with("roll") && key != "plan" && shorter > 420.0 {
                        found.push(format!("{}: {} long", name(page), page.size_mm));
                    }
                }
            }
        }
    }
    assert!(found.is_empty(), "{} faults:\n{}", found.len(), found.join("\n"));
}

/// Sheets that share a page hold the same rules, and none is lost.
#[test]
fn sheets_together_on_large_paper_lie_apart() {
    let mut found = Vec::new();
    for path in blanks().into_iter().step_by(3) {
        let knife = knife::file::open(&fs::read(&path).unwrap()).unwrap().knife;
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        let sheets = printing::sheets(&knife, &reckoning);
        for paper in ["a3", "a1", "c"] {
            let setup = printing::setup(&knife.name, paper, None).unwrap();
            let progress = &mut |_, _, _: &paper::Sheet| ();
            let laid = sharing::lay_out(sheets.clone(), &Sharing::Room, &setup, progress).unwrap();
            assert!(laid.without_room.is_empty() && laid.apart.is_empty());
            let pages = laid.pages;
            let apart = paper::lay_out(&sheets, &setup).unwrap();
            assert!(pages.len() <= apart.len() && (paper == "a3" || pages.len() < apart.len()));
            for title in sheets.iter().map(|sheet| &sheet.title) {
                let named = pages.iter().any(|page| page.name.contains(title.as_str()));
                assert!(named, "{title} is lost on {paper}");
            }
            for page in &pages {
                let message = faults(page, 10.0).into_iter();
                found.extend(
                    message
                        .map(|fault| format!("{} on {paper}, {}: {fault}", knife.name, page.name)),
                );
            }
        }
    }
    assert!(found.is_empty(), "{} faults:\n{}", found.len(), found.join("\n"));
}

/// The check itself finds what it is for.
#[test]
fn what_lies_on_another_is_found() {
    let mut drawing = marks::Drawing::new();
    let mut path = BezPath::new();
    path.move_to((20.0, 50.0));
    path.curve_to((60.0, 50.0), (80.0, 52.0), (120.0, 40.0));
    drawing.add(Pen::Cut, Mark::Path(path));
    for (text, x, y) in
        [("one", 30.0, 100.0), ("other", 33.0, 101.0), ("cut", 60.0, 49.0), ("out", 8.0, 20.0)]
    {
        drawing.text(Pen::Lettering, Label::new(text, Point::new(x, y), 3.0));
    }
    let setup = printing::setup("", "a4", None).unwrap();
    let page = Page { drawing, ..printing::proof(&setup, None).unwrap() };
    let message = faults(&page, 10.0).join("; ");
    for fault in ["\"one\" lies on \"other\"", "\"cut\" lies on a cut line", "in the margin"] {
        assert!(message.contains(fault), "{message}");
    }
    assert_eq!(faults(&page, 10.0).len(), 3, "{message}");
}

#[test]
fn readme_and_manual_name_every_sheet() {
    for page in ["README.md", "assets/manual/printing.md"] {
        let text = fs::read_to_string(bench_tests::root().join(page)).unwrap();
        for key in printing::SHEETS {
            assert!(text.contains(&format!("`{key}`")), "{page} doesn't name {key}");
        }
    }
}
