//! Sections that closed valves isolate, and the liquid in them, for people and machines.

use super::{Column, Report, Table, Value, json};
use crate::leak::TrappedSection;
use crate::quantity::sentence::{sentence, temperature};
use crate::quantity::{AbsolutePressure, Kind};
use crate::train::rig::Rig;
use serde_json::{Value as Json, json};

/// Adds the sections: all of them, or in short only those that can hold liquid.
pub fn sections(report: &mut Report, rig: &Rig, all: &[TrappedSection], short: bool) {
    let ambient_pa = rig.site.air_pressure.pascals();
    let gauge = |p: AbsolutePressure| Value::of(Kind::GaugePressure, p.pascals() - ambient_pa);
    let mut table = Table::new(vec![
        Column::new("section"),
        Column::new("holds"),
        Column::of("at rest", Kind::GaugePressure)
            .digits(3)
            .optional(),
        Column::new("weakest part"),
        Column::of("its rating", Kind::GaugePressure).digits(3),
        Column::of("rise", Kind::PressurePerTemperature).digits(2),
        Column::of("rating reached at", Kind::Temperature).digits(3),
        Column::new("relief"),
    ]);
    for s in all {
        if short && !s.contents.liquid() {
            continue;
        }
        let heating = s.heating.as_ref().and_then(|h| h.as_ref().ok());
        table.row(vec![
            Value::Text(s.section.label()),
            Value::from(s.contents.word()),
            gauge(s.at_rest),
            Value::Text(s.weakest.as_ref().map_or(String::new(), |w| w.0.clone())),
            s.weakest.as_ref().map_or(Value::Absent, |w| gauge(w.1)),
            Value::of(Kind::PressurePerTemperature, heating.map(|h| h.rise_pa_k)),
            Value::of(
                Kind::Temperature,
                heating.and_then(|h| h.rating_reached).map(|t| t.value),
            ),
            Value::Text(match (&s.relief, s.contents.liquid()) {
                (Some((name, _)), _) => name.clone(),
                (None, true) => "none".to_owned(),
                (None, false) => String::new(),
            }),
        ]);
        if let Some(Err(why)) = &s.heating {
            report.remark(format!(
                "{}: its pressure is not known: {why}.",
                s.section.label()
            ));
        }
    }
    report.table("Sections that closed valves isolate", table);
    if !short {
        let mut why = Table::new(vec![Column::new("holds"), Column::new("because")]);
        for s in all {
            let row = vec![
                Value::from(s.contents.word()),
                Value::Text(s.contents.because().to_owned()),
            ];
            if !why.rows.contains(&row) {
                why.row(row);
            }
        }
        report.table("Why", why);
    }
    if let Some(h) = all
        .iter()
        .find_map(|s| s.heating.as_ref().and_then(|h| h.as_ref().ok()))
    {
        report.assume(sentence!(
            "trapped sections are rigid and full of liquid, closed at the site's {}",
            temperature(h.closed_at.value)
        ));
    }
    report.key(
        "trapped_sections",
        Json::Array(all.iter().map(section).collect()),
    );
}

fn section(s: &TrappedSection) -> Json {
    let number = |x: Option<f64>| x.map_or(Json::Null, json::number);
    let heating = s.heating.as_ref().and_then(|h| h.as_ref().ok());
    json!({
        "from": s.section.from,
        "to": s.section.to,
        "parts": s.section.parts,
        "volume_m3": json::number(s.section.volume.value),
        "volume_unknown": s.section.volume_unknown,
        "holds": s.contents.word(),
        "because": s.contents.because(),
        "at_rest_pa": json::number(s.at_rest.pascals()),
        "weakest": s.weakest.as_ref().map(|w| w.0.clone()),
        "weakest_rating_pa": number(s.weakest.as_ref().map(|w| w.1.pascals())),
        "unrated": s.unrated,
        "relief": s.relief.as_ref().map(|r| r.0.clone()),
        "relief_set_pa": number(s.relief.as_ref().map(|r| r.1.pascals())),
        "bleed": s.bleed,
        "closed_at_k": number(heating.map(|h| h.closed_at.value)),
        "closed_pressure_pa": number(heating.map(|h| h.pressure.pascals())),
        "pressure_rise_pa_per_k": number(heating.map(|h| h.rise_pa_k)),
        "rating_reached_k": number(heating.and_then(|h| h.rating_reached).map(|t| t.value)),
        "hottest_day_pa": number(heating.and_then(|h| h.hottest).map(|(_, p)| p.pascals())),
    })
}
