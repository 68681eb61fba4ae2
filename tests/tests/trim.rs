//! A printer measured, its trim kept, confirmed and printed through, by the commands alone.

use bench_tests::Bench;
use lopdf::{Document, content::Content};
use std::fs;

/// A printer that prints 2.2 % short across, 1.8 % short up, its right angles 0.2° open.
fn printed(x_mm: f64, y_mm: f64) -> f64 {
    let (sin, cos) = 0.2_f64.to_radians().sin_cos();
    let (x, y) = (0.978 * x_mm - 0.982 * y_mm * sin, 0.982 * y_mm * cos);
    x.hypot(y)
}

/// The six lines of the proof on letter, through what stands at the head of the page's content,
/// as that printer prints them, read to a tenth of a millimetre.
fn readings(bytes: &[u8]) -> [String; 4] {
    let [a, b, c, d] = matrix(bytes, 0).map_or([1.0, 0.0, 0.0, 1.0], |m| [m[0], m[1], m[2], m[3]]);
    let read = |x: f64, y: f64| format!("{:.1}", printed(a * x + c * y, b * x + d * y));
    let (w, h) = (180.0, 230.0);
    let twice = |one: String| format!("{one},{one}");
    [twice(read(w, 0.0)), twice(read(0.0, h)), read(w, h), read(w, -h)]
}

/// The first transform of a page's content, if it is put through one.
fn matrix(bytes: &[u8], page: usize) -> Option<[f64; 6]> {
    let document = Document::load_mem(bytes).unwrap();
    let id = document.get_pages().into_values().nth(page).unwrap();
    let content = Content::decode(&document.get_page_content(id)).unwrap();
    let first = content.operations.first().filter(|operation| operation.operator == "cm")?;
    let numbers: Vec<f64> =
        first.operands.iter().map(|number| f64::from(number.as_float().unwrap())).collect();
    numbers.try_into().ok()
}

#[test]
fn a_printer_is_measured_confirmed_and_printed_through() {
    let bench = Bench::new();
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    bench.done(&["proof", "--paper", "letter", "--out", "@proof.pdf"]);
    let typed = |proof: &str, more: &[&str]| {
        let [across, up, rising, falling] = readings(&fs::read(bench.path(proof)).unwrap());
        let all =
            ["trim", "club", "--shop", "@shop.json", "--paper", "letter", "--across", &across];
        let rest = ["--up", &up, "--rising", &rising, "--falling", &falling];
        bench.run(&[&all[..], &rest, more].concat())
    };
    let first = typed("proof.pdf", &[]);
    assert_eq!(first.code, 0, "{}", first.err);
    assert!(first.out.contains("skew") && first.out.contains("second proof"), "{}", first.out);
    let through = ["--paper", "letter", "--trim", "Club", "--shop", "@shop.json"];
    bench.done(&[&["proof", "--out", "@second.pdf"], &through[..]].concat());
    // Whether the second was printed with the trim is asked, not guessed.
    let kept = fs::read(bench.path("shop.json")).unwrap();
    let unsaid = typed("second.pdf", &[]);
    assert!(unsaid.code == 2 && unsaid.err.contains("--confirm"), "{}", unsaid.err);
    assert!(unsaid.err.contains("club has a correction already (102.2"), "{}", unsaid.err);
    assert_eq!(fs::read(bench.path("shop.json")).unwrap(), kept);
    assert_eq!(typed("proof.pdf", &["--anew"]).code, 0);
    assert_eq!(fs::read(bench.path("shop.json")).unwrap(), kept, "the same readings again");
    // The first proof typed in as the second confirms nothing; the second does.
    let wrong = typed("proof.pdf", &["--confirm"]);
    assert!(wrong.code == 2 && wrong.err.contains("without the correction"), "{}", wrong.err);
    let second = typed("second.pdf", &["--confirm"]);
    assert!(second.code == 0 && second.out.contains("confirms it"), "{}{}", second.out, second.err);

    let message =
        bench.run(&[&["print", "@a.blank.json", "--out", "@a.pdf"], &through[..]].concat());
    assert!(message.out.contains("true on this printer only"), "{}", message.out);
    let bytes = fs::read(bench.path("a.pdf")).unwrap();
    let pages = Document::load_mem(&bytes).unwrap().get_pages().len();
    for page in 0..pages {
        let m = matrix(&bytes, page).unwrap();
        // Letter upright or lying: which way round tells which of the axes is which.
        let lies = m[0] < m[3];
        let worst = (0..180).map(|deg| {
            let (sin, cos) = f64::from(deg).to_radians().sin_cos();
            let (x, y) = (m[0] * cos + m[2] * sin, m[1] * cos + m[3] * sin);
            let (x, y) = if lies { (y, -x) } else { (x, y) };
            250.0 * (printed(x, y) - 1.0).abs()
        });
        let worst = worst.fold(0.0, f64::max);
        assert!(worst < 0.1, "page {page}: {worst} mm off over 250 mm");
    }
    let elsewhere = bench.run(&[
        "print",
        "@a.blank.json",
        "--out",
        "@a4.pdf",
        "--paper",
        "a4",
        "--trim",
        "club",
        "--shop",
        "@shop.json",
    ]);
    assert!(elsewhere.err.contains("measured on letter"), "{}", elsewhere.err);
    // Without its name no trim is used, whatever the shop holds.
    bench.done(&["print", "@a.blank.json", "--out", "@b.pdf", "--shop", "@shop.json"]);
    assert_eq!(matrix(&fs::read(bench.path("b.pdf")).unwrap(), 0), None);
}

#[test]
fn what_makes_no_trim_is_refused_and_leaves_the_shop_alone() {
    let bench = Bench::new();
    let base = ["trim", "club", "--shop", "@shop.json", "--paper", "letter"];
    let cases: [(&[&str], &str); 6] = [
        (
            &["--across", "170,170.1", "--up", "217,217", "--rising", "276", "--falling", "276"],
            "actual size",
        ),
        (&["--across", "180", "--up", "230"], "one diagonal"),
        (
            &["--across", "180,180", "--up", "230,236", "--rising", "292", "--falling", "292"],
            "measure it again",
        ),
        (&["--across", "wide"], "--across"),
        (&["--across", "180", "--confirm"], "no correction for club"),
        (&[], "shop.json is not there"),
    ];
    for (typed, says) in cases {
        let refused = bench.run(&[&base[..], typed].concat());
        assert!(refused.code == 2 && refused.err.contains(says), "{typed:?}: {}", refused.err);
        assert!(!bench.path("shop.json").exists());
    }
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    for (paper, says) in [("roll:1mm", "80 mm"), ("0x0", "80 mm"), ("foolscap", "300x600mm")] {
        let message = bench.run(&["print", "@a.blank.json", "--out", "@a.pdf", "--paper", paper]);
        assert!(message.code == 2 && message.err.contains(says), "{paper}: {}", message.err);
    }
    let message = bench.run(&["print", "@a.blank.json", "--out", "@a.pdf", "--margin", "-2mm"]);
    assert!(message.code == 2 && message.err.contains("between 0 and 50"), "{}", message.err);
    assert!(!bench.path("a.pdf").exists());
}
