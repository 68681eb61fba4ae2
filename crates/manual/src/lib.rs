//! The manual: its pages, finding one by a topic, and its text for window and terminal.
//!
//! ```
//! let page = manual::page("holes").expect("there is such a page");
//! assert!(manual::page_text(page.text).contains(page.title()));
//! assert_eq!(manual::nearest("hols", ["holes", "heat"]), Some("holes"));
//! ```

mod block;
mod plain;

pub use block::{Block, Span, blocks};
pub use plain::{page_text, table_lines};

/// One page of the manual.
#[derive(Debug)]
pub struct Page {
    /// The name by which it is asked for; its file is `assets/manual/<topic>.md`.
    pub topic: &'static str,
    /// What it is about, in a few words.
    pub summary: &'static str,
    /// The page as Markdown.
    pub text: &'static str,
}

impl Page {
    /// Its title: the text of its first line.
    pub fn title(&self) -> &'static str {
        self.text.lines().next().unwrap_or_default().trim_start_matches('#').trim()
    }
}

macro_rules! pages {
    ($($topic:literal: $summary:literal,)+) => {
        /// Every page, in the order in which they are read.
        pub static PAGES: &[Page] = &[$(Page {
            topic: $topic,
            summary: $summary,
            text: include_str!(concat!("../../../assets/manual/", $topic, ".md")),
        }),+];
    };
}

pages! {
    "first-knife": "one knife from bar to finished, step by step",
    "drawing": "starters, drawing your own outline, importing one, the origin",
    "samples": "complete knives to look at and to begin from",
    "tracing": "an outline from a sketch, a photo or a knife on the table",
    "desk": "the window: stations, keys, views, files",
    "holes": "pin, relief and lanyard holes; drills and webs",
    "bevels": "plunge, grind lines, taper, swedge, filing facets",
    "handle": "scales, bolsters, pins, glue and the handle's shape",
    "sheath": "a sheath's pattern round the knife, and the jigs of the bench",
    "sheath-stock": "leather, thread, sheet, eyelets and belts as they are sold",
    "drills": "which drill makes the hole for which pin",
    "printing": "sheets, paper, tiles, and checking that a print is true",
    "printer": "measuring a printer and correcting its error",
    "heat": "hardening, tempering, finish and sharpening",
    "steels": "how hot, into what, how hard: every steel of the tables",
    "cutting": "chain drilling and relief saw cuts",
    "many-blanks": "several blanks on one bar",
    "solids": "solids to print and hold, files for cutting shops, outlines from DXF",
    "shop": "the shop file: what you own and the limits you work by",
    "commands": "every command with what it reads, writes and returns",
    "troubleshooting": "what to do when something does not work",
    "safety": "before you pick up a tool",
    "glossary": "words of the trade and of the program",
    "findings": "every rule: what it checks, why, what to do",
    "limits": "every limit of the shop, with its usual value and source",
    "file-format": "the blank file, field by field",
    "json": "how the figures of the JSON output are defined",
    "json-fields": "every field of the JSON output, from its schemas",
    "install": "a Debian package, a portable archive, or cargo install",
    "changes": "what each version brought",
}

macro_rules! pictures {
    ($($file:literal,)+) => {
        /// The pictures of the pages, each by the name of its file.
        static PICTURES: &[(&str, &[u8])] =
            &[$(($file, include_bytes!(concat!("../../../assets/manual/", $file)))),+];
    };
}

pictures! {
    "bolstered-woodland-knife.png",
    "desk.png",
    "first-knife.png",
    "in-the-round.png",
    "long-slicer.png",
    "petty-for-a-friend.png",
    "scalloped-camp-knife.png",
    "sheath.png",
    "solid.png",
    "template.png",
    "tracing-dialog.png",
    "tracing-under.png",
    "tracing.png",
    "woodland-camp-knife.png",
}

/// The bytes of a page's picture, a PNG, by the name of its file.
pub fn picture(file: &str) -> Option<&'static [u8]> {
    PICTURES.iter().find(|(name, _)| *name == file).map(|(_, bytes)| *bytes)
}

/// The page of a topic, in upper or lower case.
pub fn page(topic: &str) -> Option<&'static Page> {
    PAGES.iter().find(|page| page.topic.eq_ignore_ascii_case(topic))
}

/// Which of several names a mistyped one most likely means, if any is near.
pub fn nearest<'a>(typed: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let typed = typed.to_lowercase();
    let near = |name: &'a str| (strsim::jaro_winkler(&typed, &name.to_lowercase()), name);
    let best = names.into_iter().map(near).max_by(|a, b| a.0.total_cmp(&b.0));
    best.filter(|(likeness, _)| *likeness > LIKE).map(|(_, name)| name)
}

/// From this likeness on (Jaro and Winkler, 0 to 1) a name is worth suggesting.
const LIKE: f64 = 0.75;

#[cfg(test)]
mod tests {
    use super::{Block, PAGES, PICTURES, blocks, nearest, page, picture};

    #[test]
    fn every_page_has_a_title_and_is_found_by_its_topic() {
        for one in PAGES {
            assert!(one.text.starts_with("# ") && one.title().len() > 3, "{}", one.topic);
            let found = page(&one.topic.to_uppercase()).map(|found| found.topic);
            assert_eq!(found, Some(one.topic));
        }
        assert!(page("nothing").is_none());
    }

    #[test]
    fn every_picture_of_a_page_is_there_and_no_other() {
        let pages = PAGES.iter().flat_map(|page| blocks(page.text));
        let mut shown: Vec<String> = pages
            .filter_map(|block| match block {
                Block::Picture(_, file) => Some(file),
                _ => None,
            })
            .collect();
        for file in &shown {
            assert!(picture(file).is_some_and(|bytes| bytes.starts_with(b"\x89PNG")), "{file}");
        }
        shown.sort_unstable();
        assert_eq!(shown, PICTURES.iter().map(|(name, _)| *name).collect::<Vec<_>>());
        // What they add to the program.
        let bytes: usize = PICTURES.iter().map(|(_, bytes)| bytes.len()).sum();
        assert!(bytes < 525_000, "{bytes}");
    }

    #[test]
    fn a_mistyped_topic_is_told_the_nearest() {
        let names = || PAGES.iter().map(|page| page.topic);
        for (typed, meant) in [
            ("bevel", "bevels"),
            ("glosary", "glossary"),
            ("firstknife", "first-knife"),
            ("Handel", "handle"),
            ("json-feilds", "json-fields"),
        ] {
            assert_eq!(nearest(typed, names()), Some(meant), "{typed}");
        }
        assert_eq!(nearest("xyzzy", names()), None);
    }
}
