//! What a rig file may leave out, and what is taken in its place: with these, ten keys make a rig.

use super::key::Key;
use super::raw::{ALONE_DUTY, RigFile, Tank};
use super::value::FieldValue;
use super::words::Shape;
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::{Composition, FedAs, Library};
use crate::quantity::sentence::{Sentence, gauge, length, mass, sentence, temperature};
use crate::quantity::{
    PressureLevel, ZERO_CELSIUS_K, kelvin, kilograms, metres, pascals_gauge, ratio,
};
use crate::train::Draw;
use crate::train::rig::{TankPosition, WallMaterial};
use std::f64::consts::PI;
use std::path::Path;

/// Air of a mild day. Our choice.
const AMBIENT_K: f64 = ZERO_CELSIUS_K + 15.0;

/// Chamber of a burner with a short duct, gauge. Our choice.
const CHAMBER_PA: f64 = 500.0;

/// Mass of a cylinder's steel wall by its water capacity, kg/m³, and its length over its diameter: common practice for
/// gas cylinders of 10 to 60 L, no source.
const WALL_KG_M3: f64 = 400.0;
const SLENDERNESS: f64 = 1.6;

/// Density of steel, kg/m³: a textbook figure.
const STEEL_KG_M3: f64 = 7850.0;

/// Puts in place what the file leaves out and says so.
#[derive(Default)]
struct StandIns {
    told: Vec<Sentence>,
}

impl StandIns {
    fn take<T: FieldValue>(&mut self, key: &mut Key<T>, value: T, told: impl Into<Sentence>) {
        if key.stand_in(value) {
            self.told.push(told.into());
        }
    }

    fn duties(&mut self, raw: &mut RigFile) {
        let alone = raw.duties.len() == 1;
        for duty in &mut raw.duties {
            if alone {
                let told = format!("The duty is called `{ALONE_DUTY}`: it has no name.");
                self.take(&mut duty.name, ALONE_DUTY.to_owned(), told);
            }
            let name = duty.name.value().unwrap_or_default();
            if raw.air.is_some() && !duty.air_flow.is_there() {
                let told = format!(
                    "Duty `{name}` is taken at full throttle: it gives neither `throttle` nor `air_flow`."
                );
                self.take(&mut duty.throttle, ratio(1.0), told);
            }
            let told = sentence!(
                "The chamber of duty `{}` is taken at {}: it gives no `chamber_pressure`.",
                name,
                gauge(CHAMBER_PA)
            );
            let level = PressureLevel::Gauge(pascals_gauge(CHAMBER_PA));
            self.take(&mut duty.chamber_pressure, level, told);
        }
    }

    fn injector(&mut self, raw: &mut RigFile) {
        let injector = &mut raw.injector;
        if !injector.holes.is_there() {
            return;
        }
        let told = "The holes are taken as fed alike: the injector gives no `shape`.";
        self.take(&mut injector.shape, Shape::Holes, told);
        if let [duty] = raw.duties.as_slice()
            && let Some(name) = duty.name.value()
            && !injector.hole_diameter.is_there()
        {
            let told = format!(
                "The holes are sized for duty `{name}`: the injector gives no `hole_diameter`."
            );
            self.take(&mut injector.sized_at, name, told);
        }
    }

    fn tank(&mut self, tank: &mut Tank, fed_as: FedAs) {
        let told = "The tank is taken as upright: `position` is not given.";
        self.take(&mut tank.position, TankPosition::Upright, told);
        let (draw, told) = match fed_as {
            FedAs::Gas => (
                Draw::Vapour,
                "Vapour is taken to be drawn: `draw` is not given.",
            ),
            FedAs::Liquid => (
                Draw::Liquid,
                "Liquid is taken to be drawn: `draw` is not given.",
            ),
        };
        self.take(&mut tank.draw, draw, told);
        let says_something = tank.wall_mass.is_there()
            || tank.wall_material.is_there()
            || tank.wall_specific_heat.is_there()
            || tank.wall_thickness.is_there()
            || tank.empty_mass.is_there()
            || tank.diameter.is_there()
            || tank.length.is_there()
            || tank.conductance.is_there()
            || tank.water_bath.is_there();
        let (false, FedAs::Gas, Some(volume)) = (says_something, fed_as, tank.volume.value())
        else {
            return;
        };
        let wall_kg = WALL_KG_M3 * volume.value;
        let outside_m3 = volume.value + wall_kg / STEEL_KG_M3;
        let diameter_m = (outside_m3 / (PI / 4.0 * SLENDERNESS)).cbrt();
        let length_m = SLENDERNESS * diameter_m;
        tank.wall_material.stand_in(WallMaterial::Steel);
        tank.wall_mass.stand_in(kilograms(wall_kg));
        tank.diameter.stand_in(metres(diameter_m));
        tank.length.stand_in(metres(length_m));
        self.told.push(sentence!(
            "The tank is taken as a steel cylinder of its volume, {} of wall, {} across and {} long: `[tank]` says nothing of its wall and size.",
            mass(wall_kg).digits(2),
            length(diameter_m).digits(2),
            length(length_m).digits(2)
        ));
    }
}

/// Puts in place what the file leaves out, and says so, a sentence each; `path` is that of the file.
pub(super) fn stand_in(raw: &mut RigFile, path: &str, library: &Library) -> Vec<Sentence> {
    let mut all = StandIns::default();
    let stem = Path::new(path).file_stem();
    let name = stem.map_or_else(|| "rig".to_owned(), |s| s.to_string_lossy().into_owned());
    let told = "The rig is called as its file: `[rig]` gives no `name`.";
    all.take(&mut raw.rig.name, name, told);
    let told = sentence!(
        "The air of the site is taken at {}: it gives no `ambient_temperature`.",
        temperature(AMBIENT_K)
    );
    all.take(&mut raw.site.ambient_temperature, kelvin(AMBIENT_K), told);
    all.duties(raw);
    all.injector(raw);
    let fuel = raw.fuel.composition.value();
    let fuel = fuel.and_then(|fuel| Composition::parse(&fuel, library).ok());
    let fed_as = fuel.map_or(FedAs::Gas, |fuel| usual_phase(&fuel));
    if let Some(tank) = &mut raw.tank {
        all.tank(tank, fed_as);
    }
    all.told
}
