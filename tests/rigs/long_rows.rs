//! Breaks along a row of many parts are what each train, cut there and solved by itself, gives.

use fuelwright::audit::solution;
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::leak::release::BOUNDING;
use fuelwright::quantity::pascals_absolute;
use fuelwright::quantity::show::Units;
use fuelwright::train::plan::supply_of;
use fuelwright::train::{
    Chamber, Conditions, End, Outlet, OutletLaw, Part, PartKind, Run, Train, flow_for_openings,
};
use std::fmt::Write as _;

const SOAK: &str = include_str!("../../examples/coupon-soak-rig.toml");
/// Largest relative difference that counts as none; a release is known to some ten per cent.
const SAME: f64 = 3e-6;

/// The soak rig with tubes, elbows and valves before its gauge at the ring.
fn long(parts: usize) -> String {
    let mut more = String::new();
    for i in 0..parts {
        let part = match i % 5 {
            1 => {
                "kind = \"fitting\"\nshape = \"bend\"\nbore = \"6 mm\"\nangle = \"90 deg\"\nradius_ratio = 3.0"
            }
            3 => {
                "kind = \"ball-valve\"\nbore = \"8 mm\"\nflow_coefficient = \"8 Kv\"\nactuation = \"manual\""
            }
            4 => {
                "kind = \"tube\"\nbore = \"8 mm\"\noutside_diameter = \"10 mm\"\nlength = \"400 mm\"\nroughness = \"0.0015 mm\"\nheat_outside = \"8 W/(m2 K)\""
            }
            _ => {
                "kind = \"tube\"\nbore = \"6 mm\"\noutside_diameter = \"8 mm\"\nlength = \"50 mm\"\nroughness = \"0.0015 mm\"\nheat_outside = \"8 W/(m2 K)\""
            }
        };
        write!(
            more,
            "[[train]]\nname = \"part-{i}\"\n{part}\njoints = {{ compression = 2 }}\nmax_pressure = \"100 bar(g)\"\nwetted = [\"brass\"]\n\n"
        )
        .expect("a string");
    }
    let place = "[[train]]\nname = \"ring-pressure\"";
    SOAK.replace(place, &format!("{more}{place}"))
}

/// A part as it stands while a line breaks: open, its seat wide open, not closed by the flow.
fn wide_open(part: &Part) -> Part {
    let mut part = part.clone();
    match &mut part.kind {
        PartKind::Regulator(r) => {
            r.set_pressure = pascals_absolute(1e12);
            r.nominal_inlet = None;
        }
        PartKind::ExcessFlowValve(e) => e.closing_flow *= 1e9,
        kind => {
            if let Some(valve) = kind.valve_mut() {
                valve.opening = 1.0;
            }
        }
    }
    part
}

#[test]
fn every_break_of_a_long_row_is_that_of_the_train_cut_there() {
    let library = Library::embedded();
    let loaded = input::parse("rig.toml", &long(60), &library);
    let loaded = loaded.unwrap_or_else(|e| panic!("{e}"));
    let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("solvable");
    let plan = solved.leaks().as_ref().expect("the tank has a state");
    let rig = &loaded.rig;
    let (drawn, supply) = supply_of(rig, solved.fluid.as_ref(), &mut Vec::new()).expect("a tank");
    let mut checked = 0;
    for found in plan.breaks.iter().step_by(5) {
        let flow = found.effect.as_ref().expect("it flows").release.flow.value;
        let parts: Vec<Part> = rig.train.run.parts.iter().map(wide_open).collect();
        let end = End::Outlet(Outlet {
            name: "break".to_owned(),
            law: OutletLaw::Holes {
                number: 1,
                diameter: found.bore,
                discharge_coefficient: 0.9,
            },
        });
        let mut sources = rig.train.sources.clone();
        for source in &mut sources {
            source.parts = source.parts.iter().map(wide_open).collect();
        }
        let all: Vec<Part> = sources
            .iter_mut()
            .flat_map(|s| std::mem::take(&mut s.parts))
            .chain(parts)
            .collect();
        let at = all
            .iter()
            .position(|p| p.name == found.part)
            .expect("in the row");
        let train = Train {
            sources,
            run: Run {
                name: "cut".to_owned(),
                parts: all[..at].to_vec(),
                end,
            },
        };
        let conditions = Conditions {
            fuel: drawn.as_ref(),
            supplies: vec![supply],
            ambient: rig.site.ambient,
            chambers: vec![Chamber::Fixed(rig.site.air_pressure)],
            expansion: BOUNDING,
        };
        let alone = flow_for_openings(&train, &conditions)
            .expect("solves")
            .flow
            .value;
        assert!(
            (flow / alone - 1.0).abs() < SAME,
            "{}: {flow} {alone}",
            found.part
        );
        checked += 1;
    }
    assert!(checked >= 7, "{checked}");
}
