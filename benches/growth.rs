//! How the cost of whole commands grows with parts, duties, components, steps of a tank run, samples and rows.
//!
//! Each line is measured in processor time of the process, the least of a few runs, and held to a limit at its largest point and to
//! the exponent of its growth. Linux only: processor time and peak memory are read from /proc. What is given as
//! `FUELWRIGHT_BEFORE=PROGRAM` is measured beside, run by run, and held to nothing.
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

#[path = "work/process.rs"]
mod process;
use process::{Cost, cost};

const SOAK: &str = include_str!("../examples/coupon-soak-rig.toml");

/// What grows in a table.
struct Growth {
    what: &'static str,
    /// Sizes asked, rising.
    sizes: &'static [usize],
    /// The command for a size; files are written into the folder.
    command: fn(usize, &Path) -> Vec<String>,
    /// Processor time allowed at the largest size, s, and memory, MB.
    limit_s: f64,
    limit_mb: f64,
    /// Largest exponent between the last two sizes.
    exponent: f64,
}

/// Tables, with the limits of one quiet core.
const TABLES: &[Growth] = &[
    Growth {
        what: "audit: tubes in a row",
        sizes: &[25, 50, 100, 200],
        command: |n, folder| audit(folder, &with_tubes(n)),
        limit_s: 0.6,
        limit_mb: 80.0,
        exponent: 1.1,
    },
    Growth {
        what: "audit: tubes, elbows and valves in a row",
        sizes: &[25, 50, 100, 200],
        command: |n, folder| audit(folder, &with_mixed_parts(n)),
        limit_s: 0.6,
        limit_mb: 80.0,
        exponent: 1.1,
    },
    Growth {
        what: "audit: duties",
        sizes: &[4, 8, 16, 32],
        command: |n, folder| audit(folder, &with_duties(n)),
        limit_s: 0.2,
        limit_mb: 80.0,
        exponent: 1.1,
    },
    Growth {
        what: "audit: components of the gas",
        sizes: &[1, 2, 4, 8],
        command: |n, folder| audit(folder, &with_components(n)),
        limit_s: 0.2,
        limit_mb: 80.0,
        exponent: 2.1,
    },
    Growth {
        what: "tank: rows of a run",
        sizes: &[100, 1000, 10_000],
        command: |n, _| {
            let every = format!("{} s", 7200.0 / n as f64);
            words(&format!(
                "tank|--fuel|propane:60,n-butane:40|--volume|27 L|--fill|10 kg|--tank-temperature|15 degC|--ambient|15 degC|--draw|0.2 g/s|--duration|2 h|--wall-mass|9 kg|--wall-specific-heat|480 J/(kg K)|--conductance|6 W/K|--format|json|--every|{every}"
            ))
        },
        limit_s: 0.5,
        limit_mb: 120.0,
        exponent: 1.1,
    },
    Growth {
        what: "tolerance: samples",
        sizes: &[10_000, 100_000, 1_000_000],
        command: |n, folder| {
            let rig = write(folder, SOAK);
            words(&format!("tolerance|{rig}|--seed|1|--samples|{n}"))
        },
        limit_s: 10.0,
        limit_mb: 120.0,
        exponent: 1.1,
    },
    Growth {
        what: "sweep: rows",
        sizes: &[10, 100, 1000],
        command: |n, folder| {
            let rig = write(folder, SOAK);
            words(&format!(
                "sweep|{rig}|--over|train.regulator.set_pressure|--from|1.8 barg|--to|2.2 barg|--steps|{n}"
            ))
        },
        limit_s: 8.0,
        limit_mb: 120.0,
        exponent: 1.1,
    },
];

/// Single commands with the processor time they may take, s.
const COMMANDS: &[(&str, &str, f64)] = &[
    ("audit", "coupon-soak-rig", 0.010),
    ("audit", "greenhouse-frost-guard", 0.010),
    ("audit", "kiln-pilot", 0.010),
    ("audit", "neglected-frost-guard", 0.010),
    ("audit", "seed-dryer", 0.010),
    ("audit", "tile-dryer", 0.010),
    ("report", "coupon-soak-rig", 0.060),
    ("report", "greenhouse-frost-guard", 0.060),
    ("report", "kiln-pilot", 0.060),
    ("report", "neglected-frost-guard", 0.060),
    ("report", "seed-dryer", 0.060),
    ("report", "tile-dryer", 0.060),
];

fn words(line: &str) -> Vec<String> {
    line.split('|').map(str::to_owned).collect()
}

fn write(folder: &Path, rig: &str) -> String {
    let path = folder.join("rig.toml");
    std::fs::write(&path, rig).expect("the folder can be written");
    path.to_str().expect("a name in UTF-8").to_owned()
}

fn audit(folder: &Path, rig: &str) -> Vec<String> {
    vec!["audit".to_owned(), write(folder, rig)]
}

/// The soak rig with more parts before its gauge at the ring.
fn with_parts(more: &str) -> String {
    let place = "[[train]]\nname = \"ring-pressure\"";
    assert!(SOAK.contains(place), "the example has changed");
    SOAK.replace(place, &format!("{more}{place}"))
}

fn tube(name: &str) -> String {
    format!(
        "[[train]]\nname = \"{name}\"\nkind = \"tube\"\nbore = \"6 mm\"\noutside_diameter = \"8 mm\"\nlength = \"50 mm\"\nroughness = \"0.0015 mm\"\nheat_outside = \"8 W/(m2 K)\"\njoints = {{ compression = 2 }}\nmax_pressure = \"100 bar(g)\"\nwetted = [\"stainless-steel\"]\n\n"
    )
}

fn with_tubes(n: usize) -> String {
    with_parts(
        &(0..n)
            .map(|i| tube(&format!("tube-{i}")))
            .collect::<String>(),
    )
}

fn with_mixed_parts(n: usize) -> String {
    let mut more = String::new();
    for i in 0..n {
        match i % 4 {
            1 => write!(more, "[[train]]\nname = \"elbow-{i}\"\nkind = \"fitting\"\nshape = \"bend\"\nbore = \"6 mm\"\nangle = \"90 deg\"\nradius_ratio = 3.0\njoints = {{ compression = 2 }}\nmax_pressure = \"100 bar(g)\"\nwetted = [\"stainless-steel\"]\n\n").expect("a string"),
            3 => write!(more, "[[train]]\nname = \"ball-{i}\"\nkind = \"ball-valve\"\nbore = \"8 mm\"\nflow_coefficient = \"8 Kv\"\nactuation = \"manual\"\njoints = {{ compression = 2 }}\nmax_pressure = \"64 bar(g)\"\nwetted = [\"brass\"]\n\n").expect("a string"),
            _ => more += &tube(&format!("tube-{i}")),
        }
    }
    with_parts(&more)
}

/// The soak rig with duties between its smallest and its largest.
fn with_duties(n: usize) -> String {
    let mut more = String::new();
    for i in 4..n {
        let share = (i - 3) as f64 / (n - 3) as f64;
        write!(more, "[[duties]]\nname = \"step-{i}\"\nthrottle = \"{} %\"\nchamber_pressure = \"{} mbar(g)\"\nequivalence_ratio = 0.3\nduration = \"1 min\"\n\n", 36.0 + 60.0 * share, 5.0 + 25.0 * share).expect("a string");
    }
    SOAK.replace("[injector]\n", &format!("{more}[injector]\n"))
}

/// The soak rig on a gas of one to eight components.
fn with_components(n: usize) -> String {
    let all = [
        "propane",
        "n-butane",
        "isobutane",
        "propylene",
        "ethane",
        "n-pentane",
        "isopentane",
        "dimethyl-ether",
    ];
    let light = 100 - 3 * (n - 1);
    let rest = all[1..n].join(":3,");
    let rest = if n > 1 { format!(",{rest}:3") } else { rest };
    SOAK.replace(
        "composition = \"propane\"",
        &format!("composition = \"propane:{light}{rest}\""),
    )
}

/// Costs of a command by the program, and by the earlier one where there is one, in turns.
fn measured(arguments: &[String], runs: usize, before: Option<&Path>) -> (Cost, Option<Cost>) {
    let now = Path::new(env!("CARGO_BIN_EXE_fuelwright"));
    let least = |a: Cost, b: Cost| Cost {
        processor_s: a.processor_s.min(b.processor_s),
        peak_mb: a.peak_mb.max(b.peak_mb),
    };
    let mut found = (cost(now, arguments), before.map(|p| cost(p, arguments)));
    for _ in 1..runs {
        found.0 = least(found.0, cost(now, arguments));
        found.1 = before
            .zip(found.1)
            .map(|(p, c)| least(c, cost(p, arguments)));
    }
    found
}

#[allow(clippy::print_stdout)] // a bench reports
fn main() {
    let folder: PathBuf =
        std::env::temp_dir().join(format!("fuelwright-growth-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder for rigs");
    let before = std::env::var_os("FUELWRIGHT_BEFORE").map(PathBuf::from);
    let mut exceeded = Vec::new();
    for table in TABLES {
        println!(
            "{} (limits: {} s, {} MB, exponent {})",
            table.what, table.limit_s, table.limit_mb, table.exponent
        );
        let mut rows: Vec<(usize, Cost, Option<Cost>)> = Vec::new();
        for &n in table.sizes {
            let arguments = (table.command)(n, &folder);
            let (now, then) = measured(&arguments, 5, before.as_deref());
            let exponent = |a: Option<(usize, f64)>, s: f64| {
                a.map_or(f64::NAN, |(m, t)| (s / t).ln() / (n as f64 / m as f64).ln())
            };
            let last = rows.last();
            let own = exponent(last.map(|r| (r.0, r.1.processor_s)), now.processor_s);
            let old = then.map_or_else(String::new, |c| {
                let grew = exponent(
                    last.and_then(|r| r.2.map(|o| (r.0, o.processor_s))),
                    c.processor_s,
                );
                format!(
                    "   before {:8.1} ms  {:6.1} MB  exponent {grew:5.2}",
                    1e3 * c.processor_s,
                    c.peak_mb
                )
            });
            println!(
                "  {n:8}  {:8.1} ms  {:6.1} MB  exponent {own:5.2}{old}",
                1e3 * now.processor_s,
                now.peak_mb
            );
            rows.push((n, now, then));
            if n == *table.sizes.last().expect("sizes") {
                for (what, is, limit) in [
                    ("s", now.processor_s, table.limit_s),
                    ("MB", now.peak_mb, table.limit_mb),
                    ("exponent", own, table.exponent),
                ] {
                    if !(is <= limit) {
                        exceeded.push(format!("{}: {is:.3} {what}, limit {limit}", table.what));
                    }
                }
            }
        }
    }
    println!("single commands");
    for (command, rig, limit_s) in COMMANDS {
        let rig_file = format!("{}/examples/{rig}.toml", env!("CARGO_MANIFEST_DIR"));
        let mut arguments = vec![(*command).to_owned(), rig_file];
        if *command == "report" {
            let out = folder.join("report.html");
            arguments.extend(["--out".to_owned(), out.to_str().expect("UTF-8").to_owned()]);
        }
        let (now, then) = measured(&arguments, 15, before.as_deref());
        let old = then.map_or_else(String::new, |c| {
            format!("   before {:8.1} ms", 1e3 * c.processor_s)
        });
        println!(
            "  {command} {rig:24} {:8.1} ms (limit {:.0}){old}",
            1e3 * now.processor_s,
            1e3 * limit_s
        );
        if now.processor_s > *limit_s {
            exceeded.push(format!(
                "{command} {rig}: {:.1} ms, limit {:.0}",
                1e3 * now.processor_s,
                1e3 * limit_s
            ));
        }
    }
    std::fs::remove_dir_all(&folder).ok();
    assert!(exceeded.is_empty(), "exceeded:\n{}", exceeded.join("\n"));
}
