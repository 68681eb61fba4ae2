//! Colours in a terminal: how grave a finding is. Without them the text is the same.

use clap::builder::styling::{AnsiColor, Style};
use reckon::Severity;
use std::env;

/// Whether a terminal does more than print what it gets. Windows' own has to be told first.
pub(crate) fn is_able(is_terminal: bool) -> bool {
    is_terminal && !cfg!(windows) && env::var_os("TERM").is_none_or(|term| term != "dumb")
}

/// The text for a stream: coloured on a terminal, unless NO_COLOR is set.
pub(crate) fn on_terminal(is_terminal: bool, text: String) -> String {
    let may_colour = env::var_os("NO_COLOR").is_none_or(|value| value.is_empty());
    if is_able(is_terminal) && may_colour { painted(&text) } else { text }
}

/// The text with the word that says how grave a line is in colour.
fn painted(text: &str) -> String {
    text.split_inclusive('\n').map(line).collect()
}

fn line(line: &str) -> String {
    let found = line.split_once(':').and_then(|(word, rest)| Some((style(word)?, word, rest)));
    found.map_or_else(
        || line.to_owned(),
        |(style, word, rest)| format!("{style}{word}:{style:#}{rest}"),
    )
}

/// The style of a line that begins with this word.
fn style(word: &str) -> Option<Style> {
    if word == "blankwright" {
        return Some(Style::new().bold());
    }
    let severity = Severity::ALL.into_iter().find(|one| one.word().to_uppercase() == word)?;
    let colour = match severity {
        Severity::Stop => AnsiColor::Red,
        Severity::Care => AnsiColor::Yellow,
        Severity::Note => AnsiColor::Cyan,
    };
    Some(colour.on_default().bold())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_are_all_that_is_added() {
        let words = Severity::ALL.map(|one| format!("{}: a\n", one.word().to_uppercase()));
        let plain = format!("{}      STOP: b\n\nThe end: c\nblankwright: d", words.concat());
        let painted = painted(&plain);
        assert!(painted.starts_with("\u{1b}[1m\u{1b}[31mSTOP:\u{1b}[0m a\n"), "{painted:?}");
        assert!(painted.contains("      STOP: b\n\nThe end: c\n"), "{painted:?}");
        assert_eq!(painted.matches("\u{1b}[0m").count(), 4);
        let bare = painted.split('\u{1b}').map(|part| {
            part.split_once('m').filter(|(code, _)| code.starts_with('[')).map_or(part, |p| p.1)
        });
        assert_eq!(bare.collect::<String>(), plain);
    }
}
