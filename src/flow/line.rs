//! Pressure and temperature along a line with friction and heat pick-up.
