//! `help`: the pages of the manual in the terminal, and the options of a command.

use crate::{Failure, Outcome, examples, parsing};
use manual::PAGES;
use std::fmt::Write as _;

/// The page of a topic, the options of a command, or without either the list of both.
pub(super) fn run(topic: &[String]) -> Result<Outcome, Failure> {
    // Names are written with a dash, but may be typed as words.
    let topic = topic.join("-");
    let out = if topic.is_empty() {
        list()
    } else if let Some(page) = manual::page(&topic) {
        manual::page_text(page.text)
    } else if let Some(options) = parsing::options(&topic) {
        options
    } else {
        let commands = parsing::commands();
        let names = PAGES.iter().map(|page| page.topic);
        let names = names.chain(commands.iter().map(|(name, _)| name.as_str()));
        let near = manual::nearest(&topic, names).map(|name| format!(", did you mean {name}?"));
        let near = near.map_or_else(|| "; see".to_owned(), |near| format!("{near} See"));
        let fault = format!("the manual has no page \"{topic}\"{near} blankwright help");
        return Err(Failure::Usage(fault));
    };
    Ok(Outcome { out, ..Outcome::default() })
}

fn list() -> String {
    let pages = PAGES.iter().map(|page| (page.topic.to_owned(), page.summary.to_owned())).collect();
    format!(
        "Usage: blankwright help [TOPIC]\n\nPages of the manual:\n{}\n\
         Commands; blankwright help COMMAND lists the options of one:\n{}\n{}\n",
        rows(pages),
        rows(parsing::commands()),
        examples::exit_codes()
    )
}

fn rows(rows: Vec<(String, String)>) -> String {
    let widest = rows.iter().map(|(name, _)| name.len()).max().unwrap_or(0);
    let mut out = String::new();
    for (name, about) in rows {
        let _ = writeln!(out, "  {name:widest$}  {about}");
    }
    out
}
