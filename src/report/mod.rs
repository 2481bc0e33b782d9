//! Results as plain data, and how they are written.
pub mod cautions;
pub mod json;
pub mod text;
