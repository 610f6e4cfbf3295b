//! `reissue`: the cards that are others than they were at a revision, listed or printed.

use crate::compile;
use crate::edge::args::Reissue;
use crate::edge::choices::choices;
use crate::edge::history::Since;
use crate::edge::{Outcome, Trouble, files, terminal};
use crate::readers::fingerprint::of_cards;

pub fn run(args: &Reissue) -> Result<Outcome, Trouble> {
    let wanted = args.wanted();
    let Some(revision) = &wanted.since else {
        return Err(Trouble::new(
            "name the revision that the cards on the wall are of: `--since REV`",
        ));
    };
    let since = Since::read(&wanted.path, revision)?;
    #[cfg(feature = "typeset")]
    if !args.list {
        return super::build::reissue(&args.build, &since);
    }
    let input = files::read(&wanted.path)?;
    let compilation = compile(&input.files);
    let choices = choices(&compilation.model, &wanted.options)?;
    let mut count = 0;
    for (set, card) in since.gone() {
        terminal::say(&format!(
            "{}  {set} / {}: take it down, there is no such card any more",
            card.old_code, card.title
        ));
    }
    for ((set, facts), choices) in compilation.model.sets.iter().zip(&compilation.facts).zip(&choices) {
        let codes = of_cards(&input.files, set, facts, choices);
        for ((position, procedure), code) in set.procedures.iter().enumerate().zip(codes) {
            let path = &input.files.get(procedure.file).path;
            if input.wants(path) && since.must_reissue(set, position, code, choices) {
                count += 1;
                terminal::say(&format!("{code}  {} / {:02} {}", set.id, position + 1, procedure.title));
            }
        }
    }
    since
        .remarks()
        .iter()
        .for_each(|remark| terminal::remark(&format!("note: {remark}")));
    if count == 0 {
        terminal::say("no card must be printed again");
    }
    Ok(Outcome::Clean)
}
