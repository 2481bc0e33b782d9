//! The program as its users and their machines meet it: command line, files read and written, messages, the code itself.

mod answers;
mod architecture;
mod broken_rigs;
mod calculators;
mod calibrate;
mod choose;
mod cli;
mod diagram;
mod digits;
mod docs;
mod ends;
mod files;
mod flow_test;
mod folder;
mod fuel_files;
mod generate;
#[path = "../support/lines.rs"]
mod lines;
mod long_tables;
mod lookup;
mod one_refusal;
mod package;
mod remedies;
mod repeats;
mod report;
mod rig_file;
mod schema;
mod short;
mod start;
mod terminal;
mod terms;
mod units;
