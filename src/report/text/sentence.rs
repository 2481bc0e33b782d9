//! A finding in one sentence: what is wrong, where, how far from its limit, and what to do first.

use crate::report::Finding;

/// What a short text says of a finding.
#[derive(Debug, PartialEq)]
pub(super) struct Sentence {
    /// What is wrong, and where.
    pub(super) title: String,
    /// What was measured at the worst place.
    pub(super) measured: String,
    /// Whether the limit is a figure: nothing but advice is cut then.
    pub(super) in_figures: bool,
    /// At how many places more, the limit, and the end of the sentence.
    pub(super) limit: String,
    /// What to do first.
    pub(super) advice: String,
    /// Number of the rule.
    pub(super) id: String,
}

/// The sentence of a finding.
pub(super) fn sentence(f: &Finding) -> Sentence {
    let name = f.name.replace('-', " ");
    let place = place(f);
    let measured = f.measured.split("; also at ").next().unwrap_or_default();
    let (title, measured) = if measured.to_lowercase().starts_with(&name) {
        (String::new(), capital(measured))
    } else if name.contains(&place.to_lowercase()) || measured.contains(&place) {
        (format!("{}: ", capital(&name)), measured.to_owned())
    } else {
        (
            format!("{}, {place}: ", capital(&name)),
            measured.to_owned(),
        )
    };
    let more = match f.data.places.len() {
        0 | 1 => String::new(),
        2 => ", and 1 more place".to_owned(),
        n => format!(", and {} more places", n - 1),
    };
    let in_figures = f.limit.contains(|c: char| c.is_ascii_digit());
    let limit = match f.limit.as_str() {
        "" => String::new(),
        limit if in_figures => format!("; limit {limit}"),
        limit => format!("; wanted: {limit}"),
    };
    let advice = f
        .advice
        .split_once(". ")
        .map_or(&*f.advice, |(first, _)| first);
    Sentence {
        title,
        measured,
        in_figures,
        limit: format!("{more}{limit}."),
        advice: match advice.trim_end_matches('.') {
            advice if advice.is_empty() || advice == f.limit => String::new(),
            advice => format!("{}.", capital(advice)),
        },
        id: f.id.clone(),
    }
}

/// Where it is, in words: the part, the duty, or what the key of the file says.
fn place(f: &Finding) -> String {
    let words = |key: &str| key.replace('_', " ");
    let subject = f.data.subject.as_ref().map(|s| s.replace('`', ""));
    match (f.at.split_once('.'), subject) {
        (Some(("train", part)), _) => part.to_owned(),
        (Some(("site" | "controls" | "records", key)), _) => words(key),
        (None, _) if f.at == "train" => String::new(),
        (None | Some(("duties", _)), Some(subject)) => subject,
        _ => words(&f.at).replace('.', " "),
    }
}

/// A text with its first letter as a capital.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

impl Sentence {
    /// The sentence with as much of its advice as finds room in so many lines. What was measured and its limit may
    /// take as many as `limit`; what is longer loses words of what was measured, where the limit is no figure.
    pub(super) fn within(
        &self,
        most: usize,
        limit: usize,
        lines: impl Fn(&str) -> usize,
    ) -> String {
        let of = |measured: &str, advice: &str| {
            let Self {
                title, limit, id, ..
            } = self;
            format!("{title}{measured}{limit} {advice} {id}").replace("  ", " ")
        };
        let advised = [self.advice.clone()].into_iter().chain(cuts(&self.advice));
        let mut advised = advised.map(|advice| of(&self.measured, &advice));
        if let Some(text) = advised.find(|text| lines(text) <= most) {
            return text;
        }
        let alone = of(&self.measured, "");
        if self.in_figures || lines(&alone) <= limit {
            return alone;
        }
        cuts(&self.measured)
            .map(|measured| of(&measured, ""))
            .find(|text| lines(text) <= limit)
            .unwrap_or(alone)
    }
}

/// Fewest words of a text that is cut.
const FEWEST_WORDS: usize = 3;

/// A text cut at each of its words, the longest first.
fn cuts(text: &str) -> impl Iterator<Item = String> {
    let ends: Vec<usize> = text.match_indices(' ').map(|(i, _)| i).collect();
    let ends = ends.into_iter().skip(FEWEST_WORDS - 1).rev();
    ends.map(|end| format!("{}…", text[..end].trim_end_matches([',', ';', ':'])))
}
