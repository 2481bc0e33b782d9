//! A solved and audited rig for people and machines: duties, findings, mass.

use super::finding::{Finding, FindingData};
use super::outcome::count;
use super::record::{Row, record, table, table_of};
use super::to_write::{all_lines, questions};
use super::{Block, Report, Table};
use crate::audit::finding::title;
use crate::audit::solution::AsFed;
use crate::audit::{Audit, DutySolution, Missing, NotChecked, Signal, Solution, Suppressed};
use crate::combustion::flame::Flame;
use crate::fuel::Library;
use crate::quantity::AbsolutePressure;
use crate::quantity::show::Units;

record! {
    /// A duty with the fuel that the train gives it.
    FedDuty(duty: &DutySolution, fed: &AsFed) {
        (duty): Text = &duty.name, "duty";
        (wanted): MassRate = duty.demand.as_ref().ok().map(|d| d.fuel), "wanted";
        fuel_flow_kg_s: MassRate = fed.fuel, "train gives";
        equivalence_ratio: Number = fed.equivalence_ratio, "equivalence ratio then";
        (exit_wanted): Temperature = duty.exit_temperature(), "exit wanted";
        exit_temperature_k: Temperature = fed.exit.as_ref().ok().map(|x| x.temperature), "exit then";
    }

    /// A duty of the rig.
    DutyOfRig(duty: &DutySolution, fed: Option<&AsFed>, air: AbsolutePressure)
    with {
        demand = duty.demand.as_ref().ok();
        exit = duty.exit.as_ref().ok();
        primary = duty.primary.as_ref().and_then(|f| f.as_ref().ok());
        burns = duty.burns(fed);
    }
    {
        name: Text = &duty.name, "duty";
        air_flow_kg_s: MassRate = duty.air, "air";
        /// Temperature of the air at the fire.
        air_temperature_k: Temperature = duty.air_temperature;
        /// Pressure behind the holes.
        chamber_pressure_pa: AbsolutePressure = duty.chamber, "chamber" [optional]
            => GaugePressure = duty.chamber.gauge(air);
        fuel_flow_kg_s: MassRate = demand.map(|d| d.fuel), "fuel"
            => MassRate = burns.map(|b| b.fuel);
        (wanted): MassRate = fed.and(demand).map(|d| d.fuel), "wanted" [optional];
        equivalence_ratio: Number = demand.map(|d| d.equivalence_ratio), "equivalence ratio"
            => Number = burns.map(|b| b.equivalence_ratio);
        /// Fuel flow times lower heating value.
        fuel_heat_w: Power = demand.map(|d| d.fuel_heat);
        heat_release_w: Power = demand.map(|d| d.heat_release), "heat release"
            => Power = burns.map(|b| b.heat_release);
        primary_equivalence_ratio: Number = primary.map(|f| f.equivalence_ratio), "primary equivalence ratio";
        primary_temperature_k: Temperature = primary.map(|f| f.temperature), "primary zone";
        (exit_ratio): Number = exit.map(|f| f.equivalence_ratio), "exit equivalence ratio";
        /// Gas that leaves, above the air.
        temperature_rise_k: TemperatureDifference = exit.map(Flame::temperature_rise), "rise";
        exhaust_dew_point_k: Temperature = exit.and_then(Flame::exhaust_dew_point), "exhaust dew point";
        /// Gas that leaves.
        exit_temperature_k: Temperature = duty.exit_temperature(), "exit"
            => Temperature = burns.and_then(|b| b.exit);
        /// The duty with the fuel that the train gives; null where a valve sets the flow.
        as_fed: Row(FedDuty) = fed.map(|fed| FedDuty::row(duty, fed));
    }

    /// The duties of a rig.
    Duties(duties: Vec<Row>) {
        duties: Rows(DutyOfRig) = duties;
    }

    /// A fact that the file leaves out and that decides whether anybody gets hurt.
    MissingFact(m: &Missing) {
        /// Path of the key or table.
        key: Text = &m.key;
        /// What is asked.
        question: Text = m.question;
        /// Lines to write, a `"?"` for what to fill in.
        example: Text = &m.example;
        /// What goes in place of the `"?"`; empty for a table.
        takes: Text = m.takes;
        /// Whether `"none"` is an answer.
        none: Flag = m.none;
        /// Rules that wait for it.
        rules: Texts = m.rules.to_vec();
    }

    /// What the file does not say and has to.
    Open(audit: &Audit) {
        /// Whether the file leaves out a fact that decides whether anybody gets hurt.
        incomplete: Flag = audit.is_incomplete();
        missing: Rows(MissingFact) = audit.missing.iter().map(MissingFact::row).collect::<Vec<_>>();
    }

    /// Which file it was.
    Digest(digest: &str) {
        /// SHA-256 of the rig file with its ends of lines as line feeds.
        rig_digest: Text = digest;
    }

    /// The verdict of an audit.
    VerdictOf(text: &str) {
        /// Version of the program.
        program_version: Text = env!("CARGO_PKG_VERSION");
        /// The verdict in words.
        verdict: Text = text;
    }

    /// A rule that could not look.
    Unchecked(n: &NotChecked) {
        /// Id of the rule.
        id: Text = n.id;
        /// Its name.
        name: Text = n.name;
        /// Why not.
        because: Text = &n.because;
    }

    /// A finding that the rig file sets aside.
    Aside(s: &Suppressed)
    with {
        f = &s.finding;
        signal = f.signal.word();
    }
    {
        /// Id of the rule.
        id: Text = f.id, "rule" => Text = format!("{signal} {} {}", f.id, f.name);
        /// Name of the rule.
        name: Text = f.name;
        /// Signal word.
        signal: Text = signal;
        at: Text = &f.at, "at";
        reason: Text = &s.reason, "reason";
        by: Text = &s.by, "by";
        /// Last day on which it holds.
        until: Text = s.until.to_string(), "until";
    }

    /// What an audit could not check, and what the rig file sets aside.
    Beside(audit: &Audit) {
        /// What was not checked; a rule once for each reason.
        not_checked: Rows(Unchecked) = audit.not_checked.iter().map(Unchecked::row).collect::<Vec<_>>();
        /// What is set aside.
        suppressed: Rows(Aside) = audit.suppressed.iter().map(Aside::row).collect::<Vec<_>>();
    }

    /// Rules, not checked for a reason.
    Reason(rules: String, because: String) {
        (rules): Text = rules, "rules";
        (because): Text = because, "because";
    }
}

/// Heading of the verdict; findings stand behind it on a page.
pub const VERDICT: &str = "Verdict";
/// Heading of what no rule could look at.
pub const NOT_CHECKED: &str = "Not checked";

/// Line of the rig file for a path of the rig.
pub type LineOf<'a> = &'a dyn Fn(&str) -> Option<usize>;

/// Adds the duties.
pub fn duties(report: &mut Report, library: &Library, solution: &Solution<'_>) {
    let air = solution.rig.site.air_pressure;
    let row = |d: &DutySolution| DutyOfRig::row(d, solution.as_fed(d).as_ref(), air);
    let rows: Vec<Row> = solution.duties.iter().map(row).collect();
    for duty in &solution.duties {
        let flames = [Some(&duty.exit), duty.primary.as_ref()];
        let flames = flames.into_iter().flatten();
        for why in flames.filter_map(|f| f.as_ref().err()) {
            if duty.demand.is_ok() {
                report.remark(format!("{}: the flame is not known: {why}.", duty.name));
            }
        }
        if let Err(why) = &duty.demand {
            report.remark(format!("The duty {} has no fuel flow: {why}.", duty.name));
        }
    }
    let columns = [
        "name",
        "air_flow_kg_s",
        "fuel_flow_kg_s",
        "wanted",
        "equivalence_ratio",
        "heat_release_w",
        "chamber_pressure_pa",
        "exit_temperature_k",
    ];
    report.table("Duties", table_of(&rows, &columns));
    report.keys(&Duties::row(rows));
    if let Ok(stoichiometry) = &solution.stoichiometry {
        for key in &stoichiometry.sources {
            report.cite(library, key);
        }
    }
    for key in ["iso2533", "ashrae-fundamentals-1"] {
        report.cite(library, key);
    }
    for sentence in &solution.assumptions {
        report.assume(sentence.as_str());
    }
}

/// Adds which file it was.
pub fn digest(report: &mut Report, digest: &str) {
    report.keys(&Digest::row(digest));
}

/// Adds the verdict for the top of the page: the count of findings by signal word, what the file does not say
/// and has to, and what is set aside.
pub fn verdict(report: &mut Report, solution: &Solution<'_>, audit: &Audit) {
    let text = verdict_text(solution, audit);
    report.keys(&VerdictOf::row(&text));
    report.paragraph(VERDICT, text);
    open_questions(report, audit);
}

/// Adds what the file does not say and has to, and what is set aside: both keep the exit code.
pub fn open_questions(report: &mut Report, audit: &Audit) {
    report.keys(&Open::row(audit));
    if audit.is_incomplete() {
        report.block(VERDICT, Block::Lines(questions(&audit.missing)));
    }
    report.alarms |= audit.is_incomplete() || audit.has_alarms();
    for s in &audit.suppressed {
        let f = &s.finding;
        let counts = if f.signal == Signal::Danger {
            "; a DANGER keeps the exit code at 1 all the same"
        } else {
            ""
        };
        report.paragraph(
            VERDICT,
            format!(
                "Set aside by {} until {}: {} {} at {}: {}{counts}.",
                s.by,
                s.until,
                f.signal.word(),
                f.id,
                f.at,
                s.reason.trim_end_matches('.')
            ),
        );
    }
    for sentence in &audit.not_set_aside {
        report.paragraph(VERDICT, sentence.as_str());
    }
}

/// That the file leaves facts out, with a blank behind it; empty where it does not.
pub fn incomplete(audit: &Audit) -> String {
    let facts = match audit.missing.len() {
        0 => return String::new(),
        1 => "1 fact that decides".to_owned(),
        n => format!("{n} facts that decide"),
    };
    format!(
        "INCOMPLETE: the file leaves out {facts} whether anybody gets hurt. Fill in the lines below as your rig is \
         and write them in the file; all of them stand under \"{TO_WRITE}\". "
    )
}

/// The verdict in a few sentences.
fn verdict_text(solution: &Solution<'_>, audit: &Audit) -> String {
    let mut text = incomplete(audit);
    if solution.rig.train.parts().is_empty() {
        text.push_str("There is no train in the file: only holes and tank were judged. ");
    }
    text.push_str(&not_fed(audit));
    text + &counts(audit)
}

/// Which duties do not get their fuel, with a blank behind it; empty where all do.
fn not_fed(audit: &Audit) -> String {
    let cannot = |f: &&crate::audit::Finding| f.id == "TRN001" && f.signal == Signal::Notice;
    let places = audit.findings.iter().filter(cannot).flat_map(|f| &f.places);
    let duties: Vec<Option<&str>> = places.map(|at| at.strip_prefix("duties.")).collect();
    match duties.as_slice() {
        [] => String::new(),
        [Some(one)] => format!("The train does not give the duty {one} its fuel. "),
        all => match all.iter().copied().collect::<Option<Vec<&str>>>() {
            Some(all) => format!(
                "The train does not give these duties their fuel: {}. ",
                all.join(", ")
            ),
            None => "The train feeds no fuel to any duty. ".to_owned(),
        },
    }
}

/// Heading of all lines that the file has to have.
const TO_WRITE: &str = "Lines to write";

/// What the rules found, by signal word, in one sentence.
pub fn counts(audit: &Audit) -> String {
    let by_word = |of: &dyn Fn(Signal) -> usize, least: usize| {
        let counts = Signal::ALL.map(|signal| (of(signal), signal));
        let counts = counts.into_iter().filter(|(n, _)| *n >= least);
        let words: Vec<String> = counts.map(|(n, s)| format!("{n} {}", s.word())).collect();
        words.join(", ")
    };
    let opens = if audit.is_incomplete() || audit.has_alarms() {
        "Do not light it yet: "
    } else {
        ""
    };
    let found = by_word(&|signal| count(&audit.findings, signal), 0);
    let set_aside = |signal| {
        let all = audit.suppressed.iter();
        all.filter(|s| s.finding.signal == signal).count()
    };
    let aside = match by_word(&set_aside, 1) {
        none if none.is_empty() => none,
        some => format!("; set aside: {some}"),
    };
    let not_checked = match audit.rules_not_checked() {
        0 => String::new(),
        1 => "; not checked: 1 rule".to_owned(),
        n => format!("; not checked: {n} rules"),
    };
    format!("{opens}{found}{aside}{not_checked}; none of this permits lighting anything.")
}

/// Adds what the rules found, what they could not check, and what is set aside.
pub fn findings(report: &mut Report, solution: &Solution<'_>, audit: &Audit, line_of: LineOf<'_>) {
    let read_by = (solution.units, solution.rig.site.air_pressure);
    judged(report, &audit.findings, read_by, line_of);
    let row = Beside::row(audit);
    let aside = table_of(
        row.rows("suppressed"),
        &["id", "at", "reason", "by", "until"],
    );
    report.table("Set aside in the rig file", aside);
    if audit.is_incomplete() {
        report.block(TO_WRITE, Block::Lines(all_lines(&audit.missing)));
    }
    report.table(NOT_CHECKED, not_checked(audit));
    report.keys(&row);
}

/// Adds what rules found, as a reader with these units and this pressure of the air reads it.
pub fn judged(
    report: &mut Report,
    found: &[crate::audit::Finding],
    read_by: (Units, AbsolutePressure),
    line_of: LineOf<'_>,
) {
    let shown = found.iter().map(|f| shown(f, read_by, line_of));
    report.findings = Some(shown.collect());
}

/// What was not checked: a reason that several rules have stands once, with their ids, and so does one that a rule
/// has of several places.
fn not_checked(audit: &Audit) -> Table {
    let mut reasons: Vec<(&str, Vec<&str>, String)> = Vec::new();
    for n in &audit.not_checked {
        let one = format!("{} {}", n.id, n.name);
        match reasons.iter_mut().find(|r| r.0 == n.because) {
            Some(r) => r.1.push(n.id),
            None => reasons.push((&n.because, vec![n.id], one)),
        }
    }
    let mut rows: Vec<(Vec<&str>, String, Vec<&str>, &str)> = Vec::new();
    for (because, ids, one) in reasons {
        // "hose gives no `max_pressure`": the first word is the place
        let (place, rest) = because.split_once(' ').unwrap_or((because, ""));
        if let Some(row) = rows.iter_mut().find(|r| r.0 == ids && r.3 == rest) {
            row.2.push(place);
        } else {
            let named = if ids.len() == 1 { one } else { ids.join(" ") };
            rows.push((ids, named, vec![place], rest));
        }
    }
    let row = |(_, rules, places, rest): (Vec<&str>, String, Vec<&str>, &str)| {
        let because = match places[..] {
            [place] => format!("{place} {rest}"),
            _ => format!("{}: each {rest}", places.join(", ")),
        };
        Reason::row(rules, because)
    };
    table(&rows.into_iter().map(row).collect::<Vec<_>>())
}

/// A finding as texts, with its figures for machines.
fn shown(
    f: &crate::audit::Finding,
    (units, air): (Units, AbsolutePressure),
    line_of: LineOf<'_>,
) -> Finding {
    let measured = f.measured.si(air);
    let limit = f.limit.figure().and_then(|m| m.si(air));
    let also = match f.places.len() {
        0 | 1 => String::new(),
        _ => format!("; also at {}", f.places[1..].join(", ")),
    };
    let measured_alone = f.measured.show(units);
    Finding {
        id: f.id.to_owned(),
        name: f.name.to_owned(),
        title: title(f.name),
        sentence: f.sentence(units),
        signal: f.signal,
        measured: format!("{measured_alone}{also}"),
        limit: f.limit.show(units),
        source: f.source.show(),
        advice: f.advice.clone(),
        line: line_of(&f.at),
        at: f.at.clone(),
        data: FindingData {
            subject: Some(f.subject.clone()),
            measured_si: measured.map(|m| m.0),
            limit_si: limit.map(|l| l.0),
            unit: measured.or(limit).map(|m| m.1),
            places: f
                .places
                .iter()
                .map(|at| (at.clone(), line_of(at)))
                .collect(),
            remedy: None,
        },
    }
}

/// Adds the mass of the rig; `mass` tells it part by part.
pub fn mass(report: &mut Report, solution: &Solution<'_>) {
    super::mass::whole(report, &solution.inventory());
}
