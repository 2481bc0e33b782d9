//! Checks of the injector.

use super::Checker;
use crate::injector::drill_set::drill_set;
use crate::injector::drills::Drill;
use crate::injector::spec::{HoleEdge, HoleSize, InjectorSpec, ManifoldLayout, ManifoldSpec};
use crate::input::key::{AnyKey, Key};
use crate::input::raw::{self, RigFile};
use crate::input::reader::Entry;
use crate::input::value::FieldValue;
use crate::input::words::{Edge, Shape};
use crate::quantity::{Angle, Length};
use std::f64::consts::{PI, TAU};

impl Checker<'_> {
    pub(super) fn injector(&mut self, file: &RigFile) -> Option<InjectorSpec> {
        let raw = &file.injector;
        if !raw.holes.is_given() && !raw.shape.is_given() {
            // the table is missing or empty, which is noted
            return None;
        }
        let size = self.hole_size(raw, file);
        let edge = self.edge(raw);
        let pressure = self.maybe_absolute(&raw.pressure);
        let manifold = self.manifold(raw);
        let drills = self.drills(raw);
        self.hold_against(
            (&raw.edge_radius, "radius"),
            (&raw.hole_diameter, "hole"),
            |radius, diameter| radius > diameter,
            "the radius of the edge is larger than the hole",
        );
        Some(InjectorSpec {
            holes: raw.holes.value()?,
            size: size?,
            hole_length: raw.hole_length.value(),
            edge: edge?,
            discharge_coefficient: raw.discharge_coefficient.value(),
            tested: None,
            pressure: pressure?,
            temperature: raw.temperature.value(),
            manifold: manifold?,
            wanted_spread: raw.wanted_spread.value(),
            drills: drills?,
            cross_flow: raw.cross_flow.value(),
            mixing_length: raw.mixing_length.value(),
        })
    }

    fn hole_size(&mut self, raw: &raw::Injector, file: &RigFile) -> Option<HoleSize> {
        let which = self.exactly_one(&[&raw.hole_diameter, &raw.sized_at], "size of the holes")?;
        if which == 0 {
            return Some(HoleSize::Diameter(raw.hole_diameter.value()?));
        }
        let duty = raw.sized_at.entry.as_ref()?;
        let defined = self.duty_is_defined(duty, file);
        defined.then(|| HoleSize::SizedAt(duty.value.clone()))
    }

    fn drills(&mut self, raw: &raw::Injector) -> Option<Vec<Drill>> {
        let Some(words) = &raw.drills.entry else {
            return Some(Vec::new());
        };
        match drill_set(&words.value) {
            Ok(drills) => Some(drills),
            Err(error) => {
                self.wrong("E205", error.to_string(), &words.span, "drills", None);
                None
            }
        }
    }

    fn edge(&mut self, raw: &raw::Injector) -> Option<HoleEdge> {
        match raw.edge.value() {
            Some(Edge::Rounded) => {
                let because = "a rounded edge has a radius";
                let radius = self.need(&raw.edge_radius, because)?;
                Some(HoleEdge::Rounded(radius.value))
            }
            Some(edge) => {
                self.out_of_place(&raw.edge_radius, &raw.edge);
                Some(match edge {
                    Edge::Sharp => HoleEdge::Sharp,
                    Edge::Drilled | Edge::Rounded => HoleEdge::Drilled,
                })
            }
            None => Some(raw.edge_radius.value().map_or_else(
                || {
                    self.assume("The holes are taken as a twist drill leaves them.");
                    HoleEdge::Drilled
                },
                HoleEdge::Rounded,
            )),
        }
    }

    /// The tube: `Some(None)` for holes fed alike.
    #[allow(
        clippy::option_option,
        reason = "no tube and a wrong tube are different things: the first is no mistake"
    )]
    fn manifold(&mut self, raw: &raw::Injector) -> Option<Option<ManifoldSpec>> {
        let shape = raw.shape.value()?;
        let beside = &raw.shape;
        let (ring, bar) = (shape == Shape::Ring, shape == Shape::Bar);
        if !ring {
            self.out_of_place(&raw.ring_diameter, beside);
            self.out_of_place(&raw.feed_angles, beside);
            self.out_of_place(&raw.hole_angles, beside);
        }
        if !bar {
            self.out_of_place(&raw.bar_length, beside);
            self.out_of_place(&raw.feed_places, beside);
            self.out_of_place(&raw.hole_places, beside);
        }
        if !ring && !bar {
            self.out_of_place(&raw.tube_bore, beside);
            self.out_of_place(&raw.tube_roughness, beside);
            self.out_of_place(&raw.wanted_spread, beside);
            return Some(None);
        }
        let because = "holes along a tube need its size";
        let bore = self.need(&raw.tube_bore, because);
        self.hold_against(
            (&raw.tube_roughness, "roughness"),
            (&raw.tube_bore, "bore"),
            |roughness, bore| roughness.value >= 0.05 * bore.value,
            "the roughness is more than a twentieth of the bore",
        );
        let layout = if ring { self.ring(raw) } else { self.bar(raw) };
        Some(Some(ManifoldSpec {
            layout: layout?,
            bore: bore?.value,
            roughness: raw.tube_roughness.value(),
        }))
    }

    fn ring(&mut self, raw: &raw::Injector) -> Option<ManifoldLayout> {
        let because = "a ring has a diameter and a place where it is fed";
        let diameter = self.need(&raw.ring_diameter, because);
        let feeds = self.need(&raw.feed_angles, because);
        let (diameter, feeds) = (diameter?, feeds?);
        if let Some(bore) = &raw.tube_bore.entry
            && bore.value >= diameter.value
        {
            self.disagree(
                "the bore of the tube is not smaller than the ring",
                (&bore.span, "bore"),
                (&diameter.span, "ring"),
                None,
            );
            return None;
        }
        self.angles_within_a_turn(&raw.feed_angles);
        self.angles_within_a_turn(&raw.hole_angles);
        self.as_many_as_holes(&raw.hole_angles, raw);
        self.room_for_holes(raw, PI * diameter.value.value, &diameter.span, "ring");
        Some(ManifoldLayout::Ring {
            diameter: diameter.value,
            feeds: feeds.value.clone(),
            holes: raw.hole_angles.value(),
        })
    }

    fn bar(&mut self, raw: &raw::Injector) -> Option<ManifoldLayout> {
        let because = "a bar has a length and a place where it is fed";
        let length = self.need(&raw.bar_length, because);
        let feeds = self.need(&raw.feed_places, because);
        let (length, feeds) = (length?, feeds?);
        self.places_on_bar(&raw.feed_places, length);
        self.places_on_bar(&raw.hole_places, length);
        self.as_many_as_holes(&raw.hole_places, raw);
        self.room_for_holes(raw, length.value.value, &length.span, "bar");
        Some(ManifoldLayout::Bar {
            length: length.value,
            feeds: feeds.value.clone(),
            holes: raw.hole_places.value(),
        })
    }

    fn angles_within_a_turn(&mut self, key: &Key<Vec<Angle>>) {
        let Some(angles) = &key.entry else { return };
        if angles
            .value
            .iter()
            .any(|a| a.value.abs() > TAU * (1.0 + 1e-9))
        {
            self.wrong(
                "E206",
                format!(
                    "`{}` must lie within one turn, -360 deg to 360 deg",
                    key.field().key
                ),
                &angles.span,
                "an angle here is larger",
                None,
            );
        }
    }

    fn places_on_bar(&mut self, key: &Key<Vec<Length>>, length: &Entry<Length>) {
        let Some(places) = &key.entry else { return };
        if places.value.iter().any(|p| p.value > length.value.value) {
            self.disagree(
                format!(
                    "`{}` names a place beyond the end of the bar",
                    key.field().key
                ),
                (&places.span, "a place here is too far"),
                (&length.span, "length of the bar"),
                None,
            );
        }
    }

    fn as_many_as_holes<T: FieldValue>(&mut self, key: &Key<Vec<T>>, raw: &raw::Injector) {
        let (Some(places), Some(holes)) = (&key.entry, &raw.holes.entry) else {
            return;
        };
        if usize::try_from(holes.value).ok() != Some(places.value.len()) {
            self.disagree(
                format!(
                    "`{}` gives {} places for {} holes",
                    key.field().key,
                    places.value.len(),
                    holes.value
                ),
                (&places.span, "places"),
                (&holes.span, "holes"),
                None,
            );
        }
    }

    fn room_for_holes(
        &mut self,
        raw: &raw::Injector,
        length_m: f64,
        at: &std::ops::Range<usize>,
        what: &str,
    ) {
        let (Some(holes), Some(diameter)) = (&raw.holes.entry, &raw.hole_diameter.entry) else {
            return;
        };
        if f64::from(holes.value) * diameter.value.value > length_m {
            self.disagree(
                format!(
                    "{} holes of this diameter do not fit side by side on the {what}",
                    holes.value
                ),
                (&diameter.span, "diameter of a hole"),
                (at, "too short for them"),
                None,
            );
        }
        self.hold_against(
            (&raw.hole_diameter, "hole"),
            (&raw.tube_bore, "bore of the tube"),
            |hole, bore| hole >= bore,
            "a hole is not smaller than the tube it is drilled into",
        );
    }
}
