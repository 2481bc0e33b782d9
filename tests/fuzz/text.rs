//! Changes to the text of a file.

use super::trip::Draw;

const UNITS: [&str; 16] = [
    "mm", "m", "bar(g)", "bar(a)", "mbar(g)", "psi(a)", "degC", "K", "g/s", "kg/h", "kW", "%", "L",
    "s", "bar", "",
];
// `nan` and not `NaN`, `Infinity` and not `inf`: what a message repeats is known from what was worked out
const NUMBERS: [&str; 14] = [
    "0",
    "-1",
    "1e-9",
    "1e9",
    "1e308",
    "0.5",
    "1",
    "2",
    "17",
    "1000",
    "nan",
    "Infinity",
    "-0",
    "99999999999999999999",
];
const SIGNS: [char; 12] = [
    '"', '[', ']', '=', 'x', '9', 'é', '\u{0}', '.', '-', '\u{1b}', '\u{202e}',
];

/// A text with one change: a line gone, doubled, moved, foreign or spoilt, the end gone, another number or unit. Half
/// the changes scale a number: most of those files are whole.
pub(crate) fn mutated(text: &str, other: &str, draw: &mut Draw) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let values = places(&lines);
    if values.is_empty() {
        return text.to_owned();
    }
    let at = *draw.one_of(&values);
    match draw.below(18) {
        0 => {
            lines.remove(at);
        }
        1 => {
            let again = lines[at].clone();
            lines.insert(draw.below(lines.len()), again);
        }
        2 => lines.swap(at, *draw.one_of(&values)),
        3 | 4 => lines[at] = with_number(&lines[at], *draw.one_of(&NUMBERS)),
        5 => lines[at] = with_unit(&lines[at], *draw.one_of(&UNITS)),
        6 => {
            let foreign: Vec<&str> = other.lines().filter(|l| l.contains(" = ")).collect();
            if !foreign.is_empty() {
                (*draw.one_of(&foreign)).clone_into(&mut lines[at]);
            }
        }
        7 => {
            let mut letters: Vec<char> = lines[at].chars().collect();
            let place = draw.below(letters.len());
            letters[place] = *draw.one_of(&SIGNS);
            lines[at] = letters.into_iter().collect();
        }
        8 => lines.truncate(draw.below(lines.len())),
        _ => lines[at] = scaled(&lines[at], draw),
    }
    lines.join("\n")
}

/// The lines that give a key a value.
fn places(lines: &[String]) -> Vec<usize> {
    (0..lines.len())
        .filter(|i| lines[*i].contains(" = "))
        .collect()
}

/// The line with its first number replaced.
pub(crate) fn with_number(line: &str, new: &str) -> String {
    let (start, end) = number(line);
    format!("{}{new}{}", &line[..start], &line[end..])
}

/// The line with its first number nudged, halved, doubled or moved by powers of ten, or its yes turned to no.
pub(crate) fn scaled(line: &str, draw: &mut Draw) -> String {
    let (start, end) = number(line);
    if start == end {
        return match line.split_once("true") {
            Some((key, rest)) => format!("{key}false{rest}"),
            None => line.replacen("false", "true", 1),
        };
    }
    let value: f64 = line[start..end].parse().unwrap_or(1.0);
    let factor = draw.one_of(&[
        1e-4, 1e-2, 0.1, 0.3, 0.5, 0.7, 0.9, 0.999, 1.001, 1.1, 1.4, 2.0, 3.0, 10.0, 100.0, 1e4,
    ]);
    with_number(line, &(value * factor).to_string())
}

/// The line with another unit behind its first number.
fn with_unit(line: &str, unit: &str) -> String {
    let (_, end) = number(line);
    let tail = line[end..].find('"').map_or(line.len(), |i| end + i);
    format!("{} {unit}{}", &line[..end], &line[tail..])
}

/// Where the first number behind the `=` stands; behind the start where there is none.
fn number(line: &str) -> (usize, usize) {
    let from = line.find(" = ").map_or(0, |i| i + 3);
    let digit = |c: char| c.is_ascii_digit() || c == '.' || c == '-';
    let start = line[from..].find(digit).map_or(line.len(), |i| from + i);
    let end = line[start..]
        .find(|c: char| !digit(c))
        .map_or(line.len(), |i| start + i);
    (start, end)
}

/// A fuel file of the program under the name `mine`, as a user would begin one.
pub(crate) fn as_ones_own(text: &str) -> String {
    let kept = text.lines().filter(|l| !l.starts_with("synonyms"));
    let line = |l: &str| {
        let name = l.starts_with("name = ");
        (if name { "name = \"mine\"" } else { l }).to_owned()
    };
    kept.map(line).collect::<Vec<_>>().join("\n")
}
