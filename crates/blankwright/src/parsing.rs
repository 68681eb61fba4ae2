//! From words to a command, and the texts that come from the same definitions: help, man pages,
//! completions, complaints.

use crate::args::Cli;
use crate::{Failure, examples};
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{CommandFactory as _, FromArgMatches as _};
use knife::file::EXTENSION;
use std::ffi::OsString;

/// What was typed.
pub(crate) fn parse(words: impl IntoIterator<Item = OsString>) -> Result<Cli, Failure> {
    let words = with_open(words.into_iter().collect());
    let found = definitions().try_get_matches_from(&words);
    match found.and_then(|found| Cli::from_arg_matches(&found)) {
        Ok(Cli { command, quiet }) => {
            Ok(Cli { command: command.map(|command| command.tidied(quiet)), quiet })
        }
        Err(error) => Err(match error.kind() {
            ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => Failure::Help(error.to_string()),
            _ => Failure::Usage(sentence(&error, dashed_file(&words))),
        }),
    }
}

/// The definitions of every command, with their examples.
fn definitions() -> clap::Command {
    let with_examples = |command: clap::Command| {
        let examples = examples::of(command.get_name());
        command.after_help(examples)
    };
    let whole = Cli::command().mut_subcommands(with_examples);
    whole.after_help(format!("{}\n\n{}", examples::of("blankwright"), examples::exit_codes()))
}

/// A blank file alone is one to open, as a file manager gives it.
fn with_open(mut typed: Vec<OsString>) -> Vec<OsString> {
    let is_blank = |word: &OsString| word.to_string_lossy().to_lowercase().ends_with(EXTENSION);
    if typed.len() == 2 && typed.get(1).is_some_and(is_blank) {
        typed.insert(1, "open".into());
    }
    typed
}

/// Every command with what it does.
pub(crate) fn commands() -> Vec<(String, String)> {
    let describe = |command: &clap::Command| {
        let about = command.get_about().map(ToString::to_string).unwrap_or_default();
        (command.get_name().to_owned(), about)
    };
    definitions().get_subcommands().filter(|one| !one.is_hide_set()).map(describe).collect()
}

/// The options of a command, as its `--help` prints them.
pub(crate) fn options(command: &str) -> Option<String> {
    let words = ["blankwright", command, "--help"];
    definitions().find_subcommand(command)?;
    definitions().try_get_matches_from(words).err().map(|help| help.to_string())
}

/// The completions of every command, for a shell.
pub(crate) fn completions(shell: clap_complete::Shell) -> String {
    let mut out = Vec::new();
    clap_complete::generate(shell, &mut definitions(), "blankwright", &mut out);
    String::from_utf8_lossy(&out).into_owned()
}

/// The manual page of a command, or of the program, in the language of `man`.
pub(crate) fn man(command: Option<&str>) -> Result<String, Failure> {
    let mut whole = definitions();
    whole.build();
    let page = match command {
        None => whole,
        Some(name) => {
            let found = whole.find_subcommand(name).cloned().ok_or_else(|| {
                let fault = format!("there is no command \"{name}\"; see blankwright help");
                Failure::Usage(fault)
            })?;
            found.display_name(format!("blankwright-{name}"))
        }
    };
    let mut out = Vec::new();
    // What is written to memory can't fail.
    let _ = clap_mangen::Man::new(page).render(&mut out);
    Ok(String::from_utf8_lossy(&out).into_owned())
}

/// Whether an argument is a number below zero and no option.
fn is_negative_number(argument: &str) -> bool {
    let rest = argument.strip_prefix('-').unwrap_or_default();
    rest.trim_start_matches('.').starts_with(|sign: char| sign.is_ascii_digit())
}

/// A word that begins as an option does and ends as a file does.
fn dashed_file(words: &[OsString]) -> Option<String> {
    let ends = [".json", ".svg", ".dxf", ".pdf", ".png", ".jpg", ".jpeg", ".stl", ".3mf"];
    let mut words = words.iter().filter_map(|word| word.to_str());
    let is_file = |word: &&str| {
        let lower = word.to_lowercase();
        word.starts_with('-') && !word.contains('=') && ends.iter().any(|end| lower.ends_with(end))
    };
    words.find(is_file).map(str::to_owned)
}

/// The argument parser's complaint as one sentence.
fn sentence(error: &clap::Error, dashed: Option<String>) -> String {
    let text = |kind| match error.get(kind) {
        Some(ContextValue::String(text)) => text.clone(),
        Some(ContextValue::Strings(texts)) => texts.join(", "),
        _ => String::new(),
    };
    let (argument, value) = (text(ContextKind::InvalidArg), text(ContextKind::InvalidValue));
    match error.kind() {
        ErrorKind::InvalidSubcommand => {
            let found = text(ContextKind::InvalidSubcommand);
            let near = match error.get(ContextKind::SuggestedSubcommand) {
                // The nearest comes last.
                Some(ContextValue::Strings(names)) => names.last().cloned(),
                Some(ContextValue::String(name)) => Some(name.clone()),
                _ => None,
            };
            let near = near.map_or_else(String::new, |name| format!(", did you mean {name}?"));
            let end = if near.is_empty() { "; see" } else { " See" };
            format!("there is no command \"{found}\"{near}{end} blankwright --help")
        }
        ErrorKind::UnknownArgument if is_negative_number(&argument) => {
            format!("{argument} can't be used here: it must not be negative; see --help")
        }
        ErrorKind::UnknownArgument => match (dashed, text(ContextKind::SuggestedArg)) {
            (Some(file), _) => {
                format!("{file} begins as options do; to name a file, write ./{file}")
            }
            (None, near) if near.is_empty() => format!("{argument} is not known here; see --help"),
            (None, near) => {
                format!("{argument} is not known here, did you mean {near}? See --help")
            }
        },
        ErrorKind::MissingRequiredArgument
            if argument.contains("<FILE>") && !argument.contains("--") =>
        {
            "name the blank file; see --help".to_owned()
        }
        ErrorKind::MissingRequiredArgument => format!("{argument} is missing; see --help"),
        ErrorKind::InvalidValue if value.is_empty() => {
            format!("{argument} needs a value after it; see --help")
        }
        ErrorKind::ValueValidation | ErrorKind::InvalidValue => {
            format!("\"{value}\" can't be used for {argument}; see --help")
        }
        ErrorKind::ArgumentConflict => {
            format!("{argument} can't be given together with {}", text(ContextKind::PriorArg))
        }
        _ => {
            let text = error.to_string();
            let line = text.lines().next().unwrap_or_default();
            line.trim_start_matches("error: ").to_owned()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::parse;
    use crate::args::Command;
    use std::ffi::OsString;

    #[test]
    fn a_blank_file_alone_is_opened() {
        let parsed = |words: &[&str]| {
            parse(std::iter::once("blankwright").chain(words.iter().copied()).map(OsString::from))
        };
        for words in [&["/a.blank.json"][..], &["B.BLANK.JSON"], &["open", "/a.blank.json"]] {
            let opens = parsed(words)
                .is_ok_and(|typed| matches!(typed.command, Some(Command::Open { .. })));
            assert!(opens, "{words:?}");
        }
        for words in [&["/a.pdf"][..], &["check.json"], &["/a.blank.json", "/b.blank.json"]] {
            assert!(parsed(words).is_err(), "{words:?}");
        }
    }
}
