//! The events of a body, taken no further than its budgets allow.

use crate::budgets::{self, Budget};
use pulldown_cmark::{Event, Parser, Tag, TagEnd};
use std::ops::Range;

/// How long the first line of a text is, without the space at its end.
pub fn first_line(text: &str) -> usize {
    text.lines().next().map_or(0, |line| line.trim_end().len())
}

/// What the parser makes of a text of some length, each with its place.
pub type Events<'a> = Vec<(Event<'a>, Range<usize>)>;

/// The events of a text; else what goes past a budget, how many there are by then, and where. Looked for before anything else is done with
/// them: what follows walks into what lies within what.
pub fn within(parser: Parser, length: usize) -> Result<Events, (&'static Budget, usize, Range<usize>)> {
    let mut events = Vec::with_capacity(length / BYTES_AN_EVENT);
    let (mut depth, mut items) = (0, 0);
    for (event, range) in parser.into_offset_iter() {
        match &event {
            Event::Start(tag) => {
                depth += usize::from(nests(tag));
                items += usize::from(matches!(tag, Tag::Item));
            }
            Event::End(tag) => depth -= usize::from(nests_end(*tag)).min(depth),
            _ => {}
        }
        for (budget, count) in [(&budgets::NESTING, depth), (&budgets::ITEMS, items)] {
            if budget.is_over(count) {
                return Err((budget, count, range));
            }
        }
        events.push((event, range));
    }
    Ok(events)
}

/// Few texts have more events than one to so many bytes: no more than a guess at how much room they take.
const BYTES_AN_EVENT: usize = 12;

/// What lies within itself. A list and its item are one.
fn nests(tag: &Tag) -> bool {
    nests_end(tag.to_end())
}

fn nests_end(tag: TagEnd) -> bool {
    matches!(
        tag,
        TagEnd::BlockQuote(_) | TagEnd::Item | TagEnd::Emphasis | TagEnd::Strong | TagEnd::Link | TagEnd::Image
    )
}
