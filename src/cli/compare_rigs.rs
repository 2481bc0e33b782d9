//! `compare-rigs`: what differs between two rig files, and what comes of it.

use super::context::Context;
use super::error::CliError;
use super::rig;
use crate::input::edit::dotted;
use crate::input::{self, Loaded};
use crate::report::compare::{Sides, compare};
use crate::report::outcome::Outcome;
use crate::report::{Report, Topic};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "\
Example:
  fuelwright compare-rigs before.toml after.toml

Values are compared as what they mean: \"1 bar(g)\" and \"100 kPa(g)\" are the same. The exit code is 1 if a rule finds \
DANGER or WARNING in either rig.";

/// Flags of `compare-rigs`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct CompareRigsArgs {
    /// Rig file.
    #[arg(value_name = "A")]
    pub a: PathBuf,
    /// Rig file to compare it with.
    #[arg(value_name = "B")]
    pub b: PathBuf,
}

/// Compares two rigs.
///
/// # Errors
/// A rig file with mistakes, or no property model for a fuel.
pub fn run(args: &CompareRigsArgs, context: &Context) -> Result<Report, CliError> {
    let [a, b] = [rig::load(&args.a, context)?, rig::load(&args.b, context)?];
    let solved = [rig::solve(&a, context)?, rig::solve(&b, context)?];
    let (inputs, alike) = inputs(&a, &b, context)?;
    let sides = Sides {
        names: names(&a, &b),
        inputs,
        alike,
        outcomes: solved.each_ref().map(Outcome::of),
    };
    let title = format!("{} against {}", sides.names[0], sides.names[1]);
    let mut report = Report::new(Topic::Audit, title);
    compare(&mut report, &sides, context.units);
    let models = solved.each_ref().map(|s| s.fluid.model());
    Context::model(&mut report, solved[0].fluid.as_ref());
    if models[0] != models[1] {
        report.remark(format!("Properties of {}: {}.", sides.names[1], models[1]));
    }
    Ok(report)
}

/// Names of the rigs; where they are called the same, those of their files, with as much of the path as tells
/// them apart.
fn names(a: &Loaded, b: &Loaded) -> [String; 2] {
    if a.rig.name != b.rig.name {
        return [a.rig.name.clone(), b.rig.name.clone()];
    }
    let stem = |l: &Loaded| {
        let stem = Path::new(&l.path).file_stem();
        stem.map_or_else(|| l.path.clone(), |s| s.to_string_lossy().into_owned())
    };
    if stem(a) != stem(b) {
        return [stem(a), stem(b)];
    }
    if a.path != b.path {
        return [a.path.clone(), b.path.clone()];
    }
    [format!("{} (A)", stem(a)), format!("{} (B)", stem(b))]
}

/// Keys that do not mean the same, with both values as written; and how many do.
type Differing = (Vec<(String, [Option<String>; 2])>, usize);

fn inputs(a: &Loaded, b: &Loaded, context: &Context) -> Result<Differing, CliError> {
    let plain = |l: &Loaded| input::parse(&l.path, &l.raw.write(), &context.library);
    let (plain_a, plain_b) = (plain(a)?, plain(b)?);
    let keys: BTreeSet<&str> = a.values().chain(b.values()).map(|(key, _)| key).collect();
    let written = |l: &Loaded, key: &str| {
        let text = l.written(key)?.replace(['"', '[', ']', '{', '}'], "");
        Some(text.split_whitespace().collect::<Vec<_>>().join(" "))
    };
    let (mut found, mut alike) = (Vec::new(), 0);
    for key in keys {
        if plain_a.written(key) == plain_b.written(key) {
            alike += 1;
            continue;
        }
        let table = key.rfind(['.', '[']).map_or(key, |end| &key[..end]);
        let there = [a, b].map(|l| l.is_table(table));
        // a table that only one of them has is one difference, not one for each of its keys
        let row = if there == [true, true] {
            (dotted(key), [written(a, key), written(b, key)])
        } else {
            let word = |there: bool| there.then(|| "there".to_owned());
            (dotted(table), there.map(word))
        };
        if found.last() != Some(&row) {
            found.push(row);
        }
    }
    Ok((found, alike))
}
