//! The fuel train as a whole: balances, reversals, choking, branches, random trains.
#[path = "train/balances.rs"]
mod balances;
#[path = "train/choking.rs"]
mod choking;
#[path = "train/coldest.rs"]
mod coldest;
#[path = "train/cylinder.rs"]
mod cylinder;
#[path = "train/identities.rs"]
mod identities;
#[path = "train/parts.rs"]
mod parts;
#[path = "train/random.rs"]
mod random;
#[path = "train/shapes.rs"]
mod shapes;
#[path = "train/stand_in.rs"]
mod stand_in;
#[path = "train/studies.rs"]
mod studies;
#[path = "train/ways.rs"]
mod ways;
