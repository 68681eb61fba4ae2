//! Figures as a maker can use them: no more digits than can be measured or set, the knife's own
//! unit first, nothing said twice; the JSON keeps them all.

use bench_tests::{Bench, blanks};
use knife::{Knife, Temper};
use marks::Mark;
use reckon::{Reckoning, Shop, reckon, tables::Tables};
use sheets::printing;
use std::fs;
use units::LengthUnit;

fn opened() -> Vec<(String, Knife, Reckoning)> {
    let open = |path: std::path::PathBuf| {
        let knife = knife::file::open(&fs::read(&path).unwrap()).unwrap().knife;
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        (path.to_str().unwrap().to_owned(), knife, reckoning)
    };
    blanks().into_iter().map(open).collect()
}

/// What was worked out alike is told so once, after the last of the readings.
#[test]
fn numbers_say_how_once_for_readings_in_a_row() {
    let bench = Bench::new();
    let mut facets = 0;
    for (path, ..) in opened() {
        let text = bench.done(&["numbers", &path]);
        let hows: Vec<&str> =
            text.lines().map(str::trim).filter(|line| line.starts_with('(')).collect();
        for group in text.split("\n\n") {
            let own: Vec<&str> =
                group.lines().map(str::trim).filter(|line| line.starts_with('(')).collect();
            assert!(own.windows(2).all(|pair| pair[0] != pair[1]), "{path}: {group}");
        }
        let message = hows.iter().filter(|how| how.contains("equal shares of a section")).count();
        assert!(message <= 1, "{path}: {message}");
        facets += usize::from(text.contains("Last facet"));
    }
    assert!(facets > 0);
}

#[test]
fn words_round_where_the_bench_does_and_json_does_not() {
    let bench = Bench::new();
    let mut balanced = 0;
    for (path, knife, reckoning) in opened() {
        let text = bench.done(&["numbers", &path]);
        for line in text.lines().filter(|line| line.trim_start().starts_with("Second moment")) {
            let Some((digits, _)) = line.split_once(" mm⁴") else { continue };
            let number = digits.split_whitespace().last().unwrap();
            let significant = number.trim_end_matches('0').replace('.', "");
            assert!(significant.trim_start_matches('0').len() <= 3, "{line}");
        }
        for line in text.lines().filter(|line| line.trim_start().starts_with("Behind the")) {
            let number = line.split_whitespace().find_map(|word| word.parse::<f64>().ok()).unwrap();
            let step = if knife.unit == LengthUnit::Millimetre { 0.5 } else { 0.02 };
            assert!(((number / step).round() * step - number).abs() < 1e-9, "{line}");
            balanced += 1;
        }
        let json = bench.json(&["numbers", &path, "--json"]);
        if let Some(mass) = &reckoning.mass {
            let message = json["mass"]["behind_scale_front_mm"].as_f64();
            assert_eq!(message, mass.behind_scale_front_mm, "{path}");
        }
    }
    assert!(balanced > 4);
}

/// A temper that is one point of a table is an oven's setting with its swing, on every sheet and
/// in words.
#[test]
fn no_window_of_no_width_is_told() {
    let (_, mut knife, _) = opened().into_iter().find(|own| own.0.contains("first-knife")).unwrap();
    for (grade, hrc) in [("AISI W2", 65.0), ("SAE 1095", 58.0), ("SAE 1075", 56.0)] {
        knife.bar.grade = grade.to_owned();
        knife.treatment.temper = Some(Temper::Hardness(hrc));
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        let mut message: Vec<String> = reckon::readings(&knife, &reckoning)
            .iter()
            .filter(|group| group.title == "Heat and finish")
            .flat_map(|group| group.readings.iter().map(|reading| reading.text(knife.unit)))
            .collect();
        for key in ["heat", "build"] {
            let sheet = printing::sheet(key, &knife, &reckoning).unwrap();
            let pages = printing::pages(&knife, &[sheet], "letter", None).unwrap();
            let items = pages.iter().flat_map(|page| &page.drawing.items);
            message.extend(items.filter_map(|item| match &item.mark {
                Mark::Text(label) => Some(label.text.clone()),
                _ => None,
            }));
        }
        let all = message.join(" ");
        assert!(all.contains("± 10 °F"), "{grade}: {all}");
        let twice = format!("{hrc:.1} to {hrc:.1}");
        assert!(!all.contains(&twice) && !all.contains("from memory"), "{grade}: {all}");
        assert!(!all.contains("Trust"), "{grade}: {all}");
    }
}

/// The notes of the list of materials, the plan and the cards tell the knife's own unit first.
#[test]
fn the_knifes_own_unit_comes_first() {
    let bench = Bench::new();
    for (path, knife, reckoning) in opened() {
        let metric = knife.unit == LengthUnit::Millimetre;
        let csv = bench.done(&["materials", &path, "--csv"]);
        for row in csv::Reader::from_reader(csv.as_bytes()).records().map(Result::unwrap) {
            let wrong = if metric { " in" } else { " mm" };
            let words = format!("{} ", &row[10]);
            let wrong = words
                .match_indices(wrong)
                .any(|(at, _)| words[..at].ends_with(|sign: char| sign.is_ascii_digit()));
            assert!(!wrong, "{path}: {words}");
        }
        for key in ["heat", "build", "plan"] {
            let sheet = printing::sheet(key, &knife, &reckoning).unwrap();
            let pages = printing::pages(&knife, &[sheet], "a4", None).unwrap();
            for item in pages.iter().flat_map(|page| &page.drawing.items) {
                let Mark::Text(label) = &item.mark else { continue };
                assert!(!label.text.contains(" in · "), "{path}, {key}: {}", label.text);
                assert!(!(metric && label.text.contains("7.874 in")), "{path}: {}", label.text);
            }
        }
    }
}
