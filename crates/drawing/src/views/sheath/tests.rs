//! The pattern folded back round the knife, its joints and its marks.

use super::*;
use knife::{STARTERS, Sheath, SheathKind};
use kurbo::ParamCurve as _;
use reckon::{Shop, reckon, tables::Tables};

fn sheathed(kind: SheathKind) -> (Knife, Reckoning) {
    let mut knife = STARTERS[0].knife();
    knife.sheath = Some(Sheath::usual(kind, knife.unit));
    let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
    (knife, reckoning)
}

fn cut(drawing: &Drawing) -> Vec<Rect> {
    let cut = drawing.items.iter().filter(|item| item.pen == Pen::Cut);
    cut.filter_map(|item| match &item.mark {
        Mark::Path(path) => Some(path.bounding_box()),
        _ => None,
    })
    .collect()
}

#[test]
fn the_sheet_has_every_piece_at_true_size() {
    for kind in SheathKind::ALL {
        let (knife, reckoning) = sheathed(kind);
        let Some(Ok(figures)) = &reckoning.sheath else { panic!("{kind:?}") };
        let drawing = sheath_sheet(&knife, &reckoning);
        let bounds = figures.body.outline.bounds();
        let [own] = cut(&drawing)[..] else { panic!("{kind:?}") };
        assert!((own.width() - bounds.width()).abs() < 1e-9);
        assert!((own.height() - bounds.height()).abs() < 1e-9);
        let inserts = sheath_inserts(&knife, &reckoning);
        let expected = match kind {
            SheathKind::FoldedLeather => 2,
            SheathKind::TwoSidedLeather => 3,
            SheathKind::FoldedThermoplastic => 0,
            SheathKind::TwoSidedThermoplastic => 1,
        };
        assert_eq!(inserts.len(), expected, "{kind:?}");
        assert!(sheath_notes(&knife, &reckoning).len() > 4);
        if !figures.stated.folded {
            // The second piece is the first one's mirror image, hole for hole.
            let holes = |drawing: &Drawing, sign: f64| {
                let mut all: Vec<(i64, i64)> = drawing
                    .items
                    .iter()
                    .filter_map(|item| match &item.mark {
                        Mark::Circle(c) if item.pen == Pen::Hole => Some(c.center),
                        _ => None,
                    })
                    .map(|p| ((sign * p.x * 1e3).round() as i64, (p.y * 1e3).round() as i64))
                    .collect();
                all.sort_unstable();
                all
            };
            let row = figures.body.holes.len();
            let (first, second) = (holes(&drawing, 1.0), holes(&inserts[0], -1.0));
            let shared = first.iter().filter(|p| second.contains(p)).count();
            assert!(shared >= row, "{kind:?}: {shared} of {row}");
        }
    }
}

#[test]
fn without_a_sheath_there_is_nothing_to_draw() {
    let knife = STARTERS[0].knife();
    let reckoning =
        reckon(&Knife { sheath: None, ..knife.clone() }, &Shop::default(), Tables::built_in());
    assert!(!has_sheath(&reckoning));
    assert_eq!(sheath_sheet(&knife, &reckoning), Drawing::new());
    assert_eq!(sheath_on_knife(&reckoning), Drawing::new());
    assert!(sheath_notes(&knife, &reckoning)[0].starts_with("No sheath"));
}

/// On the canvas the closed sheath lies round the knife, wherever that lies.
#[test]
fn the_closed_sheath_lies_round_the_knife() {
    let (_, reckoning) = sheathed(SheathKind::FoldedLeather);
    let outline = reckoning.outline.as_ref().unwrap();
    for item in &sheath_on_knife(&reckoning).items {
        if let (Pen::Hole, Mark::Circle(circle)) = (item.pen, &item.mark) {
            assert!(!outline.contains(circle.center));
        }
    }
    let tip = outline.segs()[0].eval(0.0);
    assert!(tip.is_finite());
}
