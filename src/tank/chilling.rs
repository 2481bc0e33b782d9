//! A tank drawn down: mass, species and energy over time.
