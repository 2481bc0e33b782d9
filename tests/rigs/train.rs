//! The fuel train as a whole: balances, reversals, choking, branches, random trains.
mod balances;
mod choking;
mod coldest;
mod cylinder;
mod identities;
mod parts;
mod random;
mod shapes;
mod stand_in;
mod studies;
mod ways;
