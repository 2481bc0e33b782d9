//! Isenthalpic let-down: `isenthalpic.csv`, computed with the same equations of state.

use crate::reference::eos::Backends;
use crate::reference::table::{Tally, rows};
use fuelwright::eos::{Backend, EosError, Phase, State};
use fuelwright::flow::regulator::let_down;
use fuelwright::quantity::pascals_absolute;

fn inlet(gas: &dyn Backend, phase: &str, p_pa: f64, t_k: f64) -> Result<State, EosError> {
    // a saturated row is the same state reached from one side: its pressure is that of saturation
    match phase {
        "saturated vapour" => gas.state_pt_in(p_pa, t_k, Phase::Gas),
        "saturated liquid" => gas.state_pt_in(p_pa, t_k, Phase::Liquid),
        _ => gas.state_pt(p_pa, t_k),
    }
}

#[test]
fn let_down_matches_the_reference_rows() {
    let mut fuels = Backends::new();
    let mut tally = Tally::default();
    for row in rows("isenthalpic.csv") {
        let gas = fuels.get(row.text("fluid"));
        let start = inlet(
            gas.as_ref(),
            row.text("phase1"),
            row.num("p1_Pa"),
            row.num("T1_K"),
        );
        let outlet = pascals_absolute(row.num("p2_Pa"));
        match start.and_then(|s| let_down(gas.as_ref(), &s, outlet)) {
            Ok(out) => {
                tally.within(out.temperature_k, row.num("T2_K"), 1e-3, "T2", &row);
                tally.relative(out.density_kg_m3, row.num("rho2_kg_m3"), 1e-5, "rho2", &row);
                if let Some(x) = row.opt("vapour_mass_fraction2") {
                    tally.within(out.vapour_mass_fraction, x, 1e-5, "vapour by mass", &row);
                    let y = row.num("vapour_mole_fraction2");
                    tally.within(out.vapour_mole_fraction, y, 1e-5, "vapour by moles", &row);
                }
            }
            Err(e) => tally.fail(&e.to_string(), &row),
        }
    }
    tally.finish(70);
}
