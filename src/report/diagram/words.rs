//! What stands beside a part: what it is, its size, its rating, and what it does without power.

use crate::audit::Solution;
use crate::flow::regulator::Regulator;
use crate::quantity::show::{Show, Shown, Units, fixed, rounded, show, significant};
use crate::quantity::{AbsolutePressure, Kind, PressureDifference, ThermodynamicTemperature};
use crate::train::rig::supply::Charge;
use crate::train::rig::{
    Device, Ignition, Mains, PressureRead, Rig, Setting, TankPosition, TankSpec,
};
use crate::train::{
    Actuation, Arrow, Draw, OnLoss, Part, PartKind, PumpCurve, ReliefValve, Station, Tapping,
    VaporiserHeat, VentsTo,
};

/// Figures as the picture shows them: every pressure by gauge and in one unit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Figures {
    air: AbsolutePressure,
    gauge: Shown,
    difference: Shown,
    temperature: Shown,
    pub(super) units: Units,
}

impl Figures {
    /// With the unit that suits the largest of the pressures; without any, that of the reader's gauges.
    pub(super) fn suited(
        solution: &Solution<'_>,
        pressures: impl Iterator<Item = AbsolutePressure>,
    ) -> Self {
        let (units, air) = (solution.units, solution.rig.site.air_pressure);
        let largest = pressures.map(|p| p.gauge(air).pascals().abs());
        let largest = largest.reduce(f64::max).unwrap_or(1e5);
        let suited = |kind| Shown::suited(kind, largest, units);
        Self {
            air,
            gauge: suited(Kind::GaugePressure),
            difference: suited(Kind::PressureDifference),
            temperature: Shown::suited(Kind::Temperature, 300.0, units),
            units,
        }
    }

    /// A pressure as it is known.
    pub(super) fn pressure(&self, p: AbsolutePressure) -> String {
        let number = self.gauge.convert(p.gauge(self.air).pascals());
        format!("{} {}", rounded(number, 4), self.gauge.symbol())
    }

    fn difference(&self, p: PressureDifference) -> String {
        let number = rounded(self.difference.convert(p.pascals()), 4);
        format!("{number} {}", self.difference.symbol())
    }

    fn temperature(&self, t: ThermodynamicTemperature) -> String {
        let number = fixed(self.temperature.convert(t.value), 1);
        format!("{number} {}", self.temperature.symbol())
    }

    /// What a gauge and a thermometer would show: pressure to three digits, and temperature.
    pub(super) fn reading(&self, s: &Station) -> Vec<String> {
        let number = self.gauge.convert(s.pressure.gauge(self.air).pascals());
        let pressure = format!("{} {}", significant(number, 3), self.gauge.symbol());
        vec![pressure, self.temperature(s.temperature)]
    }

    /// Size, setting and rating of a part.
    pub(super) fn facts(&self, part: &Part) -> Vec<String> {
        let kind = part.kind.name().replace('-', " ");
        let mut facts = Vec::new();
        if !part
            .name
            .to_lowercase()
            .replace(['-', '_'], " ")
            .contains(&kind)
        {
            facts.push(kind);
        }
        if let Some(line) = part.kind.line() {
            facts.push(format!("bore {}", line.bore.show(self.units)));
            facts.push(format!("{} long", line.length.show(self.units)));
            let rise = line.rise.value;
            if rise.abs() > 0.0 {
                let way = if rise > 0.0 { "rises" } else { "falls" };
                facts.push(format!(
                    "{way} {}",
                    show(Kind::Length, rise.abs(), self.units)
                ));
            }
        } else if let Some(bore) = part.kind.bore() {
            facts.push(format!("bore {}", bore.show(self.units)));
        }
        if let Some(coefficient) = part.kind.flow_coefficient() {
            facts.push(coefficient.show(self.units));
        }
        self.of_kind(part, &mut facts);
        facts.push(match part.rating.max_pressure {
            Some(most) => format!("rated {}", self.pressure(most)),
            None => "no rating given".to_owned(),
        });
        facts
    }

    fn of_kind(&self, part: &Part, facts: &mut Vec<String>) {
        match &part.kind {
            PartKind::Regulator(r) => self.regulator(part, r, facts),
            PartKind::ReliefValve(r) => self.relief(part, r, facts),
            PartKind::Tapping(t) => self.tapping(*t, facts),
            PartKind::ExcessFlowValve(e) => {
                facts.push(format!("closes at {}", e.closing_flow.show(self.units)));
            }
            PartKind::CheckValve(check) => {
                facts.push(format!("opens at {}", self.difference(check.cracking)));
                if part.protection.arrow == Some(Arrow::ToSupply) {
                    facts.push("its arrow points to the supply".to_owned());
                }
            }
            PartKind::OrificePlate(plate) => {
                facts.push(format!("hole {}", plate.bore.show(self.units)));
            }
            PartKind::Pump(pump) => {
                if let PumpCurve::HeldOutlet { pressure, .. } = &pump.curve {
                    facts.push(format!("holds {}", self.pressure(*pressure)));
                }
            }
            PartKind::Vaporiser(v) => facts.push(match v.heat {
                VaporiserHeat::Outlet { temperature, .. } => {
                    format!("heats to {}", self.temperature(temperature))
                }
                VaporiserHeat::Bath { temperature, .. } => {
                    format!("bath of {}", self.temperature(temperature))
                }
                VaporiserHeat::Power(power) => power.show(self.units),
            }),
            PartKind::Fitting(fitting) if fitting.count > 1 => {
                facts.push(format!("{} in a row", fitting.count));
            }
            PartKind::Fitting(_)
            | PartKind::CylinderValve(_)
            | PartKind::DipTube(_)
            | PartKind::Filter(_)
            | PartKind::Hose(_)
            | PartKind::Tube(_)
            | PartKind::BallValve(_)
            | PartKind::NeedleValve(_)
            | PartKind::SolenoidValve(_)
            | PartKind::MeteringValve(_)
            | PartKind::FlameArrestor(_) => {}
        }
    }

    fn regulator(&self, part: &Part, r: &Regulator, facts: &mut Vec<String>) {
        facts.push(format!("set to {}", self.pressure(r.set_pressure)));
        if let Some(most) = r.max_inlet {
            facts.push(format!("inlet up to {}", self.pressure(most)));
        }
        if let Some(slam) = part.protection.shut_off_pressure {
            facts.push(format!("slam-shut closes at {}", self.pressure(slam)));
        }
        facts.extend(vented(part, "relieves"));
    }

    fn relief(&self, part: &Part, r: &ReliefValve, facts: &mut Vec<String>) {
        facts.push(format!("opens at {}", self.pressure(r.set_pressure)));
        if let Some(bore) = r.bore {
            facts.push(format!("bore {}", bore.show(self.units)));
        }
        let said = vented(part, "vents");
        facts.push(said.unwrap_or_else(|| "where it vents is not said".to_owned()));
    }

    fn tapping(&self, t: Tapping, facts: &mut Vec<String>) {
        if let Some(range) = t.gauge_range {
            let top = rounded(self.gauge.convert(range.pascals()), 4);
            facts.push(format!("gauge to {top} {}", self.gauge.symbol()));
        }
        if t.bleed {
            facts.push("bleed".to_owned());
        }
    }

    /// What a tank holds and stands.
    pub(super) fn tank(&self, tank: &TankSpec) -> Vec<String> {
        let mut facts = vec![show(Kind::Volume, tank.volume.value, self.units)];
        facts.push(match tank.charge {
            Charge::Mass(mass) => format!("{} of fuel", show(Kind::Mass, mass.value, self.units)),
            Charge::LiquidShare(share) => {
                format!("{} full", show(Kind::Ratio, share.value, self.units))
            }
        });
        facts.push(match tank.draw {
            Draw::Vapour => "gives vapour".to_owned(),
            Draw::Liquid => "gives liquid".to_owned(),
        });
        if let Some(setting) = tank.setting {
            facts.push(match setting {
                Setting::Indoor => "indoors".to_owned(),
                Setting::Outdoor => "outdoors".to_owned(),
            });
        }
        match tank.position {
            TankPosition::Upright => {}
            TankPosition::Lying => facts.push("lies on its side".to_owned()),
            TankPosition::Inverted => facts.push("stands on its head".to_owned()),
        }
        facts.push(match tank.relief_pressure {
            Some(p) => format!("relief valve opens at {}", self.pressure(p)),
            None => "no relief pressure given".to_owned(),
        });
        facts.push(match tank.rating {
            Some(p) => format!("rated {}", self.pressure(p)),
            None => "no rating given".to_owned(),
        });
        facts
    }

    /// What a main gives.
    pub(super) fn main(&self, main: &Mains) -> Vec<String> {
        let read = match main.read {
            PressureRead::Moving => "while gas flows",
            PressureRead::AtRest => "at rest",
        };
        let mut facts = vec![format!("{} {read}", self.pressure(main.pressure))];
        if let Some(most) = main.max_flow {
            facts.push(format!("gives up to {}", most.show(self.units)));
        }
        facts
    }
}

/// What lights the fire, and what shuts its fuel.
pub(super) fn controls(rig: &Rig) -> Vec<String> {
    let lit = rig.controls.ignition.map(|i| match i {
        Ignition::Spark => "lit by a spark",
        Ignition::HotSurface => "lit by a hot surface",
        Ignition::Pilot => "lit by the pilot",
        Ignition::Hand => "lit by hand",
    });
    let devices: Vec<&str> = rig.devices().into_iter().map(Device::words).collect();
    let shut = match devices.as_slice() {
        [] => "no device shuts the fuel".to_owned(),
        all => format!("shut by {}", all.join(", ")),
    };
    lit.map(str::to_owned).into_iter().chain([shut]).collect()
}

fn vented(part: &Part, verb: &str) -> Option<String> {
    let place = match part.protection.vents_to? {
        VentsTo::Outdoors => "outdoors",
        VentsTo::Room => "into the room",
        VentsTo::Tank => "to the tank",
        VentsTo::Suction => "to the pump's suction",
    };
    Some(format!("{verb} {place}"))
}

/// What a part does when the power goes, or that a hand works it; nothing where there is nothing to say.
pub(super) fn without_power(part: &Part, units: Units) -> Option<String> {
    let Some(closure) = &part.closure else {
        let driven = matches!(
            part.kind,
            PartKind::SolenoidValve(_) | PartKind::MeteringValve(_)
        );
        return driven.then(|| "without power: not said".to_owned());
    };
    match (closure.actuation, closure.on_power_loss) {
        (Actuation::Manual, _) => Some("worked by hand".to_owned()),
        (_, OnLoss::Closes) => {
            let tight = if part.is_shut_off() {
                ""
            } else {
                ", not tight"
            };
            let time = closure
                .closing_time
                .map(|t| show(Kind::Time, t.value, units));
            let time = time.map_or_else(String::new, |t| format!(" in {t}"));
            Some(format!("closes without power{time}{tight}"))
        }
        (_, OnLoss::Opens) => Some("opens without power".to_owned()),
        (_, OnLoss::Stays) => Some("stays as it is without power".to_owned()),
        (_, OnLoss::NotAffected) => None,
    }
}
