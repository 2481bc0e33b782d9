//! SVG elements as text.

use crate::quantity::printable::printable;
use std::fmt::Write;
use unicode_width::UnicodeWidthChar;

/// Width of a figure in its own units.
pub const WIDTH: f64 = 360.0;
/// Size of text in a figure.
pub const TEXT: f64 = 11.0;
/// How many line styles there are.
pub(super) const STYLES: usize = 6;

/// Printable text for markup: `&`, `<`, `>` and quotes as entities.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in printable(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// A coordinate to a hundredth, without zeros that say nothing.
pub fn number(x: f64) -> String {
    let rounded = (x * 100.0).round() / 100.0;
    // minus zero is zero
    format!("{}", if rounded == 0.0 { 0.0 } else { rounded })
}

/// Width of a text in a wide sans-serif face: what stands on the page may be narrower.
pub fn width(text: &str) -> f64 {
    let of = |c: char| match c {
        'i' | 'j' | 'l' | 't' | 'f' | 'r' | '.' | ',' | ':' | '\'' | '|' | '(' | ')' | ' '
        | '-' | '/' => 0.38,
        'm' | 'w' | 'M' | 'W' | '%' => 0.95,
        c if c.is_uppercase() => 0.72,
        c if c.width() == Some(2) => 1.1,
        _ => 0.62,
    };
    printable(text).chars().map(of).sum::<f64>() * TEXT
}

/// A text cut to a width, with an ellipsis.
pub fn cut(text: &str, room: f64) -> String {
    if width(text) <= room {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in printable(text).chars() {
        kept.push(c);
        if width(&kept) + TEXT > room {
            break;
        }
    }
    kept.push('…');
    kept
}

/// Breaks behind blanks and hyphens, but not between a number and its unit, and a word that is too long anywhere;
/// `width` is that of a text.
pub fn broken(text: &str, room: f64, width: impl Fn(&str) -> f64) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_inclusive([' ', '-']) {
        let number = |last: &&mut String| {
            let last = last.strip_suffix(' ').unwrap_or_default();
            last.ends_with(|c: char| c.is_ascii_digit())
        };
        match words.last_mut().filter(number) {
            Some(last) => last.push_str(word),
            None => words.push(word.to_owned()),
        }
    }
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in &words {
        if !line.is_empty() && width((line.clone() + word).trim_end()) > room {
            lines.push(std::mem::take(&mut line));
        }
        for c in word.chars() {
            if !line.is_empty() && width(&line) + width(c.encode_utf8(&mut [0; 4])) > room {
                if c == ' ' {
                    continue;
                }
                lines.push(std::mem::take(&mut line));
            }
            line.push(c);
        }
    }
    lines.push(line);
    let trimmed = lines.iter().map(|l| l.trim_end().to_owned());
    trimmed.filter(|l| !l.is_empty()).collect()
}

/// Where a text stands against its point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

/// A drawing that grows downwards.
#[derive(Debug, Clone, PartialEq)]
pub struct Canvas {
    body: String,
    top: f64,
    pub width: f64,
    pub height: f64,
}

impl Canvas {
    pub fn new(height: f64) -> Self {
        Self {
            body: String::new(),
            top: 0.0,
            width: WIDTH,
            height,
        }
    }

    /// Several side by side.
    pub fn beside(parts: &[Self], gap: f64) -> Self {
        let tallest = parts.iter().map(|p| p.height).fold(0.0, f64::max);
        let mut all = Self::new(tallest);
        all.width = -gap;
        for part in parts {
            let x = number(all.width + gap);
            all.push(&format!(
                "<g transform=\"translate({x},0)\">\n{}</g>",
                part.body
            ));
            all.width += gap + part.width;
        }
        all
    }

    /// What is drawn belongs together and has a name, which whoever points at it reads.
    pub fn group(&mut self, class: &str, title: &str, draw: impl FnOnce(&mut Self)) {
        self.push(&format!(
            r#"<g class="{class}"><title>{}</title>"#,
            escaped(title)
        ));
        draw(self);
        self.push("</g>");
    }

    pub fn path(&mut self, class: &str, d: &str) {
        self.push(&format!(r#"<path class="{class}" d="{d}"/>"#));
    }

    pub fn line(&mut self, class: &str, a: (f64, f64), b: (f64, f64)) {
        let [x1, y1, x2, y2] = [a.0, a.1, b.0, b.1].map(number);
        self.push(&format!(
            r#"<line class="{class}" x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"/>"#
        ));
    }

    pub fn rect(&mut self, class: &str, at: (f64, f64), size: (f64, f64)) {
        let [x, y, w, h] = [at.0, at.1, size.0.max(0.0), size.1.max(0.0)].map(number);
        self.push(&format!(
            r#"<rect class="{class}" x="{x}" y="{y}" width="{w}" height="{h}"/>"#
        ));
    }

    pub fn circle(&mut self, class: &str, at: (f64, f64), r: f64) {
        let [x, y, r] = [at.0, at.1, r].map(number);
        self.push(&format!(
            r#"<circle class="{class}" cx="{x}" cy="{y}" r="{r}"/>"#
        ));
    }

    pub fn polyline(&mut self, class: &str, points: &[(f64, f64)]) {
        let points: Vec<String> = points
            .iter()
            .map(|&(x, y)| format!("{},{}", number(x), number(y)))
            .collect();
        self.push(&format!(
            r#"<polyline class="{class}" points="{}"/>"#,
            points.join(" ")
        ));
    }

    pub fn polygon(&mut self, class: &str, points: &[(f64, f64)]) {
        let points: Vec<String> = points
            .iter()
            .map(|&(x, y)| format!("{},{}", number(x), number(y)))
            .collect();
        self.push(&format!(
            r#"<polygon class="{class}" points="{}"/>"#,
            points.join(" ")
        ));
    }

    pub fn text(&mut self, class: &str, at: (f64, f64), anchor: Anchor, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "",
            Anchor::Middle => r#" text-anchor="middle""#,
            Anchor::End => r#" text-anchor="end""#,
        };
        let [x, y] = [at.0, at.1].map(number);
        self.push(&format!(
            r#"<text class="{class}" x="{x}" y="{y}"{anchor}>{}</text>"#,
            escaped(text)
        ));
    }

    /// The marker of a style: each has a shape of its own.
    pub(super) fn marker(&mut self, style: usize, at: (f64, f64)) {
        let (x, y) = at;
        let class = format!("mark f{}", style % STYLES);
        let r = 3.2;
        match style % STYLES {
            0 => self.circle(&class, at, r),
            1 => self.rect(&class, (x - 2.8, y - 2.8), (5.6, 5.6)),
            2 => self.polygon(
                &class,
                &[(x, y - 4.0), (x + 3.6, y + 2.6), (x - 3.6, y + 2.6)],
            ),
            3 => self.polygon(
                &class,
                &[(x, y - 4.0), (x + 4.0, y), (x, y + 4.0), (x - 4.0, y)],
            ),
            4 => self.polygon(
                &class,
                &[(x, y + 4.0), (x + 3.6, y - 2.6), (x - 3.6, y - 2.6)],
            ),
            _ => self.circle(&format!("mark open s{}", style % STYLES), at, r - 0.6),
        }
    }

    /// A legend from a height downwards; returns where it ends. Nothing for a single name.
    pub(super) fn legend(&mut self, names: &[&str], top: f64) -> f64 {
        if names.len() < 2 {
            return top;
        }
        let (mut x, mut y) = (2.0, top + 8.0);
        for (i, name) in names.iter().enumerate() {
            let name = cut(name, WIDTH - 40.0);
            let wide = 32.0 + width(&name) + 12.0;
            if x > 2.0 && x + wide > WIDTH {
                (x, y) = (2.0, y + 15.0);
            }
            self.line(&format!("line s{}", i % STYLES), (x, y), (x + 26.0, y));
            self.marker(i, (x + 13.0, y));
            self.text("t", (x + 31.0, y + 3.8), Anchor::Start, &name);
            x += wide;
        }
        y + 12.0
    }

    /// Makes room above for a caption, for a figure that stands alone.
    pub fn caption(&mut self, text: &str) {
        self.top = 24.0;
        let text = cut(text, self.width - 4.0);
        self.text("t caption", (2.0, -10.0), Anchor::Start, &text);
    }

    /// Makes room below for lines that a figure on its own must not lose.
    pub fn foot(&mut self, lines: &[&str]) {
        for line in lines {
            self.height += 11.0;
            let at = (2.0, self.height - 2.0);
            self.text("m small", at, Anchor::Start, line);
        }
    }

    fn push(&mut self, element: &str) {
        self.body.push_str(element);
        self.body.push('\n');
    }

    /// The whole as an SVG element with its text alternative.
    pub fn element(&self, title: &str, description: &str, id: &str, style: &str) -> String {
        let mut out = String::new();
        let [w, h, top] = [self.width, self.height + self.top, -self.top].map(number);
        let [title, description] = [title, description].map(escaped);
        // writing to a String cannot fail
        let _ = write!(
            out,
            r#"<svg class="plot" xmlns="http://www.w3.org/2000/svg" viewBox="0 {top} {w} {h}" role="img" aria-labelledby="{id}-t {id}-d">
<title id="{id}-t">{title}</title>
<desc id="{id}-d">{description}</desc>
{style}{}</svg>"#,
            self.body
        );
        out
    }
}
