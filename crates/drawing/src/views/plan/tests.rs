//! The plan of every starter, read back.

use super::*;
use kurbo::{Rect, Shape};
use reckon::{Shop, reckon, tables::Tables};

fn words(drawing: &Drawing) -> Vec<&Label> {
    let labels = drawing.items.iter().filter_map(|item| match &item.mark {
        Mark::Text(label) => Some(label),
        _ => None,
    });
    labels.collect()
}

fn boxed(label: &Label) -> Rect {
    let [a, b, c, d] = lettering::corners(label);
    Rect::from_points(a, c).union(Rect::from_points(b, d)).inset(-0.05)
}

#[test]
fn every_starters_plan_tells_its_sizes_and_no_words_touch() {
    for starter in knife::STARTERS {
        let knife = starter.knife();
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        let profile = reckoning.profile.as_ref().unwrap();
        let drawing = plan_sheet(&knife, &reckoning);
        let said = words(&drawing);
        let length = first(profile.length_mm, knife.unit);
        assert!(said.iter().any(|label| label.text == length), "{}", knife.name);
        let mut tables = offset_tables(&knife, &reckoning);
        tables.push(title_block(&knife, &reckoning, 1));
        let all: Vec<&Drawing> = std::iter::once(&drawing).chain(&tables).collect();
        for drawing in all {
            let said = words(drawing);
            for (i, one) in said.iter().enumerate() {
                assert!(one.height_mm >= 2.5, "{}", one.text);
                for other in &said[i + 1..] {
                    let hit = boxed(one).intersect(boxed(other)).area() > 1e-9;
                    assert!(!hit, "{}: {} on {}", knife.name, one.text, other.text);
                }
            }
        }
        let cut: f64 = (drawing.items.iter())
            .filter(|item| item.pen == Pen::Cut && crate::part_of(item) == Some(PartId::Profile))
            .filter_map(
                |item| if let Mark::Path(p) = &item.mark { Some(p.area().abs()) } else { None },
            )
            .fold(0.0, f64::max);
        assert!((cut - profile.area_mm2).abs() < 1e-6, "{}: {cut}", knife.name);
    }
}

/// The table of offsets against the outline flattened and cut by plain geometry.
#[test]
fn offsets_lie_on_the_outline() {
    for origin in knife::Origin::ALL {
        let knife = knife::starter("drop-point").unwrap().knife();
        offsets_lie_on(&Knife { origin, ..knife.clone() });
        let mirrored = knife::Edit::MirrorAlong.apply(&knife).unwrap();
        offsets_lie_on(&Knife { origin, ..mirrored });
    }
}

/// Every origin is told on the plan, and the holes stand there as a field has them.
#[test]
fn a_plan_says_what_it_counts_from() {
    for origin in knife::Origin::ALL {
        let knife = Knife { origin, ..knife::starter("drop-point").unwrap().knife() };
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        let from = reckoning.origin.from_phrase();
        assert!(plan_notes(&knife, &reckoning, 1)[0].starts_with(&format!("Coordinates {from}:")));
        let mut tables = offset_tables(&knife, &reckoning);
        tables.push(title_block(&knife, &reckoning, 1));
        let said: Vec<&str> =
            tables.iter().flat_map(words).map(|label| label.text.as_str()).collect();
        for title in [format!("Holes, {from}"), format!("Outline {from}, inches")] {
            assert!(said.contains(&title.as_str()), "{title}: {said:?}");
        }
        let show = |mm| units::show_in_both(mm, knife.unit);
        let hole = reckoning.origin.to_local(reckoning.holes[0].at);
        assert!(said.contains(&show(hole.x).as_str()), "{hole:?}");
        assert!(said.contains(&show(hole.y).as_str()), "{hole:?}");
    }
}

fn offsets_lie_on(knife: &Knife) {
    let reckoning = reckon(knife, &Shop::default(), Tables::built_in());
    let (origin, outline) = (reckoning.origin, reckoning.outline.unwrap());
    let mut corners = Vec::new();
    kurbo::flatten(outline.to_path(), 1e-4, |el| corners.extend(el.end_point()));
    let drawing = offsets::table(knife, &reckon(knife, &Shop::default(), Tables::built_in()));
    let drawing = drawing.unwrap();
    let figure = |label: &Label| label.text.replace('−', "-").parse::<f64>().ok().map(|n| n * 25.4);
    let mut rows: Vec<Vec<f64>> = Vec::new();
    let mut last = f64::MAX;
    for label in words(&drawing) {
        if let Some(mm) = figure(label) {
            if (label.at.y - last).abs() > 1e-9 {
                rows.push(Vec::new());
            }
            last = label.at.y;
            rows.last_mut().unwrap().push(mm);
        }
    }
    let mut seen = 0;
    for three in rows.iter().flat_map(|row| row.chunks_exact(3)) {
        let x = origin.to_knife_x(three[0]);
        let mut ys: Vec<f64> = corners
            .iter()
            .zip(corners.iter().cycle().skip(1))
            // Half open: a corner that lies on the very station counts once.
            .filter(|(a, b)| (a.x > x) != (b.x > x))
            .map(|(a, b)| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x))
            .collect();
        ys.sort_by(f64::total_cmp);
        // Figures are rounded to a thousandth of an inch, in x as in y.
        let (low, high) = (origin.to_local_y(ys[0]), origin.to_local_y(ys[ys.len() - 1]));
        assert!(
            (low - three[1]).abs() < 0.06 && (high - three[2]).abs() < 0.06,
            "{three:?} {ys:?}"
        );
        seen += 1;
    }
    assert!(seen >= 10, "{seen}");
}

#[test]
fn what_was_measured_and_kept_stands_on_the_plan() {
    use knife::{Anchor, Dimension, Edit};
    let mut knife = knife::starter("drop-point").unwrap().knife();
    let (tip, heel) = (knife.profile.tip.unwrap(), knife.profile.heel.unwrap());
    let (tip, heel) = (Anchor::Node(tip), Anchor::Node(heel));
    let kept = [Dimension::Distance(tip, heel), Dimension::Along(tip, heel)];
    for dimension in kept {
        knife = Edit::AddDimension(dimension).apply(&knife).unwrap();
    }
    let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
    let sheet = plan_sheet(&knife, &reckoning);
    assert_eq!(reckoning.dimensions.len(), 2);
    for found in reckoning.dimensions.iter().flatten() {
        let text = crate::views::measured_text(found, knife.unit);
        assert!(words(&sheet).iter().any(|label| label.text.starts_with(&text)), "{text}");
    }
    // The chord of the edge is no longer than its way along the outline.
    let [Some(straight), Some(along)] = &reckoning.dimensions[..] else { panic!() };
    let (reckon::Value::Length(straight), reckon::Value::Length(along)) =
        (&straight.value, &along.value)
    else {
        panic!()
    };
    assert!(straight < along && *along < 2.0 * straight, "{straight} {along}");
}
