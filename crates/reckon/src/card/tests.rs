//! Every figure on every card rests on something, and cards are safe to read alone.

use super::*;
use crate::heat::OwnSteel;
use crate::sample::blank;
use crate::shop::Chamber;
use crate::tables::Quench;
use crate::{Shop, reckon};
use knife::{Bevel, Finish, Handle, Heating, Scales, Sharpening, Temper};

fn shop() -> Shop {
    let room = Chamber::Box { width_mm: 100.0, height_mm: 60.0, length_mm: 250.0 };
    let own = OwnSteel {
        grade: "Mill 7".to_owned(),
        density_g_cm3: None,
        harden_c: Some((800.0, 820.0)),
        quench: Some(Quench::Oil),
        quenched_hrc: None,
        temper: Vec::new(),
        source: "the mill's certificate".to_owned(),
    };
    Shop {
        forge: Some(room),
        quench_tank: Some(room),
        oven: Some(room),
        steels: vec![own],
        ..Shop::default()
    }
}

/// All cards of a knife.
fn cards(knife: &Knife) -> Vec<Card> {
    let tables = Tables::built_in();
    let reckoning = reckon(knife, &shop(), tables);
    let bench = Bench { knife, reckoning: &reckoning, tables };
    vec![
        Card { parts: heat_parts(&bench) },
        Card { parts: finish_parts(&bench) },
        Card { parts: vec![sharpen_part(&bench)] },
        build_card(&bench),
    ]
}

/// Knives of every steel, finish, way of heating and temper, with and without their parts.
fn knives() -> Vec<Knife> {
    let mut all = Vec::new();
    let grades = Tables::built_in().steels().iter().map(|steel| steel.grade.as_str());
    for grade in grades.chain(["unobtainium", "", "Mill 7"]) {
        let tempers = [
            None,
            Some(Temper::Hardness(60.0)),
            Some(Temper::Hardness(69.0)),
            Some(Temper::Heat(210.0)),
        ];
        for (i, temper) in tempers.into_iter().enumerate() {
            let mut knife = blank();
            knife.bar.grade = grade.to_owned();
            knife.treatment.temper = temper;
            knife.treatment.heating =
                [None, Some(Heating::OpenForge), Some(Heating::Oven), None][i];
            knife.treatment.finish = Finish::ALL.get(i).copied().filter(|_| i > 0);
            if i > 0 {
                let bevel = Bevel {
                    plunge_x_mm: 90.0,
                    grind_height_mm: 20.0,
                    edge_thickness_mm: 0.5,
                    ..Bevel::default()
                };
                knife.bevel = Some(bevel);
                knife.scales = Some(Scales { front_x_mm: 110.0, thickness_mm: 6.0 });
                let material = ["black walnut", "glass-epoxy G-10", "canvas phenolic"][i - 1];
                knife.handle = Handle { scales: Some(material.to_owned()), ..Handle::default() };
            }
            if i == 2 {
                knife.unit = LengthUnit::Inch;
                knife.sharpening = Some(Sharpening { angle_deg: 20.0, edge_mm: None });
            }
            all.push(knife);
        }
    }
    all
}

#[test]
fn every_figure_on_every_card_rests_on_something() {
    let mut figures = 0;
    for knife in knives() {
        for card in cards(&knife) {
            for line in card.parts.iter().flat_map(|part| &part.lines) {
                for piece in &line.pieces {
                    match piece {
                        Piece::Words(words) => {
                            assert!(!words.contains(|c: char| c.is_numeric()), "{words}");
                            assert!(!words.contains(['{', '}']), "{words}");
                        }
                        Piece::Figure(figure) => {
                            figures += 1;
                            assert!(!figure.text.trim().is_empty(), "{line:?}");
                            assert!(!figure.text.contains("NaN"), "{line:?}");
                            match &figure.basis {
                                Basis::Stated => {}
                                Basis::Worked(how) => assert!(how.len() > 5, "{figure:?}"),
                                Basis::Table(origin) => {
                                    assert!(origin.source.len() > 8, "{figure:?}");
                                    assert!(!origin.confidence.is_empty(), "{figure:?}");
                                }
                            }
                        }
                    }
                }
            }
        }
    }
    assert!(figures > 2_000, "{figures}");
}

fn build_text(knife: &Knife) -> String {
    let card = cards(knife).pop().unwrap();
    let sources = card.sources();
    let lines = card.parts.iter().flat_map(|part| &part.lines).map(|line| line.text(&sources));
    lines.collect::<Vec<_>>().join("\n")
}

/// The hazards of each step are told before the step: oil before the quench, brittle steel before
/// the temper, acid with the etch, dust and skin before the handle.
#[test]
fn whoever_reads_the_build_card_alone_is_told_what_can_hurt() {
    let mut knife = blank();
    knife.treatment.finish = Some(Finish::Etched);
    knife.scales = Some(Scales { front_x_mm: 110.0, thickness_mm: 6.0 });
    let text = build_text(&knife);
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words} in {text}"));
    assert!(at("no gloves, loose sleeves") < at("Chain-drill"));
    assert!(at("carbon monoxide") < at("Touch it to a magnet"));
    assert!(at("Hot oil can flash") < at("Quench in fast oil"));
    assert!(at("can crack or shatter") < at(" at heat each"));
    assert!(at("Wipe the oil off first") < at(" at heat each"));
    assert!(at("never water into acid") < at("degrease, etch"));
    assert!(at("lungs") < at("Drill the scales"));
    assert!(at("skin allergy") < at("Roughen and degrease"));
    for words in ["eye protection", "respirator", "check the law", "data sheets"] {
        at(words);
    }
}

#[test]
fn steels_that_an_open_forge_cannot_do_are_not_heated_by_magnet() {
    let mut knife = blank();
    for grade in ["A2", "D2", "440C", "420", "1.2083"] {
        knife.bar.grade = grade.to_owned();
        let text = build_text(&knife);
        assert!(
            !text.contains("Touch it to a magnet") && text.contains("needs a heat-treating oven"),
            "{grade}"
        );
        assert!(text.contains("Oven: set it to"), "{grade}");
    }
    knife.bar.grade = "1084".to_owned();
    assert!(build_text(&knife).contains("Touch it to a magnet"));
}

#[test]
fn the_hand_cue_stands_beside_the_tables_own_range_with_the_difference() {
    let knife = blank();
    let text = build_text(&knife);
    // 1418 + 100 and + 200 °F; the table's upper end is 1510 °F.
    assert!(text.contains("1518–1618 °F (826–881 °C)*"), "{text}");
    assert!(text.contains("lies 108 °F (60 °C) over the tables' range"), "{text}");
    assert!(text.contains("which is 57–92 °F (32–51 °C) above"), "{text}");
    assert!(text.contains("770 °C (1418 °F)"), "{text}");
    assert!(text.contains("410 °F (210 °C)*") && text.contains("60.5–62 HRC"), "{text}");
}

#[test]
fn marks_tell_practice_and_sources_apart() {
    let card = cards(&blank()).pop().unwrap();
    let sources = card.sources();
    assert!(card.has_practice() && sources.len() > 5);
    assert!(sources.iter().all(|source| !source.starts_with("common practice")));
    let text = build_text(&blank());
    assert!(text.contains("4–5 s* out of the oil"), "{text}");
}

// By hand: a tang 3.175 mm thick, scales of 6, liners of 1 and four glue lines of 0.1 mm make
// 17.575 mm, and 1.5 mm stand out on both sides; 70 and 10 mm of the handle's 80 with 4 mm on
// every side.
#[test]
fn the_handles_parts_are_listed_as_they_are_cut() {
    let mut knife = crate::sample::drilled(&[(150.0, 0.0, 4.0), (180.0, 0.0, 4.0)]);
    knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
    let some = |name: &str| Some(name.to_owned());
    knife.handle = Handle {
        scales: some("black walnut"),
        right_scale: some("sugar maple"),
        glue_mm: Some(0.1),
        allowance_mm: Some(4.0),
        liners: Some(knife::Liners { thickness_mm: 1.0, material: None }),
        front_bolster: Some(knife::Bolster { length_mm: 10.0, material: some("nickel") }),
        fixings: vec![(knife::HoleId(2), knife::Fixing::Tube { bore_mm: 3.0 })],
        ..Handle::default()
    };
    let tables = Tables::built_in();
    let reckoning = reckon(&knife, &shop(), tables);
    let card = build_card(&Bench { knife: &knife, reckoning: &reckoning, tables });
    let lines: Vec<String> =
        card.parts.iter().flat_map(|part| &part.lines).map(|line| line.text(&[])).collect();
    for wanted in [
        "Front bolsters: two of nickel, rough 18.00 mm × 38.0 mm × 6.00 mm, which is 4.00 mm more",
        "Right scale: one of sugar maple, rough 78.0 mm × 38.0 mm",
        "Left scale: one of black walnut, rough 78.0 mm × 38.0 mm",
        "Liners: two of material not chosen, 1.00 mm thick",
        "Pins: 1 of material not chosen, 4.00 mm thick, each 20.6 mm long, 1.50 mm*",
        "Tubes: 1 of material not chosen, 4.00 mm thick with a bore of 3.00 mm, each 20.6 mm",
    ] {
        assert!(lines.iter().any(|line| line.starts_with(wanted)), "{wanted}: {lines:#?}");
    }
}
