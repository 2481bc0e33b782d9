//! Why a leak could not be computed.

use crate::eos::EosError;
use crate::flow::air::AirError;
use crate::injector::error::InjectorError;
use crate::quantity::range::OutOfRange;
use crate::quantity::sentence::{in_kelvin_2, pressure};
use crate::quantity::told::errors;
use crate::tank::TankError;
use crate::train::TrainError;

errors! {
    /// Why a leak could not be computed.
    pub enum LeakError {
        Hole(InjectorError);
        Eos(EosError);
        Air(AirError);
        Tank(TankError);
        Train(TrainError);
        NoPressure { inside_pa: f64, outside_pa: f64 } =>
            "the fuel is at {}, not above the {} outside: nothing comes out, and air may be drawn in",
            pressure(inside_pa).close(), pressure(outside_pa).close();
        OpenTank =>
            "the liquid stands under the air alone, and what its height presses out of a joint is not computed: what runs out of a broken line stands in that line's row";
        GasOverLiquid =>
            "not followed where air or gas over the liquid presses it out: what runs out at first stands in the row of the broken line";
        OutOfRange(OutOfRange);
        NotGas { phase: &'static str, t_k: f64, p_pa: f64 } =>
            "the section holds {} at {} and {}; its emptying is computed for gas: give the mass in it for liquid that boils away",
            phase, in_kelvin_2(t_k), pressure(p_pa);
    }
}
