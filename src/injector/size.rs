//! One set of holes: solve for diameter, number, pressure or flow.
