//! The table of papers against an independent one and against the rule of ISO 216.
//!
//! `tests/reference/paper_reference.py` made the reference from the PyPI packages papersize
//! 1.6.1 and, for sizes C, D and E of ASME Y14.1, papersizes 0.6.1.

use reckon::tables::Tables;

const MM_PER_UNIT: f64 = 25.4 / 72.0;

#[test]
fn every_paper_is_that_of_the_reference() {
    let tables = Tables::built_in();
    let mut seen = 0;
    for line in include_str!("../reference/paper_reference.csv").lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let paper = tables.paper(cells[0]).unwrap_or_else(|| panic!("no paper {}", cells[0]));
        let side_mm = |cell: &str| cell.parse::<f64>().unwrap() * MM_PER_UNIT;
        assert!((paper.width_mm - side_mm(cells[1])).abs() < 1e-6, "{line}");
        assert!((paper.height_mm - side_mm(cells[2])).abs() < 1e-6, "{line}");
        seen += 1;
    }
    assert_eq!(seen, tables.papers().len());
}

/// ISO 216, A series: A0 is one square metre, sides as 1 to √2, each next size half the one before;
/// sides are `1000·2^(±1/4 − n/2)` mm brought to whole millimetres.
#[test]
fn the_a_series_follows_iso_216() {
    let side_mm = |quarters: f64| (1000.0 * (quarters / 4.0).exp2() + 0.2).floor();
    for n in 0..=5 {
        let halvings = 2.0 * f64::from(n);
        let paper = Tables::built_in().paper(&format!("a{n}")).unwrap();
        assert_eq!(paper.width_mm, side_mm(-1.0 - halvings), "{paper:?}");
        assert_eq!(paper.height_mm, side_mm(1.0 - halvings), "{paper:?}");
    }
}

/// ASME Y14.1: each flat size, A to E, is two of the one before side by side.
#[test]
fn the_y14_sizes_double() {
    let side = |name: &str| {
        let paper = Tables::built_in().paper(name).unwrap();
        (paper.width_mm, paper.height_mm)
    };
    for pair in ["letter", "tabloid", "c", "d", "e"].windows(2) {
        let ((width, height), (next_width, next_height)) = (side(pair[0]), side(pair[1]));
        assert!((next_width - height).abs() < 1e-9 && (next_height - 2.0 * width).abs() < 1e-9);
    }
}

/// Every paper of the table is told by `papers`, and typed ones; a longer bar than told is tiled.
#[test]
fn papers_tells_the_longest_bar_of_each() {
    let bench = bench_tests::Bench::new();
    let message = bench.done(&["papers"]);
    for paper in Tables::built_in().papers() {
        let wanted = match paper.name.as_str() {
            letter if letter.len() == 1 => format!("size {letter}"),
            name => name.to_lowercase(),
        };
        let line =
            message.lines().find(|line| line.to_lowercase().trim_start().starts_with(&wanted));
        assert!(line.is_some_and(|line| line.contains("level")), "{wanted}: {message}");
    }
    let typed = bench.done(&["papers", "roll:610mm", "100x100mm", "--width", "50mm"]);
    assert!(typed.contains("Roll of 610 mm") && typed.contains("too small"), "{typed}");
    let refused = bench.run(&["papers", "--width", "0"]);
    assert!(refused.code == 2 && refused.err.contains("between 5 mm"), "{}", refused.err);
}
