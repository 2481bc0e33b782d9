//! Words of the rig file and what they stand for.

use super::field::{Field, Takes};
use super::reader::Reader;
use super::value::{FieldValue, word};
use crate::train::rig::{
    ChangeOver, CombustionAir, Device, Extinguisher, Flame, FlameDetection, Ignition, PressureRead,
    Sees, Setting, TankPosition, TestWord, WallMaterial,
};
use crate::train::{Actuation, Arrow, Draw, JointKind, Material, OnLoss, VentsTo};
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::DeValue;

/// Types that are one of a few words.
macro_rules! words {
    ($($type:ident { $($word:literal => $value:expr,)+ })+) => {$(
        impl FieldValue for $type {
            fn takes() -> Takes {
                Takes::Word(vec![$($word),+])
            }
            fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
                word(v, field, reader, &[$(($word, $value)),+])
            }
            fn write(&self) -> String {
                let words = [$(($word, $value)),+];
                let found = words.iter().find(|(_, v)| v == self);
                format!("\"{}\"", found.map_or("", |(w, _)| w))
            }
            fn of_none() -> Option<Self> {
                let words = [$(($word, $value)),+];
                let none = words.into_iter().find(|(w, _)| *w == super::reader::NONE);
                none.map(|(_, value)| value)
            }
        }
    )+};
}

words! {
    Setting {
        "indoor" => Setting::Indoor,
        "outdoor" => Setting::Outdoor,
    }
    Extinguisher {
        "none" => Extinguisher::None,
        "dry-powder" => Extinguisher::DryPowder,
        "carbon-dioxide" => Extinguisher::CarbonDioxide,
        "foam" => Extinguisher::Foam,
        "water" => Extinguisher::Water,
    }
    Ignition {
        "spark" => Ignition::Spark,
        "hot-surface" => Ignition::HotSurface,
        "pilot" => Ignition::Pilot,
        "hand" => Ignition::Hand,
        "none" => Ignition::Hand,
    }
    FlameDetection {
        "none" => FlameDetection::None,
        "eye" => FlameDetection::Eye,
        "thermocouple" => FlameDetection::Thermocouple,
        "ionisation" => FlameDetection::Ionisation,
        "optical" => FlameDetection::Optical,
    }
    Flame {
        "pilot" => Flame::Pilot,
        "main" => Flame::Main,
    }
    Device {
        "flame-detector" => Device::FlameDetector,
        "air-switch" => Device::AirSwitch,
        "low-fuel-cutoff" => Device::LowFuelCutoff,
        "high-fuel-cutoff" => Device::HighFuelCutoff,
        "emergency-stop" => Device::EmergencyStop,
        "over-temperature-cutoff" => Device::OverTemperatureCutoff,
        "shut-off-valves" => Device::ShutOffValves,
    }
    VentsTo {
        "outdoors" => VentsTo::Outdoors,
        "room" => VentsTo::Room,
        "tank" => VentsTo::Tank,
        "suction" => VentsTo::Suction,
    }
    Arrow {
        "to-burner" => Arrow::ToBurner,
        "to-supply" => Arrow::ToSupply,
    }
    TankPosition {
        "upright" => TankPosition::Upright,
        "lying" => TankPosition::Lying,
        "inverted" => TankPosition::Inverted,
    }
    ChangeOver {
        "together" => ChangeOver::Together,
        "manual" => ChangeOver::Manual,
        "automatic" => ChangeOver::Automatic,
    }
    CombustionAir {
        "room" => CombustionAir::Room,
        "outdoors" => CombustionAir::Outdoors,
    }
    Sees {
        "primary-zone" => Sees::PrimaryZone,
        "exit" => Sees::Exit,
    }
    PressureRead {
        "moving" => PressureRead::Moving,
        "at-rest" => PressureRead::AtRest,
    }
    TestWord {
        "decay" => TestWord::Decay,
        "soap" => TestWord::Soap,
    }
    WallMaterial {
        "steel" => WallMaterial::Steel,
        "aluminium" => WallMaterial::Aluminium,
        "composite" => WallMaterial::Composite,
    }
    Draw {
        "vapour" => Draw::Vapour,
        "liquid" => Draw::Liquid,
    }
    Actuation {
        "manual" => Actuation::Manual,
        "solenoid-spring-closed" => Actuation::SolenoidSpringClosed,
        "solenoid-spring-open" => Actuation::SolenoidSpringOpen,
        "motor" => Actuation::Motor,
        "motor-spring-return" => Actuation::MotorSpringReturn,
        "self-acting" => Actuation::SelfActing,
    }
    OnLoss {
        "closes" => OnLoss::Closes,
        "opens" => OnLoss::Opens,
        "stays" => OnLoss::Stays,
        "not-affected" => OnLoss::NotAffected,
    }
    Shape {
        "ring" => Shape::Ring,
        "bar" => Shape::Bar,
        "holes" => Shape::Holes,
    }
    Edge {
        "drilled" => Edge::Drilled,
        "sharp" => Edge::Sharp,
        "rounded" => Edge::Rounded,
    }
    Curve {
        "on-off" => Curve::OnOff,
        "linear" => Curve::Linear,
        "equal-percentage" => Curve::EqualPercentage,
    }
    Kind {
        "cylinder-valve" => Kind::CylinderValve,
        "dip-tube" => Kind::DipTube,
        "excess-flow-valve" => Kind::ExcessFlowValve,
        "regulator" => Kind::Regulator,
        "filter" => Kind::Filter,
        "hose" => Kind::Hose,
        "tube" => Kind::Tube,
        "fitting" => Kind::Fitting,
        "ball-valve" => Kind::BallValve,
        "needle-valve" => Kind::NeedleValve,
        "solenoid-valve" => Kind::SolenoidValve,
        "metering-valve" => Kind::MeteringValve,
        "check-valve" => Kind::CheckValve,
        "flame-arrestor" => Kind::FlameArrestor,
        "orifice-plate" => Kind::OrificePlate,
        "pump" => Kind::Pump,
        "vaporiser" => Kind::Vaporiser,
        "relief-valve" => Kind::ReliefValve,
        "tapping" => Kind::Tapping,
    }
    Loss {
        "bend" => Loss::Bend,
        "mitre" => Loss::Mitre,
        "contraction" => Loss::Contraction,
        "expansion" => Loss::Expansion,
        "entrance" => Loss::Entrance,
    }
}

/// Shape of an injector.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Holes along a ring tube.
    Ring,
    /// Holes along a bar.
    Bar,
    /// Holes fed alike, such as in a cap or plate.
    Holes,
}

/// Edge of a hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// As a twist drill leaves it.
    Drilled,
    /// Square, reamed, free of burr.
    Sharp,
    /// Rounded.
    Rounded,
}

/// Curve of a valve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Curve {
    /// Open or shut.
    OnOff,
    /// Linear.
    Linear,
    /// Equal percentage.
    EqualPercentage,
}

/// Kind of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(
    missing_docs,
    reason = "the words say it; the model's kinds carry the meaning"
)]
pub enum Kind {
    CylinderValve,
    DipTube,
    ExcessFlowValve,
    Regulator,
    Filter,
    Hose,
    Tube,
    Fitting,
    BallValve,
    NeedleValve,
    SolenoidValve,
    MeteringValve,
    CheckValve,
    FlameArrestor,
    OrificePlate,
    Pump,
    Vaporiser,
    ReliefValve,
    Tapping,
}

impl Kind {
    /// Its word in the rig file.
    pub fn word(self) -> String {
        self.write().replace('"', "")
    }
}

/// Shape of a fitting whose loss is computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loss {
    /// Smooth bend.
    Bend,
    /// Mitred bend.
    Mitre,
    /// Step down.
    Contraction,
    /// Step up.
    Expansion,
    /// Entrance.
    Entrance,
}

impl FieldValue for Material {
    fn takes() -> Takes {
        Takes::Word(Self::names().collect())
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
        let words: Vec<(&'static str, Self)> = Self::names()
            .filter_map(|n| Some((n, Self::from_name(n)?)))
            .collect();
        word(v, field, reader, &words)
    }
    fn write(&self) -> String {
        format!("\"{}\"", self.name())
    }
}

/// Most joints of one kind that one part brings.
pub(super) const MOST_JOINTS: u32 = 1000;

/// Joints of a part: how many of each kind.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct JointCounts(pub BTreeMap<JointKind, u32>);

impl FieldValue for JointCounts {
    fn takes() -> Takes {
        Takes::Counts(JointKind::names().collect())
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
        use super::field::quoted;
        use crate::quantity::printable::name as shown;
        let Some(table) = v.get_ref().as_table() else {
            let example = format!("{} = {}", field.key, field.example);
            reader.wrong_type(field.key, v, "a table of counts", &example);
            return None;
        };
        let names: Vec<&'static str> = JointKind::names().collect();
        let mut counts = BTreeMap::new();
        let mut sound = true;
        for (key, value) in table {
            let name = key.get_ref().as_ref();
            let Some(kind) = JointKind::from_name(name) else {
                let help = crate::quantity::suggest::nearest(name, names.iter().copied())
                    .map_or_else(
                        || format!("kinds of joint are {}", quoted(&names)),
                        |near| format!("did you mean `{near}`?"),
                    );
                reader.mistake(
                    "E205",
                    format!("`{}` is not a kind of joint", shown(name)),
                    key.span(),
                    field.label(),
                    Some(help),
                );
                sound = false;
                continue;
            };
            match u32::read(value, field, reader) {
                Some(count) if (1..=MOST_JOINTS).contains(&count) => {
                    counts.insert(kind, count);
                }
                Some(_) => {
                    reader.mistake(
                        "E206",
                        format!("the number of `{name}` joints must be 1 to {MOST_JOINTS}"),
                        value.span(),
                        field.label(),
                        None,
                    );
                    sound = false;
                }
                None => sound = false,
            }
        }
        sound.then_some(Self(counts))
    }
    fn write(&self) -> String {
        let items: Vec<String> = self
            .0
            .iter()
            .map(|(kind, count)| format!("{} = {count}", kind.name()))
            .collect();
        format!("{{ {} }}", items.join(", "))
    }
}
