//! Git's objects read once more, as its manual has them (gitformat-tree of `git help`, `git help cat-file`), by a reader that knows nothing of
//! the program's: what a commit holds, where all that leads there is what its name says.

use gix::ObjectId;
use gix::objs::Kind;
use std::collections::BTreeMap;

/// Contents by the names that they must have, whatever else is stored under those.
#[derive(Default)]
pub struct Sound {
    pub objects: BTreeMap<ObjectId, (Kind, Vec<u8>)>,
}

/// Why a commit's files aren't known for sure.
#[derive(Debug, PartialEq)]
pub enum Unsure {
    /// Something is missing or another thing than it should be: nobody can know what the commit holds.
    Broken,
    /// Something is as git itself never writes it; whether it is read is left to who reads.
    Odd,
}

/// The objects of texts by path, and every object that is asked for on the way.
#[derive(Default)]
pub struct Held {
    pub files: BTreeMap<String, ObjectId>,
    pub way: Vec<ObjectId>,
}

/// What the name of a text ends with.
const ENDINGS: [&str; 8] = ["md", "yaml", "yml", "markdown", "mdown", "mkd", "mdwn", "txt"];

/// The modes that git writes: folders, files, links, other repositories.
const MODES: [&[u8]; 5] = [b"40000", b"100644", b"100755", b"120000", b"160000"];

/// True for the name or path of a text; what else is read, the objects of pictures, is left to the program.
pub fn is_text(path: &str) -> bool {
    path.rsplit_once('.')
        .is_some_and(|(_, ending)| ENDINGS.contains(&ending.to_ascii_lowercase().as_str()))
}

impl Sound {
    fn get(&self, id: ObjectId, kind: Kind, held: &mut Held) -> Result<&[u8], Unsure> {
        held.way.push(id);
        match self.objects.get(&id) {
            Some((of, data)) if *of == kind => Ok(data),
            _ => Err(Unsure::Broken),
        }
    }

    /// What a commit's head says behind a word, wherever it stands.
    fn named(data: &[u8], word: &str) -> Vec<ObjectId> {
        let head = data.split(|byte| *byte == b'\n').take_while(|line| !line.is_empty());
        let values = head.filter_map(|line| line.strip_prefix(word.as_bytes())?.strip_prefix(b" "));
        values.filter_map(|hex| ObjectId::from_hex(hex).ok()).collect()
    }

    /// The parents of a commit, in order.
    pub fn parents(&self, commit: ObjectId) -> Option<Vec<ObjectId>> {
        let (_, data) = self.objects.get(&commit).filter(|(kind, _)| *kind == Kind::Commit)?;
        Some(Sound::named(data, "parent"))
    }

    /// All files of a commit.
    ///
    /// # Errors
    /// If they can't be known for sure.
    pub fn files(&self, commit: ObjectId) -> Result<Held, Unsure> {
        let mut held = Held::default();
        let data = self.get(commit, Kind::Commit, &mut held)?;
        let Some(tree) = data
            .strip_prefix(b"tree ")
            .and_then(|rest| ObjectId::from_hex(rest.get(..40)?).ok())
        else {
            return Err(Unsure::Odd);
        };
        self.gather(tree, "", &mut held)?;
        Ok(held)
    }

    fn gather(&self, tree: ObjectId, folder: &str, held: &mut Held) -> Result<(), Unsure> {
        if held.way.len() > 400 {
            return Err(Unsure::Odd);
        }
        let mut rest = self.get(tree, Kind::Tree, held)?;
        let mut before = Vec::new();
        while !rest.is_empty() {
            let end = rest.iter().position(|byte| *byte == 0).ok_or(Unsure::Odd)?;
            let (head, after) = (&rest[..end], &rest[end + 1..]);
            let id = ObjectId::try_from(after.get(..20).ok_or(Unsure::Odd)?).map_err(|_| Unsure::Odd)?;
            rest = &after[20..];
            let space = head.iter().position(|byte| *byte == b' ').ok_or(Unsure::Odd)?;
            let (mode, name) = (&head[..space], &head[space + 1..]);
            let name = std::str::from_utf8(name).map_err(|_| Unsure::Odd)?;
            if name.is_empty() || name.contains(['/', '\\']) || before.contains(&name) {
                return Err(Unsure::Odd);
            }
            before.push(name);
            let path = if folder.is_empty() {
                name.to_string()
            } else {
                format!("{folder}/{name}")
            };
            if !MODES.contains(&mode) {
                return Err(Unsure::Odd);
            }
            match mode {
                _ if name.starts_with('.') => {}
                b"40000" => self.gather(id, &path, held)?,
                b"100644" | b"100755" if is_text(name) => {
                    self.get(id, Kind::Blob, held)?;
                    held.files.insert(path, id);
                }
                b"100644" | b"100755" => {
                    // A picture or what is passed over.
                    self.get(id, Kind::Blob, held).map_err(|_| Unsure::Odd)?;
                }
                _ => {}
            }
        }
        Ok(())
    }
}
