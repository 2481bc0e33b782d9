//! The cautions that belong to each result.
