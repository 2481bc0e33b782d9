//! Line diagram of a rig's train, for whoever reviews it: parts in order with symbols, sizes and ratings, pressure and
//! temperature at the joints, what closes without power, where liquid can be shut in, and findings at their part.

mod flow;
mod layout;
mod marks;
mod scheme;
mod symbols;
mod tag;
mod words;

use super::cautions::{CLOSING, CLOSING_IN_FIGURE};
use super::plot::{Anchor, Canvas, Figure, Plot, STYLE, cut};
use crate::audit::{Audit, Solution};
use flow::Look;
use marks::Marks;

/// Tallest column of a page: two side by side leave room for the findings on the first sheet.
const ON_PAGE: f64 = 760.0;
/// Tallest column of a file, which has the sheet to itself.
const IN_FILE: f64 = 1250.0;
/// Room between columns in a file.
const GAP: f64 = 28.0;
/// Colours of a file: ink on paper, whatever the screen, and known to programs that know no variables.
const INK: [(&str, &str); 5] = [
    ("--ink", "#000"),
    ("--faint", "#333"),
    ("--paper", "#fff"),
    ("--rule", "#777"),
    ("--danger", "#000"),
];

/// The diagram drawn, with its words.
struct Drawn {
    columns: Vec<Canvas>,
    /// Which duty, with words before it; empty without one.
    at: String,
    description: String,
}

fn drawn(solution: &Solution<'_>, audit: &Audit, alone: bool) -> Drawn {
    let marks = Marks::of(audit, &solution.rig.train);
    let mut scheme = scheme::scheme(solution, audit, &marks);
    let at = scheme
        .duty
        .map_or_else(String::new, |duty| format!(" at {duty}"));
    let parts = match solution.rig.train.parts().len() {
        0 => "no part".to_owned(),
        1 => "1 part".to_owned(),
        n => format!("{n} parts"),
    };
    let legend = if alone { marks.legend() } else { Vec::new() };
    let tallest = if alone {
        let title = format!("{}: line diagram of the train{at}", solution.rig.name);
        scheme.head.insert(0, (Look::Name, title));
        IN_FILE
    } else {
        ON_PAGE
    };
    Drawn {
        at,
        description: format!(
            "The fuel train from the supply at the top to the burner at the bottom, {parts}, each with its symbol, \
             size and rating, pressure and temperature behind it, and what it does without power. {} Numbers are those \
             of the list of findings; the tables of the train have the figures.",
            marks.told()
        ),
        columns: layout::columns(scheme, legend, tallest),
    }
}

/// Figures of a page: one, or as many as its columns make.
pub fn plots(solution: &Solution<'_>, audit: &Audit) -> Vec<Plot> {
    let drawn = drawn(solution, audit, false);
    let n = drawn.columns.len();
    let plot = |(i, column): (usize, Canvas)| {
        let title = format!("Line diagram of the train{}", drawn.at);
        let title = match n {
            1 => title,
            _ => format!("{title}, {} of {n}", i + 1),
        };
        Plot::new(title, drawn.description.as_str(), Figure::Drawing(column))
    };
    drawn.columns.into_iter().enumerate().map(plot).collect()
}

/// A file of its own, to be handed over: `from` names the rig file it was made of.
pub fn file(solution: &Solution<'_>, audit: &Audit, from: &str) -> String {
    let drawn = drawn(solution, audit, true);
    let mut canvas = Canvas::beside(&drawn.columns, GAP);
    let title = format!(
        "{}: line diagram of the train{}",
        solution.rig.name, drawn.at
    );
    signatures(&mut canvas);
    canvas.foot(&[&cut(from, canvas.width - 4.0)]);
    canvas.foot(&CLOSING_IN_FIGURE);
    let mut style = STYLE.to_owned();
    for (name, colour) in INK {
        style = style.replace(&format!("var({name})"), colour);
    }
    // never smaller than it can be read, and whole on a sheet
    let across = canvas.width;
    let style = format!(
        "<style>{style}.plot{{background:#fff;min-width:{across}px;max-width:{}px;margin:auto}}\
         @media print{{.plot{{max-width:none;min-width:0;height:100%}}}}</style>",
        2.0 * across
    );
    let description = format!("{} {CLOSING}", drawn.description);
    canvas.element(&title, &description, "diagram", &style) + "\n"
}

/// Lines for whoever reviews it.
fn signatures(c: &mut Canvas) {
    let base = c.height + 22.0;
    for (x, to, word) in [
        (2.0, 158.0, "Reviewed by"),
        (166.0, 262.0, "Licence"),
        (270.0, 358.0, "Date"),
    ] {
        c.line("axis", (x, base), (to, base));
        c.text("m fact", (x, base + 11.0), Anchor::Start, word);
    }
    c.height = base + 18.0;
}
