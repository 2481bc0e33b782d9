//! Types that are one of a few words of the rig file, each declared beside its meaning.

/// One of a few words.
pub trait Worded: Clone + PartialEq + std::fmt::Debug + 'static {
    /// Every value with its word; a value that goes by several words is written with the first.
    const WORDS: &'static [(Self, &'static str)];
    /// What each value means; empty for what the word says by itself.
    const MEANINGS: &'static [(Self, &'static str)] = &[];

    /// What this one means.
    fn meaning(&self) -> &'static str {
        let found = Self::MEANINGS.iter().find(|(value, _)| value == self);
        found.map_or("", |(_, meaning)| meaning)
    }
}

/// Declares an enum whose values are words of the rig file.
///
/// ```text
/// worded! {
///     /// Indoors or outdoors.
///     pub enum Setting {
///         /// Under a roof with walls.
///         Indoor = "indoor",
///         /// In the open.
///         Outdoor = "outdoor",
///     }
/// }
/// ```
macro_rules! worded {
    (
        $(#[$about:meta])+
        pub enum $name:ident {
            $($(#[doc = $doc:literal])*
            $variant:ident = $word:literal $(| $other:literal)*,)+
        }
    ) => {
        $(#[$about])+
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum $name {
            $($(#[doc = $doc])*
            $variant,)+
        }

        impl $crate::train::worded::Worded for $name {
            const WORDS: &'static [(Self, &'static str)] =
                &[$((Self::$variant, $word) $(, (Self::$variant, $other))*),+];
            const MEANINGS: &'static [(Self, &'static str)] =
                &[$((Self::$variant, concat!("", $($doc),*).trim_ascii())),+];
        }
    };
}

pub(crate) use worded;
