//! Checks of the parts of a train, one by one.

use super::Checker;
use crate::flow::line::{Friction, Line, WallHeat};
use crate::flow::regulator::Regulator;
use crate::flow::valve::Style;
use crate::input::key::AnyKey;
use crate::input::raw::Part as RawPart;
use crate::input::raw::train::{Common, LineKeys, PartKeys, RegulatorKeys, ValveKeys};
use crate::input::words::{Curve, Kind};
use crate::quantity::printable::cut_name;
use crate::quantity::sentence::{self, sentence};
use crate::quantity::show::number;
use crate::quantity::{FlowCoefficient, kilograms_per_second, metres, pascals_difference};
use crate::train::catalogue::{GenericPart, generic_part, generic_parts};
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
        let kind = self.part_kind(raw);
        let max_pressure = self.maybe_absolute(&raw.common.max_pressure);
        let closure = self.closure(&raw.common);
        let protection = self.protection(raw);
        self.hold_against(
            (&raw.common.min_temperature, "lowest"),
            (&raw.common.max_temperature, "highest"),
            |low, high| low > high,
            "the lowest temperature is above the highest",
        );
        let joints = raw.common.joints.value().unwrap_or_default().0;
        let joints = joints.into_iter();
        Some(Part {
            name: raw.common.name.value()?,
            kind: kind?,
            mass: raw.common.mass.value(),
            joints: joints.map(|(kind, count)| Joints { kind, count }).collect(),
            rating: Rating {
                max_pressure: max_pressure?,
                min_temperature: raw.common.min_temperature.value(),
                max_temperature: raw.common.max_temperature.value(),
            },
            wetted: raw.common.wetted.value().unwrap_or_default(),
            internal_volume: raw.common.internal_volume.value(),
            closure: closure?,
            catalogue: raw.common.catalogue.value(),
            protection: protection?,
        })
    }

    fn protection(&mut self, raw: &RawPart) -> Option<Protection> {
        let mut protection = Protection {
            driven_by: (raw.common.driven_by.value()).map(|d| Drive(cut_name(d.trim()))),
            self_closing: raw.common.self_closing.value(),
            ..Protection::default()
        };
        match raw.keys.as_ref() {
            Some(PartKeys::Valve(k)) => {
                protection.max_differential = k.max_differential.value();
            }
            Some(PartKeys::Regulator(k)) => {
                protection.vents_to = k.vents_to.value();
                protection.shut_off_pressure = self.maybe_absolute(&k.shut_off_pressure)?;
            }
            Some(PartKeys::Check(k)) => protection.arrow = k.arrow.value(),
            Some(PartKeys::Relief(k)) => protection.vents_to = k.vents_to.value(),
            _ => {}
        }
        Some(protection)
    }

    /// The part with what its generic part gives.
    fn filled(&mut self, raw: &RawPart) -> Option<RawPart> {
        let Some(name) = &raw.common.catalogue.entry else {
            return Some(raw.clone());
        };
        let Some(generic) = generic_part(&name.value) else {
            let kind = raw.common.kind.value().map(Kind::word);
            let of_kind = |p: &&GenericPart| kind.as_ref().is_none_or(|kind| *kind == p.kind);
            let names = generic_parts().iter().filter(of_kind);
            self.undefined("generic part", name, names.map(|p| p.name.as_str()));
            return None;
        };
        if let Some(kind) = &raw.common.kind.entry
            && kind.value.word() != generic.kind
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

    /// How the part closes: `Some(None)` where it cannot.
    #[allow(
        clippy::option_option,
        reason = "no closure and a wrong one are different things: the first is no mistake"
    )]
    fn closure(&mut self, raw: &Common) -> Option<Option<Closure>> {
        let Some(actuation) = &raw.actuation.entry else {
            let keys: [&dyn AnyKey; 4] = [
                &raw.on_power_loss,
                &raw.on_signal_loss,
                &raw.closing_time,
                &raw.leak_class,
            ];
            if let Some((key, span)) = keys.iter().find_map(|k| Some((k.field().key, k.span()?))) {
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
        if let Some(loss) = &raw.on_power_loss.entry
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
            on_power_loss: raw.on_power_loss.value().unwrap_or(usual),
            on_signal_loss: raw.on_signal_loss.value().unwrap_or(usual),
            closing_time: raw.closing_time.value(),
            leak_class: raw.leak_class.value().map(|c| cut_name(&c)),
        }))
    }

    fn part_kind(&mut self, raw: &RawPart) -> Option<PartKind> {
        let kind = raw.common.kind.value()?;
        match raw.keys.as_ref()? {
            PartKeys::Line(k) => {
                let line = self.line(k)?;
                Some(match kind {
                    Kind::Hose => PartKind::Hose(line),
                    Kind::DipTube => PartKind::DipTube(line),
                    _ => PartKind::Tube(line),
                })
            }
            PartKeys::Valve(k) => {
                let valve = self.valve(k, kind)?;
                Some(match kind {
                    Kind::CylinderValve => PartKind::CylinderValve(valve),
                    Kind::BallValve => PartKind::BallValve(valve),
                    Kind::NeedleValve => PartKind::NeedleValve(valve),
                    Kind::SolenoidValve => PartKind::SolenoidValve(valve),
                    _ => PartKind::MeteringValve(valve),
                })
            }
            PartKeys::Regulator(k) => self.regulator(k).map(PartKind::Regulator),
            PartKeys::Restriction(k) => {
                let restriction = self.restriction(k)?;
                Some(if kind == Kind::Filter {
                    PartKind::Filter(restriction)
                } else {
                    PartKind::FlameArrestor(restriction)
                })
            }
            PartKeys::Fitting(k) => self.fitting(k).map(PartKind::Fitting),
            PartKeys::ExcessFlow(k) => self.excess_flow(k).map(PartKind::ExcessFlowValve),
            PartKeys::Check(k) => self.check_valve(k).map(PartKind::CheckValve),
            PartKeys::Orifice(k) => self.orifice_plate(k).map(PartKind::OrificePlate),
            PartKeys::Pump(k) => self.pump(k).map(PartKind::Pump),
            PartKeys::Vaporiser(k) => self.vaporiser(k).map(PartKind::Vaporiser),
            PartKeys::Relief(k) => self.relief(k).map(PartKind::ReliefValve),
            PartKeys::Tapping(k) => Some(PartKind::Tapping(Tapping {
                bleed: k.bleed.says(&true),
                gauge_range: k.gauge_range.value(),
            })),
        }
    }

    fn line(&mut self, k: &LineKeys) -> Option<Line> {
        let bore = self.need(&k.bore, SIZE);
        let length = self.need(&k.length, SIZE);
        let (bore, length) = (bore?, length?);
        self.hold_against(
            (&k.outside_diameter, "outside"),
            (&k.bore, "bore"),
            |outside, bore| outside <= bore,
            "the outside diameter is not larger than the bore",
        );
        self.hold_against(
            (&k.roughness, "roughness"),
            (&k.bore, "bore"),
            |roughness, bore| roughness.value > 0.05 * bore.value,
            "the roughness is more than a twentieth of the bore",
        );
        let friction = self.at_most_one(&[&k.roughness, &k.friction_factor], "friction of a line");
        let insulated = k.insulated.only(&true);
        let heats: [&dyn AnyKey; 3] = [&insulated, &k.heat_by_length, &k.heat_outside];
        let heat = self.at_most_one(&heats, "heat of a line");
        let friction = match friction? {
            None => {
                self.assume(sentence!(
                    "Lines without a roughness are taken as drawn tube, {}.",
                    sentence::length(DRAWN_ROUGHNESS_M).fixed("mm", 1e-3, 4)
                ));
                Friction::Roughness(metres(DRAWN_ROUGHNESS_M))
            }
            Some(0) => Friction::Roughness(k.roughness.value()?),
            Some(_) => Friction::DarcyFactor(k.friction_factor.value()?),
        };
        let heat = match heat? {
            None => {
                self.assume("Lines without a heat figure are taken as insulated: the gas stays as cold as it is.");
                WallHeat::Insulated
            }
            Some(0) => WallHeat::Insulated,
            Some(1) => WallHeat::PerLength(k.heat_by_length.value()?),
            Some(_) => {
                let because = "heat through the outside needs the outside diameter";
                self.need(&k.outside_diameter, because)?;
                WallHeat::OuterSurface(k.heat_outside.value()?)
            }
        };
        Some(Line {
            bore: bore.value,
            outside_diameter: k.outside_diameter.value(),
            length: length.value,
            friction,
            loss_coefficient: k.loss_coefficient.value().unwrap_or(0.0),
            rise: k.rise.value().unwrap_or(metres(0.0)),
            heat,
        })
    }

    fn valve(&mut self, k: &ValveKeys, kind: Kind) -> Option<Valve> {
        let bore = self.need(&k.bore, SIZE);
        let which = self.at_most_one(&[&k.curve, &k.points], "flow coefficient against opening");
        let characteristic = match which? {
            Some(1) => self.points(k)?,
            _ => Self::curve(k),
        };
        let full_open = match (k.flow_coefficient.value(), &characteristic) {
            (None, Characteristic::Table(points)) => points.last().map(|p| p.1),
            (full, _) => {
                self.need(&k.flow_coefficient, SIZE);
                full
            }
        };
        let given = k.flow_coefficient.span().or(k.points.span());
        if let (Some(full), Some(bore), Some(given)) = (full_open, bore, given) {
            let most = FlowCoefficient::beyond(bore.value);
            if full > most {
                self.disagree(
                    format!(
                        "a valve of this bore passes less than {} Kv",
                        number(most.kv())
                    ),
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
            opening: k.opening.value().map_or(1.0, |o| o.value),
            style: Style {
                fl: k.fl.value().unwrap_or(usual.fl),
                xt: k.xt.value().unwrap_or(usual.xt),
                fd: usual.fd,
            },
            steps: k.steps.value(),
        })
    }

    fn curve(k: &ValveKeys) -> Characteristic {
        let rangeability = k.rangeability.value().unwrap_or(USUAL_RANGEABILITY);
        match k.curve.value() {
            Some(Curve::Linear) => Characteristic::Linear { rangeability },
            Some(Curve::EqualPercentage) => Characteristic::EqualPercentage { rangeability },
            Some(Curve::OnOff) | None => Characteristic::OnOff,
        }
    }

    fn points(&mut self, k: &ValveKeys) -> Option<Characteristic> {
        let points = k.points.entry.as_ref()?;
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

    fn regulator(&mut self, k: &RegulatorKeys) -> Option<Regulator> {
        let set = self.need(&k.set_pressure, SIZE);
        let wide_open = self.need(&k.wide_open, SIZE);
        let rated_flow = if k.droop.is_given() {
            let rated = self.need(&k.rated_flow, "a droop is stated at a flow");
            rated.map(|r| r.value)
        } else {
            self.assume(
                "Regulators without a droop are taken to hold their set pressure at any flow.",
            );
            Some(k.rated_flow.value().unwrap_or(kilograms_per_second(1.0)))
        };
        let set_pa = self.absolute(&k.set_pressure);
        let min_inlet = self.maybe_absolute(&k.min_inlet);
        let max_inlet = self.maybe_absolute(&k.max_inlet);
        let nominal_inlet = self.maybe_absolute(&k.nominal_inlet);
        if let (Some(low), Some(high)) = (min_inlet.flatten(), max_inlet.flatten())
            && low.pascals() > high.pascals()
            && let (Some(a), Some(b)) = (&k.min_inlet.entry, &k.max_inlet.entry)
        {
            self.disagree(
                "the lowest inlet pressure is above the highest",
                (&a.span, "lowest"),
                (&b.span, "highest"),
                None,
            );
        }
        for (inlet_pa, inlet) in [
            (max_inlet.flatten(), &k.max_inlet),
            (nominal_inlet.flatten(), &k.nominal_inlet),
        ] {
            let key = inlet.field().key;
            if let (Some(p), Some(most), Some(entry), Some(set)) =
                (set_pa, inlet_pa, &inlet.entry, set)
                && p.pascals() >= most.pascals()
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
            droop: k.droop.value().unwrap_or(pascals_difference(0.0)),
            lock_up: k.lock_up.value().unwrap_or(pascals_difference(0.0)),
            wide_open: wide_open?.value,
            min_inlet: min_inlet?,
            max_inlet: max_inlet?,
            nominal_inlet: nominal_inlet?,
            supply_effect: k.supply_effect.value().unwrap_or(0.0),
        })
    }
}
