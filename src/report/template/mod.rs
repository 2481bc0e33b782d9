//! A drilling template as an SVG sheet at true scale: one unit of the drawing is one millimetre on paper.

use super::plot::escaped;
use super::text::wrap;
use crate::injector::template::{HoleLayout, Strip, TAB_M, TemplateError, TubeHoles, unroll};
use crate::quantity::metres;
use std::f64::consts::TAU;
use std::fmt::Write;

/// Room that printers leave blank at the edges, mm.
const MARGIN: f64 = 12.0;
/// Height of title and scale bars, mm.
const HEAD: f64 = 34.0;
/// Height of a line of the notes at the foot, mm.
const NOTE: f64 = 4.0;
/// Width of a letter of them, mm, on the wide side.
const LETTER: f64 = 1.75;
/// Room above a strip for the places of its holes, mm.
const LABELS: f64 = 7.0;
/// Room between strips, mm.
const GAP: f64 = 4.0;

/// A sheet of paper, lying.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// ISO A4.
    A4,
    /// ISO A3.
    A3,
    /// US Letter.
    Letter,
    /// US Tabloid.
    Tabloid,
}

impl Paper {
    /// Width and height, mm.
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (297.0, 210.0),
            Self::A3 => (420.0, 297.0),
            Self::Letter => (279.4, 215.9),
            Self::Tabloid => (431.8, 279.4),
        }
    }
}

/// What stands on the sheet beside the holes.
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    /// What it is for.
    pub title: String,
    /// Name of the drill.
    pub drill: String,
    /// What a reader must know, a line each.
    pub notes: Vec<String>,
}

/// The sheet, lying or standing: as it shows the ring from above too, or else in fewer strips.
///
/// # Errors
/// [`TemplateError`]: holes that cannot be, or a sheet that is too small.
pub fn sheet(tube: &TubeHoles, words: &Words, paper: Paper) -> Result<String, TemplateError> {
    let (wide, tall) = paper.size_mm();
    let mut best: Option<(Layout, String)> = None;
    let mut refused = None;
    for size in [(wide, tall), (tall, wide)] {
        match drawn(tube, words, size) {
            Ok((layout, svg)) => {
                if best.as_ref().is_none_or(|(b, _)| layout.better_than(b)) {
                    best = Some((layout, svg));
                }
            }
            Err(error) => refused = refused.or(Some(error)),
        }
    }
    match (best, refused) {
        (Some((_, svg)), _) => Ok(svg),
        (None, Some(error)) => Err(error),
        (None, None) => unreachable!("a sheet is drawn or refused"),
    }
}

/// What decides between two ways to lay a sheet.
#[derive(Clone, Copy)]
struct Layout {
    face: bool,
    strips: usize,
}

impl Layout {
    fn better_than(self, other: &Self) -> bool {
        (self.face, other.strips) > (other.face, self.strips)
    }
}

fn drawn(
    tube: &TubeHoles,
    words: &Words,
    (width, height): (f64, f64),
) -> Result<(Layout, String), TemplateError> {
    let room = width - 2.0 * MARGIN;
    let wall = unroll(tube, metres((room * 1e-3) - TAB_M))?;
    let round = wall.round.value * 1e3;
    let tall = LABELS + round + TAB_M * 1e3 + GAP;
    let letters = (20..400)
        .take_while(|n| f64::from(*n) * LETTER < room)
        .count()
        + 20;
    let notes = words.notes.iter().flat_map(|n| wrap(n, letters));
    let notes: Vec<String> = notes.collect();
    let foot = height - MARGIN - NOTE * notes.len() as f64;
    let need = MARGIN + HEAD + wall.strips.len() as f64 * tall;
    if need > foot {
        return Err(TemplateError::SheetTooSmall {
            need_width_mm: width,
            need_height_mm: need + height - foot,
            width_mm: width,
            height_mm: height,
        });
    }
    let mut s = Sheet {
        out: String::new(),
        hole: tube.hole.value * 1e3,
    };
    s.head(words);
    let mut top = MARGIN + HEAD;
    let n = wall.strips.len();
    let ring = matches!(tube.layout, HoleLayout::Ring { .. });
    for (i, strip) in wall.strips.iter().enumerate() {
        s.strip(strip, i, n, round, top + LABELS, ring);
        top += tall;
    }
    let face = s.face(tube, top, (width - MARGIN, foot));
    for (i, note) in notes.iter().enumerate() {
        s.text("t", (MARGIN, foot + NOTE * (i as f64 + 0.8)), note);
    }
    let (title, desc) = (escaped(&words.title), escaped(&described(tube, words)));
    let layout = Layout { face, strips: n };
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"fuelwright-drilling-template\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" role=\"img\" aria-labelledby=\"t d\">\n\
         <title id=\"t\">{title}</title>\n<desc id=\"d\">{desc}</desc>\n<style>{STYLE}</style>\n\
         <rect class=\"paper\" width=\"{width}\" height=\"{height}\"/>\n{}</svg>\n",
        s.out
    );
    Ok((layout, svg))
}

const STYLE: &str = ".paper{fill:#fff}text{font-family:system-ui,Arial,sans-serif;fill:#000;font-size:3px}\
.h{font-size:4.6px;font-weight:600}.s{font-size:2.3px}.m{text-anchor:middle}\
.l,.e,.c,.q,.o,.g{fill:none;stroke:#000}.l{stroke-width:.3}.e{stroke-width:.2}.c{stroke-width:.1}\
.q{stroke-width:.1;stroke-dasharray:3 1 .6 1}.o{stroke-width:.15}.g{stroke-width:.15;stroke-dasharray:1 1}.f{fill:#000}";

fn described(tube: &TubeHoles, words: &Words) -> String {
    let (what, n) = match &tube.layout {
        HoleLayout::Ring {
            diameter, holes, ..
        } => (
            format!("a ring of {} mm", short(diameter.value * 1e3)),
            holes.len(),
        ),
        HoleLayout::Bar { length, holes, .. } => (
            format!("a bar of {} mm", short(length.value * 1e3)),
            holes.len(),
        ),
    };
    format!(
        "The wall of a tube of {} mm, unrolled at true scale, for {what} with {n} holes; drill {}.",
        short(tube.tube.value * 1e3),
        words.drill
    )
}

/// Up to a hundredth, without zeros that say nothing.
fn short(x: f64) -> String {
    let text = format!("{x:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

struct Sheet {
    out: String,
    /// Diameter of the holes, mm.
    hole: f64,
}

// writing to a String cannot fail
impl Sheet {
    fn line(&mut self, class: &str, a: (f64, f64), b: (f64, f64)) {
        let _ = writeln!(
            self.out,
            r#"<line class="{class}" x1="{:.3}" y1="{:.3}" x2="{:.3}" y2="{:.3}"/>"#,
            a.0, a.1, b.0, b.1
        );
    }

    fn circle(&mut self, class: &str, at: (f64, f64), r: f64) {
        let _ = writeln!(
            self.out,
            r#"<circle class="{class}" cx="{:.3}" cy="{:.3}" r="{r:.4}"/>"#,
            at.0, at.1
        );
    }

    fn rect(&mut self, class: &str, at: (f64, f64), size: (f64, f64)) {
        let _ = writeln!(
            self.out,
            r#"<rect class="{class}" x="{:.3}" y="{:.3}" width="{:.3}" height="{:.3}"/>"#,
            at.0, at.1, size.0, size.1
        );
    }

    fn text(&mut self, class: &str, at: (f64, f64), text: &str) {
        let _ = writeln!(
            self.out,
            r#"<text class="{class}" x="{:.3}" y="{:.3}">{}</text>"#,
            at.0,
            at.1,
            escaped(text)
        );
    }

    /// Title, drill, and bars to hold a rule against.
    fn head(&mut self, words: &Words) {
        self.text("h", (MARGIN, MARGIN + 4.0), &words.title);
        self.text(
            "t",
            (MARGIN, MARGIN + 9.5),
            &format!("Drill {}", words.drill),
        );
        let y = MARGIN + 17.0;
        self.line("l", (MARGIN, y), (MARGIN + 100.0, y));
        for i in 0..=10 {
            let x = MARGIN + f64::from(i) * 10.0;
            let tall = if i % 5 == 0 { 3.0 } else { 1.8 };
            self.line("l", (x, y - tall), (x, y));
        }
        self.text(
            "s",
            (MARGIN + 102.0, y - 1.0),
            "100 mm: print at 100 %, not fitted to the page,",
        );
        self.text(
            "s",
            (MARGIN + 102.0, y + 2.0),
            "and measure this bar before you mark anything",
        );
        let y = y + 9.0;
        self.line("l", (MARGIN, y), (MARGIN + 76.2, y));
        for i in 0..=3 {
            let x = MARGIN + f64::from(i) * 25.4;
            self.line("l", (x, y - 3.0), (x, y));
        }
        self.text("s", (MARGIN + 78.0, y), "3 in");
        self.text(
            "s",
            (MARGIN + 102.0, y),
            "flow-test the part; local codes and licensed gas practice decide",
        );
    }

    fn hole_at(&mut self, at: (f64, f64)) {
        let arm = (self.hole * 0.5 + 1.5).max(2.5);
        self.line("c", (at.0 - arm, at.1), (at.0 + arm, at.1));
        self.line("c", (at.0, at.1 - arm), (at.0, at.1 + arm));
        self.circle("o", at, self.hole / 2.0);
    }

    /// One strip with its hole line in the middle and a tab to glue round the tube.
    fn strip(&mut self, strip: &Strip, i: usize, n: usize, round: f64, top: f64, ring: bool) {
        let (from, to) = (strip.from.value * 1e3, strip.to.value * 1e3);
        let long = to - from;
        let x = |s: f64| MARGIN + s - from;
        let middle = top + round / 2.0;
        self.rect("l", (MARGIN, top), (long, round));
        self.rect("g", (MARGIN, top + round), (long, TAB_M * 1e3));
        let tab = if long > 90.0 {
            "tab: glue under the other long edge; the two full lines must meet on the tube"
        } else {
            "tab"
        };
        self.text("s", (MARGIN + 1.0, top + round + 3.8), tab);
        if n > 1 {
            if i + 1 < n {
                self.rect("g", (x(to), top), (TAB_M * 1e3, round));
            }
            let letter =
                |k: usize| char::from(b'A' + u8::try_from(k % 26).unwrap_or(0)).to_string();
            if i > 0 {
                self.text("s", (MARGIN + 0.8, top + 3.0), &letter(i - 1));
            }
            if i + 1 < n {
                self.text("s", (x(to) - 2.6, top + 3.0), &letter(i));
                self.text("s", (x(to) + 1.0, top + 3.0), &letter(i));
            } else if ring {
                self.text("s", (x(to) - 6.5, top + 3.0), "start");
            }
        }
        self.line("e", (MARGIN, middle), (x(to), middle));
        for share in [0.25, 0.75] {
            let y = top + share * round;
            self.line("q", (MARGIN, y), (x(to), y));
        }
        for feed in &strip.feeds {
            let x = x(feed.value * 1e3);
            self.line("l", (x, top), (x, top + 4.0));
            self.text("s", (x + 0.6, top + round - 1.0), "feed here");
            self.line("l", (x, top + round - 4.0), (x, top + round));
        }
        let pitch = strip
            .marks
            .windows(2)
            .map(|w| (w[1].at.value - w[0].at.value) * 1e3)
            .fold(long, f64::min);
        // names of the lines stand between the first two holes where they fit
        let first = strip.marks.first().map_or(0.0, |m| x(m.at.value * 1e3));
        let names = if pitch > 16.0 {
            first + 3.0
        } else {
            MARGIN + 1.0
        };
        for (share, name) in [(0.25, "90 deg"), (0.5, "hole line"), (0.75, "270 deg")] {
            self.text("s", (names, top + share * round - 0.7), name);
        }
        let every = (11.0 / pitch).ceil().max(1.0);
        for mark in &strip.marks {
            let at = x(mark.at.value * 1e3);
            self.hole_at((at, middle));
            if (mark.number as f64 - 1.0) % every < 0.5 {
                self.text(
                    "s m",
                    (at, middle - (self.hole / 2.0 + 2.8).max(3.6)),
                    &mark.number.to_string(),
                );
                let place = match mark.angle {
                    Some(a) => format!("{} deg", short(a.value / TAU * 360.0)),
                    None => format!("{} mm", short(mark.at.value * 1e3)),
                };
                self.text("s m", (at, top - 1.2), &place);
            }
        }
        let span = format!("{} to {} mm along the centre line", short(from), short(to));
        self.text("s", (MARGIN, top - 4.4), &span);
    }

    /// The ring from above, where there is room: to check the angles once it is bent. Whether there is.
    fn face(&mut self, tube: &TubeHoles, top: f64, end: (f64, f64)) -> bool {
        let HoleLayout::Ring {
            diameter,
            holes,
            feeds,
        } = &tube.layout
        else {
            return false;
        };
        let (d, t) = (diameter.value * 1e3, tube.tube.value * 1e3);
        let outer = d / 2.0 + t / 2.0 + 6.0;
        let space = 3.0;
        if top + space + 2.0 * outer > end.1 || MARGIN + 2.0 * outer > end.0 {
            return false;
        }
        let middle = (MARGIN + outer, top + space + outer);
        for r in [d / 2.0 - t / 2.0, d / 2.0 + t / 2.0] {
            self.circle("l", middle, r);
        }
        self.circle("q", middle, d / 2.0);
        self.line("c", (middle.0 - 3.0, middle.1), (middle.0 + 3.0, middle.1));
        self.line("c", (middle.0, middle.1 - 3.0), (middle.0, middle.1 + 3.0));
        let at = |angle: f64, r: f64| (middle.0 + r * angle.sin(), middle.1 - r * angle.cos());
        let mut sorted: Vec<f64> = holes.iter().map(|a| a.value.rem_euclid(TAU)).collect();
        sorted.sort_by(f64::total_cmp);
        let every = sorted.len().div_ceil(60);
        for (i, a) in sorted.iter().enumerate() {
            self.line(
                "c",
                at(*a, d / 2.0 - t / 2.0 - 2.0),
                at(*a, d / 2.0 + t / 2.0 + 1.5),
            );
            self.circle("o", at(*a, d / 2.0), self.hole / 2.0);
            if i.is_multiple_of(every) {
                let (x, y) = at(*a, d / 2.0 + t / 2.0 + 3.6);
                self.text("s m", (x, y + 0.8), &(i + 1).to_string());
            }
        }
        for feed in feeds {
            self.line(
                "l",
                at(feed.value, d / 2.0 - t / 2.0 - 5.0),
                at(feed.value, d / 2.0 - t / 2.0),
            );
            let (x, y) = at(feed.value, d / 2.0 - t / 2.0 - 7.5);
            self.text("s m", (x, y + 0.8), "feed");
        }
        for (i, line) in [
            "The ring from above,",
            "to check it once it is bent:",
            "angles run clockwise",
            "from the top.",
        ]
        .into_iter()
        .enumerate()
        {
            let y = middle.1 + 3.2 * i as f64;
            self.text("s", (MARGIN + 2.0 * outer + 2.0, y), line);
        }
        true
    }
}

#[cfg(test)]
mod tests;
