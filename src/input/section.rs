//! A table of the rig file declared once: keys, types, bounds, meaning. Reader, writer and the table of
//! keys all come from the declaration.

use std::ops::Range;

/// Where a table stands, and which of its keys are there but wrong. Equal to every other place: two
/// files that say the same are equal.
#[derive(Debug, Clone, Default)]
pub struct Place {
    /// Bytes of its header.
    pub span: Range<usize>,
    /// Path of the table.
    pub path: String,
    /// Keys whose values were refused: they are noted, and are not missing.
    pub wrong: Vec<&'static str>,
    /// Keys that say `"none"`.
    pub none: Vec<&'static str>,
}

impl PartialEq for Place {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

/// `required`, `optional`, or `stated`: optional, and the word `"none"` says that there is none.
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

/// Declares a table: a struct of entries, its list of [`Field`](super::field::Field)s, and how it is
/// read and written.
///
/// ```text
/// section! {
///     /// Where the rig stands.
///     Site "[site]" {
///         /// Temperature of the air.
///         ambient: ThermodynamicTemperature, required, Any, "\"12 degC\"";
///     }
/// }
/// ```
macro_rules! section {
    (
        $(#[doc = $about:literal])+
        $name:ident $heading:literal {
            $($(#[doc = $doc:literal])+
            $key:ident: $type:ty, $required:ident, $bounds:expr, $example:literal;)+
        }
    ) => {
        $(#[doc = $about])+
        #[derive(Debug, Clone, PartialEq, Default)]
        pub struct $name {
            $($(#[doc = $doc])+
            pub $key: Option<$crate::input::reader::Entry<$type>>,)+
            /// Where the table stands.
            pub stands: $crate::input::section::Place,
        }

        impl $name {
            /// What the table is.
            pub const ABOUT: $crate::input::field::SectionAbout = $crate::input::field::SectionAbout {
                heading: $heading,
                meaning: concat!($($about),+),
                fields: Self::fields,
            };

            /// Its keys.
            pub fn fields() -> &'static [$crate::input::field::Field] {
                #[allow(unused_imports, reason = "not every table needs every bound")]
                use $crate::input::field::Bounds::*;
                static FIELDS: std::sync::LazyLock<Vec<$crate::input::field::Field>> =
                    std::sync::LazyLock::new(|| vec![$($crate::input::field::Field {
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

            /// Names of its keys.
            pub const KEYS: &'static [&'static str] = &[$(stringify!($key)),+];

            /// Reads its keys from a table; keys of others in it are left alone.
            pub fn read(
                view: $crate::input::reader::TableView<'_>,
                reader: &mut $crate::input::reader::Reader,
            ) -> Self {
                let mut fields = Self::fields().iter();
                let mut read = Self {
                    $($key: fields.next().and_then(|f| reader.field(view, f)),)+
                    stands: $crate::input::section::Place {
                        span: view.at.clone(),
                        path: view.path.to_owned(),
                        ..$crate::input::section::Place::default()
                    },
                };
                $(if read.$key.is_none() && view.table.contains_key(stringify!($key)) {
                    let list = if reader.says_none(view, stringify!($key)) {
                        &mut read.stands.none
                    } else {
                        &mut read.stands.wrong
                    };
                    list.push(stringify!($key));
                })+
                read
            }

            /// Takes from another table what this one leaves out and `wanted` asks for; the values
            /// taken stand, for messages, at `span`.
            pub fn fill(
                &mut self,
                other: &Self,
                span: &std::ops::Range<usize>,
                wanted: &dyn Fn(&str) -> bool,
            ) {
                $(if self.$key.is_none()
                    && !self.stands.wrong.contains(&stringify!($key))
                    && !self.stands.none.contains(&stringify!($key))
                    && wanted(stringify!($key))
                {
                    self.$key = other.$key.clone().map(|entry| $crate::input::reader::Entry {
                        value: entry.value,
                        span: span.clone(),
                    });
                })+
            }

            /// Adds its keys that have numbers, as they are given.
            pub fn given(
                &self,
                table: &str,
                path: &str,
                air: $crate::quantity::AbsolutePressure,
                all: &mut Vec<$crate::train::rig::Given>,
            ) {
                $(if let Some(entry) = &self.$key {
                    let values = $crate::input::value::FieldValue::gauged(&entry.value, air);
                    if !values.is_empty() {
                        all.push($crate::train::rig::Given {
                            table: table.to_owned(),
                            key: stringify!($key),
                            path: format!("{path}.{}", stringify!($key)),
                            values,
                        });
                    }
                })+
            }

            /// Writes its keys as lines of TOML.
            pub fn write(&self, out: &mut String) {
                $(if let Some(entry) = &self.$key {
                    out.push_str(stringify!($key));
                    out.push_str(" = ");
                    out.push_str(&$crate::input::value::FieldValue::write(&entry.value));
                    out.push('\n');
                })+
                for key in &self.stands.none {
                    out.push_str(key);
                    out.push_str(" = \"none\"\n");
                }
            }
        }
    };
}

pub(crate) use {is_required, section, takes_none};
