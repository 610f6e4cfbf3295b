//! `manual`: the pages that the program carries.

use crate::booklet::booklet;
use crate::edge::args::{Look, Manual, Sheet};
use crate::edge::disk::Disk;
use crate::edge::manual::{PAGES, Page, found, html, page};
use crate::edge::output::put;
use crate::edge::press::Press;
use crate::edge::{Outcome, Trouble, escape, terminal, version};
use crate::finding::did_you_mean;
use crate::source::FileSet;
use std::path::{Path, PathBuf};

/// Paper of the manual's leaves where none is asked for.
const PAPER: &str = "a4";

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
    if let Some(file) = &args.pdf {
        return on_paper(args, file, disk);
    }
    let Some(topic) = &args.topic else {
        let wide = PAGES.iter().map(|page| page.name.len()).max().unwrap_or(0);
        for page in PAGES {
            terminal::say(&format!("{:wide$}  {}", page.name, page.title()));
        }
        return Ok(Outcome::Clean);
    };
    terminal::paged(asked(topic)?.expanded().trim_end());
    Ok(Outcome::Clean)
}

/// A page by the name that somebody gave.
///
/// # Errors
/// If there is none of that name.
fn asked(topic: &str) -> Result<&'static Page, Trouble> {
    page(topic).ok_or_else(|| {
        let near = did_you_mean(topic, PAGES.iter().map(|page| page.name));
        let help = near.map_or_else(
            || "`benchleaf manual` lists them".to_string(),
            |near| format!("did you mean `{near}`?"),
        );
        Trouble::new(format!("the manual has no page `{topic}`; {help}"))
    })
}

/// One page, or all of them, as leaves in a file.
fn on_paper(args: &Manual, file: &Path, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    if file
        .extension()
        .is_none_or(|ending| !ending.eq_ignore_ascii_case("pdf"))
    {
        return Err(Trouble::new(
            "leaves go into one file: give it a name that ends in `.pdf`",
        ));
    }
    let page = args.topic.as_deref().map(asked).transpose()?;
    let pages = page.map_or(PAGES, std::slice::from_ref);
    let title = page.map_or("Manual", Page::title);
    let about = format!("benchleaf {}", version::short());
    let sheet = Sheet {
        out: Some(file.to_path_buf()),
        look: Look {
            paper: args.paper,
            mono: args.mono,
            templates: None,
            jobs: None,
            longest: None,
            no_cache: false,
        },
    };
    let mut press = Press::begin(&sheet, true, "manual")?;
    let texts: Vec<(String, String)> = pages
        .iter()
        .map(|page| (format!("{}.md", page.name), page.expanded()))
        .collect();
    // What is wrong with the leaves is told of these.
    let files = FileSet::from_texts(texts.iter().map(|(name, text)| (name.as_str(), text.as_str())));
    let leaf = booklet(title, &about, PAPER, texts.into_iter().map(|(_, text)| text));
    press.add("manual", leaf, PathBuf::new());
    press.print(&[&files], "manual", disk)
}
