//! Bench arithmetic by topic: what is known is given by name, what follows is answered line by line with its formula. A value may be a
//! range, and then so is the answer: every formula is worked out at the ends of all ranges. What friction, temperature or a table's
//! scatter leaves open is called an estimate.

mod asked;
mod bearings;
mod belts;
mod bolts;
mod clamp;
mod drives;
mod given;
mod measuring;
mod pressing;
mod seals;
mod show;
mod span;
mod tables;
mod torques;
mod words;
mod wrenches;

use crate::answers::Answer;
use crate::finding::did_you_mean;
use given::{Given, Input};

/// Something that can be reckoned.
struct Topic {
    name: &'static str,
    about: &'static str,
    inputs: &'static [Input],
    work: fn(&Given) -> Result<Answer, String>,
}

const TOPICS: [&[Topic]; 11] = [
    bolts::TOPICS,
    clamp::TOPICS,
    torques::TOPICS,
    seals::TOPICS,
    bearings::TOPICS,
    belts::TOPICS,
    measuring::TOPICS,
    drives::TOPICS,
    pressing::TOPICS,
    wrenches::TOPICS,
    words::TOPICS,
];

fn all() -> impl Iterator<Item = &'static Topic> {
    TOPICS.into_iter().flatten()
}

/// The topics, one a line.
pub fn topics() -> Answer {
    Answer {
        lines: all()
            .map(|topic| format!("{:<20}{}", topic.name, topic.about))
            .collect(),
        refused: false,
    }
}

/// Answers a topic from `name=value` texts; without any, tells what it takes.
///
/// # Errors
/// One or two sentences: a topic or name nobody knows, a value that can't be read, something needed that isn't given, or something that
/// can't be answered.
pub fn reckon(topic: &str, given: &[String]) -> Result<Answer, String> {
    let wanted = topic.trim().to_ascii_lowercase().replace([' ', '_'], "-");
    let Some(topic) = all().find(|known| known.name == wanted) else {
        let near = did_you_mean(&wanted, all().map(|known| known.name));
        let help = near.map_or_else(
            || "`benchleaf reckon` lists the topics".to_string(),
            |near| format!("did you mean `{near}`?"),
        );
        return Err(format!("there is no topic `{topic}`; {help}"));
    };
    if given.is_empty() {
        return Ok(takes(topic));
    }
    let given = Given::read(topic.inputs, given)?;
    (topic.work)(&given)
}

fn takes(topic: &Topic) -> Answer {
    let mut lines = vec![topic.about.to_string()];
    lines.extend(topic.inputs.iter().map(|input| {
        let name = match input.needed {
            true => format!("{}=…", input.name),
            false => format!("[{}=…]", input.name),
        };
        format!("  {name:<20} {}", input.what)
    }));
    Answer { lines, refused: false }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn topics_have_names_of_their_own_and_say_what_they_take() {
        let mut names: Vec<&str> = all().map(|topic| topic.name).collect();
        let count = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), count);
        for topic in all() {
            assert!(
                topic.inputs.len() <= 10,
                "{}: so many ranges take long to work out",
                topic.name
            );
            assert!(reckon(topic.name, &[]).is_ok_and(|answer| answer.lines.len() > topic.inputs.len()));
            assert!(reckon(topic.name, &["nonsense=1 mm".to_string()]).is_err());
            // Nothing is answered from less than what is needed.
            let needed: Vec<&Input> = topic.inputs.iter().filter(|input| input.needed).collect();
            for left_out in &needed {
                let given = |input: &&&Input| input.name != left_out.name;
                let others: Vec<String> = needed
                    .iter()
                    .filter(given)
                    .map(|input| format!("{}=1 mm", input.name))
                    .collect();
                assert!(
                    others.is_empty() || reckon(topic.name, &others).is_err(),
                    "{}",
                    topic.name
                );
            }
        }
        assert!(reckon("strech", &[]).unwrap_err().contains("did you mean `stretch`?"));
    }
}
