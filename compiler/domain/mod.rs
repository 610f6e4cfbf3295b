//! What a workshop knows: quantities, fasteners, patterns, limits. Typed values and pure arithmetic; no files, no cards.
