//! Whole rigs: what is computed and said of them, rule by rule and fault by fault.

mod audit_rules;
mod calibration;
#[path = "../support/changes.rs"]
mod changes;
mod checklist;
mod choose;
mod convert;
mod examples;
mod faults;
mod hand_worked;
mod judgement;
mod leak_rig;
mod long_rows;
mod mass;
mod neglected_rig;
mod places;
mod ranges;
mod remedies;
mod rig_releases;
mod sentences;
mod sums;
mod tank_rig;
#[path = "../support/times.rs"]
mod times;
mod tolerance;
mod train;
mod values;
mod work_list;
