//! True size: the printed file's own content, read back, against the knife itself.

#[path = "../../crates/paper/tests/common/read.rs"]
#[expect(dead_code, reason = "a reader shared with the paper's own tests")]
mod read;

use bench_tests::blanks;
use drawing::views;
use knife::file;
use kurbo::{ParamCurve, ParamCurveNearest, Point, Shape};
use paper::{Heading, Meta, PageSetup, Paper, Sheet};
use reckon::{Shop, reckon, tables::Tables};
use std::fs;

/// What steel is cut by may be off by this, mm.
const TRUE_MM: f64 = 0.01;

#[test]
fn cut_lines_holes_and_proof_squares_are_true() {
    let mut level = 0;
    for path in blanks() {
        let knife = file::open(&fs::read(&path).unwrap()).unwrap().knife;
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        let sheet = Sheet {
            key: "profile",
            title: "Profile".to_owned(),
            drawing: views::profile_sheet(&knife, &reckoning),
            notes: views::profile_notes(&knife, &reckoning),
            inserts: Vec::new(),
            ..Sheet::default()
        };
        for paper in ["letter", "legal", "tabloid", "a4", "a3"] {
            let name = format!("{} on {paper}", path.display());
            let setup = PageSetup {
                large_check: &["profile"],
                ..PageSetup::new(Paper::named(paper).unwrap(), Heading::default())
            };
            let pages = paper::lay_out(std::slice::from_ref(&sheet), &setup).unwrap();
            let read = read::pages(&paper::pdf(&pages, &Meta::default()).unwrap());
            assert_eq!(read.len(), pages.len());
            // Notes may stand on a page of their own, so that the blank is in fewer pieces.
            let is_drawn = |page: &&paper::Page| !page.name.ends_with(", notes");
            let pieces = pages.iter().filter(is_drawn).count();
            assert!(pages.len() <= pieces + 1, "{name}");
            for (page, read) in pages.iter().zip(&read).filter(|(page, _)| is_drawn(page)) {
                let from_knife = page.from_sheet * knife.bar.placement.bar_from_knife();
                let outline = reckoning.outline.as_ref().unwrap().transformed(from_knife);
                let cut: Vec<_> = read.layer("Cut line").collect();
                assert!(!cut.is_empty(), "{name}");
                for line in &cut {
                    for segment in line.path.segments() {
                        for t in [0.0, 0.3, 0.6, 1.0] {
                            let off = outline.nearest(segment.eval(t)).distance_mm;
                            assert!(off < TRUE_MM, "{name}: cut line off by {off}");
                        }
                    }
                }
                if pieces == 1 {
                    level += 1;
                    whole(&name, &outline, &cut, &knife, from_knife, read);
                }
                let squares = read.layer("Rulers and proof square").filter(|path| {
                    let size = path.path.bounding_box().size();
                    (size.width - 50.0).abs() < TRUE_MM && (size.height - 50.0).abs() < TRUE_MM
                });
                assert_eq!(squares.count(), 1, "{name}: one proof square of 50 mm");
                assert!(read.words().contains("Print at actual size (100 %)"), "{name}");
            }
        }
    }
    assert!(level > 40, "{level} sheets of one page");
}

/// On a single page nothing of the outline and no hole is missing.
fn whole(
    name: &str,
    outline: &outline::Outline,
    cut: &[&read::ReadPath],
    knife: &knife::Knife,
    from_knife: kurbo::Affine,
    read: &read::ReadPage,
) {
    for segment in outline.segs() {
        for t in [0.0, 0.25, 0.5, 0.75] {
            let p: Point = segment.eval(t);
            let near = cut
                .iter()
                .flat_map(|line| line.path.segments())
                .map(|s| s.nearest(p, 1e-6).distance_sq);
            let off = near.fold(f64::INFINITY, f64::min).sqrt();
            assert!(off < TRUE_MM, "{name}: the outline lacks a piece, {off}");
        }
    }
    let circles: Vec<_> = read.layer("Holes").map(|path| path.path.bounding_box()).collect();
    assert_eq!(circles.len(), knife.holes.len(), "{name}");
    for (hole, circle) in knife.holes.iter().zip(circles) {
        assert!((circle.center() - from_knife * hole.at).hypot() < TRUE_MM, "{name}");
        assert!((circle.width() - hole.diameter_mm).abs() < TRUE_MM, "{name}");
        assert!((circle.height() - hole.diameter_mm).abs() < TRUE_MM, "{name}");
    }
}
