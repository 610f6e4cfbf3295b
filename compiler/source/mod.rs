//! Sources.
