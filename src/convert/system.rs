//! The liquid system as a list of masses, for any endurance.

use super::error::ConvertError;
use super::fate::{Fate, PartFate};
use super::feed::{Band, MASS_BAND, ValvePlan, battery_for, estimated};
use super::input::ConvertInput;
use super::plan::ToLiquid;
use crate::quantity::range::in_range;
use crate::quantity::show::percent;
use crate::quantity::{FlowCoefficient, Mass, Time, kilograms};
use crate::train::catalogue::{generic_parts, metering_valves};

/// A nozzle with its holder, kg; our choice.
const NOZZLE_KG: f64 = 0.06;
/// Suction strainer, kg; our choice.
const STRAINER_KG: f64 = 0.1;
/// Hydrostatic relief valve, kg; our choice.
const RELIEF_KG: f64 = 0.08;
/// Joints of a line over the mass of its tube; our choice.
const JOINTS_OVER_TUBE: f64 = 0.3;

/// Group of a mass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MassGroup {
    /// Tank, empty.
    Tank,
    /// Fuel.
    Fuel,
    /// Pump with its motor.
    Pump,
    /// Battery.
    Battery,
    /// Lines with their joints.
    Lines,
    /// Valves, filters, reliefs.
    Valves,
    /// Nozzles.
    Nozzles,
    /// Parts of the old train that stay.
    Kept,
}

impl MassGroup {
    /// Word for tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::Tank => "tank",
            Self::Fuel => "fuel",
            Self::Pump => "pump",
            Self::Battery => "battery",
            Self::Lines => "lines",
            Self::Valves => "valves",
            Self::Nozzles => "nozzles",
            Self::Kept => "kept",
        }
    }
}

/// One mass of the liquid system.
#[derive(Debug, Clone, PartialEq)]
pub struct MassItem {
    /// Name.
    pub name: String,
    /// Group.
    pub group: MassGroup,
    /// Mass with its band; `None`: not known.
    pub mass: Option<Band<Mass>>,
    /// How it was got.
    pub how: String,
}

/// The liquid system for one endurance.
#[derive(Debug, Clone, PartialEq)]
pub struct LiquidSystem {
    /// Burning time on one filling.
    pub endurance: Time,
    /// Masses.
    pub items: Vec<MassItem>,
    /// Parts of the old train that go.
    pub goes: Vec<PartFate>,
}

impl LiquidSystem {
    /// Sum of the known masses, and the names of those that are not known.
    pub fn total(&self) -> (Band<Mass>, Vec<&str>) {
        let mut sum = [0.0; 3];
        let mut missing = Vec::new();
        for item in &self.items {
            match &item.mass {
                Some(m) => {
                    sum[0] += m.value.value;
                    sum[1] += m.low.value;
                    sum[2] += m.high.value;
                }
                None => missing.push(item.name.as_str()),
            }
        }
        let total = Band {
            value: kilograms(sum[0]),
            low: kilograms(sum[1]),
            high: kilograms(sum[2]),
        };
        (total, missing)
    }
}

fn exact(mass: Mass) -> Band<Mass> {
    Band {
        value: mass,
        low: mass,
        high: mass,
    }
}

/// A mass of the generic catalogue.
fn of_catalogue(name: &str) -> Option<f64> {
    let part = generic_parts().iter().find(|p| p.name == name)?;
    let text = part.values.get("mass")?.as_str()?;
    let mass: Mass = crate::quantity::parse::parse(text).ok()?;
    Some(mass.value)
}

/// The smallest generic metering valve that passes a flow coefficient at nine tenths of its opening.
fn generic_valve(most_kv: f64) -> Option<(String, FlowCoefficient)> {
    metering_valves()
        .into_iter()
        .find(|(_, kv)| kv.kv() * 0.9 >= most_kv)
        .map(|(part, kv)| (part.name.clone(), kv))
}

impl ToLiquid {
    /// The system with its masses for an endurance; tank, fuel and battery grow with it.
    ///
    /// # Errors
    /// [`ConvertError::OutOfRange`] for an endurance that is none.
    pub fn system(
        &self,
        input: &ConvertInput<'_>,
        endurance: Time,
    ) -> Result<LiquidSystem, ConvertError> {
        in_range("endurance in s", endurance.value, 1.0..=1e8)?;
        let mut items = vec![
            MassItem {
                name: "fuel".to_owned(),
                group: MassGroup::Fuel,
                mass: Some(exact(self.tank.filled(endurance))),
                how: "mean flow times endurance, and 5 % that stays behind".to_owned(),
            },
            MassItem {
                name: "tank".to_owned(),
                group: MassGroup::Tank,
                mass: Some(self.tank.dry_mass(endurance)),
                how: "closed steel cylinder of 1 mm sheet twice as long as wide, and fittings; weigh it"
                    .to_owned(),
            },
        ];
        if let Ok(pump) = &self.pump {
            items.push(MassItem {
                name: "pump with motor".to_owned(),
                group: MassGroup::Pump,
                mass: Some(pump.mass),
                how: "0.25 kg and 80 W/kg of electric power: our choice; weigh it".to_owned(),
            });
            items.push(MassItem {
                name: "battery".to_owned(),
                group: MassGroup::Battery,
                mass: battery_for(input, pump, endurance).ok().map(|b| b.mass),
                how: "electric power times endurance over the energy of the pack, 80 % of it used"
                    .to_owned(),
            });
        }
        if let Some(line) = self.lines.chosen() {
            items.push(MassItem {
                name: "line".to_owned(),
                group: MassGroup::Lines,
                mass: Some(estimated(line.mass.value * (1.0 + JOINTS_OVER_TUBE))),
                how: "stainless tube by geometry, and 30 % for joints".to_owned(),
            });
        }
        items.extend(self.valves());
        if let Some(nozzle) = self.nozzles.proposed() {
            items.push(MassItem {
                name: nozzle.title(),
                group: MassGroup::Nozzles,
                mass: Some(estimated(NOZZLE_KG * f64::from(nozzle.number))),
                how: "0.06 kg each with its holder: our choice; weigh them".to_owned(),
            });
        }
        // old lines are counted only where the plan has none of its own
        let own_line = self.lines.chosen().is_some();
        let is_line = |f: &PartFate| matches!(f.kind, "hose" | "tube" | "dip-tube");
        let kept = self.fates.iter().filter(|f| f.fate != Fate::Goes);
        for part in kept.filter(|f| !(own_line && is_line(f))) {
            items.push(MassItem {
                name: part.name.clone(),
                group: MassGroup::Kept,
                mass: part.mass.map(exact),
                how: match part.mass {
                    Some(_) => "of the rig file".to_owned(),
                    None => "the rig file gives no mass".to_owned(),
                },
            });
        }
        Ok(LiquidSystem {
            endurance,
            items,
            goes: self
                .fates
                .iter()
                .filter(|f| f.fate == Fate::Goes)
                .cloned()
                .collect(),
        })
    }

    fn valves(&self) -> Vec<MassItem> {
        let range = self.valve.as_ref().and_then(ValvePlan::range);
        let most = range.map(|r| r.1);
        let metering = most.and_then(generic_valve);
        let kept = |kind: &str| {
            let alive = self.fates.iter().filter(|f| f.fate != Fate::Goes);
            alive.filter(|f| f.on_main && f.kind == kind).count()
        };
        let mut items = vec![
            MassItem {
                name: "metering valve".to_owned(),
                group: MassGroup::Valves,
                mass: metering
                    .as_ref()
                    .and_then(|(name, _)| of_catalogue(name))
                    .map(estimated),
                how: metering.map_or_else(
                    || "no generic valve fits".to_owned(),
                    |(name, _)| format!("{name} of the generic parts; weigh it"),
                ),
            },
            MassItem {
                name: "suction strainer".to_owned(),
                group: MassGroup::Valves,
                mass: Some(estimated(STRAINER_KG)),
                how: "0.1 kg: our choice; weigh it".to_owned(),
            },
            MassItem {
                name: "hydrostatic relief".to_owned(),
                group: MassGroup::Valves,
                mass: Some(estimated(RELIEF_KG)),
                how: "0.08 kg: our choice; weigh it".to_owned(),
            },
        ];
        for i in kept("solenoid-valve")..2 {
            let generic = generic_parts().iter().find(|p| p.kind == "solenoid-valve");
            let mass = generic.and_then(|p| of_catalogue(&p.name)).map(estimated);
            items.push(MassItem {
                name: format!("liquid shut-off {}", i + 1),
                group: MassGroup::Valves,
                how: generic.map_or_else(
                    || "no generic part".to_owned(),
                    |p| {
                        format!(
                            "{} of the generic parts, ±{}; weigh it",
                            p.name,
                            percent(MASS_BAND)
                        )
                    },
                ),
                mass,
            });
        }
        items
    }
}
