//! A table of the rig file declared once: keys, types, bounds, meaning. Reader, writer and the table of
//! keys all come from the declaration.

use super::field::SectionAbout;
use super::key::AnyKey;
use super::reader::{Reader, TableView};
use crate::quantity::AbsolutePressure;
use crate::train::rig::Given;
use std::fmt::Write;
use std::ops::Range;

/// Where a table stands. Equal to every other place: two files that say the same are equal.
#[derive(Debug, Clone, Default)]
pub struct Place {
    /// Bytes of its header.
    pub span: Range<usize>,
    /// Path of the table.
    pub path: String,
}

impl PartialEq for Place {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

/// A table of the rig file, or one of a list of them.
pub(crate) trait Table {
    /// What it is, under this heading.
    fn about(heading: String) -> SectionAbout
    where
        Self: Sized;
    /// Further keys by the kind of thing that it describes.
    fn kinds() -> Vec<SectionAbout>
    where
        Self: Sized,
    {
        Vec::new()
    }
    /// Reads it, and notes every key that it does not know.
    fn read_whole(view: TableView<'_>, reader: &mut Reader) -> Self
    where
        Self: Sized;
    /// Where it stands.
    fn stands(&self) -> &Place;
    /// Its keys.
    fn keys(&self) -> Vec<&dyn AnyKey>;
    /// What its numbers are listed under, if not the name of the table; `None`: not to be listed.
    fn listed_under(&self, name: &str) -> Option<String> {
        Some(name.to_owned())
    }

    /// Writes its keys as lines of TOML.
    fn write(&self, out: &mut String) {
        for key in self.keys() {
            if let Some(value) = key.written() {
                let _ = writeln!(out, "{} = {value}", key.field().key);
            }
        }
    }

    /// Adds its keys that have numbers, as they are given.
    fn given(&self, name: &str, air: AbsolutePressure, all: &mut Vec<Given>) {
        let Some(table) = self.listed_under(name) else {
            return;
        };
        let path = &self.stands().path;
        all.extend(self.keys().into_iter().filter_map(|key| {
            let values = key.gauged(air);
            let name = key.field().key;
            (!values.is_empty()).then(|| Given {
                table: table.clone(),
                key: name,
                path: format!("{path}.{name}"),
                values,
            })
        }));
    }
}

/// Whether a key must be given.
macro_rules! is_required {
    (required) => {
        true
    };
    ($other:ident) => {
        false
    };
}

/// Whether `"none"` is an answer.
macro_rules! takes_none {
    (stated) => {
        true
    };
    ($other:ident) => {
        false
    };
}

/// What a key says, as the model has it.
macro_rules! model_value {
    (required, $key:expr) => {
        $key.value()?
    };
    ($other:ident, $key:expr) => {
        $key.value()
    };
}

/// Declares a table: a struct of keys, the list of their [`Field`](super::field::Field)s, and how it is
/// read and written; `for` a type of the model that has the same fields, what it says is made into that
/// type. A key is `required`, `optional`, or `stated`: optional, and the word `"none"` says
/// that there is none.
///
/// ```text
/// section! {
///     /// Dates and papers.
///     Records for rig::Records {
///         /// Day the rig is to be lit.
///         test_day: Date, optional, Any, "2026-04-01";
///     }
/// }
/// ```
macro_rules! section {
    (
        $(#[doc = $about:literal])+
        $name:ident for $($model:ident)::+ {
            $($(#[doc = $doc:literal])+
            $key:ident: $type:ty, $required:ident, $bounds:expr, $example:literal;)+
        }
    ) => {
        $crate::input::section::section! {
            $(#[doc = $about])+
            $name {
                $($(#[doc = $doc])+
                $key: $type, $required, $bounds, $example;)+
            }
        }

        impl $name {
            /// What it says; `None` where a key that it must have could not be read.
            pub fn model(&self) -> Option<$($model)::+> {
                Some($($model)::+ {
                    $($key: $crate::input::section::model_value!($required, self.$key),)+
                })
            }
        }
    };
    (
        $(#[doc = $about:literal])+
        $name:ident {
            $($(#[doc = $doc:literal])+
            $key:ident: $type:ty, $required:ident, $bounds:expr, $example:literal;)+
        }
    ) => {
        $(#[doc = $about])+
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name {
            $($(#[doc = $doc])+
            pub $key: $crate::input::key::Key<$type>,)+
            /// Where the table stands.
            pub stands: $crate::input::section::Place,
        }

        impl $name {
            /// Names of its keys.
            pub const KEYS: &'static [&'static str] = &[$(stringify!($key)),+];

            /// How its keys are declared.
            fn fields() -> &'static [$crate::input::field::Field; $name::KEYS.len()] {
                #[allow(unused_imports, reason = "not every table needs every bound")]
                use $crate::input::field::Bounds::*;
                static FIELDS: std::sync::LazyLock<[$crate::input::field::Field; $name::KEYS.len()]> =
                    std::sync::LazyLock::new(|| [$($crate::input::field::Field {
                    key: stringify!($key),
                    takes: <$type as $crate::input::value::FieldValue>::takes(),
                    unit: <$type as $crate::input::value::FieldValue>::UNIT,
                    required: $crate::input::section::is_required!($required),
                    takes_none: $crate::input::section::takes_none!($required),
                    bounds: $bounds,
                    example: $example,
                    meaning: concat!($($doc),+).trim_ascii_start(),
                }),+]);
                &FIELDS
            }

            /// Reads its keys from a table; keys of others in it are left alone.
            pub fn read(
                view: $crate::input::reader::TableView<'_>,
                reader: &mut $crate::input::reader::Reader,
            ) -> Self {
                let [$($key),+] = Self::fields();
                Self {
                    $($key: reader.key(view, $key),)+
                    stands: $crate::input::section::Place {
                        span: view.at.clone(),
                        path: view.path.to_owned(),
                    },
                }
            }

            /// Takes from another table what this one leaves out and `wanted` asks for; the values
            /// taken stand, for messages, at `span`.
            pub fn fill(
                &mut self,
                other: &Self,
                span: &std::ops::Range<usize>,
                wanted: &dyn Fn(&str) -> bool,
            ) {
                $(self.$key.fill(&other.$key, span, wanted);)+
            }
        }

        impl Default for $name {
            fn default() -> Self {
                let [$($key),+] = Self::fields();
                Self {
                    $($key: $crate::input::key::Key::absent($key, 0..0),)+
                    stands: $crate::input::section::Place::default(),
                }
            }
        }

        impl $crate::input::section::Table for $name {
            fn about(heading: String) -> $crate::input::field::SectionAbout {
                $crate::input::field::SectionAbout {
                    heading,
                    meaning: concat!($($about),+).trim_ascii(),
                    fields: Self::fields(),
                }
            }
            fn read_whole(
                view: $crate::input::reader::TableView<'_>,
                reader: &mut $crate::input::reader::Reader,
            ) -> Self {
                reader.unknown_keys(view, Self::KEYS);
                Self::read(view, reader)
            }
            fn stands(&self) -> &$crate::input::section::Place {
                &self.stands
            }
            fn keys(&self) -> Vec<&dyn $crate::input::key::AnyKey> {
                vec![$(&self.$key),+]
            }
        }
    };
}

pub(crate) use {is_required, model_value, section, takes_none};
