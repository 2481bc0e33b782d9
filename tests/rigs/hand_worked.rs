//! Cases worked by hand from the trade and the physics before the code that judges them was read, held against the
//! program. Each data file says at its head what its keys mean, and which cases were changed later and why.

mod leak_tests;
mod shutdowns;
