//! What a rig file has to say and does not: questions, and the lines to write.

use super::Lines;
use crate::audit::{Missing, essential};

/// Most lines of the questions in the verdict.
const MOST_LINES: usize = 12;
/// Letters of a line under a question with its remark, on the narrowest page.
const LINE_LETTERS: usize = 37;

/// Lines to write, each with its table and its parts: what several parts lack alike stands once.
fn to_write(missing: &[Missing]) -> Vec<(&Missing, &str, Vec<&str>)> {
    let mut lines: Vec<(&Missing, &str, Vec<&str>)> = Vec::new();
    for m in missing {
        let (table, _) = m.key.rsplit_once('.').unwrap_or(("", &m.key));
        match (table.strip_prefix("train."), lines.last_mut()) {
            (Some(part), Some((first, _, parts))) if first.example == m.example => parts.push(part),
            (Some(part), _) => lines.push((m, "train", vec![part])),
            (None, _) => lines.push((m, table, Vec::new())),
        }
    }
    lines
}

/// What the file has to say, as questions with the first lines to write: as many as find room, one at least. All of
/// them stand under a heading of their own.
pub(super) fn questions(missing: &[Missing]) -> Vec<Lines> {
    let asked: Vec<&[Missing]> = missing.chunk_by(|a, b| a.question == b.question).collect();
    let mut spare = MOST_LINES.saturating_sub(2 * asked.len());
    let groups = asked.into_iter().map(|asked| {
        let all = to_write(asked);
        let shown = all.len().min(1 + spare);
        spare -= shown - 1;
        Lines {
            above: asked[0].question.to_owned(),
            lines: all[..shown].iter().map(short).collect(),
            more: all.len() - shown,
        }
    });
    groups.collect()
}

/// The first line of what is to be written, and where it goes.
fn short((m, table, parts): &(&Missing, &str, Vec<&str>)) -> (String, String) {
    let mut lines = m.example.lines();
    let first = lines.next().unwrap_or_default().to_owned();
    let place = match parts[..] {
        [] if table.is_empty() => format!("{} lines, see below", lines.count() + 1),
        [] => format!("[{table}]"),
        [one] if first.len() + one.len() + " # ".len() <= LINE_LETTERS => one.to_owned(),
        [_] => "1 part".to_owned(),
        _ => format!("{} parts", parts.len()),
    };
    (first, place)
}

/// All lines to write, table by table, each with what goes in place of the `"?"`.
pub(super) fn all_lines(missing: &[Missing]) -> Vec<Lines> {
    let mut groups: Vec<Lines> = Vec::new();
    for (m, table, parts) in to_write(missing) {
        let above = match parts[..] {
            [] if table.is_empty() => "at the end of the file".to_owned(),
            [] => format!("in [{table}]"),
            _ => format!("in [[train]] {}", parts.join(", ")),
        };
        let remark = match m.none && m.takes != essential::YES_OR_NO {
            true if !m.takes.is_empty() => format!("{}, or \"none\"", m.takes),
            true => format!("or, at the top of the file, {} = \"none\"", m.key),
            false => m.takes.to_owned(),
        };
        let lines = m.example.lines().enumerate();
        let lines = lines.map(|(i, line)| {
            let remark = if i == 0 { remark.as_str() } else { "" };
            (line.to_owned(), remark.to_owned())
        });
        match groups.iter_mut().find(|g| g.above == above) {
            Some(group) => group.lines.extend(lines),
            None => groups.push(Lines {
                above,
                lines: lines.collect(),
                more: 0,
            }),
        }
    }
    groups
}
