//! The rig file as written: serde shapes.
