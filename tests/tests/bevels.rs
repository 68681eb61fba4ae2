//! The `bevels` sheet as printed: guide lines and gauges read back out of the file's own bytes,
//! and no text on another on any paper.

#[path = "../../crates/paper/tests/common/read.rs"]
#[expect(dead_code, reason = "a reader shared with the paper's own tests")]
mod read;

use bench_tests::blanks;
use drawing::views;
use knife::{Knife, file};
use kurbo::{Affine, ParamCurve, ParamCurveNearest, PathSeg, Point, Vec2};
use marks::{Label, Mark, lettering};
use paper::{Heading, Meta, Page, PageSetup, Paper, Sheet};
use reckon::{Reckoning, Shop, reckon, tables::Tables};
use std::fs;
use std::path::Path;

/// What is filed by may be off by this on paper, mm and degrees.
const TRUE_MM: f64 = 0.01;
const TRUE_DEG: f64 = 0.05;

fn opened(path: &Path) -> (Knife, Reckoning) {
    let knife = file::open(&fs::read(path).unwrap()).unwrap().knife;
    let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
    (knife, reckoning)
}

fn laid_out(knife: &Knife, reckoning: &Reckoning, paper: &str) -> Vec<Page> {
    let sheet = Sheet {
        key: "bevels",
        title: "Bevels".to_owned(),
        drawing: views::bevel_sheet(knife, reckoning),
        notes: views::bevel_notes(knife, reckoning),
        inserts: views::bevel_inserts(knife, reckoning).into_iter().map(Into::into).collect(),
        ..Sheet::default()
    };
    let setup = PageSetup::new(Paper::named(paper).unwrap(), Heading::default());
    paper::lay_out(&[sheet], &setup).unwrap()
}

/// The edge from the tip, run on straight along its tangent at the heel, well past the plunge.
fn edge(reckoning: &Reckoning) -> Vec<PathSeg> {
    let mut segs = reckoning.profile.as_ref().unwrap().edge.as_ref().unwrap().segs.clone();
    let last = *segs.last().unwrap();
    let way = (last.end() - last.eval(1.0 - 1e-6)).normalize();
    segs.push(PathSeg::Line(kurbo::Line::new(last.end(), last.end() + way * 90.0)));
    segs
}

#[test]
fn printed_guide_lines_keep_their_facets_distance() {
    let mut measured = 0;
    for path in blanks() {
        let (knife, reckoning) = opened(&path);
        let edge = edge(&reckoning);
        let facets = &reckoning.filing.as_ref().unwrap().facets;
        for paper in ["letter", "a5", "a3"] {
            let pages = laid_out(&knife, &reckoning, paper);
            let read = read::pages(&paper::pdf(&pages, &Meta::default()).unwrap());
            let mut found = vec![0.0; facets.len()];
            for (page, read) in pages.iter().zip(&read) {
                let to_knife: Affine = page.from_sheet.inverse();
                for line in read.layer("Guide lines") {
                    for seg in line.path.segments() {
                        let p = to_knife * seg.eval(0.5);
                        let off = edge.iter().map(|e| e.nearest(p, 1e-9).distance_sq);
                        let off = off.fold(f64::INFINITY, f64::min).sqrt();
                        let away = |k: &usize| (facets[*k].height_mm - off).abs();
                        let k = (0..facets.len()).min_by(|a, b| away(a).total_cmp(&away(b)));
                        let k = k.unwrap();
                        let message = format!("{} on {paper}, line {}", path.display(), k + 1);
                        assert!(away(&k) < TRUE_MM, "{message}: {off} at {p:?}");
                        found[k] += seg.start().distance(seg.end());
                        measured += 1;
                    }
                }
            }
            // The last facet's line is the grind line, of another layer.
            let long = found.iter().rev().skip(1).all(|long| *long > 20.0);
            assert!(long, "{} on {paper}: {found:?}", path.display());
        }
    }
    assert!(measured > 5000, "{measured}");
}

#[test]
fn printed_gauges_have_their_facets_angles_and_are_never_cut() {
    for path in blanks() {
        let (knife, reckoning) = opened(&path);
        let facets = &reckoning.filing.as_ref().unwrap().facets;
        for paper in ["letter", "a4", "a5", "tabloid"] {
            let message = format!("{} on {paper}", path.display());
            let pages = laid_out(&knife, &reckoning, paper);
            let read = read::pages(&paper::pdf(&pages, &Meta::default()).unwrap());
            let mut angles: Vec<f64> = Vec::new();
            for page in &read {
                let cards: Vec<_> = page.layer("Cut line").collect();
                for card in &cards {
                    let segs: Vec<PathSeg> = card.path.segments().collect();
                    assert!(segs.len() >= 5, "{message}: a gauge is cut");
                    let way = |k: usize| -> Vec2 { segs[k].end() - segs[k].start() };
                    angles.push(way(0).cross(way(1)).atan2(way(0).dot(way(1))).to_degrees());
                }
                // Who prints a gauge can see whether it is true.
                assert!(cards.is_empty() || page.layer("Rulers and proof square").count() > 100);
            }
            angles.sort_by(|a, b| b.total_cmp(a));
            assert_eq!(angles.len(), facets.len(), "{message}");
            for (angle, facet) in angles.iter().zip(facets) {
                assert!((angle - facet.angle_deg).abs() < TRUE_DEG, "{message}: {angle}");
            }
        }
    }
}

/// Whether two turned boxes overlap: convex shapes are apart along a side of one of them.
fn overlap(a: &[Point; 4], b: &[Point; 4]) -> bool {
    let reach = |corners: &[Point; 4], way: Vec2| {
        let along = corners.map(|p| p.to_vec2().dot(way));
        (along.into_iter().fold(f64::MAX, f64::min), along.into_iter().fold(f64::MIN, f64::max))
    };
    let sides = [a[1] - a[0], a[3] - a[0], b[1] - b[0], b[3] - b[0]];
    sides.into_iter().all(|side| {
        let way = side.normalize();
        let ((a0, a1), (b0, b1)) = (reach(a, way), reach(b, way));
        a0 + 0.05 < b1 && b0 + 0.05 < a1
    })
}

#[test]
fn no_text_lies_on_another_or_off_the_page_on_any_paper() {
    for path in blanks() {
        let (knife, reckoning) = opened(&path);
        for paper in ["letter", "legal", "tabloid", "a5", "a4", "a3"] {
            for page in laid_out(&knife, &reckoning, paper) {
                let message = format!("{} on {paper}, {}", path.display(), page.name);
                let labels: Vec<(&Label, [Point; 4])> = (page.drawing.items.iter())
                    .filter_map(|item| match &item.mark {
                        Mark::Text(label) => Some((label, lettering::corners(label))),
                        _ => None,
                    })
                    .collect();
                for (i, (a, a_box)) in labels.iter().enumerate() {
                    let on = |p: &Point| {
                        (0.0..page.size_mm.width).contains(&p.x)
                            && (0.0..page.size_mm.height).contains(&p.y)
                    };
                    assert!(a_box.iter().all(on), "{message}: \"{}\" is off the page", a.text);
                    assert!(a.height_mm >= 2.5, "{message}: \"{}\" is small", a.text);
                    // On A5 the tiles are narrower than a joint's letters find room for.
                    let joint = |label: &Label| label.text.starts_with("Join ") && paper == "a5";
                    for (b, b_box) in &labels[i + 1..] {
                        if joint(a) || joint(b) {
                            continue;
                        }
                        assert!(
                            !overlap(a_box, b_box),
                            "{message}: \"{}\" lies on \"{}\"",
                            a.text,
                            b.text
                        );
                    }
                }
            }
        }
    }
}
