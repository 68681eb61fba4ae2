//! The figures of heat, on a plain blank.

use super::*;
use crate::sample::{blank, reckoned};
use crate::shop::Chamber;
use crate::{Shop, reckon};
use knife::{Edit, Finish, Temper};

fn tempered(grade: &str, temper: Temper) -> Result<Tempering, TemperFault> {
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
    let tempering = tempered("1084", Temper::Heat(210.0)).unwrap();
    assert!((tempering.hrc.0 - 60.8).abs() < 1e-9 && (tempering.hrc.1 - 61.8).abs() < 1e-9);
}

#[test]
fn where_the_tables_have_nothing_no_number_is_made_up() {
    let told = |grade: &str, temper| tempered(grade, temper).unwrap_err().to_string();
    assert!(told("unobtainium", Temper::Hardness(60.0)).starts_with("No table has unobtainium"));
    let none = told("AISI W1", Temper::Hardness(60.0));
    assert!(none.starts_with("The tables have no tempering points for AISI W1"), "{none}");
    assert_eq!(
        told("1084", Temper::Hardness(66.0)),
        "No temper of the tables gives 66 HRC: for SAE 1084 they run from 57 to 63 HRC. Choose a \
         hardness among those."
    );
    assert!(told("1084", Temper::Heat(400.0)).contains("nothing is told"));
    assert!(told("440C", Temper::Heat(500.0)).starts_with("Keep AISI 440C out of"));
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
    let series = &heat.steel.as_ref().unwrap().curve.series[0];
    assert!(series.origin.source.ends_with("the mill's certificate"));
    assert_eq!(reckoning.mass.unwrap().density_g_cm3, Some(7.8));
}

#[test]
fn rooms_tell_what_is_left_around_the_blank() {
    // 30 × 3.175: a circle of 30.168 mm in a bore of 57.15 leaves 13.49 all round.
    let forge = Some(Chamber::Round { diameter_mm: 57.15, length_mm: 228.6 });
    let shop = Shop { forge, ..Shop::default() };
    let room = reckon(&blank(), &shop, Tables::built_in()).heat.rooms[0];
    assert!(room.goes_in && (room.around_mm - 13.491).abs() < 1e-3, "{room:?}");
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
