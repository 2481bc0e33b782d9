//! Rules over a solved rig: what each finds, and what it could not check.
//!
//! ```
//! use fuelwright::audit::{audit, solution::solve};
//! use fuelwright::fuel::Library;
//! use fuelwright::quantity::show::Units;
//!
//! let library = Library::embedded();
//! let loaded = fuelwright::input::load("examples/kiln-pilot.toml".as_ref(), &library)?;
//! let solution = solve(&loaded.rig, &library, Units::Si)?;
//! let answer = audit(&solution);
//! assert!(!answer.has_alarms());
//! for finding in answer.findings {
//!     println!("{} {}: {}", finding.signal.word(), finding.subject, finding.advice);
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod checklist;
pub mod essential;
pub mod finding;
pub mod lever;
pub mod registry;
pub mod rule;
pub mod rules;
pub mod run;
pub mod signal;
pub mod solution;
pub mod usual;

pub use checklist::{Checklist, checklist};
pub use essential::Missing;
pub use finding::{Finding, Limit, Measured, NotChecked, Source};
pub use lever::Lever;
pub use rule::{Group, Judges, Rule, Verdict};
pub use run::{Audit, Suppressed, audit, audit_of, audit_of_and};
pub use signal::Signal;
pub use solution::{DutySolution, Solution};
