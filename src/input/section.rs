//! A table of the rig file declared once: keys, types, bounds, meaning. Reader, writer and the table of
//! keys all come from the declaration.

use std::ops::Range;

/// Where a table stands. Equal to every other place: two files that say the same are equal.
#[derive(Debug, Clone, Default)]
pub struct Place(pub Range<usize>);

impl PartialEq for Place {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

/// `required` or `optional`.
macro_rules! is_required {
    (required) => {
        true
    };
    (optional) => {
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
            pub at: $crate::input::section::Place,
        }

        impl $name {
            /// What the table is.
            pub const ABOUT: $crate::input::field::SectionAbout = $crate::input::field::SectionAbout {
                heading: $heading,
                meaning: concat!($($about),+),
                fields: Self::fields,
            };

            /// Its keys.
            pub fn fields() -> Vec<$crate::input::field::Field> {
                #[allow(unused_imports, reason = "not every table needs every bound")]
                use $crate::input::field::Bounds::*;
                vec![$($crate::input::field::Field {
                    key: stringify!($key),
                    takes: <$type as $crate::input::value::FieldValue>::takes(),
                    required: $crate::input::section::is_required!($required),
                    bounds: $bounds,
                    example: $example,
                    meaning: concat!($($doc),+).trim_ascii_start(),
                }),+]
            }

            /// Names of its keys.
            pub const KEYS: &'static [&'static str] = &[$(stringify!($key)),+];

            /// Reads its keys from a table; keys of others in it are left alone.
            pub fn read(
                view: $crate::input::reader::TableView<'_>,
                reader: &mut $crate::input::reader::Reader,
            ) -> Self {
                let mut fields = Self::fields().into_iter();
                Self {
                    $($key: fields.next().and_then(|f| reader.field(view, &f)),)+
                    at: $crate::input::section::Place(view.at.clone()),
                }
            }

            /// Writes its keys as lines of TOML.
            pub fn write(&self, out: &mut String) {
                $(if let Some(entry) = &self.$key {
                    out.push_str(stringify!($key));
                    out.push_str(" = ");
                    out.push_str(&$crate::input::value::FieldValue::write(&entry.value));
                    out.push('\n');
                })+
            }
        }
    };
}

pub(crate) use {is_required, section};
