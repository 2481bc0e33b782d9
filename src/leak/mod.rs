//! Leaks and what stops the fuel: how much comes out, where it goes and what it does there; joints, leak
//! test, sections that trap liquid, shut-down on failures.

pub mod closure_rate;
pub mod consequence;
pub mod decay;
mod error;
pub mod fire;
pub mod jet;
pub mod joints;
pub mod pressure_decay;
pub mod release;
pub mod relief;
pub mod rig;
pub mod room;
pub mod screening;
pub mod sections;
pub mod shutdown;
pub mod surroundings;
pub mod tank_decay;
pub mod test_plan;
pub mod test_record;
pub mod test_result;
mod test_steps;
pub mod test_zone;
pub mod trapped;
pub mod unlit;
pub mod zones;

pub use closure_rate::{ClosureRate, LeakClass};
pub use consequence::{Consequences, consequences};
pub use decay::{Decay, Walls};
pub use error::LeakError;
pub use fire::JetFire;
pub use jet::{ExpandedJet, JetReach};
pub use joints::{JointRow, inventory};
pub use release::{Hole, Release};
pub use room::{Room, RoomCourse};
pub use sections::{Section, sections};
pub use shutdown::{Answer, Failure, FailureRow, PairRow, Running, failure_pairs, failure_table};
pub use surroundings::{LeakFuel, Surroundings};
pub use test_plan::{Hold, TestPlan, ZoneTest, test_plan};
pub use test_record::{Placed, to_be_tested};
pub use test_result::{DecaySums, LeakJudgement, LeakVerdict, judged};
pub use trapped::{Contents, Heating, TrappedSection, trapped_sections};
pub use zones::{Zone, zones};
