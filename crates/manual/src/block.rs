//! A page's Markdown as the few blocks that the manual is made of.

use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};

/// A run of text in one style.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Span {
    /// As the text around it.
    Plain(String),
    /// Set off in bold.
    Strong(String),
    /// Something to type, or a name in a file.
    Code(String),
    /// Words that lead to another page or file.
    Link {
        /// The words.
        words: String,
        /// Where they lead, as written.
        to: String,
    },
}

impl Span {
    /// Its words without their style.
    pub fn text(&self) -> &str {
        match self {
            Self::Plain(words) | Self::Strong(words) | Self::Code(words) => words,
            Self::Link { words, .. } => words,
        }
    }
}

/// One block of a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// A heading, 1 for the page's title.
    Heading(u8, String),
    /// A paragraph.
    Text(Vec<Span>),
    /// One item of a list: what stands before it, and its text.
    Item(String, Vec<Span>),
    /// Lines to type or of a file.
    Code(String),
    /// A table, its head first.
    Table(Vec<Vec<String>>),
    /// A picture: its description, and its file as written.
    Picture(String, String),
}

/// The blocks of a page.
pub fn blocks(markdown: &str) -> Vec<Block> {
    let mut taken = BlockBuilder::default();
    for event in Parser::new_ext(markdown, Options::ENABLE_TABLES) {
        taken.event(event);
    }
    taken.blocks
}

/// What was read so far.
#[derive(Default)]
struct BlockBuilder {
    blocks: Vec<Block>,
    spans: Vec<Span>,
    rows: Vec<Vec<String>>,
    code: Option<String>,
    link: Option<String>,
    strong: bool,
    picture: Option<String>,
    /// The number of the next item of each list that is open; `None` for one without numbers.
    lists: Vec<Option<u64>>,
}

impl BlockBuilder {
    fn event(&mut self, event: Event<'_>) {
        match event {
            Event::Start(tag) => self.start(tag),
            Event::End(tag) => self.end(tag),
            Event::Text(text) => match &mut self.code {
                Some(code) => code.push_str(&text),
                None => self.push_text(text.into_string()),
            },
            Event::Code(text) if self.link.is_none() => {
                self.spans.push(Span::Code(text.into_string()));
            }
            Event::Code(text) => self.push_text(text.into_string()),
            Event::SoftBreak | Event::HardBreak => self.push_text(" ".to_owned()),
            _ => {}
        }
    }

    fn start(&mut self, tag: Tag<'_>) {
        match tag {
            Tag::CodeBlock(_) => self.code = Some(String::new()),
            Tag::Link { dest_url, .. } => self.link = Some(dest_url.into_string()),
            Tag::Image { dest_url, .. } => self.picture = Some(dest_url.into_string()),
            Tag::Strong => self.strong = true,
            Tag::List(first) => {
                self.flush_item();
                self.lists.push(first);
            }
            Tag::Table(_) => self.rows.clear(),
            Tag::TableHead | Tag::TableRow => self.rows.push(Vec::new()),
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Heading(level) => {
                let words = self.plain();
                self.blocks.push(Block::Heading(number(level), words));
            }
            TagEnd::Paragraph if self.lists.is_empty() => {
                let spans = std::mem::take(&mut self.spans);
                if !spans.is_empty() {
                    self.blocks.push(Block::Text(spans));
                }
            }
            TagEnd::Item => self.flush_item(),
            TagEnd::List(_) => {
                self.lists.pop();
            }
            TagEnd::CodeBlock => {
                let code = self.code.take().unwrap_or_default();
                self.blocks.push(Block::Code(code.trim_end().to_owned()));
            }
            TagEnd::Link => self.link = None,
            TagEnd::Strong => self.strong = false,
            TagEnd::Image => {
                let words = self.plain();
                let file = self.picture.take().unwrap_or_default();
                self.blocks.push(Block::Picture(words, file));
            }
            TagEnd::TableCell => {
                let words = self.plain();
                if let Some(row) = self.rows.last_mut() {
                    row.push(words);
                }
            }
            TagEnd::Table => self.blocks.push(Block::Table(std::mem::take(&mut self.rows))),
            _ => {}
        }
    }

    /// The item read so far, behind its dash or number.
    fn flush_item(&mut self) {
        let spans = std::mem::take(&mut self.spans);
        if spans.is_empty() {
            return;
        }
        let depth = self.lists.len().saturating_sub(1);
        let head = match self.lists.last_mut() {
            Some(Some(number)) => {
                *number += 1;
                format!("{}.", *number - 1)
            }
            _ => "•".to_owned(),
        };
        self.blocks.push(Block::Item(format!("{}{head}", "  ".repeat(depth)), spans));
    }

    fn push_text(&mut self, words: String) {
        let span = match (&self.link, self.strong) {
            (Some(to), _) => Span::Link { words, to: to.clone() },
            (None, true) => Span::Strong(words),
            (None, false) => Span::Plain(words),
        };
        match (self.spans.last_mut(), span) {
            (Some(Span::Plain(last)), Span::Plain(more)) => last.push_str(&more),
            (Some(Span::Link { words: last, to }), Span::Link { words: more, to: same })
                if *to == same =>
            {
                last.push_str(&more);
            }
            (_, span) => self.spans.push(span),
        }
    }

    /// What was read so far, without styles.
    fn plain(&mut self) -> String {
        self.spans.drain(..).map(|span| span.text().to_owned()).collect()
    }
}

fn number(level: HeadingLevel) -> u8 {
    level as u8
}

#[cfg(test)]
mod tests {
    use super::{Block, Span, blocks};

    #[test]
    fn markdown_becomes_blocks() {
        let text = "# Title\n\nOne *two* **three** `four`\n[five](six.md).\n\n1. a\n2. b\n   - c\n\n\
                    ```\nrun x\n  y\n```\n\n| h | i |\n|---|---|\n| `j` | k |\n\n![alt](p.png)\n";
        let plain = |words: &str| Span::Plain(words.to_owned());
        let found = blocks(text);
        assert_eq!(found[0], Block::Heading(1, "Title".into()));
        let spans = vec![
            plain("One two "),
            Span::Strong("three".into()),
            plain(" "),
            Span::Code("four".into()),
            plain(" "),
            Span::Link { words: "five".into(), to: "six.md".into() },
            plain("."),
        ];
        assert_eq!(found[1], Block::Text(spans));
        assert_eq!(found[2], Block::Item("1.".into(), vec![plain("a")]));
        assert_eq!(found[3], Block::Item("2.".into(), vec![plain("b")]));
        assert_eq!(found[4], Block::Item("  •".into(), vec![plain("c")]));
        assert_eq!(found[5], Block::Code("run x\n  y".into()));
        let rows = [["h", "i"], ["j", "k"]].map(|row| row.map(str::to_owned).to_vec());
        assert_eq!(found[6], Block::Table(rows.to_vec()));
        assert_eq!(found[7], Block::Picture("alt".into(), "p.png".into()));
        assert_eq!(found.len(), 8);
    }
}
