//! The program's own backend for a fuel or blend.

use super::{Backend, EosError, correlated, embedded};
use crate::fuel::{Composition, Kind, Library, Part};
use std::sync::Arc;

/// The program's own backend: the embedded one, or the correlations of a liquid that has no equation of
/// state; with a sentence to say among its assumptions.
pub(super) fn own_backend(
    library: &Library,
    composition: &Composition,
    remark: Option<String>,
) -> Result<Arc<dyn Backend>, EosError> {
    if composition.parts().iter().any(by_correlation) {
        let correlated = correlated::Correlated::new(library, composition)?;
        return Ok(Arc::new(correlated.remarking(remark)));
    }
    let embedded = embedded::Embedded::new(library, composition)?;
    Ok(Arc::new(embedded.remarking(remark)))
}

/// Whether a component is known by correlations only.
pub(super) fn by_correlation(part: &Part) -> bool {
    part.fuel.kind == Kind::Correlation
}
