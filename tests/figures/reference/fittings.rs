//! Loss coefficients and friction factors: `pipe_fittings.csv` and `pipe_friction.csv`, computed by an
//! independent library with the same published formulas.

use crate::reference::table::{Row, Tally, rows};
use fuelwright::flow::fittings::{
    EXIT, SHARP_ENTRANCE, Tp410Fitting, bend, contraction, expansion, kv_of_loss, loss_of_kv,
    mitre, rounded_entrance, tp410, two_k,
};
use fuelwright::flow::friction::darcy_factor;
use fuelwright::quantity::{kv, metres, radians};

/// The named argument in the column `arguments`.
fn argument(row: &Row, name: &str) -> f64 {
    row.text("arguments")
        .split("; ")
        .filter_map(|pair| pair.split_once('='))
        .find(|(key, _)| *key == name)
        .unwrap_or_else(|| panic!("{row}: no argument {name}"))
        .1
        .parse()
        .expect("an argument is a number")
}

#[test]
fn loss_coefficients_match_the_published_formulas() {
    let mut tally = Tally::default();
    for row in rows("pipe_fittings.csv") {
        let a = |name: &str| argument(&row, name);
        let angle = || radians(a("angle").to_radians());
        let got = match row.text("fitting") {
            "entrance_sharp" => SHARP_ENTRANCE,
            "exit_normal" => EXIT,
            "entrance_rounded" => rounded_entrance(a("rc") / a("Di")).expect("in range"),
            "contraction_sharp" => contraction(a("Di2") / a("Di1")).expect("in range"),
            "diffuser_sharp" => expansion(a("Di1") / a("Di2")).expect("in range"),
            "bend_rounded" => bend(angle(), a("bend_diameters"), a("fd")).expect("in range"),
            "bend_miter" => mitre(angle()).expect("in range"),
            "K_ball_valve_Crane" => tp410(Tp410Fitting::BallValve, a("fd")),
            "K_globe_valve_Crane" => tp410(Tp410Fitting::GlobeValve, a("fd")),
            "K_gate_valve_Crane" => tp410(Tp410Fitting::GateValve, a("fd")),
            // the library takes this bore in inches
            "Hooper2K" => {
                two_k(a("K1"), a("Kinfty"), a("Re"), metres(a("Di") * 0.0254)).expect("in range")
            }
            "Kv_to_K" => loss_of_kv(kv(a("Kv")), metres(a("D"))),
            "K_to_Kv" => kv_of_loss(a("K"), metres(a("D"))).kv(),
            other => {
                tally.fail(&format!("no formula for {other}"), &row);
                continue;
            }
        };
        tally.relative(got, row.num("K"), 1e-6, "K", &row);
    }
    tally.finish(17);
}

#[test]
fn darcy_factor_matches_the_solved_equation() {
    let mut tally = Tally::default();
    for row in rows("pipe_friction.csv") {
        let got = darcy_factor(row.num("Re"), row.num("relative_roughness"));
        tally.relative(got, row.num("f_darcy"), 1e-6, "f", &row);
    }
    tally.finish(15);
}
