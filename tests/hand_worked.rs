//! Cases worked by hand from the trade and the physics before the code that judges them was read, held against the
//! program. Each data file says at its head what its keys mean, and which cases were changed later and why.

#[path = "support/changes.rs"]
mod changes;
#[path = "hand_worked/leak_tests.rs"]
mod leak_tests;
#[path = "hand_worked/shutdowns.rs"]
mod shutdowns;
