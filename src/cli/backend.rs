//! Which code gives fluid properties, and whether the second one can be had.

use super::error::CliError;
use crate::fuel::PropertyCode;

/// The flag that asks for a code.
pub const FLAG: &str = "--backend coolprop";

/// A code, as a user names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Code {
    /// The program's own model.
    Embedded,
    /// The library CoolProp, in builds with the feature `coolprop`.
    Coolprop,
}

/// The code asked for, if this program and this system have it.
///
/// # Errors
/// [`CliError::NoSecondOpinion`].
pub fn property_code(asked: Code) -> Result<PropertyCode, CliError> {
    match asked {
        Code::Embedded => Ok(PropertyCode::Embedded),
        Code::Coolprop => {
            ready(FLAG)?;
            Ok(PropertyCode::CoolProp)
        }
    }
}

/// Whether the second opinion can be had.
///
/// # Errors
/// [`CliError::NoSecondOpinion`]: it is not built in, or its library cannot be loaded here.
#[cfg(not(feature = "coolprop"))]
pub fn ready(asked_by: &'static str) -> Result<(), CliError> {
    Err(CliError::NoSecondOpinion {
        asked_by,
        why: "this program was built without CoolProp; build it with `cargo build --release --features \
              coolprop` (docs/second-opinion.md says what that asks of the system)"
            .to_owned(),
    })
}

/// Whether the second opinion can be had.
///
/// # Errors
/// [`CliError::NoSecondOpinion`]: it is not built in, or its library cannot be loaded here.
#[cfg(feature = "coolprop")]
pub fn ready(asked_by: &'static str) -> Result<(), CliError> {
    use std::sync::OnceLock;
    static LOADED: OnceLock<Result<(), String>> = OnceLock::new();
    let loaded = LOADED.get_or_init(|| load(asked_by));
    loaded
        .clone()
        .map_err(|why| CliError::NoSecondOpinion { asked_by, why })
}

/// Loads the library. Its crate panics where that fails, so the panic is caught; where panics abort, which
/// is so in release builds, the hook writes the message and ends the program with the code of a failure.
#[cfg(feature = "coolprop")]
fn load(asked_by: &'static str) -> Result<(), String> {
    use std::io::Write;
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        if cfg!(panic = "abort") {
            let why = explained(panic.payload());
            let failure = CliError::NoSecondOpinion { asked_by, why };
            // nothing is left to try if the error stream is closed
            let _ = writeln!(std::io::stderr(), "error: {failure}");
            #[expect(clippy::exit, reason = "the alternative is an abort without exit code")]
            std::process::exit(2);
        }
    }));
    let loaded = std::panic::catch_unwind(crate::eos::coolprop::load);
    std::panic::set_hook(before);
    loaded
        .map(|_version| ())
        .map_err(|payload| explained(payload.as_ref()))
}

/// What stood in the way of loading, from a panic.
#[cfg(feature = "coolprop")]
fn explained(payload: &(dyn std::any::Any + Send)) -> String {
    let text = payload
        .downcast_ref::<String>()
        .map(String::as_str)
        .or_else(|| payload.downcast_ref::<&str>().copied())
        .unwrap_or("no reason is given");
    let old = if text.contains("GLIBC") {
        "; it asks for a newer C library than this system has, and docs/second-opinion.md says how to \
         start the program under one"
    } else {
        ""
    };
    format!("CoolProp cannot be loaded{old}: {text}")
}
