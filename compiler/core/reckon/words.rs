//! What has words for an answer: pictograms, signal words, signs, displays; and scales that are no units.

use super::Topic;
use super::given::{Given, Input, Span, Wanted};
use super::show::{Shown, span};
use crate::answers::{Answer, line};
use crate::domain::hazard::{self, SignalWord};
use crate::domain::quantity::Dimension;

pub const TOPICS: &[Topic] = &[
    Topic {
        name: "pictogram",
        about: "the GHS pictogram of a hazard class",
        inputs: &[Input::needed(
            "class",
            "hazard class, such as `acute toxicity category 3`",
            Wanted::Words,
        )],
        work: pictogram,
    },
    Topic {
        name: "signal-word",
        about: "what a signal word means, and the one for a message about several hazards",
        inputs: &[Input::needed(
            "words",
            "one or several, such as `caution, danger`",
            Wanted::Words,
        )],
        work: signal_word,
    },
    Topic {
        name: "sign",
        about: "what a sign of ISO 7010 means",
        inputs: &[Input::needed("code", "its code, such as `W024`", Wanted::Words)],
        work: sign,
    },
    Topic {
        name: "display",
        about: "what a meter means by what it shows in place of a figure",
        inputs: &[
            Input::needed("shows", "what it shows, such as `OL`", Wanted::Words),
            Input::known("range", "where its range ends, such as `20 GΩ`", Wanted::Words),
        ],
        work: display,
    },
    Topic {
        name: "saybolt",
        about: "Saybolt seconds of an oil at 100 °F",
        inputs: &[Input::needed(
            "viscosity",
            "kinematic viscosity at 100 °F",
            Wanted::Figure(Dimension::KinematicViscosity),
        )],
        work: saybolt,
    },
];

fn pictogram(given: &Given) -> Result<Answer, String> {
    let class = given.words("class").unwrap_or_default();
    let found = hazard::pictogram_of_class(class).map_err(|error| format!("{}; {}", error.message(), error.help()))?;
    Ok(Answer {
        lines: vec![
            line(
                "pictogram",
                format!("{}, {}: {}", found.code(), found.symbol(), found.stands_for()),
            ),
            line("source", found.source()),
        ],
        refused: false,
    })
}

fn signal_word(given: &Given) -> Result<Answer, String> {
    let asked = given.words("words").unwrap_or_default();
    let mut words = Vec::new();
    for text in asked
        .split([',', ';', '/'])
        .map(str::trim)
        .filter(|text| !text.is_empty())
    {
        words.push(SignalWord::from_word(text).ok_or_else(|| {
            let known = SignalWord::ALL.map(SignalWord::word).join(", ");
            format!("`{text}` is no signal word; they are {known}")
        })?);
    }
    let word = SignalWord::gravest(words.iter().copied()).ok_or("give a word, such as `words=warning`")?;
    let mut lines = vec![line("word", word.word())];
    if words.len() > 1 {
        lines.push(line(
            "",
            "the gravest of them: a message about several hazards takes that one",
        ));
    }
    let about = if word.is_for_injury() {
        "for injury to persons"
    } else {
        "for damage, never for injury"
    };
    lines.push(line("means", format!("{}; {about}", word.meaning())));
    let panel = word.panel();
    let symbol = if panel.alert_symbol { "with" } else { "without" };
    lines.push(line(
        "panel",
        format!(
            "{} letters on safety {}, {symbol} the safety alert symbol",
            panel.letters, panel.ground
        ),
    ));
    lines.push(line("source", word.source()));
    let ground = format!("safety {}", panel.ground);
    for colour in hazard::safety_colours().iter().filter(|colour| colour.colour == ground) {
        lines.push(line(
            "colour",
            format!("{} is Munsell {}", colour.colour, colour.munsell),
        ));
        lines.push(line("source", &colour.source));
    }
    Ok(Answer { lines, refused: false })
}

fn sign(given: &Given) -> Result<Answer, String> {
    let code = given.words("code").unwrap_or_default().trim().to_ascii_uppercase();
    let found = hazard::sign(&code).ok_or_else(|| format!("the tables hold no sign `{code}` of ISO 7010"))?;
    let mut lines = vec![line("sign", format!("{code}: {}", found.meaning))];
    lines.extend(found.kind().map(|kind| line("looks", &kind.look)));
    lines.push(line("source", &found.source));
    Ok(Answer { lines, refused: false })
}

fn display(given: &Given) -> Result<Answer, String> {
    let shown = given.words("shows").unwrap_or_default();
    let letters: String = shown.chars().filter(|letter| letter.is_alphabetic()).collect();
    let range = given.words("range");
    let (side, more) = match letters.to_ascii_uppercase().as_str() {
        "OL" | "OVLD" | "OF" | "OFL" | "OR" => ("above", "more"),
        "UR" | "UF" | "UFL" => ("below", "less"),
        _ => return Err(format!("`{shown}` isn't known: look in the meter's own manual")),
    };
    let mut lines = vec![line("means", format!("{side} the range: no figure"))];
    if let Some(range) = range {
        lines.push(line("so", format!("{more} than {range}")));
    }
    lines.push(line(
        "",
        "write it down as it stands, with the range: it is a reading, never a figure",
    ));
    Ok(Answer { lines, refused: false })
}

fn saybolt(given: &Given) -> Result<Answer, String> {
    given.positive(&["viscosity"])?;
    let viscosity = given.span("viscosity")?;
    if viscosity.low < 75e-6 {
        return Err("below 75 cSt the scale is no straight line: take the table of ASTM D2161".to_string());
    }
    let seconds = Span::of([viscosity], |[viscosity]| viscosity * 1e6 * 4.632);
    Ok(Answer {
        lines: vec![
            line(
                "saybolt",
                format!("{} at 100 °F, 4.632 a cSt", span(seconds, Shown("SUS", 1.0), 4)),
            ),
            line("source", "ASTM D2161, 5.2; at 210 °F it is 4.664"),
        ],
        refused: false,
    })
}
