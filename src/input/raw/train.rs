//! Parts of the train: keys that every part has, and the keys of its kind.

use crate::input::field::SectionAbout;
use crate::input::key::AnyKey;
use crate::input::reader::{Entry, Reader, TableView};
use crate::input::section::{Place, Table, section};
use crate::input::words::{Curve, JointCounts, Kind, Loss};
use crate::quantity::{
    Angle, FlowCoefficient, GaugePressure, HeatTransfer, Length, Mass, MassDensity, MassRate,
    Power, PressureDifference, PressureLevel, Ratio, ThermalConductance, ThermalConductivity,
    ThermodynamicTemperature, Time, Volume, VolumeRate,
};
use crate::train::catalogue::GenericPart;
use crate::train::{Actuation, Arrow, Material, OnLoss, VentsTo};
use std::ops::Range;
use toml::de::DeTable;

section! {
    /// A part of the train, in the order the fuel meets them. Keys that every part may have.
    Common {
        /// Name: letters, digits and dashes, unique in the train.
        name: String, required, Any, "\"main-shut-off\"";
        /// What it is; decides which further keys it takes.
        kind: Kind, required, Any, "\"solenoid-valve\"";
        /// Name of a generic part in the catalogue that gives what is left out here.
        catalogue: String, optional, Any, "\"tube-8x1-copper\"";
        /// Branch it belongs to; left out: before the split.
        branch: String, optional, Any, "\"pilot\"";
        /// Whether each cylinder has its own, before the cylinders join.
        per_cylinder: bool, optional, Any, "false";
        /// Mass without fuel.
        mass: Mass, optional, NotNegative, "\"0.35 kg\"";
        /// Joints it brings, by kind; a joint between two parts counts with the one downstream.
        joints: JointCounts, optional, Any, "{ flare = 2 }";
        /// Highest pressure it is made for.
        max_pressure: PressureLevel, stated, Any, "\"16 bar(g)\"";
        /// Lowest temperature it is made for.
        min_temperature: ThermodynamicTemperature, optional, Any, "\"-20 degC\"";
        /// Highest temperature it is made for.
        max_temperature: ThermodynamicTemperature, optional, Any, "\"60 degC\"";
        /// Everything in it that the fuel touches, seals included.
        wetted: Vec<Material>, optional, Any, "[\"brass\", \"nbr\"]";
        /// Volume that the fuel fills, where bore and length do not give it.
        internal_volume: Volume, optional, NotNegative, "\"4 mL\"";
        /// What moves it, if it can be closed.
        actuation: Actuation, optional, Any, "\"solenoid-spring-closed\"";
        /// What it does when its power fails.
        on_power_loss: OnLoss, optional, Any, "\"closes\"";
        /// What it does when its control signal fails.
        on_signal_loss: OnLoss, optional, Any, "\"closes\"";
        /// Longest time from command to closed.
        closing_time: Time, optional, NotNegative, "\"1 s\"";
        /// Leak class as its maker states it.
        leak_class: String, optional, Any, "\"ISO 5208 rate B\"";
        /// Name of the coil, relay or switch that drives it: two parts with the same one fail together.
        driven_by: String, optional, Any, "\"relay-k1\"";
        /// Whether the quick coupling on it closes by itself when it is parted.
        self_closing: bool, optional, Any, "true";
    }
}

section! {
    /// Keys of tube, hose and dip tube.
    LineKeys {
        /// Inside diameter.
        bore: Length, optional, Positive, "\"6 mm\"";
        /// Outside diameter.
        outside_diameter: Length, optional, Positive, "\"8 mm\"";
        /// Length.
        length: Length, optional, Positive, "\"2.5 m\"";
        /// Height of the roughness inside.
        roughness: Length, optional, NotNegative, "\"0.0015 mm\"";
        /// Darcy friction factor you have measured, instead of the roughness.
        friction_factor: f64, optional, Between(0.001, 1.0), "0.03";
        /// Sum of loss coefficients of bends along it.
        loss_coefficient: f64, optional, NotNegative, "1.5";
        /// Height of its outlet above its inlet.
        rise: Length, optional, Any, "\"0.4 m\"";
        /// Whether it takes up no heat.
        insulated: bool, optional, Any, "false";
        /// Heat conductance from surroundings to fuel by length.
        heat_by_length: ThermalConductivity, optional, NotNegative, "\"0.3 W/(m K)\"";
        /// Heat transfer coefficient on its outside.
        heat_outside: HeatTransfer, optional, NotNegative, "\"8 W/(m2 K)\"";
    }
}

section! {
    /// Keys of cylinder, ball, needle, solenoid and metering valve.
    ValveKeys {
        /// Bore of its ends.
        bore: Length, optional, Positive, "\"8 mm\"";
        /// Flow coefficient when open all the way, as Kv or Cv.
        flow_coefficient: FlowCoefficient, optional, Positive, "\"0.6 Kv\"";
        /// Flow coefficient against opening; on-off if left out.
        curve: Curve, optional, Any, "\"equal-percentage\"";
        /// Largest over smallest flow coefficient it can be set to.
        rangeability: f64, optional, Between(1.01, 1000.0), "30";
        /// Opening and flow coefficient, point by point, instead of `curve`.
        points: Vec<(Ratio, FlowCoefficient)>, optional, NotNegative, "[[\"50 %\", \"0.2 Kv\"], [\"100 %\", \"0.6 Kv\"]]";
        /// Opening now.
        opening: Ratio, optional, Share, "\"100 %\"";
        /// Pressure differential ratio at choked flow, xT.
        xt: f64, optional, Between(0.05, 1.0), "0.7";
        /// Liquid pressure recovery factor, FL.
        fl: f64, optional, Between(0.1, 1.0), "0.85";
        /// Steps that its drive makes from closed to open.
        steps: u32, optional, Between(1.0, 1_000_000.0), "200";
        /// Greatest pressure difference that it opens or closes against.
        max_differential: PressureDifference, optional, Positive, "\"6 bar\"";
    }
}

section! {
    /// Keys of a regulator.
    RegulatorKeys {
        /// Outlet pressure it is set to, at vanishing flow.
        set_pressure: PressureLevel, optional, Any, "\"1.5 bar(g)\"";
        /// Flow at which its droop is stated.
        rated_flow: MassRate, optional, Positive, "\"4 kg/h\"";
        /// Fall of the outlet pressure from no flow to rated flow.
        droop: PressureDifference, optional, NotNegative, "\"150 mbar\"";
        /// Rise of the outlet pressure when flow stops.
        lock_up: PressureDifference, optional, NotNegative, "\"200 mbar\"";
        /// Flow coefficient with its seat wide open.
        wide_open: FlowCoefficient, optional, Positive, "\"0.35 Kv\"";
        /// Lowest inlet pressure.
        min_inlet: PressureLevel, optional, Any, "\"2.5 bar(g)\"";
        /// Highest inlet pressure.
        max_inlet: PressureLevel, stated, Any, "\"16 bar(g)\"";
        /// Inlet pressure at which it was set.
        nominal_inlet: PressureLevel, optional, Any, "\"7 bar(g)\"";
        /// Rise of the outlet for a fall of the inlet, bar by bar.
        supply_effect: f64, optional, Between(0.0, 1.0), "0.01";
        /// Pressure behind it at which a slam-shut (over-pressure shut-off) built into it closes.
        shut_off_pressure: PressureLevel, optional, Any, "\"2.2 bar(g)\"";
        /// Where its vent, or a relief built into it, lets out what it blows off.
        vents_to: VentsTo, optional, Any, "\"outdoors\"";
    }
}

section! {
    /// Keys of filter and flame arrestor.
    RestrictionKeys {
        /// Bore of its ends.
        bore: Length, optional, Positive, "\"8 mm\"";
        /// Flow coefficient when clean, as Kv or Cv.
        flow_coefficient: FlowCoefficient, optional, Positive, "\"1.2 Kv\"";
    }
}

section! {
    /// Keys of a fitting: one loss coefficient, or a shape that gives it.
    FittingKeys {
        /// Bore on whose velocity the loss coefficient is based.
        bore: Length, optional, Positive, "\"6 mm\"";
        /// Loss coefficient of one.
        loss_coefficient: f64, optional, NotNegative, "0.9";
        /// Shape, instead of a loss coefficient.
        shape: Loss, optional, Any, "\"bend\"";
        /// Angle that a bend or mitre turns.
        angle: Angle, optional, Positive, "\"90 deg\"";
        /// Radius of a bend's centre line over its bore.
        radius_ratio: f64, optional, Between(0.5, 100.0), "2.5";
        /// Wider bore of a contraction or expansion.
        wide_bore: Length, optional, Positive, "\"8 mm\"";
        /// How many in a row.
        count: u32, optional, Between(1.0, 1000.0), "2";
    }
}

section! {
    /// Keys of an excess-flow valve.
    ExcessFlowKeys {
        /// Bore.
        bore: Length, optional, Positive, "\"8 mm\"";
        /// Flow coefficient when open, as Kv or Cv.
        flow_coefficient: FlowCoefficient, optional, Positive, "\"0.8 Kv\"";
        /// Mass flow that closes it.
        closing_flow: MassRate, optional, Positive, "\"10 kg/h\"";
        /// Density at which that flow is stated.
        closing_density: MassDensity, optional, Positive, "\"15 kg/m3\"";
    }
}

section! {
    /// Keys of a check valve.
    CheckKeys {
        /// Bore.
        bore: Length, optional, Positive, "\"8 mm\"";
        /// Flow coefficient when lifted all the way, as Kv or Cv.
        flow_coefficient: FlowCoefficient, optional, Positive, "\"0.5 Kv\"";
        /// Pressure difference that just lifts it.
        cracking: PressureDifference, optional, NotNegative, "\"30 mbar\"";
        /// Way that the arrow on its body points.
        arrow: Arrow, optional, Any, "\"to-burner\"";
    }
}

section! {
    /// Keys of an orifice plate.
    OrificeKeys {
        /// Bore of the line.
        pipe_bore: Length, optional, Positive, "\"8 mm\"";
        /// Bore of the plate.
        bore: Length, optional, Positive, "\"1.5 mm\"";
        /// Discharge coefficient you have measured.
        discharge_coefficient: Ratio, optional, PositiveShare, "0.62";
    }
}

section! {
    /// Keys of a pump: a curve, or an outlet held at a pressure.
    PumpKeys {
        /// Flow and pressure added, point by point.
        points: Vec<(VolumeRate, PressureDifference)>, optional, NotNegative, "[[\"0 L/min\", \"8 bar\"], [\"0.5 L/min\", \"5 bar\"]]";
        /// Outlet pressure that it holds, instead of a curve.
        outlet_pressure: PressureLevel, optional, Any, "\"7 bar(g)\"";
        /// Largest flow at which it holds it.
        max_flow: VolumeRate, optional, Positive, "\"0.4 L/min\"";
        /// Hydraulic over shaft power.
        efficiency: Ratio, optional, PositiveShare, "\"25 %\"";
        /// Net positive suction head it needs, as a pressure.
        npsh: PressureDifference, optional, NotNegative, "\"0.2 bar\"";
        /// Shaft power at hand.
        max_power: Power, optional, Positive, "\"30 W\"";
    }
}

section! {
    /// Keys of a vaporiser: a held outlet temperature, a bath behind a conductance, or a heater's power.
    VaporiserKeys {
        /// Bore of its ends.
        bore: Length, optional, Positive, "\"6 mm\"";
        /// Flow coefficient, as Kv or Cv.
        flow_coefficient: FlowCoefficient, optional, Positive, "\"0.4 Kv\"";
        /// Outlet temperature that it holds.
        outlet_temperature: ThermodynamicTemperature, optional, Between(250.0, 700.0), "\"60 degC\"";
        /// Largest heat it gives.
        max_power: Power, optional, Positive, "\"1.5 kW\"";
        /// Temperature of its bath.
        bath_temperature: ThermodynamicTemperature, optional, Between(250.0, 700.0), "\"70 degC\"";
        /// Conductance between bath and fuel.
        conductance: ThermalConductance, optional, Positive, "\"25 W/K\"";
        /// Power of a heater that is always on.
        power: Power, optional, Positive, "\"800 W\"";
    }
}

section! {
    /// Keys of a relief valve on a tee.
    ReliefKeys {
        /// Pressure at which it opens.
        set_pressure: PressureLevel, optional, Any, "\"26 bar(g)\"";
        /// Bore of its seat.
        bore: Length, optional, Positive, "\"6 mm\"";
        /// Where what it blows off goes; tank and suction are for liquid.
        vents_to: VentsTo, optional, Any, "\"outdoors\"";
    }
}

section! {
    /// Keys of a tapping: gauge, sensor, bleed or capped branch.
    TappingKeys {
        /// Whether it can be opened to vent or drain its section.
        bleed: bool, optional, Any, "true";
        /// Top of the scale of the gauge on it. Left out: no gauge that a person reads.
        gauge_range: GaugePressure, optional, Positive, "\"4 bar(g)\"";
    }
}

/// Heading of the keys that depend on the kind of a part, before the kinds that take them.
pub const BY_KIND: &str = "kind: ";

/// Declares the groups of kind-specific keys.
macro_rules! groups {
    ($($group:ident($keys:ty): $($kind:ident),+;)+) => {
        /// Keys of the kind of a part.
        #[derive(Debug, Clone, PartialEq)]
        pub enum PartKeys {
            $(#[allow(missing_docs, reason = "the struct inside is documented")]
            $group($keys),)+
        }

        impl PartKeys {
            /// Keys that a kind takes.
            fn names(kind: Kind) -> &'static [&'static str] {
                match kind {
                    $($(Kind::$kind)|+ => <$keys>::KEYS,)+
                }
            }
            fn read(kind: Kind, view: TableView<'_>, reader: &mut Reader) -> Self {
                match kind {
                    $($(Kind::$kind)|+ => Self::$group(<$keys>::read(view, reader)),)+
                }
            }
            fn keys(&self) -> Vec<&dyn AnyKey> {
                match self {
                    $(Self::$group(keys) => keys.keys(),)+
                }
            }
            fn fill(&mut self, other: &Self, span: &Range<usize>, wanted: &dyn Fn(&str) -> bool) {
                match (self, other) {
                    $((Self::$group(keys), Self::$group(other)) => keys.fill(other, span, wanted),)+
                    _ => {}
                }
            }
        }

        /// Groups of keys by kind.
        fn groups_by_kind() -> Vec<SectionAbout> {
            let heading = |kinds: &[Kind]| {
                let words: Vec<String> = kinds.iter().map(|k| k.word()).collect();
                format!("{BY_KIND}{}", words.join(", "))
            };
            vec![$(<$keys>::about(heading(&[$(Kind::$kind),+]))),+]
        }

        /// Every key that some kind of part takes.
        fn keys_of_all_kinds() -> Vec<&'static str> {
            [$(<$keys>::KEYS),+].concat()
        }
    };
}

groups! {
    Line(LineKeys): Tube, Hose, DipTube;
    Valve(ValveKeys): CylinderValve, BallValve, NeedleValve, SolenoidValve, MeteringValve;
    Regulator(RegulatorKeys): Regulator;
    Restriction(RestrictionKeys): Filter, FlameArrestor;
    Fitting(FittingKeys): Fitting;
    ExcessFlow(ExcessFlowKeys): ExcessFlowValve;
    Check(CheckKeys): CheckValve;
    Orifice(OrificeKeys): OrificePlate;
    Pump(PumpKeys): Pump;
    Vaporiser(VaporiserKeys): Vaporiser;
    Relief(ReliefKeys): ReliefValve;
    Tapping(TappingKeys): Tapping;
}

/// Keys that exclude one another.
const EXCLUSIVE: &[&[&str]] = &[
    &["roughness", "friction_factor"],
    &["insulated", "heat_by_length", "heat_outside"],
    &["curve", "points"],
    &["loss_coefficient", "shape"],
    &["points", "outlet_pressure"],
    &["outlet_temperature", "bath_temperature", "power"],
];

/// One `[[train]]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Keys that every part may have.
    pub common: Common,
    /// Keys of its kind; `None` where the kind is missing or wrong.
    pub keys: Option<PartKeys>,
}

impl Table for Part {
    fn about(heading: String) -> SectionAbout {
        Common::about(heading)
    }
    fn kinds() -> Vec<SectionAbout> {
        groups_by_kind()
    }
    fn read_whole(view: TableView<'_>, reader: &mut Reader) -> Self {
        let common = Common::read(view, reader);
        let kind = common.kind.value();
        let keys = kind.map(|k| PartKeys::read(k, view, reader));
        let own = kind.map_or_else(keys_of_all_kinds, |k| PartKeys::names(k).to_vec());
        let known = [Common::KEYS, own.as_slice()].concat();
        // a key of another kind of part is a mistake of its own
        let foreign: Vec<&'static str> = keys_of_all_kinds()
            .into_iter()
            .filter(|k| !known.contains(k))
            .collect();
        for (key, _) in view.table {
            let name = key.get_ref().as_ref();
            if let (true, Some(kind)) = (foreign.contains(&name), common.kind.entry.as_ref()) {
                note_foreign(name, key.span(), kind, &own, reader);
            }
        }
        reader.unknown_keys_but(view, &known, &foreign);
        Self { common, keys }
    }
    fn stands(&self) -> &Place {
        &self.common.stands
    }
    fn keys(&self) -> Vec<&dyn AnyKey> {
        let own = self.keys.as_ref().map_or_else(Vec::new, PartKeys::keys);
        [self.common.keys(), own].concat()
    }
    /// The numbers of a part are listed under its kind.
    fn listed_under(&self, _: &str) -> Option<String> {
        self.common.kind.value().map(Kind::word)
    }
}

impl Part {
    /// The part with what it leaves out taken from a generic part of its kind; keys that exclude one
    /// another are taken only where none of them is given.
    #[must_use]
    pub fn filled_from(&self, generic: &GenericPart) -> Self {
        let (Some(kind), Some(asked)) = (&self.common.kind.entry, &self.common.catalogue.entry)
        else {
            return self.clone();
        };
        let lines = generic.lines();
        let Ok(table) = DeTable::parse(&lines) else {
            return self.clone();
        };
        let at = 0..0;
        let view = TableView {
            table: table.get_ref(),
            path: "",
            at: &at,
        };
        // a test reads every generic part: what it lacks is no mistake of this file
        let mut reader = Reader::default();
        let common = Common::read(view, &mut reader);
        let own = PartKeys::read(kind.value, view, &mut reader);
        let keys = self.keys();
        let given: Vec<&str> = (keys.iter().filter(|k| k.span().is_some()))
            .map(|k| k.field().key)
            .collect();
        let wanted = |key: &str| {
            let group = EXCLUSIVE.iter().find(|group| group.contains(&key));
            group.is_none_or(|group| group.iter().all(|k| !given.contains(k)))
        };
        let mut filled = self.clone();
        filled.common.fill(&common, &asked.span, &wanted);
        if let Some(keys) = &mut filled.keys {
            keys.fill(&own, &asked.span, &wanted);
        }
        filled
    }
}

fn note_foreign(
    name: &str,
    span: Range<usize>,
    kind: &Entry<Kind>,
    own: &[&'static str],
    reader: &mut Reader,
) {
    use crate::input::diagnostic::{Diagnostic, Label};
    use crate::input::field::quoted;
    let word = format!("`{}`", kind.value.word());
    reader.mistakes.push(Diagnostic {
        code: "E208",
        message: format!("`{name}` is not a key of a part of kind {word}"),
        labels: vec![
            Label::new(span, "not for this kind"),
            Label::new(kind.span.clone(), "the kind is given here"),
        ],
        help: Some(format!("a part of kind {word} takes {}", quoted(own))),
    });
}
