//! Words of the rig file and what they stand for.

use super::field::{Field, Takes, quoted};
use super::reader::{NONE, Reader};
use super::value::{FieldValue, wrong};
use crate::quantity::printable::name as shown;
use crate::quantity::suggest::nearest;
use crate::train::JointKind;
use crate::train::worded::{Worded, worded};
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::DeValue;

impl<T: Worded> FieldValue for T {
    fn takes() -> Takes {
        let named = T::WORDS
            .iter()
            .map(|(value, word)| (*word, value.meaning()));
        Takes::Word(named.collect())
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
        let Some(written) = v.get_ref().as_str() else {
            return wrong(v, field, reader);
        };
        if let Some((value, _)) = T::WORDS.iter().find(|(_, w)| *w == written) {
            return Some(value.clone());
        }
        let names: Vec<&'static str> = words::<T>().collect();
        let help = nearest(written, names.iter().copied()).map_or_else(
            || format!("it takes {}", quoted(&names)),
            |near| format!("did you mean `{near}`?"),
        );
        reader.mistake(
            "E205",
            format!("`{}` is not a word for `{}`", shown(written), field.key),
            v.span(),
            field.label(),
            Some(help),
        );
        None
    }
    fn write(&self) -> String {
        let found = T::WORDS.iter().find(|(v, _)| v == self);
        format!("\"{}\"", found.map_or("", |(_, w)| w))
    }
    fn of_none() -> Option<Self> {
        let none = T::WORDS.iter().find(|(_, w)| *w == NONE);
        none.map(|(value, _)| value.clone())
    }
}

fn words<T: Worded>() -> impl Iterator<Item = &'static str> {
    T::WORDS.iter().map(|(_, word)| *word)
}

worded! {
    /// Shape of an injector.
    pub enum Shape {
        /// Holes along a ring tube.
        Ring = "ring",
        /// Holes along a bar.
        Bar = "bar",
        /// Holes fed alike, such as in a cap or plate.
        Holes = "holes",
    }
}

worded! {
    /// Edge of a hole.
    pub enum Edge {
        /// As a twist drill leaves it.
        Drilled = "drilled",
        /// Square, reamed, free of burr.
        Sharp = "sharp",
        /// Rounded.
        Rounded = "rounded",
    }
}

worded! {
    /// Curve of a valve.
    pub enum Curve {
        /// Open or shut.
        OnOff = "on-off",
        /// Linear.
        Linear = "linear",
        /// Equal percentage.
        EqualPercentage = "equal-percentage",
    }
}

worded! {
    /// Kind of a part.
    #[allow(
        missing_docs,
        reason = "the words say it; the model's kinds carry the meaning"
    )]
    pub enum Kind {
        CylinderValve = "cylinder-valve",
        DipTube = "dip-tube",
        ExcessFlowValve = "excess-flow-valve",
        Regulator = "regulator",
        Filter = "filter",
        Hose = "hose",
        Tube = "tube",
        Fitting = "fitting",
        BallValve = "ball-valve",
        NeedleValve = "needle-valve",
        SolenoidValve = "solenoid-valve",
        MeteringValve = "metering-valve",
        CheckValve = "check-valve",
        FlameArrestor = "flame-arrestor",
        OrificePlate = "orifice-plate",
        Pump = "pump",
        Vaporiser = "vaporiser",
        ReliefValve = "relief-valve",
        Tapping = "tapping",
    }
}

impl Kind {
    /// Its word in the rig file.
    pub fn word(self) -> String {
        self.write().replace('"', "")
    }
}

worded! {
    /// Shape of a fitting whose loss is computed.
    pub enum Loss {
        /// Smooth bend.
        Bend = "bend",
        /// Mitred bend.
        Mitre = "mitre",
        /// Step down.
        Contraction = "contraction",
        /// Step up.
        Expansion = "expansion",
        /// Entrance.
        Entrance = "entrance",
    }
}

/// Most joints of one kind that one part brings.
pub(super) const MOST_JOINTS: u32 = 1000;

/// Joints of a part: how many of each kind.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct JointCounts(pub BTreeMap<JointKind, u32>);

impl FieldValue for JointCounts {
    fn takes() -> Takes {
        let named = JointKind::WORDS.iter();
        Takes::Counts(named.map(|(kind, word)| (*word, kind.meaning())).collect())
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
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
                let help = nearest(name, names.iter().copied()).map_or_else(
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
