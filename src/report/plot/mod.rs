//! Figures as plain data, and as SVG: what is drawn, its axes, its words.
//!
//! A figure is 360 units wide, so that it reads on a phone and two stand side by side on a page. Colours
//! are those of the Okabe-Ito set, told apart by dash and marker too; they come from a style sheet that
//! knows light, dark and paper.

mod draw;
mod holes;
mod labels;
mod lines;
mod rows;
mod ruler;
mod scale;

use super::Table;
use super::cautions::{CLOSING, CLOSING_IN_FIGURE};
use crate::quantity::Kind;
use crate::quantity::show::Units;
pub use draw::{Anchor, Canvas, TEXT, WIDTH, broken, cut, escaped, number, width};

/// Style of the figures; it goes once into a page, or into a file of its own.
pub const STYLE: &str = include_str!("plot.css");

/// A figure in a file of its own is shown whole: a window that is wider than high must not cut off its axis
/// and caution.
const STYLE_ALONE: &str = ".plot{width:100%;height:100%}";

/// A figure with its words.
#[derive(Debug, Clone, PartialEq)]
pub struct Plot {
    /// What it shows: its caption.
    pub title: String,
    /// What a reader who cannot see it must know.
    pub description: String,
    /// What is drawn.
    pub figure: Figure,
    /// Its figures, where no table of the section has them.
    pub table: Option<Table>,
}

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Figure {
    /// Lines over an axis.
    Lines(Lines),
    /// Values from place to place, top down.
    Walk(Walk),
    /// Bars, one below the other.
    Bars(Bars),
    /// Holes of a ring or bar with the flow of each.
    Holes(Holes),
    /// Distances from several places on one axis.
    Ruler(Ruler),
    /// Drawn elsewhere, in the units of the answer.
    Drawing(Canvas),
}

/// An axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// What it measures, without unit.
    pub label: String,
    /// Its quantity, in SI units; `None` for a plain number.
    pub kind: Option<Kind>,
    /// Whether it begins at zero.
    pub from_zero: bool,
}

impl Axis {
    /// An axis of a quantity.
    pub fn of(label: impl Into<String>, kind: Kind) -> Self {
        Self {
            label: label.into(),
            kind: Some(kind),
            from_zero: false,
        }
    }
    /// An axis of a plain number.
    pub fn plain(label: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            kind: None,
            from_zero: false,
        }
    }
    /// Which begins at zero.
    #[must_use]
    pub fn with_zero(mut self) -> Self {
        self.from_zero = true;
        self
    }
}

/// Lines over an axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Lines {
    /// Across.
    pub x: Axis,
    /// Up.
    pub y: Axis,
    /// The lines.
    pub series: Vec<Series>,
    /// Single points with a name.
    pub points: Vec<Point>,
    /// Values of `y` that matter.
    pub limits: Vec<Limit>,
}

/// A line.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Name.
    pub name: String,
    /// Points in order of `x`; a `y` that is not a number breaks the line.
    pub points: Vec<(f64, f64)>,
}

/// A point with a name.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Where.
    pub at: (f64, f64),
    /// Name.
    pub label: String,
}

/// A value that matters.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Value.
    pub at: f64,
    /// What it is.
    pub label: String,
}

/// Values from place to place.
#[derive(Debug, Clone, PartialEq)]
pub struct Walk {
    /// Places, in order.
    pub places: Vec<String>,
    /// Across.
    pub x: Axis,
    /// One walk each, with a value for every place that has one.
    pub walks: Vec<(String, Vec<Option<f64>>)>,
    /// Values that matter.
    pub limits: Vec<Limit>,
}

/// Bars, one below the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Bars {
    /// Across. Where it does not begin at zero, points stand for bars.
    pub x: Axis,
    /// The bars.
    pub bars: Vec<Bar>,
    /// Values that matter.
    pub limits: Vec<Limit>,
}

/// A bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// Name.
    pub name: String,
    /// Value.
    pub value: f64,
    /// Lowest and highest value it may have.
    pub band: Option<(f64, f64)>,
    /// What it belongs to; bars of a group have one colour.
    pub group: Option<String>,
}

/// Holes of a ring or bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Holes {
    /// Where each is, as a share of the centre line, and its flow over the mean.
    pub holes: Vec<(f64, f64)>,
    /// Where the tube is fed, as a share of its centre line.
    pub feeds: Vec<f64>,
    /// Whether the ends meet.
    pub ring: bool,
}

/// Distances from several places on one axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Ruler {
    /// What is measured from, with what reaches from there and what stands there.
    pub from: Vec<(String, Vec<Reach>)>,
    /// Who stands how far off, m: drawn through all of it.
    pub people: Vec<(String, f64)>,
}

/// How far something reaches or stands, m.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// What.
    pub name: String,
    /// What it is in a word; empty: no more than a shade of another.
    pub word: &'static str,
    /// Whether it stands there; else it reaches from the place to there.
    pub stands: bool,
    /// Where it begins, if it stands somewhere between two distances.
    pub least: f64,
    /// Best estimate.
    pub likely: f64,
    /// At most.
    pub most: f64,
}

impl Reach {
    /// What reaches from the place.
    pub fn to(name: impl Into<String>, word: &'static str, likely: f64, most: f64) -> Self {
        Self {
            name: name.into(),
            word,
            stands: false,
            least: likely,
            likely,
            most,
        }
    }

    /// How far it reaches, at most; not at all if it stands there.
    pub fn reaches(&self) -> f64 {
        if self.stands { 0.0 } else { self.most }
    }

    /// What stands between two distances.
    pub fn between(name: impl Into<String>, least: f64, most: f64) -> Self {
        Self {
            name: name.into(),
            word: "",
            stands: true,
            least,
            likely: most,
            most,
        }
    }
}

impl Plot {
    /// A figure whose table stands beside it.
    pub fn new(title: impl Into<String>, description: impl Into<String>, figure: Figure) -> Self {
        Self {
            title: title.into(),
            description: description.into(),
            figure,
            table: None,
        }
    }

    /// With a table of its own.
    #[must_use]
    pub fn with_table(mut self, table: Table) -> Self {
        self.table = Some(table);
        self
    }

    /// Whether there is nothing to draw.
    pub fn is_empty(&self) -> bool {
        match &self.figure {
            Figure::Lines(f) => f.series.iter().all(|s| s.points.len() < 2),
            Figure::Walk(f) => f.places.len() < 2 || f.walks.is_empty(),
            Figure::Bars(f) => f.bars.is_empty(),
            Figure::Holes(f) => f.holes.is_empty(),
            Figure::Ruler(f) => f.from.is_empty(),
            Figure::Drawing(_) => false,
        }
    }

    /// The figure as an SVG element for a page that has [`STYLE`]; `id` names its title and description.
    pub fn svg(&self, units: Units, id: &str) -> String {
        self.canvas(units)
            .element(&self.title, &self.description, id, "")
    }

    /// The figure as an SVG file of its own, which takes its closing caution along.
    pub fn svg_file(&self, units: Units) -> String {
        let style = format!("<style>{STYLE}{STYLE_ALONE}</style>");
        let mut canvas = self.canvas(units);
        canvas.caption(&self.title);
        canvas.foot(&CLOSING_IN_FIGURE);
        let description = format!("{} {CLOSING}", self.description);
        canvas.element(&self.title, &description, "plot", &style) + "\n"
    }

    fn canvas(&self, units: Units) -> Canvas {
        match &self.figure {
            Figure::Lines(f) => lines::draw(f, units),
            Figure::Walk(f) => rows::walk(f, units),
            Figure::Bars(f) => rows::bars(f, units),
            Figure::Holes(f) => holes::draw(f),
            Figure::Ruler(f) => ruler::draw(f, units),
            Figure::Drawing(drawn) => drawn.clone(),
        }
    }
}

#[cfg(test)]
mod tests;
