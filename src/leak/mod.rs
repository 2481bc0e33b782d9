//! Leaks and what stops the fuel: how much comes out, where it goes and what it does there; joints, leak
//! test, sections that trap liquid, shut-down on failures.

pub mod closure_rate;
pub mod joints;
pub mod pressure_decay;
pub mod rest;
pub mod sections;
pub mod shutdown;
pub mod test_plan;
pub mod test_result;
pub mod trapped;
pub mod zones;

pub use closure_rate::{ClosureRate, LeakClass};
pub use joints::{JointRow, inventory};
pub use rest::{RestPressure, pressures_at_rest};
pub use sections::{Section, sections};
pub use shutdown::{Answer, Failure, FailureRow, Running, failure_table};
pub use test_plan::{Hold, TestPlan, ZoneTest, test_plan};
pub use test_result::{LeakJudgement, LeakVerdict, judge};
pub use trapped::{Contents, Heating, TrappedSection, trapped_sections};
pub use zones::{Zone, zones};
