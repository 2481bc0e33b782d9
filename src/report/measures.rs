//! Every figure that an audit rests on and that fluid properties move, as one flat list: to lay two solutions
//! of one rig side by side.

use super::outcome::Outcome;
use super::record::{Line, Raw, Row, record};
use crate::audit::Solution;
use crate::audit::solution::TankDuty;
use crate::eos::{Equilibrium, State};
use crate::injector::result::InjectorResult;
use crate::leak::rig::Effect;
use crate::leak::trapped::Heating;
use crate::quantity::{AbsolutePressure, MassRate, Time};
use crate::tank::filling_check::FillingCheck;
use crate::tank::vessel::Contents;
use crate::train::rig::Supply;
use crate::train::{ShutOff, Station};

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
#[derive(Debug, Clone)]
pub struct Measure {
    /// What it belongs to.
    pub group: Group,
    /// Duty, part or both; empty where the rig has one only.
    pub at: String,
    /// What it is.
    pub(crate) line: &'static Line,
    /// Its value, SI.
    pub si: f64,
}

record! {
    /// Fuel at its boiling point in the tank.
    Boiling(e: &Equilibrium, dew: Option<&Equilibrium>) {
        vapour_pressure_pa: AbsolutePressure = e.pressure_pa, "vapour pressure";
        liquid_density_kg_m3: Density = e.liquid.density_kg_m3, "liquid density";
        vapour_density_kg_m3: Density = e.vapour.density_kg_m3, "vapour density";
        latent_heat_j_kg: SpecificEnergy = e.latent_heat_j_kg(), "heat to boil";
        dew_pressure_pa: AbsolutePressure = dew.map(|e| e.pressure_pa), "dew pressure";
    }

    /// Fuel as a gas.
    Gas(gas: &State, viscosity_pa_s: Option<f64>)
    with { response = gas.response.as_ref(); }
    {
        density_kg_m3: Density = gas.density_kg_m3, "density";
        cp_j_kg_k: SpecificHeat = response.map(|r| r.cp_j_kg_k), "heat capacity";
        speed_of_sound_m_s: Velocity = response.map(|r| r.speed_of_sound_m_s), "speed of sound";
        joule_thomson_k_pa: JouleThomson = response.map(|r| r.joule_thomson_k_pa), "cooling on expansion";
        viscosity_pa_s: DynamicViscosity = viscosity_pa_s, "viscosity";
    }

    /// Holes of the injector.
    Hole(d_m: f64) {
        hole_diameter_m: Length = d_m, "hole";
    }

    /// Flow through one hole.
    OneHole(at: &InjectorResult) {
        flow_of_one_hole_kg_s: MassRate = at.flow.value / f64::from(at.holes), "flow of one hole";
        mass_flux_kg_m2_s: MassFlux = at.flux, "ideal mass flux";
        jet_velocity_m_s: Velocity = at.jet_velocity, "jet";
        reynolds: Number = at.reynolds, "Reynolds number";
        superheat_k: TemperatureDifference = at.superheat, "superheat";
    }

    /// Fuel at a place of the train.
    Place(flow: Option<MassRate>, s: &Station) {
        flow_kg_s: MassRate = flow, "flow";
        pressure_pa: AbsolutePressure = s.pressure, "pressure";
        temperature_k: Temperature = s.temperature, "temperature";
        density_kg_m3: Density = s.density, "density";
        velocity_m_s: Velocity = s.velocity, "velocity";
    }

    /// Fuel behind a valve that shuts.
    Behind(s: &ShutOff) {
        fuel_behind_kg: Mass = s.fuel, "fuel behind it";
        flame_life_s: Time = s.flame_life, "flame lives on";
    }

    /// What is in the tank.
    InTank(c: &Contents) {
        pressure_pa: AbsolutePressure = c.pressure, "pressure";
        temperature_k: Temperature = c.temperature, "temperature";
        liquid_mass_kg: Mass = c.liquid, "liquid";
    }

    /// A pressure, and the flow that makes it.
    Pushed(flow: Option<MassRate>, p: AbsolutePressure) {
        flow_kg_s: MassRate = flow, "flow";
        pressure_pa: AbsolutePressure = p, "pressure";
    }

    /// How full the tank may be.
    Full(f: &FillingCheck) {
        liquid_full_temperature_k: Temperature = f.liquid_full, "full of liquid at";
        limit_by_volume_kg: Mass = &f.limit_by_volume, "most by volume";
    }

    /// What a duty asks of the tank.
    Draw(d: &TankDuty) {
        lowest_pressure_pa: AbsolutePressure = d.lowest.as_ref().ok().map(|l| l.pressure), "lowest pressure";
        coldest_k: Temperature = &d.coldest, "coldest tank";
        coldest_nearly_empty_k: Temperature = &d.coldest_nearly_empty, "coldest, nearly empty";
        sustainable_draw_kg_s: MassRate = d.sustainable.as_ref().ok().map(|s| s.draw), "sustainable";
    }

    /// The run of the tank.
    Lasts(t: Time) {
        duration_s: Time = t, "lasts";
    }

    /// A release.
    Released(e: &Effect)
    with { (jet, fire) = (e.consequences.jet.as_ref(), e.consequences.fire.as_ref()); }
    {
        flow_kg_s: MassRate = e.release.flow.value, "flow";
        distance_to_half_lfl_m: Length = jet.map(|j| j.half_limit.value), "to half LFL";
        flame_length_m: Length = fire.map(|f| f.length), "flame";
    }

    /// Liquid shut in.
    ShutIn(h: &Heating) {
        pressure_rise_pa_k: PressurePerTemperature = h.rise_pa_k, "rise";
    }
}

/// The list that is being written.
struct List {
    group: Group,
    all: Vec<Measure>,
}

impl List {
    /// Adds the numbers of a record.
    fn add(&mut self, at: &str, row: &Row) {
        for (line, cell) in row.lines() {
            if let Raw::Number(si) = cell.raw {
                self.all.push(Measure {
                    group: self.group,
                    at: at.to_owned(),
                    line,
                    si,
                });
            }
        }
    }
}

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
            list.add(&format!("{from} to {to}"), &ShutIn::row(heating));
        }
    }
    list.all
}

/// The fuel in tank or main.
fn supply(list: &mut List, solution: &Solution<'_>) {
    let fluid = &solution.fluid;
    let rig = solution.rig;
    let (place, gas) = match &rig.supply {
        Supply::Mains(main) => {
            let t = main.temperature.unwrap_or(rig.site.ambient);
            ("", fluid.state_pt(main.pressure.pascals(), t.value).ok())
        }
        Supply::Tank(tank) => {
            let t = tank.temperature.unwrap_or(rig.site.ambient);
            let boiling = fluid.bubble_t(t.value).ok();
            if let Some(e) = &boiling {
                let blend = fluid.composition().parts().len() > 1;
                let dew = fluid.dew_t(t.value).ok().filter(|_| blend);
                list.add("", &Boiling::row(e, dew.as_ref()));
            }
            // the gas at half the vapour pressure, where no phase is in doubt
            let gas = boiling.and_then(|e| fluid.state_pt(0.5 * e.pressure_pa, t.value).ok());
            ("at half the vapour pressure", gas)
        }
    };
    if let Some(gas) = gas {
        list.add(place, &Gas::row(&gas, fluid.viscosity_pa_s(&gas).ok()));
    }
}

fn duties(list: &mut List, solution: &Solution<'_>, outcome: &Outcome) {
    for duty in &outcome.duties {
        list.add(&duty.name, &duty.figures);
    }
    if let Some((_, d_m)) = outcome.holes {
        list.add("", &Hole::row(d_m));
    }
    for duty in solution.injector.iter().flat_map(|plan| &plan.duties) {
        if let Ok(injection) = &duty.injection {
            list.add(&duty.name, &OneHole::row(&injection.at_need));
        }
    }
}

fn train(list: &mut List, solution: &Solution<'_>) {
    let Ok(plan) = solution.train() else { return };
    for duty in &plan.duties {
        let Ok(solved) = &duty.solution else { continue };
        for part in &solved.parts {
            let at = format!("{}, behind {}", duty.name, part.part);
            list.add(&at, &Place::row(None, &part.outlet));
        }
        for outlet in &solved.outlets {
            let at = format!("{}, {}", duty.name, outlet.outlet);
            list.add(&at, &Place::row(Some(outlet.flow), &outlet.inlet));
        }
    }
    for shut_off in plan.shut_offs.iter().flatten() {
        list.add(&shut_off.valve, &Behind::row(shut_off));
    }
}

fn tank(list: &mut List, solution: &Solution<'_>) {
    let Ok(tank) = solution.tank() else { return };
    if let Ok(start) = &tank.start {
        list.add("start", &InTank::row(start));
    }
    if let Ok(hottest) = &tank.hottest {
        list.add("hottest day", &Pushed::row(None, hottest.pressure));
    }
    list.add("", &Full::row(&tank.filling));
    for duty in &tank.duties {
        list.add(&duty.name, &Draw::row(duty));
    }
    if let Ok(outcome) = &tank.run {
        list.add("run", &Lasts::row(outcome.run.end));
        list.add("run, coldest", &InTank::row(&outcome.coldest));
        if let Some(last) = outcome.run.rows.last() {
            list.add("run, end", &InTank::row(&last.contents));
        }
    }
}

fn releases(list: &mut List, solution: &Solution<'_>) {
    let Ok(plan) = solution.leaks() else { return };
    for joint in &plan.joints {
        if let Ok(effect) = &joint.effect {
            let at = format!("joint at {}, {}", joint.level.from, joint.size_short());
            list.add(&at, &Released::row(effect));
        }
    }
    for torn in &plan.breaks {
        if let Ok(effect) = &torn.effect {
            list.add(
                &format!("full-bore break of {}", torn.part),
                &Released::row(effect),
            );
        }
    }
    for stuck in &plan.stuck {
        if let Ok(fed) = &stuck.fed {
            let at = format!("{} stuck open", stuck.part);
            list.add(&at, &Pushed::row(Some(fed.flow), fed.pressure));
        }
    }
}
