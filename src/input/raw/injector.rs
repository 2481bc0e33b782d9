//! Tables of the injector and of branches that end in holes of their own.

use crate::input::section::section;
use crate::input::words::{Edge, Shape};
use crate::quantity::{
    Angle, Length, MassRate, PressureDifference, PressureLevel, Ratio, TemperatureInterval,
    ThermodynamicTemperature, Time, Velocity, Volume, VolumeRate,
};
use crate::train::rig::Date;

section! {
    /// The holes the fuel comes through: one set for all duties.
    Injector {
        /// Number of holes.
        holes: u32, required, Between(1.0, 10_000.0), "24";
        /// Diameter of a hole; left out where `sized_at` is given.
        hole_diameter: Length, optional, Between(1e-5, 0.5), "\"0.8 mm\"";
        /// Duty that the holes are sized for; left out where `hole_diameter` is given, or where there is one duty.
        sized_at: String, optional, Any, "\"full\"";
        /// Length of a hole: the wall it is drilled through.
        hole_length: Length, optional, Between(1e-5, 1.0), "\"1.0 mm\"";
        /// Edge the fuel enters over: as drilled, reamed sharp, or rounded.
        edge: Edge, optional, Any, "\"drilled\"";
        /// Radius of a rounded edge.
        edge_radius: Length, optional, Between(1e-6, 0.5), "\"0.2 mm\"";
        /// Discharge coefficient you have measured.
        discharge_coefficient: Ratio, optional, Between(0.05, 1.0), "0.83";
        /// Pressure before the holes, where neither train nor duty gives it.
        pressure: PressureLevel, optional, Any, "\"1.5 bar(g)\"";
        /// Temperature of the fuel before the holes; from the train or the site if left out.
        temperature: ThermodynamicTemperature, optional, Between(150.0, 900.0), "\"10 degC\"";
        /// Ring, bar, or holes fed alike; fed alike if left out.
        shape: Shape, optional, Any, "\"ring\"";
        /// Diameter of the ring's centre line.
        ring_diameter: Length, optional, Between(1e-3, 100.0), "\"120 mm\"";
        /// Length of the bar between its closed ends.
        bar_length: Length, optional, Between(1e-3, 100.0), "\"300 mm\"";
        /// Bore of the ring's or bar's tube.
        tube_bore: Length, optional, Between(1e-4, 1.0), "\"8 mm\"";
        /// Height of the roughness in it.
        tube_roughness: Length, optional, NotNegative, "\"0.0015 mm\"";
        /// Where a ring is fed, by angle.
        feed_angles: Vec<Angle>, optional, Any, "[\"0 deg\", \"180 deg\"]";
        /// Where a bar is fed, from one end.
        feed_places: Vec<Length>, optional, NotNegative, "[\"150 mm\"]";
        /// Where the holes of a ring are; evenly spread if left out.
        hole_angles: Vec<Angle>, optional, Any, "[\"15 deg\", \"30 deg\"]";
        /// Where the holes of a bar are; evenly spread if left out.
        hole_places: Vec<Length>, optional, NotNegative, "[\"10 mm\", \"20 mm\"]";
        /// Largest spread between holes that you want.
        wanted_spread: Ratio, optional, Between(0.001, 0.9), "\"5 %\"";
        /// Drills that you have, for `injector --choose`: series (metric, number, letter, fraction), sizes and names.
        drills: Vec<String>, optional, Any, "[\"metric\", \"#60\", \"1/16 in\"]";
        /// Velocity of the air that the jets cross, at full throttle; from `air_passage` if left out.
        cross_flow: Velocity, optional, Between(0.01, 1000.0), "\"12 m/s\"";
        /// Distance downstream of the holes at which the reach of the jets is wanted.
        mixing_length: Length, optional, Between(1e-4, 100.0), "\"40 mm\"";
    }
}

section! {
    /// A branch of the train that ends in holes of its own, such as a pilot.
    Branch {
        /// Name, as the parts of the branch give it; `main` is the branch of `[injector]`.
        name: String, required, Any, "\"pilot\"";
        /// Number of holes.
        holes: u32, required, Between(1.0, 10_000.0), "1";
        /// Diameter of a hole.
        hole_diameter: Length, required, Between(1e-5, 0.5), "\"0.4 mm\"";
        /// Discharge coefficient.
        discharge_coefficient: Ratio, optional, Between(0.05, 1.0), "0.8";
    }
}

section! {
    /// A flow test of the finished holes with nitrogen, air or the fuel, as it was read: a steady flow (`upstream` with `flow` or
    /// `free_flow`), or a known volume that empties itself through them (`volume`, `from`, `to`, `time`). Void once number or diameter
    /// of the holes differ.
    FlowTest {
        /// Day of the test.
        date: Date, required, Any, "2026-03-21";
        /// What was let through: `nitrogen`, `air`, or a fuel or blend.
        gas: String, required, Any, "\"nitrogen\"";
        /// Number of holes that were tested together.
        holes: u32, required, Between(1.0, 10_000.0), "24";
        /// Diameter of a hole, as `[injector]` had it.
        hole_diameter: Length, required, Between(1e-5, 0.5), "\"0.8 mm\"";
        /// Pressure before the holes of a steady flow.
        upstream: PressureLevel, optional, Any, "\"1.5 bar(g)\"";
        /// Steady flow by mass.
        flow: MassRate, optional, Positive, "\"2.1 g/s\"";
        /// Steady flow as free gas, at 15 °C and one standard atmosphere.
        free_flow: VolumeRate, optional, Positive, "\"106 L/min\"";
        /// Volume that emptied itself, with all that was open to it.
        volume: Volume, optional, Positive, "\"10 L\"";
        /// Pressure in it at the start.
        from: PressureLevel, optional, Any, "\"5 bar(g)\"";
        /// Pressure in it when it was shut again.
        to: PressureLevel, optional, Any, "\"3 bar(g)\"";
        /// Pressure that it rose to, shut, once it was as warm as before.
        settled: PressureLevel, optional, Any, "\"3.3 bar(g)\"";
        /// Time from the one to the other.
        time: Time, optional, Positive, "\"9.4 s\"";
        /// Pressure behind the holes; the air of the site if left out.
        downstream: PressureLevel, optional, Any, "\"0 bar(g)\"";
        /// Temperature of the gas before the holes, of a volume at the start; that of the site if left out.
        temperature: ThermodynamicTemperature, optional, Between(200.0, 370.0), "\"16 degC\"";
        /// How far each pressure may be off; 1.6 % of the highest if left out.
        pressure_error: PressureDifference, optional, Positive, "\"10 mbar\"";
        /// How far the temperature may be off; 2 K if left out.
        temperature_error: TemperatureInterval, optional, NotNegative, "\"1 K\"";
        /// How far the flow may be off; 3 % if left out.
        flow_error: Ratio, optional, Share, "\"2 %\"";
        /// How far the volume may be off; 2 % if left out.
        volume_error: Ratio, optional, Share, "\"1 %\"";
        /// How far the time may be off; 0.5 s if left out.
        time_error: Time, optional, Positive, "\"0.2 s\"";
    }
}
