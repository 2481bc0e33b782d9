//! Fuel-train sums for small air-breathing burners and ducted thrusters.
//!
//! Three jobs: size an injector before drilling, plan a switch to liquid fuel, audit a fuel train
//! before a test day. Arrows between modules point one way:
//!
//! `numerics`, `quantity` → `fuel` → `eos` → `combustion`, `flow` → `injector`, `tank` → `train`
//! → `convert`, `mass`, `leak` → `audit` → `tolerance` → `report` → `input` → `remedy`, `choose` → `cli`.
//!
//! **This is engineering reference material, not permission to build or operate anything.**
//! Local codes and licensed gas practice decide.
//!
//! ```
//! use fuelwright::audit::{audit, solution::solve};
//! use fuelwright::fuel::Library;
//! use fuelwright::quantity::show::Units;
//!
//! let library = Library::embedded();
//! let loaded = fuelwright::input::load("examples/coupon-soak-rig.toml".as_ref(), &library)?;
//! let solution = solve(&loaded.rig, &library, Units::Si)?;
//! let injector = solution.injector.as_ref().map_err(ToString::to_string)?;
//! assert_eq!(injector.holes, 16);
//! assert!(!audit(&solution).has_alarms());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod audit;
#[allow(unreachable_pub, reason = "as of `cli`")]
mod choose;
#[allow(
    unreachable_pub,
    reason = "closed: `pub` says what other files of it use"
)]
mod cli;
pub mod combustion;
pub mod convert;
pub mod eos;
pub mod flow;
pub mod fuel;
pub mod injector;
#[allow(
    unreachable_pub,
    reason = "as of `cli`, but for what it gives out by name"
)]
pub mod input;
pub mod leak;
pub mod mass;
pub mod numerics;
pub mod quantity;
#[allow(unreachable_pub, reason = "as of `cli`")]
mod remedy;
#[allow(unreachable_pub, reason = "as of `cli`")]
mod report;
pub mod tank;
pub mod tolerance;
pub mod train;

pub use cli::{Outcome, main, run};

/// What this program's own tests reach of what is closed; it may change at any time.
#[doc(hidden)]
pub mod inside {
    pub use crate::choose::demands::{COUNT as DEMAND_COUNT, DEMANDS};
    pub use crate::choose::flags::settings;
    pub use crate::choose::search::{Found as FoundHoles, search};
    pub use crate::choose::told::none;
    pub use crate::choose::{AtDuty, Combination, Options, Problem};
    pub use crate::cli::{commands::program, page::Page, run_on};
    pub use crate::input::diagnostic::{CODES, Label, MOST_LINES};
    pub use crate::input::field::{Bounds, Field, Takes};
    pub use crate::input::raw::{TABLES, names, sections};
    pub use crate::input::schema::{as_json, schema};
    pub use crate::input::starter::starter;
    pub use crate::input::table::markdown as rig_keys;
    pub use crate::remedy::{Search, changed_text, ranges, remedies};
    pub use crate::report::cautions::{CLOSING, CLOSING_IN_FIGURE};
    pub use crate::report::diagram;
    pub use crate::report::mark::{FileKind, Found, found};
    pub use crate::report::ranges::Range;
    pub use crate::report::remedies::Remedies;
    pub use crate::report::{Column, Report, Table, Topic, Value, html, markdown, text};
}
