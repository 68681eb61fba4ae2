//! The figures of heat, on a plain blank.

use super::*;
use crate::sample::{blank, reckoned};
use crate::shop::Chamber;
use crate::{OwnSteel, Shop, reckon};
use knife::{Edit, Finish, Temper};

fn tempered(grade: &str, temper: Temper) -> Result<Tempering, TemperError> {
    let mut knife = blank();
    knife.bar.grade = grade.to_owned();
    let knife = Edit::ChooseTemper(Some(temper)).apply(&knife).unwrap();
    reckoned(&knife).heat.temper.unwrap()
}

#[test]
fn the_hardening_heat_lies_above_the_curie_point_by_the_difference() {
    // 1475 to 1510 °F by the table, 1418 °F: 57 to 92 °F.
    let (low, high) = reckoned(&blank()).heat.above_curie_c.unwrap();
    assert!((low * 1.8 - 57.0).abs() < 1e-9 && (high * 1.8 - 92.0).abs() < 1e-9);
}

#[test]
fn a_temper_of_410_f_is_210_c_and_gives_the_tables_band() {
    // By hand, a fifth of the way from 400 to 450 °F: 1084 alone 60.8 to 61.8 HRC; its one table
    // has no source, so the near 1080's 59.4 to 60.4 counts too.
    let tempering = tempered("1084", Temper::Heat(210.0)).unwrap();
    assert!((tempering.hrc.0 - 59.4).abs() < 1e-9 && (tempering.hrc.1 - 61.8).abs() < 1e-9);
    // 1080 has a table of its own that is trusted further: it stands alone.
    let tempering = tempered("1080", Temper::Heat(210.0)).unwrap();
    assert!((tempering.hrc.0 - 59.4).abs() < 1e-9 && (tempering.hrc.1 - 60.4).abs() < 1e-9);
}

/// 57 HRC of 1084 stands at 600 °F in its one unsourced table, in the embrittlement range; 1080
/// has it at 450 °F.
#[test]
fn a_table_of_low_trust_does_not_lead_alone_into_embrittlement() {
    let tempering = tempered("1084", Temper::Hardness(57.0)).unwrap();
    assert!((tempering.heats_c.0 * 1.8 + 32.0 - 450.0).abs() < 1e-6, "{tempering:?}");
    assert!(!tempering.brittle().unwrap().is_all());
    let tempering = tempered("1095", Temper::Hardness(56.0)).unwrap();
    assert!(tempering.brittle().unwrap().is_all(), "{tempering:?}");
    assert_eq!(tempered("A2", Temper::Hardness(58.0)).unwrap().brittle_c, None);
}

/// The cue begins 50 °F above 1418 °F and ends where the most careful published range ends: by
/// hand, from the tables' ranges.
#[test]
fn the_cue_at_the_magnet_ends_with_the_most_careful_range() {
    let ends = [
        ("1084", 1475.0, 1510.0),
        ("1080", 1500.0, 1500.0),
        ("1095", 1468.0, 1475.0),
        ("1.2842", 1468.0, 1508.0),
        ("O1", 1468.0, 1500.0),
        ("W2", 1450.0, 1450.0),
        ("L6", 1500.0, 1550.0),
    ];
    for (grade, low, high) in ends {
        let mut knife = blank();
        knife.bar.grade = grade.to_owned();
        let cue = reckoned(&knife).heat.cue_c.unwrap();
        let (from, to) = (cue.0 * 1.8 + 32.0, cue.1 * 1.8 + 32.0);
        assert!((from - low).abs() < 0.1 && (to - high).abs() < 0.1, "{grade} {from} {to}");
    }
    let mut knife = blank();
    knife.bar.grade = "A2".to_owned();
    assert_eq!(reckoned(&knife).heat.cue_c, None);
}

#[test]
fn an_oven_is_set_in_whole_steps_and_told_how_far_it_swings() {
    use units::LengthUnit;
    let heat = (543.0 - 32.0) / 1.8;
    assert_eq!(oven_setting((heat, heat), LengthUnit::Inch), "540 °F (285 °C), ± 10 °F");
    assert_eq!(oven_setting((heat, heat), LengthUnit::Millimetre), "285 °C (540 °F), ± 5 °C");
    let range = ((450.0 - 32.0) / 1.8, (500.0 - 32.0) / 1.8);
    assert_eq!(oven_setting(range, LengthUnit::Inch), "450–500 °F (230–260 °C)");
}

#[test]
fn a_chart_covers_the_tempers_of_blades_and_their_embrittlement() {
    for steel in Tables::built_in().steels() {
        let mut knife = blank();
        knife.bar.grade = steel.grade.clone();
        let heat = reckoned(&knife).heat;
        let Some((heats, hrc)) = heat.chart else { continue };
        assert!(heats.0 < 150.0 && heats.1 > 370.0 && hrc.0 <= hrc.1, "{}", steel.grade);
    }
}

#[test]
fn where_the_tables_have_nothing_no_number_is_made_up() {
    let message = |grade: &str, temper| tempered(grade, temper).unwrap_err().to_string();
    assert!(message("unobtainium", Temper::Hardness(60.0)).starts_with("No table has unobtainium"));
    let none = message("AISI W1", Temper::Hardness(60.0));
    assert!(none.starts_with("The tables have no tempering points for AISI W1"), "{none}");
    assert_eq!(
        message("1084", Temper::Hardness(66.0)),
        "No temper of the tables gives 66 HRC: for SAE 1084 they run from 53 to 65 HRC. Choose \
         one within that range."
    );
    assert!(message("1084", Temper::Heat(400.0)).contains("they say nothing about"));
    assert!(message("440C", Temper::Heat(500.0)).starts_with("Keep AISI 440C out of"));
}

#[test]
fn oil_is_a_gallon_to_the_pound() {
    let mut knife = blank();
    let reckoning = reckoned(&knife);
    let pounds = reckoning.mass.unwrap().ground_g().unwrap() / 453.592_37;
    let litres = reckoning.heat.oil_l.unwrap();
    assert!((litres / 3.785_411_784 - pounds).abs() < 1e-3 * pounds, "{litres}");
    knife.bar.grade = "A2".to_owned();
    assert_eq!(reckoned(&knife).heat.oil_l, None, "it hardens in air");
}

#[test]
fn a_makers_own_steel_goes_before_the_table() {
    let own = OwnSteel {
        grade: "SAE 1084".to_owned(),
        density_g_cm3: Some(7.8),
        harden_c: Some((810.0, 820.0)),
        quench: Some(crate::tables::Quench::Oil),
        quenched_hrc: None,
        temper: vec![(250.0, 58.0, 59.0), (200.0, 60.0, 61.0)],
        source: "the mill's certificate".to_owned(),
    };
    let shop = Shop { steels: vec![own], ..Shop::default() };
    let mut knife = blank();
    knife.treatment.temper = Some(Temper::Heat(225.0));
    let reckoning = reckon(&knife, &shop, Tables::built_in());
    let heat = &reckoning.heat;
    assert_eq!(heat.temper.as_ref().unwrap().as_ref().unwrap().hrc, (59.0, 60.0));
    assert!(heat.steel.as_ref().unwrap().brittle_c.is_some());
    let series = &heat.steel.as_ref().unwrap().curve.series[0];
    assert!(series.origin.source.ends_with("the mill's certificate"));
    assert_eq!(reckoning.mass.unwrap().density_g_cm3, Some(7.8));
}

#[test]
fn rooms_tell_what_is_left_around_the_blank() {
    // 30 × 3.175: a circle of 30.168 mm in a bore of 57.15 leaves 13.49 all round.
    let forge = Some(Chamber::Round { diameter_mm: 57.15, length_mm: 228.6 });
    let shop = Shop { forge, ..Shop::default() };
    let room = reckon(&blank(), &shop, Tables::built_in()).heat.chambers[0];
    assert!(room.fits && (room.circle_mm - 13.491).abs() < 1e-3, "{room:?}");
    // π/4 · 2.25² · 9 = 35.785 in³ = 0.58641 l.
    assert!((room.litres - 0.586_41).abs() < 1e-5);
}

#[test]
fn the_fronts_are_as_fine_as_the_handle_and_a_finish_ends_on_its_grit() {
    let mut knife = blank();
    assert!(reckoned(&knife).heat.ladders.blade.is_empty());
    let ends = [("P320", Finish::Stonewash), ("P600", Finish::Satin), ("P3000", Finish::Mirror)];
    for (last, finish) in ends {
        knife.treatment.finish = Some(finish);
        let ladders = reckoned(&knife).heat.ladders;
        assert_eq!(ladders.blade.last().unwrap().name, last);
        let (front, handle) = (ladders.fronts.last().unwrap(), ladders.handle.last().unwrap());
        assert!(front.um <= handle.um);
    }
}

#[test]
fn a_band_is_known_by_all_its_sources() {
    let tables = Tables::built_in();
    let mut several = 0;
    for steel in tables.steels() {
        let mut knife = blank();
        knife.bar.grade = steel.grade.clone();
        let Some(steel) = reckoned(&knife).heat.steel else { continue };
        let Some(origin) = steel.curve.origin() else { continue };
        let mut sources: Vec<&str> =
            steel.curve.series.iter().map(|series| series.origin.source.as_str()).collect();
        assert!(sources.iter().all(|source| origin.source.contains(source)), "{origin:?}");
        sources.dedup();
        several += usize::from(sources.len() > 1);
    }
    assert!(several > 0, "some steel is told by more than one source");
}
