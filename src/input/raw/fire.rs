//! Tables of the fire side: air, burner, controls, duties, heat limits.

use crate::input::section::section;
use crate::quantity::span::Span;
use crate::quantity::{
    Area, Length, MassRate, Power, PressureLevel, Ratio, ThermodynamicTemperature, Time, Volume,
};
use crate::train::rig::{self, Flame, FlameDetection, Ignition, Sees};

section! {
    /// Air at full throttle: given, or from the blower, or both where they agree. Left out where every duty gives its own flow.
    Air {
        /// Air flow at full throttle.
        flow: MassRate, optional, Between(1e-6, 1e3), "\"60 g/s\"";
        /// Power at the blower's shaft.
        shaft_power: Power, optional, Between(0.01, 1e7), "\"450 W\"";
        /// Outlet over inlet pressure of the blower, both absolute.
        pressure_ratio: Ratio, optional, Between(1.0001, 4.0), "1.04";
        /// Efficiency of the blower from shaft to air.
        efficiency: Ratio, optional, PositiveShare, "\"55 %\"";
        /// Temperature at the blower's inlet; the site's if left out.
        inlet_temperature: ThermodynamicTemperature, optional, Between(200.0, 370.0), "\"12 degC\"";
        /// Whether the air flow is watched and the fuel shut when it fails.
        proved: bool, stated, Any, "true";
    }
}

section! {
    /// The can the fire is in and the duct behind it.
    Burner for rig::Burner {
        /// Volume of the can.
        can_volume: Volume, optional, Positive, "\"2.4 L\"";
        /// Volume of the duct behind it.
        duct_volume: Volume, optional, NotNegative, "\"60 L\"";
        /// Length of the can from injector to exit.
        can_length: Length, optional, Positive, "\"300 mm\"";
        /// Area that the air passes at the injector.
        air_passage: Area, optional, Between(1e-6, 100.0), "\"40 cm2\"";
        /// Distance from the injector to where the flame stands.
        flame_distance: Length, optional, NotNegative, "\"60 mm\"";
        /// Share of the air that enters before or at the flame.
        primary_air_share: Ratio, optional, PositiveShare, "\"40 %\"";
        /// Volume of the zone at the head of the can that this air enters.
        primary_volume: Volume, optional, Positive, "\"0.8 L\"";
        /// Share of the heat that the walls take before the gas leaves.
        heat_loss: Ratio, optional, Between(0.0, 0.95), "\"10 %\"";
        /// Share of the heat that is set free; the rest leaves unburnt, and the exit is colder by it.
        combustion_efficiency: Ratio, optional, PositiveShare, "\"97 %\"";
        /// Longest that the flame may burn on after the fuel is shut off; 3 s where it is left out.
        burn_on_limit: Time, optional, Positive, "\"3 s\"";
    }
}

section! {
    /// What lights, watches and stops the fire.
    Controls for rig::Controls {
        /// How the fire is lit.
        ignition: Ignition, stated, Any, "\"spark\"";
        /// How the flame is seen.
        flame_detection: FlameDetection, stated, Any, "\"ionisation\"";
        /// Time from loss of flame to the command to shut the fuel.
        flame_failure_time: Time, stated, NotNegative, "\"2 s\"";
        /// Longest time fuel flows at light-up without a flame.
        ignition_time: Time, stated, Positive, "\"3 s\"";
        /// Time the duct is blown through before light-up.
        purge_time: Time, stated, NotNegative, "\"60 s\"";
        /// Air flow while it is.
        purge_air_flow: MassRate, optional, Positive, "\"40 g/s\"";
        /// Whether a failed start or lost flame locks out until a person resets it.
        lockout: bool, stated, Any, "true";
        /// Whether a switch shuts the fuel when its pressure is too low.
        low_fuel_cutoff: bool, stated, Any, "true";
        /// Whether a switch shuts the fuel when its pressure is too high.
        high_fuel_cutoff: bool, stated, Any, "true";
        /// Whether there is an emergency stop within the operator's reach.
        emergency_stop: bool, stated, Any, "true";
        /// Flames that the detector sees: of the pilot, of the main burner, or of both.
        flame_detector_sees: Vec<Flame>, optional, Any, "[\"pilot\", \"main\"]";
        /// Times that the burner tries again by itself after a failed start.
        retries: u32, optional, Between(0.0, 100.0), "0";
        /// Whether a device tries the shut-off valves for tightness at every start or stop.
        valve_proving: bool, optional, Any, "true";
        /// Whether it burns with nobody near.
        unattended: bool, optional, Any, "false";
        /// Whether a device of its own shuts the fuel when something gets too hot.
        over_temperature_cutoff: bool, optional, Any, "true";
    }
}

section! {
    /// Something the rig is to do. One of the four fuel targets fixes the fuel; the other three follow.
    Duty {
        /// Name: letters, digits and dashes; may be left out where there is one duty.
        name: String, optional, Any, "\"full\"";
        /// Air flow.
        air_flow: MassRate, optional, Between(1e-6, 1e3), "\"60 g/s\"";
        /// Air flow as a share of that in `[air]`; all of it if left out.
        throttle: Ratio, optional, Between(0.001, 1.0), "\"35 %\"";
        /// Temperature of the air at the fire; as the blower leaves it, or the site's, if left out.
        air_temperature: ThermodynamicTemperature, optional, Between(200.0, 1500.0), "\"25 degC\"";
        /// Pressure of the chamber the holes blow into; 5 mbar(g) if left out.
        chamber_pressure: PressureLevel, optional, Any, "\"20 mbar(g)\"";
        /// Fuel target: fuel over the fuel that the air could just burn; a range such as "0.25-0.35" aims at its middle.
        equivalence_ratio: Span<Ratio>, optional, Between(0.01, 10.0), "0.35";
        /// Fuel target: fuel flow.
        fuel_flow: MassRate, optional, Between(1e-9, 100.0), "\"1.2 g/s\"";
        /// Fuel target: heat set free.
        heat_release: Power, optional, Between(0.1, 1e9), "\"50 kW\"";
        /// Fuel target: temperature of the gas that leaves.
        exit_temperature: ThermodynamicTemperature, optional, Between(300.0, 3000.0), "\"900 degC\"";
        /// Pressure before the injector's holes, where you set or read it yourself.
        injector_pressure: PressureLevel, optional, Any, "\"1.5 bar(g)\"";
        /// How long the duty lasts.
        duration: Time, optional, Positive, "\"30 min\"";
    }
}

section! {
    /// Something that must not get too hot.
    Limit {
        /// Where: liner, duct, coupon holder...
        place: String, required, Any, "\"liner\"";
        /// Material.
        material: String, required, Any, "\"310 stainless steel\"";
        /// Highest temperature it stands, of the gas that touches it.
        max_temperature: ThermodynamicTemperature, required, Between(250.0, 3000.0), "\"1050 degC\"";
        /// Gas that touches it: that of the primary zone, or that which leaves; if left out, the primary zone for a liner,
        /// can, dome or flame tube, the exit for a duct, flue, stack, exhaust, coupon or sample, and not known for any other
        /// place.
        sees: Sees, optional, Any, "\"primary-zone\"";
    }
}
