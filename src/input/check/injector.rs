//! Checks of the injector.

use super::{Checker, choice};
use crate::injector::spec::{HoleEdge, HoleSize, InjectorSpec, ManifoldLayout, ManifoldSpec};
use crate::input::raw::{self, RigFile, value};
use crate::input::reader::Entry;
use crate::input::section::Place;
use crate::input::words::{Edge, Shape};
use crate::quantity::{Angle, Length};
use std::f64::consts::{PI, TAU};

impl Checker<'_> {
    pub(super) fn injector(&mut self, file: &RigFile) -> Option<InjectorSpec> {
        let raw = &file.injector;
        let at = raw.stands.clone();
        if raw.holes.is_none() && raw.shape.is_none() {
            // the table is missing or empty, which is noted
            return None;
        }
        let size = self.hole_size(raw, file, &at);
        let edge = self.edge(raw, &at);
        let pressure = self.maybe_absolute(raw.pressure.as_ref());
        let manifold = self.manifold(raw, &at);
        if let (Some(radius), Some(diameter)) = (&raw.edge_radius, &raw.hole_diameter)
            && radius.value > diameter.value
        {
            self.disagree(
                "the radius of the edge is larger than the hole",
                (&radius.span, "radius"),
                (&diameter.span, "hole"),
                None,
            );
        }
        Some(InjectorSpec {
            holes: raw.holes.as_ref()?.value,
            size: size?,
            hole_length: value(raw.hole_length.as_ref()),
            edge: edge?,
            discharge_coefficient: value(raw.discharge_coefficient.as_ref()),
            pressure: pressure?,
            temperature: value(raw.temperature.as_ref()),
            manifold: manifold?,
            wanted_spread: value(raw.wanted_spread.as_ref()),
            cross_flow: value(raw.cross_flow.as_ref()),
            mixing_length: value(raw.mixing_length.as_ref()),
        })
    }

    fn hole_size(&mut self, raw: &raw::Injector, file: &RigFile, at: &Place) -> Option<HoleSize> {
        let which = self.exactly_one(
            &[
                choice("hole_diameter", raw.hole_diameter.as_ref()),
                choice("sized_at", raw.sized_at.as_ref()),
            ],
            at,
            "size of the holes",
        )?;
        if which == 0 {
            return Some(HoleSize::Diameter(raw.hole_diameter.as_ref()?.value));
        }
        let duty = raw.sized_at.as_ref()?;
        let names: Vec<&str> = file
            .duties
            .iter()
            .filter_map(|d| d.name.as_ref().map(|n| n.value.as_str()))
            .collect();
        if !names.contains(&duty.value.as_str()) {
            self.undefined("duty", duty, names);
            return None;
        }
        Some(HoleSize::SizedAt(duty.value.clone()))
    }

    fn edge(&mut self, raw: &raw::Injector, at: &Place) -> Option<HoleEdge> {
        match raw.edge.as_ref().map(|e| e.value) {
            Some(Edge::Rounded) => {
                let because = "a rounded edge has a radius";
                let radius = raw.edge_radius.as_ref();
                let radius = self.need(radius, "edge_radius", at, because, "\"0.2 mm\"")?;
                Some(HoleEdge::Rounded(radius.value))
            }
            Some(edge) => {
                let beside = ("edge", raw.edge.as_ref());
                self.out_of_place("edge_radius", raw.edge_radius.as_ref(), beside);
                Some(match edge {
                    Edge::Sharp => HoleEdge::Sharp,
                    Edge::Drilled | Edge::Rounded => HoleEdge::Drilled,
                })
            }
            None => Some(raw.edge_radius.as_ref().map_or_else(
                || {
                    self.assume("The holes are taken as a twist drill leaves them.");
                    HoleEdge::Drilled
                },
                |radius| HoleEdge::Rounded(radius.value),
            )),
        }
    }

    /// The tube: `Some(None)` for holes fed alike.
    #[allow(
        clippy::option_option,
        reason = "no tube and a wrong tube are different things: the first is no mistake"
    )]
    fn manifold(&mut self, raw: &raw::Injector, at: &Place) -> Option<Option<ManifoldSpec>> {
        let shape = raw.shape.as_ref()?;
        let beside = ("shape", Some(shape));
        let (ring, bar) = (shape.value == Shape::Ring, shape.value == Shape::Bar);
        if !ring {
            self.out_of_place("ring_diameter", raw.ring_diameter.as_ref(), beside);
            self.out_of_place("feed_angles", raw.feed_angles.as_ref(), beside);
            self.out_of_place("hole_angles", raw.hole_angles.as_ref(), beside);
        }
        if !bar {
            self.out_of_place("bar_length", raw.bar_length.as_ref(), beside);
            self.out_of_place("feed_places", raw.feed_places.as_ref(), beside);
            self.out_of_place("hole_places", raw.hole_places.as_ref(), beside);
        }
        if !ring && !bar {
            self.out_of_place("tube_bore", raw.tube_bore.as_ref(), beside);
            self.out_of_place("tube_roughness", raw.tube_roughness.as_ref(), beside);
            self.out_of_place("wanted_spread", raw.wanted_spread.as_ref(), beside);
            return Some(None);
        }
        let because = "holes along a tube need its size";
        let bore = self.need(raw.tube_bore.as_ref(), "tube_bore", at, because, "\"8 mm\"");
        if let (Some(bore), Some(roughness)) = (bore, &raw.tube_roughness)
            && roughness.value.value >= 0.05 * bore.value.value
        {
            self.disagree(
                "the roughness is more than a twentieth of the bore",
                (&roughness.span, "roughness"),
                (&bore.span, "bore"),
                None,
            );
        }
        let layout = if ring {
            self.ring(raw, at)
        } else {
            self.bar(raw, at)
        };
        Some(Some(ManifoldSpec {
            layout: layout?,
            bore: bore?.value,
            roughness: value(raw.tube_roughness.as_ref()),
        }))
    }

    fn ring(&mut self, raw: &raw::Injector, at: &Place) -> Option<ManifoldLayout> {
        let because = "a ring has a diameter and a place where it is fed";
        let diameter = raw.ring_diameter.as_ref();
        let diameter = self.need(diameter, "ring_diameter", at, because, "\"120 mm\"");
        let feeds = raw.feed_angles.as_ref();
        let feeds = self.need(feeds, "feed_angles", at, because, "[\"0 deg\"]");
        let (diameter, feeds) = (diameter?, feeds?);
        if let Some(bore) = &raw.tube_bore
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
        self.angles_within_a_turn("feed_angles", Some(feeds));
        self.angles_within_a_turn("hole_angles", raw.hole_angles.as_ref());
        self.as_many_as_holes("hole_angles", raw.hole_angles.as_ref(), raw);
        self.room_for_holes(raw, PI * diameter.value.value, &diameter.span, "ring");
        Some(ManifoldLayout::Ring {
            diameter: diameter.value,
            feeds: feeds.value.clone(),
            holes: value(raw.hole_angles.as_ref()),
        })
    }

    fn bar(&mut self, raw: &raw::Injector, at: &Place) -> Option<ManifoldLayout> {
        let because = "a bar has a length and a place where it is fed";
        let length = raw.bar_length.as_ref();
        let length = self.need(length, "bar_length", at, because, "\"300 mm\"");
        let feeds = raw.feed_places.as_ref();
        let feeds = self.need(feeds, "feed_places", at, because, "[\"150 mm\"]");
        let (length, feeds) = (length?, feeds?);
        for (key, places) in [
            ("feed_places", Some(feeds)),
            ("hole_places", raw.hole_places.as_ref()),
        ] {
            self.places_on_bar(key, places, length);
        }
        self.as_many_as_holes("hole_places", raw.hole_places.as_ref(), raw);
        self.room_for_holes(raw, length.value.value, &length.span, "bar");
        Some(ManifoldLayout::Bar {
            length: length.value,
            feeds: feeds.value.clone(),
            holes: value(raw.hole_places.as_ref()),
        })
    }

    fn angles_within_a_turn(&mut self, key: &str, angles: Option<&Entry<Vec<Angle>>>) {
        let Some(angles) = angles else { return };
        if angles
            .value
            .iter()
            .any(|a| a.value.abs() > TAU * (1.0 + 1e-9))
        {
            self.wrong(
                "E206",
                format!("`{key}` must lie within one turn, -360 deg to 360 deg"),
                &angles.span,
                "an angle here is larger",
                None,
            );
        }
    }

    fn places_on_bar(
        &mut self,
        key: &str,
        places: Option<&Entry<Vec<Length>>>,
        length: &Entry<Length>,
    ) {
        let Some(places) = places else { return };
        if places.value.iter().any(|p| p.value > length.value.value) {
            self.disagree(
                format!("`{key}` names a place beyond the end of the bar"),
                (&places.span, "a place here is too far"),
                (&length.span, "length of the bar"),
                None,
            );
        }
    }

    fn as_many_as_holes<T>(
        &mut self,
        key: &str,
        places: Option<&Entry<Vec<T>>>,
        raw: &raw::Injector,
    ) {
        let (Some(places), Some(holes)) = (places, &raw.holes) else {
            return;
        };
        if usize::try_from(holes.value).ok() != Some(places.value.len()) {
            self.disagree(
                format!(
                    "`{key}` gives {} places for {} holes",
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
        let (Some(holes), Some(diameter)) = (&raw.holes, &raw.hole_diameter) else {
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
        if let Some(bore) = &raw.tube_bore
            && diameter.value >= bore.value
        {
            self.disagree(
                "a hole is not smaller than the tube it is drilled into",
                (&diameter.span, "hole"),
                (&bore.span, "bore of the tube"),
                None,
            );
        }
    }
}
