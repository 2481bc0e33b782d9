//! Text of strangers on its way to a screen: what would move the cursor, colour, hide or turn the text round is
//! shown by its number, and a name without end is cut.
//!
//! Names, notes, paths and keys come from files and arguments. Terminals obey control characters (ECMA-48), and
//! bidirectional overrides show a line in another order than it is read (Unicode UAX #9): both could make an
//! answer say what the program did not. Every writer passes what it shows through [`printable`] or [`on_a_line`].

use std::borrow::Cow;
use std::fmt::Write;
use unicode_width::UnicodeWidthStr;

/// Most columns of a name in a table, a title or a message; a longer one is cut there, with an ellipsis.
pub const LONGEST_NAME: usize = 80;
/// Most columns of what a message repeats between backquotes: paths and commands are longer than names.
const LONGEST_QUOTED: usize = 200;

/// Characters that show nothing of their own: format characters, line and paragraph separators and what
/// Unicode calls default-ignorable. Control characters come on top. A test holds it to the Unicode tables.
const UNSEEN: &[(u32, u32)] = &[
    (0xad, 0xad),
    (0x34f, 0x34f),
    (0x600, 0x605),
    (0x61c, 0x61c),
    (0x6dd, 0x6dd),
    (0x70f, 0x70f),
    (0x890, 0x891),
    (0x8e2, 0x8e2),
    (0x115f, 0x1160),
    (0x17b4, 0x17b5),
    (0x180b, 0x180f),
    (0x200b, 0x200f),
    (0x2028, 0x202e),
    (0x2060, 0x206f),
    (0x3164, 0x3164),
    (0xfe00, 0xfe0f),
    (0xfeff, 0xfeff),
    (0xffa0, 0xffa0),
    (0xfff0, 0xfffb),
    (0x110bd, 0x110bd),
    (0x110cd, 0x110cd),
    (0x13430, 0x1343f),
    (0x1bca0, 0x1bca3),
    (0x1d173, 0x1d17a),
    (0xe0000, 0xe0fff),
];

/// Whether a character is shown by its number: a line feed is not.
pub fn is_unseen(c: char) -> bool {
    let code = u32::from(c);
    c != '\n'
        && (c.is_control()
            || UNSEEN
                .iter()
                .any(|(low, high)| (*low..=*high).contains(&code)))
}

/// Text whose unseen characters are shown by their number. Line feeds stay, a tab becomes four blanks.
///
/// ```
/// use fuelwright::quantity::printable::printable;
/// assert_eq!(printable("a\u{1b}[2Jb\u{202e}c\r"), r"a\u{1b}[2Jb\u{202e}c\r");
/// assert_eq!(printable("caf\u{e9}"), "caf\u{e9}");
/// ```
pub fn printable(text: &str) -> Cow<'_, str> {
    if !text.contains(is_unseen) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        match c {
            '\t' => out.push_str("    "),
            c if is_unseen(c) => out.extend(c.escape_default()),
            c => out.push(c),
        }
    }
    Cow::Owned(out)
}

/// As [`printable`], on one line: line feeds and tabs become blanks.
pub fn on_a_line(text: &str) -> Cow<'_, str> {
    if text.contains(['\n', '\t']) {
        Cow::Owned(printable(&text.replace(['\n', '\t'], " ")).into_owned())
    } else {
        printable(text)
    }
}

/// JSON whose unseen characters are written as its own escapes: it stays the same text to whoever reads it.
pub fn in_json(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    for c in json.chars() {
        if is_unseen(c) {
            for unit in c.encode_utf16(&mut [0; 2]) {
                let _ = write!(out, "\\u{unit:04x}");
            }
        } else {
            out.push(c);
        }
    }
    out
}

/// Columns that a text takes on a terminal.
pub fn columns(text: &str) -> usize {
    text.width()
}

/// A name, printable and cut to [`LONGEST_NAME`] columns.
///
/// ```
/// use fuelwright::quantity::printable::{LONGEST_NAME, columns, name};
/// assert_eq!(name("frost guard"), "frost guard");
/// let cut = name(&"frost ".repeat(700));
/// assert!(columns(&cut) <= LONGEST_NAME && cut.ends_with('…'));
/// ```
pub fn name(text: &str) -> String {
    on_a_line(&cut_name(text)).into_owned()
}

/// A name cut to the room it may take once it is shown, and otherwise as it is.
pub fn cut_name(text: &str) -> String {
    cut(text, LONGEST_NAME)
}

/// A text cut to so many columns as they will be shown, with an ellipsis for what is left out.
fn cut(text: &str, most: usize) -> String {
    if columns(&on_a_line(text)) <= most {
        return text.to_owned();
    }
    let mut used = 1;
    let fits = |c: &char| {
        used += columns(&on_a_line(c.encode_utf8(&mut [0; 4])));
        used <= most
    };
    let mut kept: String = text.chars().take_while(fits).collect();
    kept.truncate(kept.trim_end().len());
    kept.push('…');
    kept
}

/// What a message repeats of what was typed: printable on one line, and no longer than anybody reads.
pub fn repeated(text: &str) -> String {
    cut(&on_a_line(text), LONGEST_QUOTED)
}

/// A message: printable on one line, what it repeats between backquotes cut, and any word as long.
pub fn message(text: &str) -> String {
    let text = on_a_line(text);
    let quoted = text.split('`').enumerate().map(|(i, part)| {
        if i % 2 == 1 {
            return repeated(part);
        }
        let words = part.split(' ').map(repeated);
        words.collect::<Vec<_>>().join(" ")
    });
    quoted.collect::<Vec<_>>().join("`")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the Unicode character database, as the `regex` crate carries it.
    #[test]
    fn every_character_without_a_shape_is_shown_by_its_number() {
        let unseen =
            regex::Regex::new(r"^[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Default_Ignorable_Code_Point}]$")
                .expect("classes of Unicode");
        for c in ('\0'..=char::MAX).filter(|c| *c != '\n') {
            let known = unseen.is_match(c.encode_utf8(&mut [0; 4]));
            assert_eq!(is_unseen(c), known, "U+{:04X}", u32::from(c));
        }
    }

    #[test]
    fn json_reads_back_as_the_same_text() {
        let text = "a\u{1b}\u{7f}\u{9b}\u{202e}\u{e0041}\u{2028}ü\n\"";
        let json = serde_json::to_string(text).expect("a string");
        let shown = in_json(&json);
        assert!(!shown.contains(is_unseen), "{shown}");
        let back: String = serde_json::from_str(&shown).expect("still JSON");
        assert_eq!(back, text);
    }

    #[test]
    fn a_name_is_cut_by_the_room_it_takes() {
        // each of these takes two columns (Unicode UAX #11)
        let wide = "漢".repeat(4000);
        let shown = name(&wide);
        assert_eq!(shown.chars().count(), 40);
        assert!(columns(&shown) <= LONGEST_NAME && shown.ends_with('…'));
        assert_eq!(name("two\nlines\tand a tab"), "two lines and a tab");
        assert_eq!(name(&"x".repeat(LONGEST_NAME)), "x".repeat(LONGEST_NAME));
        let bells = name(&"\x07".repeat(4000));
        assert!(
            columns(&bells) <= LONGEST_NAME && bells.starts_with(r"\u{7}\u{7}"),
            "{bells}"
        );
    }

    #[test]
    fn a_message_repeats_no_more_than_is_needed() {
        let long = "x".repeat(4000);
        let said = message(&format!("there is no fuel `{long}` here"));
        assert!(
            said.starts_with("there is no fuel `xxx") && said.ends_with("…` here"),
            "{said}"
        );
        assert_eq!(said.chars().count(), LONGEST_QUOTED + 24);
        assert!(message(&long).chars().count() == LONGEST_QUOTED);
        assert_eq!(message("a `b c` d\x1b"), "a `b c` d\\u{1b}");
    }
}
