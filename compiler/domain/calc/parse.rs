//! Text in; an expression with the place of every part out.

use super::error::{CalcError, CalcErrorKind, DEEPEST, MOST_TERMS};
use super::sizes::{Pick, Sizes, read_sizes};
use crate::quantity::{Figure, Measure};
use crate::thermal::Material;
use rust_decimal::Decimal;
use std::ops::Range;

/// A part of an expression and where it stands in its text, in bytes.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    pub at: Range<usize>,
    pub kind: NodeKind,
}

/// What a part is.
#[derive(Debug, Clone, PartialEq)]
pub enum NodeKind {
    /// The readings of a measurement, by its id.
    Name(String),
    /// A plain number.
    Number(Figure),
    Measure(Measure),
    Binary(Operator, Box<Node>, Box<Node>),
    Call(Function, Vec<Node>),
    /// A size chosen from a list.
    Choose(Pick, Box<Node>, Sizes),
    /// How warm a part must be: its size, how much it is to grow, and the temperature it starts from.
    Heat(Box<Node>, Box<Node>, Warmed, Box<Node>),
}

impl Node {
    /// Every name in it, with its place.
    pub fn names(&self) -> Vec<(&str, Range<usize>)> {
        match &self.kind {
            NodeKind::Name(name) => vec![(name, self.at.clone())],
            NodeKind::Number(_) | NodeKind::Measure(_) => Vec::new(),
            NodeKind::Binary(_, left, right) => [left, right].iter().flat_map(|n| n.names()).collect(),
            NodeKind::Call(_, values) => values.iter().flat_map(Node::names).collect(),
            NodeKind::Choose(_, of, _) => of.names(),
            NodeKind::Heat(size, growth, _, start) => [size, growth, start].iter().flat_map(|n| n.names()).collect(),
        }
    }
}

/// The material of a part that is warmed. Two are equal when they are the same row of the table.
#[derive(Debug, Clone, Copy)]
pub struct Warmed(pub Material);

impl PartialEq for Warmed {
    fn eq(&self, other: &Warmed) -> bool {
        self.0.name() == other.0.name()
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Operator {
    Plus,
    Minus,
    Times,
    Over,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Function {
    Min,
    Max,
    Mean,
    Abs,
    /// Largest less smallest.
    Spread,
    /// The largest difference between two directions at one height: rows are heights, columns directions.
    OutOfRound,
    /// The largest difference between two heights in one direction.
    Taper,
    /// Hole less shaft: the tightest and the loosest that their readings give.
    Clearance,
    /// Fitted + measured − wanted.
    Shim,
    /// Bore × share.
    EndGap,
}

/// Every function, by the word that calls it.
pub(super) const FUNCTIONS: [(&str, Function); 10] = [
    ("min", Function::Min),
    ("max", Function::Max),
    ("mean", Function::Mean),
    ("abs", Function::Abs),
    ("spread", Function::Spread),
    ("out-of-round", Function::OutOfRound),
    ("taper", Function::Taper),
    ("clearance", Function::Clearance),
    ("shim", Function::Shim),
    ("end-gap", Function::EndGap),
];

impl Function {
    pub fn word(self) -> &'static str {
        FUNCTIONS.iter().find(|(_, f)| *f == self).map_or("", |(word, _)| word)
    }

    /// The fewest and the most values it takes, and that in words.
    fn takes(self) -> (usize, usize, &'static str) {
        match self {
            Function::Min | Function::Max | Function::Mean | Function::Spread => (1, 16, "one value or several"),
            Function::Abs | Function::OutOfRound | Function::Taper => (1, 1, "one value"),
            Function::Clearance => (2, 2, "a hole and a shaft"),
            Function::Shim => (3, 3, "the fitted shim, the measured clearance and the wanted one"),
            Function::EndGap => (2, 2, "a bore and the share of it that the gap is"),
        }
    }
}

/// Reads an expression.
///
/// # Errors
/// At the first thing that can't be read.
pub fn parse(text: &str) -> Result<Node, CalcError> {
    let mut reader = Reader {
        text,
        at: 0,
        depth: 0,
        terms: 0,
    };
    let node = reader.sum()?;
    match reader.rest().chars().next() {
        None => Ok(node),
        Some(_) => Err(reader.unexpected()),
    }
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
    depth: usize,
    /// Values read so far.
    terms: usize,
}

/// An operator as written: the minus sign and the multiplication sign of print are taken too.
const SIGNS: [(char, Operator); 6] = [
    ('+', Operator::Plus),
    ('-', Operator::Minus),
    ('−', Operator::Minus),
    ('*', Operator::Times),
    ('×', Operator::Times),
    ('/', Operator::Over),
];

fn sign(c: char) -> Option<Operator> {
    SIGNS.iter().find(|(s, _)| *s == c).map(|(_, operator)| *operator)
}

impl<'a> Reader<'a> {
    /// What is left.
    fn left(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or_default()
    }

    /// What is left, from its first visible character.
    fn rest(&mut self) -> &'a str {
        let rest = self.left().trim_start();
        self.at = self.text.len() - rest.len();
        rest
    }

    fn written(&self, at: Range<usize>) -> &'a str {
        self.text.get(at).unwrap_or_default()
    }

    fn unexpected(&mut self) -> CalcError {
        let found: String = self.rest().chars().take(16).collect();
        let end = self.at + found.len();
        CalcError::new(self.at..end, CalcErrorKind::Unexpected(found.trim_end().to_string()))
    }

    fn eat(&mut self, sign: char) -> bool {
        let found = self.rest().starts_with(sign);
        if found {
            self.at += sign.len_utf8();
        }
        found
    }

    /// An operator of a rank, if the next thing is one: a space stands on both sides.
    fn operator(&mut self, wanted: &[Operator]) -> Option<Operator> {
        let (before, left) = self.text.split_at_checked(self.at)?;
        let spaced = before.ends_with([' ', ')', '\t']) || left.starts_with([' ', '\t']);
        let mut rest = self.rest().chars();
        let first = rest.next()?;
        let found = sign(first).filter(|o| wanted.contains(o))?;
        let after = rest.as_str().starts_with([' ', '\t']);
        (spaced && after).then(|| {
            self.at += first.len_utf8();
            found
        })
    }

    fn sum(&mut self) -> Result<Node, CalcError> {
        self.chain(&[Operator::Plus, Operator::Minus], Self::product)
    }

    fn product(&mut self) -> Result<Node, CalcError> {
        self.chain(&[Operator::Times, Operator::Over], Self::value)
    }

    fn chain(
        &mut self,
        operators: &[Operator],
        inner: fn(&mut Self) -> Result<Node, CalcError>,
    ) -> Result<Node, CalcError> {
        let mut left = inner(self)?;
        while let Some(operator) = self.operator(operators) {
            let right = inner(self)?;
            left = Node {
                at: left.at.start..right.at.end,
                kind: NodeKind::Binary(operator, Box::new(left), Box::new(right)),
            };
        }
        Ok(left)
    }

    fn value(&mut self) -> Result<Node, CalcError> {
        self.terms += 1;
        if self.terms > MOST_TERMS {
            let at = self.at.min(self.text.len());
            return Err(CalcError::new(at..self.text.len(), CalcErrorKind::TooLong));
        }
        if self.rest().starts_with('(') {
            let start = self.at;
            return self.bracket(start, |reader| {
                let node = reader.sum()?;
                Ok(node)
            });
        }
        let run = self.run();
        let words = self.written(run.clone()).to_string();
        if words.is_empty() {
            return Err(match self.rest().is_empty() {
                true => CalcError::new(run, CalcErrorKind::NoValue),
                false => self.unexpected(),
            });
        }
        self.at = run.end;
        if self.left().starts_with('(') {
            return self.call(run, &words);
        }
        if is_figure(&words) {
            return literal(run, &words);
        }
        let id = words
            .chars()
            .all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.'));
        if !id {
            return Err(CalcError::new(run, CalcErrorKind::NotAName(words)));
        }
        Ok(Node {
            at: run,
            kind: NodeKind::Name(words),
        })
    }

    /// The stretch up to the next bracket, comma or operator, without the space around it.
    fn run(&mut self) -> Range<usize> {
        let rest = self.rest();
        let mut before = ' ';
        let mut end = self.text.len();
        let mut letters = rest.char_indices().peekable();
        while let Some((index, c)) = letters.next() {
            let after = letters.peek().map_or(' ', |(_, c)| *c);
            let operator = sign(c).is_some() && before == ' ' && after == ' ' && index > 0;
            if matches!(c, '(' | ')' | ',') || operator {
                end = self.at + index;
                break;
            }
            before = if c.is_whitespace() { ' ' } else { c };
        }
        self.at..self.at + self.written(self.at..end).trim_end().len()
    }

    /// What stands in brackets; the opening one is next.
    fn bracket<T>(
        &mut self,
        start: usize,
        inner: impl FnOnce(&mut Self) -> Result<T, CalcError>,
    ) -> Result<T, CalcError> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(CalcError::new(self.at..self.at + 1, CalcErrorKind::TooDeep));
        }
        self.eat('(');
        let found = inner(self)?;
        if !self.eat(')') {
            return Err(match self.rest().is_empty() {
                true => CalcError::new(start..self.at, CalcErrorKind::Unclosed),
                false => self.unexpected(),
            });
        }
        self.depth -= 1;
        Ok(found)
    }

    fn call(&mut self, name: Range<usize>, word: &str) -> Result<Node, CalcError> {
        let start = name.start;
        let pick = Pick::from_word(word);
        let kind = if let Some(pick) = pick {
            self.bracket(start, |reader| {
                let of = reader.sum()?;
                let sizes = reader.words_until_close();
                let sizes = read_sizes(sizes.clone(), reader.written(sizes))?;
                Ok(NodeKind::Choose(pick, Box::new(of), sizes))
            })?
        } else if word == "heat" {
            self.heat(start)?
        } else {
            let known = FUNCTIONS.iter().find(|(w, _)| *w == word);
            let Some((word, function)) = known else {
                return Err(CalcError::new(name, CalcErrorKind::UnknownFunction(word.to_string())));
            };
            let values = self.bracket(start, |reader| {
                let mut values = vec![reader.sum()?];
                while reader.eat(',') {
                    values.push(reader.sum()?);
                }
                Ok(values)
            })?;
            let (fewest, most, takes) = function.takes();
            if !(fewest..=most).contains(&values.len()) {
                return Err(CalcError::new(start..self.at, CalcErrorKind::Arguments(word, takes)));
            }
            NodeKind::Call(*function, values)
        };
        Ok(Node {
            at: start..self.at,
            kind,
        })
    }

    fn heat(&mut self, start: usize) -> Result<NodeKind, CalcError> {
        const TAKES: &str = "a size, the growth wanted, a material and the temperature to start from";
        let missing = |at: usize| CalcError::new(start..at, CalcErrorKind::Arguments("heat", TAKES));
        self.bracket(start, |reader| {
            let size = reader.sum()?;
            if !reader.eat(',') {
                return Err(missing(reader.at));
            }
            let growth = reader.sum()?;
            if !reader.eat(',') {
                return Err(missing(reader.at));
            }
            let run = reader.run();
            let material = Material::parse(reader.written(run.clone()))
                .map_err(|error| CalcError::new(run.clone(), CalcErrorKind::Value(error)))?;
            reader.at = run.end;
            if !reader.eat(',') {
                return Err(missing(reader.at));
            }
            let from = reader.sum()?;
            Ok(NodeKind::Heat(
                Box::new(size),
                Box::new(growth),
                Warmed(material),
                Box::new(from),
            ))
        })
    }

    /// Everything up to the bracket that closes, without the comma before it; the bracket is next.
    fn words_until_close(&mut self) -> Range<usize> {
        self.eat(',');
        let inside = self.rest().split(')').next().unwrap_or_default();
        let found = self.at..self.at + inside.trim_end().len();
        self.at += inside.len();
        found
    }
}

/// True if words start as a figure does.
fn is_figure(words: &str) -> bool {
    let digits = words.trim_start_matches(['-', '−', '+', '.']);
    digits.starts_with(|c: char| c.is_ascii_digit())
}

fn literal(at: Range<usize>, words: &str) -> Result<Node, CalcError> {
    let kind = match Decimal::from_str_exact(&words.replace('−', "-")) {
        Ok(value) => NodeKind::Number(Figure::computed(value)),
        Err(_) => NodeKind::Measure(Measure::parse(words).map_err(|mut error| {
            let shift = |byte: usize| (at.start + byte).min(at.end);
            error.at = shift(error.at.start)..shift(error.at.end);
            CalcError::new(error.at.clone(), CalcErrorKind::Value(error))
        })?),
    };
    Ok(Node { at, kind })
}
