//! A compilation of which parts that know nothing of each other are worked out side by side.

use super::queue;
use crate::Compilation;
use crate::groups::Groups;
use crate::source::FileSet;
use std::ops::ControlFlow;

/// More texts than this are worth threads of their own, in one set too.
const FEW: usize = 8;

/// What files come to: the same as [`crate::compile`] gives, sooner where there is much of them.
pub fn compiled(files: &FileSet) -> Compilation {
    let groups = Groups::new(files);
    let numbers: Vec<usize> = (0..groups.count()).collect();
    let mut parts: Vec<(usize, Compilation)> = Vec::new();
    if numbers.len() > 1 || files.ids().nth(FEW).is_some() {
        let work = |number: &usize| groups.compile(*number);
        let ran = queue::run(queue::cores(), &numbers, work, |number, part| {
            parts.extend(part.ok().map(|part| (number, part)));
            ControlFlow::Continue(())
        });
        parts.sort_by_key(|(number, _)| *number);
        if ran.is_ok() && parts.len() == numbers.len() {
            return Groups::together(parts.into_iter().map(|(_, part)| part));
        }
    }
    // Where no thread is to be had, one after the other.
    groups.whole()
}
