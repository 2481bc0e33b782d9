//! The command line.
pub mod args;
pub mod error;
/// Entry of the program.
pub fn main() -> std::process::ExitCode {
    std::process::ExitCode::SUCCESS
}
