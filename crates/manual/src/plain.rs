//! A page as plain text for a terminal.

use crate::block::{Block, Span, blocks};
use std::fmt::Write as _;

/// The widest a line of text gets, characters.
const WIDE: usize = 78;
/// A table's last column is at least so wide, characters; otherwise each row gets its own lines.
const LAST: usize = 24;

/// A page's Markdown as plain text, at most 78 characters wide but for lines of code.
pub fn page_text(markdown: &str) -> String {
    let mut out = String::new();
    let mut after_item = false;
    for block in blocks(markdown) {
        let is_item = matches!(block, Block::Item(..));
        let joins = is_item && after_item;
        if !joins && !out.is_empty() {
            out.push('\n');
        }
        after_item = is_item;
        match block {
            Block::Heading(level, words) => {
                let line = if level == 1 { '=' } else { '-' };
                let under: String = std::iter::repeat_n(line, words.chars().count()).collect();
                let _ = writeln!(out, "{words}\n{under}");
            }
            Block::Text(spans) => lines(&mut out, "", &spans_text(&spans)),
            Block::Item(head, spans) => lines(&mut out, &format!("  {head} "), &spans_text(&spans)),
            Block::Code(code) => {
                for line in code.lines() {
                    let _ = writeln!(out, "    {line}");
                }
            }
            Block::Table(rows) => {
                for line in table_lines(&rows, WIDE) {
                    let _ = writeln!(out, "{line}");
                }
            }
            Block::Picture(words, _) => lines(&mut out, "", &format!("[{words}]")),
        }
    }
    out
}

/// The words of spans; where a link leads to a page, its topic stands behind it.
fn spans_text(spans: &[Span]) -> String {
    let mut out = String::new();
    for span in spans {
        out.push_str(span.text());
        if let Span::Link { words, to } = span
            && let Some(topic) = to.strip_suffix(".md")
            && !words.eq_ignore_ascii_case(topic)
        {
            let _ = write!(out, " (help {topic})");
        }
    }
    out
}

/// Writes words over as many lines as they take, those after the first as far in as the head.
fn lines(out: &mut String, head: &str, words: &str) {
    let inset = head.chars().count();
    for (i, line) in wrapped(words, WIDE - inset).iter().enumerate() {
        let before = if i == 0 { head } else { &" ".repeat(inset) };
        let _ = writeln!(out, "{before}{line}");
    }
}

/// Words over lines of at most so many characters; a longer word keeps its own line.
fn wrapped(words: &str, wide: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in words.split_whitespace() {
        let Some(line) = lines.last_mut() else { continue };
        if line.is_empty() {
            line.push_str(word);
        } else if line.chars().count() + 1 + word.chars().count() <= wide {
            line.push(' ');
            line.push_str(word);
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}

/// A table as lines of at most so many characters: in columns, the last one wrapped; where that
/// leaves too little room, each row's first cell with the others below it.
pub fn table_lines(rows: &[Vec<String>], wide: usize) -> Vec<String> {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |column: usize| {
        let cells = rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
    };
    let Some(last) = columns.checked_sub(1) else { return Vec::new() };
    let widths: Vec<usize> = (0..last).map(width).collect();
    let before: usize = widths.iter().map(|width| width + 2).sum();
    if before + LAST.min(width(last)) > wide {
        return stacked(rows, wide);
    }
    let mut out = Vec::new();
    for (number, row) in rows.iter().enumerate() {
        let mut head = String::new();
        for (cell, width) in row.iter().zip(&widths) {
            let _ = write!(head, "{cell:width$}  ");
        }
        let tail = row.get(last).map_or("", String::as_str);
        for (i, line) in wrapped(tail, wide - before).iter().enumerate() {
            let head = if i == 0 { head.clone() } else { " ".repeat(before) };
            out.push(format!("{head}{line}").trim_end().to_owned());
        }
        if number == 0 {
            out.push("-".repeat((before + width(last)).min(wide)));
        }
    }
    out
}

fn stacked(rows: &[Vec<String>], wide: usize) -> Vec<String> {
    let Some((head, rows)) = rows.split_first() else { return Vec::new() };
    let mut out = Vec::new();
    for row in rows {
        out.extend(row.first().cloned());
        for (name, cell) in head.iter().zip(row).skip(1).filter(|(_, cell)| !cell.is_empty()) {
            let message = wrapped(&format!("{name}: {cell}"), wide - 4);
            out.extend(message.iter().map(|line| format!("    {line}")));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{page_text, table_lines};

    #[test]
    fn a_page_reads_in_a_terminal() {
        let words = "word ".repeat(40);
        let text = format!(
            "# Title\n\n{words}\n\n- see [the bevels](bevels.md), or [heat](heat.md)\n- b\n\n```\nrun\n```\n"
        );
        let plain = page_text(&text);
        assert!(plain.starts_with("Title\n=====\n\nword word"), "{plain}");
        assert!(plain.contains("\n  • see the bevels (help bevels), or heat\n  • b\n\n    run\n"));
        assert!(plain.lines().all(|line| line.chars().count() <= 78), "{plain}");
        assert!(!plain.contains('[') && !plain.contains('`'));
    }

    #[test]
    fn a_table_wraps_its_last_column_or_is_stacked() {
        let row = |cells: [&str; 2]| cells.map(str::to_owned).to_vec();
        let long = "eight by ".repeat(6);
        let rows = [row(["key", "what"]), row(["a", &long]), row(["bb", "c"])];
        let lines = table_lines(&rows, 40);
        assert_eq!(lines[0], "key  what");
        assert!(lines[1].starts_with("-----") && lines[2].starts_with("a    eight by"));
        assert!(lines[3].starts_with("     ") && lines.iter().all(|line| line.len() <= 40));
        assert_eq!(lines.last().map(String::as_str), Some("bb   c"));
        let wide = [row(["key", "what"]), row([&long, "c"])];
        assert_eq!(table_lines(&wide, 40), [long.as_str(), "    what: c"]);
    }
}
