//! A table on a page of fixed width: as it stands, with wrapped cells, or row by row one below the other.

use super::{padded, wrap};
use crate::quantity::printable::{columns, on_a_line};
use crate::quantity::show::Units;
use crate::report::words::{Cells, filled, is_numeric};
use crate::report::{Column, Table};
use tabled::builder::Builder;
use tabled::settings::formatting::AlignmentStrategy;
use tabled::settings::object::Columns;
use tabled::settings::style::HorizontalLine;
use tabled::settings::{Alignment, Padding, Style, Width};

/// Blanks between two columns.
const GAP: usize = 2;

/// Lines of a table, and the headings of the optional columns that found no room.
pub(super) struct Laid<'a> {
    pub(super) lines: Vec<String>,
    pub(super) left_out: Vec<&'a str>,
}

/// A column with its cells as text.
struct Strip<'a> {
    column: &'a Column,
    heading: String,
    unit: Option<String>,
    cells: Vec<String>,
    right: bool,
}

impl Strip<'_> {
    fn all(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.heading.as_str()).chain(self.cells.iter().map(String::as_str))
    }
    fn natural(&self) -> usize {
        self.all().map(columns).max().unwrap_or(0)
    }
    /// A cell is broken between words only.
    fn least(&self) -> usize {
        let words = self.all().flat_map(str::split_whitespace);
        words.map(columns).max().unwrap_or(0)
    }
}

/// Optional columns go first, from the right; then cells wrap between words; where even the longest
/// words do not fit, each row becomes a list.
pub(super) fn lay(table: &Table, units: Units, room: usize) -> Laid<'_> {
    let all = strips(table, units);
    let mut kept = filled(table);
    let mut left_out = Vec::new();
    loop {
        let natural: Vec<usize> = kept.iter().map(|&i| all[i].natural()).collect();
        if total(&natural) <= room {
            let lines = draw(&pick(&all, &kept), &natural);
            return Laid { lines, left_out };
        }
        let Some(i) = kept.iter().rposition(|&c| all[c].column.optional) else {
            break;
        };
        left_out.insert(0, all[kept.remove(i)].column.heading.as_str());
    }
    let kept = pick(&all, &kept);
    match fitted(&kept, room) {
        Some(widths) => Laid {
            lines: draw(&kept, &widths),
            left_out,
        },
        None => Laid {
            lines: listed(&pick(&all, &filled(table)), table.rows.len(), room),
            left_out: Vec::new(),
        },
    }
}

fn strips(table: &Table, units: Units) -> Vec<Strip<'_>> {
    let shown = |text: &str| on_a_line(text).into_owned();
    let strip = |(c, column): (usize, _)| {
        let column: &Column = column;
        let cells = Cells::of(table, c, units);
        let unit = cells.unit();
        Strip {
            heading: shown(&match &unit {
                Some(unit) => format!("{}, {unit}", column.heading),
                None => column.heading.clone(),
            }),
            cells: table
                .rows
                .iter()
                .map(|row| shown(&cells.text(&row[c])))
                .collect(),
            right: is_numeric(table, c),
            column,
            unit,
        }
    };
    table.columns.iter().enumerate().map(strip).collect()
}

fn pick<'a, 'b>(all: &'b [Strip<'a>], kept: &[usize]) -> Vec<&'b Strip<'a>> {
    kept.iter().map(|&i| &all[i]).collect()
}

/// Width of a drawn table, its rule included.
fn total(widths: &[usize]) -> usize {
    widths.iter().map(|w| w + GAP).sum()
}

/// Widths that fit, taken off the widest columns; none under its longest word.
fn fitted(strips: &[&Strip<'_>], room: usize) -> Option<Vec<usize>> {
    let least: Vec<usize> = strips.iter().map(|s| s.least()).collect();
    let mut widths: Vec<usize> = strips.iter().map(|s| s.natural()).collect();
    while total(&widths) > room {
        let widest = (0..widths.len())
            .filter(|&i| widths[i] > least[i])
            .max_by_key(|&i| (widths[i], std::cmp::Reverse(i)))?;
        widths[widest] -= 1;
    }
    Some(widths)
}

fn draw(strips: &[&Strip<'_>], widths: &[usize]) -> Vec<String> {
    let mut table = Builder::default();
    for (strip, &width) in strips.iter().zip(widths) {
        table.push_column(strip.all().map(|cell| broken(cell, width)));
    }
    let mut table = table.build();
    table
        .with(Style::empty().horizontals([(1, HorizontalLine::new('-'))]))
        .with(Padding::new(0, GAP, 0, 0))
        .with(AlignmentStrategy::PerLine);
    for (c, _) in strips.iter().enumerate().filter(|(_, s)| s.right) {
        table.modify(Columns::one(c), Alignment::right());
    }
    // last: what changes cells makes widths be counted anew
    table.with(Width::list(widths.iter().map(|width| width + GAP)));
    table.to_string().lines().map(str::to_owned).collect()
}

/// A cell in lines of its column. `tabled` can wrap too, but begins a line with the blank behind a full one.
fn broken(cell: &str, width: usize) -> String {
    if columns(cell) <= width {
        cell.to_owned()
    } else {
        wrap(cell, width).join("\n")
    }
}

/// Each row as a list: its first cell, and below it the others with their headings. A number in front says
/// what it is, a name need not.
fn listed(strips: &[&Strip<'_>], rows: usize, room: usize) -> Vec<String> {
    let Some((lead, rest)) = strips.split_first() else {
        return Vec::new();
    };
    let longest = rest.iter().map(|s| columns(&s.column.heading)).max();
    let longest = longest.unwrap_or(0).min(room / 2);
    let mut lines = Vec::new();
    let with_unit = |s: &Strip<'_>, i: usize| match (&s.unit, s.cells[i].as_str()) {
        (Some(unit), cell) if cell != "-" => format!("{cell} {unit}"),
        (_, cell) => cell.to_owned(),
    };
    for i in 0..rows {
        let first = if lead.right {
            format!("{} {}", lead.column.heading, with_unit(lead, i))
        } else {
            lead.cells[i].clone()
        };
        lines.extend(wrap(&first, room));
        for s in rest.iter().filter(|s| !s.cells[i].is_empty()) {
            beside(
                &mut lines,
                &s.column.heading,
                &with_unit(s, i),
                longest,
                room,
            );
        }
    }
    lines
}

/// A name and its value side by side, both wrapped.
fn beside(lines: &mut Vec<String>, name: &str, value: &str, longest: usize, room: usize) {
    let names = wrap(name, longest);
    let values = wrap(value, room.saturating_sub(longest + 2 * GAP).max(8));
    for i in 0..names.len().max(values.len()) {
        let part = |list: &[String]| list.get(i).cloned().unwrap_or_default();
        let name = padded(&part(&names), longest);
        lines.push(format!("  {name}  {}", part(&values)));
    }
}
