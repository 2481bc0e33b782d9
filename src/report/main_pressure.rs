//! Which pressure of a main is taken, and how far the other one is from it.

use super::record::record;
use crate::quantity::Kind;
use crate::quantity::sentence::{Figure, Sentence, sentence};
use crate::train::duty::MainHead;
use crate::train::rig::PressureRead;

record! {
    /// Which pressure of a main is taken.
    MainPressure(main: &MainHead)
    with {
        read = match main.read {
            PressureRead::Moving => "moving",
            PressureRead::AtRest => "at-rest",
        };
    }
    {
        /// `moving` or `at-rest`, as in the rig file.
        pressure_read: Text = read;
        /// First part behind the main.
        part: Text = &main.part;
        /// Duty at which both differ most.
        duty: Text = &main.duty;
        /// How much more gas at rest has.
        at_rest_over_moving_pa: PressureDifference = main.head;
    }
}

/// The same in words.
pub(super) fn told(main: &MainHead) -> Sentence {
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
