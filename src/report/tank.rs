//! A tank for people and machines: series, what it can keep up, what happened, what would help.

mod findings;
mod keys;
mod rig;
mod rig_keys;

pub use rig::of_rig;

use super::thin::{MOST_ROWS, Thinned};
use super::{Column, Fact, Report, Table, Value, figures};
use crate::fuel::Library;
use crate::quantity::sentence::Told;
use crate::quantity::show::{Units, show};
use crate::quantity::{Kind, ThermodynamicTemperature};
use crate::tank::answer::{Answer, Question};
use crate::tank::filling_check::FillingLimit;
use crate::tank::heat_gain::{HeatGain, Surface};
use crate::tank::record::Event;
use crate::tank::remedies::{Bath, LARGEST, MOST_CYLINDERS, WARMEST_K};
use crate::tank::schedule::Drawn;

/// How the heat-gain model stands to rules of thumb, as measured in `tests/figures/reference/tank.rs`.
const RULES_OF_THUMB: &str = "rules of thumb promise more: of a handbook table for a propane cylinder this gives 0.4 to 0.75 \
     from 20 to 70 degF [lpgastable], of the service-manual rule for storage tanks 0.6 to 0.9 from 0 to 20 degF \
     [lpgasmanuals]; both count what tank and liquid give while they cool";

/// Things that happen that are shown; JSON has all.
const MOST_EVENTS: usize = 12;

/// Adds all of it to a report.
pub fn tank(report: &mut Report, library: &Library, units: Units, q: &Question, a: &Answer) {
    keys::keys(report, q, a);
    report.facts("At the start", start(a));
    let level = figures::Level {
        kind: Kind::AbsolutePressure,
        zero_pa: 0.0,
    };
    for plot in figures::tank_run(&a.run, None, level, units) {
        report.plot("Run", plot);
    }
    for plot in figures::contents_run(&a.run, &names(q), units) {
        report.plot("Run", plot);
    }
    let shown = Shown {
        level,
        steps: false,
        rows: rows(report, a, true),
    };
    report.table("Run", series(q, a, &shown));
    report.facts("What it can feed", capability(q, a));
    let mut ended = end(a);
    if a.vaporiser.is_some() {
        ended.extend(coil(q, a, units));
    }
    report.facts("At the end", ended);
    if_liquid(report, q, a, units);
    remedies(report, q, a, units);
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

fn start(a: &Answer) -> Vec<Fact> {
    let c = &a.start;
    let mut facts = vec![
        Fact::of("Pressure", Kind::AbsolutePressure, c.pressure.pascals()),
        Fact::of("Liquid", Kind::Mass, c.liquid.value),
        Fact::of("Vapour", Kind::Mass, c.vapour.value),
        Fact::of("Liquid, by volume", Kind::Ratio, c.liquid_volume.value),
    ];
    if let Some(t) = a.liquid_full {
        let fact = Fact::of("Liquid-full when warmed to", Kind::Temperature, t.value);
        facts.push(fact.note("if nothing is drawn"));
    }
    if let Some((limit, from)) = a.filling.limit() {
        facts.push(
            Fact::of("Most it may hold", Kind::Mass, limit.value).note(match from {
                FillingLimit::ByVolume => {
                    "liquid on 80 % of the volume at 15 degC; the code in force decides"
                }
                FillingLimit::ByWeight => {
                    "table of filling densities [wac296307]; the code in force decides"
                }
            }),
        );
    }
    if let Some(h) = &a.hottest {
        let p = h.pressure.pascals();
        facts.push(Fact::of(
            "Pressure on the hottest day",
            Kind::AbsolutePressure,
            p,
        ));
    }
    facts
}

/// Names of the components.
fn names(q: &Question) -> Vec<String> {
    let parts = q.tank.backend.composition().parts();
    parts.iter().map(|p| p.fuel.name.clone()).collect()
}

/// How a series is shown.
struct Shown {
    level: figures::Level,
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

fn series(q: &Question, a: &Answer, shown: &Shown) -> Table {
    let names = names(q);
    let blend = names.len() > 1;
    let dew = blend && a.dew_points.iter().any(Option::is_some);
    let mut columns = vec![Column::of("Time", Kind::Time)];
    if shown.steps {
        columns.push(Column::new("Step"));
    }
    columns.extend([
        Column::of("Temperature", Kind::Temperature),
        Column::of("Pressure", shown.level.kind),
        Column::of("Liquid", Kind::Mass),
        Column::of("Heat in", Kind::Power).digits(3).optional(),
    ]);
    if blend {
        columns.extend(names.iter().enumerate().map(|(k, name)| {
            let column = Column::of(format!("{name} in vapour"), Kind::Ratio).digits(3);
            // of many the first tell enough on a narrow page
            if k > 1 { column.optional() } else { column }
        }));
    }
    if dew {
        columns.push(Column::of("Dew point in the line", Kind::Temperature).digits(3));
    }
    let mut table = Table::new(columns);
    for &i in &shown.rows {
        let r = &a.run.rows[i];
        let c = &r.contents;
        let mut cells = vec![Value::of(Kind::Time, r.time.value)];
        if shown.steps {
            let step = q.schedule.steps.get(r.step);
            cells.push(Value::Text(
                step.map_or_else(String::new, |s| s.name.clone()),
            ));
        }
        cells.extend([
            Value::of(Kind::Temperature, c.temperature.value),
            Value::of(shown.level.kind, c.pressure.pascals() - shown.level.zero_pa),
            Value::of(Kind::Mass, c.liquid.value),
            Value::of(Kind::Power, r.heat.value),
        ]);
        if blend {
            let shares = c.vapour_composition.iter();
            cells.extend(shares.map(|y| Value::of(Kind::Ratio, *y)));
        }
        if dew {
            let point: Option<ThermodynamicTemperature> = a.dew_points.get(i).copied().flatten();
            cells.push(Value::of(Kind::Temperature, point.map(|t| t.value)));
        }
        table.row(cells);
    }
    table
}

fn capability(q: &Question, a: &Answer) -> Vec<Fact> {
    let lowest = q.lowest.pascals();
    let mut facts = vec![Fact::of(
        "Lowest pressure that feeds",
        Kind::AbsolutePressure,
        lowest,
    )];
    let why = |e: &crate::tank::TankError| Fact::text("Draw it can keep up", format!("none: {e}"));
    match &a.sustainable {
        Ok(s) => {
            let draw =
                Fact::of("Draw it can keep up", Kind::MassRate, s.draw.value).within(band(a));
            facts.push(draw.note("at this filling; less as the level falls"));
            facts.push(Fact::of(
                "Tank settles at",
                Kind::Temperature,
                s.temperature.value,
            ));
        }
        Err(e) => facts.push(why(e)),
    }
    let name = "Largest draw for the time asked";
    facts.push(match &a.largest {
        Ok(w) => Fact::of(name, Kind::MassRate, w.value),
        Err(e) => Fact::text(name, format!("none: {e}")),
    });
    facts.extend(highest_dew_point(a));
    facts
}

fn highest_dew_point(a: &Answer) -> Option<Fact> {
    let (_, t) = a.highest_dew_point()?;
    let name = "Highest dew point in the line";
    let fact = Fact::of(name, Kind::Temperature, t.value);
    Some(fact.note("what is drawn condenses in a line that is colder than this"))
}

/// Band on every figure that goes by the heat.
fn band(a: &Answer) -> f64 {
    a.wall.map_or(0.0, |w| w.band.value)
}

fn end(a: &Answer) -> Vec<Fact> {
    let mut facts = vec![
        Fact::of("Time", Kind::Time, a.run.end.value),
        Fact::of("Drawn", Kind::Mass, a.run.drawn.value),
        Fact::of("Heat taken up", Kind::Energy, a.run.heat.value),
    ];
    if let Some((wall, h)) = a.wall.and_then(|w| Some((w.wall, w.coefficient?))) {
        let name = "Convection outside the wetted wall";
        let fact = Fact::of(name, Kind::HeatTransfer, h.value).within(band(a));
        facts.push(fact.note("where it is coldest"));
        facts.push(Fact::of(
            "Wetted wall outside",
            Kind::Temperature,
            wall.value,
        ));
    }
    facts.extend(vaporiser(a));
    facts
}

fn vaporiser(a: &Answer) -> Vec<Fact> {
    let Some(v) = &a.vaporiser else {
        return Vec::new();
    };
    let mut facts = vec![Fact::of("Vaporiser", Kind::Power, v.heat().value)];
    if let Some(share) = v.share_of_burner {
        let name = "Share of the burner's heat";
        facts.push(Fact::of(name, Kind::Ratio, share.value));
    }
    let name = "Vapour leaves it at";
    facts.push(Fact::of(name, Kind::Temperature, v.outlet.value));
    facts
}

/// A vaporiser for a liquid draw that nothing asks for but its coil.
fn if_liquid(report: &mut Report, q: &Question, a: &Answer, units: Units) {
    let needed = a.remedies.is_some_and(|r| r.liquid_draw.is_some());
    let (None, false, Some(found)) = (&a.vaporiser, needed, &a.coil) else {
        return;
    };
    let mut facts = vec![
        Fact::of("Vaporiser", Kind::Power, found.duty.heat().value),
        Fact::of(
            "Vapour leaves it at",
            Kind::Temperature,
            found.duty.outlet.value,
        ),
    ];
    facts.extend(coil(q, a, units));
    report.facts("If liquid were drawn", facts);
}

/// Length of the vaporiser's coil, if it was asked.
fn coil(q: &Question, a: &Answer, units: Units) -> Option<Fact> {
    let asked = q.coil?;
    let name = "First length of its coil";
    Some(match &a.coil.as_ref()?.coil {
        Ok(c) => Fact::of(name, Kind::Length, c.length[1].value)
            .between(c.length[0].value, c.length[2].value)
            .note(format!(
                "bore {}, wall held at {}: cut long, measure, shorten",
                show(Kind::Length, asked.bore.value, units),
                show(Kind::Temperature, asked.wall.value, units)
            )),
        Err(e) => Fact::text(name, format!("not known: {e}")),
    })
}

fn remedies(report: &mut Report, q: &Question, a: &Answer, units: Units) {
    let title = "What would feed it, each by itself";
    if let Some(why) = &a.remedies_given_up {
        report.facts(title, vec![Fact::text("Not known", why.told().show(units))]);
    }
    let Some(r) = &a.remedies else { return };
    let none = |name: &str, limit: &str| Fact::text(name, format!("does not help {limit}"));
    let warm = format!("up to {}", show(Kind::Temperature, WARMEST_K, units));
    let mut facts = vec![
        match r.warmer {
            Some(t) => Fact::of("Warmer tank and air, at least", Kind::Temperature, t.value),
            None => none("Warmer tank and air", &warm),
        },
        match r.larger {
            Some(s) => Fact::plain("Larger tank, times the volume", s.value)
                .note("same shape, filled to the same level"),
            None => none("Larger tank", &format!("up to {LARGEST} times the volume")),
        },
        match r.cylinders {
            Some(n) => Fact::new("Such tanks side by side", Value::Count(n as usize)),
            None => none(
                "Such tanks side by side",
                &format!("up to {MOST_CYLINDERS}"),
            ),
        },
        match r.bath {
            Some(Bath::Water(t)) => Fact::of("Water bath, at least", Kind::Temperature, t.value),
            Some(Bath::Conductance(ua)) => {
                Fact::of("Conductance, at least", Kind::ThermalConductance, ua.value)
                    .note("a water bath has some 10 to 30 times that of still air")
            }
            None => none("Water bath", &warm),
        },
        match &r.liquid_draw {
            Some(v) => Fact::text(
                "Liquid draw",
                format!(
                    "feeds it, with a vaporiser of {}",
                    show(Kind::Power, v.heat().value, units)
                ),
            ),
            None => none("Liquid draw", "here"),
        },
    ];
    if r.liquid_draw.is_some() {
        facts.extend(coil(q, a, units));
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
