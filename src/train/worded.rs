//! Types that are one of a few words of the rig file, each declared beside its meaning.

/// One of a few words.
pub trait Worded: Clone + PartialEq + std::fmt::Debug + 'static {
    /// Every value with its word; a value that goes by several words is written with the first.
    const WORDS: &'static [(Self, &'static str)];
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
            $($(#[$doc:meta])*
            $variant:ident = $word:literal $(| $other:literal)*,)+
        }
    ) => {
        $(#[$about])+
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum $name {
            $($(#[$doc])*
            $variant,)+
        }

        impl $crate::train::worded::Worded for $name {
            const WORDS: &'static [(Self, &'static str)] =
                &[$((Self::$variant, $word) $(, (Self::$variant, $other))*),+];
        }
    };
}

pub(crate) use worded;
