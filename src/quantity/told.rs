//! Errors declared once: each variant with its fields and the sentence that it is told by.

/// Declares error enums. A variant stands with its fields, and behind `=>` the sentence and a piece for each of
/// its `{}`; the fields are at hand by value, and in a sentence without pieces also as `{field}`. A variant that
/// holds the error behind it, `Eos(EosError)`, is made from that by `?`, and says the same, or puts it in the
/// place of its own sentence.
///
/// What comes of it: the enum, `From` each error behind it, [`Told`](super::sentence::Told), `Display` in SI,
/// and `Error`, without `source`: the sentence has the cause in it.
macro_rules! errors {
    ($(
        $(#[$about:meta])*
        $vis:vis enum $Error:ident {$(
            $(#[$doc:meta])*
            $Variant:ident
                $({ $($(#[$field_doc:meta])* $field:ident: $Field:ty),* $(,)? })?
                $(($Cause:ty))?
                $(=> $template:literal $(, $piece:expr)*)?;
        )+}
    )+) => {$(
        $(#[$about])*
        #[derive(Debug, Clone, PartialEq)]
        #[allow(missing_docs, reason = "the sentence tells of the variant, the name of the field and its unit")]
        $vis enum $Error {$(
            $(#[$doc])*
            $(#[doc = concat!("\n`` ", $template, " ``")])?
            $Variant $({ $($(#[$field_doc])* $field: $Field),* })? $(($Cause))?,
        )+}

        impl $crate::quantity::sentence::Told for $Error {
            #[allow(unused_variables, clippy::too_many_lines, reason = "one sentence a variant")]
            fn told(&self) -> $crate::quantity::sentence::Sentence {
                match Clone::clone(self) {$(
                    Self::$Variant $({ $($field),* })? $(($crate::quantity::told::held!(cause $Cause)))? =>
                        $crate::quantity::told::told!([$(cause: $Cause)?] $($template $(, $piece)*)?),
                )+}
            }
        }
        $crate::quantity::sentence::displayed!($Error);
        impl std::error::Error for $Error {}

        $($(
            impl From<$Cause> for $Error {
                fn from(cause: $Cause) -> Self {
                    Self::$Variant(cause)
                }
            }
        )?)+
    )+};
}
pub(crate) use errors;

/// The name of the error behind a variant, where there is one.
macro_rules! held {
    ($cause:ident $Cause:ty) => {
        $cause
    };
}
pub(crate) use held;

/// What a variant of [`errors!`] is told by.
macro_rules! told {
    ([$cause:ident: $Cause:ty]) => {
        $crate::quantity::sentence::Told::told(&$cause)
    };
    ([$cause:ident: $Cause:ty] $template:literal) => {
        $crate::quantity::sentence::sentence!(
            $template,
            $crate::quantity::sentence::Told::told(&$cause)
        )
    };
    ([] $($sentence:tt)+) => {
        $crate::quantity::sentence::sentence!($($sentence)+)
    };
}
pub(crate) use told;
