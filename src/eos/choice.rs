//! Which backend serves a fuel or blend.

#[cfg(feature = "coolprop")]
use super::coolprop;
use super::own::own_backend;
use super::{Backend, EosError};
use crate::fuel::{Composition, Library, PropertyCode};
use std::sync::Arc;

/// The backend for a fuel or blend of the library, by the code that the library asks for
/// ([`Library::property_code`]). Where that is CoolProp and it lacks a component or a pair, the program's own
/// serves and says so in its assumptions.
///
/// # Errors
/// [`EosError::NotAvailable`] if a component has no equation of state, if a correlated liquid is part
/// of a blend, or if CoolProp is asked for and not built in.
pub fn backend(library: &Library, composition: &Composition) -> Result<Arc<dyn Backend>, EosError> {
    match library.property_code() {
        PropertyCode::Embedded => own_backend(library, composition, None),
        #[cfg(feature = "coolprop")]
        PropertyCode::CoolProp => coolprop::backend(library, composition),
        #[cfg(not(feature = "coolprop"))]
        PropertyCode::CoolProp => Err(EosError::NotAvailable {
            what: "second opinion",
            fuel: composition.label().to_owned(),
            why: "this program was built without the feature `coolprop`".into(),
        }),
    }
}
