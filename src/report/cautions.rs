//! The cautions that belong to each topic, all in one place.
//!
//! Each says what the numbers cannot know. The closing statement ends every answer.

use crate::combustion::faint::{Faint, faint_by_day};
use crate::flow::air::DRY_AIR_KG_MOL;
use crate::fuel::Composition;

/// What a report is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Topic {
    /// The list of fuels.
    Fuels,
    /// What a fuel is.
    Fuel,
    /// A state of a fuel.
    State,
    /// Holes of an injector.
    Injector,
    /// A flame.
    Flame,
    /// A valve.
    Valve,
    /// A relief valve.
    Relief,
    /// An orifice plate.
    Orifice,
    /// A run of pipe.
    Pipe,
    /// A pump.
    Pump,
    /// A spray of liquid fuel.
    Spray,
    /// A tank that is drawn from.
    Tank,
    /// A release.
    Leak,
    /// A regulator.
    Regulator,
    /// Liquid between two closed valves.
    Trapped,
    /// The fuel train.
    Train,
    /// A switch to another fuel.
    Convert,
    /// What parts weigh.
    Mass,
    /// Bands from many draws.
    Tolerance,
    /// Rules over a rig.
    Audit,
    /// Changes that clear findings.
    Remedies,
    /// A leak test and its joints.
    LeakTest,
    /// A flow test of the holes.
    FlowTest,
    /// A run that was weighed.
    Calibrate,
    /// What stops the fuel.
    Shutdown,
    /// The list for a test day.
    Checklist,
    /// The page with everything.
    Report,
    /// A rig file to begin with.
    Start,
    /// What a rule checks.
    Rules,
    /// Where figures come from.
    Sources,
    /// Catalogue, keys and words of a rig file.
    Lookup,
}

/// What of a fuel decides cautions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FuelTraits {
    /// Its gas is lighter than air at the same temperature.
    pub lighter_than_air: bool,
    /// Its flame can hardly be seen by day.
    pub faint: Option<Faint>,
}

impl FuelTraits {
    /// Of a fuel: molar masses tell the density of its gas against that of air.
    pub fn of(fuel: &Composition) -> Self {
        Self {
            lighter_than_air: fuel.molar_mass_kg_mol() < LIGHT * DRY_AIR_KG_MOL,
            faint: faint_by_day(fuel),
        }
    }
}

/// Density against air below which gas is said to rise; what lies closer to 1 goes where the air goes, and sinks when
/// cold. Our choice.
const LIGHT: f64 = 0.9;

/// The statement every answer ends with.
pub const CLOSING: &str = "This is engineering reference material, not permission to build or operate anything: local \
     codes and licensed gas practice decide. Follow the code in force where you are, have a licensed gas or \
     pressure practitioner review the work, and never defeat a protective device.";

/// The same in two short lines, for a figure or file that leaves the page.
pub const CLOSING_IN_FIGURE: [&str; 2] = [
    "Engineering reference, no permission to build or operate:",
    "local codes and licensed gas practice decide.",
];

const DISCHARGE: &str = "The discharge coefficient is uncertain by 10 to 20 % until the drilled part has been flow-tested; \
     read every flow as a band.";
const DRILLING: &str = "Ream and deburr the holes: their edges set the discharge coefficient.";
const GAS_QUALITY: &str = "Check with the leanest and the richest gas that may be delivered; a blend changes flow and heat.";
const ONE_DRILL_UP: &str =
    "A hole one drill larger may pass more than the burner or the regulator can take.";
const CHOKED: &str = "A choked hole follows its supply pressure alone: a regulator that creeps or fails raises the flow.";
const LOCAL_MIXTURE: &str = "The mixture at the flame is not the overall equivalence ratio.";
const CARBON_MONOXIDE: &str = "Rich or chilled flames make carbon monoxide: lead the exhaust outside, never burn unventilated, and have an alarm for it.";
const SEASONS: &str = "Vapour pressure has two seasons: the hottest day sets the strength needed, the coldest the supply; \
     butane blends stop feeding near 0 degC.";
const LIMITS_WIDEN: &str = "Flammability limits differ between standards and widen with heat and pressure; mists ignite below the flash point.";
const HEAVY_VAPOUR: &str = "LPG, dimethyl ether and alcohol vapours are heavier than air and collect in pits, drains and cabinets.";
const SAGS: &str = "Under steady draw the cylinder chills and its pressure sags within minutes.";
const CYLINDER: &str = "Do not heat, invert or tip a cylinder; liquid carried over into a vapour line over-fires the burner.";
const FILLING: &str = "Keep the filling limit of the local code (about 80 % of the volume, by weight where transport rules say so); \
     store outdoors, upright and in date; never decant without the equipment made for it.";
const REGULATOR_FAILS: &str =
    "The worst case is a regulator that fails wide open: size relief and line rating for it.";
const RELIEF_FIRST: &str = "This is a first sizing. What decides is the capacity certified for the valve that is bought, for every way the \
     pressure can rise, fire among them; whoever may do so under the local code signs for it.";
const RELIEF_LINES: &str = "Its lines take from what it passes and make it chatter: keep the inlet short and wide, with no valve in it, and lead \
     the discharge outdoors, away from people, openings and ignition.";
const PLATE_RUN: &str = "A plate reads right with a sharp edge, flat, centred and the right way round, and straight pipe before and behind it; \
     worn, dirty or reversed it reads low, and more fuel flows than it shows.";
const PIPE_BUILT: &str = "Kinks, scale, crushed hose and fittings not counted take more: prove the pressure at the far end with everything \
     running at full rate.";
const PUMP_SHUT: &str = "A pump that runs against a shut valve raises the pressure until something bursts: give it a relief valve back to \
     the tank, and stop it with the fuel shut-off.";
const MIST: &str = "A mist of fuel ignites far below its flash point, and from a spark: try a nozzle in the open, away from ignition, and \
     keep hands out of the jet, which goes through skin.";
const SPRAY_BANDS: &str =
    "Drop sizes are for clean new nozzles; a worn or gummed one gives streaks and larger drops.";
const EXCESS_FLOW: &str = "Excess-flow valves do not close on small leaks.";
const ICING: &str = "Gas that leaves below 0 degC can freeze water in it and stick the regulator open or shut; vapour that \
     condenses downstream arrives as slugs of liquid.";
const TRAPPED: &str = "Every section that two closures can isolate while it holds liquid needs a hydrostatic relief, vented outdoors \
     and away from people and ignition.";
const TRAPPED_RIGID: &str = "The rise assumes a rigid, completely full section; a gas pocket or a stretching hose delays it but does not prevent it.";
const SCREENING: &str =
    "Distances and times are for screening only; they do not classify hazardous areas.";
const HALF_LFL: &str =
    "Plan with half the lower flammability limit; heavy gas pools in low places.";
const HALF_LFL_LIGHT: &str = "Plan with half the lower flammability limit; gas lighter than air rises and gathers under ceilings, \
     canopies and hoods.";
const FAINT_HYDROGEN: &str = "A hydrogen flame can hardly be seen by day and gives a hand no warning by its heat: find it with an ultraviolet \
     detector, never by eye or by feel.";
const FAINT_METHANOL: &str =
    "A methanol flame can hardly be seen by day: take no fire for out because none is seen.";
const IGNITION: &str =
    "Ignition sources include static discharge, phones, relays and switches, not only flames.";
const LEAK_TEST: &str = "Leak-test with inert gas or the fluid the code names, never oxygen; correct for temperature; \
     bubble-test joints at working pressure; never look for a leak with a flame.";
const TEST_GAS: &str = "Compressed gas stores energy: raise a test pressure in steps, stand aside, and never go above what the weakest part is rated for.";
const INERT: &str = "Nitrogen takes the place of the air in a room and gives no warning: test outdoors or with doors open, keep faces and \
     hands out of the jets, and never test with oxygen or with fuel.";
const WEIGHED: &str = "Readings find what was off on one day and prove no part: what contradicts the file is looked for on the rig, with the fuel \
     shut, before the next run.";
const PROVE_VALVES: &str = "The table says what the parts' data say: prove every shut-off valve and the flame detector on the rig, with the \
     supply shut, before fuel.";
const LIST: &str = "The list is made from the rig file: walk round the rig and add what it does not know; stop at the first line that \
     cannot be ticked.";
const PURGE: &str = "The purge count is a minimum; spark before fuel, prove the flame and lock out without it, wait after a failed \
     start, and never relight by hand over pooled fuel.";
const RADIATION: &str = "Bare skin and hoses fail before structures do; a thruster adds jet noise and recoil: restrain it and stand clear.";
const LIQUID: &str = "Vapour in a liquid line makes flow uncontrolled; after a switch drain and purge again; alcohol flames can be \
     invisible; keep a drip tray under and the shut-off within reach.";
const MATERIALS: &str = "Confirm every material with the part's maker for the exact compound, pressure and temperature.";
const MASS: &str = "Mass estimates are within 40 % at best: weigh the parts.";
const NO_PERMISSION: &str =
    "Rules look only at what the rig file says. A clean audit does not permit lighting anything.";
const CHANGES: &str = "A change in a file changes no part: make it on the rig, have it looked at, leak-test what was opened, and audit again. \
     A remedy that clears one finding of many makes no rig fit to light.";
const MODEL: &str = "Properties are for the pure fuel or blend as named; the gas delivered may hold other components, air, water and oil.";
const DRAWS: &str = "Bands are only as good as the bands put in, and common causes (one regulator, one gas) move all duties together.";

impl Topic {
    /// All topics.
    pub const ALL: [Self; 31] = [
        Self::Fuels,
        Self::Fuel,
        Self::State,
        Self::Injector,
        Self::Flame,
        Self::Valve,
        Self::Relief,
        Self::Orifice,
        Self::Pipe,
        Self::Pump,
        Self::Spray,
        Self::Tank,
        Self::Leak,
        Self::Regulator,
        Self::Trapped,
        Self::Train,
        Self::Convert,
        Self::Mass,
        Self::Tolerance,
        Self::Audit,
        Self::Remedies,
        Self::LeakTest,
        Self::FlowTest,
        Self::Calibrate,
        Self::Shutdown,
        Self::Checklist,
        Self::Report,
        Self::Start,
        Self::Rules,
        Self::Sources,
        Self::Lookup,
    ];

    /// What belongs to this topic only.
    fn own(self) -> &'static [&'static str] {
        match self {
            Self::Fuels | Self::Sources => &[MODEL],
            Self::Fuel => &[SEASONS, LIMITS_WIDEN, HEAVY_VAPOUR, MODEL],
            Self::State => &[MODEL, SEASONS],
            Self::Injector => &[
                DISCHARGE,
                DRILLING,
                GAS_QUALITY,
                ONE_DRILL_UP,
                CHOKED,
                LOCAL_MIXTURE,
                CARBON_MONOXIDE,
            ],
            Self::Flame => &[LOCAL_MIXTURE, CARBON_MONOXIDE, RADIATION],
            Self::Valve => &[REGULATOR_FAILS, EXCESS_FLOW, GAS_QUALITY],
            Self::Relief => &[RELIEF_FIRST, RELIEF_LINES],
            Self::Orifice => &[PLATE_RUN, GAS_QUALITY],
            Self::Pipe => &[PIPE_BUILT, LEAK_TEST, TRAPPED],
            Self::Pump => &[PUMP_SHUT, LIQUID],
            Self::Spray => &[MIST, SPRAY_BANDS, LIQUID],
            Self::Tank => &[SAGS, CYLINDER, SEASONS, FILLING],
            Self::Leak => &[SCREENING, HALF_LFL, IGNITION, LEAK_TEST],
            Self::Regulator => &[ICING, REGULATOR_FAILS],
            Self::Trapped => &[TRAPPED, TRAPPED_RIGID],
            Self::Train => &[REGULATOR_FAILS, EXCESS_FLOW, ICING, TRAPPED, MATERIALS],
            Self::Convert => &[LIQUID, PURGE, TRAPPED, MATERIALS, MASS],
            Self::Mass => &[MASS],
            Self::Tolerance => &[DRAWS, DISCHARGE],
            Self::Audit => &[
                NO_PERMISSION,
                PURGE,
                LEAK_TEST,
                SAGS,
                CYLINDER,
                REGULATOR_FAILS,
                ICING,
                CARBON_MONOXIDE,
                MATERIALS,
            ],
            Self::Remedies => &[
                CHANGES,
                NO_PERMISSION,
                REGULATOR_FAILS,
                PURGE,
                LEAK_TEST,
                CARBON_MONOXIDE,
                MATERIALS,
            ],
            Self::LeakTest => &[LEAK_TEST, TEST_GAS, NO_PERMISSION],
            Self::FlowTest => &[TEST_GAS, INERT, DRILLING, DISCHARGE],
            Self::Calibrate => &[WEIGHED, CYLINDER, LEAK_TEST, CARBON_MONOXIDE],
            Self::Shutdown => &[PROVE_VALVES, PURGE, NO_PERMISSION],
            Self::Checklist => &[
                LIST,
                NO_PERMISSION,
                PURGE,
                LEAK_TEST,
                RADIATION,
                CARBON_MONOXIDE,
            ],
            Self::Report => &[
                NO_PERMISSION,
                PURGE,
                LEAK_TEST,
                SCREENING,
                RADIATION,
                CARBON_MONOXIDE,
                MATERIALS,
            ],
            Self::Start | Self::Lookup => &[NO_PERMISSION, MATERIALS],
            Self::Rules => &[NO_PERMISSION],
        }
    }

    /// The cautions of this topic whatever burns, then [`CLOSING`].
    pub fn cautions(self) -> Vec<&'static str> {
        self.cautions_with(&[])
    }

    /// The cautions of this topic for some fuels, then [`CLOSING`].
    pub fn cautions_with(self, fuels: &[FuelTraits]) -> Vec<&'static str> {
        let light = fuels.iter().any(|f| f.lighter_than_air);
        let heavy = fuels.is_empty() || fuels.iter().any(|f| !f.lighter_than_air);
        let faint = |which: Faint| self.has_fire() && fuels.iter().any(|f| f.faint == Some(which));
        let mut said = Vec::new();
        for caution in self.own() {
            if *caution == HALF_LFL && light {
                said.push(HALF_LFL_LIGHT);
                if !heavy {
                    continue;
                }
            }
            said.push(*caution);
        }
        if faint(Faint::Hydrogen) {
            said.push(FAINT_HYDROGEN);
        }
        if faint(Faint::Methanol) {
            said.push(FAINT_METHANOL);
        }
        said.push(CLOSING);
        said
    }

    /// Whether somebody who reads of it may stand at a flame.
    fn has_fire(self) -> bool {
        !matches!(
            self,
            Self::Fuels
                | Self::State
                | Self::Valve
                | Self::Relief
                | Self::Orifice
                | Self::Pipe
                | Self::Pump
                | Self::Regulator
                | Self::Trapped
                | Self::Mass
                | Self::FlowTest
                | Self::Rules
                | Self::Sources
                | Self::Lookup
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_topic_has_cautions_of_its_own_and_the_closing_statement() {
        for topic in Topic::ALL {
            let cautions = topic.cautions();
            assert!(cautions.len() >= 2, "{topic:?}");
            assert_eq!(cautions.last(), Some(&CLOSING), "{topic:?}");
        }
    }

    /// Molar masses of IUPAC: hydrogen 2.016, methane 16.04, propane 44.10, air 28.97 g/mol.
    #[test]
    fn cautions_go_by_the_fuel() {
        let library = crate::fuel::Library::embedded();
        let of = |topic: Topic, fuel: &str| {
            let fuel = Composition::parse(fuel, &library).expect("known");
            topic.cautions_with(&[FuelTraits::of(&fuel)]).join("\n")
        };
        for fuel in ["hydrogen", "methane"] {
            let said = of(Topic::Leak, fuel);
            assert!(said.contains("rises") && !said.contains("pools"), "{fuel}");
        }
        let said = of(Topic::Leak, "propane");
        assert!(said.contains("pools") && !said.contains("rises"));
        for topic in [
            Topic::Leak,
            Topic::Audit,
            Topic::Checklist,
            Topic::Report,
            Topic::Flame,
        ] {
            assert!(
                of(topic, "hydrogen").contains("hydrogen flame"),
                "{topic:?}"
            );
            assert!(of(topic, "hydrogen:60,methane:40").contains("hydrogen flame"));
            assert!(!of(topic, "methane").contains("hydrogen flame"));
            assert!(of(topic, "methanol").contains("methanol flame"));
        }
        let both = Topic::Leak.cautions_with(&[
            FuelTraits {
                lighter_than_air: true,
                faint: None,
            },
            FuelTraits {
                lighter_than_air: false,
                faint: None,
            },
        ]);
        assert!(both.contains(&HALF_LFL) && both.contains(&HALF_LFL_LIGHT));
    }

    #[test]
    fn no_caution_promises_what_it_cannot() {
        // Words the program never uses of anything it checked (DESIGN: it says what it found).
        let promises = [["sa", "fe"].concat(), ["appro", "ved"].concat()];
        for caution in Topic::ALL.iter().flat_map(|t| t.cautions()) {
            for word in &promises {
                assert!(!caution.to_lowercase().contains(word.as_str()), "{caution}");
            }
        }
    }
}
