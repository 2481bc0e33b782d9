//! The rig file: read strictly, every mistake pointed at.
//!
//! A serde derive stops at the first mistake; here all are wanted. So each table is declared once as a
//! list of keys (`section`), and one reader walks the parsed file by those lists.

pub(crate) mod check;
pub(crate) mod diagnostic;
pub(crate) mod edit;
pub(crate) mod field;
pub(crate) mod file;
pub(crate) mod key;
mod keys;
mod load;
pub(crate) mod raw;
pub(crate) mod reader;
pub(crate) mod schema;
pub(crate) mod section;
pub(crate) mod stand_in;
pub(crate) mod starter;
pub(crate) mod table;
pub(crate) mod value;
pub(crate) mod words;

pub use diagnostic::{Diagnostic, Diagnostics};
pub(crate) use load::MOST_BYTES;
pub use load::{Loaded, load, parse};
