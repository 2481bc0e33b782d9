//! Line diagrams: every part once, every finding at its part, readings as the train has them, and nothing that
//! cannot be read.

use fuelwright::audit::{Audit, Solution, audit, solution::solve};
use fuelwright::fuel::Library;
use fuelwright::inside::diagram;
use fuelwright::quantity::show::Units;
use fuelwright::train::rig::Rig;
use fuelwright::train::{End, PartKind, Run};
use std::collections::BTreeMap;

const EXAMPLES: [&str; 6] = [
    "coupon-soak-rig",
    "greenhouse-frost-guard",
    "kiln-pilot",
    "neglected-frost-guard",
    "seed-dryer",
    "tile-dryer",
];

/// A text as it stands on the sheet.
#[derive(Debug, Clone)]
struct Text {
    class: String,
    text: String,
    /// Left, top, right, foot.
    area: [f64; 4],
    /// Name of the part it belongs to.
    of: Option<String>,
}

/// What is on a sheet.
#[derive(Debug, Default)]
struct Sheet {
    view: [f64; 4],
    texts: Vec<Text>,
    /// Ends and corners of what is drawn.
    points: Vec<(f64, f64)>,
    /// Names of parts.
    names: Vec<String>,
    hatched: bool,
}

fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let behind = tag.split_once(&format!(" {name}=\""))?.1;
    Some(behind.split_once('"')?.0)
}

/// Numbers of some attributes, where the element has all of them.
fn numbers<const N: usize>(tag: &str, names: [&str; N]) -> Option<[f64; N]> {
    let mut found = [0.0; N];
    for (number, name) in found.iter_mut().zip(names) {
        *number = attribute(tag, name)?.parse().ok()?;
    }
    Some(found)
}

/// Width of a text in a sans-serif face: widths of letters from memory, a tenth more where it is bold. The browser
/// test takes the true ones.
fn width(text: &str, size: f64, bold: bool) -> f64 {
    let of = |c: char| match c {
        'i' | 'j' | 'l' | 't' | 'f' | 'r' | ' ' | '.' | ',' | ':' | '-' | '(' | ')' => 0.33,
        'm' | 'w' | 'M' | 'W' | '%' => 0.9,
        c if c.is_uppercase() => 0.68,
        _ => 0.6,
    };
    let wide: f64 = text.chars().map(of).sum();
    wide * size * if bold { 1.1 } else { 1.0 }
}

/// Size of a text of a class, and whether it is bold; as the style has them.
fn face(class: &str) -> (f64, bool) {
    let has = |name: &str| class.split(' ').any(|c| c == name);
    match () {
        () if has("name") => (12.0, true),
        () if has("strong") => (10.0, true),
        () if has("digits") => (9.5, true),
        () if has("fact") => (10.0, false),
        () if has("small") => (9.0, false),
        () => panic!("a text of class {class}"),
    }
}

fn plain(text: &str) -> String {
    let text = text.replace("&lt;", "<").replace("&gt;", ">");
    let text = text.replace("&quot;", "\"").replace("&#39;", "'");
    text.replace("&amp;", "&")
}

/// Reads a sheet; elements must open and close in order.
fn read(svg: &str) -> Sheet {
    let mut sheet = Sheet::default();
    // name of an open element, its shift to the right, and the part it belongs to
    let mut open: Vec<(String, f64, Option<String>)> = Vec::new();
    let mut rest = svg.split("<!--").next().expect("a drawing");
    while let Some((text, behind)) = rest.split_once('<') {
        let (tag, behind) = behind.split_once('>').expect("a tag with its end");
        rest = behind;
        let (shift, of) = open.last().map_or((0.0, None), |o| (o.1, o.2.clone()));
        if let Some(name) = tag.strip_prefix('/') {
            let (last, ..) = open.pop().expect("one that is open");
            assert_eq!(last, name);
            if last == "title" && open.len() > 1 {
                let of = plain(text);
                open.last_mut().expect("a group").2 = Some(of.clone());
                sheet.names.push(of);
            }
            if let Some(last) = sheet.texts.last_mut().filter(|_| name == "text") {
                last.text = plain(text);
                let (size, bold) = face(&last.class);
                let wide = width(&last.text, size, bold);
                let [x, y, anchor, _] = last.area;
                let left = x - wide * anchor;
                last.area = [left, y - 0.73 * size, left + wide, y + 0.2 * size];
            }
            continue;
        }
        assert!(!text.contains('&') || text.contains(';'), "{text}");
        assert_eq!(tag.matches('"').count() % 2, 0, "{tag}");
        let name = tag.split_whitespace().next().expect("a name");
        let name = name.trim_end_matches('/').to_owned();
        if name == "svg" {
            let view = attribute(tag, "viewBox").expect("a frame");
            let view: Vec<f64> = view.split(' ').filter_map(|n| n.parse().ok()).collect();
            sheet.view = view.try_into().expect("four");
        }
        let class = attribute(tag, "class").unwrap_or_default();
        sheet.hatched |= class == "hatch";
        if name == "text" {
            let [x, y] = numbers(tag, ["x", "y"]).expect("a place");
            let anchor = match attribute(tag, "text-anchor") {
                Some("middle") => 0.5,
                Some("end") => 1.0,
                _ => 0.0,
            };
            sheet.texts.push(Text {
                class: class.to_owned(),
                text: String::new(),
                area: [x + shift, y, anchor, 0.0],
                of: of.clone(),
            });
        }
        let at = |[x, y]: [f64; 2]| (x + shift, y);
        for names in [["x1", "y1"], ["x2", "y2"], ["cx", "cy"], ["x", "y"]] {
            sheet.points.extend(numbers(tag, names).map(at));
        }
        for pair in attribute(tag, "points").unwrap_or_default().split(' ') {
            if let Some((x, y)) = pair.split_once(',') {
                let number = |n: &str| n.parse().expect("a number");
                sheet.points.push(at([number(x), number(y)]));
            }
        }
        if !tag.ends_with('/') {
            let moved = attribute(tag, "transform").map_or(0.0, |t| {
                let t = t.strip_prefix("translate(").expect("a shift");
                let x = t.split(',').next().expect("a number");
                x.parse().expect("a number")
            });
            open.push((name, shift + moved, of));
        }
    }
    assert!(open.is_empty(), "{open:?} stays open");
    sheet
}

/// What must be so of every sheet.
fn sound(svg: &str, what: &str) -> Sheet {
    for no in ["NaN", "inf", "url(", "<script"] {
        assert!(!svg.contains(no), "{what}: {no}");
    }
    let sheet = read(svg);
    let [left, top, wide, tall] = sheet.view;
    let (right, foot) = (left + wide, top + tall);
    for text in &sheet.texts {
        let [l, t, r, f] = text.area;
        let inside = l >= left - 0.1 && r <= right + 0.1 && t >= top - 0.1 && f <= foot + 0.1;
        assert!(inside, "{what}: outside {:?}: {text:?}", sheet.view);
    }
    for (x, y) in &sheet.points {
        let inside = (left..=right).contains(x) && (top..=foot).contains(y);
        assert!(inside, "{what}: ({x}, {y}) outside {:?}", sheet.view);
    }
    for (i, one) in sheet.texts.iter().enumerate() {
        for two in &sheet.texts[..i] {
            let (a, b) = (one.area, two.area);
            let meets = a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
            assert!(!meets, "{what}: {one:?} on {two:?}");
        }
    }
    sheet
}

fn example(name: &str) -> Rig {
    let path = format!("examples/{name}.toml");
    let loaded = fuelwright::input::load(path.as_ref(), &Library::embedded());
    loaded.expect("an example").rig
}

/// A rig solved, with what the rules find or as if they found nothing: a tree that no file can tell takes them long.
fn solved<T>(rig: &Rig, judged: bool, with: impl FnOnce(&Solution<'_>, &Audit) -> T) -> T {
    let solution = solve(rig, &Library::embedded(), Units::Si).expect("a fuel with a model");
    let audit = if judged {
        audit(&solution)
    } else {
        Audit::default()
    };
    with(&solution, &audit)
}

/// The file of a rig and the figures of its page, each sound; the file.
fn drawn(rig: &Rig, judged: bool, what: &str) -> (String, Sheet) {
    solved(rig, judged, |solution, audit| {
        let mut names = Vec::new();
        for (i, plot) in diagram::plots(solution, audit).iter().enumerate() {
            let figure = plot.svg(Units::Si, "figure-1");
            names.extend(sound(&figure, &format!("{what}, figure {i}")).names);
        }
        has_parts(rig, &names, what);
        let svg = diagram::file(solution, audit, "From a test");
        let sheet = sound(&svg, what);
        has_parts(rig, &sheet.names, what);
        (svg, sheet)
    })
}

fn example_drawn(name: &str) -> (String, Sheet) {
    drawn(&example(name), true, name)
}

/// Every part of the rig once by its name.
fn has_parts(rig: &Rig, names: &[String], what: &str) {
    for part in rig.train.parts() {
        let times = names.iter().filter(|n| **n == part.name).count();
        assert_eq!(times, 1, "{what}: {} in {names:?}", part.name);
    }
}

/// Words beside a part, in one line.
fn words(sheet: &Sheet, part: &str) -> String {
    let of = sheet.texts.iter().filter(|t| t.of.as_deref() == Some(part));
    of.map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ")
}

#[test]
fn every_example_is_drawn_with_every_part_and_every_finding_at_its_part() {
    let mut marked = 0;
    for name in EXAMPLES {
        let rig = example(name);
        let (svg, sheet) = drawn(&rig, true, name);
        for line in fuelwright::inside::CLOSING_IN_FIGURE {
            assert!(svg.contains(line), "{name}: {line}");
        }
        // what a number stands for: a mark outside of parts, with words behind it
        let legend = sheet.texts.windows(2).filter(|t| t[0].of.is_none());
        let legend = legend.filter(|t| t[0].class.contains("digits"));
        let legend: BTreeMap<&str, &str> = legend
            .map(|t| (t[0].text.as_str(), t[1].text.as_str()))
            .collect();
        let findings = solved(&rig, true, |_, audit| audit.findings.clone());
        for finding in &findings {
            for place in &finding.places {
                let Some(part) = place.strip_prefix("train.") else {
                    continue;
                };
                let marks = sheet.texts.iter().filter(|t| t.of.as_deref() == Some(part));
                let mut marks = marks.filter(|t| t.class.contains("digits"));
                let said = format!("{} {} ", finding.signal.word(), finding.id);
                let found = marks.any(|m| {
                    legend
                        .get(m.text.as_str())
                        .is_some_and(|l| l.starts_with(&said))
                });
                assert!(found, "{name}: {} is not marked at {part}", finding.id);
                marked += 1;
            }
            assert!(svg.contains(finding.id), "{name}: {}", finding.id);
        }
    }
    assert!(marked > 15, "{marked}");
}

#[test]
fn readings_are_those_of_the_train_at_its_largest_duty() {
    for name in EXAMPLES {
        let rig = example(name);
        let (_, sheet) = drawn(&rig, true, name);
        let air_pa = rig.site.air_pressure.pascals();
        let parts = solved(&rig, true, |solution, _| {
            let plan = solution.train().as_ref().expect("a train");
            let most = plan
                .duties
                .iter()
                .max_by(|a, b| a.wanted.value.total_cmp(&b.wanted.value));
            let flow = most.and_then(|d| d.solution.as_ref().ok());
            flow.expect("the largest duty is fed").parts.clone()
        });
        for flow in parts {
            let part = rig.train.part(&flow.part).expect("in the rig");
            let texts = sheet
                .texts
                .iter()
                .filter(|t| t.of.as_deref() == Some(part.name.as_str()));
            let mut readings = texts.filter(|t| t.class == "m fact");
            if matches!(part.kind, PartKind::ReliefValve(_) | PartKind::Tapping(_)) {
                assert!(readings.next().is_none(), "{name}: {}", part.name);
                continue;
            }
            let pressure = &readings.next().expect("a pressure").text;
            let (number, unit) = pressure.split_once(' ').expect("a unit");
            let pa = match unit {
                "bar(g)" => 1e5,
                "mbar(g)" => 1e2,
                unit => panic!("{unit}"),
            };
            let want = (flow.outlet.pressure.pascals() - air_pa) / pa;
            let got: f64 = number.parse().expect("a number");
            // three digits
            let slack = 0.5 * 10f64.powf(want.abs().max(1e-9).log10().floor() - 2.0);
            assert!(
                (got - want).abs() <= slack * 1.001,
                "{name}: {}: {pressure}, {want}",
                part.name
            );
            let warmth = &readings.next().expect("a temperature").text;
            let number = warmth.strip_suffix(" degC").expect("a unit");
            let got: f64 = number.parse().expect("a number");
            let want = flow.outlet.temperature.value - 273.15;
            assert!(
                (got - want).abs() <= 0.0501,
                "{name}: {}: {warmth}",
                part.name
            );
        }
    }
}

#[test]
fn what_closes_without_power_is_said_at_each_part_and_what_the_fuel_does_at_the_burner() {
    for name in EXAMPLES {
        let rig = example(name);
        let (_, sheet) = drawn(&rig, true, name);
        for part in rig.train.parts() {
            let said = words(&sheet, &part.name);
            let closes = part.shuts_without_power();
            let tight = said.contains("closes without power") && !said.contains("not tight");
            assert_eq!(tight, closes, "{name}: {}: {said}", part.name);
        }
    }
    let burner = |name: &str| words(&example_drawn(name).1, "burner");
    assert!(burner("coupon-soak-rig").contains("power fails: fuel stops in 0.5 s"));
    assert!(burner("neglected-frost-guard").contains("FUEL RUNS ON"));
}

#[test]
fn stretches_that_can_shut_liquid_in_are_hatched_and_say_whether_they_are_relieved() {
    let sheet = |name: &str| example_drawn(name).1;
    assert!(!sheet("kiln-pilot").hatched);
    for (name, words) in [
        ("neglected-frost-guard", "no relief valve"),
        ("seed-dryer", "relieved by pump-relief"),
    ] {
        let sheet = sheet(name);
        assert!(sheet.hatched, "{name}");
        let all: Vec<&str> = sheet.texts.iter().map(|t| t.text.as_str()).collect();
        let all = all.join(" ");
        assert!(
            all.contains("liquid can be shut in") && all.contains(words),
            "{all}"
        );
    }
}

/// The soak rig with other parts in its train.
fn with_parts(parts: &str) -> Rig {
    let text = include_str!("../../examples/coupon-soak-rig.toml");
    let head = text.split("[[train]]").next().expect("a head");
    let (_, foot) = text.split_once("[[limits]]").expect("a foot");
    let text = format!("{head}{parts}\n[[limits]]{foot}");
    let loaded = fuelwright::input::parse("rig.toml", &text, &Library::embedded());
    loaded.unwrap_or_else(|e| panic!("{:?}", e.list)).rig
}

/// Lines of a part of a kind, wide enough for the rig's flow.
fn part(name: &str, kind: &str, more: &str) -> String {
    let keys = match kind {
        "tube" | "hose" | "dip-tube" => "bore = \"20 mm\"\nlength = \"0.4 m\"\nrise = \"-0.1 m\"",
        "regulator" => {
            "set_pressure = \"2.0 bar(g)\"\nrated_flow = \"8 kg/h\"\ndroop = \"250 mbar\"\nlock_up = \"300 mbar\"\n\
             wide_open = \"1 Kv\"\nmax_inlet = \"18 bar(g)\"\nvents_to = \"outdoors\"\nshut_off_pressure = \"3 bar(g)\""
        }
        "excess-flow-valve" => {
            "bore = \"20 mm\"\nflow_coefficient = \"6 Kv\"\nclosing_flow = \"60 kg/h\"\nclosing_density = \"15 kg/m3\""
        }
        "fitting" => "bore = \"20 mm\"\nloss_coefficient = 0.9",
        "check-valve" => "bore = \"20 mm\"\nflow_coefficient = \"6 Kv\"\ncracking = \"2 mbar\"",
        "orifice-plate" => "pipe_bore = \"20 mm\"\nbore = \"12 mm\"",
        "pump" => "outlet_pressure = \"7 bar(g)\"\nmax_flow = \"0.4 L/min\"\nefficiency = \"25 %\"",
        "vaporiser" => {
            "bore = \"20 mm\"\nflow_coefficient = \"6 Kv\"\noutlet_temperature = \"40 degC\""
        }
        "relief-valve" => "set_pressure = \"26 bar(g)\"\nbore = \"6 mm\"",
        "tapping" => "gauge_range = \"10 bar(g)\"",
        _ => "bore = \"20 mm\"\nflow_coefficient = \"6 Kv\"",
    };
    format!("[[train]]\nname = \"{name}\"\nkind = \"{kind}\"\n{keys}\n{more}\n")
}

const KINDS: [&str; 19] = [
    "cylinder-valve",
    "dip-tube",
    "excess-flow-valve",
    "regulator",
    "filter",
    "hose",
    "tube",
    "fitting",
    "ball-valve",
    "needle-valve",
    "solenoid-valve",
    "metering-valve",
    "check-valve",
    "flame-arrestor",
    "orifice-plate",
    "pump",
    "vaporiser",
    "relief-valve",
    "tapping",
];

#[test]
fn every_kind_of_part_has_a_symbol_of_its_own() {
    let parts: String = KINDS
        .iter()
        .map(|k| part(&format!("a-{k}"), k, ""))
        .collect();
    // the shapes of a part, from where the line runs
    let shapes = |svg: &str, name: &str| {
        let group = svg
            .split(&format!("<title>a-{name}</title>"))
            .nth(1)
            .expect("drawn");
        let group = group.split("</g>").next().expect("closed");
        let lines = group
            .lines()
            .filter(|l| !l.contains("<text") && !l.contains("class=\"tag"));
        let class = |l: &str| attribute(l, "class").unwrap_or_default().to_owned();
        let corners = |l: &str| attribute(l, "points").map_or(0, |p| p.split(' ').count());
        let lines = lines.filter(|l| l.contains('<') && !l.contains("class=\"joint\""));
        lines.map(|l| (class(l), corners(l))).collect::<Vec<_>>()
    };
    let (svg, _) = drawn(&with_parts(&parts), false, "every kind");
    let mut known: BTreeMap<Vec<(String, usize)>, &str> = BTreeMap::new();
    for kind in KINDS {
        let drawn = shapes(&svg, kind);
        assert!(drawn.len() > 1, "{kind}: {drawn:?}");
        // a valve on a cylinder and one with a coil are the same body; what moves it tells them apart
        if kind != "solenoid-valve" {
            assert_eq!(known.insert(drawn, kind), None, "{kind}");
        }
    }
    assert!(svg.contains("No readings: "), "a pump moves liquid only");
}

#[test]
fn a_drive_tells_what_a_valve_does_when_its_power_goes() {
    let driven = [
        ("manual", "worked by hand"),
        ("solenoid-spring-closed", "closes without power"),
        ("solenoid-spring-open", "opens without power"),
        ("motor", "stays as it is without power"),
        ("motor-spring-return", "closes without power"),
    ];
    let of = |(word, _): &(&str, &str)| {
        let more = format!("actuation = \"{word}\"");
        part(&format!("by-{word}"), "solenoid-valve", &more)
    };
    let parts: String = driven.iter().map(of).collect();
    let (_, sheet) = drawn(&with_parts(&parts), false, "drives");
    for (word, said) in driven {
        let words = words(&sheet, &format!("by-{word}"));
        assert!(words.contains(said), "{word}: {words}");
    }
    let unsaid = with_parts(&part("unsaid", "solenoid-valve", ""));
    let (_, sheet) = drawn(&unsaid, false, "unsaid");
    assert!(words(&sheet, "unsaid").contains("without power: not said"));
}

#[test]
fn sixty_two_parts_are_drawn_in_columns_that_find_one_another() {
    let kinds: Vec<&str> = KINDS
        .into_iter()
        .filter(|k| !["pump", "regulator"].contains(k))
        .collect();
    let long = "a-name-that-somebody-has-thought-about-for-a-long-time-and-that-goes-on-and-on";
    let parts = (0..62).map(|i| {
        let kind = kinds[i % kinds.len()];
        let name = match i % 9 {
            4 => format!("{}-{i}", &long[..57.min(20 + i)]),
            7 => format!("x{}", "w".repeat(i.min(59))),
            _ => format!("{kind}-{i}"),
        };
        part(&name, kind, "")
    });
    let parts: String = parts.collect();
    let rig = with_parts(&parts);
    assert_eq!(rig.train.parts().len(), 62);
    let (_, sheet) = drawn(&rig, false, "62 parts");
    let said = |words: &str| sheet.texts.iter().filter(|t| t.text == words).count();
    for letter in ["A", "B"] {
        assert_eq!(said(&format!("to {letter}")), 1, "{letter}");
        assert_eq!(said(&format!("from {letter}")), 1, "{letter}");
    }
    assert!(
        sheet.texts.iter().any(|t| t.text.ends_with('…')),
        "a name is cut"
    );
    let readings = sheet
        .texts
        .iter()
        .filter(|t| t.class == "m fact" && t.text.ends_with("bar(g)"));
    assert!(readings.count() > 40);
}

/// The greenhouse with as many supplies and branches, the last branch split once more where it is asked for.
fn tree(sources: usize, branches: usize, twigs: bool) -> Rig {
    let mut rig = example("greenhouse-frost-guard");
    let renamed = |parts: &[fuelwright::train::Part], n: usize| {
        let mut parts = parts.to_vec();
        for part in &mut parts {
            part.name = format!("{}-{n}", part.name);
        }
        parts
    };
    let first = rig.train.sources[0].clone();
    for n in 2..=sources {
        let mut more = first.clone();
        more.name = format!("tank-{n}");
        more.parts = renamed(&first.parts, n);
        rig.train.sources.push(more);
    }
    let End::Split(runs) = &mut rig.train.run.end else {
        panic!("a split");
    };
    let pilot = runs[1].clone();
    let again = |n: usize| {
        let mut run: Run = pilot.clone();
        run.name = format!("pilot-{n}");
        run.parts = renamed(&pilot.parts, n);
        if let End::Outlet(outlet) = &mut run.end {
            outlet.name.clone_from(&run.name);
        }
        run
    };
    for n in 3..=branches {
        runs.push(again(n));
    }
    if twigs {
        let last = runs.last_mut().expect("a branch");
        last.end = End::Split(vec![again(90), again(91)]);
    }
    rig
}

#[test]
fn sources_that_join_and_branches_stand_side_by_side() {
    let (_, sheet) = drawn(&tree(2, 3, false), false, "2 sources, 3 branches");
    let top = |part: &str| {
        let of = sheet.texts.iter().find(|t| t.of.as_deref() == Some(part));
        of.expect("drawn").area
    };
    let (one, two) = (top("cylinder-valve"), top("cylinder-valve-2"));
    assert!((one[1] - two[1]).abs() < 0.01 && one[2] < two[0]);
    let three = [
        top("burner-valve"),
        top("pilot-valve"),
        top("pilot-valve-3"),
    ];
    assert!(
        three
            .windows(2)
            .all(|t| (t[0][1] - t[1][1]).abs() < 0.01 && t[0][2] < t[1][0])
    );
    for (sources, branches, twigs) in [(1, 2, true), (3, 5, false), (5, 9, true)] {
        let what = format!("{sources} sources, {branches} branches, {twigs}");
        drawn(&tree(sources, branches, twigs), false, &what);
    }
}

#[test]
fn names_that_are_markup_and_names_of_wide_letters_are_drawn_as_they_are() {
    let mut rig = example("kiln-pilot");
    rig.name = "<b>& \"水\"</b>".repeat(6);
    rig.train.run.parts[0].name = "水素供給弁水素供給弁水素供給弁水素供給弁".to_owned();
    rig.train.run.parts[1].name = "a <filter> & more".to_owned();
    drawn(&rig, false, "markup");
}

#[test]
fn american_units_are_drawn_as_well() {
    let rig = example("greenhouse-frost-guard");
    let solution = solve(&rig, &Library::embedded(), Units::Us).expect("a fuel with a model");
    let svg = diagram::file(&solution, &Audit::default(), "From a test");
    let sheet = sound(&svg, "US units");
    let unit = |unit: &str| sheet.texts.iter().any(|t| t.text.ends_with(unit));
    assert!(unit("psi(g)") && unit("degF") && !svg.contains(" bar(") && !svg.contains("degC"));
}

#[test]
fn a_rig_without_a_train_is_a_supply_and_a_burner() {
    let rig = with_parts("");
    let (svg, sheet) = drawn(&rig, false, "no train");
    assert_eq!(sheet.names, ["tank", "burner"]);
    assert!(svg.contains("no part"));
}
