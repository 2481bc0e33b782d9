//! A run of pipe for people and machines: pressure, flow, bore, what takes the pressure.

use super::record::{record, table};
use super::{Finding, Report};
use crate::audit::rules::{fast_line, two_phase_line};
use crate::eos::{Phase, State};
use crate::flow::line::{Line, LineFlow, WallHeat};
use crate::mass::tube_sizes::TubeSize;
use crate::quantity::show::{Units, percent, show};
use crate::quantity::{AbsolutePressure, Kind};
use crate::train::checks::{GAS_VELOCITY_M_S, LIQUID_VELOCITY_M_S};

/// A run of pipe with what flows through it.
#[derive(Debug, Clone, Copy)]
pub struct Run<'a> {
    /// Fuel at its inlet.
    pub inlet: &'a State,
    /// The pipe.
    pub line: &'a Line,
    /// What flows.
    pub walked: &'a LineFlow,
    /// Pressure at its outlet: what flows leaves, or what it was sized for.
    pub outlet: AbsolutePressure,
    /// Flag that was left out.
    pub found: &'static str,
    /// Sizes of tube that would do, each with what it does.
    pub tubes: &'a [(TubeSize, LineFlow)],
    /// Air, which gauges read from.
    pub air: AbsolutePressure,
    /// Units of the findings.
    pub units: Units,
}

impl Run<'_> {
    fn drop_pa(&self, walked: &LineFlow) -> f64 {
        self.inlet.pressure_pa - walked.outlet_pressure.pascals()
    }
}

record! {
    /// A size of tube near the bore.
    TubeOf(run: &Run<'_>, size: &TubeSize, walked: &LineFlow) {
        name: Text = &size.name, "tube";
        bore_m: Length = size.bore(), "bore";
        pressure_drop_pa: PressureDifference = run.drop_pa(walked), "drop";
        outlet_velocity_m_s: Velocity = walked.outlet_velocity, "velocity";
    }

    /// A run of pipe.
    PipeOf(r: &Run<'_>)
    with {
        w = r.walked;
        found = |name: &str| if name == r.found { Some("found") } else { None };
        friction = w.darcy_factor * (r.line.length / r.line.bore).value;
        share = r.line.loss_coefficient / (r.line.loss_coefficient + friction);
        of_gauge = r.drop_pa(w) / (r.inlet.pressure_pa - r.air.pascals());
        regime = w.reynolds.map(|re| if re < 2040.0 { "laminar" } else if re < 3000.0 { "between laminar and turbulent" } else { "turbulent" });
        choked = if w.choked { "yes: a lower outlet pressure passes no more" } else { "no" };
        band = w.two_phase.map(|b| (b.all_vapour, b.all_liquid));
    }
    {
        /// What was asked for: `flow`, `downstream` or `bore`.
        found: Text = r.found;
        outlet_pressure_pa: AbsolutePressure = r.outlet, "Outlet pressure"
            => GaugePressure = r.outlet.gauge(r.air), note found("downstream"),
            band (band.map(|b| b.0.gauge(r.air)), band.map(|b| b.1.gauge(r.air)));
        pressure_drop_pa: PressureDifference = r.drop_pa(w), "Pressure drop",
            note (of_gauge > 0.0 && of_gauge <= 1.0).then(|| format!("{} of the inlet by gauge", percent(of_gauge)));
        mass_flow_kg_s: MassRate = w.flow, "Mass flow", note found("flow");
        bore_m: Length = r.line.bore, "Bore", note found("bore").map(|_| "the least; take the next size");
        outlet_velocity_m_s: Velocity = w.outlet_velocity, "Velocity at the outlet";
        outlet_temperature_k: Temperature = w.outlet.temperature_k, "Outlet temperature";
        outlet_phase: Text = w.outlet.phase.name(), "Outlet phase";
        choked: Flag = w.choked, "Choked" => Text = choked;
        /// Pressure at the inlet.
        upstream_pressure_pa: AbsolutePressure = r.inlet.pressure_pa;
        inlet_density_kg_m3: Density = r.inlet.density_kg_m3, "Inlet density";
        inlet_velocity_m_s: Velocity = w.inlet_velocity, "Velocity at the inlet";
        outlet_mach: Number = w.outlet_mach, "Mach number at the outlet";
        reynolds: Number = w.reynolds, "Reynolds number", note regime;
        darcy_factor: Number = w.darcy_factor, "Darcy friction factor";
        friction_coefficient: Number = friction, "Friction in velocity heads", note "f L/D";
        loss_coefficient: Number = r.line.loss_coefficient, "Fittings in velocity heads";
        fittings_share: Ratio = share, "Share of the fittings";
        heat_w: Power = w.heat, "Heat taken up" => Power = (r.line.heat != WallHeat::Insulated).then_some(w.heat);
        /// Sizes of tube that would do, narrowest first, where the bore is asked for.
        tubes: Rows(TubeOf) = r.tubes.iter().map(|(size, walked)| TubeOf::row(r, size, walked)).collect::<Vec<_>>();
    }
}

/// Adds a run of pipe, with what the rules on lines say.
pub fn run(report: &mut Report, run: &Run<'_>) {
    let row = PipeOf::row(run);
    report.keys(&row);
    let rest: &[&str] = match run.found {
        "bore" => &[
            "bore_m",
            "pressure_drop_pa",
            "outlet_pressure_pa",
            "mass_flow_kg_s",
        ],
        "flow" => &[
            "mass_flow_kg_s",
            "pressure_drop_pa",
            "outlet_pressure_pa",
            "bore_m",
        ],
        _ => &[
            "outlet_pressure_pa",
            "pressure_drop_pa",
            "mass_flow_kg_s",
            "bore_m",
        ],
    };
    let last = [
        "outlet_velocity_m_s",
        "outlet_temperature_k",
        "outlet_phase",
        "choked",
    ];
    report.facts("Result", row.facts_of(&[rest, &last[..]].concat()));
    report.table("Sizes of tube", table(row.rows("tubes")));
    let takes = [
        "friction_coefficient",
        "loss_coefficient",
        "fittings_share",
        "reynolds",
        "darcy_factor",
        "inlet_velocity_m_s",
        "inlet_density_kg_m3",
        "outlet_mach",
        "heat_w",
    ];
    report.facts("What takes the pressure", row.facts_of(&takes));
    let found = fast(run).into_iter().chain(wet(run));
    report.findings = Some(found.collect());
}

fn fast(run: &Run<'_>) -> Option<Finding> {
    let liquid = run.walked.outlet.phase == Phase::Liquid;
    let limit = if liquid {
        LIQUID_VELOCITY_M_S
    } else {
        GAS_VELOCITY_M_S
    };
    let u = run
        .walked
        .outlet_velocity
        .value
        .max(run.walked.inlet_velocity.value);
    let shown = |u: f64| show(Kind::Velocity, u, run.units);
    let mut found = Finding::of(
        &fast_line::RULE,
        "pipe",
        shown(u),
        format!("at most {}", shown(limit)),
    );
    found.say("Fuel flows through {it} at {measured}, above {limit}: fast gas wears seats, fast liquid hammers.");
    (u > limit).then_some(found)
}

fn wet(run: &Run<'_>) -> Option<Finding> {
    let outlet = &run.walked.outlet;
    if run.walked.two_phase.is_none() && outlet.phase != Phase::TwoPhase {
        return None;
    }
    let share = outlet.vapour_mass_fraction;
    let (measured, limit) = (percent(share), "one phase".to_owned());
    let mut found = Finding::of(&two_phase_line::RULE, "pipe", measured, limit);
    found.say("{It} carries liquid and vapour together, {measured} of it vapour at the outlet: it flows in slugs.");
    Some(found)
}
