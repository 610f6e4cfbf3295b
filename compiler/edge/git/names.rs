//! What people call revisions, held against the objects that a name leads by: git's own reader follows parents without asking whether a commit is
//! what its name says, and a damaged one would lead to another revision, sound in itself.

use super::{Repository, first_line, short, trouble};
use crate::edge::{Trouble, escape};
use gix::ObjectId;
use gix::bstr::BStr;
use gix::objs::Kind;
use gix::revision::plumbing::Spec;
use std::collections::BTreeSet;

/// A way on from a commit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    /// `~3`: so many first parents back.
    Back(usize),
    /// `^2`: a parent by number from 1; 0 is the commit itself.
    Parent(usize),
}

/// The last step of a name, and what it leads on from; `None` for what git's own reader finds by itself.
fn last_step(text: &str) -> Option<(&str, Step)> {
    // What is looked for in messages may hold anything.
    if text.starts_with(":/") {
        return None;
    }
    let number = text.trim_end_matches(|c: char| c.is_ascii_digit());
    let count = match text.get(number.len()..) {
        Some("") | None => 1,
        Some(digits) => digits.parse().ok()?,
    };
    let (before, step) = match number.strip_suffix('~') {
        Some(before) => (before, Step::Back(count)),
        None => (number.strip_suffix('^')?, Step::Parent(count)),
    };
    (!before.is_empty()).then_some((before, step))
}

/// What a name leads on from at each of its steps: what stands before `~`, `^` and `:` outside of braces. What follows a colon is a path.
fn led_from(side: &str) -> Vec<&str> {
    let (mut depth, mut found) = (0_usize, Vec::new());
    for (at, c) in side.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth = depth.saturating_sub(1),
            '~' | '^' | ':' if depth == 0 && at > 0 => found.extend(side.get(..at)),
            _ => {}
        }
        if c == ':' && depth == 0 {
            break;
        }
    }
    found
}

impl Repository {
    /// What `REV`, `A..B` or `A...B` stands for: the older commit, and the newer if one is named. Three dots mean what B has changed
    /// since it left A.
    ///
    /// # Errors
    /// If it names no commit.
    pub fn range(&self, text: &str) -> Result<(ObjectId, Option<ObjectId>), Trouble> {
        self.leads_on(text)?;
        let spec = self
            .inner
            .rev_parse(BStr::new(text))
            .map_err(|e| self.unknown(text, &e))?;
        // A side that isn't written is where one stands.
        let side = |name: &str| self.led_to(text, if name.is_empty() { "HEAD" } else { name });
        match spec.detach() {
            Spec::Include(_) => Ok((side(text)?, None)),
            Spec::Range { from, to } => match text.split_once("..") {
                Some((from, to)) => Ok((side(from)?, Some(side(to)?))),
                // `B^-`: A is a parent of B, which is held against its own name.
                None => Ok((self.peeled(text, from)?, Some(self.peeled(text, to)?))),
            },
            Spec::Merge { .. } => {
                let (theirs, ours) = text.split_once("...").unwrap_or((text, text));
                let (theirs, ours) = (side(theirs)?, side(ours)?);
                let base = self.inner.merge_base(theirs, ours).map_err(|e| trouble(text, e))?;
                let base =
                    base.ok_or_else(|| Trouble::new(format!("the two sides of `{text}` have nothing in common")))?;
                self.sound_back_to(base.detach(), vec![theirs, ours])?;
                Ok((base.detach(), Some(ours)))
            }
            _ => Err(Trouble::new(format!(
                "`{text}` is neither a revision nor a range of two"
            ))),
        }
    }

    /// The commit of a name.
    ///
    /// # Errors
    /// If it names none.
    pub fn commit_of(&self, text: &str) -> Result<ObjectId, Trouble> {
        match self.range(text)? {
            (id, None) => Ok(id),
            _ => Err(Trouble::new(format!(
                "`{text}` is a range; one revision is wanted here"
            ))),
        }
    }

    fn unknown(&self, text: &str, error: &gix::Error) -> Trouble {
        match self.inner.head() {
            Ok(head) if head.is_unborn() => Trouble::new(format!("`{text}` is no revision: nothing is committed yet")),
            _ if self.is_shallow() => Trouble::new(format!(
                "`{text}` is no revision here; the clone is shallow, so older ones are missing"
            )),
            _ if error.is_not_found() => Trouble::new(format!("`{text}` is no revision here")),
            _ => Trouble::new(format!("`{text}` is no revision here: {}", first_line(error))),
        }
    }

    /// The commit that one side of `whole` leads to, each step held against the object that it is taken from.
    fn led_to(&self, whole: &str, name: &str) -> Result<ObjectId, Trouble> {
        let mut steps = Vec::new();
        let mut start = name;
        while let Some((before, step)) = last_step(start) {
            steps.push(step);
            start = before;
        }
        let found = self.inner.rev_parse_single(BStr::new(start));
        let mut at = self.peeled(whole, found.map_err(|e| self.unknown(whole, &e))?.detach())?;
        if start.starts_with(":/") || start.contains("^{/") {
            // Looked for in the messages of all that came later.
            self.sound_back_to(at, self.tips())?;
        }
        let parent = |id: ObjectId, number: usize| -> Result<ObjectId, Trouble> {
            let commit = self.commit_object(id)?;
            let parent = commit.parent_ids().nth(number);
            parent
                .map(|parent| parent.detach())
                .ok_or_else(|| Trouble::new(format!("`{whole}` is no revision here")))
        };
        for step in steps.into_iter().rev() {
            at = match step {
                Step::Parent(0) => at,
                Step::Parent(number) => parent(at, number - 1)?,
                Step::Back(count) => (0..count).try_fold(at, |id, _| parent(id, 0))?,
            };
        }
        Ok(at)
    }

    /// The commit of an object: itself, or what a tag stands for.
    pub(super) fn peeled(&self, text: &str, id: ObjectId) -> Result<ObjectId, Trouble> {
        let mut id = id;
        loop {
            let object = self.object(text, id)?;
            match object.kind {
                Kind::Commit => return Ok(id),
                Kind::Tag => {
                    let tag = object.into_tag();
                    id = tag.target_id().map_err(|e| trouble(text, e))?.detach();
                }
                kind @ (Kind::Tree | Kind::Blob) => {
                    return Err(Trouble::new(format!(
                        "git: {}: {} is a {kind} and no commit",
                        escape::word(text),
                        short(id)
                    )));
                }
            }
        }
    }

    /// Passes if what each name of a text leads on from is what it has to be: the library stops the program over a tag or a commit that is none.
    fn leads_on(&self, text: &str) -> Result<(), Trouble> {
        if text.starts_with(":/") {
            return Ok(());
        }
        for side in text.split("..").map(|side| side.trim_start_matches(['.', '^'])) {
            for before in led_from(side) {
                let id = self.led_to(text, before)?;
                self.tree(id)?;
            }
        }
        Ok(())
    }

    /// Passes if every commit between some and the one they go back to is what its name says: it was found by way of all of them.
    fn sound_back_to(&self, base: ObjectId, from: Vec<ObjectId>) -> Result<(), Trouble> {
        let mut seen = BTreeSet::from([base]);
        let mut next = from;
        let boundary = self.boundary();
        while let Some(id) = next.pop() {
            if !seen.insert(id) {
                continue;
            }
            let commit = self.commit_object(id)?;
            if !boundary.contains(&id) {
                next.extend(commit.parent_ids().map(|parent| parent.detach()));
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_step_leads_on_from_what_stands_before_it() {
        let cases: [(&str, &[&str]); 7] = [
            ("v1", &[]),
            ("v1^{commit}~2", &["v1", "v1^{commit}"]),
            ("HEAD~1^2", &["HEAD", "HEAD~1"]),
            ("v1:a^b", &["v1"]),
            ("main@{10:00}^", &["main@{10:00}"]),
            ("HEAD^{/a~b}", &["HEAD"]),
            (":/a~1", &[]),
        ];
        for (text, before) in cases {
            assert_eq!(led_from(text), before, "{text}");
        }
    }

    #[test]
    fn a_name_is_taken_apart_from_its_end() {
        let cases = [
            ("HEAD~1", Some(("HEAD", Step::Back(1)))),
            ("HEAD~", Some(("HEAD", Step::Back(1)))),
            ("v1.0^2~03", Some(("v1.0^2", Step::Back(3)))),
            ("main^^", Some(("main^", Step::Parent(1)))),
            ("main^0", Some(("main", Step::Parent(0)))),
            ("HEAD", None),
            ("v1.20", None),
            ("main^{tree}", None),
            ("main@{1}", None),
            (":/off by ~1", None),
            ("~1", None),
            ("main~99999999999999999999", None),
            ("", None),
        ];
        for (text, parts) in cases {
            assert_eq!(last_step(text), parts, "{text}");
        }
    }
}
