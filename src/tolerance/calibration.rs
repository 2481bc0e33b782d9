//! What a run that was weighed says of a rig: the bands that stand in its file, narrowed by what was read.

mod fitting;

use super::inputs::{Input, InputKind};
use super::study::{Base, ToleranceError};
use super::whole::Route;
use crate::audit::Solution;
use crate::quantity::told::errors;
use crate::quantity::{AbsolutePressure, Kind, MassRate, ThermodynamicTemperature, kelvin};
use fitting::{Fitting, Varied};

/// Standard uncertainties to either side that hold 95 % of a normal distribution.
const COVERAGE: f64 = 1.96;
/// How far the fuel before the holes may be from as warm as the train brings it, K: a cylinder chills within minutes. Our choice.
pub const RING_K: f64 = 10.0;
/// The same where it was read. Our choice.
pub const READ_K: f64 = 2.0;
/// Share of the band that is left, below which a run has found something, and above which it says nothing. Our choice.
const FOUND: f64 = 0.5;
const NOTHING: f64 = 0.9;
/// Standard uncertainties beyond which a reading contradicts the file. Our choice: one run in a thousand by chance.
pub const CONTRADICTS: f64 = 3.3;

/// A run that was weighed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Flow by weight.
    pub flow: MassRate,
    /// Its standard uncertainty, relative.
    pub flow_error: f64,
    /// Pressure before the holes, and its standard uncertainty, Pa.
    pub ring: Option<(AbsolutePressure, f64)>,
    /// Temperature of the fuel before the holes, where it was read.
    pub ring_temperature: Option<ThermodynamicTemperature>,
    /// Opening of the throttle, and how far it may be off.
    pub opening: Option<(f64, f64)>,
    /// Pressure behind the holes; `None`: that of the duty.
    pub chamber: Option<AbsolutePressure>,
    /// Whether what is weighed is a liquid that was caught.
    pub caught: bool,
}

/// How well a run tells something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Told {
    /// Its band is half of what it was, or less.
    Found,
    /// It is narrower.
    Partly,
    /// It is as it was.
    Nothing,
}

impl Told {
    fn of(left: f64) -> Self {
        match left {
            _ if left < FOUND => Self::Found,
            _ if left < NOTHING => Self::Partly,
            _ => Self::Nothing,
        }
    }

    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Found => "found",
            Self::Partly => "partly",
            Self::Nothing => "not from this run",
        }
    }
}

/// Something that varies, before and after; departures from the file, relative or in kelvin.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// What it is.
    pub name: String,
    /// Unit of the departures.
    pub unit: Kind,
    /// Band before.
    pub before: (f64, f64),
    /// Best value after.
    pub value: f64,
    /// Half-width of its 95 % band.
    pub half: f64,
    /// Standard uncertainty over what it was.
    pub left: f64,
    /// How well it is told.
    pub told: Told,
}

/// A reading against what the file makes of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Against {
    /// Read, SI.
    pub read: f64,
    /// Half-width of its 95 % band.
    pub read_half: f64,
    /// Predicted by the file.
    pub predicted: f64,
    /// Half-width of its 95 % band.
    pub predicted_half: f64,
    /// Read less predicted, in standard uncertainties of both.
    pub off: f64,
}

impl Against {
    fn new(read: (f64, f64), predicted: (f64, f64)) -> Self {
        Self {
            read: read.0,
            read_half: COVERAGE * read.1,
            predicted: predicted.0,
            predicted_half: COVERAGE * predicted.1,
            off: (read.0 - predicted.0) / read.1.hypot(predicted.1),
        }
    }
}

/// Flow of a duty before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct Narrowed {
    /// Duty.
    pub name: String,
    /// 95 % band of its fuel flow before, kg/s.
    pub before: (f64, f64),
    /// The same after.
    pub after: (f64, f64),
    /// Equivalence ratio for a flow of 1 kg/s.
    pub ratio_per_flow: f64,
    /// Input that has most of the band that is left, and its share of the variance.
    pub most: Option<(String, f64)>,
}

/// What a run says.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibrated {
    /// Duty it is taken for.
    pub duty: String,
    /// Opening it is taken at.
    pub opening: Option<f64>,
    /// Flow against the file.
    pub flow: Against,
    /// Pressure before the holes against the file.
    pub ring: Option<Against>,
    /// Flow against what the holes pass at the pressure that was read.
    pub at_ring: Option<Against>,
    /// Coefficient times area of the holes, then all else that varies, best told first.
    pub known: Vec<Known>,
    /// Discharge coefficient in the file.
    pub coefficient: f64,
    /// Duties.
    pub duties: Vec<Narrowed>,
}

impl Calibrated {
    /// Whether the flow is what the holes of the file can pass: at the pressure that was read, or as the train feeds them. Where
    /// it is not, a leak or a wrong reading may be behind it as well as the holes, and the run narrows nothing.
    pub fn narrows(&self) -> bool {
        self.at_ring.unwrap_or(self.flow).off.abs() <= CONTRADICTS
    }
}

errors! {
    /// Why a run says nothing.
    pub enum CalibrationError {
        Tolerance(ToleranceError);
        NoDuty => "no duty of the rig has holes that are fed";
        NoSuchDuty { name: String } => "there is no duty `{name}` that the holes can feed";
        NoThrottle => "the rig has no throttle that stands at an opening";
        NoCylinder => "the fuel of this rig comes from a main: there is no cylinder to weigh";
        NotLiquid => "what leaves the holes of this rig is no liquid that can be caught: weigh the cylinder, with --weighed";
        NoDrop => "the pressure before the holes, --ring, is not above that behind them: give that as --chamber where it is not that of the duty";
        NoPressure => "what is caught in the open says something of the holes where the pressure before them is read: give --ring";
        Contradicts => "--write: the run contradicts the holes of the file: what is behind it is looked for first, and nothing is written";
        Model { why: String } => "the rig cannot be solved for this run: {why}";
    }
}

/// What a run says of a rig.
///
/// Every band of the rig is what was known before: a rectangle's middle and its width over √12 (`jcgm100`, 4.3.7). Flow by
/// weight and pressure before the holes move them all at once, by least squares; what moves and by how much its band
/// shrinks is what the run tells. Opening, temperatures and drop are of the day: the duties have them anew.
///
/// **Valid:** a run that stood as it was from one weighing to the other. **Source:** `jcgm100` for the propagation.
///
/// # Errors
/// [`CalibrationError`].
pub fn calibrated(
    solution: &Solution<'_>,
    run: &Run,
    duty: Option<&str>,
) -> Result<Calibrated, CalibrationError> {
    if !run.caught && solution.rig.supply.tank().is_none() {
        return Err(CalibrationError::NoCylinder);
    }
    let mut base = Base::new(solution)?;
    let place = chosen(&base, run, duty)?;
    let need = base.needs[place].clone();
    if let Some((_, half)) = run.opening {
        let of_duty = base.opening(&need.name);
        of_duty.ok_or(CalibrationError::NoThrottle)?;
        base.inputs.retain(|i| i.kind != InputKind::Opening);
        let name = "throttle position".to_owned();
        base.inputs.push(Input {
            kind: InputKind::Opening,
            name,
            low: -half,
            high: half,
            basis: "reading of the run",
        });
    }
    let chamber = run.chamber.unwrap_or(need.chamber);
    let mut of_run = base.model(&need).ok_or(CalibrationError::NoDuty)?;
    of_run.need.chamber = chamber;
    if let Some((opening, _)) = run.opening {
        of_run.open(opening);
    }
    let holes = base.injection(&need.name).ok_or(CalibrationError::NoDuty)?;
    let brought = kelvin(holes.at_need.supply.temperature_k);
    let t = run.ring_temperature.unwrap_or(brought);
    if run.caught && holes.at_need.supply.vapour_mass_fraction > 0.0 {
        return Err(CalibrationError::NotLiquid);
    }
    if run.caught && run.ring.is_none() {
        return Err(CalibrationError::NoPressure);
    }
    let mut at_ring = None;
    if let Some((pressure, u)) = run.ring {
        let mut alone = base.model(&need).ok_or(CalibrationError::NoDuty)?;
        alone.need.chamber = chamber;
        alone.route = Route::Holes {
            pressure,
            temperature: t,
        };
        let drop_pa = pressure.pascals() - chamber.pascals();
        if drop_pa <= 0.0 {
            return Err(CalibrationError::NoDrop);
        }
        at_ring = Some((alone, u / drop_pa));
    }
    let varied = Varied {
        fuel: (0..base.inputs.len())
            .filter(|&j| base.inputs[j].moves_fuel())
            .collect(),
        inputs: &base.inputs,
    };
    Fitting {
        base: &base,
        run,
        of_run,
        at_ring,
        brought_k: brought.value,
        varied,
    }
    .found(need.name, holes.at_need.coefficient.value)
}

/// The duty that a run is taken for: the one that is named, the nearest by opening, or by flow.
fn chosen(base: &Base<'_>, run: &Run, named: Option<&str>) -> Result<usize, CalibrationError> {
    let fed = |i: &usize| base.injection(&base.needs[*i].name).is_some();
    if let Some(name) = named {
        let found = (0..base.needs.len()).find(|i| base.needs[*i].name == name && fed(i));
        return found.ok_or_else(|| CalibrationError::NoSuchDuty {
            name: name.to_owned(),
        });
    }
    let off = |i: &usize| {
        let need = &base.needs[*i];
        match (run.opening, base.opening(&need.name)) {
            (Some((read, _)), Some(own)) => (read - own).abs(),
            _ => (run.flow.value / need.fuel.value).ln().abs(),
        }
    };
    let all = (0..base.needs.len()).filter(fed);
    let nearest = all.min_by(|a, b| off(a).total_cmp(&off(b)));
    nearest.ok_or(CalibrationError::NoDuty)
}
