//! The mass list of a rig: every part dry and with its fuel, by group, and what is not known.

use super::PartGroup;
use super::density::{density, tube_metal};
use super::tube::Tube;
use crate::eos::Backend;
use crate::injector::spec::{ManifoldLayout, ManifoldSpec};
use crate::quantity::{Length, Mass, MassDensity, kilograms, metres};
use crate::train::catalogue::generic_part;
use crate::train::plan::INJECTOR;
use crate::train::rig::supply::Charge;
use crate::train::rig::{Rig, Supply, TankSpec};
use crate::train::shutoff::part_volume;
use crate::train::{Material, Part, PartKind, Solution};
use std::f64::consts::PI;

/// Where a mass is from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Basis {
    /// The rig file.
    Given,
    /// A generic part of the catalogue, within 40 % at best.
    Generic,
    /// Dimensions; how, in a few words.
    Estimate(String),
}

impl Basis {
    /// As text.
    pub fn text(&self) -> String {
        match self {
            Self::Given => "given".to_owned(),
            Self::Generic => "generic part, within 40 %".to_owned(),
            Self::Estimate(how) => how.clone(),
        }
    }
}

/// One line of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Name.
    pub name: String,
    /// Group.
    pub group: PartGroup,
    /// Kind, in the word of a rig file.
    pub kind: &'static str,
    /// How many alike.
    pub count: u32,
    /// Mass without fuel, all of them together; `None`: not known.
    pub dry: Option<Mass>,
    /// Where that is from.
    pub basis: Option<Basis>,
    /// Fuel in it while the rig runs; `None`: its volume or state is not known.
    pub fuel: Option<Mass>,
    /// Joints they bring, all together.
    pub joints: u32,
}

impl Item {
    /// Mass with its fuel, as far as known.
    pub fn fuelled(&self) -> Mass {
        kilograms(kg(self.dry) + kg(self.fuel))
    }
    /// Dry mass for a joint; `None` without joints or mass.
    pub fn mass_per_joint(&self) -> Option<Mass> {
        (self.joints > 0).then(|| Some(self.dry? / f64::from(self.joints)))?
    }
}

fn kg(mass: Option<Mass>) -> f64 {
    mass.map_or(0.0, |m| m.value)
}

/// Mass of a group.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroupMass {
    /// Group.
    pub group: PartGroup,
    /// Mass of what is known of it; of the group of fuel, all the fuel.
    pub mass: Mass,
    /// Share of the whole with fuel.
    pub share: f64,
    /// Joints.
    pub joints: u32,
    /// Its parts whose mass is not known.
    pub missing: usize,
}

/// The mass list.
#[derive(Debug, Clone, PartialEq)]
pub struct Inventory {
    /// Tank first, then the parts in the order of the train, the injector last.
    pub items: Vec<Item>,
    /// Fuel that the rig carries: in its tanks and the parts they have filled. Zero on a main;
    /// `None`: not known.
    pub fuel: Option<Mass>,
}

impl Inventory {
    /// The list of a rig, before anything flows: only the tank has fuel.
    ///
    /// Masses that the rig does not give are estimated for tube (`π ρ t (D − t) L`) and for the tube of a
    /// ring or bar; all others stay unknown.
    ///
    /// **Valid:** any rig. **Source:** geometry.
    pub fn of(rig: &Rig, fluid: &dyn Backend) -> Self {
        let mut items = Vec::new();
        let mut fuel = Some(kilograms(0.0));
        if let Supply::Tank(tank) = &rig.supply {
            fuel = charge(rig, tank, fluid).map(|m| m * f64::from(tank.number));
            items.push(tank_item(tank, fuel));
        }
        for source in &rig.train.sources {
            items.extend(source.parts.iter().map(|p| part_item(p, source.count)));
        }
        let own = rig.train.sources.iter().map(|s| s.parts.len()).sum();
        let shared = rig.train.parts();
        items.extend(shared.into_iter().skip(own).map(|p| part_item(p, 1)));
        items.push(injector_item(rig));
        Self { items, fuel }
    }

    /// Puts into every part the fuel that it holds while the train runs; a tank has so much less.
    ///
    /// Volume times the mean of the densities before and behind the part; the injector's tube is filled
    /// with what arrives at the holes.
    #[must_use]
    pub fn running(mut self, rig: &Rig, solution: &Solution) -> Self {
        let mut in_parts = 0.0;
        for item in &mut self.items {
            let held = if item.group == PartGroup::Injector {
                manifold_volume_m3(rig)
                    .zip(solution.outlet(INJECTOR))
                    .map(|(v, o)| v * o.inlet.density.value)
            } else {
                let part = rig.train.part(&item.name);
                part.and_then(part_volume)
                    .zip(solution.part(&item.name))
                    .map(|(v, flow)| {
                        let rho = 0.5 * (flow.inlet.density.value + flow.outlet.density.value);
                        v.value * rho * f64::from(item.count)
                    })
            };
            if let Some(held) = held {
                item.fuel = Some(kilograms(held));
                in_parts += held;
            }
        }
        if let (Some(tank), Some(all)) = (
            self.items.iter_mut().find(|i| i.group == PartGroup::Tank),
            self.fuel,
        ) {
            tank.fuel = Some(kilograms((all.value - in_parts).max(0.0)));
        }
        self
    }

    /// Everything known, without fuel.
    pub fn dry(&self) -> Mass {
        kilograms(self.items.iter().map(|i| kg(i.dry)).sum())
    }
    /// Everything known, with the fuel that the rig carries.
    pub fn whole(&self) -> Mass {
        kilograms(self.dry().value + kg(self.fuel))
    }
    /// Parts of the train with the injector: no tank, no fuel.
    pub fn train(&self) -> Mass {
        kilograms(self.train_items().map(|i| kg(i.dry)).sum())
    }
    /// Items of the train with the injector.
    pub fn train_items(&self) -> impl Iterator<Item = &Item> {
        self.items.iter().filter(|i| i.group.of_train())
    }
    /// Fuel in the parts of the train while it runs.
    pub fn fuel_in_train(&self) -> Mass {
        kilograms(self.train_items().map(|i| kg(i.fuel)).sum())
    }
    /// Joints of everything.
    pub fn joints(&self) -> u32 {
        self.items.iter().map(|i| i.joints).sum()
    }
    /// Names of what has no mass; `fuel` where the charge is not known.
    pub fn missing(&self) -> Vec<String> {
        let none = self.items.iter().filter(|i| i.dry.is_none());
        let fuel = self.fuel.is_none().then(|| "fuel".to_owned());
        none.map(|i| i.name.clone()).chain(fuel).collect()
    }
    /// Names of what is estimated from dimensions.
    pub fn estimated(&self) -> Vec<&str> {
        let by_size = |i: &&Item| matches!(i.basis, Some(Basis::Estimate(_)));
        self.items
            .iter()
            .filter(by_size)
            .map(|i| i.name.as_str())
            .collect()
    }
    /// Items, heaviest with fuel first; those without mass last, in their order.
    pub fn heaviest_first(&self) -> Vec<&Item> {
        let mut sorted: Vec<&Item> = self.items.iter().collect();
        sorted.sort_by(|a, b| {
            let key = |i: &Item| {
                if i.dry.is_some() {
                    i.fuelled().value
                } else {
                    -1.0
                }
            };
            key(b).total_cmp(&key(a))
        });
        sorted
    }
    /// Groups, heaviest first. Fuel is a group of its own and in no other.
    pub fn groups(&self) -> Vec<GroupMass> {
        let whole = self.whole().value;
        let mut groups: Vec<GroupMass> = Vec::new();
        let mut add = |group, mass: Option<Mass>, joints| {
            let i = groups
                .iter()
                .position(|g| g.group == group)
                .unwrap_or_else(|| {
                    groups.push(GroupMass {
                        group,
                        mass: kilograms(0.0),
                        share: 0.0,
                        joints: 0,
                        missing: 0,
                    });
                    groups.len() - 1
                });
            groups[i].mass += kilograms(kg(mass));
            groups[i].joints += joints;
            groups[i].missing += usize::from(mass.is_none());
        };
        for item in &self.items {
            add(item.group, item.dry, item.joints);
        }
        if self.fuel.is_none_or(|f| f.value > 0.0) {
            add(PartGroup::Fuel, self.fuel, 0);
        }
        for g in &mut groups {
            g.share = if whole > 0.0 {
                g.mass.value / whole
            } else {
                0.0
            };
        }
        groups.sort_by(|a, b| {
            b.mass
                .value
                .total_cmp(&a.mass.value)
                .then(a.group.cmp(&b.group))
        });
        groups
    }
}

/// What is in one tank at the start.
fn charge(rig: &Rig, tank: &TankSpec, fluid: &dyn Backend) -> Option<Mass> {
    match tank.charge {
        Charge::Mass(mass) => Some(mass),
        Charge::LiquidShare(share) => {
            let t = tank.temperature.unwrap_or(rig.site.ambient);
            let bubble = fluid.bubble_t(t.value).ok()?;
            let (liquid, vapour) = (share.value, 1.0 - share.value);
            let rho = liquid * bubble.liquid.density_kg_m3 + vapour * bubble.vapour.density_kg_m3;
            Some(kilograms(tank.volume.value * rho))
        }
    }
}

fn tank_item(tank: &TankSpec, fuel: Option<Mass>) -> Item {
    let (dry, basis) = match (tank.empty_mass, tank.wall_mass) {
        (Some(m), _) => (Some(m), Some(Basis::Given)),
        (None, Some(m)) => (Some(m), Some(Basis::Estimate("its wall alone".to_owned()))),
        (None, None) => (None, None),
    };
    Item {
        name: "tank".to_owned(),
        group: PartGroup::Tank,
        kind: "tank",
        count: tank.number,
        dry: dry.map(|m| m * f64::from(tank.number)),
        basis,
        fuel,
        joints: 0,
    }
}

fn part_item(part: &Part, count: u32) -> Item {
    let (dry, basis) = match part
        .mass
        .map(|m| (m, part_basis(part, m)))
        .or_else(|| estimate(part))
    {
        Some((m, b)) => (Some(m * f64::from(count)), Some(b)),
        None => (None, None),
    };
    Item {
        name: part.name.clone(),
        group: PartGroup::of(&part.kind),
        kind: part.kind.name(),
        count,
        dry,
        basis,
        fuel: None,
        joints: count * part.joints.iter().map(|j| j.count).sum::<u32>(),
    }
}

/// Given, or that of the generic part the rig names.
fn part_basis(part: &Part, mass: Mass) -> Basis {
    let generic = part.catalogue.as_deref().and_then(generic_part);
    match generic.and_then(super::lighter::generic::mass) {
        Some(m) if (m.value - mass.value).abs() <= 1e-9 * m.value => Basis::Generic,
        _ => Basis::Given,
    }
}

/// Mass of one part without fuel, given or from its size.
pub(super) fn dry_mass(part: &Part) -> Option<Mass> {
    part.mass.or_else(|| estimate(part).map(|(m, _)| m))
}

fn estimate(part: &Part) -> Option<(Mass, Basis)> {
    let (PartKind::Tube(line) | PartKind::DipTube(line)) = &part.kind else {
        return None;
    };
    let (metal, rho) = tube_metal(&part.wetted)?;
    let m = tube_mass(line.bore, line.outside_diameter?, line.length, rho)?;
    let how = format!("from its size, {}", metal.name());
    Some((m, Basis::Estimate(how)))
}

fn tube_mass(bore: Length, outside: Length, length: Length, rho: MassDensity) -> Option<Mass> {
    let tube = Tube::new(outside, 0.5 * (outside - bore)).ok()?;
    let per_metre = tube.mass_per_metre_kg(rho).ok()?;
    Some(kilograms(per_metre * length.value))
}

fn manifold_length(manifold: &ManifoldSpec) -> Length {
    match manifold.layout {
        ManifoldLayout::Ring { diameter, .. } => diameter * PI,
        ManifoldLayout::Bar { length, .. } => length,
    }
}

fn manifold_volume_m3(rig: &Rig) -> Option<f64> {
    let manifold = rig.injector.manifold.as_ref()?;
    let bore_m = manifold.bore.value;
    Some(PI / 4.0 * bore_m * bore_m * manifold_length(manifold).value)
}

/// The drilled tube: its wall is the length of the holes, its metal taken as stainless steel.
fn injector_item(rig: &Rig) -> Item {
    let found = rig.injector.manifold.as_ref().and_then(|manifold| {
        let wall = rig.injector.hole_length?;
        let outside = metres(manifold.bore.value + 2.0 * wall.value);
        let rho = density(&Material::StainlessSteel)?;
        tube_mass(manifold.bore, outside, manifold_length(manifold), rho)
    });
    Item {
        name: "injector".to_owned(),
        group: PartGroup::Injector,
        kind: "injector",
        count: 1,
        dry: found,
        basis: found
            .map(|_| Basis::Estimate("from bore and hole length, stainless-steel".to_owned())),
        fuel: None,
        joints: 0,
    }
}
