//! Leaks: how much comes out, where it goes, and what it does there.
