//! Checks of the parts of a train, one by one.

use super::{Checker, choice};
use crate::flow::line::{Friction, Line, WallHeat};
use crate::flow::regulator::Regulator;
use crate::flow::valve::Style;
use crate::input::raw::train::{Common, LineKeys, PartKeys, RegulatorKeys, TappingKeys, ValveKeys};
use crate::input::raw::{Part as RawPart, value};
use crate::input::section::Place;
use crate::input::value::FieldValue;
use crate::input::words::{Curve, Kind};
use crate::quantity::printable::cut_name;
use crate::quantity::sentence::{self, sentence};
use crate::quantity::{FlowCoefficient, kilograms_per_second, metres, pascals_difference};
use crate::train::catalogue::{generic_part, generic_parts};
use crate::train::part_protection::Drive;
use crate::train::{
    Actuation, Characteristic, Closure, Joints, OnLoss, Part, PartKind, Protection, Rating,
    Tapping, Valve,
};

/// Roughness of drawn tube, m: textbook figure (Moody 1944), from memory.
const DRAWN_ROUGHNESS_M: f64 = 1.5e-6;
/// Rangeability where none is given: common practice, no source.
const USUAL_RANGEABILITY: f64 = 30.0;

/// Why a size is needed.
pub(super) const SIZE: &str =
    "the sums need the size of the part, or a catalogue name that gives it";

impl Checker<'_> {
    pub(super) fn part(&mut self, raw: &RawPart) -> Option<Part> {
        let filled = self.filled(raw)?;
        let raw = &filled;
        let mut at = raw.common.stands.clone();
        // a key of its kind that is there but could not be read is noted, and not missing
        if let Some(keys) = &raw.keys {
            at.wrong.extend(keys.wrong());
        }
        let kind = self.part_kind(raw, &at);
        let max_pressure = self.maybe_absolute(raw.common.max_pressure.as_ref());
        let closure = self.closure(&raw.common);
        let protection = self.protection(raw);
        self.rating_in_order(&raw.common);
        let joints = raw.common.joints.as_ref().map_or_else(Vec::new, |j| {
            let pairs = j.value.0.iter();
            pairs
                .map(|(kind, count)| Joints {
                    kind: *kind,
                    count: *count,
                })
                .collect()
        });
        Some(Part {
            name: raw.common.name.as_ref()?.value.clone(),
            kind: kind?,
            mass: value(raw.common.mass.as_ref()),
            joints,
            rating: Rating {
                max_pressure: max_pressure?,
                min_temperature: value(raw.common.min_temperature.as_ref()),
                max_temperature: value(raw.common.max_temperature.as_ref()),
            },
            wetted: value(raw.common.wetted.as_ref()).unwrap_or_default(),
            internal_volume: value(raw.common.internal_volume.as_ref()),
            closure: closure?,
            catalogue: value(raw.common.catalogue.as_ref()),
            protection: protection?,
        })
    }

    fn protection(&mut self, raw: &RawPart) -> Option<Protection> {
        let mut protection = Protection {
            driven_by: (raw.common.driven_by.as_ref()).map(|d| Drive(cut_name(d.value.trim()))),
            self_closing: value(raw.common.self_closing.as_ref()),
            ..Protection::default()
        };
        match raw.keys.as_ref() {
            Some(PartKeys::Valve(k)) => {
                protection.max_differential = value(k.max_differential.as_ref());
            }
            Some(PartKeys::Regulator(k)) => {
                protection.vents_to = value(k.vents_to.as_ref());
                let slam = k.shut_off_pressure.as_ref();
                protection.shut_off_pressure = self.maybe_absolute(slam)?;
            }
            Some(PartKeys::Check(k)) => protection.arrow = value(k.arrow.as_ref()),
            Some(PartKeys::Relief(k)) => protection.vents_to = value(k.vents_to.as_ref()),
            _ => {}
        }
        Some(protection)
    }

    /// The part with what its generic part gives.
    fn filled(&mut self, raw: &RawPart) -> Option<RawPart> {
        let Some(name) = &raw.common.catalogue else {
            return Some(raw.clone());
        };
        let Some(generic) = generic_part(&name.value) else {
            let names = generic_parts().iter().map(|p| p.name.as_str());
            self.undefined("generic part", name, names);
            return None;
        };
        if let Some(kind) = &raw.common.kind
            && kind.value.write() != format!("\"{}\"", generic.kind)
        {
            self.disagree(
                format!("`{}` is a generic {}", generic.name, generic.kind),
                (&name.span, "of another kind"),
                (&kind.span, "the kind of this part"),
                None,
            );
            return None;
        }
        Some(raw.filled_from(generic))
    }

    fn rating_in_order(&mut self, raw: &Common) {
        if let (Some(low), Some(high)) = (&raw.min_temperature, &raw.max_temperature)
            && low.value.value > high.value.value
        {
            self.disagree(
                "the lowest temperature is above the highest",
                (&low.span, "lowest"),
                (&high.span, "highest"),
                None,
            );
        }
    }

    /// How the part closes: `Some(None)` where it cannot.
    #[allow(
        clippy::option_option,
        reason = "no closure and a wrong one are different things: the first is no mistake"
    )]
    fn closure(&mut self, raw: &Common) -> Option<Option<Closure>> {
        let Some(actuation) = &raw.actuation else {
            let spans = [
                choice("on_power_loss", raw.on_power_loss.as_ref()),
                choice("on_signal_loss", raw.on_signal_loss.as_ref()),
                choice("closing_time", raw.closing_time.as_ref()),
                choice("leak_class", raw.leak_class.as_ref()),
            ];
            if let Some((key, Some(span))) = spans.iter().find(|(_, s)| s.is_some()) {
                self.wrong(
                    "E302",
                    format!("`{key}` says how the part closes, but not what moves it"),
                    span,
                    "needs `actuation`",
                    Some("for example `actuation = \"manual\"`".to_owned()),
                );
                return None;
            }
            return Some(None);
        };
        let usual = match actuation.value {
            Actuation::Manual | Actuation::SelfActing => OnLoss::NotAffected,
            Actuation::SolenoidSpringClosed | Actuation::MotorSpringReturn => OnLoss::Closes,
            Actuation::SolenoidSpringOpen => OnLoss::Opens,
            Actuation::Motor => OnLoss::Stays,
        };
        let sprung = matches!(
            actuation.value,
            Actuation::SolenoidSpringClosed | Actuation::SolenoidSpringOpen
        );
        if let Some(loss) = &raw.on_power_loss
            && sprung
            && loss.value != usual
        {
            self.disagree(
                "the spring moves the valve the other way when power fails",
                (&loss.span, "what it is said to do"),
                (&actuation.span, "what its spring does"),
                None,
            );
            return None;
        }
        Some(Some(Closure {
            actuation: actuation.value,
            on_power_loss: value(raw.on_power_loss.as_ref()).unwrap_or(usual),
            on_signal_loss: value(raw.on_signal_loss.as_ref()).unwrap_or(usual),
            closing_time: value(raw.closing_time.as_ref()),
            leak_class: raw.leak_class.as_ref().map(|c| cut_name(&c.value)),
        }))
    }

    fn part_kind(&mut self, raw: &RawPart, at: &Place) -> Option<PartKind> {
        let kind = raw.common.kind.as_ref()?.value;
        match raw.keys.as_ref()? {
            PartKeys::Line(k) => {
                let line = self.line(k, at)?;
                Some(match kind {
                    Kind::Hose => PartKind::Hose(line),
                    Kind::DipTube => PartKind::DipTube(line),
                    _ => PartKind::Tube(line),
                })
            }
            PartKeys::Valve(k) => {
                let valve = self.valve(k, kind, at)?;
                Some(match kind {
                    Kind::CylinderValve => PartKind::CylinderValve(valve),
                    Kind::BallValve => PartKind::BallValve(valve),
                    Kind::NeedleValve => PartKind::NeedleValve(valve),
                    Kind::SolenoidValve => PartKind::SolenoidValve(valve),
                    _ => PartKind::MeteringValve(valve),
                })
            }
            PartKeys::Regulator(k) => self.regulator(k, at).map(PartKind::Regulator),
            PartKeys::Restriction(k) => {
                let restriction = self.restriction(k, at)?;
                Some(if kind == Kind::Filter {
                    PartKind::Filter(restriction)
                } else {
                    PartKind::FlameArrestor(restriction)
                })
            }
            PartKeys::Fitting(k) => self.fitting(k, at).map(PartKind::Fitting),
            PartKeys::ExcessFlow(k) => self.excess_flow(k, at).map(PartKind::ExcessFlowValve),
            PartKeys::Check(k) => self.check_valve(k, at).map(PartKind::CheckValve),
            PartKeys::Orifice(k) => self.orifice_plate(k, at).map(PartKind::OrificePlate),
            PartKeys::Pump(k) => self.pump(k, at).map(PartKind::Pump),
            PartKeys::Vaporiser(k) => self.vaporiser(k, at).map(PartKind::Vaporiser),
            PartKeys::Relief(k) => self.relief(k, at).map(PartKind::ReliefValve),
            PartKeys::Tapping(TappingKeys {
                bleed, gauge_range, ..
            }) => Some(PartKind::Tapping(Tapping {
                bleed: bleed.as_ref().is_some_and(|b| b.value),
                gauge_range: value(gauge_range.as_ref()),
            })),
        }
    }

    fn line(&mut self, k: &LineKeys, at: &Place) -> Option<Line> {
        let bore = self.need(k.bore.as_ref(), "bore", at, SIZE, "\"6 mm\"");
        let length = self.need(k.length.as_ref(), "length", at, SIZE, "\"2.5 m\"");
        let (bore, length) = (bore?, length?);
        if let Some(outside) = &k.outside_diameter
            && outside.value <= bore.value
        {
            self.disagree(
                "the outside diameter is not larger than the bore",
                (&outside.span, "outside"),
                (&bore.span, "bore"),
                None,
            );
        }
        if let Some(roughness) = &k.roughness
            && roughness.value.value > 0.05 * bore.value.value
        {
            self.disagree(
                "the roughness is more than a twentieth of the bore",
                (&roughness.span, "roughness"),
                (&bore.span, "bore"),
                None,
            );
        }
        let friction = self.at_most_one(
            &[
                choice("roughness", k.roughness.as_ref()),
                choice("friction_factor", k.friction_factor.as_ref()),
            ],
            "friction of a line",
        );
        let insulated = k.insulated.as_ref().filter(|i| i.value);
        let heat = self.at_most_one(
            &[
                choice("insulated", insulated),
                choice("heat_by_length", k.heat_by_length.as_ref()),
                choice("heat_outside", k.heat_outside.as_ref()),
            ],
            "heat of a line",
        );
        let friction = match friction? {
            None => {
                self.assume(sentence!(
                    "Lines without a roughness are taken as drawn tube, {}.",
                    sentence::length(DRAWN_ROUGHNESS_M).fixed("mm", 1e-3, 4)
                ));
                Friction::Roughness(metres(DRAWN_ROUGHNESS_M))
            }
            Some(0) => Friction::Roughness(k.roughness.as_ref()?.value),
            Some(_) => Friction::DarcyFactor(k.friction_factor.as_ref()?.value),
        };
        let heat = match heat? {
            None => {
                self.assume("Lines without a heat figure are taken as insulated: the gas stays as cold as it is.");
                WallHeat::Insulated
            }
            Some(0) => WallHeat::Insulated,
            Some(1) => WallHeat::PerLength(k.heat_by_length.as_ref()?.value),
            Some(_) => {
                let because = "heat through the outside needs the outside diameter";
                let outside = k.outside_diameter.as_ref();
                self.need(outside, "outside_diameter", at, because, "\"8 mm\"")?;
                WallHeat::OuterSurface(k.heat_outside.as_ref()?.value)
            }
        };
        Some(Line {
            bore: bore.value,
            outside_diameter: value(k.outside_diameter.as_ref()),
            length: length.value,
            friction,
            loss_coefficient: k.loss_coefficient.as_ref().map_or(0.0, |l| l.value),
            rise: k.rise.as_ref().map_or(metres(0.0), |r| r.value),
            heat,
        })
    }

    fn valve(&mut self, k: &ValveKeys, kind: Kind, at: &Place) -> Option<Valve> {
        let bore = self.need(k.bore.as_ref(), "bore", at, SIZE, "\"8 mm\"");
        let which = self.at_most_one(
            &[
                choice("curve", k.curve.as_ref()),
                choice("points", k.points.as_ref()),
            ],
            "flow coefficient against opening",
        );
        let characteristic = match which? {
            Some(1) => self.points(k)?,
            _ => Self::curve(k),
        };
        let full_open = match (&k.flow_coefficient, &characteristic) {
            (Some(full), _) => Some(full.value),
            (None, Characteristic::Table(points)) => points.last().map(|p| p.1),
            (None, _) => {
                self.missing("flow_coefficient", at, SIZE, "\"0.6 Kv\"");
                None
            }
        };
        if let (Some(full), Some(bore), Some(given)) = (
            full_open,
            &k.bore,
            k.flow_coefficient
                .as_ref()
                .map(|f| &f.span)
                .or(k.points.as_ref().map(|p| &p.span)),
        ) {
            let most = FlowCoefficient::beyond(bore.value);
            if full > most {
                self.disagree(
                    format!("a valve of this bore passes less than {:.2} Kv", most.kv()),
                    (given, "passes this"),
                    (&bore.span, "bore"),
                    None,
                );
            }
        }
        let usual = match kind {
            Kind::BallValve => Style::BALL,
            Kind::NeedleValve | Kind::MeteringValve => Style::NEEDLE,
            _ => Style::FLAT_SEAT,
        };
        Some(Valve {
            bore: bore?.value,
            full_open: full_open?,
            characteristic,
            opening: k.opening.as_ref().map_or(1.0, |o| o.value.value),
            style: Style {
                fl: k.fl.as_ref().map_or(usual.fl, |f| f.value),
                xt: k.xt.as_ref().map_or(usual.xt, |x| x.value),
                fd: usual.fd,
            },
            steps: value(k.steps.as_ref()),
        })
    }

    fn curve(k: &ValveKeys) -> Characteristic {
        let rangeability = k
            .rangeability
            .as_ref()
            .map_or(USUAL_RANGEABILITY, |r| r.value);
        match k.curve.as_ref().map(|c| c.value) {
            Some(Curve::Linear) => Characteristic::Linear { rangeability },
            Some(Curve::EqualPercentage) => Characteristic::EqualPercentage { rangeability },
            Some(Curve::OnOff) | None => Characteristic::OnOff,
        }
    }

    fn points(&mut self, k: &ValveKeys) -> Option<Characteristic> {
        let points = k.points.as_ref()?;
        let rising = |pairs: &[(f64, f64)]| {
            pairs
                .windows(2)
                .all(|w| w[0].0 < w[1].0 && w[0].1 <= w[1].1)
        };
        let pairs: Vec<(f64, f64)> = points
            .value
            .iter()
            .map(|(o, c)| (o.value, c.kv()))
            .collect();
        let within = pairs.iter().all(|(o, _)| (0.0..=1.0).contains(o));
        let flows = pairs.last().is_some_and(|(_, kv)| *kv > 0.0);
        if !(rising(&pairs) && within && flows) {
            self.wrong(
                "E206",
                "points of a valve must rise: openings from 0 % to 100 %, flow coefficients with them",
                &points.span,
                "not rising",
                Some("for example `points = [[\"0 %\", \"0 Kv\"], [\"100 %\", \"0.6 Kv\"]]`".to_owned()),
            );
            return None;
        }
        Some(Characteristic::Table(
            points.value.iter().map(|(o, c)| (o.value, *c)).collect(),
        ))
    }

    fn regulator(&mut self, k: &RegulatorKeys, at: &Place) -> Option<Regulator> {
        let set = k.set_pressure.as_ref();
        let set = self.need(set, "set_pressure", at, SIZE, "\"1.5 bar(g)\"");
        let wide_open = k.wide_open.as_ref();
        let wide_open = self.need(wide_open, "wide_open", at, SIZE, "\"0.35 Kv\"");
        let rated_flow = match (&k.droop, &k.rated_flow) {
            (Some(_), None) => {
                let because = "a droop is stated at a flow";
                self.missing("rated_flow", at, because, "\"4 kg/h\"");
                None
            }
            (_, rated) => Some(
                rated
                    .as_ref()
                    .map_or(kilograms_per_second(1.0), |r| r.value),
            ),
        };
        if k.droop.is_none() {
            self.assume(
                "Regulators without a droop are taken to hold their set pressure at any flow.",
            );
        }
        let set_pa = set.and_then(|s| self.absolute(s));
        let min_inlet = self.maybe_absolute(k.min_inlet.as_ref());
        let max_inlet = self.maybe_absolute(k.max_inlet.as_ref());
        let nominal_inlet = self.maybe_absolute(k.nominal_inlet.as_ref());
        if let (Some(low), Some(high)) = (min_inlet.flatten(), max_inlet.flatten())
            && low.pascals() > high.pascals()
            && let (Some(a), Some(b)) = (&k.min_inlet, &k.max_inlet)
        {
            self.disagree(
                "the lowest inlet pressure is above the highest",
                (&a.span, "lowest"),
                (&b.span, "highest"),
                None,
            );
        }
        for (key, inlet, entry) in [
            ("max_inlet", max_inlet.flatten(), &k.max_inlet),
            ("nominal_inlet", nominal_inlet.flatten(), &k.nominal_inlet),
        ] {
            if let (Some(p), Some(inlet), Some(entry), Some(set)) = (set_pa, inlet, entry, set)
                && p.pascals() >= inlet.pascals()
            {
                self.disagree(
                    format!("a regulator lets pressure down, but is set above its `{key}`"),
                    (&set.span, "set pressure"),
                    (&entry.span, key),
                    Some("check which of the two is gauge and which is absolute"),
                );
            }
        }
        Some(Regulator {
            set_pressure: set_pa?,
            rated_flow: rated_flow?,
            droop: value(k.droop.as_ref()).unwrap_or(pascals_difference(0.0)),
            lock_up: value(k.lock_up.as_ref()).unwrap_or(pascals_difference(0.0)),
            wide_open: wide_open?.value,
            min_inlet: min_inlet?,
            max_inlet: max_inlet?,
            nominal_inlet: nominal_inlet?,
            supply_effect: k.supply_effect.as_ref().map_or(0.0, |s| s.value),
        })
    }
}
