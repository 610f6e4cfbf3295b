//! Model, facts and choices in; work cards as plain data out. Knows nothing of the typesetter.

pub mod card;
