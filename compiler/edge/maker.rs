//! How one document is made: found where an earlier build kept it, or laid out and read back.

use super::args::Look;
use super::cache::{Cache, Finished, Key, Making};
use super::disk::Disk;
use super::{Trouble, files};
use benchleaf_press::{Assets, Breach, Fault, Format, Leaf, Settings, Typesetter};
use std::collections::BTreeMap;

/// How a document is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shape {
    pub format: Format,
    /// Two leaves on a sheet of twice their size.
    pub two_up: bool,
}

/// Why there is no document.
pub enum Unmade {
    /// The typesetter found fault with it.
    Faulty(Vec<Fault>),
    /// What was laid out is not what the leaf says.
    Unlike(Vec<Breach>),
}

/// Makes documents, or finds them made.
pub struct Maker<'d> {
    typesetter: Typesetter,
    settings: Settings,
    cache: Option<Cache<'d>>,
}

impl<'d> Maker<'d> {
    /// With the user's templates, and their cache unless it isn't wanted.
    ///
    /// # Errors
    /// If the templates can't be read or are none.
    pub fn new(look: &Look, disk: &'d dyn Disk) -> Result<Maker<'d>, Trouble> {
        Ok(Maker {
            typesetter: typesetter(look, disk)?,
            settings: settings(look),
            cache: Cache::open(disk, !look.no_cache),
        })
    }

    pub fn cache(&self) -> Option<&Cache<'d>> {
        self.cache.as_ref()
    }

    /// The files of a leaf, laid out and read back, now or by an earlier build; `name` is what the document is called.
    ///
    /// # Errors
    /// If it can't be laid out, or isn't what the leaf says: such a one is never kept.
    pub fn make<L: Leaf>(&self, leaf: &L, assets: &Assets, shape: Shape, name: &str) -> Result<Finished, Unmade> {
        let key = match &self.cache {
            Some(_) => Some(self.key(leaf, assets, shape).map_err(Unmade::Faulty)?),
            None => None,
        };
        let kept = self.cache.as_ref().zip(key.as_ref());
        if let Some(finished) = kept.and_then(|(cache, key)| cache.find(key, name)) {
            return Ok(finished);
        }
        let document = self.typesetter.typeset(leaf, assets, &self.settings);
        let document = document.map_err(Unmade::Faulty)?;
        if !document.breaches.is_empty() {
            return Err(Unmade::Unlike(document.breaches));
        }
        let files = match shape.two_up {
            true => document.two_up().and_then(|sheets| sheets.export(shape.format)),
            false => document.export(shape.format),
        };
        let finished = Finished {
            files: files.map_err(Unmade::Faulty)?,
            leaves: document.leaves(),
            remarks: document.warnings.iter().map(ToString::to_string).collect(),
        };
        if let Some((cache, key)) = kept {
            cache.keep(key, &finished);
        }
        Ok(finished)
    }

    /// Adds what every document is made with, whatever its leaf says, to the key of something that is made of several.
    pub fn manner(&self, making: &mut Making) {
        self.typesetter.manner(&self.settings, &mut |piece| {
            making.add(piece);
        });
    }

    /// To be called when all is made.
    pub fn close(&self) {
        self.cache.iter().for_each(Cache::close);
    }

    fn key<L: Leaf>(&self, leaf: &L, assets: &Assets, shape: Shape) -> Result<Key, Vec<Fault>> {
        let mut making = Key::of("document");
        making.add(format!("{shape:?}").as_bytes());
        self.typesetter
            .ingredients(leaf, assets, &self.settings, &mut |piece| {
                making.add(piece);
            })?;
        Ok(making.key())
    }
}

/// The typesetter with the user's templates.
///
/// # Errors
/// If they can't be read or are no templates.
pub fn typesetter(look: &Look, disk: &dyn Disk) -> Result<Typesetter, Trouble> {
    let user = look.templates.as_deref();
    let user = user.map_or_else(|| Ok(BTreeMap::new()), |folder| files::tree(disk, folder))?;
    Typesetter::new(&user).map_err(|faults| trouble(&faults))
}

/// How to print.
pub fn settings(look: &Look) -> Settings {
    Settings {
        colour: !look.mono,
        ..Settings::default()
    }
}

/// What the typesetter found fault with.
pub fn trouble(faults: &[Fault]) -> Trouble {
    Trouble::new(faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
}
