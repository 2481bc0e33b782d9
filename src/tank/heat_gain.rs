//! Heat from the surroundings into a tank.
