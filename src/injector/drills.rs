//! Drills that can be bought, and how far a drilled hole strays from its name.

use crate::quantity::sentence::length;
use crate::quantity::told::errors;
use crate::quantity::{Length, Ratio, metres, ratio};
use serde::Deserialize;
use std::sync::LazyLock;

/// Series a drill belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum DrillSeries {
    /// Millimetres.
    Metric,
    /// Number gauge, number 97 to number 1.
    Number,
    /// Letters A to Z.
    Letter,
    /// Fractions of an inch.
    Fraction,
}

impl DrillSeries {
    /// All series.
    pub const ALL: [Self; 4] = [Self::Metric, Self::Number, Self::Letter, Self::Fraction];

    /// Word used in tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::Metric => "metric",
            Self::Number => "number",
            Self::Letter => "letter",
            Self::Fraction => "fraction",
        }
    }
}

/// How far the size of a drill in the table was checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
pub enum DrillCheck {
    /// Against a public-domain chart.
    #[serde(rename = "page-checked")]
    Chart,
    /// True by definition (fractions of an inch).
    #[serde(rename = "exact by definition")]
    Definition,
    /// From memory: look at the drill itself.
    #[serde(rename = "from memory, verify", alias = "series from memory, verify")]
    Memory,
}

/// One drill of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Drill {
    /// Name as it is ordered: `1.25 mm`, `#60`, `A`, `1/16 in`.
    pub name: String,
    /// Series.
    pub series: DrillSeries,
    /// Nominal diameter.
    pub diameter: Length,
    /// How the size was checked.
    pub check: DrillCheck,
}

/// Tolerance class of a finished hole: nothing under the nominal size, IT9 to IT13 over it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HoleTolerance {
    /// Reamed.
    H9,
    /// Reamed, or drilled with great care.
    H10,
    /// Drilled well.
    H11,
    /// Drilled: the usual result of a twist drill.
    H12,
    /// Drilled by hand.
    H13,
}

impl HoleTolerance {
    /// Name of the class.
    pub fn name(self) -> &'static str {
        match self {
            Self::H9 => "H9",
            Self::H10 => "H10",
            Self::H11 => "H11",
            Self::H12 => "H12",
            Self::H13 => "H13",
        }
    }
}

errors! {
    /// Why a drill or a tolerance could not be had.
    pub enum DrillError {
        DiameterOutOfRange { diameter_m: f64, largest_m: f64 } =>
            "no hole tolerance for a diameter of {}: the table runs above 0 and up to {} [iso286]",
            length(diameter_m).close(), length(largest_m).close();
    }
}

/// Largest diameter the tolerance table covers, m.
const LARGEST_TOLERANCED_M: f64 = 0.018;
/// Rounding that a diameter typed in another unit brings.
const ROUNDING: f64 = 1.0 + 1e-12;

/// A line of the embedded table.
#[derive(Deserialize)]
struct Line {
    system: DrillSeries,
    designation: String,
    diameter_mm: f64,
    check_status: DrillCheck,
}

/// The embedded table, by rising diameter.
static DRILLS: LazyLock<Vec<Drill>> = LazyLock::new(|| {
    let mut table = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(include_str!("drills.csv").as_bytes());
    let mut drills: Vec<Drill> = table
        .deserialize()
        .map(|line| drill(line.expect("the embedded drill table is whole, as its test shows")))
        .collect();
    drills.sort_by(|a, b| a.diameter.value.total_cmp(&b.diameter.value));
    drills
});

fn drill(line: Line) -> Drill {
    let unit = match line.system {
        DrillSeries::Metric => " mm",
        DrillSeries::Fraction => " in",
        DrillSeries::Number | DrillSeries::Letter => "",
    };
    Drill {
        name: line.designation + unit,
        series: line.system,
        diameter: metres(line.diameter_mm / 1e3),
        check: line.check_status,
    }
}

/// All drills of the table, by rising diameter.
///
/// **Valid:** 0.15 to 12.7 mm: metric 0.20 to 10 mm, number 97 to number 1, A to Z, 1/64 to 1/2 in.
/// **Source:** `iso235`; each drill says how its size was checked.
/// ```
/// use fuelwright::injector::drills::drills;
/// assert_eq!(drills().len(), 312);
/// ```
pub fn drills() -> &'static [Drill] {
    &DRILLS
}

/// The drill of a series whose diameter is nearest to an exact one.
///
/// **Valid:** any diameter; at the ends of the series the end itself is the answer.
/// **Source:** `iso235`.
/// ```
/// use fuelwright::injector::drills::{DrillSeries, nearest_drill};
/// use fuelwright::quantity::metres;
/// assert_eq!(nearest_drill(metres(0.75e-3), DrillSeries::Number).name, "#69");
/// ```
#[allow(clippy::missing_panics_doc)] // no series is empty
pub fn nearest_drill(exact: Length, series: DrillSeries) -> &'static Drill {
    drills()
        .iter()
        .filter(|d| d.series == series)
        .min_by(|a, b| {
            let off = |d: &Drill| (d.diameter.value - exact.value).abs();
            off(a).total_cmp(&off(b))
        })
        .expect("every series has drills")
}

/// Drills around an exact diameter, by rising diameter: the `each_side` nearest below and above, and
/// the nearest of each series. A drill of exactly the diameter counts as below.
///
/// **Valid:** any diameter; past the end of the table only the near side is left.
/// **Source:** `iso235`.
pub fn drills_around(exact: Length, each_side: usize) -> Vec<&'static Drill> {
    let all = drills();
    let above = all.partition_point(|d| d.diameter.value <= exact.value + 1e-9);
    let window = above.saturating_sub(each_side)..(above + each_side).min(all.len());
    let mut chosen: Vec<&Drill> = all[window].iter().collect();
    for series in DrillSeries::ALL {
        let near = nearest_drill(exact, series);
        // a nearest drill that is far away is no choice
        let close = (near.diameter.value / exact.value - 1.0).abs() < 0.1;
        if close && !chosen.contains(&near) {
            chosen.push(near);
        }
    }
    chosen.sort_by(|a, b| a.diameter.value.total_cmp(&b.diameter.value));
    chosen
}

/// Smallest and largest diameter of a hole made with a drill: the drill itself may be h8 under
/// its name, the hole its tolerance over it.
///
/// **Valid:** up to 18 mm. Drills under 1 mm follow a standard of their own (micro drills); the
/// class of 1 to 3 mm stands in for them.
/// **Source:** `iso286` (over 10 mm and IT13 from memory); that a twist drill leaves H11 to H13 is
/// common practice, no source.
///
/// # Errors
/// [`DrillError::DiameterOutOfRange`].
///
/// ```
/// use fuelwright::injector::drills::{HoleTolerance, hole_diameters};
/// use fuelwright::quantity::metres;
/// let (least, most) = hole_diameters(metres(1e-3), HoleTolerance::H12)?;
/// assert!((least.value - 0.986e-3).abs() < 1e-9 && (most.value - 1.1e-3).abs() < 1e-9);
/// # Ok::<(), fuelwright::injector::drills::DrillError>(())
/// ```
pub fn hole_diameters(
    nominal: Length,
    tolerance: HoleTolerance,
) -> Result<(Length, Length), DrillError> {
    let d_m = nominal.value;
    if !(d_m > 0.0 && d_m <= LARGEST_TOLERANCED_M * ROUNDING) {
        return Err(DrillError::DiameterOutOfRange {
            diameter_m: d_m,
            largest_m: LARGEST_TOLERANCED_M,
        });
    }
    // micrometres: IT8, then IT9 to IT13
    let row: [f64; 6] = if d_m <= 0.003 {
        [14.0, 25.0, 40.0, 60.0, 100.0, 140.0]
    } else if d_m <= 0.006 {
        [18.0, 30.0, 48.0, 75.0, 120.0, 180.0]
    } else if d_m <= 0.010 {
        [22.0, 36.0, 58.0, 90.0, 150.0, 220.0]
    } else {
        [27.0, 43.0, 70.0, 110.0, 180.0, 270.0]
    };
    let over_um = match tolerance {
        HoleTolerance::H9 => row[1],
        HoleTolerance::H10 => row[2],
        HoleTolerance::H11 => row[3],
        HoleTolerance::H12 => row[4],
        HoleTolerance::H13 => row[5],
    };
    // a reamer is no drill: its hole is not under the nominal size
    let under_um = if tolerance <= HoleTolerance::H10 {
        0.0
    } else {
        row[0]
    };
    Ok((
        metres((d_m - under_um * 1e-6).max(0.5 * d_m)),
        metres(d_m + over_um * 1e-6),
    ))
}

/// How much larger than its nominal area a hole at the top of its tolerance is.
///
/// `((d + IT)/d)² − 1`
///
/// **Valid:** as [`hole_diameters`].
/// **Source:** `iso286`.
///
/// # Errors
/// as [`hole_diameters`].
///
/// ```
/// use fuelwright::injector::drills::{HoleTolerance, area_excess};
/// use fuelwright::quantity::metres;
/// let excess = area_excess(metres(1e-3), HoleTolerance::H12)?;
/// assert!((excess.value - 0.21).abs() < 1e-9);
/// # Ok::<(), fuelwright::injector::drills::DrillError>(())
/// ```
pub fn area_excess(nominal: Length, tolerance: HoleTolerance) -> Result<Ratio, DrillError> {
    let (_, most) = hole_diameters(nominal, tolerance)?;
    Ok(ratio((most.value / nominal.value).powi(2) - 1.0))
}
