//! `manual`: the pages that the program carries.

use crate::edge::args::Manual;
use crate::edge::disk::Disk;
use crate::edge::manual::{PAGES, found, html, page};
use crate::edge::output::put;
use crate::edge::{Outcome, Trouble, escape, terminal};
use crate::finding::did_you_mean;

pub fn run(args: &Manual, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    if let Some(file) = &args.html {
        put(disk, file, html().as_bytes())?;
        terminal::summary(&format!("the manual is in {}", escape::path(file)));
        return Ok(Outcome::Clean);
    }
    if let Some(words) = &args.find {
        let places = found(words);
        if places.is_empty() {
            return Err(Trouble::new(format!("the manual has no line with `{words}`")));
        }
        places.iter().for_each(|place| terminal::say(place));
        return Ok(Outcome::Clean);
    }
    let Some(topic) = &args.topic else {
        let wide = PAGES.iter().map(|page| page.name.len()).max().unwrap_or(0);
        for page in PAGES {
            terminal::say(&format!("{:wide$}  {}", page.name, page.title()));
        }
        return Ok(Outcome::Clean);
    };
    let Some(page) = page(topic) else {
        let near = did_you_mean(topic, PAGES.iter().map(|page| page.name));
        let help = near.map_or_else(
            || "`benchleaf manual` lists them".to_string(),
            |near| format!("did you mean `{near}`?"),
        );
        return Err(Trouble::new(format!("the manual has no page `{topic}`; {help}")));
    };
    terminal::paged(page.expanded().trim_end());
    Ok(Outcome::Clean)
}
