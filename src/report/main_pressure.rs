//! Which pressure of a main is taken, and how far the other one is from it.

use super::{Report, json};
use crate::quantity::Kind;
use crate::quantity::sentence::{Figure, Sentence, sentence};
use crate::train::duty::MainHead;
use crate::train::rig::PressureRead;
use serde_json::json;

/// Adds it.
pub(super) fn main_pressure(report: &mut Report, main: &MainHead) {
    report.assume(told(main));
    report.key(
        "main",
        json!({
            "pressure_read": match main.read {
                PressureRead::Moving => "moving",
                PressureRead::AtRest => "at-rest",
            },
            "part": main.part,
            "duty": main.duty,
            "at_rest_over_moving_pa": json::number(main.head.pascals()),
        }),
    );
}

fn told(main: &MainHead) -> Sentence {
    let head = Figure::of(Kind::PressureDifference, main.head.pascals()).digits(2);
    match main.read {
        PressureRead::Moving => sentence!(
            "the pressure of the main is that of the gas moving through `{}`; the same gas at rest has up to {} more (at {}): `pressure_read = \"at-rest\"` in `[mains]` for a gauge on a wide main",
            &main.part,
            head,
            &main.duty
        ),
        PressureRead::AtRest => sentence!(
            "the pressure of the main is that of gas at rest; moving through `{}` it has up to {} less (at {})",
            &main.part,
            head,
            &main.duty
        ),
    }
}
