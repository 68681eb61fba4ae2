//! The bar's sheet shows every hole and blank where the figures have them.

use super::*;
use knife::starter;
use reckon::{NestOptions, Shop, nest, reckon, tables::Tables};

fn reckoned(knife: &Knife) -> Reckoning {
    reckon(knife, &Shop::default(), Tables::built_in())
}

#[test]
fn every_hole_of_the_chain_is_drawn_with_its_cross() {
    for starter in knife::STARTERS {
        let knife = starter.knife();
        let reckoning = reckoned(&knife);
        let sheet = bar_sheet(&knife, &reckoning);
        let chain = reckoning.chain.as_ref().unwrap();
        let circles: Vec<Circle> = sheet
            .items
            .iter()
            .filter(|item| item.pen == Pen::Waste)
            .filter_map(|item| if let Mark::Circle(c) = item.mark { Some(c) } else { None })
            .collect();
        assert_eq!(circles.len(), chain.holes.len());
        for (circle, hole) in circles.iter().zip(&chain.holes) {
            assert_eq!(circle.center, *hole);
            assert!((circle.radius - chain.drilling.drill_mm / 2.0).abs() < 1e-12);
        }
        let paths = sheet.items.iter().filter(|i| i.pen == Pen::Waste).count() - circles.len();
        assert_eq!(paths, 2 * chain.holes.len() + 2 * chain.cuts.len(), "{}", starter.key);
        assert!(bar_notes(&knife, &reckoning)[0].contains(&format!("{} holes", circles.len())));
    }
}

#[test]
fn many_blanks_stand_where_they_are_laid_and_the_overview_says_it_is_reduced() {
    let knife = starter("drop-point").unwrap().knife();
    let knives = [&knife];
    let target = NestOptions {
        copies: 5,
        length_mm: Some(1219.2),
        max_steps: 2000,
        drill: true,
        width_mm: Some(50.8),
        ..NestOptions::default()
    };
    let nest = nest(&knives, &target, &Shop::default(), Tables::built_in(), &mut |_| true).unwrap();
    let bar = &nest.bars[0];
    let sheet = nest_sheet(&knives, &nest, bar);
    let cuts: Vec<kurbo::Rect> = sheet
        .items
        .iter()
        .filter(|item| item.pen == Pen::Cut)
        .filter_map(|item| match &item.mark {
            Mark::Path(path) => Some(kurbo::Shape::bounding_box(path)),
            _ => None,
        })
        .collect();
    assert_eq!(cuts.len(), bar.blanks.len());
    for (cut, blank) in cuts.iter().zip(&bar.blanks) {
        assert!((cut.x0 - blank.along_mm.0).abs() < 1e-9);
        assert!((cut.y1 - blank.across_mm.1).abs() < 1e-9);
    }
    let overview = nest_overview(&knives, &nest, bar);
    assert!(overview.bounds().unwrap().width() < 180.0);
    let says = |item: &marks::Item| match &item.mark {
        Mark::Text(label) => {
            label.text.starts_with("REDUCED 1 : ") && label.text.ends_with("NOT FOR TRACING")
        }
        _ => false,
    };
    assert!(overview.items.iter().any(says));
    assert!(nest_notes(&knives, &nest, bar)[0].starts_with("5 blanks on a bar"));
}
