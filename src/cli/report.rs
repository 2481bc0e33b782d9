//! `report`: everything about a rig on one page, written to a file.

use super::args::Format;
use super::error::{CliError, FlagProblem};
use super::{Context, convert, rig};
use crate::audit::{Solution, audit};
use crate::report::{Report, Topic, html, json, markdown, rig as write, text};
use clap::ValueEnum;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "\
Examples:
  fuelwright report examples/coupon-soak-rig.toml --out coupon-soak-rig.html
  fuelwright report examples/coupon-soak-rig.toml --format markdown --out coupon-soak-rig.md

The ending of FILE says what is written: .html, .md, .json or .txt. A report written before is written \
over; any other file is kept. Without --out the whole report goes to the output.";

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
}

/// Writes the report.
///
/// # Errors
/// A rig file with mistakes, no property model for its fuel, or a file that cannot be written.
pub fn run(args: &ReportArgs, context: &Context) -> Result<Report, CliError> {
    let form = args.out.as_deref().map(|out| form(out, context.format));
    let form = form.transpose()?;
    let loaded = rig::load(&args.rig, context)?;
    let solution = rig::solve(&loaded, context)?;
    let found = audit(&solution);
    let mut report = Report::new(Topic::Report, format!("Report of {}", loaded.rig.name));
    let line = |at: &str| loaded.line(at).map(|(line, _)| line);
    let page = write::Page {
        library: &context.library,
        solution: &solution,
        audit: &found,
        line_of: &line,
        path: &loaded.path,
        text: &loaded.text,
    };
    write::rig(&mut report, &page);
    switch(args, &solution, context, &mut report)?;
    write::inputs(&mut report, &page);
    context.model(&mut report, solution.fluid.as_ref());
    report.cite_mentioned(&context.library);
    let (Some(out), Some(form)) = (&args.out, form) else {
        return Ok(report);
    };
    write_file(&report, out, form, context)?;
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

/// Writes the file, over an older report at most.
fn write_file(
    report: &Report,
    out: &Path,
    form: Format,
    context: &Context,
) -> Result<(), CliError> {
    let shown = super::shown(report, context.quiet);
    let text = match form {
        Format::Html => html::render(&shown, context.units),
        Format::Markdown => markdown::render(&shown, context.units),
        Format::Json => json::render(report),
        Format::Text => text::render(&shown, context.units, TEXT_WIDTH),
    };
    super::save::save(out, &text, lead(&text, form))
}

/// How every report of a form begins.
fn lead(text: &str, form: Format) -> &str {
    match form {
        Format::Html => html::MARK,
        _ => text.get(..10).unwrap_or(text),
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
