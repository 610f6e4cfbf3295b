//! `reissue`: the cards that are others than they were at a revision, listed or printed.

use crate::Compilation;
use crate::cards::Deck;
use crate::edge::args::Reissue;
use crate::edge::choices::choices;
use crate::edge::compiled::compiled;
use crate::edge::disk::Disk;
use crate::edge::files::Input;
use crate::edge::jobs::Wants;
use crate::edge::since::Since;
use crate::edge::{Outcome, Trouble, files, terminal};
use crate::fingerprint::{Code, code};
use crate::model::assigned;

pub fn run(args: &Reissue, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let wanted = args.wanted();
    let Some(revision) = &wanted.since else {
        return Err(Trouble::new(
            "name the revision that the cards on the wall are of: `--since REV`",
        ));
    };
    let reading = files::reading(disk, &wanted.path)?;
    let since = Since::read(&wanted.path, &reading, revision)?;
    let input = reading.input();
    let compilation = compiled(&input.files);
    if !args.list {
        if wanted.options.is_empty() {
            others(&since, &input, &compilation).iter().for_each(|(line, options)| {
                terminal::remark(&format!("{line}; print it with `{options}`"));
            });
        }
        return super::build::reissue(&args.build, disk, reading);
    }
    let choices = choices(&compilation.model, &wanted.options)?;
    let what = Wants::of(&args.build);
    let mut count = 0;
    for (code, name) in since.gone() {
        terminal::say(&format!("{code}  {name}: take it down, there is no such card any more"));
    }
    for ((set, facts), choices) in compilation.model.sets.iter().zip(&compilation.facts).zip(&choices) {
        if compilation.blocks(&input.files, set) {
            terminal::remark(&format!("{}: nothing is printed from a set with errors", set.title));
            continue;
        }
        let deck = Deck::new(&input.files, set, facts, choices);
        let wants = |file| input.wants(&input.files.get(file).path);
        let mut procedures = deck.procedures();
        procedures.retain(|id| wants(set.procedures[*id].file));
        let mut tell = |code: Code, what: String| {
            if since.must_reissue(code) {
                count += 1;
                terminal::say(&format!("{code}  {} / {what}", set.id));
            }
        };
        match what {
            Wants::Cards => {}
            _ if procedures.is_empty() => continue,
            Wants::Pocket => {
                tell(code(&deck.pocket(&procedures)), "pocket card".to_string());
                continue;
            }
            Wants::Form => {
                tell(code(&deck.record_form(&procedures)), "record leaf".to_string());
                continue;
            }
        }
        for procedure in procedures {
            let title = &set.procedures[procedure].title;
            tell(
                code(&deck.card(procedure)),
                format!("{:02} {title}", procedure.number()),
            );
        }
        if wants(set.file) {
            tell(code(&deck.set_sheet()), "set sheet".to_string());
            tell(code(&deck.close_out()), "close-out".to_string());
        }
    }
    if wanted.options.is_empty() && what == Wants::Cards {
        for (line, _) in others(&since, &input, &compilation) {
            count += 1;
            terminal::say(&line);
        }
    }
    since.tell();
    if count == 0 {
        terminal::say("nothing must be printed again");
    }
    Ok(Outcome::Clean)
}

/// The cards for other choices than the default ones that are not what they were: what is told of each, and the options that print it.
fn others(since: &Since, input: &Input, compilation: &Compilation) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for set in compilation
        .model
        .sets
        .iter()
        .filter(|set| !compilation.blocks(&input.files, set))
    {
        for (id, procedure) in set.procedures.named() {
            let card = since.card_diff(set, &procedure.id).filter(|card| card.matters());
            let wanted = card.filter(|_| input.wants(&input.files.get(procedure.file).path));
            for chosen in wanted.into_iter().flat_map(|card| &card.others) {
                let codes = match chosen.old.as_str() {
                    "" => chosen.new.clone(),
                    old => format!("{old} → {}", chosen.new),
                };
                let (number, title) = (id.number(), &procedure.title);
                let line = format!("{codes}  {} / {number:02} {title} ({})", set.id, chosen.words());
                let options = chosen
                    .choices
                    .iter()
                    .map(|(o, v)| format!("--option {}", assigned(o, v)));
                found.push((line, options.collect::<Vec<_>>().join(" ")));
            }
        }
    }
    found
}
