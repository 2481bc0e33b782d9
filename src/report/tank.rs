//! A tank for people and machines: series, what it can keep up, what happened, what would help.

mod findings;
mod keys;
mod rig;
mod rig_keys;

pub use rig::of_rig;

use super::record::{Row, table_of};
use super::thin::{MOST_ROWS, Thinned};
use super::{Column, Report, Table, Value, figures};
use crate::fuel::{Composition, Library};
use crate::quantity::Kind;
use crate::quantity::show::Units;
use crate::tank::answer::{Answer, Question};
use crate::tank::heat_gain::{HeatGain, Surface};
use crate::tank::record::Event;
use crate::tank::schedule::Drawn;
pub(super) use keys::Run;
use keys::{Start, Vaporises};
pub(super) use rig_keys::OfRig;

/// How the heat-gain model stands to rules of thumb, as measured in `tests/figures/reference/tank.rs`.
const RULES_OF_THUMB: &str = "rules of thumb promise more: of a handbook table for a propane cylinder this gives 0.4 to 0.75 \
     from 20 to 70 degF [lpgastable], of the service-manual rule for storage tanks 0.6 to 0.9 from 0 to 20 degF \
     [lpgasmanuals]; both count what tank and liquid give while they cool";

/// Things that happen that are shown; JSON has all.
const MOST_EVENTS: usize = 12;

/// Adds all of it to a report.
pub fn tank(report: &mut Report, library: &Library, units: Units, q: &Question, a: &Answer) {
    let level = figures::Level {
        kind: Kind::AbsolutePressure,
        zero_pa: 0.0,
    };
    let run = Run::row(q, a, level.zero_pa, units);
    let at_start = [
        "liquid_full_temperature_k",
        "filling_limit_kg",
        "hottest_pressure_pa",
    ];
    let start = [Start::row(&a.start).facts(), run.facts_of(&at_start)];
    report.facts("At the start", start.concat());
    for plot in figures::tank_run(&a.run, None, level, units) {
        report.plot("Run", plot);
    }
    for plot in figures::contents_run(&a.run, &names(q.tank.backend.composition()), units) {
        report.plot("Run", plot);
    }
    let shown = Shown {
        pressure: "pressure_pa",
        steps: false,
        rows: rows(report, a, true),
    };
    report.table("Run", series(q, a, &run, &shown));
    let feeds = [
        "lowest_pressure_pa",
        "sustainable_draw_kg_s",
        "sustainable_temperature_k",
        "largest_draw_kg_s",
        "highest_dew_point_k",
    ];
    report.facts("What it can feed", run.facts_of(&feeds));
    let mut ended = run.facts_of(&["end_s", "drawn_kg", "heat_j", "convection", "wall"]);
    ended.extend(run.facts_of(&VAPORISER));
    if a.vaporiser.is_some() {
        ended.extend(run.facts_of(&COIL));
    }
    report.facts("At the end", ended);
    report.keys(&run);
    if_liquid(report, a, &run);
    remedies(report, a, &run);
    let mut found = findings::happened(q, a, units);
    found.extend(findings::overfilled(&a.filling, units));
    found.extend(findings::wall(q, a, units));
    if let (Some(hot), Some(asked)) = (&a.hottest, &q.hottest) {
        found.extend(findings::hot_day(hot, asked.relief, asked.rating, units));
        found.extend(findings::liquid_full(hot, asked.temperature, units));
    }
    found.sort_by(|x, y| x.signal.cmp(&y.signal).then_with(|| x.id.cmp(&y.id)));
    report.findings = Some(found);
    report.assume("the tank does not stretch; `--fill` is liquid and vapour together");
    assumptions(report, q);
    if matches!(q.tank.heat_gain, HeatGain::Air { frost: None, .. }) {
        report.assume("no frost on the wall is counted");
    }
    cite(report, library, q, a);
}

// ---- people --------------------------------------------------------------------------------------

/// Names of the components.
fn names(of: &Composition) -> Vec<String> {
    of.parts().iter().map(|p| p.fuel.name.clone()).collect()
}

/// How a series is shown.
struct Shown {
    /// Key of the pressure.
    pressure: &'static str,
    /// Whether the step of each row is named.
    steps: bool,
    /// Places of the rows that are shown.
    rows: Vec<usize>,
}

/// Rows of a run that are shown where no interval was asked for; JSON has all.
const FEW_ROWS: usize = 16;

/// Places of the rows that are shown, and a word where that is not all that was asked for. Rows behind which
/// something happens stay, and so do the first and the last.
fn rows(report: &mut Report, a: &Answer, asked: bool) -> Vec<usize> {
    let (rows, events) = (&a.run.rows, &a.run.events);
    let most = if asked { MOST_ROWS } else { FEW_ROWS };
    let thinned = Thinned::new(rows.len(), most);
    let mut shown: Vec<usize> = (0..rows.len()).filter(|i| thinned.shows(*i)).collect();
    if asked && thinned.nth > 1 {
        let before = |e: &Event| rows.partition_point(|r| r.time.value <= e.time.value);
        let told = events.iter().take(MOST_EVENTS);
        shown.extend(told.map(|e| before(e).saturating_sub(1)));
        shown.sort_unstable();
        shown.dedup();
        report.remark(format!(
            "The table of the run shows one row in {} of {}, with the last and those at which something happens; JSON has all of them.",
            thinned.nth, thinned.count
        ));
    }
    shown
}

fn series(q: &Question, a: &Answer, run: &Row, shown: &Shown) -> Table {
    let names = names(q.tank.backend.composition());
    let mut keys = vec!["time_s"];
    if shown.steps {
        keys.push("step");
    }
    keys.extend(["temperature_k", shown.pressure, "liquid_mass_kg", "heat_w"]);
    let shares_at = keys.len();
    if names.len() > 1 && a.dew_points.iter().any(Option::is_some) {
        keys.push("dew_point_k");
    }
    let rows = shown.rows.iter().map(|&i| &run.rows("series")[i]);
    let mut table = table_of(&rows.cloned().collect::<Vec<_>>(), &keys);
    if names.len() > 1 {
        let columns = names.iter().enumerate().map(|(k, name)| {
            let column = Column::of(format!("{name} in vapour"), Kind::Ratio);
            // of many the first tell enough on a narrow page
            if k > 1 { column.optional() } else { column }
        });
        let cells = shown.rows.iter().map(|&i| {
            let shares = a.run.rows[i].contents.vapour_composition;
            let cells = shares.iter().map(|y| Value::of(Kind::Ratio, *y));
            cells.collect::<Vec<_>>()
        });
        table.insert(shares_at, columns, cells);
    }
    table
}

/// Mole fractions by component.
fn shares(of: &Composition, x: &[f64]) -> Vec<(String, f64)> {
    names(of).into_iter().zip(x.iter().copied()).collect()
}

/// Facts of the vaporiser.
const VAPORISER: [&str; 3] = [
    "vaporiser_heat_w",
    "vaporiser_share_of_burner",
    "vaporiser_outlet_temperature_k",
];
/// Fact of its coil.
const COIL: [&str; 1] = ["coil_length_m"];

/// A vaporiser for a liquid draw that nothing asks for but its coil.
fn if_liquid(report: &mut Report, a: &Answer, run: &Row) {
    let needed = a.remedies.is_some_and(|r| r.liquid_draw.is_some());
    let (None, false, Some(found)) = (&a.vaporiser, needed, &a.coil) else {
        return;
    };
    let vaporiser = Vaporises::row(&found.duty);
    let mut facts = vaporiser.facts_of(&["vaporiser_heat_w", "vaporiser_outlet_temperature_k"]);
    facts.extend(run.facts_of(&COIL));
    report.facts("If liquid were drawn", facts);
}

fn remedies(report: &mut Report, a: &Answer, run: &Row) {
    let title = "What would feed it, each by itself";
    report.facts(title, run.facts_of(&["remedies_given_up"]));
    let mut facts = run.row("remedies").map(Row::facts).unwrap_or_default();
    if a.remedies.is_some_and(|r| r.liquid_draw.is_some()) {
        facts.extend(run.facts_of(&COIL));
    }
    report.facts(title, facts);
}

// ---- what it rests on ----------------------------------------------------------------------------

fn assumptions(report: &mut Report, q: &Question) {
    report.assume("liquid, vapour and wall are at one temperature and in equilibrium; the liquid's surface, which is colder in a hard draw, is left out");
    match &q.tank.heat_gain {
        HeatGain::Insulated => report.assume("no heat comes in"),
        HeatGain::Conductance { .. } => {
            report.assume("the conductance is the same at every level");
        }
        HeatGain::Air { .. } => {
            report.assume("only the wetted wall brings heat to the liquid; heat through the dry wall leaves with the vapour");
            report.assume("coefficients outside are within 25 %; sunshine, rain and the heat that dew and frost give off are left out");
            report.assume(RULES_OF_THUMB);
        }
        HeatGain::WaterBath { .. } => {
            report.assume("the bath is still, covers the wetted wall and keeps its temperature");
        }
    }
    if q.schedule.steps.iter().any(|s| s.phase == Drawn::Liquid) {
        report.assume(
            "the liquid drawn is vaporised outside the tank at the lowest pressure that feeds",
        );
    }
}

fn humidity_known(q: &Question) -> bool {
    matches!(&q.tank.heat_gain, HeatGain::Air { air, .. } if air.relative_humidity.is_some())
}

fn cite(report: &mut Report, library: &Library, q: &Question, a: &Answer) {
    if a.coil.as_ref().is_some_and(|c| c.coil.is_ok()) {
        report.cite(library, "dittus1930");
        report.cite(library, "eucken1913");
    }
    let keys: &[&str] = match &q.tank.heat_gain {
        HeatGain::Insulated | HeatGain::Conductance { .. } => &[],
        HeatGain::Air { .. } => &[
            "churchill1975a",
            "churchill1975b",
            "churchill1977",
            "popiel2007",
            "ussa1976",
        ],
        HeatGain::WaterBath { .. } => &[
            "churchill1975a",
            "churchill1975b",
            "popiel2007",
            "patek2009",
            "kell1975",
        ],
    };
    for key in keys {
        report.cite(library, key);
    }
    if humidity_known(q) && a.wall.is_some_and(|w| w.surface != Surface::Dry) {
        report.cite(library, "alduchov1996");
    }
}
