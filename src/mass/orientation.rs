//! A mass to go by where a rig gives none: that of a generic part alike.

use super::lighter::generic;
use crate::quantity::Mass;
use crate::train::catalogue::{GenericPart, generic_parts};
use crate::train::{Part, PartKind};

/// The generic part of the same kind that has a mass and the next larger size: flow coefficient of a
/// regulator's seat, bore of all others. The largest where none is as large.
pub fn orientation(part: &Part) -> Option<(&'static GenericPart, Mass)> {
    let size = size_of(part)?;
    let mut alike: Vec<_> = generic_parts()
        .iter()
        .filter(|g| g.kind == part.kind.name())
        .filter_map(|g| Some((g, generic::size(g)?, generic::mass(g)?)))
        .collect();
    alike.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.2.value.total_cmp(&b.2.value)));
    let next = alike.iter().find(|(_, s, _)| *s >= size * (1.0 - 1e-9));
    next.or(alike.last()).map(|(g, _, m)| (*g, *m))
}

fn size_of(part: &Part) -> Option<f64> {
    match &part.kind {
        PartKind::Regulator(r) => Some(r.wide_open.kv()),
        kind => kind.bore().map(|b| b.value),
    }
}
