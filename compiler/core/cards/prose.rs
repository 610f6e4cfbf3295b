//! Prose of the model to prose of a card: marks become the names of what they point at, pictures get numbers.

use super::card::{Block, Inline, Message, Pointed, Pointer, Signal};
use super::looks::looks;
use super::needed;
use super::text::Picture;
use crate::model::Level;
use crate::model::{self, Act, ActKind, Item, Procedure, ProcedureId, Set, StepNumber, Thing};
use crate::source::FileSet;
use crate::words::{Phrase, say};

/// Turns prose of one procedure into prose of its card.
pub struct Prose<'a> {
    files: &'a FileSet,
    set: &'a Set,
    procedure: &'a Procedure,
    /// Figures so far.
    figures: usize,
    /// The phase that it is of; 0 for what stands before the first.
    phase: usize,
}

impl<'a> Prose<'a> {
    pub fn new(files: &'a FileSet, set: &'a Set, procedure: &'a Procedure) -> Self {
        Prose {
            files,
            set,
            procedure,
            figures: 0,
            phase: 0,
        }
    }

    /// What follows is of this phase.
    pub fn enter(&mut self, phase: usize) {
        self.phase = phase;
    }

    pub fn blocks(&mut self, blocks: &[model::Block]) -> Vec<Block> {
        let blocks: Vec<Block> = blocks.iter().map(|b| self.block(b)).collect();
        // A paragraph that held nothing but silent marks would print as an empty line.
        blocks
            .into_iter()
            .filter(|b| !matches!(b, Block::Paragraph { text, .. } if text.is_empty()))
            .collect()
    }

    fn block(&mut self, block: &model::Block) -> Block {
        match block {
            model::Block::Paragraph { span, text } => Block::Paragraph {
                text: self.inlines(text),
                span: Some(*span),
            },
            model::Block::Figure { span, path, caption } => {
                self.figures += 1;
                let path = model::picture_path(self.files, self.procedure.file, &path.text).unwrap_or_default();
                let below = path
                    .strip_prefix(&self.set.folder)
                    .and_then(|rest| rest.strip_prefix('/'));
                let bytes = self.files.assets().get(&path);
                Block::Figure {
                    picture: Picture {
                        looks: bytes.map_or_else(String::new, |bytes| looks(&path, bytes)),
                        points: self.points(&path),
                        path: below.unwrap_or(&path).to_string(),
                    },
                    caption: self.inlines(caption),
                    number: self.figures,
                    span: Some(*span),
                }
            }
            model::Block::List { ordered, items } => Block::List {
                ordered: *ordered,
                items: items.iter().map(|blocks| self.blocks(blocks)).collect(),
            },
            model::Block::Code { span, text } => Block::Code {
                text: text.clone(),
                span: Some(*span),
            },
        }
    }

    /// What the register of pictures points at in one.
    fn points(&self, path: &str) -> Pointed {
        let set = self.set;
        let here = set.procedures.named().find(|(_, one)| one.file == self.procedure.file);
        let Some(handle) = here.and_then(|(id, _)| model::picture_entry(self.files, &set.catalogue, id, path)) else {
            return Pointed::default();
        };
        let named = |of: &model::Pointed| {
            let name = needed::name(&set.catalogue, of.thing);
            match needed::member(set, of.thing, of.member) {
                Some(member) => format!("{name}, {member}"),
                None => name,
            }
        };
        let bound = set.links.pointers.get(&handle).map(Vec::as_slice).unwrap_or_default();
        let point = |(n, point): (usize, &model::registers::Pointer)| {
            let of = bound.get(n).and_then(Option::as_ref).map(named);
            let (across, up) = point.at?;
            Some(Pointer {
                label: point.label.text.clone(),
                name: point.says.as_ref().map(|says| says.text.clone()).or(of)?,
                across,
                up,
            })
        };
        let points = set.catalogue.pictures[handle].points.iter().enumerate();
        Pointed(points.filter_map(point).collect())
    }

    pub fn message(&mut self, message: &model::Message) -> Message {
        Message {
            signal: match message.level {
                Level::Note => Signal::Note,
                Level::Notice => Signal::Notice,
                Level::Caution => Signal::Caution,
                Level::Warning => Signal::Warning,
                Level::Danger => Signal::Danger,
            },
            hazard: self.inlines(&message.hazard),
            consequence: self.blocks(&message.consequence),
            avoid: self.blocks(&message.avoid),
            span: Some(message.span),
        }
    }

    /// A run of prose with its marks replaced.
    pub fn inlines(&self, inlines: &[model::Inline]) -> Vec<Inline> {
        let mut out = Vec::new();
        // True where a mark that prints nothing has just been left out.
        let mut gap = false;
        for inline in inlines {
            let printed = match inline {
                model::Inline::Text(text) => Some(Inline::Text {
                    text: self.text(text, &mut out, gap),
                }),
                model::Inline::Strong(text) => Some(Inline::Strong {
                    text: self.inlines(text),
                }),
                model::Inline::Emphasis(text) => Some(Inline::Emphasis {
                    text: self.inlines(text),
                }),
                model::Inline::Code(text) => Some(Inline::Code { text: text.clone() }),
                model::Inline::Link { text, url } => Some(Inline::Link {
                    text: self.inlines(text),
                    url: url.clone(),
                }),
                model::Inline::Break => Some(Inline::Break),
                model::Inline::Mark(act) => self.words(act, starts_sentence(&out)),
            };
            gap = printed.is_none();
            out.extend(printed.filter(|p| !matches!(p, Inline::Text { text } if text.is_empty())));
        }
        trim_end(&mut out);
        out
    }

    /// Text after what has been printed so far; where a mark was left out between them, one space of the two goes.
    fn text(&self, text: &str, out: &mut Vec<Inline>, gap: bool) -> String {
        let next = text.chars().next();
        if gap && next.is_some_and(|c| c.is_whitespace() || ".,;:!?)".contains(c)) {
            trim_end(out);
        }
        if out.is_empty() {
            text.trim_start().to_string()
        } else {
            text.to_string()
        }
    }

    /// What a mark prints in the sentence; `None` for those that print nothing there.
    fn words(&self, act: &Act, capital: bool) -> Option<Inline> {
        let catalogue = &self.set.catalogue;
        let name = match &act.kind {
            ActKind::Torque(h) | ActKind::Snug(h) | ActKind::Loosen(h) => &catalogue.torques[*h].name,
            ActKind::Measure(h, _) => &catalogue.limits[*h].name,
            ActKind::Fit(item, _) | ActKind::Remove(item, _) => self.item(*item),
            ActKind::Use(thing, ..) => self.thing(*thing),
            ActKind::Do(h) => &catalogue.actions[*h].name,
            ActKind::Mark(part) => &catalogue.parts[*part].name,
            ActKind::Step { procedure, number } => {
                let here = self
                    .set
                    .procedures
                    .of(*procedure)
                    .is_some_and(|p| std::ptr::eq(p, self.procedure));
                let step = self.step(*procedure, *number, here);
                let (text, says) = if here {
                    (step.clone(), step)
                } else {
                    let (card, title) = self.card(*procedure);
                    (say::of_card(step.clone(), card), say::of_card(step, title))
                };
                return Some(pointer(text, says, capital));
            }
            ActKind::See(procedure) => {
                let (text, says) = self.card(*procedure);
                return Some(pointer(text, says, capital));
            }
            ActKind::Need(..)
            | ActKind::Set(..)
            | ActKind::Start(_)
            | ActKind::End(_)
            | ActKind::Hold(_)
            | ActKind::Label(_)
            | ActKind::Time(_)
            | ActKind::Only
            | ActKind::Wait(_)
            | ActKind::Each
            | ActKind::If(_)
            | ActKind::Repeat(_)
            | ActKind::Stop => return None,
        };
        let name = match self.member(act) {
            Some(member) => format!("{name} ({member})"),
            None => name.to_string(),
        };
        Some(Inline::Name {
            text: capitalised(name, capital),
        })
    }

    /// The member that a mark names.
    fn member(&self, act: &Act) -> Option<String> {
        let entity = match &act.kind {
            ActKind::Torque(h) | ActKind::Snug(h) | ActKind::Loosen(h) => h.entity(),
            ActKind::Measure(h, _) => h.entity(),
            ActKind::Fit(Item::Part(h), _) | ActKind::Remove(Item::Part(h), _) => h.entity(),
            ActKind::Fit(Item::Temporary(h), _) | ActKind::Remove(Item::Temporary(h), _) => h.entity(),
            ActKind::Mark(h) | ActKind::Use(Thing::Part(h), ..) => h.entity(),
            ActKind::Use(Thing::Temporary(h), ..) => h.entity(),
            ActKind::Use(Thing::Tool(_) | Thing::Consumable(_), ..)
            | ActKind::Need(_)
            | ActKind::Set(..)
            | ActKind::Do(_)
            | ActKind::Start(_)
            | ActKind::End(_)
            | ActKind::Hold(_)
            | ActKind::Label(_)
            | ActKind::Step { .. }
            | ActKind::See(_)
            | ActKind::Time(_)
            | ActKind::Only
            | ActKind::Wait(_)
            | ActKind::Each
            | ActKind::If(_)
            | ActKind::Repeat(_)
            | ActKind::Stop => return None,
        };
        needed::member(self.set, entity, act.member)
    }

    /// A step by its number, and by the heading of its phase where that is another one: who leafs there looks for the heading.
    fn step(&self, procedure: ProcedureId, number: StepNumber, here: bool) -> Phrase {
        let step = say::step(number.to_string());
        let phases = self
            .set
            .procedures
            .of(procedure)
            .map_or(&[][..], |p| p.phases.as_slice());
        let of = |phase: &&model::Phase| phase.runs.iter().flat_map(|run| &run.steps).any(|s| s.number == number);
        let title = match phases.iter().find(of) {
            Some(phase) if !here || phase.number != self.phase => super::text::plain(&self.inlines(&phase.title)),
            _ => Phrase::default(),
        };
        match title.is_empty() {
            true => step,
            false => say::step_under(step, title),
        }
    }

    /// A card by its number and title, and by its title alone.
    fn card(&self, procedure: ProcedureId) -> (Phrase, Phrase) {
        let title = self.set.procedures.of(procedure).map_or("", |p| p.title.as_str());
        (say::card(procedure.number(), title), say::card_titled(title))
    }

    fn item(&self, item: Item) -> &str {
        match item {
            Item::Part(h) => &self.set.catalogue.parts[h].name,
            Item::Temporary(h) => &self.set.catalogue.temporary[h].name,
        }
    }

    fn thing(&self, thing: Thing) -> &str {
        match thing {
            Thing::Tool(h) => &self.set.catalogue.tools[h].name,
            Thing::Consumable(h) => &self.set.catalogue.consumables[h].name,
            Thing::Part(h) => self.item(Item::Part(h)),
            Thing::Temporary(h) => self.item(Item::Temporary(h)),
        }
    }
}

/// True if what comes next begins a sentence.
fn starts_sentence(out: &[Inline]) -> bool {
    match out.last() {
        None | Some(Inline::Break) => true,
        Some(Inline::Text { text }) => text.trim_end().ends_with(['.', '!', '?']) && text.ends_with(' '),
        Some(_) => false,
    }
}

fn pointer(text: Phrase, says: Phrase, capital: bool) -> Inline {
    Inline::Pointer {
        text: text.capitalised(capital),
        says: says.capitalised(capital),
    }
}

/// The text with a capital first letter, if asked.
fn capitalised(text: String, capital: bool) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) if capital && first.is_lowercase() => first.to_uppercase().chain(chars).collect(),
        _ => text,
    }
}

/// Takes white space off the end of a run of prose.
fn trim_end(out: &mut Vec<Inline>) {
    while let Some(last) = out.last_mut() {
        match last {
            Inline::Text { text } => {
                text.truncate(text.trim_end().len());
                if !text.is_empty() {
                    return;
                }
                out.pop();
            }
            Inline::Break => {
                out.pop();
            }
            Inline::Strong { .. }
            | Inline::Emphasis { .. }
            | Inline::Code { .. }
            | Inline::Link { .. }
            | Inline::Name { .. }
            | Inline::Said { .. }
            | Inline::Pointer { .. } => return,
        }
    }
}
