//! The one way to declare a struct or an enum of a leaf.

/// Declares leaf data together with its [`Meaning`](super::Meaning), how it is put into words, and
/// where its pieces are written. Each field is marked: `says` for what the code stands for,
/// `exempt(Why)` for what it passes over. A field without a mark is no Rust.
///
/// ```text
/// leaf! {
///     /// One stage of tightening.
///     pub struct Stage {
///         /// As printed.
///         says figure: Value,
///         exempt(ChangeMark) changed: bool,
///     }
/// }
/// ```
macro_rules! leaf {
    (
        $(#[$meta:meta])*
        pub struct $name:ident {
            $($(#[$field_meta:meta])* $mark:ident $(($why:ident))? $field:ident : $type:ty),* $(,)?
        }
    ) => {
        #[derive(Debug, Clone, PartialEq, serde::Serialize)]
        $(#[$meta])*
        pub struct $name {
            $($(#[$field_meta])* pub $field: $type,)*
        }

        impl $crate::fingerprint::Meaning for $name {
            fn feed(&self, sink: &mut $crate::fingerprint::Sink) {
                let Self { $($field),* } = self;
                // Of some structs nothing is said.
                let _ = &sink;
                $($crate::fingerprint::leaf!(@ $mark $(($why))? sink, $field);)*
            }
        }

        impl $crate::words::Speak for $name {
            fn speak(&mut self, language: $crate::words::Language) {
                let Self { $($field),* } = self;
                // Some structs have no field.
                let _ = language;
                $($crate::words::Speak::speak($field, language);)*
            }
        }

        impl $crate::source::Sourced for $name {
            fn sources(&self, to: &mut $crate::source::Sources) {
                let Self { $($field),* } = self;
                // Some structs have no field.
                let _ = &to;
                $(to.below(stringify!($field), $field);)*
            }
        }
    };
    (
        $(#[$meta:meta])*
        pub enum $name:ident {
            $(
                $(#[$variant_meta:meta])*
                $variant:ident
                $(($inner:ty))?
                $({ $($(#[$field_meta:meta])* $mark:ident $(($why:ident))? $field:ident : $type:ty),* $(,)? })?
            ),* $(,)?
        }
    ) => {
        #[derive(Debug, Clone, PartialEq, serde::Serialize)]
        $(#[$meta])*
        pub enum $name {
            $(
                $(#[$variant_meta])*
                $variant $(($inner))? $({ $($(#[$field_meta])* $field: $type),* })?,
            )*
        }

        impl $crate::fingerprint::Meaning for $name {
            fn feed(&self, sink: &mut $crate::fingerprint::Sink) {
                match self {
                    $($crate::fingerprint::leaf!(@pattern $variant inner $(($inner))? $({ $($field),* })?) => {
                        sink.text(stringify!($variant));
                        $(<$inner as $crate::fingerprint::Meaning>::feed(inner, sink);)?
                        $($($crate::fingerprint::leaf!(@ $mark $(($why))? sink, $field);)*)?
                    })*
                }
            }
        }

        impl $crate::words::Speak for $name {
            fn speak(&mut self, language: $crate::words::Language) {
                // Some enums hold nothing.
                let _ = language;
                match self {
                    $($crate::fingerprint::leaf!(@pattern $variant inner $(($inner))? $({ $($field),* })?) => {
                        $(<$inner as $crate::words::Speak>::speak(inner, language);)?
                        $($($crate::words::Speak::speak($field, language);)*)?
                    })*
                }
            }
        }

        impl $crate::source::Sourced for $name {
            fn sources(&self, to: &mut $crate::source::Sources) {
                // Some enums hold nothing.
                let _ = &to;
                match self {
                    $($crate::fingerprint::leaf!(@pattern $variant inner $(($inner))? $({ $($field),* })?) => {
                        $(<$inner as $crate::source::Sourced>::sources(inner, to);)?
                        $($(to.below(stringify!($field), $field);)*)?
                    })*
                }
            }
        }
    };
    (@pattern $variant:ident $inner:ident) => { Self::$variant };
    (@pattern $variant:ident $inner:ident ($type:ty)) => { Self::$variant($inner) };
    (@pattern $variant:ident $inner:ident { $($field:ident),* }) => { Self::$variant { $($field),* } };
    (@ says $sink:ident, $field:ident) => { $crate::fingerprint::Meaning::feed($field, $sink) };
    (@ exempt($why:ident) $sink:ident, $field:ident) => {
        $crate::fingerprint::exempt($crate::fingerprint::Exempt::$why, $field)
    };
}

pub(crate) use leaf;
