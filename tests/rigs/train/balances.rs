//! What every solution must satisfy: mass, pressure, enthalpy.

use fuelwright::train::{End, PartKind, Run, Solution, Train};

/// Relative error of a mass balance.
const MASS: f64 = 1e-10;
/// Error of an enthalpy balance, J/kg: the states are found to 1e-7 J/kg.
const ENTHALPY_J_KG: f64 = 1e-5;

/// Checks a solution of a train against the three balances.
pub(crate) fn check(train: &Train, solution: &Solution) {
    mass(train, solution);
    pressure(train, solution);
    enthalpy(solution);
}

fn mass(train: &Train, solution: &Solution) {
    let total = solution.flow.value;
    let close = |a: f64, b: f64, what: &str| {
        assert!(
            (a - b).abs() <= MASS * total,
            "{what}: {a:e} and {b:e} kg/s"
        );
    };
    let sources: f64 = solution.sources.iter().map(|s| s.flow.value).sum();
    let outlets: f64 = solution.outlets.iter().map(|o| o.flow.value).sum();
    close(sources, total, "sources");
    close(outlets, total, "outlets");
    run_mass(&train.run, solution, total, &close);
    for source in &train.sources {
        let flow = solution
            .sources
            .iter()
            .find(|s| s.source == source.name)
            .expect("every source is in the solution")
            .flow
            .value;
        for part in &source.parts {
            if let Some(p) = solution.part(&part.name) {
                close(p.flow.value * f64::from(source.count), flow, &part.name);
            }
        }
    }
}

/// Flow of a run from its outlets, and that its parts carry it.
fn run_mass(run: &Run, solution: &Solution, total: f64, close: &dyn Fn(f64, f64, &str)) -> f64 {
    let flow = match &run.end {
        End::Outlet(o) => {
            solution
                .outlet(&o.name)
                .expect("every outlet is in the solution")
                .flow
                .value
        }
        End::Split(runs) => runs
            .iter()
            .map(|r| run_mass(r, solution, total, close))
            .sum(),
    };
    for part in &run.parts {
        match solution.part(&part.name) {
            Some(p) => close(p.flow.value, flow, &part.name),
            None => assert!(flow <= MASS * total, "{} is missing", part.name),
        }
    }
    flow
}

fn pressure(train: &Train, solution: &Solution) {
    for p in &solution.parts {
        let part = train.part(&p.part).expect("a part of the train");
        let may_rise = match &part.kind {
            PartKind::Pump(_) => true,
            PartKind::Tube(l) | PartKind::Hose(l) | PartKind::DipTube(l) => l.rise.value < 0.0,
            _ => false,
        };
        let (p1, p2) = (p.inlet.pressure.pascals(), p.outlet.pressure.pascals());
        assert!(
            may_rise || p2 <= p1 * (1.0 + 1e-12),
            "{}: {p1} to {p2} Pa",
            p.part
        );
    }
    for pair in solution.parts.windows(2) {
        if pair[0].run == pair[1].run {
            let (a, b) = (
                pair[0].outlet.pressure.pascals(),
                pair[1].inlet.pressure.pascals(),
            );
            assert!(
                (a - b).abs() <= 1e-12 * a,
                "{} and {}",
                pair[0].part,
                pair[1].part
            );
        }
    }
}

fn enthalpy(solution: &Solution) {
    for p in &solution.parts {
        let gained = p.outlet.total_enthalpy.value - p.inlet.total_enthalpy.value;
        let given = (p.heat.value + p.work.value - p.lift.value) / p.flow.value;
        assert!(
            (gained - given).abs() <= ENTHALPY_J_KG + 1e-9 * given.abs(),
            "{}: gains {gained} J/kg, is given {given}",
            p.part
        );
    }
    // the whole: what leaves carries what came and what was given on the way
    let brought: f64 = solution
        .sources
        .iter()
        .map(|s| s.flow.value * s.tank.total_enthalpy.value)
        .sum();
    let carried: f64 = solution
        .outlets
        .iter()
        .map(|o| o.flow.value * o.inlet.total_enthalpy.value)
        .sum();
    // parts of a source with several tanks are listed for one of them
    let given: f64 = solution
        .parts
        .iter()
        .map(|p| {
            let tanks = solution
                .sources
                .iter()
                .find(|s| s.source == p.run)
                .map_or(1.0, |s| (s.flow.value / p.flow.value).round());
            tanks * (p.heat.value + p.work.value - p.lift.value)
        })
        .sum();
    let limit = ENTHALPY_J_KG * solution.flow.value * 1e2 + 1e-9 * given.abs();
    assert!(
        (carried - brought - given).abs() <= limit.max(1e-9 * brought.abs()),
        "brought {brought} W, carried {carried} W, given {given} W"
    );
}
