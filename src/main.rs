//! The `fuelwright` program: hand the arguments to the library, return its exit code.
use std::process::ExitCode;

fn main() -> ExitCode {
    fuelwright::main()
}
