//! `report`: everything about a rig on one page, written to a file.

use super::context::Context;
use super::error::{CliError, FlagProblem};
use super::flags::Format;
use super::save::{Target, named};
use super::{convert, remedies, rig};
use crate::audit::{Solution, audit};
use crate::report::mark::FileKind;
use crate::report::{Report, Topic, html, json, markdown, rig as write, text};
use clap::ValueEnum;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "\
Examples:
  fuelwright report examples/coupon-soak-rig.toml --out coupon-soak-rig.html
  fuelwright report examples/coupon-soak-rig.toml --appendix --out coupon-soak-rig.html
  fuelwright report examples/coupon-soak-rig.toml --remedies --out coupon-soak-rig.html

The page prints on five sheets at most: verdict, line diagram, findings and duties; where to stand and what stops the \
fuel; the checklist. The rest folds on a screen and prints with --appendix. \
The ending of FILE says what is written: .html, .md, .json or .txt. A report that was written before \
and has not been changed since is written over; any other file is kept. Without --out the whole report goes to the output.";

/// Characters a line of a report in plain text.
const TEXT_WIDTH: usize = 100;

/// Flags of `report`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct ReportArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
    /// File to write; the verdict and the findings still go to the output.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Compare with a switch to this fuel; with that of `[switch]` if the rig file has it.
    #[arg(long, value_name = "FUEL")]
    pub switch_to: Option<String>,
    /// Print the appendix too, with all tables and figures; without it a page folds it and prints its sheets alone.
    #[arg(long)]
    pub appendix: bool,
    /// Print beneath each finding the smallest change that clears it; takes seconds.
    #[arg(long)]
    pub remedies: bool,
}

/// Writes the report.
///
/// # Errors
/// A rig file with mistakes, no property model for its fuel, or a file that cannot be written.
pub fn run(args: &ReportArgs, context: &Context) -> Result<Report, CliError> {
    let target = match args.out.as_deref() {
        Some(out) => {
            let form = form(out, context.format)?;
            Some((form, Target::new(out, kind(form))?))
        }
        None => None,
    };
    let loaded = rig::load(&args.rig, context)?;
    let solution = rig::solve(&loaded, context)?;
    let found = audit(&solution);
    let mut report = Report::new(Topic::Report, format!("Report of {}", loaded.rig.name));
    report.appendix_prints = args.appendix;
    let line = |at: &str| loaded.line(at).map(|(line, _)| line);
    let page = write::Page {
        library: &context.library,
        solution: &solution,
        audit: &found,
        line_of: &line,
        path: &loaded.path,
        text: &loaded.text,
    };
    crate::report::audit::digest(&mut report, &loaded.digest());
    write::rig(&mut report, &page);
    if args.remedies {
        let found = remedies::of(&loaded, &[], found.findings.len(), context)?;
        crate::report::remedies::beneath(&mut report, &found);
    }
    switch(args, &solution, context, &mut report)?;
    write::inputs(&mut report, &page);
    Context::model(&mut report, solution.fluid.as_ref());
    report.cite_mentioned(&context.library);
    let Some((form, target)) = target else {
        return Ok(report);
    };
    let out = target.path;
    target.write(in_form(&report, form, context))?;
    if context.format == Format::Json {
        report.key("path", out.display().to_string());
        return Ok(report);
    }
    Ok(in_short(report, out))
}

/// The switch to another fuel, if it is asked for here or in the rig file.
fn switch(
    args: &ReportArgs,
    solution: &Solution<'_>,
    context: &Context,
    report: &mut Report,
) -> Result<(), CliError> {
    let to = match (&args.switch_to, &solution.rig.switch) {
        (Some(name), _) => context.composition(name)?,
        (None, Some(plan)) => plan.to.clone(),
        (None, None) => return Ok(()),
    };
    report.chapter(&format!("Switch to {}", to.label()));
    write::nested(report, "switch", |report| {
        convert::of_rig(report, solution, &to, context)
    })
}

/// The form of a file: by its ending, which `--format markdown` and `--format html` must not contradict.
fn form(out: &Path, asked: Format) -> Result<Format, CliError> {
    named(out)?;
    let ending = out.extension().and_then(|e| e.to_str()).unwrap_or_default();
    let form = match ending.to_ascii_lowercase().as_str() {
        "html" | "htm" => Some(Format::Html),
        "md" | "markdown" => Some(Format::Markdown),
        "json" => Some(Format::Json),
        "txt" => Some(Format::Text),
        _ => None,
    };
    let given = out.display().to_string();
    match (form, asked) {
        (None, Format::Markdown | Format::Html) => Ok(asked),
        (None, _) => Err(CliError::Flag {
            flag: "out",
            problem: FlagProblem::NoForm { given },
        }),
        (Some(form), Format::Markdown | Format::Html) if form != asked => Err(CliError::Flag {
            flag: "out",
            problem: FlagProblem::Contradicts {
                given,
                relation: "is not the file of",
                other: "format",
                other_given: asked
                    .to_possible_value()
                    .map_or(String::new(), |v| v.get_name().to_owned()),
            },
        }),
        (Some(form), _) => Ok(form),
    }
}

/// What a file of a form is.
fn kind(form: Format) -> FileKind {
    match form {
        Format::Html => FileKind::HtmlReport,
        Format::Markdown => FileKind::MarkdownReport,
        Format::Json => FileKind::JsonReport,
        Format::Text => FileKind::TextReport,
    }
}

/// Text of the file.
fn in_form(report: &Report, form: Format, context: &Context) -> String {
    let shown = super::context::shown(report, context.quiet);
    match form {
        Format::Html => html::render(&shown, context.units),
        Format::Markdown => markdown::render(&shown, context.units),
        Format::Json => json::for_file(report, FileKind::JsonReport),
        Format::Text => text::render(&shown, context.units, TEXT_WIDTH),
    }
}

/// What the output says to people of a report that is in a file: where it is, verdict, findings.
fn in_short(mut report: Report, out: &Path) -> Report {
    let mut short = Report::new(report.topic, format!("Wrote {}", out.display()));
    report.sections.retain(|s| s.heading == write::VERDICT);
    for section in &mut report.sections {
        section.chapter = None;
    }
    let named = |key: &String| {
        let key = format!("[{key}]");
        report.findings.iter().flatten().any(|f| f.source == key)
    };
    let sources = report.sources.iter().filter(|(key, _)| named(key));
    short.sources = sources.map(|(k, c)| (k.clone(), c.clone())).collect();
    short.sections = report.sections;
    short.findings = report.findings;
    short
}
