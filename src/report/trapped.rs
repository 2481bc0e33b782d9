//! Sections that closed valves isolate, and the liquid in them, for people and machines.

use super::Report;
use super::record::{Row, each_once, record, table, table_of};
use crate::leak::{Contents, Heating, TrappedSection};
use crate::quantity::AbsolutePressure;
use crate::quantity::sentence::{sentence, temperature};
use crate::tank::trapped::Trapped;
use crate::train::rig::Rig;

const COLUMNS: [&str; 8] = [
    "from",
    "holds",
    "at_rest_pa",
    "weakest",
    "weakest_rating_pa",
    "pressure_rise_pa_per_k",
    "rating_reached_k",
    "relief",
];

record! {
    /// Sections that closed valves isolate.
    Isolated(s: &TrappedSection, air: AbsolutePressure)
    with {
        liquid = s.contents.liquid();
        weakest = s.weakest.as_ref().map(|w| &w.0);
        rating = s.weakest.as_ref().map(|w| w.1);
        relief = s.relief.as_ref().map(|r| &r.0);
        says = match relief {
            Some(name) => name,
            None if liquid => "none",
            None => "",
        };
        heating = heating(s);
    }
    {
        /// Valves before it.
        from: Texts = &s.section.from, "section" => Text = s.section.label();
        /// Valves behind it.
        to: Texts = &s.section.to;
        /// Parts in it.
        parts: Texts = &s.section.parts;
        /// Its volume, as far as it is known.
        volume_m3: Volume = s.section.volume;
        /// Parts that give no volume.
        volume_unknown: Texts = &s.section.volume_unknown;
        /// What it holds.
        holds: Text = s.contents.word(), "holds";
        /// Why.
        because: Text = s.contents.because();
        /// Pressure at rest.
        at_rest_pa: AbsolutePressure = s.at_rest, "at rest" [optional] => GaugePressure = s.at_rest.gauge(air);
        weakest: Text = weakest, "weakest part" => Text = weakest.map_or("", String::as_str);
        /// Rating of the weakest part.
        weakest_rating_pa: AbsolutePressure = rating, "its rating" => GaugePressure = rating.map(|p| p.gauge(air));
        /// Parts without a rating.
        unrated: Texts = &s.unrated;
        /// Relief valve on it.
        relief: Text = relief, "relief" => Text = says;
        /// Pressure it opens at.
        relief_set_pa: AbsolutePressure = s.relief.as_ref().map(|r| r.1);
        /// Part that lets the liquid out another way.
        bleed: Text = s.bleed.as_deref();
        /// Temperature it is closed at.
        closed_at_k: Temperature = heating.map(|h| h.closed_at);
        /// Pressure it is closed at.
        closed_pressure_pa: AbsolutePressure = heating.map(|h| h.pressure);
        /// Rise of the pressure as it warms.
        pressure_rise_pa_per_k: PressurePerTemperature = heating.map(|h| h.rise_pa_k), "rise" 2;
        /// Temperature at which the rating is reached.
        rating_reached_k: Temperature = heating.and_then(|h| h.rating_reached), "rating reached at";
        /// Pressure on the hottest day.
        hottest_day_pa: AbsolutePressure = heating.and_then(|h| h.hottest).map(|(_, p)| p);
    }

    /// Why a section holds what it does.
    Why(contents: &Contents) {
        (holds): Text = contents.word(), "holds";
        (because): Text = contents.because(), "because";
    }

    /// Trapped liquid that is warmed, from flags.
    Warmed(t: &Trapped, air: AbsolutePressure) {
        pressure_after_pa: AbsolutePressure = t.pressure_after, "Pressure after"
            => GaugePressure = t.pressure_after.gauge(air);
        /// Rise of the pressure, average over the rise of temperature.
        pressure_rise_pa_per_k: PressurePerTemperature = t.rise_pa_k, "Rise", note "average over the rise";
        pressure_before_pa: AbsolutePressure = t.pressure_before, "Pressure before"
            => GaugePressure = t.pressure_before.gauge(air);
        density_kg_m3: Density = t.density, "Density of the liquid";
    }

    /// Sections that closed valves isolate.
    Sections(sections: Vec<Row>) {
        trapped_sections: Rows(Isolated) = sections;
    }
}

fn heating(s: &TrappedSection) -> Option<&Heating> {
    s.heating.as_ref()?.as_ref().ok()
}

/// Adds what liquid does that is warmed.
pub fn warmed(report: &mut Report, trapped: &Trapped, air: AbsolutePressure) {
    let row = Warmed::row(trapped, air);
    report.keys(&row);
    let keys = [
        "pressure_before_pa",
        "pressure_after_pa",
        "pressure_rise_pa_per_k",
        "density_kg_m3",
    ];
    report.facts("Result", row.facts_of(&keys));
}

/// Adds the sections: all of them, or in short only those that can hold liquid.
pub fn sections(report: &mut Report, rig: &Rig, all: &[TrappedSection], short: bool) {
    let row = |s: &TrappedSection| Isolated::row(s, rig.site.air_pressure);
    let shown: Vec<&TrappedSection> = all
        .iter()
        .filter(|s| !short || s.contents.liquid())
        .collect();
    for s in &shown {
        if let Some(Err(why)) = &s.heating {
            report.remark(format!(
                "{}: its pressure is not known: {why}.",
                s.section.label()
            ));
        }
    }
    let rows: Vec<Row> = shown.into_iter().map(row).collect();
    report.table(
        "Sections that closed valves isolate",
        table_of(&rows, &COLUMNS),
    );
    if !short {
        let why = each_once(all.iter().map(|s| &s.contents));
        report.table(
            "Why",
            table(&why.into_iter().map(Why::row).collect::<Vec<_>>()),
        );
    }
    if let Some(h) = all.iter().find_map(heating) {
        report.assume(sentence!(
            "trapped sections are rigid and full of liquid, closed at the site's {}",
            temperature(h.closed_at.value)
        ));
    }
    report.keys(&Sections::row(all.iter().map(row).collect()));
}
