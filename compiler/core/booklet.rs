//! Pages of Markdown as a leaf: the manual on paper. Headings, paragraphs, lists, code and tables come out as plain data; what is meant for a
//! browser alone, such as links within the pages, comes out as its words.

use crate::cards::card::{Block, Identity, Inline};
use crate::cards::text;
use crate::fingerprint::{Kind, leaf};
use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};
use std::iter::Peekable;

leaf! {
    /// Pages one behind the other.
    pub struct Booklet {
        /// `set_title` names the program that it is the manual of, `title` what of it there is.
        says identity: Identity,
        says pages: Vec<Page>,
    }
}

impl Kind for Booklet {
    const NAME: &'static str = "manual";
}

leaf! {
    /// One page, which begins wherever the one before it ends.
    pub struct Page {
        says title: String,
        says parts: Vec<Part>,
    }
}

leaf! {
    /// What stands under a heading, up to the next heading or the end of a table.
    pub struct Part {
        /// Empty behind a table, and at the beginning of a page.
        says heading: String,
        says text: Vec<Block>,
        /// The head of the table that follows the text; nothing without a table.
        says head: Vec<Cell>,
        says rows: Vec<Row>,
    }
}

leaf! {
    /// A row of a table.
    pub struct Row {
        says cells: Vec<Cell>,
    }
}

leaf! {
    /// A cell of a table.
    pub struct Cell {
        says text: Vec<Inline>,
    }
}

/// The leaf of some pages, each a text that begins with its heading. `about` names what they are of, `paper` is that of a set's `style`.
pub fn booklet(title: &str, about: &str, paper: &str, pages: impl Iterator<Item = String>) -> Booklet {
    Booklet {
        identity: Identity {
            set: String::new(),
            set_title: about.to_string(),
            machine: String::new(),
            procedure: "manual".to_string(),
            title: title.into(),
            position: 0,
            of: 0,
            rev: String::new(),
            date: String::new(),
            source: String::new(),
            draft: false,
            choices: Vec::new(),
            language: "en".into(),
            paper: paper.to_string(),
            uncommitted: false,
        },
        pages: pages.map(|text| page(&text)).collect(),
    }
}

fn page(written: &str) -> Page {
    let mut reader = Reader(Parser::new_ext(written, Options::ENABLE_TABLES).peekable());
    let mut page = Page {
        title: String::new(),
        parts: Vec::new(),
    };
    let mut part = empty();
    while let Some(event) = reader.0.next() {
        match event {
            Event::Start(Tag::Heading { level, .. }) => {
                let words = plain(&reader.inlines());
                if level == HeadingLevel::H1 && page.title.is_empty() {
                    page.title = words;
                    continue;
                }
                page.put(std::mem::replace(&mut part, empty()));
                part.heading = words;
            }
            Event::Start(Tag::Table(_)) => {
                (part.head, part.rows) = reader.table();
                page.put(std::mem::replace(&mut part, empty()));
            }
            event => part.text.extend(reader.block(event)),
        }
    }
    page.put(part);
    page
}

impl Page {
    fn put(&mut self, part: Part) {
        if part != empty() {
            self.parts.push(part);
        }
    }
}

fn empty() -> Part {
    Part {
        heading: String::new(),
        text: Vec::new(),
        head: Vec::new(),
        rows: Vec::new(),
    }
}

/// The words of a heading, without any form.
fn plain(inlines: &[Inline]) -> String {
    text::plain(inlines).english()
}

/// The manual isn't written in a set.
fn paragraph(text: Vec<Inline>) -> Block {
    Block::Paragraph { text, span: None }
}

/// Events of one text, taken as they come.
struct Reader<'a>(Peekable<Parser<'a>>);

impl Reader<'_> {
    /// The block that an event begins; nothing for one that is none.
    fn block(&mut self, event: Event) -> Option<Block> {
        match event {
            Event::Start(Tag::Paragraph) => Some(paragraph(self.inlines())),
            Event::Start(Tag::List(first)) => Some(Block::List {
                ordered: first.is_some(),
                items: self.items(),
            }),
            Event::Start(Tag::CodeBlock(_)) => Some(Block::Code {
                text: self.code(),
                span: None,
            }),
            Event::Html(text) => Some(paragraph(vec![Inline::Text { text: text.to_string() }])),
            _ => None,
        }
    }

    /// The items of a list, to its end. A tight one has its words without a paragraph.
    fn items(&mut self) -> Vec<Vec<Block>> {
        let mut items = Vec::new();
        while let Some(event) = self.0.next() {
            match event {
                Event::Start(Tag::Item) => items.push(self.item()),
                Event::End(TagEnd::List(_)) => break,
                _ => {}
            }
        }
        items
    }

    fn item(&mut self) -> Vec<Block> {
        let mut blocks = Vec::new();
        loop {
            let is_block = match self.0.peek() {
                None => break,
                Some(Event::Start(Tag::Paragraph | Tag::List(_) | Tag::CodeBlock(_)) | Event::Html(_)) => true,
                Some(Event::End(TagEnd::Item)) => {
                    self.0.next();
                    break;
                }
                Some(_) => false,
            };
            if !is_block {
                blocks.push(paragraph(self.words()));
                continue;
            }
            if let Some(event) = self.0.next() {
                blocks.extend(self.block(event));
            }
        }
        blocks
    }

    /// The words of a tight item, up to what is none.
    fn words(&mut self) -> Vec<Inline> {
        let mut words = Vec::new();
        while let Some(event) = self.0.next_if(|event| {
            !matches!(
                event,
                Event::Start(Tag::Paragraph | Tag::List(_) | Tag::CodeBlock(_))
                    | Event::Html(_)
                    | Event::End(TagEnd::Item)
            )
        }) {
            words.extend(self.inline(event));
        }
        words
    }

    /// Words to the end of what holds them.
    fn inlines(&mut self) -> Vec<Inline> {
        let mut inlines = Vec::new();
        while let Some(event) = self.0.next() {
            if matches!(event, Event::End(_)) {
                break;
            }
            inlines.extend(self.inline(event));
        }
        inlines
    }

    fn inline(&mut self, event: Event) -> Option<Inline> {
        match event {
            Event::Text(text) | Event::InlineHtml(text) => Some(Inline::Text { text: text.to_string() }),
            Event::Code(text) => Some(Inline::Code { text: text.to_string() }),
            Event::SoftBreak => Some(Inline::Text { text: " ".to_string() }),
            Event::HardBreak => Some(Inline::Break),
            Event::Start(Tag::Strong | Tag::Emphasis) => Some(Inline::Strong { text: self.inlines() }),
            Event::Start(Tag::Link { dest_url, .. }) => {
                let url = if dest_url.starts_with("https://") {
                    dest_url.to_string()
                } else {
                    String::new()
                };
                Some(Inline::Link {
                    text: self.inlines(),
                    url,
                })
            }
            _ => None,
        }
    }

    fn code(&mut self) -> String {
        let mut code = String::new();
        for event in self.0.by_ref() {
            match event {
                Event::Text(text) => code.push_str(&text),
                Event::End(TagEnd::CodeBlock) => break,
                _ => {}
            }
        }
        code.trim_end().to_string()
    }

    /// Head and rows of a table, to its end.
    fn table(&mut self) -> (Vec<Cell>, Vec<Row>) {
        let (mut head, mut rows, mut cells) = (Vec::new(), Vec::new(), Vec::new());
        while let Some(event) = self.0.next() {
            match event {
                Event::Start(Tag::TableCell) => cells.push(Cell { text: self.inlines() }),
                Event::End(TagEnd::TableHead) => head = std::mem::take(&mut cells),
                Event::End(TagEnd::TableRow) => rows.push(Row {
                    cells: std::mem::take(&mut cells),
                }),
                Event::End(TagEnd::Table) => break,
                _ => {}
            }
        }
        (head, rows)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_is_cut_at_headings_and_behind_tables() {
        let text = "# Words\n\nA *word* of [one](#two) `sort`.\n\n- tight\n- **and** more\n  1. inner\n\n## Below\n\n| a | b |\n| --- | --- |\n| `x\\|y` | z |\n\nBehind.\n\n```text\n  code\n\nmore\n```\n";
        let page = page(text);
        assert_eq!(page.title, "Words");
        let headings: Vec<&str> = page.parts.iter().map(|part| part.heading.as_str()).collect();
        assert_eq!(headings, ["", "Below", ""]);
        let said = |part: &Part| text::lines(&part.text).english();
        assert_eq!(said(&page.parts[0]), "A word of one sort.\ntight\nand more\ninner");
        assert_eq!(said(&page.parts[2]), "Behind.\n  code\n\nmore");
        let cells = |cells: &[Cell]| cells.iter().map(|cell| plain(&cell.text)).collect::<Vec<_>>();
        assert_eq!(cells(&page.parts[1].head), ["a", "b"]);
        assert_eq!(cells(&page.parts[1].rows[0].cells), ["x|y", "z"]);
    }
}
