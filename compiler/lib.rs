//! benchleaf.
