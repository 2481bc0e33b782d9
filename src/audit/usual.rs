//! What the keys of a rig file are in the trade: a figure far outside is a slip of the unit or of the point, or a rig
//! that this program knows nothing of.
//!
//! The ranges are wide and common practice, no source, unless a row names one. They judge no rig: that a value is usual
//! does not make it right.

use super::Measured;
use crate::quantity::Kind;
use crate::train::rig::Given;

/// The usual range of a key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Usual {
    /// Table of the key; of parts the kind, or `train` for every kind that has no row of its own.
    pub table: &'static str,
    /// Key.
    pub key: &'static str,
    /// What it is; `None`: a number.
    pub kind: Option<Kind>,
    /// Least that is usual, in SI units, pressures gauge.
    pub low: f64,
    /// Most that is usual.
    pub high: f64,
    /// Whether a sum about danger rests on it.
    pub hazard: bool,
    /// Why that range.
    pub why: &'static str,
}

impl Usual {
    /// The range of a key, where it has one.
    pub fn of(given: &Given) -> Option<&'static Self> {
        let rows = || USUAL.iter().filter(|row| row.key == given.key);
        let part = given.path.starts_with("train.") || given.path.starts_with("train[");
        rows()
            .find(|row| row.table == given.table)
            .or_else(|| rows().find(|row| part && row.table == "train"))
    }

    /// A value of the key with its unit.
    pub fn measured(&self, si: f64) -> Measured {
        self.kind
            .map_or(Measured::Number(si), |kind| Measured::Quantity(kind, si))
    }

    /// Whether a value is outside. Nought is a statement of its own, which other rules judge.
    pub fn is_outside(&self, si: f64) -> bool {
        const WHISKER: f64 = 1e-9;
        let off = |limit: f64| WHISKER * limit.abs();
        si != 0.0 && (si < self.low - off(self.low) || si > self.high + off(self.high))
    }
}

/// Rows of the table: key, kind, least, most, whether a hazard sum rests on it, and why.
macro_rules! usual {
    ($($table:literal { $($key:ident $kind:ident $low:literal $high:literal $weight:ident $why:expr;)+ })+) => {
        /// The usual range of every key that a slip can spoil.
        pub static USUAL: &[Usual] = &[$($(Usual {
            table: $table,
            key: stringify!($key),
            kind: usual!(@kind $kind),
            low: $low,
            high: $high,
            hazard: usual!(@weight $weight),
            why: $why,
        }),+),+];
    };
    (@kind Number) => { None };
    (@kind $kind:ident) => { Some(Kind::$kind) };
    (@weight hazard) => { true };
    (@weight work) => { false };
}

const BURNER: &str = "small burners set free some hundred watts to some megawatts";
const NEAR: &str = "people and openings that matter are nearer, and nobody stands in the fire";
const SIZES: &str = "sizes of burners that one person can build";
const CYLINDERS: &str = "from a cartridge to a tank on a lorry";
const CLIMATE: &str = "air that people light burners in";
const LEAST_HOLE: &str = "no twist drill is thinner, and a wider jet is no jet of a small burner";
const PARTS: &str = "from a needle valve to a pipe of the hand's width";
const RATINGS: &str = "from a household gas tap to a tube for high pressure";
const FEED: &str = "from a household burner to a pressure-jet nozzle";
const DUCT: &str = "from a hand torch to a kiln";
const SHARES: &str = "a share below is most often a per cent sign too many";
const BANDS: &str = "nobody knows a rig closer, and a band beyond tells nothing";
const RUNS: &str = "from a second to ten days";
const TRIALS: &str = "no relay is faster, and nobody waits longer";
const NOZZLES: &str =
    "a real hole passes some tenths of the ideal flow and never more than all of it";

usual! {
    "site" {
        ambient_temperature Temperature 223.15 323.15 hazard CLIMATE;
        coldest Temperature 213.15 303.15 work CLIMATE;
        hottest Temperature 273.15 330.0 hazard "the hottest air on record had 57 degC (from memory)";
        altitude Length -430.0 5500.0 work "people live no lower and no higher (from memory)";
        relative_humidity Ratio 0.03 1.0 work SHARES;
        wind Velocity 0.02 25.0 work "beyond it is a storm";
        room_volume Volume 3.0 1e5 hazard "from a cupboard to a hall";
        ventilation VolumeRate 5e-4 100.0 hazard "from a gap under a door to the fans of a hall";
        low_point_distance Length 0.05 200.0 hazard NEAR;
        operator_distance Length 0.1 50.0 hazard NEAR;
        people_distance Length 0.1 1000.0 hazard NEAR;
        tank_to_fire Length 0.05 500.0 hazard "hoses and lines are no longer";
        shutoff_distance Length 0.02 100.0 hazard "a shut-off that is farther is none";
        extinguisher_charge Mass 0.4 100.0 hazard "from a spray can to a trolley";
    }
    "air" {
        flow MassRate 1e-4 5.0 hazard BURNER;
        shaft_power Power 0.5 1e5 hazard "from a computer's fan to a works blower";
        pressure_ratio Number 1.0005 2.2 hazard "one stage of a blower gives no more";
        efficiency Ratio 0.05 0.88 hazard "small fans reach a few tenths, the best of large ones 0.85";
        inlet_temperature Temperature 223.15 333.15 hazard "a fan's motor and bearings stand up to 60 degC; air that is heated behind it belongs to `air_temperature` of the duty";
    }
    "burner" {
        can_volume Volume 2e-5 2.0 hazard DUCT;
        duct_volume Volume 2e-5 100.0 hazard DUCT;
        can_length Length 0.01 5.0 work DUCT;
        air_passage Area 1e-5 2.0 work DUCT;
        flame_distance Length 5e-4 2.0 work DUCT;
        primary_air_share Ratio 0.02 1.0 work SHARES;
        primary_volume Volume 2e-6 1.0 work DUCT;
        heat_loss Ratio 0.002 0.85 work "hotter walls than these leave no exit gas to speak of";
        burn_on_limit Time 0.1 60.0 hazard "a flame that burns on for a minute is not shut off";
        combustion_efficiency Ratio 0.5 1.0 hazard "a fire that burns less than half of its fuel smokes or goes out";
    }
    "controls" {
        flame_failure_time Time 0.02 90.0 hazard "an optical cell needs some hundredths of a second, a thermocouple up to 60 s (EN 125, from memory)";
        ignition_time Time 0.2 300.0 hazard TRIALS;
        purge_time Time 1.0 3600.0 hazard TRIALS;
        purge_air_flow MassRate 1e-4 5.0 hazard BURNER;
    }
    "duties" {
        air_flow MassRate 5e-5 5.0 hazard BURNER;
        throttle Ratio 0.02 1.0 work SHARES;
        air_temperature Temperature 223.15 1000.0 work "what a recuperator of steel stands";
        chamber_pressure GaugePressure -5e3 2e5 hazard "cans of small burners stand at the air or just above it";
        equivalence_ratio Number 0.02 2.0 hazard "no fire of this kind burns so lean or so rich";
        fuel_flow MassRate 2e-6 0.2 hazard BURNER;
        heat_release Power 100.0 5e6 hazard BURNER;
        exit_temperature Temperature 330.0 2600.0 work "from warm air to the flame itself";
        injector_pressure GaugePressure 10.0 1e7 hazard FEED;
        duration Time 1.0 8.64e5 work RUNS;
    }
    "limits" {
        max_temperature Temperature 353.15 2500.0 work "from plastics to the best of ceramics";
    }
    "injector" {
        holes Number 1.0 1000.0 hazard "somebody has to drill and to clean them";
        hole_diameter Length 1e-4 0.03 hazard LEAST_HOLE;
        hole_length Length 5e-5 0.1 work "walls of tubes and nozzles";
        edge_radius Length 5e-6 0.02 work "what a countersink or a scraper makes";
        discharge_coefficient Number 0.15 1.0 hazard NOZZLES;
        pressure GaugePressure 10.0 1e7 hazard FEED;
        temperature Temperature 213.15 700.0 work "from a chilled cylinder to a vaporiser coil";
        ring_diameter Length 0.005 3.0 work SIZES;
        bar_length Length 0.005 6.0 work SIZES;
        tube_bore Length 5e-4 0.2 work SIZES;
        tube_roughness Length 5e-8 2e-3 work "from drawn tube to rust";
        wanted_spread Ratio 0.003 0.5 work SHARES;
        cross_flow Velocity 0.05 200.0 work "from a draught to half the speed of sound";
        mixing_length Length 1e-3 5.0 work DUCT;
    }
    "branches" {
        holes Number 1.0 200.0 hazard "somebody has to drill and to clean them";
        hole_diameter Length 1e-4 0.02 hazard LEAST_HOLE;
        discharge_coefficient Number 0.15 1.0 hazard NOZZLES;
    }
    "tank" {
        volume Volume 5e-5 10.0 hazard CYLINDERS;
        fuel_mass Mass 0.01 5000.0 hazard CYLINDERS;
        fill Ratio 0.01 1.0 hazard SHARES;
        temperature Temperature 223.15 323.15 hazard "a cylinder is kept below 50 degC";
        pressure GaugePressure -1e4 4e6 hazard "from a vented can to gas on top of a liquid";
        wall_mass Mass 0.02 5000.0 work CYLINDERS;
        wall_specific_heat SpecificHeat 300.0 2000.0 work "metals and plastics; water has 4200 J/(kg K)";
        empty_mass Mass 0.02 6000.0 work CYLINDERS;
        diameter Length 0.03 3.0 work CYLINDERS;
        length Length 0.04 15.0 work CYLINDERS;
        relief_pressure GaugePressure 1e3 5e7 hazard "from a vented can to a cylinder of compressed gas";
        rating GaugePressure 1e3 5e7 hazard "from a vented can to a cylinder of compressed gas";
        number Number 1.0 50.0 hazard "a larger battery is a plant";
        conductance ThermalConductance 0.02 1500.0 work "some 10 W/(m2 K) on the surface of a tank";
        water_bath Temperature 273.15 323.15 hazard "hotter water is not put round a cylinder";
        frost_thickness Length 1e-4 0.05 work "thicker frost falls off";
        frost_conductivity Conductivity 0.02 2.3 work "from fresh rime to solid ice, 2.2 W/(m K)";
        emissivity Number 0.02 1.0 work "from polished aluminium to soot";
        wall_thickness Length 2e-4 0.05 hazard CYLINDERS;
    }
    "mains" {
        pressure GaugePressure 500.0 2e6 hazard "from a household main to a works main";
        temperature Temperature 243.15 323.15 work "pipes in the ground or in a house";
        max_flow MassRate 1e-5 2.0 work BURNER;
    }
    "hose" {
        max_pressure GaugePressure 2e3 2.5e7 hazard "rubber fuel hoses are made for 10 to 30 bar, braided PTFE up to some 250 bar";
        length Length 0.02 200.0 hazard PARTS;
    }
    "train" {
        mass Mass 1e-3 300.0 work PARTS;
        max_pressure GaugePressure 2e3 1e8 hazard RATINGS;
        min_temperature Temperature 70.0 283.15 work "from liquid nitrogen to a part that must not freeze";
        max_temperature Temperature 303.15 1500.0 hazard "from plastics to heat-resisting steel";
        internal_volume Volume 1e-8 0.05 hazard PARTS;
        closing_time Time 5e-3 120.0 hazard TRIALS;
        bore Length 1e-4 0.2 hazard PARTS;
        outside_diameter Length 5e-4 0.4 work PARTS;
        length Length 5e-3 500.0 hazard PARTS;
        roughness Length 5e-8 3e-3 work "from drawn tube to rust";
        friction_factor Number 0.007 0.3 work "turbulent flow in any tube";
        loss_coefficient Number 0.01 500.0 work PARTS;
        rise Length -50.0 50.0 work "higher than a house";
        heat_by_length Conductivity 0.01 50.0 work "some watts a metre and kelvin";
        heat_outside HeatTransfer 0.5 500.0 work "still air gives some 10 W/(m2 K), a storm 100";
        flow_coefficient FlowCoefficient 2e-4 500.0 hazard PARTS;
        max_differential PressureDifference 500.0 3e7 hazard RATINGS;
        rangeability Number 2.0 500.0 work "usual valves turn down 10 to 100 to 1";
        opening Ratio 0.01 1.0 work SHARES;
        xt Number 0.1 0.95 work "IEC 60534-2-1 has 0.15 to 0.84 for common valves (from memory)";
        fl Number 0.3 1.0 work "IEC 60534-2-1 has 0.55 to 0.98 for common valves (from memory)";
        steps Number 10.0 1e5 work "a drive of fewer steps controls nothing";
        discharge_coefficient Number 0.3 1.0 hazard NOZZLES;
        count Number 1.0 100.0 work PARTS;
        radius_ratio Number 0.5 30.0 work "from a sharp elbow to a bent tube";
    }
    "regulator" {
        set_pressure GaugePressure 200.0 5e6 hazard FEED;
        rated_flow MassRate 5e-6 2.0 work BURNER;
        droop PressureDifference 5.0 1e6 work "a fraction of the set pressure";
        lock_up PressureDifference 5.0 1e6 hazard "a fraction of the set pressure";
        wide_open FlowCoefficient 1e-3 100.0 hazard PARTS;
        min_inlet GaugePressure 200.0 1e7 work FEED;
        max_inlet GaugePressure 1e3 3e7 hazard RATINGS;
        nominal_inlet GaugePressure 200.0 3e7 work RATINGS;
        shut_off_pressure GaugePressure 500.0 1e7 hazard RATINGS;
        supply_effect Number 1e-5 0.3 hazard "a few thousandths to a tenth: a valve that hands on more of its inlet regulates nothing";
    }
    "excess-flow-valve" {
        closing_flow MassRate 1e-5 5.0 hazard BURNER;
        closing_density Density 0.3 1000.0 hazard "from hydrogen under pressure to liquids";
    }
    "check-valve" {
        cracking PressureDifference 5.0 5e5 work "the spring of a check valve";
    }
    "pump" {
        outlet_pressure GaugePressure 5e3 5e7 hazard FEED;
        max_flow VolumeRate 1e-9 5e-3 hazard BURNER;
        efficiency Ratio 0.02 0.9 work "small pumps reach a few tenths";
        npsh PressureDifference 100.0 5e5 work "a few metres of liquid";
        max_power Power 0.1 2e4 work BURNER;
    }
    "relief-valve" {
        set_pressure GaugePressure 200.0 5e7 hazard RATINGS;
        bore Length 5e-4 0.1 hazard PARTS;
    }
    "tapping" {
        gauge_range GaugePressure 500.0 1e8 hazard RATINGS;
    }
    "leak_test" {
        pressure GaugePressure 500.0 5e7 hazard RATINGS;
        hold_time Time 20.0 6.05e5 hazard "from half a minute to a week";
        gauge_resolution PressureDifference 0.05 1e5 hazard "from an electronic manometer to a gauge for high pressure";
        volume Volume 1e-6 10.0 hazard PARTS;
        start_temperature Temperature 233.15 333.15 work CLIMATE;
        end_temperature Temperature 233.15 333.15 work CLIMATE;
    }
    "schedule" {
        repeats Number 1.0 10000.0 work RUNS;
    }
    "steps" {
        duration Time 1.0 8.64e5 work RUNS;
    }
    "switch" {
        endurance Time 10.0 8.64e5 work RUNS;
        feed_pressure GaugePressure 5e3 5e7 work FEED;
        pump_efficiency Ratio 0.02 0.9 work "small pumps reach a few tenths";
        battery_energy SpecificEnergy 5e4 2e6 work "lead holds some 35 Wh/kg, lithium up to 300 Wh/kg";
        pump_lift Length -20.0 20.0 work "no pump of a small rig stands higher";
        suction_head Length 0.02 20.0 work "a few metres of liquid";
        nozzles Number 1.0 50.0 work BURNER;
        line_length Length 0.02 300.0 work PARTS;
    }
    "tolerance" {
        air_flow Ratio 5e-4 0.5 hazard BANDS;
        supply_pressure Ratio 5e-4 0.5 hazard BANDS;
        set_pressure Ratio 5e-4 0.5 hazard BANDS;
        droop Ratio 5e-4 0.9 work BANDS;
        temperature TemperatureDifference 0.05 40.0 work BANDS;
        composition Ratio 5e-4 0.5 hazard BANDS;
        discharge_coefficient Ratio 5e-4 0.5 hazard BANDS;
    }
}
