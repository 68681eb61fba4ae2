//! The manual at the desk: opened from the menu, read page by page, closed again.

use super::*;

fn is_shown(harness: &Harness<'_, Bench>, label: &str) -> bool {
    harness.query_by_label(label).is_some()
}

/// The topic of the page that is open.
fn topic(harness: &Harness<'_, Bench>) -> Option<&'static str> {
    match &harness.state().desk.session.dialogs.open {
        Some(desk::Dialog::Manual(reader)) => Some(reader.page.topic),
        _ => None,
    }
}

#[test]
fn every_page_of_the_manual_is_read_by_its_name() {
    let mut harness = bench();
    let before = saved(&harness);
    harness.get_by_role_and_label(Role::Button, "Help").click();
    harness.run_steps(4);
    harness.get_by_label_contains("Manual…").click();
    harness.run_steps(4);
    for page in manual::PAGES {
        // By its name: the last of the list may have to be scrolled to.
        harness.get_by_role_and_label(Role::Button, page.title()).click_accesskit();
        harness.run_steps(4);
        let manual::Block::Text(spans) = &manual::blocks(page.text)[1] else {
            panic!("{} begins with a paragraph", page.topic)
        };
        let words: String = spans.iter().map(manual::Span::text).collect();
        assert!(is_shown(&harness, &words), "{}: {words}", page.topic);
    }
    // While it is open, keys that work on the knife are left alone.
    harness.key_press(Key::T);
    harness.run_steps(4);
    assert!(saved(&harness) == before);
    harness.get_by_role_and_label(Role::Button, "Close").click();
    harness.run_steps(4);
    assert_eq!(topic(&harness), None);
}

#[test]
fn a_link_leads_to_its_page_and_escape_closes_the_manual() {
    let mut harness = bench();
    run(&mut harness, Command::Manual);
    assert_eq!(topic(&harness), Some("first-knife"));
    let drawing = manual::page("drawing").unwrap();
    let link = format!("See: {}", drawing.title());
    harness.get_all_by_label(&link).next().unwrap().click();
    harness.run_steps(4);
    assert_eq!(topic(&harness), Some("drawing"));
    harness.key_press(Key::Escape);
    harness.run_steps(4);
    assert_eq!(topic(&harness), None);
}

/// Pictures are part of the pages: shown with their descriptions, as wide as there is room.
#[test]
fn pages_show_their_pictures() {
    let mut harness = bench();
    run(&mut harness, Command::Manual);
    let page = manual::page("tracing").unwrap();
    harness.get_by_role_and_label(Role::Button, page.title()).click_accesskit();
    harness.run_steps(4);
    let pictures = manual::blocks(page.text).into_iter().filter_map(|block| match block {
        manual::Block::Picture(about, _) => Some(about),
        _ => None,
    });
    let mut count = 0;
    for about in pictures {
        let shown = harness.get_by_role_and_label(Role::Image, &about).rect();
        assert!(shown.width() > 300.0 && shown.width() < 800.0, "{about}: {shown:?}");
        count += 1;
    }
    assert_eq!(count, 3);
}
