//! Every figure on every card rests on something, and cards are safe to read alone.

use super::*;
use crate::OwnSteel;
use crate::heat::HeatFigures;
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
    let bench = CardContext { knife, reckoning: &reckoning, tables };
    vec![heat_card(&bench), build_card(&bench)]
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
                for piece in &line.spans {
                    match piece {
                        Span::Text(words) => {
                            assert!(!words.contains(|c: char| c.is_numeric()), "{words}");
                            assert!(!words.contains(['{', '}']), "{words}");
                        }
                        Span::Figure(figure) => {
                            figures += 1;
                            assert!(!figure.text.trim().is_empty(), "{line:?}");
                            assert!(!figure.text.contains("NaN"), "{line:?}");
                            match &figure.basis {
                                Basis::Stated => {}
                                Basis::Computed(how) => assert!(how.len() > 5, "{figure:?}"),
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
fn the_hand_cue_ends_where_the_steels_own_range_ends() {
    let mut knife = blank();
    knife.unit = LengthUnit::Inch;
    let text = build_text(&knife);
    // The tables' 1475 to 1510 °F less 1418 °F.
    assert!(text.contains("By eye: 57–92 °F (32–51 °C)* hotter"), "{text}");
    assert!(text.contains("coarsens the grain") && !text.contains("stay at the low end"));
    assert!(text.contains("1418 °F (770 °C)"), "{text}");
    assert!(text.contains("410 °F (210 °C)*"), "{text}");
    // A metric knife reads its own scale first.
    knife.unit = LengthUnit::Millimetre;
    let text = build_text(&knife);
    assert!(text.contains("32–51 °C (57–92 °F)*") && text.contains("210 °C (410 °F)*"), "{text}");
    assert!(text.contains("770 °C (1418 °F)"), "{text}");
}

/// All that is told of fire and oven, on both cards.
fn message(knife: &Knife) -> (HeatFigures, String) {
    let tables = Tables::built_in();
    let reckoning = reckon(knife, &shop(), tables);
    let bench = CardContext { knife, reckoning: &reckoning, tables };
    let mut parts = heat_card(&bench).parts;
    parts.extend(build_card(&bench).parts);
    let card = Card { parts };
    let sources = card.sources();
    let mut lines: Vec<String> =
        card.parts.iter().flat_map(|part| &part.lines).map(|line| line.text(&sources)).collect();
    lines.extend(card.parts.iter().map(|part| part.title.clone()));
    lines.extend(sources);
    (reckoning.heat.clone(), lines.join("\n"))
}

/// Every card of every grade, however it is heated and tempered, is held to that grade's own rows.
#[test]
fn every_card_of_every_grade_keeps_to_its_own_rows() {
    let tables = Tables::built_in();
    let sentence = |key: &str| tables.caution(key).unwrap().sentence_in(blank().unit);
    let tempers = [
        None,
        Some(Temper::Hardness(56.0)),
        Some(Temper::Hardness(60.0)),
        Some(Temper::Hardness(62.0)),
        Some(Temper::Heat(210.0)),
        Some(Temper::Heat(300.0)),
    ];
    let mut warned = 0;
    for steel in tables.steels() {
        let rows: Vec<_> = tables.hardenings(&steel.grade).collect();
        let own: Vec<Quench> =
            rows.iter().flat_map(|row| [Some(row.quench), row.other_quench]).flatten().collect();
        let hot = rows.iter().all(|row| row.heat.0.to_celsius() > 890.0);
        let oven_only = hot || rows[0].quench == Quench::Air;
        for heating in [None, Some(Heating::OpenForge), Some(Heating::Oven)] {
            for temper in tempers {
                let mut knife = blank();
                knife.bar.grade = steel.grade.clone();
                knife.treatment.heating = heating;
                knife.treatment.temper = temper;
                let (heat, text) = message(&knife);
                let has = |words: &str| text.contains(words);
                let name = format!("{} {heating:?} {temper:?}: {text}", steel.grade);
                // The cue never leaves the steel's own range.
                let (low, high) = heat.steel.as_ref().unwrap().harden_c().unwrap();
                assert_eq!(heat.cue_c.is_none(), oven_only, "{name}");
                if let Some((from, to)) = heat.cue_c {
                    assert!(from >= low - 1e-9 && to <= high + 1e-9 && from <= to, "{name}");
                    let by_eye = heating != Some(Heating::Oven);
                    assert_eq!(has("hotter than where the magnet lets go"), by_eye, "{name}");
                    assert!(has("coarsens the grain") == by_eye, "{name}");
                    assert!(has("decarburised") && has("normalise"), "{name}");
                }
                // Every quench brings its caution, quantity and warmth; none comes that isn't its.
                let oil = own.iter().any(|quench| quench.is_oil());
                assert_eq!(has(&sentence("oil")), oil, "{name}");
                assert_eq!(has("warmed to 49–60 °C (120–140 °F)"), oil, "{name}");
                assert_eq!(has("never hotter than 79 °C (175 °F)"), oil, "{name}");
                assert_eq!(has("Oil for this blade's mass"), oil, "{name}");
                let water = own.contains(&Quench::Water);
                assert_eq!(has(&sentence("water")), water, "{name}");
                assert_eq!(has("at 16–38 °C (60–100 °F)"), water, "{name}");
                assert!(!water || has("often cracks in it"), "{name}");
                if oil && water {
                    assert!(text.find("A thin blade goes into") < text.find("Water or brine"));
                }
                assert_eq!(has(&sentence("air")), own.contains(&Quench::Air), "{name}");
                // Steels that need an oven hear nothing that is of plain carbon steel.
                if oven_only {
                    for words in [
                        "magnet",
                        "normalise",
                        "decarburised",
                        "plain carbon",
                        "open forge it may",
                        "soft bricks",
                        "Many temper",
                    ] {
                        assert!(!has(words), "{words} in {name}");
                    }
                    assert!(has("foil") && has("data sheet"), "{name}");
                }
                assert!(has("Soak: ") && has("cool while grinding"), "{name}");
                // 450 to 700 °F: ASM Handbook Vol. 4, tempering of steel, from memory.
                if let Some(Ok(temper)) = &heat.temper {
                    let f = |celsius: f64| celsius * 1.8 + 32.0;
                    let (cool, hot) = (f(temper.heats_c.0), f(temper.heats_c.1));
                    let reaches = !oven_only && hot > 450.01 && cool < 699.99;
                    assert_eq!(has("temper embrittlement"), reaches, "{cool} {hot} {name}");
                    warned += usize::from(reaches);
                }
                for words in ["from memory", "Trust", ", read", "medium-high", "low-medium"] {
                    assert!(!has(words), "{words} in {name}");
                }
            }
        }
    }
    assert!(warned > 40, "{warned}");
}

#[test]
fn the_build_goes_in_the_order_of_the_bench() {
    let mut knife = crate::sample::drilled(&[(150.0, 0.0, 4.0), (180.0, 0.0, 4.0)]);
    knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
    let tables = Tables::built_in();
    let reckoning = reckon(&knife, &shop(), tables);
    let card = build_card(&CardContext { knife: &knife, reckoning: &reckoning, tables });
    let at = |title: &str| card.parts.iter().position(|part| part.title == title).unwrap();
    let order = [
        "Mark out",
        "Drill the tang",
        "Cut out",
        "Profile",
        "Bevels",
        "Harden",
        "Temper",
        "Handle",
        "Edge",
    ];
    assert!(order.windows(2).all(|pair| at(pair[0]) < at(pair[1])));
    // No jimping, no scallops: nothing is told of them.
    let lines: Vec<&Line> = card.parts.iter().flat_map(|part| &part.lines).collect();
    let text: Vec<String> = lines.iter().map(|line| line.text(&[])).collect();
    assert!(text.iter().all(|line| !line.contains("Jimping") && !line.contains("Scallops")));
    // Places as exactly as the drilling sheet tells them.
    let from = &reckoning.scribe.holes[0].from;
    let reference = knife.bar.reference;
    let end = units::show_mm(from.end_mm(reference.end), 2);
    let edge = units::show_mm(from.edge_mm(reference.edge), 2);
    assert!(text.iter().any(|line| line.starts_with("Hole 1") && line.contains(&end)), "{text:?}");
    assert!(text.iter().any(|line| line.starts_with("Hole 1") && line.contains(&edge)));
    // An angle to choose is no step to tick.
    knife.bevel = Some(Bevel {
        plunge_x_mm: 90.0,
        grind_height_mm: 20.0,
        edge_thickness_mm: 0.5,
        ..Bevel::default()
    });
    let reckoning = reckon(&knife, &shop(), tables);
    let part = sharpen::sharpen_part(&CardContext { knife: &knife, reckoning: &reckoning, tables });
    let boxes = part.lines.iter().filter(|line| line.kind == LineKind::Step);
    assert_eq!(boxes.count(), 1, "the stones alone: {part:?}");
    let first = part.lines.first().unwrap();
    assert!(first.kind == LineKind::Caution && first.text(&[]).contains("sheath"), "{first:?}");
}

#[test]
fn jimping_and_scallops_are_told_as_designed() {
    let file = include_bytes!("../../../../samples/scalloped-camp-knife.blank.json");
    let knife = knife::file::open(file).unwrap().knife;
    let reckoning = reckon(&knife, &shop(), Tables::built_in());
    let text = build_text(&knife);
    let count = reckoning.jimping.as_ref().unwrap().notches.len();
    assert!(count > 1);
    let notches = format!("Jimping, while the steel is soft: {count} notches");
    assert!(text.contains(&notches), "{text}");
    let above = reckoning.scallops.as_ref().unwrap().upper.places.len();
    let places = format!("both scales alike: {above} above");
    assert!(text.contains(&places), "{text}");
    assert!(!text.contains("if you want it"), "{text}");
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
    let card = build_card(&CardContext { knife: &knife, reckoning: &reckoning, tables });
    let lines: Vec<String> =
        card.parts.iter().flat_map(|part| &part.lines).map(|line| line.text(&[])).collect();
    for expected in [
        "Front bolsters: two of nickel, rough 18.00 mm × 38.0 mm × 6.00 mm, which is 4.00 mm more",
        "Right scale: one of sugar maple, rough 78.0 mm × 38.0 mm",
        "Left scale: one of black walnut, rough 78.0 mm × 38.0 mm",
        "Liners: two of any material, 1.00 mm thick",
        "Pins: 1 of any material, 4.00 mm thick, each 20.6 mm long, 1.50 mm*",
        "Tubes: 1 of any material, 4.00 mm thick with a bore of 3.00 mm, each 20.6 mm",
    ] {
        assert!(lines.iter().any(|line| line.starts_with(expected)), "{expected}: {lines:#?}");
    }
}
