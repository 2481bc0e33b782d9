//! `generate`: completions for shells, manual pages, the schema of a rig file.

use super::context::Context;
use super::error::CliError;
use super::names::renamed;
use crate::input::schema::schema;
use crate::report::answers;
use clap::{Command, Subcommand};
use clap_complete::Shell;

const EXAMPLES: &str = "\
Examples:
  fuelwright generate completions bash \\
    > ~/.local/share/bash-completion/completions/fuelwright
  fuelwright generate man | man -l -
  fuelwright generate man audit > fuelwright-audit.1
  fuelwright generate schema > rig.schema.json
  fuelwright generate schema --output > answers.schema.json

Editors that know TOML take the schema from the first line of a rig file: #:schema ./rig.schema.json";

/// Flags of `generate`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct GenerateArgs {
    /// What to write.
    #[command(subcommand)]
    pub what: What,
}

/// What can be written.
#[derive(Debug, Clone, Subcommand)]
pub enum What {
    /// Completions for a shell.
    Completions {
        /// Shell: bash, zsh, fish, elvish or powershell.
        #[arg(value_enum, hide_possible_values = true)]
        shell: Shell,
    },
    /// Manual page of the program, or of one command.
    Man {
        /// Command; the program itself if left out.
        command: Option<String>,
    },
    /// JSON schema of a rig file, for editors; of the answers with --output.
    Schema {
        /// The schema of what the commands answer with --format json, a definition a command.
        #[arg(long)]
        output: bool,
    },
    /// Page of the keys of the JSON answers, as Markdown.
    Keys,
}

/// The text asked for.
///
/// # Errors
/// A command that is not there.
pub fn run(args: &GenerateArgs, context: &Context) -> Result<Vec<u8>, CliError> {
    let mut command = (context.program)();
    let mut out = Vec::new();
    match &args.what {
        What::Completions { shell } => {
            clap_complete::generate(*shell, &mut command, "fuelwright", &mut out);
        }
        What::Man { command: None } => clap_mangen::Man::new(command).render(&mut out)?,
        What::Man {
            command: Some(name),
        } => clap_mangen::Man::new(subcommand(command, name)?).render(&mut out)?,
        What::Keys => out = answers::page().into_bytes(),
        What::Schema { output } => {
            let schema = if *output { answers::schema() } else { schema() };
            out = format!("{schema:#}\n").into_bytes();
        }
    }
    Ok(out)
}

/// A command by its name, as a page of its own.
fn subcommand(mut program: Command, name: &str) -> Result<Command, CliError> {
    program.build();
    let found = program.find_subcommand(name).cloned();
    found.ok_or_else(|| CliError::NoSuchCommand {
        command: name.to_owned(),
        suggestion: {
            let names: Vec<&str> = program.get_subcommands().map(Command::get_name).collect();
            let near = || crate::quantity::suggest::nearest(name, names);
            renamed(name).or_else(near).map(str::to_owned)
        },
    })
}
