//! The macros that declare a record.

/// Declares a record: its lines, and from which values it is filled. A line is `key: Kind = value`, in the order of
/// the JSON object; `(key)` is for people only, `[key]` is left out where there is nothing, `..key` takes the keys
/// of another record in its place. With a heading it is shown, in a table with so many digits; `=> Kind = value` where
/// what is shown differs; `note`, `band` (of numbers, SI) and `source` stand behind a fact, which is left out where it
/// has no value, unless it is marked `[dash]`. Columns marked `[optional]` give way on a narrow page. A kind that
/// differs from row to row comes with its number, `(kind, si)`. `with` names values.
///
/// ```text
/// record! {
///     /// A part by itself.
///     Part(item: &Item, whole: Mass)
///     with { known = item.dry.map(|_| item.fuelled()); }
///     {
///         name: Text = &item.name, "part";
///         /// Whether it belongs to the train, the tank or the burner.
///         group: Text = item.group.name();
///         fuelled_kg: Mass = known, "with fuel";
///         mass_per_joint_kg: Mass = item.mass_per_joint(), "for a joint" 2 [optional];
///     }
/// }
/// ```
macro_rules! record {
    ($(
        $(#[doc = $about:literal])+
        $name:ident($($arg:ident: $of:ty),* $(,)?)
        $(with { $($pat:pat_param = $init:expr;)+ })?
        {$(
            $(#[doc = $doc:literal])*
            $($key:ident)? $(($people:ident))? $([$any:ident])? $(..$flat:ident)?:
                $kind:ident $(($shape:ty))? = $value:expr
            $(, $heading:literal $($digits:literal)? $([$mark:ident])?
                $(=> $as:ident = $shown:expr)?
                $(, note $note:expr)? $(, band $band:expr)? $(, source $source:expr)?)?;
        )+}
    )+) => {$(
        $(#[doc = $about])+
        #[derive(Debug, Clone, Copy)]
        pub(crate) struct $name;

        impl $name {
            /// Its lines.
            pub(crate) fn shape() -> &'static $crate::report::record::Shape {
                use $crate::report::record::{self, Line, Shape};
                static SHAPE: std::sync::LazyLock<Shape> = std::sync::LazyLock::new(|| Shape {
                    about: concat!($($about),+).trim_ascii_start(),
                    lines: vec![$(Line {
                        key: record::stands!(name $($key)? $($people)? $($any)? $($flat)?),
                        stands: record::stands!($($key)? $(($people))? $([$any])? $(..$flat)?),
                        takes: record::takes!($kind $(($shape))?),
                        about: concat!("", $($doc),*).trim_ascii_start(),
                        heading: record::first!($(Some($heading),)? None),
                        shown: record::first!($($(record::takes!($as),)?)? record::takes!($kind $(($shape))?)),
                        digits: record::first!($($($digits,)?)? record::DIGITS),
                        optional: record::first!($($(record::mark!(optional $mark),)?)? false),
                        dash: record::first!($($(record::mark!(dash $mark),)?)? false),
                    }),+],
                });
                &SHAPE
            }

            /// Filled with values.
            #[allow(clippy::too_many_arguments, reason = "as many as its lines are made from")]
            pub(crate) fn row($($arg: $of),*) -> $crate::report::record::Row {
                use $crate::report::record::{self, Cell, Row};
                $($(let $pat = $init;)+)?
                Row {
                    shape: Self::shape(),
                    cells: vec![$(Cell {
                        raw: ($value).into(),
                        shown: record::first!($($(Some(($shown).into()),)?)? None),
                        note: record::first!($($(record::words($note),)?)? None),
                        band: record::first!($($(record::ends($band),)?)? None),
                        source: record::first!($($(record::words($source),)?)? None),
                    }),+],
                }
            }
        }
    )+};
}

macro_rules! first {
    ($first:expr $(, $($rest:tt)*)?) => {
        $first
    };
}

macro_rules! mark {
    (optional optional) => {
        true
    };
    (dash dash) => {
        true
    };
    ($asked:ident $mark:ident) => {
        false
    };
}

macro_rules! stands {
    (name $key:ident) => {
        stringify!($key)
    };
    (($key:ident)) => {
        $crate::report::record::Stands::Shown
    };
    ([$key:ident]) => {
        $crate::report::record::Stands::KeyIfAny
    };
    (..$key:ident) => {
        $crate::report::record::Stands::Flat
    };
    ($key:ident) => {
        $crate::report::record::Stands::Key
    };
}

macro_rules! takes {
    (Rows($shape:ty)) => {
        $crate::report::record::Takes::Rows(<$shape>::shape)
    };
    (Row($shape:ty)) => {
        $crate::report::record::Takes::Row(<$shape>::shape)
    };
    (Number) => {
        $crate::report::record::Takes::Number
    };
    (Count) => {
        $crate::report::record::Takes::Count
    };
    (Flag) => {
        $crate::report::record::Takes::Flag
    };
    (Text) => {
        $crate::report::record::Takes::Text
    };
    (Texts) => {
        $crate::report::record::Takes::Texts
    };
    (Counts) => {
        $crate::report::record::Takes::Counts
    };
    (Numbers) => {
        $crate::report::record::Takes::Numbers
    };
    (Shares) => {
        $crate::report::record::Takes::Shares
    };
    ($kind:ident) => {
        $crate::report::record::Takes::Of($crate::quantity::Kind::$kind)
    };
}

pub(crate) use {first, mark, record, stands, takes};
