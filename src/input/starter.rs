//! A rig file to begin with: every key that must be given, and every other as a comment.

use super::field::SectionAbout;
use super::raw::TABLES;
use super::raw::train::BY_KIND;
use crate::report::cautions::CLOSING_IN_FIGURE;
use std::fmt::Write;

/// Keys of a table with their values.
type Keys = &'static [(&'static str, &'static str)];

/// Keys that the starter gives, by heading, with their values. Everything else stands in it as a comment.
const GIVEN: &[(&str, &[Keys])] = &[
    ("[rig]", &[&[("name", "")]]),
    (
        "[site]",
        &[&[
            ("ambient_temperature", "\"15 degC\""),
            ("setting", "\"outdoor\""),
        ]],
    ),
    ("[fuel]", &[&[("composition", "\"propane\"")]]),
    ("[air]", &[&[("flow", "\"40 g/s\"")]]),
    (
        "[[duties]]",
        &[
            &[
                ("name", "\"light-up\""),
                ("throttle", "\"30 %\""),
                ("chamber_pressure", "\"3 mbar(g)\""),
                ("equivalence_ratio", "0.45"),
            ],
            &[
                ("name", "\"full\""),
                ("throttle", "\"100 %\""),
                ("chamber_pressure", "\"25 mbar(g)\""),
                ("equivalence_ratio", "0.30"),
            ],
        ],
    ),
    (
        "[injector]",
        &[&[
            ("holes", "12"),
            ("sized_at", "\"full\""),
            ("hole_length", "\"1.0 mm\""),
            ("edge", "\"sharp\""),
            ("pressure", "\"1.0 bar(g)\""),
            ("shape", "\"ring\""),
            ("ring_diameter", "\"80 mm\""),
            ("tube_bore", "\"6 mm\""),
            ("feed_angles", "[\"0 deg\"]"),
        ]],
    ),
    (
        "[tank]",
        &[&[
            ("volume", "\"26.2 L\""),
            ("fuel_mass", "\"9 kg\""),
            ("wall_mass", "\"10 kg\""),
            ("wall_material", "\"steel\""),
            ("diameter", "\"300 mm\""),
            ("length", "\"480 mm\""),
            ("position", "\"upright\""),
            ("draw", "\"vapour\""),
        ]],
    ),
];

/// Parts of the starter's train: each part's keys in order.
const PARTS: &[Keys] = &[
    &[
        ("name", "\"cylinder-valve\""),
        ("kind", "\"cylinder-valve\""),
        ("actuation", "\"manual\""),
        ("bore", "\"6 mm\""),
        ("flow_coefficient", "\"0.6 Kv\""),
    ],
    &[
        ("name", "\"hose\""),
        ("kind", "\"hose\""),
        ("bore", "\"6.3 mm\""),
        ("length", "\"0.8 m\""),
    ],
    &[
        ("name", "\"regulator\""),
        ("kind", "\"regulator\""),
        ("set_pressure", "\"1.5 bar(g)\""),
        ("wide_open", "\"0.35 Kv\""),
    ],
    &[
        ("name", "\"shut-off\""),
        ("kind", "\"solenoid-valve\""),
        ("actuation", "\"solenoid-spring-closed\""),
        ("bore", "\"6 mm\""),
        ("flow_coefficient", "\"0.5 Kv\""),
    ],
];

/// The file for a rig of this name.
pub fn starter(name: &str) -> String {
    let mut out = String::from(
        "# A rig file. Lines that begin with `#` are keys you may add: take the `#` away and give your value.\n\
         # Quantities are text with their unit; a pressure says whether it is gauge (g) or absolute (a).\n\
         # The values below are examples: put your own in their place.\n",
    );
    for line in CLOSING_IN_FIGURE {
        let _ = writeln!(out, "# {line}");
    }
    for about in &TABLES {
        let (section, kinds) = (about.own(), (about.kinds)());
        if !kinds.is_empty() {
            write_parts(&mut out, &section, &kinds);
            continue;
        }
        let given = GIVEN.iter().find(|(h, _)| *h == section.heading);
        let _ = write!(out, "\n# {}\n", section.meaning);
        let Some((heading, tables)) = given else {
            let _ = writeln!(out, "# {}", section.heading);
            examples(&mut out, &section);
            continue;
        };
        for (i, table) in tables.iter().enumerate() {
            let gap = if i > 0 { "\n" } else { "" };
            let _ = writeln!(out, "{gap}{heading}");
            for field in section.fields {
                let value = table.iter().find(|(k, _)| *k == field.key).map(|(_, v)| *v);
                match value {
                    Some("") => {
                        let quoted = toml::Value::String(name.to_owned());
                        line(&mut out, "", field.key, &quoted.to_string(), field.meaning);
                    }
                    Some(value) => line(&mut out, "", field.key, value, field.meaning),
                    // the second table of a kind need not list the rest again
                    None if i == 0 => {
                        line(&mut out, "# ", field.key, field.example, field.meaning);
                    }
                    None => {}
                }
            }
        }
    }
    out
}

/// Every key of a group with its example, as a comment.
fn examples(out: &mut String, section: &SectionAbout) {
    for field in section.fields {
        line(out, "# ", field.key, field.example, field.meaning);
    }
}

fn line(out: &mut String, mark: &str, key: &str, value: &str, meaning: &str) {
    let _ = writeln!(out, "{:<44} # {meaning}", format!("{mark}{key} = {value}"));
}

fn write_parts(out: &mut String, common: &SectionAbout, kinds: &[SectionAbout]) {
    out.push_str("\n# Parts of the train, in the order the fuel meets them.\n");
    for part in PARTS {
        out.push_str("[[train]]\n");
        for (key, value) in *part {
            let _ = writeln!(out, "{key} = {value}");
        }
        out.push('\n');
    }
    out.push_str("# Keys that every part may have:\n");
    examples(out, common);
    for section in kinds {
        let kinds = section.heading.trim_start_matches(BY_KIND);
        let _ = writeln!(out, "# Keys of {kinds}:");
        examples(out, section);
    }
}
