//! Images of a set, in memory, and the question whether a card has all of its own.

use std::collections::{BTreeMap, BTreeSet};

use typst::foundations::Bytes;
use typst::visualize::{ImageFormat, RasterImage, SvgImage, VectorFormat};

use super::fault::Fault;
use benchleaf_core::cards::card::{Block, Card, Message, Step};

/// Images by path below the set's folder, as a card's figures name them.
#[derive(Debug, Clone, Default)]
pub struct Assets(pub(super) BTreeMap<String, Bytes>);

impl Assets {
    /// Adds a file. SVG, PNG, JPEG, GIF and WebP can be printed.
    pub fn insert(&mut self, path: impl Into<String>, bytes: Vec<u8>) {
        self.0.insert(path.into(), Bytes::new(bytes));
    }

    /// Faults for pictures, by their paths, that are not here.
    pub(super) fn missing(&self, figures: Vec<String>) -> Vec<Fault> {
        let missing: BTreeSet<String> = figures.into_iter().filter(|path| !self.0.contains_key(path)).collect();
        missing
            .into_iter()
            .map(|path| {
                let message = format!("no image `{path}` in the set's folder");
                Fault::error(path, message).with_hint("a figure's path is relative to the set's folder")
            })
            .collect()
    }

    /// Faults for pictures that the typesetter can't read, each at its file. What a check sees of a picture is its outside; this tries each by
    /// itself, and is for where a document couldn't be made.
    pub(super) fn unread(&self, figures: Vec<String>) -> Vec<Fault> {
        let paths: BTreeSet<String> = figures.into_iter().collect();
        let tried = paths
            .into_iter()
            .filter_map(|path| Some((read(self.0.get(&path)?).err()?, path)));
        tried
            .map(|(why, path)| Fault::error(path, why).with_hint("save the picture anew"))
            .collect()
    }
}

/// Reads a picture as the typesetter does where a leaf shows it.
fn read(bytes: &Bytes) -> Result<(), String> {
    match ImageFormat::detect(bytes) {
        Some(ImageFormat::Raster(format)) => match RasterImage::plain(bytes.clone(), format) {
            Ok(_) => Ok(()),
            Err(why) => Err(why.to_string()),
        },
        // Its own error says where, in words for a programmer.
        Some(ImageFormat::Vector(VectorFormat::Svg)) => match SvgImage::new(bytes.clone()) {
            Ok(_) => Ok(()),
            Err(_) => Err("can't be read as a drawing".to_string()),
        },
        _ => Ok(()),
    }
}

/// Paths of all figures of a card, in the order of the work.
pub fn figures(card: &Card) -> Vec<String> {
    let mut paths = Vec::new();
    let cover = &card.cover;
    collect(&cover.about, &mut paths);
    collect_messages(&cover.messages, &mut paths);
    for phase in &card.phases {
        collect_messages(&phase.messages, &mut paths);
        collect(&phase.intro, &mut paths);
        phase
            .runs
            .iter()
            .flat_map(|run| &run.steps)
            .for_each(|step| collect_step(step, &mut paths));
    }
    paths
}

fn collect_step(step: &Step, paths: &mut Vec<String>) {
    collect_messages(&step.messages, paths);
    collect(&step.text, paths);
    step.substeps.iter().for_each(|substep| collect(&substep.text, paths));
}

fn collect_messages(messages: &[Message], paths: &mut Vec<String>) {
    for message in messages {
        collect(&message.consequence, paths);
        collect(&message.avoid, paths);
    }
}

fn collect(blocks: &[Block], paths: &mut Vec<String>) {
    for block in blocks {
        match block {
            Block::Figure { picture, .. } => paths.push(picture.path.clone()),
            Block::List { items, .. } => items.iter().for_each(|item| collect(item, paths)),
            Block::Paragraph { .. } | Block::Code { .. } => {}
        }
    }
}
