//! What a weighed run says of a rig, for people and machines: answer first, each band beside its number.

use super::Report;
use super::record::{Row, record, table};
use crate::quantity::Kind;
use crate::quantity::show::{Units, banded, percent, show_digits, signed, significant};
use crate::tolerance::calibration::{Against, CONTRADICTS, Calibrated, Known, Narrowed, Told};

/// Heading of the answer.
pub const SAYS: &str = "What the run says";
/// Shares of the variance below which no input is named. Our choice.
const LEAST_NAMED: f64 = 0.3;

record! {
    /// A weighed run against the rig file.
    RunOf(found: &Calibrated, air_pa: f64)
    with {
        flow = &found.flow;
        ring = found.ring.as_ref();
        at = found.at_ring.as_ref();
        ends = |a: &Against| (a.read - a.read_half, a.read + a.read_half);
        of_file = |a: &Against| (a.predicted - a.predicted_half, a.predicted + a.predicted_half);
        gauge = |a: &Against| (a.read - air_pa, a.predicted - air_pa);
        (read_low, read_high) = ends(flow);
        (low, high) = of_file(flow);
        (at_low, at_high) = at.map(of_file).unzip();
        below = |(low, high): (f64, f64)| (low - air_pa, high - air_pa);
        (ring_file_low, ring_file_high) = ring.map(|a| below(of_file(a))).unzip();
    }
    {
        /// Duty that it is taken for.
        duty: Text = &found.duty, "Taken for duty";
        opening: Ratio = found.opening, "Throttle at";
        /// By weight.
        fuel_flow_kg_s: MassRate = flow.read, "Fuel flow by weight", band (read_low, read_high);
        /// By the rig file.
        predicted_flow_kg_s: MassRate = flow.predicted, "By the rig file", note verdict(flow), band (low, high);
        /// Read less predicted, in standard uncertainties of both.
        flow_off: Number = flow.off;
        /// What the holes of the file pass at the pressure that was read.
        flow_at_ring_kg_s: MassRate = at.map(|a| a.predicted), "Through the holes at the pressure read",
            note at.map(verdict), band (at_low, at_high);
        /// Flow read less that, in standard uncertainties of both.
        flow_at_ring_off: Number = at.map(|a| a.off);
        /// Pressure before the holes, read.
        ring_pressure_pa: AbsolutePressure = ring.map(|a| a.read), "Pressure before the holes"
            => GaugePressure = ring.map(|a| gauge(a).0);
        /// The same by the rig file.
        predicted_ring_pressure_pa: AbsolutePressure = ring.map(|a| a.predicted), "The same by the rig file"
            => GaugePressure = ring.map(|a| gauge(a).1), note ring.map(verdict), band (ring_file_low, ring_file_high);
        /// Pressure read less predicted, in standard uncertainties of both.
        ring_pressure_off: Number = ring.map(|a| a.off);
    }

    /// What varies, before and after.
    KnownOf(k: &Known, units: Units)
    with {
        end = |x: f64| departure(k.unit, x, units);
        (low, high) = (k.value - k.half, k.value + k.half);
    }
    {
        name: Text = &k.name, "what";
        (before): Text = format!("{} to {}", end(k.before.0), end(k.before.1)), "against the file, before";
        (after): Text = format!("{} to {}", end(low), end(high)), "after";
        /// Whether the run tells it: `found`, `partly` or `not from this run`.
        identified: Text = k.told.word(), "told";
        /// Departure from the file, relative or in kelvin, lowest before.
        before_low: Number = k.before.0;
        /// Highest before.
        before_high: Number = k.before.1;
        /// Departure after.
        value: Number = k.value;
        /// Lowest after, 95 %.
        low: Number = low;
        /// Highest after.
        high: Number = high;
        /// Standard uncertainty over what it was.
        posterior_over_prior: Number = k.left;
    }

    /// A duty before and after.
    DutyOf(d: &Narrowed, units: Units)
    with {
        flow = |(low, high): (f64, f64)| {
            let show = |m: f64| show_digits(Kind::MassRate, m, units, 3);
            format!("{} to {}", show(low), show(high))
        };
        mixture = |(low, high): (f64, f64)| {
            let (low, high) = (low * d.ratio_per_flow, high * d.ratio_per_flow);
            let [_, low, high] = banded(0.5 * (low + high), low, high);
            format!("{low} to {high}")
        };
    }
    {
        name: Text = &d.name, "duty";
        (flow_before): Text = flow(d.before), "fuel, before";
        (flow_after): Text = flow(d.after), "fuel, after";
        (mixture_before): Text = mixture(d.before), "equivalence ratio, before";
        (mixture_after): Text = mixture(d.after), "ratio, after";
        /// Least fuel flow before.
        fuel_flow_low_before_kg_s: MassRate = d.before.0;
        /// Most fuel flow before.
        fuel_flow_high_before_kg_s: MassRate = d.before.1;
        /// Least fuel flow after.
        fuel_flow_low_kg_s: MassRate = d.after.0;
        /// Most fuel flow after.
        fuel_flow_high_kg_s: MassRate = d.after.1;
        /// What has most of the band that is left.
        widest: Text = d.most.as_ref().map(|m| m.0.as_str());
        /// Its share of the variance.
        widest_share: Number = d.most.as_ref().map(|m| m.1);
    }

    /// A weighed run.
    Answer(found: &Calibrated, known: Vec<Row>, duties: Vec<Row>, air_pa: f64)
    with { holes = found.known.first().filter(|_| found.narrows()); }
    {
        ..run: Row(RunOf) = RunOf::row(found, air_pa);
        /// Discharge coefficient at the diameter of the file, by the run.
        discharge_coefficient: Number = holes.map(|h| found.coefficient * (1.0 + h.value));
        /// Lowest that it may be, 95 %.
        discharge_coefficient_low: Number = holes.map(|h| found.coefficient * (1.0 + h.value) * (-h.half).exp());
        /// Highest that it may be.
        discharge_coefficient_high: Number = holes.map(|h| found.coefficient * (1.0 + h.value) * h.half.exp());
        /// What varies, before and after.
        parameters: Rows(KnownOf) = known;
        /// Duties before and after.
        duties: Rows(DutyOf) = duties;
    }
}

/// A departure with its sign, relative ones in percent.
fn departure(unit: Kind, x: f64, units: Units) -> String {
    if unit == Kind::Ratio {
        return format!("{} %", signed(100.0 * x));
    }
    show_digits(unit, x, units, 2)
}

/// Whether a reading is what the file makes of it.
fn verdict(a: &Against) -> String {
    let times = format!("{} standard uncertainties", significant(a.off.abs(), 2));
    match a.off {
        off if off > CONTRADICTS => format!("read is above it by {times}"),
        off if off < -CONTRADICTS => format!("read is below it by {times}"),
        _ => "the two agree".to_owned(),
    }
}

/// What may be behind readings that contradict the file.
fn behind(found: &Calibrated) -> Option<String> {
    let side = |a: Option<&Against>| {
        a.map_or(0.0, |a| {
            if a.off.abs() > CONTRADICTS {
                a.off.signum()
            } else {
                0.0
            }
        })
    };
    let (flow, ring) = (side(Some(&found.flow)), side(found.ring.as_ref()));
    let holes = side(found.at_ring.as_ref());
    Some(if holes > 0.0 {
        "More left by weight than these holes pass at the pressure that was read: a leak before them, holes larger or more than written, or a gauge that reads low; soap every joint before the next run".to_owned()
    } else if holes < 0.0 {
        "Less left by weight than these holes pass at the pressure that was read: blocked or smaller holes, or a gauge that reads high".to_owned()
    } else if flow > 0.0 || ring > 0.0 {
        "More flows than the train gives by its file: a set pressure that is higher, a throttle that passes more or stood wider, or a leak; the flow is not what the audit counted with".to_owned()
    } else if flow < 0.0 || ring < 0.0 {
        "Less flows than the train gives by its file: a cylinder that ran cold, a regulator that droops or is starved, or a throttle or line that passes less".to_owned()
    } else {
        return None;
    })
}

/// The first sentence of the answer.
fn sentence(found: &Calibrated, units: Units) -> String {
    let Some(holes) = found.known.first() else {
        return String::new();
    };
    let flow = |m: f64| show_digits(Kind::MassRate, m, units, 3);
    let agree = match behind(found) {
        Some(why) => format!("The run contradicts the rig file. {why}."),
        None => "The run agrees with the rig file.".to_owned(),
    };
    if !found.narrows() {
        let read = flow(found.flow.read);
        return format!("{read} by weight. {agree} Until that is found the run narrows no band.");
    }
    let c = found.coefficient * (1.0 + holes.value);
    let [c, low, high] = banded(c, c * (-holes.half).exp(), c * holes.half.exp());
    let of_holes = match holes.told {
        Told::Nothing => "It says nothing of the holes".to_owned(),
        told => format!(
            "The holes have a coefficient of {c} ({low} to {high}) at the diameter in the file: {}",
            told.word()
        ),
    };
    let other = |told: Told| {
        let names = found.known.iter().skip(1).filter(|k| k.told == told);
        names.map(|k| k.name.clone()).collect::<Vec<_>>().join(", ")
    };
    let rest = match (other(Told::Found), other(Told::Partly)) {
        (a, b) if a.is_empty() && b.is_empty() => String::new(),
        (a, b) if b.is_empty() => format!("; found too: {a}"),
        (a, b) if a.is_empty() => format!("; partly: {b}"),
        (a, b) => format!("; found too: {a}; partly: {b}"),
    };
    format!(
        "{} by weight. {agree} {of_holes}{rest}.",
        flow(found.flow.read)
    )
}

/// Adds what a run says.
pub fn calibration(report: &mut Report, found: &Calibrated, air_pa: f64, units: Units) {
    let (found_known, found_duties): (&[Known], &[Narrowed]) = if found.narrows() {
        (&found.known, &found.duties)
    } else {
        (&[], &[])
    };
    let known: Vec<Row> = found_known.iter().map(|k| KnownOf::row(k, units)).collect();
    let duties: Vec<Row> = found_duties.iter().map(|d| DutyOf::row(d, units)).collect();
    report.paragraph(SAYS, sentence(found, units));
    report.facts(
        "Read, and by the rig file",
        RunOf::row(found, air_pa).facts(),
    );
    let told = found_known.iter().zip(&known);
    let told = told.filter(|(k, _)| k.told != Told::Nothing);
    let told: Vec<Row> = told.map(|(_, row)| row.clone()).collect();
    if found.narrows() {
        report.table("What it tells", table(&told));
        report.table("Duties before and after", table(&duties));
    }
    report.keys(&Answer::row(found, known, duties, air_pa));
    let widest = found_duties.iter().max_by(|a, b| {
        let width = |d: &Narrowed| d.after.1 / d.after.0;
        width(a).total_cmp(&width(b))
    });
    if let Some((d, (name, share))) = widest.and_then(|d| Some((d, d.most.as_ref()?)))
        && *share > LEAST_NAMED
    {
        let next = match name.as_str() {
            "discharge coefficient" | "hole diameter" if found.at_ring.is_none() => {
                "read the pressure before the holes at the next run"
            }
            "discharge coefficient" | "hole diameter" => "weigh a longer run, or make a flow test",
            "throttle position" => "read the position of the throttle closer",
            _ if found.at_ring.is_none() => "read the pressure before the holes at the next run",
            _ => "weigh a run at another opening, with the pressure before the holes read",
        };
        report.remark(format!(
            "Most of the band that is left at `{}` is of {name} ({}): {next}.",
            d.name,
            percent((100.0 * share).round() / 100.0)
        ));
    }
    report.assume("the run stood as it was from one weighing to the other, with cylinder and air as warm as in the file; opening, temperatures and supply of other days have their bands anew");
    report.assume(
        "bands of the file are rectangles before, those after are 95 % of a normal distribution",
    );
}
