//! The tables that gas fitters work from: orifice capacity by drill, and capacity of iron pipe.

use crate::reference::eos::Backends;
use crate::reference::table::{Row, Tally, rows};
use fuelwright::eos::Backend;
use fuelwright::flow::air::DRY_AIR_KG_MOL;
use fuelwright::flow::line::{Friction, Line, WallHeat, line_flow};
use fuelwright::flow::orifice::Expansion;
use fuelwright::injector::drills::drills;
use fuelwright::injector::size::{HoleMake, InjectorInput, InletEdge, Supply, size};
use fuelwright::quantity::{kelvin, metres, pascals_absolute};
use std::collections::BTreeMap;

const INCH_M: f64 = 0.0254;
const FOOT_M: f64 = 0.3048;
/// 60 degF.
const TABLE_K: f64 = 288.705_556;
/// 30 in of mercury at 0 degC.
const TABLE_PA: f64 = 101_591.7;
/// An inch of water at 4 degC.
const INCH_WATER_PA: f64 = 249.0889;
const GAS_CONSTANT: f64 = 8.314_462_618;
const BTU_J: f64 = 1_055.056;

/// Volume rate of the ideal gas at the table's conditions, ft3/h.
fn cubic_feet_per_hour(kg_s: f64, molar_mass_kg_mol: f64) -> f64 {
    kg_s / molar_mass_kg_mol * GAS_CONSTANT * TABLE_K / TABLE_PA / FOOT_M.powi(3) * 3600.0
}

/// One hole of the row, of the table's factor of 0.90, into free air.
fn orifice(gas: &dyn Backend, row: &Row, inches_of_water: f64) -> f64 {
    let jet = size(&InjectorInput {
        fluid: gas,
        supply_pressure: Some(pascals_absolute(TABLE_PA + inches_of_water * INCH_WATER_PA)),
        supply: Supply::Temperature(kelvin(TABLE_K)),
        chamber: pascals_absolute(TABLE_PA),
        holes: Some(1),
        diameter: Some(metres(row.num("diameter_in") * INCH_M)),
        flow: None,
        make: HoleMake {
            edge: InletEdge::Measured {
                coefficient: 0.90,
                relative_band: None,
            },
            ..HoleMake::default()
        },
        expansion: Expansion::Blend,
        phase: None,
    })
    .expect("a jet");
    jet.flow.value.value
}

/// Fuel, column, inches of water before the hole, relative density of the table, limit.
const COLUMNS: [(&str, &str, f64, f64, f64); 3] = [
    ("methane", "natural_gas_ft3_h", 3.5, 0.60, 0.008),
    ("propane", "propane_ft3_h", 11.0, 1.50, 0.003),
    // real butane is denser than the ideal gas of the table
    ("n-butane", "butane_ft3_h", 11.0, 2.00, 0.012),
];

/// What the table would say of the row with our flow: the volume of the fuel's own density, turned to the table's
/// relative density by the root of their ratio.
fn capacity(gas: &dyn Backend, row: &Row, head: f64, density: f64) -> f64 {
    let molar_mass = gas.molar_mass_kg_mol();
    let own = molar_mass / DRY_AIR_KG_MOL;
    cubic_feet_per_hour(orifice(gas, row, head), molar_mass) * (own / density).sqrt()
}

/// Imperial orifice capacity table of a plumbing textbook (`orifice_capacity.csv`). It is made with the ideal gas.
#[test]
fn holes_pass_what_the_orifice_table_of_the_trade_says() {
    let mut backends = Backends::new();
    let mut tally = Tally::default();
    for row in rows("orifice_capacity.csv") {
        for (fuel, column, head, density, limit) in COLUMNS {
            let gas = backends.get(fuel);
            let ours = capacity(gas.as_ref(), &row, head, density);
            tally.relative(ours, row.num(column), limit, column, &row);
        }
    }
    tally.finish(30);
}

/// Five rows stand in the README, the table's figure and ours by three digits.
#[test]
fn the_readme_shows_rows_of_the_orifice_table_beside_ours() {
    let readme = include_str!("../../../README.md");
    let mut backends = Backends::new();
    let mut shown = 0;
    for row in rows("orifice_capacity.csv") {
        let drill = format!("| #{} | ", row.text("drill"));
        let Some(line) = readme.lines().find(|l| l.starts_with(&drill)) else {
            continue;
        };
        let cells = COLUMNS.map(|(fuel, column, head, density, _)| {
            let ours = capacity(backends.get(fuel).as_ref(), &row, head, density);
            let decimals = if ours < 1.0 { 3 } else { 2 };
            format!("{} | {ours:.decimals$}", row.text(column))
        });
        let want = format!("{drill}{} |", cells.join(" | "));
        assert_eq!(line, want);
        shown += 1;
    }
    assert_eq!(shown, 5);
}

/// A flow of the table, asked of all number drills at the table's head, brings the row's own drill back.
#[test]
fn the_flow_of_a_row_of_the_orifice_table_brings_its_drill_back() {
    let mut backends = Backends::new();
    let mut back = 0;
    for row in rows("orifice_capacity.csv") {
        for (fuel, column, head, density, _) in COLUMNS {
            let molar_mass = backends.get(fuel).molar_mass_kg_mol();
            let own = molar_mass / DRY_AIR_KG_MOL;
            let of_one_kg_s = cubic_feet_per_hour(1.0, molar_mass) * (own / density).sqrt();
            let flow = format!("{} kg/s", row.num(column) / of_one_kg_s);
            let before = format!("{} Pa(a)", TABLE_PA + head * INCH_WATER_PA);
            let chamber = format!("{TABLE_PA} Pa(a)");
            let temperature = format!("{TABLE_K} K");
            let line = [
                "fuelwright",
                "injector",
                "--choose",
                "--format",
                "json",
                "--fuel",
                fuel,
                "--upstream",
                &before,
                "--upstream-temperature",
                &temperature,
                "--chamber",
                &chamber,
                "--flow",
                &flow,
                "--holes",
                "1",
                "--drills",
                "number",
                "--smallest-drill",
                "0.3 mm",
                "--discharge-coefficient",
                "0.9",
            ];
            let (mut out, mut err) = (Vec::new(), Vec::new());
            fuelwright::run(line, 80, &mut out, &mut err);
            let answer: serde_json::Value = serde_json::from_slice(&out).expect("an answer");
            let first = &answer["choices"][0];
            assert_eq!(
                first["drill"],
                format!("#{}", row.text("drill")),
                "{fuel} {row:?}: {answer}"
            );
            back += 1;
        }
    }
    assert_eq!(back, 30);
}

/// The table's own drills are ours: name and inches.
#[test]
fn the_drills_of_the_orifice_table_have_its_diameters() {
    let mut tally = Tally::default();
    for row in rows("orifice_capacity.csv") {
        let drill = drills()
            .iter()
            .find(|d| d.name == format!("#{}", row.text("drill")))
            .expect("a drill of that name");
        let inches = drill.diameter.value / INCH_M;
        tally.within(inches, row.num("diameter_in"), 5e-5, "diameter", &row);
    }
    tally.finish(10);
}

/// Capacity of a run of steel pipe, thousand Btu/h of propane by its gross heat (`pipe_capacity.csv`): the table is
/// made with a friction formula older than Colebrook's, which gives 6 to 15 % less.
#[test]
fn pipes_carry_what_the_pipe_table_of_the_trade_says_or_a_little_more() {
    /// Gross heat of propane, J/kg: 50.33 MJ/kg (`combustion_fuels.csv`).
    const GROSS_J_KG: f64 = 50.33e6;
    let mut backends = Backends::new();
    let propane = backends.get("propane");
    let inlet = propane
        .state_pt(TABLE_PA + 11.0 * INCH_WATER_PA, TABLE_K)
        .expect("a gas");
    let outlet = pascals_absolute(TABLE_PA + 10.5 * INCH_WATER_PA);
    let mut tally = Tally::default();
    let mut logs: BTreeMap<String, Vec<(f64, f64, f64)>> = BTreeMap::new();
    for row in rows("pipe_capacity.csv") {
        let line = Line {
            bore: metres(row.num("bore_in") * INCH_M),
            outside_diameter: None,
            length: metres(row.num("length_ft") * FOOT_M),
            // commercial steel, 0.0018 in
            friction: Friction::Roughness(metres(0.0018 * INCH_M)),
            loss_coefficient: 0.0,
            rise: metres(0.0),
            heat: WallHeat::Isothermal,
        };
        let found =
            line_flow(propane.as_ref(), &inlet, outlet, &line, kelvin(TABLE_K)).expect("flows");
        let kbtu_h = found.flow.value * GROSS_J_KG / BTU_J * 3.6;
        tally.within(
            kbtu_h / row.num("capacity_kbtu_h"),
            1.10,
            0.05,
            "ratio to the table",
            &row,
        );
        logs.entry(row.text("bore_in").to_owned())
            .or_default()
            .push((
                row.num("length_ft").ln(),
                row.num("capacity_kbtu_h").ln(),
                kbtu_h.ln(),
            ));
    }
    tally.finish(27);
    for (bore, points) in logs {
        let slope = |value: fn(&(f64, f64, f64)) -> f64| {
            let (first, last) = (&points[0], points.last().expect("rows"));
            (value(last) - value(first)) / (last.0 - first.0)
        };
        let (table, ours) = (slope(|p| p.1), slope(|p| p.2));
        assert!(
            (ours - table).abs() < 0.02,
            "{bore} in: length to the power {ours}, in the table {table}"
        );
    }
}
