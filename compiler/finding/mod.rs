//! Findings.
