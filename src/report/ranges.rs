//! What sizes and settings of a train would do, and what is sold of them.

use super::Report;
use super::record::{record, table_of};
use crate::quantity::Kind;

/// Heading of the ranges.
pub const RANGES: &str = "Sizes and settings that would do";

/// What would do of one size or setting.
#[derive(Debug, Clone, PartialEq)]
pub struct Range {
    /// Key of the rig file.
    pub key: String,
    /// With which other value it goes, where it is not that of the file.
    pub with: Option<String>,
    /// What is written.
    pub have: String,
    /// Whether that would do.
    pub does: bool,
    /// What would do, in words; `None`: nothing that was tried.
    pub would_do: Option<String>,
    /// Quantity, and least and most that would do, SI; an end that was not found is left out.
    pub kind: Kind,
    /// Least.
    pub least: Option<f64>,
    /// Most.
    pub most: Option<f64>,
    /// Parts of the catalogue inside it.
    pub catalogue: Vec<String>,
    /// Ids of rules that must give way: they find something at every value of the range.
    pub gives_way: Vec<String>,
}

record! {
    /// What sizes and settings would do.
    Ranges(ranges: &[Range]) {
        ranges: Rows(OneRange) = ranges.iter().map(OneRange::row).collect::<Vec<_>>();
    }

    /// A size or setting.
    OneRange(r: &Range)
    with {
        key = r.key.trim_start_matches("train.");
        named = match &r.with {
            Some(with) => format!("{key}, {with}"),
            None => key.to_owned(),
        };
        have = if r.does || r.with.is_some() { r.have.clone() } else { format!("{}: no", r.have) };
        sold = in_words(&r.catalogue);
    }
    {
        (what): Text = named, "size or setting";
        /// Key of the rig file.
        key: Text = &r.key;
        /// Other value that goes with it, where it is not that of the file.
        with: Text = r.with.as_deref();
        /// What is written.
        have: Text = &r.have;
        (yours): Text = have, "you have";
        /// Whether that would do.
        does: Flag = r.does;
        /// What would do, in words.
        would_do: Text = r.would_do.as_deref(), "would do";
        /// Least that would do, SI, a pressure by gauge; null where no end was found.
        least: Number = r.least;
        /// Most that would do.
        most: Number = r.most;
        /// Unit of both.
        unit: Text = r.kind.si_unit();
        (sold): Text = sold, "catalogue";
        /// Parts of the catalogue inside it.
        catalogue: Texts = r.catalogue.clone();
        /// Rules that find something at every value of the range: what they ask must give way.
        gives_way: Texts = r.gives_way.clone();
        (way): Text = (!r.gives_way.is_empty()).then(|| r.gives_way.join(" ")), "must give way";
    }
}

/// Parts of the catalogue by what is particular in their names: the first and the last of them.
fn in_words(parts: &[String]) -> Option<String> {
    // `metering-valve-kv0.25`, `tube-8x1-copper`: what it is comes before the first digit's word
    let short = |name: &str| {
        let digit = name.find(|c: char| c.is_ascii_digit()).unwrap_or(0);
        let begin = name[..digit].rfind('-').map_or(0, |i| i + 1);
        name[begin..].to_owned()
    };
    match parts {
        [] => None,
        [one] => Some(short(one)),
        [first, .., last] => Some(format!("{} to {}", short(first), short(last))),
    }
}

/// Adds the ranges.
pub fn ranges(report: &mut Report, found: &[Range]) {
    let row = Ranges::row(found);
    let columns = ["what", "yours", "would_do", "sold", "way"];
    report.table(RANGES, table_of(row.rows("ranges"), &columns));
    report.remark("Each range was found by auditing the rig with other values, everything else as it is: all duties, the coldest day, and the run to its end. Two changed together have other ranges. Where rules must give way no value clears all of them at once; a DANGER or WARNING that the rig has not yet never gives way. `fuelwright rules ID` tells what they ask.");
    report.keys(&row);
}
