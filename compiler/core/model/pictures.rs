//! Pictures of the text and their entries in the register: a picture is known by where its file lies.

use super::bind::{Binder, own};
use super::catalogue::{Catalogue, Entity, Handle, Home};
use super::{Links, ProcedureId, picture_path};
use crate::source::FileSet;
use crate::syntax::registers::{Picture, Register};

/// What a pointer may be at.
const POINTED: [Register; 6] = [
    Register::Parts,
    Register::Temporary,
    Register::Torques,
    Register::Limits,
    Register::Joints,
    Register::States,
];

/// What lies where a pointer points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pointed {
    pub thing: Entity,
    /// Which member of its group.
    pub member: Option<usize>,
}

/// The entry that a procedure sees of the picture at a path: that of the nearest level, and of several there the first.
pub fn picture_entry(
    files: &FileSet,
    catalogue: &Catalogue,
    procedure: ProcedureId,
    path: &str,
) -> Option<Handle<Picture>> {
    let from = Home::Procedure(procedure);
    let shows = |def: &super::Def<Picture>| {
        let file = def.value.file.as_ref();
        file.and_then(|file| picture_path(files, def.id.span.file, &file.text))
            .as_deref()
            == Some(path)
    };
    let seen = catalogue
        .pictures
        .iter()
        .filter(|(_, def)| catalogue.sees(from, def.home) && shows(def));
    seen.min_by_key(|(_, def)| def.home).map(|(handle, _)| handle)
}

impl Binder<'_> {
    /// Binds what the pointers of this level point at.
    pub(super) fn pointers(&mut self, links: &mut Links) {
        let (catalogue, home) = (self.catalogue, self.home);
        for handle in own::<Picture>(catalogue, home) {
            let mut bound = Vec::new();
            for point in &catalogue.pictures[handle].points {
                let thing = point.of.as_ref().and_then(|of| self.entity(of, &POINTED));
                bound.push(thing.map(|thing| Pointed {
                    thing,
                    member: self.member,
                }));
            }
            links.pointers.insert(handle, bound);
        }
    }
}
