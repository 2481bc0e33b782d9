//! The command line: read the arguments, let a command make its report, write it.

mod answer;
mod ask;
pub mod audit;
pub mod backend;
pub mod calibrate;
pub mod checklist;
pub mod commands;
pub mod compare_rigs;
pub mod context;
pub mod convert;
pub mod error;
pub mod feed;
pub mod flags;
pub mod flame;
pub mod flow_test;
pub mod fuel;
pub mod fuels;
pub mod generate;
pub mod injector;
pub mod leak;
pub mod leak_test;
pub mod lookup;
pub mod mass;
mod names;
pub mod orifice;
pub mod page;
pub mod pipe;
mod progress;
pub mod pump;
pub mod regulator;
pub mod relief;
pub mod remedies;
pub mod report;
pub mod rig;
pub mod rules;
pub mod save;
pub mod second_opinion;
pub mod shutdown;
pub mod sources;
pub mod spray;
pub mod start;
pub mod state;
pub mod sweep;
pub mod tank;
pub mod template;
pub mod tolerance;
pub mod train;
pub mod trapped;
pub mod valve;
pub mod watch;

use crate::quantity::printable::{message, repeated};
use crate::report::{Report, html, json, markdown, text};
use answer::Answer;
use clap::error::ContextValue;
use context::{Context, shown, texts_in};
use error::CliError;
use flags::{Format, Global};
use page::Page;
use std::ffi::OsString;
use std::io::Write;
use std::process::ExitCode;

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Done.
    Done,
    /// Done, with findings of DANGER or WARNING.
    Alarms,
    /// Could not do it.
    Failed,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        Self::from(match outcome {
            Outcome::Done => 0,
            Outcome::Alarms => 1,
            Outcome::Failed => 2,
        })
    }
}

/// Entry of the program: runs on the arguments, output and error stream of the process.
pub fn main() -> ExitCode {
    run_on(
        std::env::args_os(),
        Page::of_process(),
        &mut std::io::stdout().lock(),
        &mut std::io::stderr(),
    )
    .into()
}

/// Runs a command line. Results go to `out`, messages to `err`; after a failure `out` has nothing.
pub fn run<A: Into<OsString> + Clone>(
    arguments: impl IntoIterator<Item = A>,
    width: usize,
    out: &mut impl Write,
    err: &mut impl Write,
) -> Outcome {
    run_on(arguments, Page::plain(width), out, err)
}

/// As [`run`], on a page of one's own.
pub fn run_on<A: Into<OsString> + Clone>(
    arguments: impl IntoIterator<Item = A>,
    page: Page,
    out: &mut impl Write,
    err: &mut impl Write,
) -> Outcome {
    let cli = match commands::read(arguments, page.width) {
        Ok(cli) => cli,
        Err(e) => return usage(e, out, err),
    };
    let context = Context::new(&cli.global, page, commands::program);
    let ended = context.and_then(|context| match cli.command.run(&context)? {
        Answer::Report(mut report) => {
            report.cite_mentioned(&context.library);
            write(&report, &cli.global, page, out)
        }
        Answer::Text(text) => plain(&text, out),
        Answer::Watch(rig) => {
            let first = |report: &Report, out: &mut _| write(report, &cli.global, page, out);
            watch::watch(&rig, &context, page, first, (out, err))
        }
    });
    match ended {
        Ok(outcome) => outcome,
        Err(e) if e.is_broken_pipe() => Outcome::Done,
        Err(e) => {
            // Nothing is left to try if the error stream is closed too.
            let shown = e.render(texts_in(&cli.global), page.colour_of_messages);
            let _ = writeln!(err, "{shown}");
            Outcome::Failed
        }
    }
}

/// Help and version go to the output and are no failure; mistakes in the flags are.
fn usage(mut e: clap::Error, out: &mut impl Write, err: &mut impl Write) -> Outcome {
    // what was typed, on one line before it is shown among others
    let typed: Vec<_> = e
        .context()
        .map(|(kind, value)| (kind, value.clone()))
        .collect();
    for (kind, value) in typed {
        if let ContextValue::String(typed) = value {
            e.insert(kind, ContextValue::String(repeated(&typed)));
        }
    }
    let text = e.render().to_string();
    if e.use_stderr() {
        for line in text.lines() {
            let _ = writeln!(err, "{}", message(line));
        }
        Outcome::Failed
    } else {
        let _ = write!(out, "{text}");
        Outcome::Done
    }
}

/// Writes what is no report.
fn plain(text: &[u8], out: &mut impl Write) -> Result<Outcome, CliError> {
    out.write_all(text)?;
    out.flush()?;
    Ok(Outcome::Done)
}

/// Writes a report in the format asked for.
fn write(
    report: &Report,
    global: &Global,
    page: Page,
    out: &mut impl Write,
) -> Result<Outcome, CliError> {
    let units = global.units.into();
    let shown = shown(report, global.quiet);
    let answer = match global.format {
        Format::Text => {
            let write = if global.full {
                text::styled
            } else {
                text::short
            };
            let styled = write(&shown, units, page.width);
            if page.colour {
                styled
            } else {
                text::plain(&styled)
            }
        }
        Format::Json => json::render(report),
        Format::Markdown => markdown::render(&shown, units),
        Format::Html => html::render(&shown, units),
    };
    out.write_all(answer.as_bytes())?;
    out.flush()?;
    Ok(if report.has_alarms() {
        Outcome::Alarms
    } else {
        Outcome::Done
    })
}
