//! Trapped liquid through the function a user's command calls, against `trapped_liquid.csv`.

use super::table::{Tally, rows};
use fuelwright::eos;
use fuelwright::fuel::{Composition, Library};
use fuelwright::quantity::{kelvin, kelvin_difference, pascals_absolute};
use fuelwright::tank::trapped::trapped_liquid;

/// Grade: code to code, `CoolProp` 8.0.0.
#[test]
fn pressure_of_a_full_section_matches_the_reference() {
    let library = Library::embedded();
    let mut tally = Tally::default();
    for row in rows("trapped_liquid.csv") {
        let fuel = Composition::parse(&row.text("fluid").replace(';', ","), &library)
            .expect("a fuel of the library");
        let fluid = eos::backend(&library, &fuel).expect("it has an equation of state");
        let p1_pa = row.num("p_start_Pa");
        let trapped = trapped_liquid(
            fluid.as_ref(),
            pascals_absolute(p1_pa),
            kelvin(row.num("T_start_K")),
            kelvin_difference(row.num("rise_K")),
        );
        let trapped = match trapped {
            Ok(trapped) => trapped,
            Err(e) => {
                tally.fail(&e.to_string(), &row);
                continue;
            }
        };
        // Same equation of state (tests/reference/README.md): 1e-5 of the rise or 100 Pa.
        let limit_pa = (1e-5 * (row.num("p_after_Pa") - p1_pa)).max(100.0);
        let after_pa = trapped.pressure_after.pascals();
        tally.within(
            after_pa,
            row.num("p_after_Pa"),
            limit_pa,
            "pressure after",
            &row,
        );
        let limit = limit_pa / row.num("rise_K");
        tally.within(
            trapped.rise_pa_k,
            row.num("average_rise_Pa_per_K"),
            limit,
            "rise",
            &row,
        );
    }
    tally.finish(36);
}
