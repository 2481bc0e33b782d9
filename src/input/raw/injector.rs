//! Tables of the injector and of branches that end in holes of their own.

use crate::input::section::section;
use crate::input::words::{Edge, Shape};
use crate::quantity::{Angle, Length, PressureLevel, Ratio, ThermodynamicTemperature, Velocity};

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
