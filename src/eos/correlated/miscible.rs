//! Which liquids mix, and down to which temperature.

use crate::fuel::{Part, SourceKey};
use crate::quantity::show::number;

/// Carbon atoms from which a hydrocarbon counts as kerosene or heavier.
const HEAVY_CARBONS: f64 = 9.0;
/// Share of volume below which an alcohol leaves no mark.
const TRACE: f64 = 0.02;
/// Water over ethanol, by volume, that gasoline holds at the two temperatures.
const WATER: [(f64, f64); 2] = [(0.03, 260.93), (0.05, 288.71)];
/// Lowest temperature at which ethanol stays in kerosene or diesel, K.
const ETHANOL_IN_DIESEL_K: f64 = 283.15;
/// Most methanol in gasoline, and least of a methanol fuel, by volume.
const METHANOL: (f64, f64) = (0.03, 0.51);
/// A share as it was written comes back from mole fractions within this.
const ROUNDING: f64 = 1e-9;

/// Where a liquid falls apart.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Split {
    /// Below this temperature, K.
    pub(super) below_k: f64,
    /// What leaves what.
    pub(super) what: &'static str,
    pub(super) source: SourceKey,
}

/// Shares of volume by kind.
#[derive(Default)]
struct Kinds {
    water: f64,
    methanol: f64,
    ethanol: f64,
    other_alcohol: f64,
    light: f64,
    heavy: f64,
}

impl Kinds {
    fn of(parts: &[Part], volumes: &[f64]) -> Self {
        let mut kinds = Self::default();
        for (part, share) in parts.iter().zip(volumes) {
            let g = part.fuel.groups.unwrap_or_default();
            let kind = if g.h2o > 0.0 {
                &mut kinds.water
            } else if g.ch3oh > 0.0 {
                &mut kinds.methanol
            } else if g.oh > 0.0 && part.fuel.formula.c < 2.5 {
                &mut kinds.ethanol
            } else if g.oh > 0.0 {
                &mut kinds.other_alcohol
            } else if part.fuel.formula.c < HEAVY_CARBONS {
                &mut kinds.light
            } else {
                &mut kinds.heavy
            };
            *kind += share;
        }
        kinds
    }
}

/// Where the liquid splits, if it does; or why there is no one liquid at all.
///
/// * `volumes` — shares of the parts by volume
///
/// **Source:** `ethanol-water-tolerance`, `ethanol-diesel-split`, `en228`, `astm-d5797`
pub(super) fn split(parts: &[Part], volumes: &[f64]) -> Result<Option<Split>, String> {
    let k = Kinds::of(parts, volumes);
    let alcohol = k.ethanol + k.other_alcohol;
    if k.water > 0.0 && k.heavy > 0.0 {
        return Err(
            "water does not stay dissolved in kerosene or diesel: drain it off and blend dry \
             [ethanol-diesel-split]"
                .to_owned(),
        );
    }
    if k.heavy > 0.0 && k.methanol > 0.0 {
        return Err(
            "methanol does not mix with kerosene or diesel; ethanol does above 10 °C, isopropanol mixes \
             [ethanol-diesel-split]"
                .to_owned(),
        );
    }
    let (most, least) = METHANOL;
    if k.light > 0.0
        && k.methanol > most + ROUNDING
        && k.methanol < least - ROUNDING
        && alcohol < k.methanol
    {
        return Err(format!(
            "{} % of methanol by volume separates from gasoline in the cold or with a little water; take up to \
             {} % [en228], from {} % on [astm-d5797], or as much ethanol or isopropanol beside it",
            number(100.0 * k.methanol),
            number(100.0 * most),
            number(100.0 * least)
        ));
    }
    if k.light > 0.0 && k.water > 0.0 {
        let ratio = k.water / alcohol.max(f64::MIN_POSITIVE);
        let [(dry, cold_k), (wet, warm_k)] = WATER;
        if ratio > wet {
            return Err(format!(
                "with {} % of water by volume it splits: gasoline holds about {} parts of water for each 100 of \
                 ethanol in it at 16 °C, {} at -12 °C [ethanol-water-tolerance]",
                number(100.0 * k.water),
                number(100.0 * wet),
                number(100.0 * dry)
            ));
        }
        return Ok(Some(Split {
            below_k: cold_k + (ratio - dry).max(0.0) / (wet - dry) * (warm_k - cold_k),
            what: "water takes the ethanol out of the gasoline",
            source: "ethanol-water-tolerance".to_owned(),
        }));
    }
    Ok((k.heavy > 0.0 && k.ethanol > TRACE).then(|| Split {
        below_k: ETHANOL_IN_DIESEL_K,
        what: "ethanol separates from kerosene and diesel, from a fuel of few aromatics or with a trace of water even warmer",
        source: "ethanol-diesel-split".to_owned(),
    }))
}
