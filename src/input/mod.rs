//! The rig file: read strictly, every mistake pointed at.
//!
//! A serde derive stops at the first mistake; here all are wanted. So each table is declared once as a
//! list of keys (`section`), and one reader walks the parsed file by those lists.

pub mod check;
pub mod diagnostic;
pub mod edit;
pub mod field;
pub mod file;
pub mod key;
mod keys;
mod load;
pub mod raw;
pub mod reader;
pub mod schema;
pub(crate) mod section;
pub mod starter;
pub mod table;
pub mod value;
pub mod words;

pub use load::{Loaded, MOST_BYTES, load, parse};
