//! Blanks on bars: counts, lengths, faults, and chains that keep clear of every neighbour.

use super::*;
use crate::sample::{blank, drilled};
use knife::{STARTERS, starter};

fn laid(knives: &[&Knife], options: &NestOptions) -> Nest {
    nest(knives, options, &Shop::default(), Tables::built_in(), &mut |_| true).unwrap()
}

fn fault(knives: &[&Knife], options: &NestOptions) -> NestError {
    nest(knives, options, &Shop::default(), Tables::built_in(), &mut |_| true).unwrap_err()
}

const QUICK: NestOptions = NestOptions {
    copies: 1,
    fill: false,
    length_mm: None,
    width_mm: None,
    kerf_mm: 2.0,
    margin_mm: 2.0,
    flip: false,
    drill: false,
    max_steps: 3000,
};

/// What is counted is what would be drawn, before anything is laid.
#[test]
fn blanks_of_endless_holes_are_refused_before_they_are_laid() {
    let knife = drilled(&[(100.0, 0.0, 1.0); 1_000]);
    let options = |copies| NestOptions { copies, ..QUICK };
    // 200,000 parts at most: nine of 4 nodes and 1000 holes of 20 parts each.
    assert!(Plan::new(&[&knife], &options(9)).is_ok());
    let refused = Plan::new(&[&knife], &options(10)).err();
    assert_eq!(refused, Some(NestError::TooIntricate { count: 10, max: 9 }));
    assert!(Plan::new(&[&blank()], &options(MAX_BLANKS)).is_ok(), "usual blanks in any number");
}

// 460 mm round, a hole every 0.6 mm: 767 holes; 20,000 in all are those of 26 blanks.
#[test]
fn blanks_of_endless_chains_are_refused_before_they_are_laid() {
    let mut knife = blank();
    let (drill_mm, bridge_mm) = (0.5, 0.1);
    knife.cutting = Some(ChainDrilling { drill_mm, drill: None, bridge_mm, leave_mm: 0.5 });
    let options = |copies| NestOptions { copies, drill: true, ..QUICK };
    assert!(Plan::new(&[&knife], &options(26)).is_ok());
    let refused = Plan::new(&[&knife], &options(27)).err();
    assert_eq!(refused, Some(NestError::TooManyHoles { count: 27, max: 26 }));
    assert!(Plan::new(&[&knife], &NestOptions { drill: false, ..options(27) }).is_ok());
    // Of a filled bar those count that it takes: 22 here, where its steel would be enough for 29.
    let fill = |length_mm| NestOptions { fill: true, length_mm: Some(length_mm), ..options(1) };
    assert_eq!(laid(&[&knife], &fill(4600.0)).count(), 22);
    let mut go_on = |_: Progress| true;
    let shop = Shop::default();
    let refused = nest(&[&knife], &fill(5600.0), &shop, Tables::built_in(), &mut go_on).err();
    assert_eq!(refused, Some(NestError::TooManyHoles { count: 27, max: 26 }));
}

#[test]
fn rectangles_fill_a_bar_as_arithmetic_says() {
    // 200 mm blanks, 2 mm between and at the ends: 4 take 2 + 4 × 200 + 3 × 2 + 2 = 810 mm.
    let knife = blank();
    let nest = laid(&[&knife], &NestOptions { copies: 4, ..QUICK });
    assert_eq!((nest.bars.len(), nest.count()), (1, 4));
    assert!((nest.bars[0].used_mm - 810.0).abs() < 0.4, "{}", nest.bars[0].used_mm);
    let share = 4.0 * 200.0 * 30.0 / (nest.bars[0].used_mm * 38.1);
    assert!((nest.bars[0].used_share - share).abs() < 1e-9);
    // Two to a bar of 500 mm, so five take three bars.
    let nest = laid(&[&knife], &NestOptions { copies: 5, length_mm: Some(500.0), ..QUICK });
    let counts: Vec<usize> = nest.bars.iter().map(|bar| bar.blanks.len()).collect();
    assert_eq!(counts, [2, 2, 1]);
    assert!((nest.bars[2].offcut_mm - (500.0 - 204.0)).abs() < 0.2);
    let nest = laid(&[&knife], &NestOptions { fill: true, length_mm: Some(1219.2), ..QUICK });
    assert_eq!((nest.bars.len(), nest.count(), nest.limit_warning()), (1, 6, None));
}

#[test]
fn a_bar_that_would_take_more_than_are_laid_at_once_says_so() {
    let wide = NestOptions { fill: true, length_mm: Some(9000.0), width_mm: Some(500.0), ..QUICK };
    let nest = laid(&[&blank()], &NestOptions { max_steps: 1, ..wide });
    assert_eq!(nest.count(), MAX_BLANKS);
    assert!(nest.limit_warning().unwrap().contains("the bar may take more"));
}

#[test]
fn usual_bars_are_counted() {
    let mut knife = blank();
    knife.unit = LengthUnit::Inch;
    let nest = laid(&[&knife], &NestOptions { copies: 4, ..QUICK });
    // 810 mm: one 36 in bar; two 18 in bars of two blanks; four 12 in bars.
    let message: Vec<(&str, usize)> =
        nest.stock_counts.iter().map(|usual| (usual.name.as_str(), usual.bars)).collect();
    assert_eq!(message, [("12 in", 4), ("18 in", 2), ("36 in", 1)]);
}

#[test]
fn what_cannot_be_laid_together_is_told() {
    let knife = blank();
    let mut thick = blank();
    thick.bar.thickness_mm = 4.0;
    assert_eq!(
        fault(&[&knife, &thick], &QUICK),
        NestError::Differs { blank: 1, what: "thickness" }
    );
    let narrow = NestOptions { width_mm: Some(31.0), ..QUICK };
    assert!(matches!(fault(&[&knife], &narrow), NestError::TooLarge { blank: 0, .. }));
    let many = NestOptions { copies: 501, ..QUICK };
    assert_eq!(fault(&[&knife], &many), NestError::TooMany { count: 501 });
    let kerf = NestOptions { kerf_mm: f64::NAN, ..QUICK };
    assert!(fault(&[&knife], &kerf).to_string().starts_with("a kerf of "));
    // In the maker's unit, rounded as lengths are.
    let mut inches = blank();
    inches.unit = LengthUnit::Inch;
    let long = NestOptions { length_mm: Some(57_600.0 * 25.4), ..QUICK };
    let message = fault(&[&inches], &long).to_string();
    assert!(message.starts_with("a bar length of 57600 in is not possible"), "{message}");
    assert!(!message.contains("mm"), "{message}");
    let message = fault(&[&inches], &narrow).to_string();
    assert!(
        message
            .contains("a bar 1.220 in (1 7/32 +0.002) wide with 0.079 in (5/64 +0.001) to spare"),
        "{message}"
    );
    assert!(matches!(fault(&[&Knife::empty()], &QUICK), NestError::NoOutline { blank: 0 }));
}

#[test]
fn a_bar_without_grade_is_told_without_one() {
    let mut knife = blank();
    knife.bar.grade = " ".into();
    let message = laid(&[&knife], &QUICK).describe_bar(LengthUnit::Inch);
    assert!(
        message.starts_with("Bar 1 1/2 in × 1/8 in; 0.079 in (5/64 +0.001) between blanks"),
        "{message}"
    );
}

// A blank that crosses itself can't be cut; with two thousand crossings the search took minutes.
#[test]
fn a_blank_that_crosses_itself_is_refused_before_any_search() {
    let stroke =
        |i: u32| Point::new(f64::from(i) / 10.0, if i.is_multiple_of(2) { -9.0 } else { 9.0 });
    let corners: Vec<Point> = (0..2000).map(stroke).chain([Point::new(200.0, 0.5)]).collect();
    let mut knife = blank();
    knife.profile = knife::Profile::from_outline(&Outline::polygon(&corners).unwrap());
    let message = fault(&[&blank(), &knife], &QUICK);
    assert_eq!(message, NestError::CrossesItself { blank: 1 });
    assert!(message.to_string().contains("crosses or touches itself, so it can't be cut"));
}

#[test]
fn head_to_tail_takes_less_than_boxes_and_a_flip_is_only_by_leave() {
    let knife = starter("drop-point").unwrap().knife();
    let long = knife.profile.outline().unwrap().bounds().width();
    let options = NestOptions { copies: 6, width_mm: Some(50.8), ..QUICK };
    let nest = laid(&[&knife], &options);
    let boxes = 6.0 * long + 5.0 * 2.0 + 4.0;
    assert!(nest.bars[0].used_mm < boxes - 5.0, "{} {boxes}", nest.bars[0].used_mm);
    assert!(nest.bars[0].blanks.iter().all(|blank| !blank.flipped));
    let flipped = laid(&[&knife], &NestOptions { flip: true, ..options });
    assert!(flipped.bars[0].used_mm < boxes - 5.0, "{}", flipped.bars[0].used_mm);
}

#[test]
fn drilled_out_together_no_hole_comes_into_any_blanks_leave() {
    let knives: Vec<Knife> = STARTERS.iter().map(|starter| starter.knife()).collect();
    let same = |knife: &&Knife| {
        knife.bar.thickness_mm == knives[0].bar.thickness_mm
            && knife.bar.grade == knives[0].bar.grade
    };
    let some: Vec<&Knife> = knives.iter().filter(same).collect();
    assert!(some.len() >= 3, "starters of one bar");
    let options = NestOptions { drill: true, copies: 1, width_mm: Some(80.0), ..QUICK };
    let nest = laid(&some, &options);
    let cutting = some[0].cutting();
    for bar in &nest.bars {
        let placed: Vec<Outline> = bar
            .blanks
            .iter()
            .map(|b| some[b.blank].profile.outline().unwrap().transformed(b.bar_from_knife))
            .collect();
        let holes: Vec<Point> =
            bar.blanks.iter().flat_map(|b| b.chain.as_ref().unwrap().holes.clone()).collect();
        assert!(holes.len() > 60 * bar.blanks.len(), "{}", holes.len());
        for (i, at) in holes.iter().enumerate() {
            for outline in &placed {
                let gap = outline.nearest(*at).distance_mm - cutting.drill_mm / 2.0;
                assert!(gap >= cutting.leave_mm - 1e-9 && !outline.contains(*at), "{gap}");
            }
            for other in &holes[i + 1..] {
                let min = cutting.drill_mm + 0.5 * cutting.bridge_mm;
                assert!(at.distance(*other) >= min - 1e-9);
            }
        }
    }
}
