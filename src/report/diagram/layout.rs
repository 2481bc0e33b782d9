//! Where everything stands: one line from supply to burner, read from the top down, cut into columns that are not
//! too long for a sheet.
//!
//! On the trunk readings stand on the left of the line and words on the right. Sources that join and branches stand
//! side by side, up to three of them, with their words below the symbols.

use super::flow::{self, Line, Look};
use super::scheme::{Glyph, Hatch, Scheme, Stop};
use super::symbols::{self, RIGHT};
use crate::report::plot::{Anchor, Canvas, WIDTH};

/// Most columns side by side.
const ABREAST: usize = 3;
/// Height of the line that columns hang on, and of the room over it for the last reading.
const HEADER: f64 = 14.0;
const OVER: f64 = 14.0;
/// By how much columns grow until they are few enough.
const STEP: f64 = 20.0;
/// Half the width of hatching.
const HATCH: f64 = 12.0;

/// The room of a column.
#[derive(Debug, Clone, Copy)]
struct Lane {
    left: f64,
    right: f64,
    axis: f64,
    /// Words on the right of a symbol and readings on its left; else both below it.
    beside: bool,
}

impl Lane {
    const TRUNK: Self = Self {
        left: 86.0,
        right: WIDTH - 1.0,
        axis: 100.0,
        beside: true,
    };

    /// One of several.
    fn of(i: usize, n: usize) -> Self {
        if n == 1 {
            return Self::TRUNK;
        }
        let wide = WIDTH / n as f64;
        let left = wide * i as f64 + 1.0;
        Self {
            left,
            right: left + wide - 3.0,
            axis: left + 14.0,
            beside: false,
        }
    }

    /// Where words begin.
    fn words(self) -> f64 {
        self.axis
            + if self.beside {
                RIGHT + 2.0
            } else {
                HATCH + 4.0
            }
    }

    fn room(self) -> f64 {
        self.right - 2.0 - self.words()
    }
}

/// A stop in its lane.
struct Set<'s, 'a> {
    stop: &'s Stop<'a>,
    lane: Lane,
    lines: Vec<Line>,
}

impl<'s, 'a> Set<'s, 'a> {
    fn of(stop: &'s Stop<'a>, lane: Lane) -> Self {
        let room = lane.room();
        let mut lines = Vec::new();
        if !stop.name.is_empty() {
            lines = flow::named(&stop.name, &stop.tags, room);
        }
        lines.extend(flow::listed(&stop.facts, room));
        for strong in &stop.strong {
            lines.extend(flow::lines(strong, room, Look::Strong));
        }
        Self { stop, lane, lines }
    }

    fn readings(&self) -> f64 {
        self.stop.reading.len() as f64 * Look::Fact.line()
    }

    fn height(&self) -> f64 {
        let symbol = symbols::height(self.stop.glyph);
        let words = flow::height(&self.lines);
        if self.lane.beside {
            // readings of two joints must not meet
            symbol.max(words + 6.0).max(self.readings())
        } else {
            symbol + words + 3.0 + self.readings() + 4.0
        }
    }

    /// Draws it with its top at a height; hatching stands behind it already.
    fn draw(&self, c: &mut Canvas, top: f64) {
        let bottom = top + self.height();
        let lane = self.lane;
        let symbol = symbols::height(self.stop.glyph);
        let middle = self.middle(top);
        symbols::draw(c, self.stop.glyph, (lane.axis, middle), top, bottom);
        let words = flow::height(&self.lines);
        let mut y = if lane.beside {
            f64::midpoint(top, bottom) - words / 2.0
        } else {
            top + symbol
        };
        for line in &self.lines {
            line.draw(c, (lane.words(), y));
            y += line.height;
        }
        if self.stop.reading.is_empty() {
            return;
        }
        let line = Look::Fact.line();
        let (mut y, x, anchor) = if lane.beside {
            (bottom - self.readings() / 2.0, lane.left - 6.0, Anchor::End)
        } else {
            (y + 3.0, lane.words(), Anchor::Start)
        };
        let joint = if lane.beside { bottom } else { y + line / 2.0 };
        c.circle("joint", (lane.axis, joint), 2.6);
        for text in &self.stop.reading {
            c.text("m fact", (x, y + 0.78 * line), anchor, text);
            y += line;
        }
    }

    fn middle(&self, top: f64) -> f64 {
        let whole = if self.lane.beside {
            self.height()
        } else {
            symbols::height(self.stop.glyph)
        };
        top + whole / 2.0
    }

    fn hatch(&self, c: &mut Canvas, top: f64) {
        let (middle, bottom) = (self.middle(top), top + self.height());
        let [before, behind] = self.stop.hatched;
        for (hatch, from, to) in [(before, top, middle), (behind, middle, bottom)] {
            let x = self.lane.axis;
            hatching(c, hatch, (x - HATCH, from), (x + HATCH, to));
        }
    }
}

/// Slanted lines in a rectangle, clipped to it: a pattern would have to be called by an address.
fn hatching(c: &mut Canvas, hatch: Option<Hatch>, from: (f64, f64), to: (f64, f64)) {
    let step = match hatch {
        Some(Hatch::Close) => 4.0,
        Some(Hatch::Wide) => 8.0,
        None => return,
    };
    // the lines x + y = k; k from a multiple, so that stretches that touch go on in one another
    let mut k = ((from.0 + from.1) / step).ceil() * step;
    while k < to.0 + to.1 {
        let x = (k - to.1).max(from.0);
        let x_end = (k - from.1).min(to.0);
        if x_end > x {
            c.line("hatch", (x, k - x), (x_end, k - x_end));
        }
        k += step;
    }
}

/// What keeps together when a column is cut.
enum Block<'a> {
    /// A line over the whole width.
    Line(Line),
    /// Stops of the trunk.
    Trunk(Vec<Stop<'a>>),
    /// Sources that join.
    Joining(Vec<Vec<Stop<'a>>>),
    /// Branches that hang on the trunk.
    Hanging(Vec<Vec<Stop<'a>>>),
    /// Branches that come from elsewhere.
    Apart(Vec<Vec<Stop<'a>>>),
}

impl Block<'_> {
    fn height(&self) -> f64 {
        match self {
            Self::Line(line) => line.height,
            Self::Trunk(stops) => tall(stops, Lane::TRUNK),
            Self::Joining(columns) => HEADER + tallest(columns),
            Self::Hanging(columns) => OVER + HEADER + tallest(columns),
            Self::Apart(columns) => 8.0 + tallest(columns),
        }
    }

    /// Whether the trunk leads into it.
    fn is_fed(&self) -> bool {
        matches!(self, Self::Trunk(_) | Self::Hanging(_))
    }

    /// Hatching of the trunk where it begins.
    fn hatched(&self) -> Option<Hatch> {
        match self {
            Self::Trunk(stops) => stops.first().and_then(|s| s.hatched[0]),
            Self::Hanging(columns) => before(columns),
            Self::Line(_) | Self::Joining(_) | Self::Apart(_) => None,
        }
    }

    fn draw(&self, c: &mut Canvas, top: f64) {
        let trunk = Lane::TRUNK.axis;
        let bottom = top + self.height();
        match self {
            Self::Line(line) => line.draw(c, (2.0, top)),
            Self::Trunk(stops) => column(c, stops, Lane::TRUNK, top, None),
            Self::Joining(columns) => {
                let last = columns.iter().find_map(|c| c.last());
                header(
                    c,
                    last.and_then(|s| s.hatched[1]),
                    columns.len(),
                    bottom - HEADER,
                );
                abreast(c, columns, top, Some(bottom - HEADER / 2.0));
                c.line("pipe", (trunk, bottom - HEADER / 2.0), (trunk, bottom));
            }
            Self::Hanging(columns) => {
                let under = top + OVER + HEADER;
                let hatch = before(columns);
                hatching(c, hatch, (trunk - HATCH, top), (trunk + HATCH, top + OVER));
                header(c, hatch, columns.len(), top + OVER);
                c.line("pipe", (trunk, top), (trunk, under - HEADER / 2.0));
                for i in 0..columns.len() {
                    let x = Lane::of(i, columns.len()).axis;
                    c.line("pipe", (x, under - HEADER / 2.0), (x, under));
                }
                abreast(c, columns, under, None);
            }
            Self::Apart(columns) => abreast(c, columns, top + 8.0, None),
        }
    }
}

/// Height of stops one below the other.
fn tall(stops: &[Stop<'_>], lane: Lane) -> f64 {
    stops.iter().map(|s| Set::of(s, lane).height()).sum()
}

/// Height of columns side by side.
fn tallest(columns: &[Vec<Stop<'_>>]) -> f64 {
    let of = |(i, stops): (usize, &Vec<Stop<'_>>)| tall(stops, Lane::of(i, columns.len()));
    columns.iter().enumerate().map(of).fold(0.0, f64::max)
}

/// The pipe across that columns and trunk meet on.
fn header(c: &mut Canvas, hatch: Option<Hatch>, n: usize, top: f64) {
    let axes = (0..n).map(|i| Lane::of(i, n).axis);
    let trunk = Lane::TRUNK.axis;
    let (from, to) = axes.fold((trunk, trunk), |(a, b), x| (a.min(x), b.max(x)));
    let y = top + HEADER / 2.0;
    hatching(c, hatch, (from - HATCH, top), (to + HATCH, top + HEADER));
    c.line("pipe", (from - 1.0, y), (to + 1.0, y));
}

fn abreast(c: &mut Canvas, columns: &[Vec<Stop<'_>>], top: f64, down_to: Option<f64>) {
    for (i, stops) in columns.iter().enumerate() {
        column(c, stops, Lane::of(i, columns.len()), top, down_to);
    }
}

/// Stops one below the other, with the line led on where it has to reach further down.
fn column(c: &mut Canvas, stops: &[Stop<'_>], lane: Lane, top: f64, down_to: Option<f64>) {
    let mut placed: Vec<(f64, Set<'_, '_>)> = Vec::new();
    let mut y = top;
    for stop in stops {
        let set = Set::of(stop, lane);
        let next = y + set.height();
        placed.push((y, set));
        y = next;
    }
    for (top, set) in &placed {
        set.hatch(c, *top);
    }
    if let Some(end) = down_to {
        c.line("pipe", (lane.axis, y), (lane.axis, end));
    }
    for (top, set) in &placed {
        if set.stop.name.is_empty() {
            set.draw(c, *top);
        } else {
            c.group("stop", &set.stop.name, |c| set.draw(c, *top));
        }
    }
    for row in placed.chunk_by(|a, b| a.1.stop.alike == b.1.stop.alike) {
        if let (Some((from, first)), Some((last, set))) = (row.first(), row.last())
            && first.stop.alike
        {
            let size = (lane.right - lane.left, last + set.height() - from - 2.0);
            c.rect("frame", (lane.left, from + 1.0), size);
        }
    }
}

/// The columns of the diagram, each a drawing of its own, as few as `tallest` lets them be; with a legend
/// about as tall as one another.
pub(super) fn columns(scheme: Scheme<'_>, legend: Vec<Line>, tallest: f64) -> Vec<Canvas> {
    let mut letters = Letters::default();
    let legend_stands_beside = legend.is_empty();
    let blocks = blocks(scheme, legend, &mut letters);
    let heights: Vec<f64> = blocks.iter().map(Block::height).collect();
    let whole: f64 = heights.iter().sum();
    let few = |n: &usize| whole / *n as f64 <= tallest;
    let least = (1..=heights.len()).find(few).unwrap_or(1);
    // beside a list of findings the last column is left short for them
    let open = legend_stands_beside.then_some(tallest);
    let grown = (0..40).map(|i| whole / least as f64 + STEP * f64::from(i));
    let fits = |most: &f64| cuts(&heights, *most).len() < least;
    let even = grown.into_iter().find(fits).unwrap_or(tallest);
    let cuts = cuts(&heights, open.unwrap_or(even));
    let mut all: Vec<Vec<Block<'_>>> = vec![Vec::new()];
    for (i, block) in blocks.into_iter().enumerate() {
        if cuts.contains(&i) {
            let mut next = Vec::new();
            if let (true, Some(last)) = (block.is_fed(), all.last_mut()) {
                let (letter, hatch) = (letters.take(), block.hatched());
                last.push(Block::Trunk(vec![link(Glyph::On, &letter, hatch)]));
                next.push(Block::Trunk(vec![link(Glyph::From, &letter, hatch)]));
            }
            all.push(next);
        }
        if let Some(last) = all.last_mut() {
            last.push(block);
        }
    }
    all.into_iter().map(drawn).collect()
}

/// Blocks that begin a new column, where none but a block alone is taller than `most`.
fn cuts(heights: &[f64], most: f64) -> Vec<usize> {
    let mut tall = 0.0;
    let mut cuts = Vec::new();
    for (i, height) in heights.iter().enumerate() {
        if tall > 0.0 && tall + height > most {
            cuts.push(i);
            tall = 0.0;
        }
        tall += height;
    }
    cuts
}

fn drawn(blocks: Vec<Block<'_>>) -> Canvas {
    let mut joined: Vec<Block<'_>> = Vec::new();
    for block in blocks {
        match (joined.last_mut(), block) {
            (Some(Block::Trunk(stops)), Block::Trunk(more)) => stops.extend(more),
            (_, block) => joined.push(block),
        }
    }
    let mut c = Canvas::new(0.0);
    let mut y = 4.0;
    for block in joined {
        block.draw(&mut c, y);
        y += block.height();
    }
    c.height = y + 4.0;
    c
}

/// Letters by which a line is found again.
#[derive(Default)]
struct Letters(u8);

impl Letters {
    fn take(&mut self) -> String {
        let letter = char::from(b'A' + self.0 % 26);
        let round = self.0 / 26;
        self.0 = self.0.saturating_add(1);
        match round {
            0 => letter.to_string(),
            n => format!("{letter}{n}"),
        }
    }
}

fn link<'a>(glyph: Glyph<'a>, letter: &str, hatch: Option<Hatch>) -> Stop<'a> {
    let word = match glyph {
        Glyph::On => "to",
        Glyph::From => "from",
        _ => "also to",
    };
    let mut stop = Stop::new(glyph, "");
    stop.strong = vec![format!("{word} {letter}")];
    stop.hatched = [hatch; 2];
    stop
}

fn blocks<'a>(scheme: Scheme<'a>, legend: Vec<Line>, letters: &mut Letters) -> Vec<Block<'a>> {
    let mut blocks = Vec::new();
    for (look, text) in &scheme.head {
        let lines = flow::lines(text, WIDTH - 4.0, *look);
        blocks.extend(lines.into_iter().map(Block::Line));
    }
    blocks.push(Block::Line(Line::gap(6.0)));
    let mut sources = scheme.sources;
    if (1..=ABREAST).contains(&sources.len()) {
        blocks.push(Block::Joining(sources));
    } else if !sources.is_empty() {
        let letter = letters.take();
        for stops in &mut sources {
            stops.push(link(Glyph::On, &letter, None));
        }
        blocks.extend(rows(sources));
        blocks.push(Block::Trunk(vec![link(Glyph::From, &letter, None)]));
    }
    blocks.extend(scheme.trunk.into_iter().map(|s| Block::Trunk(vec![s])));
    let mut hanging = scheme.branches;
    let mut apart = Vec::new();
    if hanging.len() > ABREAST {
        let letter = letters.take();
        apart = hanging.split_off(ABREAST);
        let hatch = before(&hanging);
        for stops in &mut apart {
            stops.insert(0, link(Glyph::From, &letter, hatch));
        }
        blocks.push(Block::Trunk(vec![link(Glyph::Words, &letter, hatch)]));
    }
    let mut known: Vec<Option<String>> = Vec::new();
    for (from, mut stops) in scheme.twigs {
        let hatch = stops.first().and_then(|s| s.hatched[0]);
        known.resize(known.len().max(from + 1), None);
        let known = &mut known[from];
        let letter = known.clone().unwrap_or_else(|| letters.take());
        if known.is_none() {
            let n = hanging.len();
            let parent = hanging
                .get_mut(from)
                .or(apart.get_mut(from.saturating_sub(n)));
            if let Some(parent) = parent {
                parent.push(link(Glyph::On, &letter, hatch));
            }
        }
        stops.insert(0, link(Glyph::From, &letter, hatch));
        *known = Some(letter);
        apart.push(stops);
    }
    if !hanging.is_empty() {
        blocks.push(Block::Hanging(hanging));
    }
    blocks.extend(rows(apart));
    blocks.push(Block::Line(Line::gap(6.0)));
    blocks.extend(legend.into_iter().map(Block::Line));
    blocks
}

/// Hatching at the head of branches.
fn before(columns: &[Vec<Stop<'_>>]) -> Option<Hatch> {
    let first = columns.iter().find_map(|c| c.first());
    first.and_then(|s| s.hatched[0])
}

/// Columns in rows of as many as there is room for.
fn rows(mut columns: Vec<Vec<Stop<'_>>>) -> Vec<Block<'_>> {
    let mut rows = Vec::new();
    while !columns.is_empty() {
        let rest = columns.split_off(columns.len().min(ABREAST));
        rows.push(Block::Apart(columns));
        columns = rest;
    }
    rows
}
