//! The program's own backend for a fuel or blend.

use super::{Backend, EosError, correlated, embedded};
use crate::fuel::{Composition, Groups, Kind, Library, Part};
use std::sync::Arc;

/// The program's own backend: the embedded one, or the correlations of a liquid that has no equation of
/// state; with a sentence to say among its assumptions.
pub(super) fn own_backend(
    library: &Library,
    composition: &Composition,
    remark: Option<String>,
) -> Result<Arc<dyn Backend>, EosError> {
    if composition.parts().iter().any(by_correlation) || by_rules(library, composition) {
        let correlated = correlated::Correlated::new(library, composition)?;
        return Ok(Arc::new(correlated.remarking(remark)));
    }
    let embedded = embedded::Embedded::new(library, composition)?;
    Ok(Arc::new(embedded.remarking(remark)))
}

/// Whether a blend of liquids with an alcohol or water in it has a pair without a published mixture model: blending
/// rules serve it better than an estimated pair.
fn by_rules(library: &Library, composition: &Composition) -> bool {
    let parts = composition.parts();
    let liquids = parts.iter().all(|p| p.fuel.groups.is_some());
    let estimated = |a: &Part, b: &Part| {
        let polar = |p: &Part| p.fuel.groups.is_some_and(Groups::polar);
        let pair = library.pair(&a.fuel.name, &b.fuel.name);
        (polar(a) || polar(b)) && pair.is_none_or(|p| p.estimated)
    };
    let mut pairs = (1..parts.len()).flat_map(|i| parts[..i].iter().map(move |a| (a, &parts[i])));
    liquids && pairs.any(|(a, b)| estimated(a, b))
}

/// Whether a component is known by correlations only.
pub(super) fn by_correlation(part: &Part) -> bool {
    part.fuel.kind == Kind::Correlation
}
