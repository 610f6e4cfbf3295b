//! An expression as a line of text, with what stands for each name put in: `largest of (65.012, 65.009 mm) − 64.941 mm`.

use super::{Phrase, joined, phrase, say};
use crate::domain::calc::{Function, Node, NodeKind, Operator, Pick};

/// The expression with its names written as `name` gives them. A person with a calculator gets from the line what
/// [`work_out`](crate::domain::calc::work_out) gives.
pub fn words(node: &Node, name: &dyn Fn(&str) -> Phrase) -> Phrase {
    let line = part(node, name);
    match &node.kind {
        NodeKind::Heat(..) => say::calc_rounded_up(line),
        _ => line,
    }
}

fn part(node: &Node, name: &dyn Fn(&str) -> Phrase) -> Phrase {
    match &node.kind {
        NodeKind::Name(id) => name(id),
        NodeKind::Number(figure) => figure.to_string().into(),
        NodeKind::Measure(measure) => measure.to_string().into(),
        NodeKind::Binary(operator, left, right) => {
            let sign = match operator {
                Operator::Plus => " + ",
                Operator::Minus => " − ",
                Operator::Times => " × ",
                Operator::Over => " ÷ ",
            };
            let inner = |side: &Node, right: bool| {
                let line = part(side, name);
                if let NodeKind::Binary(inner, ..) = &side.kind
                    && binds_less(*inner, *operator, right)
                {
                    return phrase!("(", line, ")");
                }
                line
            };
            phrase!(inner(left, false), sign, inner(right, true))
        }
        NodeKind::Call(function, values) => call(*function, &values.iter().map(|v| part(v, name)).collect::<Vec<_>>()),
        NodeKind::Choose(pick, of, sizes) => {
            let of = part(of, name);
            match pick {
                Pick::Nearest => say::calc_nearest(of, sizes.text()),
                Pick::NextBelow => say::calc_next_below(of, sizes.text()),
                Pick::NextAbove => say::calc_next_above(of, sizes.text()),
            }
        }
        NodeKind::Heat(size, growth, material, start) => phrase!(
            part(start, name),
            " + (",
            part(growth, name),
            ") ÷ (",
            part(size, name),
            " × ",
            Phrase::figure(micro(material.0.expansion().value)),
            " × 10⁻⁶/K), ",
            material.0.name()
        ),
    }
}

/// A coefficient in millionths.
fn micro(coefficient: f64) -> String {
    let text = format!("{:.2}", coefficient * 1e6);
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// True if an operand needs brackets: `a − (b + c)`, `(a + b) × c`, `a ÷ (b × c)`.
fn binds_less(inner: Operator, outer: Operator, right: bool) -> bool {
    let sum = |o: Operator| matches!(o, Operator::Plus | Operator::Minus);
    match (sum(inner), sum(outer)) {
        (true, false) => true,
        (true, true) => right && outer == Operator::Minus,
        (false, false) => right && outer == Operator::Over,
        (false, true) => false,
    }
}

fn call(function: Function, values: &[Phrase]) -> Phrase {
    let list = joined(values, ", ");
    let nth = |n: usize| values.get(n).cloned().unwrap_or_default();
    match function {
        Function::Min => say::calc_smallest(list),
        Function::Max => say::calc_largest(list),
        Function::Mean => say::calc_mean(list),
        Function::Abs => say::calc_without_sign(list),
        Function::Spread => say::calc_spread(list),
        Function::OutOfRound => say::calc_out_of_round(list),
        Function::Taper => say::calc_taper(list),
        Function::Clearance => say::calc_clearance(nth(0), nth(1)),
        Function::Shim => phrase!(nth(0), " + ", nth(1), " − ", nth(2)),
        Function::EndGap => phrase!(nth(0), " × ", nth(1)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::calc::parse;
    use crate::words::Language;

    #[test]
    fn words_keep_the_order_of_work() {
        let line = |text: &str| words(&parse(text).unwrap(), &|name| Phrase::from(name));
        assert_eq!(line("a - (b + c) * 2").english(), "a − (b + c) × 2");
        assert_eq!(line("a - (b - c)").english(), "a − (b − c)");
        assert_eq!(line("a / (b * c)").english(), "a ÷ (b × c)");
        assert_eq!(line("max(a) - b").english(), "largest of (a) − b");
        assert_eq!(
            line("max(a) - b").in_language(Language::German),
            "größter Wert von (a) − b"
        );
    }
}
