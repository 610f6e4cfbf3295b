//! An expression as a line of text, with what stands for each name put in: `largest of (65.012, 65.009 mm) − 64.941 mm`.

use super::parse::{Function, Node, NodeKind, Operator};

/// The expression with its names written as `name` gives them. A person with a calculator gets from the line what [`work_out`]
/// gives.
///
/// [`work_out`]: super::work_out
pub fn words(node: &Node, name: &dyn Fn(&str) -> String) -> String {
    let line = part(node, name);
    match &node.kind {
        NodeKind::Heat(..) => format!("{line}, rounded up"),
        _ => line,
    }
}

fn part(node: &Node, name: &dyn Fn(&str) -> String) -> String {
    match &node.kind {
        NodeKind::Name(id) => name(id),
        NodeKind::Number(figure) => figure.to_string(),
        NodeKind::Measure(measure) => measure.to_string(),
        NodeKind::Binary(operator, left, right) => {
            let sign = match operator {
                Operator::Plus => "+",
                Operator::Minus => "−",
                Operator::Times => "×",
                Operator::Over => "÷",
            };
            let inner = |side: &Node, right: bool| match &side.kind {
                NodeKind::Binary(inner, ..) if binds_less(*inner, *operator, right) => {
                    format!("({})", part(side, name))
                }
                _ => part(side, name),
            };
            format!("{} {sign} {}", inner(left, false), inner(right, true))
        }
        NodeKind::Call(function, values) => call(*function, &values.iter().map(|v| part(v, name)).collect::<Vec<_>>()),
        NodeKind::Choose(pick, of, sizes) => {
            let how = match pick {
                super::Pick::Nearest => "nearest size to",
                super::Pick::NextBelow => "next size at or below",
                super::Pick::NextAbove => "next size at or above",
            };
            format!("{how} ({}) in {}", part(of, name), sizes.text())
        }
        NodeKind::Heat(size, growth, material, start) => format!(
            "{} + ({}) ÷ ({} × {} × 10⁻⁶/K), {}",
            part(start, name),
            part(growth, name),
            part(size, name),
            micro(material.0.expansion().value),
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

fn call(function: Function, values: &[String]) -> String {
    let list = values.join(", ");
    let pair = |n: usize| values.get(n).map_or("", String::as_str);
    match function {
        Function::Min => format!("smallest of ({list})"),
        Function::Max => format!("largest of ({list})"),
        Function::Mean => format!("mean of ({list})"),
        Function::Abs => format!("({list}) without its sign"),
        Function::Spread => format!("largest less smallest of ({list})"),
        Function::OutOfRound => format!("largest difference across at one height of ({list})"),
        Function::Taper => format!("largest difference along in one direction of ({list})"),
        Function::Clearance => format!("({}) − ({}), tightest and loosest", pair(0), pair(1)),
        Function::Shim => format!("{} + {} − {}", pair(0), pair(1), pair(2)),
        Function::EndGap => format!("{} × {}", pair(0), pair(1)),
    }
}
