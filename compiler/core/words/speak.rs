//! A leaf in one language: every phrase that it holds is put into words, in place.

use super::{Language, Phrase};
use crate::source::Sourced;

/// What holds phrases, or may. `leaf!` implements it for every struct of a leaf, field by field, so that none stays unsaid.
pub trait Speak {
    fn speak(&mut self, language: Language);
}

impl Speak for Phrase {
    fn speak(&mut self, language: Language) {
        *self = Phrase::from(self.in_language(language));
    }
}

impl Sourced for Phrase {}

impl<T: Speak> Speak for Vec<T> {
    fn speak(&mut self, language: Language) {
        self.iter_mut().for_each(|item| item.speak(language));
    }
}

impl<T: Speak> Speak for Option<T> {
    fn speak(&mut self, language: Language) {
        self.iter_mut().for_each(|item| item.speak(language));
    }
}

impl<A: Speak, B: Speak> Speak for (A, B) {
    fn speak(&mut self, language: Language) {
        let (one, other) = self;
        one.speak(language);
        other.speak(language);
    }
}

impl<A, B> Sourced for (A, B) {}

/// Types that hold no phrase, nor where they are written: an author's text, a number, a name that templates tell things apart by.
macro_rules! plain {
    ($($type:ty),* $(,)?) => {
        $(impl $crate::words::Speak for $type {
            fn speak(&mut self, _: $crate::words::Language) {}
        }

        impl $crate::source::Sourced for $type {})*
    };
}

pub(crate) use plain;

plain!(String, &'static str, bool, usize, u32, f64);

/// Structs of a leaf that no code stands for, and so aren't declared by `leaf!`: each field is put into words.
macro_rules! speaks {
    ($type:ident { $($field:ident),* $(,)? }) => {
        impl $crate::words::Speak for $type {
            fn speak(&mut self, language: $crate::words::Language) {
                let Self { $($field),* } = self;
                $($crate::words::Speak::speak($field, language);)*
            }
        }

        impl $crate::source::Sourced for $type {}
    };
}

pub(crate) use speaks;
