//! The fuel train as a whole: balances, reversals, choking, branches, random trains.
#[path = "train/identities.rs"]
mod identities;
#[path = "train/parts.rs"]
mod parts;
