//! Checks of the duties.

use super::Checker;
use crate::injector::duty::{Duty, DutyAir, FuelTarget};
use crate::input::raw::{self, RigFile};
use crate::quantity::sentence::sentence;
use crate::quantity::show::number;
use crate::quantity::{AbsolutePressure, Ratio, ratio};

impl Checker<'_> {
    pub(super) fn duties(&mut self, raw: &RigFile) -> Option<Vec<Duty>> {
        let names: Vec<_> = raw.duties.iter().map(|d| &d.name).collect();
        self.names("duty", "duties", &names);
        let duties: Vec<Option<Duty>> =
            raw.duties.iter().map(|duty| self.duty(duty, raw)).collect();
        duties.into_iter().collect()
    }

    fn duty(&mut self, raw: &raw::Duty, file: &RigFile) -> Option<Duty> {
        let air = self.duty_air(raw, file);
        let target = self.target(raw);
        let ratio_range = self.ratio_range(raw);
        let chamber = self.absolute(&raw.chamber_pressure);
        let before = self.maybe_absolute(&raw.injector_pressure);
        if let Some(chamber) = chamber {
            self.within_blower(raw, file, chamber);
        }
        if let (Some(chamber), Some(Some(before))) = (chamber, before) {
            self.drop_over_holes(raw, chamber, before);
        }
        Some(Duty {
            name: raw.name.value()?,
            air: air?,
            air_temperature: raw.air_temperature.value(),
            chamber: chamber?,
            target: target?,
            ratio_range,
            duration: raw.duration.value(),
            injector_pressure: before?,
        })
    }

    fn duty_air(&mut self, raw: &raw::Duty, file: &RigFile) -> Option<DutyAir> {
        let which = self.exactly_one(&[&raw.air_flow, &raw.throttle], "air of a duty")?;
        if which == 0 {
            return Some(DutyAir::Flow(raw.air_flow.value()?));
        }
        let throttle = raw.throttle.entry.as_ref()?;
        if file.air.is_none() {
            self.wrong(
                "E302",
                "`throttle` is a share of the flow in `[air]`, and there is no `[air]`",
                &throttle.span,
                "share of nothing",
                Some(
                    "add `[air]` with `flow` or the blower's figures, or give `air_flow` here"
                        .to_owned(),
                ),
            );
            return None;
        }
        Some(DutyAir::Throttle(throttle.value))
    }

    fn target(&mut self, raw: &raw::Duty) -> Option<FuelTarget> {
        let which = self.exactly_one(
            &[
                &raw.equivalence_ratio,
                &raw.fuel_flow,
                &raw.heat_release,
                &raw.exit_temperature,
            ],
            "fuel target of a duty",
        )?;
        match which {
            0 => raw.equivalence_ratio.value().map(|span| {
                let (low, high) = span.ends(|r| r.value);
                FuelTarget::EquivalenceRatio(ratio(0.5 * (low + high)))
            }),
            1 => raw.fuel_flow.value().map(FuelTarget::FuelFlow),
            2 => raw.heat_release.value().map(FuelTarget::HeatRelease),
            _ => raw
                .exit_temperature
                .value()
                .map(FuelTarget::ExitTemperature),
        }
    }

    /// A target that is a range.
    fn ratio_range(&mut self, raw: &raw::Duty) -> Option<(Ratio, Ratio)> {
        let (low, high) = raw.equivalence_ratio.value()?.ends(|r| r.value);
        if low >= high {
            return None;
        }
        self.assume(sentence!(
            "Duty `{}` aims at an equivalence ratio of {}, the middle of its range.",
            &raw.name.value().unwrap_or_default(),
            number(0.5 * (low + high))
        ));
        Some((ratio(low), ratio(high)))
    }

    /// Air from a blower flows into no chamber that stands higher than the blower can give.
    fn within_blower(&mut self, raw: &raw::Duty, file: &RigFile, chamber: AbsolutePressure) {
        let ratio = file
            .air
            .as_ref()
            .and_then(|a| a.pressure_ratio.entry.as_ref());
        let given = raw.chamber_pressure.entry.as_ref();
        let (true, Some(ratio), Some(given)) = (raw.throttle.is_given(), ratio, given) else {
            return;
        };
        let air_pa = self.ambient.pascals();
        let most_pa = air_pa * ratio.value.value;
        if chamber.pascals() > most_pa {
            let mbar = |p_pa: f64| number((p_pa - air_pa) / 100.0);
            self.disagree(
                format!(
                    "the chamber stands at {} mbar(g), and the blower gives {} mbar(g) at most: no air flows in",
                    mbar(chamber.pascals()),
                    mbar(most_pa)
                ),
                (&given.span, "chamber"),
                (&ratio.span, "outlet over inlet pressure of the blower"),
                Some("check which of the two is gauge and which is absolute"),
            );
        }
    }

    fn drop_over_holes(
        &mut self,
        raw: &raw::Duty,
        chamber: AbsolutePressure,
        before: AbsolutePressure,
    ) {
        let (Some(c), Some(b)) = (&raw.chamber_pressure.entry, &raw.injector_pressure.entry) else {
            return;
        };
        if before.pascals() <= chamber.pascals() {
            self.disagree(
                "the pressure before the holes is not above that of the chamber: nothing flows in",
                (&b.span, "before the holes"),
                (&c.span, "behind them"),
                Some("check which of the two is gauge and which is absolute"),
            );
        }
    }
}
