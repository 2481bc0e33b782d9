//! Viscosity against the values that papers print: those of the correlations we carry, measurements,
//! and newer correlations of the same fluids.

use super::eos::Backends;
use super::table::{Row, Tally, rows};
use fuelwright::eos::transport::PureViscosity;
use fuelwright::fuel::Library;

/// Molar density of a row, mol/m³; where only the pressure is printed, by our equation of state.
fn density(backends: &mut Backends, row: &Row) -> f64 {
    let b = backends.get(row.text("fluid"));
    if let Some(rho) = row.opt("rho_mol_L") {
        return rho * 1e3;
    }
    let rho_kg_m3 = row.opt("rho_kg_m3").unwrap_or_else(|| {
        b.state_pt(row.num("p_Pa"), row.num("T_K"))
            .expect("in range")
            .density_kg_m3
    });
    rho_kg_m3 / b.molar_mass_kg_mol()
}

/// Checks the rows of one kind; `band` gives the allowance besides that for the density, as a
/// fraction of the printed value, or `None` for half the last printed digit.
fn check(kind: &str, at_least: usize, band: impl Fn(&PureViscosity, f64) -> Option<f64>) {
    let library = Library::embedded();
    let mut backends = Backends::new();
    let mut tally = Tally::default();
    for row in rows("viscosity_papers.csv") {
        if row.text("kind") != kind {
            continue;
        }
        if library.source(row.text("source")).is_none() {
            tally.fail("source is not explained in fuels/sources.toml", &row);
        }
        let fuel = library
            .fuel(row.text("fluid"))
            .expect("fuel of the library");
        let model = PureViscosity::new(&library, &fuel).expect("has a viscosity model");
        let (t, rho) = (row.num("T_K"), density(&mut backends, &row));
        let at = |rho: f64| model.at(t, rho).map(|eta| eta * 1e6);
        let got = match at(rho) {
            Ok(got) => got,
            Err(e) => {
                tally.fail(&e.to_string(), &row);
                continue;
            }
        };
        let slack = row.opt("density_slack").unwrap_or(0.0);
        let by_density = (at(rho * (1.0 + slack)).expect("in range")
            - at(rho * (1.0 - slack)).expect("in range"))
        .abs()
            / 2.0;
        let printed = row.num("printed_uPas");
        let limit = band(&model, rho).map_or_else(
            || row.opt("limit").unwrap_or(row.num("half_digit")),
            |band| row.opt("limit").unwrap_or(band * printed),
        );
        tally.within(got, printed, limit + by_density, "viscosity", &row);
    }
    tally.finish(at_least);
}

/// Half the last printed digit: a formula against its own paper.
#[test]
fn correlations_give_the_viscosities_printed_in_their_papers() {
    check("own", 65, |_, _| None);
}

/// 0.3 %: the tolerance of the carrier of these rows.
#[test]
fn measured_viscosities_are_met() {
    check("measured", 2, |_, _| Some(0.003));
}

/// The band that the fuel file states. That of dense vapour was set by these rows; the others were not.
#[test]
fn newer_correlations_lie_within_the_stated_band() {
    check("other", 65, |model, rho| Some(model.uncertainty(rho)));
}
