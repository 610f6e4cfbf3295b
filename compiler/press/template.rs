//! Templates: the embedded ones, and a user's files laid over them one by one.
//!
//! A file that ends in `.j2` is rendered by the environment of `escape`; `card.typ.j2` is the one that a card starts from. A file that ends
//! in `.typ` is a library file of the typesetter, imported by what the card template prints. Any other file (a logo) can be read by either.

use std::collections::BTreeMap;

use minijinja::{Environment, OutputSpan, Value};
use typst::foundations::Bytes;
use typst::syntax::Source;

use super::escape;
use super::fault::{Fault, Level};
use super::leaf::Leaf;
use super::{words, world};
use benchleaf_core::cards::card::Card;
use benchleaf_core::words::Language;

/// The template that a card starts from.
pub const CARD_TEMPLATE: &str = <Card as Leaf>::TEMPLATE;

/// What the program brings along, by path below the templates folder.
const EMBEDDED: &[(&str, &str)] = &[
    (CARD_TEMPLATE, include_str!("../../templates/card.typ.j2")),
    ("set-sheet.typ.j2", include_str!("../../templates/set-sheet.typ.j2")),
    ("close-out.typ.j2", include_str!("../../templates/close-out.typ.j2")),
    ("pocket.typ.j2", include_str!("../../templates/pocket.typ.j2")),
    ("form.typ.j2", include_str!("../../templates/form.typ.j2")),
    ("kit.typ.j2", include_str!("../../templates/kit.typ.j2")),
    ("reach.typ.j2", include_str!("../../templates/reach.typ.j2")),
    ("plan.typ.j2", include_str!("../../templates/plan.typ.j2")),
    ("record.typ.j2", include_str!("../../templates/record.typ.j2")),
    ("changes.typ.j2", include_str!("../../templates/changes.typ.j2")),
    ("manual.typ.j2", include_str!("../../templates/manual.typ.j2")),
    ("lib/back.typ", include_str!("../../templates/lib/back.typ")),
    ("lib/card.typ", include_str!("../../templates/lib/card.typ")),
    ("lib/facts.typ", include_str!("../../templates/lib/facts.typ")),
    ("lib/fill.typ", include_str!("../../templates/lib/fill.typ")),
    ("lib/laid.typ", include_str!("../../templates/lib/laid.typ")),
    ("lib/torque.typ", include_str!("../../templates/lib/torque.typ")),
    ("lib/boxes.typ", include_str!("../../templates/lib/boxes.typ")),
    ("lib/change.typ", include_str!("../../templates/lib/change.typ")),
    ("lib/changes.typ", include_str!("../../templates/lib/changes.typ")),
    ("lib/close-out.typ", include_str!("../../templates/lib/close-out.typ")),
    ("lib/code.typ", include_str!("../../templates/lib/code.typ")),
    ("lib/cover.typ", include_str!("../../templates/lib/cover.typ")),
    ("lib/ghs.typ", include_str!("../../templates/lib/ghs.typ")),
    ("lib/gantt.typ", include_str!("../../templates/lib/gantt.typ")),
    ("lib/item.typ", include_str!("../../templates/lib/item.typ")),
    ("lib/kit.typ", include_str!("../../templates/lib/kit.typ")),
    ("lib/reach.typ", include_str!("../../templates/lib/reach.typ")),
    ("lib/listing.typ", include_str!("../../templates/lib/listing.typ")),
    ("lib/manual.typ", include_str!("../../templates/lib/manual.typ")),
    ("lib/pattern.typ", include_str!("../../templates/lib/pattern.typ")),
    ("lib/plan.typ", include_str!("../../templates/lib/plan.typ")),
    ("lib/pocket.typ", include_str!("../../templates/lib/pocket.typ")),
    ("lib/form.typ", include_str!("../../templates/lib/form.typ")),
    ("lib/pointers.typ", include_str!("../../templates/lib/pointers.typ")),
    ("lib/prose.typ", include_str!("../../templates/lib/prose.typ")),
    ("lib/record.typ", include_str!("../../templates/lib/record.typ")),
    ("lib/safety.typ", include_str!("../../templates/lib/safety.typ")),
    ("lib/set-sheet.typ", include_str!("../../templates/lib/set-sheet.typ")),
    ("lib/sheet.typ", include_str!("../../templates/lib/sheet.typ")),
    ("lib/spec.typ", include_str!("../../templates/lib/spec.typ")),
    ("lib/standing.typ", include_str!("../../templates/lib/standing.typ")),
    ("lib/step.typ", include_str!("../../templates/lib/step.typ")),
    ("lib/theme.typ", include_str!("../../templates/lib/theme.typ")),
];

/// Templates ready for use: parsed once, shared by all cards and threads.
pub struct Templates {
    env: Environment<'static>,
    pub(super) library: BTreeMap<String, Source>,
    pub(super) extras: BTreeMap<String, Bytes>,
    english: Source,
    german: Source,
    /// The user's files as they came, by path.
    pub(super) own: BTreeMap<String, Vec<u8>>,
}

/// Templates and library files of a user's that replace none and that none of the others names: most likely their names are misspelt, and
/// what is printed would be without them.
fn unused(user: &BTreeMap<String, Vec<u8>>) -> Vec<Fault> {
    let names = |path: &str| {
        let file = path.rsplit('/').next().unwrap_or(path);
        let others = user.iter().filter(|(other, _)| other.as_str() != path);
        others
            .map(|(_, bytes)| String::from_utf8_lossy(bytes))
            .any(|text| text.contains(file))
    };
    let is_template = |path: &str| path.ends_with(".j2") || path.ends_with(".typ");
    let is_known = |path: &str| path == words::FILE || EMBEDDED.iter().any(|(known, _)| *known == path);
    (user.keys())
        .filter(|path| is_template(path) && !is_known(path) && !names(path))
        .map(|path| {
            Fault::error(
                path.as_str(),
                "no leaf starts from this template, and no other one names it",
            )
            .with_hint("templates/README.md has the names of those that are built in")
        })
        .collect()
}

/// Source that a template printed, with the way back.
pub struct Rendered {
    pub text: String,
    spans: Vec<OutputSpan>,
}

impl Rendered {
    /// Source that no template printed.
    pub fn bare(text: &str) -> Self {
        Rendered {
            text: text.to_string(),
            spans: Vec::new(),
        }
    }

    /// Template and line that printed the byte at `offset`.
    pub fn origin(&self, offset: usize) -> Option<(&str, usize)> {
        let index = self.spans.partition_point(|span| span.output_range().end <= offset);
        let span = self.spans.get(index).or(self.spans.last())?;
        let start = span.output_range().start;
        let before = self.text.get(start..offset.max(start)).unwrap_or_default();
        // Raw output keeps the template's line breaks; a value's literal never has one.
        Some((span.name(), span.line() + before.matches('\n').count()))
    }
}

impl Templates {
    /// The embedded templates with `user` files laid over them. Paths are relative to the user's templates folder, with `/`.
    pub fn new(user: &BTreeMap<String, Vec<u8>>) -> Result<Self, Vec<Fault>> {
        let mut files: BTreeMap<&str, &[u8]> = EMBEDDED.iter().map(|(path, text)| (*path, text.as_bytes())).collect();
        files.extend(user.iter().map(|(path, bytes)| (path.as_str(), bytes.as_slice())));

        let own = user.contains_key(words::FILE);
        let words = |language| -> Result<Source, Vec<Fault>> {
            let id = world::file_id(words::FILE)
                .ok_or_else(|| vec![Fault::error(words::FILE, "the words have no place")])?;
            Ok(Source::new(id, words::source(language, own)))
        };
        let mut templates = Templates {
            env: escape::environment(),
            library: BTreeMap::new(),
            extras: BTreeMap::new(),
            english: words(Language::English)?,
            german: words(Language::German)?,
            own: user.clone(),
        };
        let mut faults = unused(user);
        for (path, bytes) in files {
            if let Err(fault) = templates.add(path, bytes) {
                faults.push(fault);
            }
        }
        if faults.is_empty() { Ok(templates) } else { Err(faults) }
    }

    fn add(&mut self, path: &str, bytes: &[u8]) -> Result<(), Fault> {
        let text = || {
            let text = std::str::from_utf8(bytes).map_err(|_| Fault::error(path, "the template is not UTF-8 text"))?;
            // A byte order mark would print as a character.
            Ok(text.strip_prefix('\u{feff}').unwrap_or(text).to_string())
        };
        if path.ends_with(".j2") {
            self.env
                .add_template_owned(path.to_string(), text()?)
                .map_err(|error| template_fault(&error, path))
        } else {
            let path = if path == words::FILE { words::OWN } else { path };
            let id = world::file_id(path)
                .ok_or_else(|| Fault::error(path, "a template's path must be relative and use `/`"))?;
            if path.ends_with(".typ") {
                self.library.insert(path.to_string(), Source::new(id, text()?));
            } else if bytes.starts_with(b"\0asm") || bytes.windows(5).take(1024).any(|head| head == b"%PDF-") {
                return Err(Fault::error(path, "a template takes no PDF and no program along")
                    .with_hint("SVG, PNG, JPEG, GIF and WebP can be printed"));
            } else {
                self.extras.insert(path.to_string(), Bytes::new(bytes.to_vec()));
            }
            Ok(())
        }
    }

    /// The templates' own words in a language.
    pub(super) fn words(&self, language: Language) -> &Source {
        match language {
            Language::English => &self.english,
            Language::German => &self.german,
        }
    }

    /// Renders a template, by its path below the templates folder.
    pub fn render(&self, template: &str, context: Value) -> Result<Rendered, Vec<Fault>> {
        let rendered = self
            .env
            .get_template(template)
            .and_then(|template| template.render_with_spans(context));
        match rendered {
            Ok((text, spans)) => Ok(Rendered { text, spans }),
            Err(error) => Err(vec![template_fault(&error, template)]),
        }
    }
}

/// A template engine's error at the template's line.
fn template_fault(error: &minijinja::Error, path: &str) -> Fault {
    let mut message = error.kind().to_string();
    if let Some(detail) = error.detail() {
        message = format!("{message}: {detail}");
    }
    let file = error.name().unwrap_or(path).to_string();
    let line = error.line().unwrap_or(0);
    // The innermost cause: an error in an included template is wrapped by the including one.
    let mut cause = std::error::Error::source(error);
    while let Some(inner) = cause {
        if let Some(inner) = inner.downcast_ref::<minijinja::Error>() {
            return template_fault(inner, &file);
        }
        cause = inner.source();
    }
    let hint = match error.kind() {
        minijinja::ErrorKind::UndefinedError => "the fields that a card has are listed in templates/README.md",
        minijinja::ErrorKind::OutOfFuel => {
            "it takes more steps than any leaf needs: look for a loop over a large range"
        }
        minijinja::ErrorKind::UnknownFilter => "filters that step around escaping don't exist here",
        _ => "",
    };
    Fault {
        level: Level::Error,
        file,
        line,
        column: 0,
        message,
        hint: hint.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use minijinja::context;

    fn with(path: &str, text: &str) -> Result<Templates, Vec<Fault>> {
        Templates::new(&BTreeMap::from([(path.to_string(), text.as_bytes().to_vec())]))
    }

    #[test]
    fn embedded_templates_parse() {
        assert!(Templates::new(&BTreeMap::new()).is_ok());
    }

    #[test]
    fn syntax_error_has_its_line() {
        let faults = with(CARD_TEMPLATE, "one\ntwo {% if %}\n").err().unwrap();
        assert_eq!((faults[0].file.as_str(), faults[0].line), (CARD_TEMPLATE, 2));
    }

    #[test]
    fn unknown_field_has_its_line() {
        let templates = with(CARD_TEMPLATE, "a\n\n{{ card.tilte }}").unwrap();
        let faults = templates
            .render(CARD_TEMPLATE, context! { card => context! { title => "x" } })
            .err()
            .unwrap();
        assert_eq!(faults[0].line, 3);
        assert!(faults[0].hint.contains("README"));
    }

    #[test]
    fn an_included_template_is_blamed_for_its_own_line() {
        let user = BTreeMap::from([
            (CARD_TEMPLATE.to_string(), b"\n{% include 'part.typ.j2' %}".to_vec()),
            ("part.typ.j2".to_string(), b"\n\n{{ nothing }}".to_vec()),
        ]);
        let faults = Templates::new(&user)
            .unwrap()
            .render(CARD_TEMPLATE, context! {})
            .err()
            .unwrap();
        assert_eq!((faults[0].file.as_str(), faults[0].line), ("part.typ.j2", 3));
    }

    #[test]
    fn output_points_back_at_the_template() {
        let templates = with(
            CARD_TEMPLATE,
            "a\n{% for n in [1, 2] %}\n#f(\n  {{ n }}\n)\n{% endfor %}\nz",
        )
        .unwrap();
        let rendered = templates.render(CARD_TEMPLATE, context! {}).unwrap();
        let at = rendered.text.rfind('2').unwrap();
        assert_eq!(rendered.origin(at), Some((CARD_TEMPLATE, 4)));
        let at = rendered.text.rfind(')').unwrap();
        assert_eq!(rendered.origin(at), Some((CARD_TEMPLATE, 5)));
    }

    #[test]
    fn a_path_that_climbs_out_is_refused() {
        assert!(with("../../evil.typ", "").is_err());
    }
}
