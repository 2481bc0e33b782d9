//! Random mutations of the example rigs: no panic, no hang, no NaN in what is printed.

use fuelwright::audit::{self, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::show::Units;
use fuelwright::report::{self, Report, Topic};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

/// Mutations made; `FUELWRIGHT_MUTATIONS` sets another number.
const USUAL: usize = 10_000;
/// Every so many mutations everything is printed that is made of the rig, not only its audit.
const WHOLE_EVERY: usize = 20;
/// Longest that one may take. The usual is a few milliseconds; this allows for a crowded machine and a
/// build without optimisation.
const LONGEST_S: f64 = 20.0;

/// The generator of Vigna, `splitmix64`: short, and the same everywhere.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
    fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() % (n.max(1) as u64)).expect("below a usize")
    }
}

const UNITS: [&str; 16] = [
    "mm", "m", "bar(g)", "bar(a)", "mbar(g)", "psi(a)", "degC", "K", "g/s", "kg/h", "kW", "%", "L",
    "s", "bar", "",
];
const NUMBERS: [&str; 14] = [
    "0",
    "-1",
    "1e-9",
    "1e9",
    "1e308",
    "0.5",
    "1",
    "2",
    "17",
    "1000",
    "nan",
    "inf",
    "-0",
    "99999999999999999999",
];

/// One change of a text.
fn mutate(text: &str, other: &str, dice: &mut Dice) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let values: Vec<usize> = (0..lines.len())
        .filter(|i| lines[*i].contains(" = "))
        .collect();
    let at = values[dice.below(values.len())];
    // scaled values come most often: most of those rigs are still rigs
    match dice.below(18) {
        0 => {
            lines.remove(at);
        }
        1 => {
            let again = lines[at].clone();
            lines.insert(dice.below(lines.len()), again);
        }
        2 => {
            let to = values[dice.below(values.len())];
            lines.swap(at, to);
        }
        3 | 4 => lines[at] = with_number(&lines[at], dice),
        5 => lines[at] = with_unit(&lines[at], dice),
        6 => {
            let from: Vec<&str> = other.lines().filter(|l| l.contains(" = ")).collect();
            let foreign = from[dice.below(from.len())].to_owned();
            lines[at] = foreign;
        }
        7 => {
            let mut letters: Vec<char> = lines[at].chars().collect();
            let place = dice.below(letters.len());
            let odd = ['"', '[', ']', '=', 'x', '9', 'é', '\u{0}', '.', '-'];
            letters[place] = odd[dice.below(odd.len())];
            lines[at] = letters.into_iter().collect();
        }
        8 => {
            let keep = dice.below(lines.len());
            lines.truncate(keep);
        }
        _ => {
            // scale a value by a power of ten
            let factor = 10_f64.powi(i32::try_from(dice.below(9)).expect("small") - 4);
            lines[at] = scaled(&lines[at], factor);
        }
    }
    lines.join("\n")
}

/// The line with its first number replaced.
fn with_number(line: &str, dice: &mut Dice) -> String {
    let (start, end) = number(line);
    let new = NUMBERS[dice.below(NUMBERS.len())];
    format!("{}{new}{}", &line[..start], &line[end..])
}

fn scaled(line: &str, factor: f64) -> String {
    let (start, end) = number(line);
    let value: f64 = line[start..end].parse().unwrap_or(1.0);
    format!("{}{}{}", &line[..start], value * factor, &line[end..])
}

fn with_unit(line: &str, dice: &mut Dice) -> String {
    let (_, end) = number(line);
    let tail = line[end..].find('"').map_or(line.len(), |i| end + i);
    format!(
        "{} {}{}",
        &line[..end],
        UNITS[dice.below(UNITS.len())],
        &line[tail..]
    )
}

/// Where the first number behind the `=` stands.
fn number(line: &str) -> (usize, usize) {
    let from = line.find(" = ").map_or(0, |i| i + 3);
    let digit = |c: char| c.is_ascii_digit() || c == '.' || c == '-';
    let start = line[from..].find(digit).map_or(line.len(), |i| from + i);
    let end = line[start..]
        .find(|c: char| !digit(c))
        .map_or(line.len(), |i| start + i);
    (start, end)
}

/// What the program would print of a rig; `None` if it refuses the file (its message may repeat an `inf`
/// that stands there). `whole`: with every release, the leak test, what stops the fuel and the list too.
fn printed(text: &str, library: &Library, whole: bool) -> Option<String> {
    let loaded = match input::parse("rig.toml", text, library) {
        Ok(loaded) => loaded,
        Err(mistakes) => {
            assert!(!mistakes.to_string().is_empty());
            return None;
        }
    };
    let solution = match solution::solve(&loaded.rig, library, Units::Si) {
        Ok(solution) => solution,
        Err(e) => return Some(e.to_string()),
    };
    let found = audit::audit(&solution);
    let mut report = Report::new(Topic::Audit, "mutated");
    report::audit::verdict(&mut report, &solution, &found);
    report::audit::duties(&mut report, library, &solution);
    report::plan::plan(&mut report, library, &solution, true);
    report::audit::mass(&mut report, &solution);
    report::audit::findings(&mut report, library, &solution, &found, &|at| {
        loaded.line(at).map(|l| l.0)
    });
    if whole {
        if let Ok(plan) = solution.leaks() {
            report::leak_plan::plan(&mut report, library, &solution, plan);
        }
        if let (Ok(plan), Ok(joints)) = (solution.leak_test_plan(), solution.joints()) {
            report::leak_test::record(&mut report, &loaded.rig, solution.judged_leak_test());
            report::leak_test::plan(&mut report, &loaded.rig, plan);
            report::leak_test::joints(&mut report, &loaded.rig, joints);
        }
        if let Ok(sections) = solution.trapped() {
            report::trapped::sections(&mut report, &loaded.rig, sections, false);
        }
        report::shutdown::failures(&mut report, solution.failures(), false);
        let list = audit::checklist(&solution, &found);
        report::checklist::checklist(&mut report, &list);
    }
    let text = report::text::render(&report, Units::Si, 100);
    Some(text + &report::json::render(&report))
}

/// Whether a text shows a number that is none.
fn shows_no_number(text: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric() && c != '+' && c != '-')
        .any(|w| matches!(w, "NaN" | "-NaN" | "inf" | "-inf" | "+inf"))
}

#[test]
fn mutated_rigs_neither_panic_nor_hang_nor_print_nan() {
    let texts: Vec<String> = ["coupon-soak-rig", "greenhouse-frost-guard", "kiln-pilot"]
        .iter()
        .map(|rig| {
            let path = format!("{}/examples/{rig}.toml", env!("CARGO_MANIFEST_DIR"));
            std::fs::read_to_string(path).expect("readable")
        })
        .collect();
    let wanted = std::env::var("FUELWRIGHT_MUTATIONS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(USUAL);
    let next = AtomicUsize::new(0);
    let audited = AtomicUsize::new(0);
    let failures = std::sync::Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                let library = Library::embedded();
                loop {
                    let i = next.fetch_add(1, Ordering::Relaxed);
                    if i >= wanted {
                        return;
                    }
                    let mut dice = Dice(i as u64);
                    let mut text = texts[dice.below(3)].clone();
                    for _ in 0..=dice.below(4) / 3 {
                        text = mutate(&text, &texts[dice.below(3)], &mut dice);
                        if !text.contains(" = ") {
                            break;
                        }
                    }
                    let start = Instant::now();
                    let result = catch_unwind(AssertUnwindSafe(|| {
                        printed(&text, &library, i.is_multiple_of(WHOLE_EVERY))
                    }));
                    if matches!(result, Ok(Some(_))) {
                        audited.fetch_add(1, Ordering::Relaxed);
                    }
                    let took_s = start.elapsed().as_secs_f64();
                    let what = match result {
                        Err(_) => "panics".to_owned(),
                        Ok(Some(p)) if shows_no_number(&p) => format!(
                            "prints a number that is none: {}",
                            p.lines()
                                .filter(|l| shows_no_number(l))
                                .take(3)
                                .collect::<Vec<_>>()
                                .join(" / ")
                        ),
                        Ok(_) if took_s > LONGEST_S => format!("takes {took_s:.1} s"),
                        Ok(_) => continue,
                    };
                    failures
                        .lock()
                        .expect("no panic holds it")
                        .push(format!("mutation {i} {what}"));
                }
            });
        }
    });
    // the mutations must not all be refused: a quarter at least is audited
    let audited = audited.into_inner();
    assert!(4 * audited > wanted, "{audited} of {wanted}");
    let failures = failures.into_inner().expect("no panic held it");
    assert!(
        failures.is_empty(),
        "{} of {wanted}:\n{}",
        failures.len(),
        failures.join("\n")
    );
}
