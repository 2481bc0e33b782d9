//! Every figure that an audit rests on and that fluid properties move, as one flat list: to lay two solutions
//! of one rig side by side.

use super::Solution;
use super::outcome::{FIGURES, Outcome};
use crate::leak::rig::Effect;
use crate::quantity::Kind;
use crate::tank::vessel::Contents;
use crate::train::rig::Supply;
use crate::train::solution::Station;

/// What a figure belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// The fuel as it is supplied.
    Supply,
    /// Duties and holes.
    Duties,
    /// Pressures and temperatures along the train.
    Train,
    /// The tank: its limits and the run of the schedule.
    Tank,
    /// What comes out where something leaks or breaks.
    Releases,
    /// Liquid between closed valves.
    Trapped,
}

impl Group {
    /// All of them, in order.
    pub const ALL: [Self; 6] = [
        Self::Supply,
        Self::Duties,
        Self::Train,
        Self::Tank,
        Self::Releases,
        Self::Trapped,
    ];

    /// Word in tables and JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::Supply => "supply",
            Self::Duties => "duties",
            Self::Train => "train",
            Self::Tank => "tank",
            Self::Releases => "releases",
            Self::Trapped => "trapped liquid",
        }
    }
}

/// One figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// What it belongs to.
    pub group: Group,
    /// Duty, part or both; empty where the rig has one only.
    pub at: String,
    /// What it is called.
    pub name: &'static str,
    /// Its JSON key.
    pub key: &'static str,
    /// What it is; a plain number has none.
    pub kind: Option<Kind>,
    /// Its value, SI.
    pub si: f64,
}

/// The list that is being written.
struct List {
    group: Group,
    all: Vec<Measure>,
}

impl List {
    fn add(
        &mut self,
        at: &str,
        (name, key, kind): (&'static str, &'static str, impl Into<Option<Kind>>),
        si: impl Into<Option<f64>>,
    ) {
        if let Some(si) = si.into() {
            self.all.push(Measure {
                group: self.group,
                at: at.to_owned(),
                name,
                key,
                kind: kind.into(),
                si,
            });
        }
    }

    fn station(&mut self, at: &str, s: &Station) {
        self.add(at, PRESSURE, s.pressure.pascals());
        self.add(at, TEMPERATURE, s.temperature.value);
        self.add(at, DENSITY, s.density.value);
        self.add(
            at,
            ("velocity", "velocity_m_s", Kind::Velocity),
            s.velocity.value,
        );
    }

    fn contents(&mut self, at: &str, c: &Contents) {
        self.add(at, PRESSURE, c.pressure.pascals());
        self.add(at, TEMPERATURE, c.temperature.value);
        self.add(at, ("liquid", "liquid_mass_kg", Kind::Mass), c.liquid.value);
    }

    fn effect(&mut self, at: &str, e: &Effect) {
        self.add(at, FLOW, e.release.flow.value);
        let jet = e.consequences.jet.as_ref();
        let half = jet.map(|j| j.half_limit.value.value);
        self.add(
            at,
            ("to half LFL", "distance_to_half_lfl_m", Kind::Length),
            half,
        );
        let fire = e.consequences.fire.as_ref();
        self.add(
            at,
            ("flame", "flame_length_m", Kind::Length),
            fire.map(|f| f.length.value),
        );
    }
}

const PRESSURE: (&str, &str, Kind) = ("pressure", "pressure_pa", Kind::AbsolutePressure);
const TEMPERATURE: (&str, &str, Kind) = ("temperature", "temperature_k", Kind::Temperature);
const DENSITY: (&str, &str, Kind) = ("density", "density_kg_m3", Kind::Density);
const FLOW: (&str, &str, Kind) = ("flow", "flow_kg_s", Kind::MassRate);

/// The figures of a solution and its key figures; what could not be had is not in the list.
pub fn measures(solution: &Solution<'_>, outcome: &Outcome) -> Vec<Measure> {
    let mut list = List {
        group: Group::Supply,
        all: Vec::new(),
    };
    supply(&mut list, solution);
    list.group = Group::Duties;
    duties(&mut list, solution, outcome);
    list.group = Group::Train;
    train(&mut list, solution);
    list.group = Group::Tank;
    tank(&mut list, solution);
    list.group = Group::Releases;
    releases(&mut list, solution);
    list.group = Group::Trapped;
    for section in solution.trapped().iter().flatten() {
        if let Some(Ok(heating)) = &section.heating {
            let [from, to] = [&section.section.from, &section.section.to].map(|n| n.join(" and "));
            let at = format!("{from} to {to}");
            let rise = ("rise", "pressure_rise_pa_k", Kind::PressurePerTemperature);
            list.add(&at, rise, heating.rise_pa_k);
        }
    }
    list.all
}

/// The fuel in tank or main.
fn supply(list: &mut List, solution: &Solution<'_>) {
    let fluid = &solution.fluid;
    let rig = solution.rig;
    let here = match &rig.supply {
        Supply::Mains(main) => {
            let t = main.temperature.unwrap_or(rig.site.ambient);
            fluid.state_pt(main.pressure.pascals(), t.value).ok()
        }
        Supply::Tank(tank) => {
            let t = tank.temperature.unwrap_or(rig.site.ambient);
            let sat = fluid.bubble_t(t.value).ok();
            if let Some(e) = &sat {
                list.add(
                    "",
                    (
                        "vapour pressure",
                        "vapour_pressure_pa",
                        Kind::AbsolutePressure,
                    ),
                    e.pressure_pa,
                );
                list.add(
                    "",
                    ("liquid density", "liquid_density_kg_m3", Kind::Density),
                    e.liquid.density_kg_m3,
                );
                list.add(
                    "",
                    ("vapour density", "vapour_density_kg_m3", Kind::Density),
                    e.vapour.density_kg_m3,
                );
                list.add(
                    "",
                    ("heat to boil", "latent_heat_j_kg", Kind::SpecificEnergy),
                    e.latent_heat_j_kg(),
                );
                if let Ok(dew) = fluid.dew_t(t.value)
                    && fluid.composition().parts().len() > 1
                {
                    list.add(
                        "",
                        ("dew pressure", "dew_pressure_pa", Kind::AbsolutePressure),
                        dew.pressure_pa,
                    );
                }
            }
            // the gas at half the vapour pressure, where no phase is in doubt
            sat.and_then(|e| fluid.state_pt(0.5 * e.pressure_pa, t.value).ok())
        }
    };
    let Some(gas) = here else { return };
    let place = match &rig.supply {
        Supply::Mains(_) => "",
        Supply::Tank(_) => "at half the vapour pressure",
    };
    list.add(place, DENSITY, gas.density_kg_m3);
    if let Some(r) = gas.response {
        list.add(
            place,
            ("heat capacity", "cp_j_kg_k", Kind::SpecificHeat),
            r.cp_j_kg_k,
        );
        list.add(
            place,
            ("speed of sound", "speed_of_sound_m_s", Kind::Velocity),
            r.speed_of_sound_m_s,
        );
        list.add(
            place,
            (
                "cooling by let-down",
                "joule_thomson_k_pa",
                Kind::JouleThomson,
            ),
            r.joule_thomson_k_pa,
        );
    }
    list.add(
        place,
        ("viscosity", "viscosity_pa_s", Kind::DynamicViscosity),
        fluid.viscosity_pa_s(&gas).ok(),
    );
}

fn duties(list: &mut List, solution: &Solution<'_>, outcome: &Outcome) {
    for duty in &outcome.duties {
        for (figure, si) in FIGURES.iter().zip(duty.figures) {
            list.add(&duty.name, (figure.name, figure.key, figure.kind), si);
        }
    }
    if let Some((_, d_m)) = outcome.holes {
        list.add("", ("hole", "hole_diameter_m", Kind::Length), d_m);
    }
    let Ok(plan) = &solution.injector else { return };
    for duty in &plan.duties {
        let Ok(at) = duty.injection.as_ref().map(|i| &i.at_need) else {
            continue;
        };
        let name = &duty.name;
        list.add(
            name,
            ("flow of one hole", "flow_of_one_hole_kg_s", Kind::MassRate),
            at.flow.value.value / f64::from(at.holes),
        );
        list.add(
            name,
            ("ideal mass flux", "mass_flux_kg_m2_s", Kind::MassFlux),
            at.flux.value,
        );
        list.add(
            name,
            ("jet", "jet_velocity_m_s", Kind::Velocity),
            at.jet_velocity.value,
        );
        list.add(name, ("Reynolds number", "reynolds", None), at.reynolds);
        list.add(
            name,
            ("superheat", "superheat_k", Kind::TemperatureDifference),
            at.superheat.map(|t| t.value),
        );
    }
}

fn train(list: &mut List, solution: &Solution<'_>) {
    let Ok(plan) = solution.train() else { return };
    for duty in &plan.duties {
        let Ok(solved) = &duty.solution else { continue };
        for part in &solved.parts {
            let at = format!("{}, behind {}", duty.name, part.part);
            list.station(&at, &part.outlet);
        }
        for outlet in &solved.outlets {
            let at = format!("{}, {}", duty.name, outlet.outlet);
            list.add(&at, FLOW, outlet.flow.value);
            list.station(&at, &outlet.inlet);
        }
    }
    for shut_off in plan.shut_offs.iter().flatten() {
        list.add(
            &shut_off.valve,
            ("fuel behind it", "fuel_behind_kg", Kind::Mass),
            shut_off.fuel.value,
        );
        list.add(
            &shut_off.valve,
            ("flame lives on", "flame_life_s", Kind::Time),
            shut_off.flame_life.map(|t| t.value),
        );
    }
}

fn tank(list: &mut List, solution: &Solution<'_>) {
    let Ok(tank) = solution.tank() else { return };
    if let Ok(start) = &tank.start {
        list.contents("start", start);
    }
    if let Ok(hottest) = &tank.hottest {
        list.add("hottest day", PRESSURE, hottest.pressure.pascals());
    }
    list.add(
        "",
        (
            "full of liquid at",
            "liquid_full_temperature_k",
            Kind::Temperature,
        ),
        tank.filling.liquid_full.map(|t| t.value),
    );
    list.add(
        "",
        ("most by volume", "limit_by_volume_kg", Kind::Mass),
        tank.filling.limit_by_volume.as_ref().ok().map(|m| m.value),
    );
    for duty in &tank.duties {
        let name = &duty.name;
        let lowest = duty.lowest.as_ref().ok();
        list.add(
            name,
            (
                "lowest pressure",
                "lowest_pressure_pa",
                Kind::AbsolutePressure,
            ),
            lowest.map(|l| l.pressure.pascals()),
        );
        for (what, t) in [
            (
                ("coldest tank", "coldest_k", Kind::Temperature),
                &duty.coldest,
            ),
            (
                (
                    "coldest, nearly empty",
                    "coldest_nearly_empty_k",
                    Kind::Temperature,
                ),
                &duty.coldest_nearly_empty,
            ),
        ] {
            list.add(name, what, t.as_ref().ok().map(|t| t.value));
        }
        list.add(
            name,
            ("for ever", "sustainable_draw_kg_s", Kind::MassRate),
            duty.sustainable.as_ref().ok().map(|s| s.draw.value),
        );
    }
    if let Ok(outcome) = &tank.run {
        list.add(
            "run",
            ("lasts", "duration_s", Kind::Time),
            outcome.run.end.value,
        );
        list.contents("run, coldest", &outcome.coldest);
        if let Some(last) = outcome.run.rows.last() {
            list.contents("run, end", &last.contents);
        }
    }
}

fn releases(list: &mut List, solution: &Solution<'_>) {
    let Ok(plan) = solution.leaks() else { return };
    for joint in &plan.joints {
        if let Ok(effect) = &joint.effect {
            let at = format!("joint at {}, {}", joint.level.from, joint.size_short());
            list.effect(&at, effect);
        }
    }
    for torn in &plan.breaks {
        if let Ok(effect) = &torn.effect {
            list.effect(&format!("{} torn off", torn.part), effect);
        }
    }
    for stuck in &plan.stuck {
        if let Ok(fed) = &stuck.fed {
            let at = format!("{} stuck open", stuck.part);
            list.add(&at, FLOW, fed.flow.value);
            list.add(&at, PRESSURE, fed.pressure.pascals());
        }
    }
}
