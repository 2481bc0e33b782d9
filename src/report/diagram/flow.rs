//! Words of the diagram, broken into lines of a width, with marks among them.

use super::tag::Tag;
use crate::report::plot::{Anchor, Canvas, TEXT, broken, width};

/// How a text looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Look {
    /// Name of a part.
    Name,
    /// A fact about it, and what a gauge would read.
    Fact,
    /// What nobody may overlook.
    Strong,
}

impl Look {
    fn class(self) -> &'static str {
        match self {
            Self::Name => "t name",
            Self::Fact => "t fact",
            Self::Strong => "t strong",
        }
    }

    /// Height of a line.
    pub(super) fn line(self) -> f64 {
        match self {
            Self::Name => 15.0,
            Self::Fact | Self::Strong => 12.5,
        }
    }

    /// Width of a text: bold letters are wider.
    pub(super) fn width(self, text: &str) -> f64 {
        let size = match self {
            Self::Name => 12.0 * 1.14,
            Self::Fact => 10.0,
            Self::Strong => 10.0 * 1.14,
        };
        width(text) * size / TEXT
    }
}

/// Height of a line with a mark.
const TAGGED: f64 = 16.5;
/// Room of marks before words.
const INDENT: f64 = 25.0;
/// Most lines of a name; the rest is cut, and the title of the group has all of it.
const NAME_LINES: usize = 3;

/// What stands in a line.
#[derive(Debug, Clone, PartialEq)]
enum Piece {
    Text(Look, String),
    Tag(Tag),
}

/// A line: its pieces, each with its place from the left, and its height.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Line {
    pieces: Vec<(f64, Piece)>,
    pub(super) height: f64,
}

impl Line {
    fn of(look: Look, text: String) -> Self {
        Self {
            pieces: vec![(0.0, Piece::Text(look, text))],
            height: look.line(),
        }
    }

    /// Nothing but room.
    pub(super) fn gap(height: f64) -> Self {
        Self {
            pieces: Vec::new(),
            height,
        }
    }

    fn end(&self) -> f64 {
        let ends = self.pieces.iter().map(|(x, piece)| match piece {
            Piece::Text(look, text) => x + look.width(text),
            Piece::Tag(tag) => x + tag.advance(),
        });
        ends.fold(0.0, f64::max)
    }

    /// Draws it with its top left corner at a place.
    pub(super) fn draw(&self, c: &mut Canvas, (x, y): (f64, f64)) {
        for (from, piece) in &self.pieces {
            match piece {
                Piece::Text(look, text) => {
                    let at = (x + from, y + 0.78 * self.height);
                    c.text(look.class(), at, Anchor::Start, text);
                }
                Piece::Tag(tag) => {
                    tag.draw(c, (x + from + tag.advance() / 2.0, y + self.height / 2.0));
                }
            }
        }
    }
}

/// Height of lines together.
pub(super) fn height(lines: &[Line]) -> f64 {
    lines.iter().map(|l| l.height).sum()
}

/// A name with its marks behind it.
pub(super) fn named(name: &str, tags: &[Tag], room: f64) -> Vec<Line> {
    let mut broken = wrap(name, room, Look::Name);
    if broken.len() > NAME_LINES {
        broken.truncate(NAME_LINES);
        if let Some(last) = broken.last_mut() {
            while !last.is_empty() && Look::Name.width(&format!("{last}…")) > room {
                last.pop();
            }
            last.push('…');
        }
    }
    let lines = broken.into_iter().map(|text| Line::of(Look::Name, text));
    let mut lines: Vec<Line> = lines.collect();
    for tag in tags {
        let end = lines.last().map_or(f64::INFINITY, |l| l.end() + 2.0);
        let piece = Piece::Tag(*tag);
        match lines.last_mut() {
            Some(last) if end + tag.advance() <= room => last.pieces.push((end, piece)),
            _ => lines.push(Line {
                pieces: vec![(0.0, piece)],
                height: TAGGED,
            }),
        }
        if let Some(last) = lines.last_mut() {
            last.height = TAGGED;
        }
    }
    lines
}

/// A text in one look.
pub(super) fn lines(text: &str, room: f64, look: Look) -> Vec<Line> {
    let broken = wrap(text, room, look).into_iter();
    broken.map(|text| Line::of(look, text)).collect()
}

/// Facts with commas between them: none is broken that fits a line.
pub(super) fn listed(facts: &[String], room: f64) -> Vec<Line> {
    let mut broken: Vec<String> = Vec::new();
    for (i, fact) in facts.iter().enumerate() {
        let comma = if i + 1 < facts.len() { "," } else { "" };
        let joined = broken.last().map(|last| format!("{last} {fact}{comma}"));
        match (joined, broken.last_mut()) {
            (Some(joined), Some(last)) if Look::Fact.width(&joined) <= room => *last = joined,
            _ => broken.extend(wrap(&format!("{fact}{comma}"), room, Look::Fact)),
        }
    }
    let lines = broken.into_iter().map(|text| Line::of(Look::Fact, text));
    lines.collect()
}

/// A text behind a mark.
pub(super) fn tagged(tag: Tag, text: &str, room: f64) -> Vec<Line> {
    let mut all = lines(text, room - INDENT, Look::Fact);
    for piece in all.iter_mut().flat_map(|line| &mut line.pieces) {
        piece.0 += INDENT;
    }
    if let Some(first) = all.first_mut() {
        first.pieces.insert(0, (0.0, Piece::Tag(tag)));
        first.height = TAGGED;
    }
    all
}

fn wrap(text: &str, room: f64, look: Look) -> Vec<String> {
    broken(text, room, |text| look.width(text))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audit::Signal;

    #[test]
    fn no_line_is_wider_than_its_room_and_no_letter_is_lost() {
        for text in [
            "shut-off-1",
            "a name of several words that needs some lines",
            "Verschraubungsdichtungsringhalterungsbolzen",
            "m",
            "水素供給弁",
        ] {
            for room in [30.0, 60.0, 222.0] {
                let broken = wrap(text, room, Look::Name);
                let all = broken.concat().replace(' ', "");
                assert_eq!(all, text.replace(' ', ""), "{broken:?}");
                for line in &broken {
                    assert!(Look::Name.width(line) <= room, "{line} in {room}");
                }
            }
        }
    }

    #[test]
    fn a_long_name_is_cut_and_its_marks_find_room() {
        let tags = [1, 2, 12].map(|number| Tag {
            number,
            signal: Signal::Danger,
        });
        let lines = named(&"very-long-name-".repeat(9), &tags, 64.0);
        assert!(lines.iter().all(|l| l.end() <= 64.5), "{lines:?}");
        assert_eq!(lines.len(), NAME_LINES + 1);
    }
}
