//! What is far out of measure is told in a sentence, at once, by every command.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use blankwright::{FAILED, Outcome, run};
use host::MemoryHost;
use knife::{Knife, NodeKind, file};
use kurbo::Point;
use std::ffi::OsString;
use std::time::{Duration, Instant};

/// Far more than any of it takes on a slow machine, far less than it took.
const AT_ONCE: Duration = Duration::from_secs(15);

fn typed(words: &[&str], host: &mut MemoryHost) -> Outcome {
    run(std::iter::once("blankwright").chain(words.iter().copied()).map(OsString::from), host)
}

fn with(knife: &Knife) -> MemoryHost {
    let mut host = MemoryHost::default();
    host.files.insert("/a.blank.json".into(), file::save(knife));
    host
}

fn starter() -> Knife {
    knife::starter("drop-point").unwrap().knife()
}

/// The starter with everything in its plane so many times as large.
fn scaled(by: f64) -> Knife {
    let mut knife = starter();
    let to = |p: Point| (p.to_vec2() * by).to_point();
    for node in &mut knife.profile.nodes {
        (node.at, node.handle_in, node.handle_out) =
            (to(node.at), node.handle_in.map(to), node.handle_out.map(to));
    }
    (knife.bevel, knife.swedge, knife.scales) = (None, None, None);
    knife.holes.clear();
    knife
}

/// The sentence that a command is refused with, in good time.
fn refused(words: &[&str], host: &mut MemoryHost) -> String {
    let begun = Instant::now();
    let done = typed(words, host);
    assert_eq!(done.code, FAILED, "{words:?}: {}{}", done.out, done.err);
    assert!(begun.elapsed() < AT_ONCE, "{words:?} took {:?}", begun.elapsed());
    done.err
}

#[test]
fn a_blank_of_a_few_micrometres_is_told_by_every_command() {
    let mut host = with(&scaled(1e-5));
    for words in [
        &["check", "/a.blank.json"][..],
        &["numbers", "/a.blank.json"],
        &["print", "/a.blank.json", "--out", "/o.pdf"],
        &["draw", "/a.blank.json", "--sheet", "bevels", "--out", "/o.svg"],
    ] {
        let message = refused(words, &mut host);
        assert!(message.contains("mm long; a blank is at least 5 mm long"), "{words:?}: {message}");
    }
}

#[test]
fn a_slip_in_a_height_is_told_at_once() {
    let mut knife = starter();
    knife.bevel = knife.bevel.map(|bevel| knife::Bevel { grind_height_mm: 400.0, ..bevel });
    let message = refused(&["check", "/a.blank.json"], &mut with(&knife));
    assert!(
        message.contains("bevel.grind_height_mm is 400, more than the whole profile"),
        "{message}"
    );
}

#[test]
fn a_drawing_of_a_million_pages_is_refused_before_it_is_laid_out() {
    let mut host = with(&scaled(40_000.0));
    let print = ["print", "/a.blank.json", "--sheets", "profile", "--out", "/o.pdf"];
    let message = refused(&print, &mut host);
    assert!(message.contains("pages: check its units"), "{message}");
}

#[test]
fn numbers_below_nothing_are_told_as_such() {
    let mut host = with(&starter());
    let bar = ["bar", "/a.blank.json", "--out", "/o.pdf"];
    for (more, says) in [
        (["--width", "-5"], "a bar width of −5 in is not"),
        (["--length", "-5in"], "a bar length of −5 in is not"),
        (["--copies", "-5"], "\"-5\" can't be used for --copies"),
        (["--seconds", "-5"], "--seconds must lie between 0 and 3600"),
        (["--steps", "-5"], "\"-5\" can't be used for --steps"),
        (["--steps", "10000001"], "--steps must be at most 10000000"),
    ] {
        let message = refused(&[&bar[..], &more].concat(), &mut host);
        assert!(message.contains(says), "{more:?}: {message}");
    }
    let message = refused(&["check", "-5"], &mut host);
    assert!(message.contains("must not be negative"), "{message}");
}

#[test]
fn a_request_for_thousands_of_sheets_is_told() {
    let mut host = with(&starter());
    for (sheets, says) in [
        ("all,".repeat(3_000), "name at most 40"),
        (format!("{}profile", "plan+".repeat(30)), "at most 16 sheets can be joined by +"),
        ("all+profile".to_owned(), "all stands for every sheet"),
    ] {
        let message =
            refused(&["print", "/a.blank.json", "--sheets", &sheets, "--out", "/o.pdf"], &mut host);
        assert!(message.contains(says), "{message}");
    }
}

#[test]
fn readings_may_have_a_decimal_comma_and_none_is_below_nothing() {
    let base = ["trim", "club", "--shop", "/s.json", "--paper", "letter"];
    let trim = |across: &str, host: &mut MemoryHost| {
        let readings =
            ["--across", across, "--up", "225,4", "--rising", "286,2", "--falling", "286,2"];
        typed(&[&base[..], &readings].concat(), host)
    };
    let mut host = MemoryHost::default();
    let done = trim("176,4", &mut host);
    assert_eq!(done.code, 0, "{}", done.err);
    // 180 mm read as 176.4, 230 as 225.4, the diagonal of 292.06 as 286.2: all 2 % short.
    assert!(done.out.contains("102.05 % across, 102.05 % up"), "{}", done.out);
    for wrong in ["0", "-176"] {
        let message = refused(&[&base[..], &["--across", wrong]].concat(), &mut host);
        assert!(message.contains("isn't a reading of a line"), "{message}");
    }
}

#[test]
fn help_is_a_command_too() {
    let mut host = MemoryHost::default();
    for (words, says) in [(&["help"][..], "Usage: blankwright"), (&["help", "print"], "--paper")] {
        let done = typed(words, &mut host);
        assert_eq!((done.code, done.err.as_str()), (0, ""), "{words:?}");
        assert!(done.out.contains(says), "{}", done.out);
    }
}

#[test]
fn a_drawing_that_needs_other_files_or_has_endless_attributes_is_told_so() {
    let mut host = MemoryHost::default();
    let svg = |inside: &str| {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"300mm\" height=\"60mm\">{inside}</svg>"
        )
    };
    let entity = "<!DOCTYPE svg [<!ENTITY x SYSTEM \"file:///etc/hostname\">]>".to_owned();
    let entity = entity + &svg("<text>&x;</text><path d=\"M0,0 L900,0 L900,90 Z\"/>");
    host.files.insert("/e.svg".into(), entity.into_bytes());
    let message = refused(&["new", "--outline", "/e.svg", "--out", "/b.blank.json"], &mut host);
    assert!(message.contains("text that isn't in it"), "{message}");
    let attributes: String = (0..200_000).map(|i| format!(" a{i}=\"\"")).collect();
    let many = svg(&format!("<path{attributes} d=\"M0,0 L900,0 L900,90 Z\"/>"));
    host.files.insert("/m.svg".into(), many.into_bytes());
    let message = refused(&["new", "--outline", "/m.svg", "--out", "/b.blank.json"], &mut host);
    assert!(message.contains("attributes"), "{message}");
}

/// A ring of more nodes than a profile may have, and a comb of as many as it may.
#[test]
fn what_has_endless_nodes_is_told_and_what_has_many_is_reckoned() {
    let ring: Vec<String> = (0..10_001)
        .map(|i| {
            let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 10_001.0).sin_cos();
            format!("{:.5},{:.5}", 100.0 + 90.0 * cos, 20.0 + 15.0 * sin)
        })
        .collect();
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"300mm\" height=\"60mm\" \
         viewBox=\"0 0 300 60\"><path d=\"M{} Z\"/></svg>",
        ring.join(" L")
    );
    let mut host = MemoryHost::default();
    host.files.insert("/r.svg".into(), svg.into_bytes());
    let message = refused(&["new", "--outline", "/r.svg", "--out", "/b.blank.json"], &mut host);
    assert!(message.contains("10001 nodes and at most 10000 are taken"), "{message}");

    for teeth in [300, 4_900] {
        let mut knife = scaled(1.0);
        let node = |i: usize, at: Point| knife::Node {
            id: knife::NodeId(u32::try_from(i).unwrap()),
            at,
            handle_in: None,
            handle_out: None,
            kind: NodeKind::Corner,
        };
        let mut at = vec![Point::new(0.0, 0.0), Point::new(200.0, 0.0), Point::new(200.0, 30.0)];
        for i in 0..teeth {
            let x = 200.0 * (1.0 - f64::from(i) / f64::from(teeth));
            let half = 100.0 / f64::from(teeth);
            at.extend([Point::new(x - half, 25.0), Point::new(x - 2.0 * half, 30.0)]);
        }
        let nodes = at.into_iter().enumerate().map(|(i, at)| node(i, at)).collect();
        knife.profile = knife::Profile { nodes, tip: None, heel: None };
        let mut host = with(&knife);
        for words in [
            &["check", "/a.blank.json"][..],
            &["print", "/a.blank.json", "--out", "/o.pdf"],
            &["bar", "/a.blank.json", "--copies", "3", "--json"],
        ] {
            let begun = Instant::now();
            let done = typed(words, &mut host);
            assert!(done.code < FAILED, "{teeth} {words:?}: {}", done.err);
            assert!(begun.elapsed() < AT_ONCE, "{teeth} {words:?} took {:?}", begun.elapsed());
        }
    }
}
