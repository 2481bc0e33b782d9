//! Reports as text tables.
