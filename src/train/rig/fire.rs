//! The fire side of a rig: air, can and duct, what lights and watches the flame, heat limits.

use crate::combustion::flame::{self, AirFeed, FlameError, FuelFeed};
use crate::flow::blower::Blower;
use crate::quantity::{
    AbsolutePressure, Area, Length, MassRate, Power, Ratio, ThermodynamicTemperature, Time, Volume,
    ratio, seconds,
};
use crate::train::worded::worded;

/// Where the air comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Air {
    /// Flow at full throttle, directly or through the blower; `None`: every duty gives its own.
    pub source: Option<AirSource>,
    /// Temperature at the blower's inlet; `None`: that of the site.
    pub inlet: Option<ThermodynamicTemperature>,
    /// Whether the flow is watched and the fuel shut when it fails.
    pub proved: Option<bool>,
}

/// Air flow at full throttle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AirSource {
    /// Given, with the blower where its pressure is given too.
    Flow(MassRate, Option<Blower>),
    /// From a blower.
    Blower {
        /// What it does to the air.
        blower: Blower,
        /// Power at its shaft.
        shaft: Power,
    },
}

/// The can the fire is in and the duct behind it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Burner {
    /// Volume of the can.
    pub can_volume: Option<Volume>,
    /// Volume of the duct behind it.
    pub duct_volume: Option<Volume>,
    /// Length of the can from injector to exit.
    pub can_length: Option<Length>,
    /// Area that the air passes at the injector.
    pub air_passage: Option<Area>,
    /// Distance from the injector to where the flame stands.
    pub flame_distance: Option<Length>,
    /// Share of the air that enters before or at the flame.
    pub primary_air_share: Option<Ratio>,
    /// Volume of the zone at the head of the can that this air enters.
    pub primary_volume: Option<Volume>,
    /// Share of the heat that the walls take before the gas leaves.
    pub heat_loss: Option<Ratio>,
    /// Share of the heat that is set free; [`Burner::efficiency`] where it is not given.
    pub combustion_efficiency: Option<Ratio>,
    /// Longest that the flame may burn on after the fuel is shut off; [`Burner::longest_burn_on`] where it is not given.
    pub burn_on_limit: Option<Time>,
}

/// Longest that a flame may burn on after a shut-off where the rig gives no limit, s: common practice, no source.
const BURN_ON_S: f64 = 3.0;

impl Burner {
    /// Longest that the flame may burn on after the fuel is shut off.
    pub fn longest_burn_on(&self) -> Time {
        self.burn_on_limit.unwrap_or(seconds(BURN_ON_S))
    }

    /// Share of the heat that is set free: all of it unless the rig says otherwise.
    pub fn efficiency(&self) -> Ratio {
        self.combustion_efficiency.unwrap_or(ratio(1.0))
    }

    /// The fire of a duty in this can: every exit temperature of a rig comes from here.
    ///
    /// # Errors
    /// [`FlameError`]: air or chamber out of range.
    pub fn fire(
        &self,
        fuel: FuelFeed,
        air_temperature: ThermodynamicTemperature,
        humidity_ratio: Ratio,
        chamber: AbsolutePressure,
    ) -> Result<flame::Burner, FlameError> {
        let air = AirFeed::with_humidity_ratio(air_temperature, humidity_ratio)?;
        flame::Burner::new(fuel, air, chamber)?
            .with_efficiency(self.efficiency())?
            .with_heat_loss(self.heat_loss.unwrap_or(ratio(0.0)))
    }
}

/// What lights, watches and stops the fire.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Controls {
    /// How it is lit.
    pub ignition: Option<Ignition>,
    /// How the flame is seen.
    pub flame_detection: Option<FlameDetection>,
    /// Time from loss of flame to the command to shut the fuel.
    pub flame_failure_time: Option<Time>,
    /// Longest time fuel flows at light-up without a flame.
    pub ignition_time: Option<Time>,
    /// Time the duct is blown through before light-up.
    pub purge_time: Option<Time>,
    /// Air flow while it is.
    pub purge_air_flow: Option<MassRate>,
    /// Whether a failed start or lost flame locks out until a person resets it.
    pub lockout: Option<bool>,
    /// Whether a switch shuts the fuel when its pressure is too low.
    pub low_fuel_cutoff: Option<bool>,
    /// Whether a switch shuts the fuel when its pressure is too high.
    pub high_fuel_cutoff: Option<bool>,
    /// Whether there is an emergency stop that the operator reaches.
    pub emergency_stop: Option<bool>,
    /// Flames that the detector sees; `None`: not said.
    pub flame_detector_sees: Option<Vec<Flame>>,
    /// Times that it tries again by itself after a failed start.
    pub retries: Option<u32>,
    /// Whether a device tries the shut-off valves for tightness at every start or stop.
    pub valve_proving: Option<bool>,
    /// Whether it burns with nobody near.
    pub unattended: Option<bool>,
    /// Whether a device of its own shuts the fuel when something gets too hot.
    pub over_temperature_cutoff: Option<bool>,
}

impl Controls {
    /// Whether an instrument watches the flame, as far as the file says.
    pub fn has_flame_detector(&self) -> bool {
        !matches!(
            self.flame_detection,
            None | Some(FlameDetection::None | FlameDetection::Eye)
        )
    }
}

worded! {
    /// A flame that a detector can see.
    pub enum Flame {
        /// Of a pilot.
        Pilot = "pilot",
        /// Of the main burner.
        Main = "main",
    }
}

worded! {
    /// A device that shuts the fuel, or what it shuts it with.
    pub enum Device {
        /// Flame detector.
        FlameDetector = "flame-detector",
        /// Switch that proves the air.
        AirSwitch = "air-switch",
        /// Switch for low fuel pressure.
        LowFuelCutoff = "low-fuel-cutoff",
        /// Switch for high fuel pressure.
        HighFuelCutoff = "high-fuel-cutoff",
        /// Emergency stop.
        EmergencyStop = "emergency-stop",
        /// Cut-out for too high a temperature.
        OverTemperatureCutoff = "over-temperature-cutoff",
        /// The shut-off valves themselves.
        ShutOffValves = "shut-off-valves",
    }
}

impl Device {
    /// What it is called.
    pub fn words(self) -> &'static str {
        match self {
            Self::FlameDetector => "flame detector",
            Self::AirSwitch => "air switch",
            Self::LowFuelCutoff => "low-pressure switch",
            Self::HighFuelCutoff => "high-pressure switch",
            Self::EmergencyStop => "emergency stop",
            Self::OverTemperatureCutoff => "over-temperature cut-out",
            Self::ShutOffValves => "shut-off valves",
        }
    }
}

worded! {
    /// How the fire is lit.
    pub enum Ignition {
        /// Spark.
        Spark = "spark",
        /// Hot surface or glow plug.
        HotSurface = "hot-surface",
        /// Pilot flame.
        Pilot = "pilot",
        /// A torch or match in somebody's hand.
        Hand = "hand" | "none",
    }
}

worded! {
    /// How the flame is seen.
    pub enum FlameDetection {
        /// Not at all.
        None = "none",
        /// By a person looking.
        Eye = "eye",
        /// Thermocouple.
        Thermocouple = "thermocouple",
        /// Flame rod.
        Ionisation = "ionisation",
        /// Ultraviolet or infrared cell.
        Optical = "optical",
    }
}

/// What must not get hotter than what.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatLimit {
    /// Where: liner, duct, coupon...
    pub place: String,
    /// Material.
    pub material: String,
    /// Highest temperature of the gas that touches it.
    pub max_temperature: ThermodynamicTemperature,
    /// Gas that touches it; `None`: neither said nor told by its name.
    pub sees: Option<Sees>,
}

worded! {
    /// Which gas touches a place.
    pub enum Sees {
        /// That of the zone where the flame stands.
        PrimaryZone = "primary-zone",
        /// That which leaves, of all the fuel with all the air.
        Exit = "exit",
    }
}

impl Sees {
    /// Which gas touches a place of this name: a wall round the flame the primary zone, what stands behind the burner
    /// the exit; `None` for any other.
    pub fn of_place(place: &str) -> Option<Self> {
        const WALLS: [&str; 4] = ["liner", "can", "dome", "flametube"];
        const BEHIND: [&str; 9] = [
            "duct", "exit", "outlet", "coupon", "sample", "exhaust", "flue", "stack", "chimney",
        ];
        let place = place.to_lowercase();
        let words: Vec<&str> = (place.split(|c: char| !c.is_alphanumeric()))
            .filter(|word| !word.is_empty())
            .map(|word| word.strip_suffix('s').unwrap_or(word))
            .collect();
        let any = |of: &[&str]| words.iter().any(|word| of.contains(word));
        if any(&WALLS) || words.windows(2).any(|two| two == ["flame", "tube"]) {
            Some(Self::PrimaryZone)
        } else if any(&BEHIND) {
            Some(Self::Exit)
        } else {
            None
        }
    }

    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Self::PrimaryZone => "primary zone",
            Self::Exit => "exit",
        }
    }
}
