//! The words of a card: prose, and safety messages.

use super::pointed::Pointed;
use crate::fingerprint::{Exempt, Meaning, Sink, exempt, leaf};
use crate::source::{Sourced, Sources, Span};
use crate::words::{Language, Phrase, Speak, joined, say};
use serde::Serialize;

leaf! {
    /// A signal word: ANSI Z535.6 / ISO 3864-2 levels. Ordered, least severe first.
    #[derive(Copy, Eq, PartialOrd, Ord, Hash)]
    #[serde(rename_all = "lowercase")]
    pub enum Signal {
        /// Information only.
        Note,
        /// Damage, no injury.
        Notice,
        /// Could cause minor or moderate injury.
        Caution,
        /// Could cause death or serious injury.
        Warning,
        /// Will cause death or serious injury.
        Danger,
    }
}

impl Signal {
    /// The word as printed, in capitals.
    pub fn word(self) -> Phrase {
        match self {
            Signal::Note => say::signal_note(),
            Signal::Notice => say::signal_notice(),
            Signal::Caution => say::signal_caution(),
            Signal::Warning => say::signal_warning(),
            Signal::Danger => say::signal_danger(),
        }
    }
}

leaf! {
    /// A safety message or a note.
    pub struct Message {
        says signal: Signal,
        /// Names the hazard; empty if not said.
        says hazard: Vec<Inline>,
        /// What happens.
        says consequence: Vec<Block>,
        /// How to avoid it.
        says avoid: Vec<Block>,
        /// Where it is written.
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}

/// A block of prose.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Block {
    Paragraph {
        text: Vec<Inline>,
        /// Where it is written, as in the other blocks; none of what the program says by itself.
        #[serde(skip)]
        span: Option<Span>,
    },
    /// A figure: the number runs through the card.
    Figure {
        #[serde(flatten)]
        picture: Picture,
        caption: Vec<Inline>,
        number: usize,
        #[serde(skip)]
        span: Option<Span>,
    },
    /// Items of a list that are not steps (in an introduction).
    List { ordered: bool, items: Vec<Vec<Block>> },
    Code {
        text: String,
        #[serde(skip)]
        span: Option<Span>,
    },
}

leaf! {
    /// A picture of the set.
    pub struct Picture {
        /// Relative to the set's folder.
        exempt(Span) path: String,
        /// What it looks like: a digest of its content without line ends and remarks; empty for a picture that isn't there.
        #[serde(skip)]
        says looks: String,
        /// Lines into it, each with its label.
        says points: Pointed,
    }
}

/// A run of prose.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Inline {
    Text {
        text: String,
    },
    Strong {
        text: Vec<Inline>,
    },
    Emphasis {
        text: Vec<Inline>,
    },
    Code {
        text: String,
    },
    /// `url` is printed only as a link target.
    Link {
        text: Vec<Inline>,
        url: String,
    },
    /// A name or figure that came from a register: printed bold.
    Name {
        text: String,
    },
    /// A pointer to a step or card, ready to print: `step 2.3`, `card 4, Rebuild`.
    Pointer {
        text: Phrase,
        /// The same without the number of the card, which is found by its title too.
        #[serde(skip)]
        says: Phrase,
    },
    /// Words of the card's own: what marks say of a whole step.
    Said {
        text: Phrase,
    },
    Break,
}

impl Speak for Inline {
    fn speak(&mut self, language: Language) {
        match self {
            Inline::Text { text: _ } | Inline::Code { text: _ } | Inline::Name { text: _ } | Inline::Break => {}
            Inline::Strong { text } | Inline::Emphasis { text } | Inline::Link { text, url: _ } => text.speak(language),
            Inline::Said { text } => text.speak(language),
            Inline::Pointer { text, says } => {
                text.speak(language);
                says.speak(language);
            }
        }
    }
}

impl Speak for Block {
    fn speak(&mut self, language: Language) {
        match self {
            Block::Paragraph { text, span: _ } => text.speak(language),
            Block::Figure {
                picture: _,
                caption,
                number: _,
                span: _,
            } => caption.speak(language),
            Block::List { ordered: _, items } => items.speak(language),
            Block::Code { text: _, span: _ } => {}
        }
    }
}

impl Sourced for Inline {}

impl Sourced for Block {
    fn sources(&self, to: &mut Sources) {
        match self {
            Block::Paragraph { text: _, span } | Block::Code { text: _, span } => to.below(stringify!(span), span),
            Block::Figure {
                picture: _,
                caption: _,
                number: _,
                span,
            } => to.below(stringify!(span), span),
            Block::List { ordered: _, items } => to.below(stringify!(items), items),
        }
    }
}

/// Prose on its way into a sink: words that stand beside each other are one text, however they are cut up, set or wrapped.
#[derive(Default)]
struct Words {
    text: Phrase,
    /// What parts the texts before this one.
    parts: Vec<Part>,
}

enum Part {
    Words(Phrase),
    Looks(String),
    Lines(String),
}

impl Words {
    fn put(&mut self, text: impl Into<Phrase>) {
        self.text = std::mem::take(&mut self.text).then(text);
    }

    fn inlines(&mut self, inlines: &[Inline]) {
        for inline in inlines {
            match inline {
                Inline::Text { text } | Inline::Code { text } | Inline::Name { text } => self.put(text),
                Inline::Strong { text } | Inline::Emphasis { text } => self.inlines(text),
                Inline::Link { text, url } => {
                    exempt(Exempt::Span, url);
                    self.inlines(text);
                }
                Inline::Pointer { text, says } => {
                    exempt(Exempt::Number, text);
                    self.put(says);
                }
                Inline::Said { text } => self.put(text),
                Inline::Break => self.put(" "),
            }
        }
    }

    fn blocks(&mut self, blocks: &[Block]) {
        for block in blocks {
            self.put(" ");
            match block {
                Block::Paragraph { text, span } => {
                    exempt(Exempt::Span, span);
                    self.inlines(text);
                }
                Block::Figure {
                    picture,
                    caption,
                    number,
                    span,
                } => {
                    exempt(Exempt::Span, span);
                    let Picture { path, looks, points } = picture;
                    exempt(Exempt::Span, path);
                    self.part(Part::Looks(looks.clone()));
                    self.put(format!("{number} "));
                    self.inlines(caption);
                    if !points.0.is_empty() {
                        for line in points.lines() {
                            self.put(" ");
                            self.put(line);
                        }
                        self.part(Part::Lines(points.places()));
                    }
                }
                Block::List { ordered, items } => {
                    for (n, item) in items.iter().enumerate() {
                        self.put(match ordered {
                            true => format!(" {}.", n + 1),
                            false => " •".to_string(),
                        });
                        self.blocks(item);
                    }
                }
                // White space in code is the author's.
                Block::Code { text, span } => {
                    exempt(Exempt::Span, span);
                    self.part(Part::Lines(text.trim_end().to_string()));
                }
            }
        }
    }

    fn part(&mut self, next: Part) {
        let text = std::mem::take(&mut self.text);
        self.parts.extend([Part::Words(text), next]);
    }

    fn feed(mut self, sink: &mut Sink) {
        let text = std::mem::take(&mut self.text);
        self.parts.push(Part::Words(text));
        for part in &self.parts {
            match part {
                Part::Words(text) => text.squeezed().feed(sink),
                Part::Looks(text) | Part::Lines(text) => sink.text(text),
            }
        }
        sink.number(self.parts.len());
    }
}

impl Meaning for Inline {
    fn feed(&self, sink: &mut Sink) {
        Inline::feed_all(std::slice::from_ref(self), sink);
    }

    fn feed_all(items: &[Self], sink: &mut Sink) {
        let mut words = Words::default();
        words.inlines(items);
        words.feed(sink);
    }
}

impl Meaning for Block {
    fn feed(&self, sink: &mut Sink) {
        Block::feed_all(std::slice::from_ref(self), sink);
    }

    fn feed_all(items: &[Self], sink: &mut Sink) {
        let mut words = Words::default();
        words.blocks(items);
        words.feed(sink);
    }
}

/// The words of a run of prose, without emphasis.
pub fn plain(inlines: &[Inline]) -> Phrase {
    let mut words = Words::default();
    words.inlines(inlines);
    words.text
}

/// The words of blocks: one line a paragraph, item or caption.
pub fn lines(blocks: &[Block]) -> Phrase {
    let mut all = Vec::new();
    gather(blocks, &mut all);
    joined(all, "\n")
}

fn gather(blocks: &[Block], lines: &mut Vec<Phrase>) {
    for block in blocks {
        match block {
            Block::Paragraph { text, .. } => lines.push(plain(text).squeezed()),
            Block::Figure { picture, caption, .. } => {
                lines.push(plain(caption).squeezed());
                lines.extend(picture.points.lines().map(Phrase::from));
            }
            Block::List { items, .. } => items.iter().for_each(|item| gather(item, lines)),
            Block::Code { text, .. } => lines.push(text.trim_end().into()),
        }
    }
    lines.retain(|line| !line.is_empty());
}

/// What the pictures of blocks look like, and where one points in them, in their order.
pub fn pictures(blocks: &[Block]) -> Vec<String> {
    blocks.iter().flat_map(pictures_of).collect()
}

fn pictures_of(block: &Block) -> Vec<String> {
    match block {
        Block::Figure { picture, .. } => vec![format!("{} {}", picture.looks, picture.points.places())],
        Block::List { items, .. } => items.iter().flat_map(|item| pictures(item)).collect(),
        Block::Paragraph { .. } | Block::Code { .. } => Vec::new(),
    }
}
