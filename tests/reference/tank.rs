//! Tanks drawn down, filled and trapped, against tables and published figures.
use crate::table::{Row, Tally, rows};
use fuelwright::eos::{self, Backend};
use fuelwright::fuel::{Composition, Library};
use fuelwright::quantity::*;
use fuelwright::tank::chilling::{Run, RunOptions, run};
use fuelwright::tank::heat_gain::HeatGain;
use fuelwright::tank::schedule::{Schedule, Step};
use fuelwright::tank::vessel::{Charge, Tank};
use std::sync::Arc;

/// Backend of a name or blend of the tables, `propane:70;n-butane:30`.
fn fluid(name: &str) -> Arc<dyn Backend> {
    let library = Library::embedded();
    let composition =
        Composition::parse(&name.replace(';', ","), &library).expect("a fluid of the tables");
    eos::backend(&library, &composition).expect("it has an equation of state")
}

fn tank_of(row: &Row) -> (Tank, Charge) {
    let tank = Tank {
        backend: fluid(row.text("fluid")),
        volume: cubic_metres(row.num("V_m3")),
        wall: joules_per_kelvin(row.num("C_wall_J_K")),
        heat_gain: HeatGain::Conductance {
            conductance: watts_per_kelvin(row.num("UA_W_K")),
            ambient: kelvin(row.num("T_ambient_K")),
        },
    };
    let charge = Charge {
        mass: kilograms(row.num("m0_kg")),
        temperature: kelvin(row.num("T0_K")),
    };
    (tank, charge)
}

fn reference_run(scenario: &[Row]) -> Run {
    let (first, last) = (&scenario[0], &scenario[scenario.len() - 1]);
    let (tank, charge) = tank_of(first);
    let schedule = Schedule::once(Step::vapour(
        "draw",
        kilograms_per_second(first.num("draw_kg_s")),
        seconds(last.num("time_s")),
    ));
    let options = RunOptions {
        every: Some(seconds(scenario[1].num("time_s"))),
        ..RunOptions::default()
    };
    run(&tank, &charge, &schedule, &options).expect("the scenarios can be run")
}

// Code to code, reference/README.md "Tank". Tolerances as there: pure T 0.01 K, p 3e-4, liquid 1e-4;
// blend T 0.02 K, y 1e-3.
#[test]
fn tanks_drawn_down_follow_the_reference() {
    let all = rows("tank.csv");
    let mut tally = Tally::default();
    for scenario in all.chunk_by(|a, b| a.text("scenario") == b.text("scenario")) {
        let result = reference_run(scenario);
        assert_eq!(result.rows.len(), scenario.len(), "{}", scenario[0]);
        for (got, row) in result.rows.iter().zip(scenario) {
            let c = &got.contents;
            tally.within(got.time.value, row.num("time_s"), 1e-6, "time", row);
            tally.relative(c.mass().value, row.num("m_total_kg"), 1e-6, "mass", row);
            if let Some(y1) = row.opt("y1_vapour") {
                tally.within(c.temperature.value, row.num("T_K"), 0.02, "T", row);
                tally.within(c.vapour_composition[0], y1, 1e-3, "y1", row);
                let x = c.liquid_composition.expect("there is liquid");
                tally.within(x[0], row.num("x1_liquid"), 1e-3, "x1", row);
                // the pressure of a blend follows from T and x: 0.02 K is 7e-4, x 1e-3 is 2e-3
                tally.relative(c.pressure.pascals(), row.num("p_Pa"), 2e-3, "p", row);
            } else {
                tally.within(c.temperature.value, row.num("T_K"), 0.01, "T", row);
                tally.relative(c.pressure.pascals(), row.num("p_Pa"), 3e-4, "p", row);
            }
            tally.relative(c.liquid.value, row.num("m_liquid_kg"), 1e-4, "liquid", row);
        }
        eprintln!(
            "{} {} steps {} slopes {:?}",
            scenario[0].text("scenario"),
            result.steps,
            result.slopes,
            result.balance
        );
    }
    tally.finish(8 * 11 * 4);
}
