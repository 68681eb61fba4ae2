//! The steps from bar to finished knife: the stable JSON of `build`.

use crate::card::{Basis, Card, Figure, Line, LineKind, Part};
use knife::Knife;
use schemars::JsonSchema;
use serde::Serialize;

/// Every step from bar to finished knife (`blankwright build --json`).
#[derive(Debug, Serialize, JsonSchema)]
pub struct Build {
    /// Always `blankwright-build`.
    format: &'static str,
    /// Always 1: fields are added, never renamed.
    version: u32,
    /// The blank's name.
    name: String,
    /// The parts of the work, in its order.
    parts: Vec<BuildPart>,
    /// The published sources that figures rest on; `[1]` in a line is the first.
    sources: Vec<String>,
}

/// One part of the work.
#[derive(Debug, Serialize, JsonSchema)]
struct BuildPart {
    /// What it is about.
    title: String,
    /// Its lines.
    lines: Vec<BuildLine>,
}

/// One line: its text, and the figures in it with what each rests on.
#[derive(Debug, Serialize, JsonSchema)]
struct BuildLine {
    /// `step`, `have`, `note` or `caution`.
    kind: &'static str,
    /// The line as it is printed: `*` marks common practice, `[n]` a source.
    text: String,
    /// The figures in it, in their order.
    figures: Vec<BuildFigure>,
}

/// One figure of a line.
#[derive(Debug, Serialize, JsonSchema)]
struct BuildFigure {
    /// As a person reads it, with its unit.
    text: String,
    /// `stated` by the maker, `computed`, or from a `table`.
    basis: &'static str,
    /// How it was worked out, or the source of the table's row; `null` for what was stated.
    source: Option<String>,
}

impl Build {
    pub(super) fn of(knife: &Knife, card: &Card) -> Self {
        let sources = card.sources();
        let part = |part: &Part| BuildPart {
            title: part.title.clone(),
            lines: part.lines.iter().map(|line| BuildLine::of(line, &sources)).collect(),
        };
        Self {
            format: "blankwright-build",
            version: 1,
            name: knife.name.clone(),
            parts: card.parts.iter().map(part).collect(),
            sources,
        }
    }
}

impl BuildLine {
    fn of(line: &Line, sources: &[String]) -> Self {
        Self {
            kind: match line.kind {
                LineKind::Step => "step",
                LineKind::Prepare => "have",
                LineKind::Note => "note",
                LineKind::Caution => "caution",
            },
            text: line.text(sources),
            figures: line.figures().map(BuildFigure::of).collect(),
        }
    }
}

impl BuildFigure {
    fn of(figure: &Figure) -> Self {
        let (basis, source) = match &figure.basis {
            Basis::Stated => ("stated", None),
            Basis::Computed(how) => ("computed", Some((*how).to_owned())),
            Basis::Table(origin) => ("table", Some(origin.source.clone())),
        };
        Self { text: figure.text.clone(), basis, source }
    }
}
