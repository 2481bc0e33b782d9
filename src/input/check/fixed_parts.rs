//! Checks of the parts that have neither opening nor length: fittings, restrictions, pumps, vaporisers.

use super::Checker;
use super::parts::SIZE;
use crate::input::raw::train::{
    CheckKeys, ExcessFlowKeys, FittingKeys, OrificeKeys, PumpKeys, ReliefKeys, RestrictionKeys,
    VaporiserKeys,
};
use crate::input::reader::Entry;
use crate::input::words::Loss;
use crate::quantity::{pascals_difference, ratio};
use crate::train::{
    CheckValve, ExcessFlowValve, Fitting, FittingLoss, OrificePlate, Pump, PumpCurve, ReliefValve,
    Restriction, Vaporiser, VaporiserHeat,
};

/// Efficiency of a small pump where none is given: our choice.
const SMALL_PUMP_EFFICIENCY: f64 = 0.2;

impl Checker<'_> {
    pub(super) fn restriction(&mut self, k: &RestrictionKeys) -> Option<Restriction> {
        let bore = self.need(&k.bore, SIZE);
        let clean = self.need(&k.flow_coefficient, SIZE);
        Some(Restriction {
            bore: bore?.value,
            clean: clean?.value,
        })
    }

    pub(super) fn fitting(&mut self, k: &FittingKeys) -> Option<Fitting> {
        let bore = self.need(&k.bore, SIZE);
        let which = self.exactly_one(&[&k.loss_coefficient, &k.shape], "loss of a fitting")?;
        let bore = bore?;
        let loss = if which == 0 {
            FittingLoss::Coefficient(k.loss_coefficient.value()?)
        } else {
            self.fitting_shape(k, bore)?
        };
        Some(Fitting {
            bore: bore.value,
            loss,
            count: k.count.value().unwrap_or(1),
        })
    }

    fn fitting_shape(
        &mut self,
        k: &FittingKeys,
        bore: &Entry<crate::quantity::Length>,
    ) -> Option<FittingLoss> {
        let shape = k.shape.entry.as_ref()?;
        match shape.value {
            Loss::Entrance => Some(FittingLoss::Entrance),
            Loss::Bend | Loss::Mitre => {
                let because = "a bend turns by an angle";
                let angle = self.need(&k.angle, because)?;
                let angle_rad = angle.value.value;
                if angle_rad > std::f64::consts::PI * (1.0 + 1e-9) {
                    self.wrong(
                        "E206",
                        "a bend turns by at most 180 deg",
                        &angle.span,
                        "angle",
                        None,
                    );
                    return None;
                }
                Some(if shape.value == Loss::Mitre {
                    FittingLoss::Mitre { angle_rad }
                } else {
                    FittingLoss::Bend {
                        angle_rad,
                        radius_ratio: k.radius_ratio.value().unwrap_or(1.5),
                    }
                })
            }
            Loss::Contraction | Loss::Expansion => {
                let because = "a step has a wider side";
                let wide = self.need(&k.wide_bore, because)?;
                if wide.value <= bore.value {
                    self.disagree(
                        "the wide side of the step is not wider",
                        (&wide.span, "wide side"),
                        (&bore.span, "narrow side"),
                        None,
                    );
                    return None;
                }
                Some(if shape.value == Loss::Contraction {
                    FittingLoss::Contraction { from: wide.value }
                } else {
                    FittingLoss::Expansion { to: wide.value }
                })
            }
        }
    }

    pub(super) fn excess_flow(&mut self, k: &ExcessFlowKeys) -> Option<ExcessFlowValve> {
        let bore = self.need(&k.bore, SIZE);
        let open = self.need(&k.flow_coefficient, SIZE);
        let flow = self.need(&k.closing_flow, SIZE);
        let density = self.need(&k.closing_density, SIZE);
        Some(ExcessFlowValve {
            bore: bore?.value,
            open: open?.value,
            closing_flow: flow?.value,
            closing_density: density?.value,
        })
    }

    pub(super) fn check_valve(&mut self, k: &CheckKeys) -> Option<CheckValve> {
        let bore = self.need(&k.bore, SIZE);
        let open = self.need(&k.flow_coefficient, SIZE);
        Some(CheckValve {
            bore: bore?.value,
            open: open?.value,
            cracking: k.cracking.value().unwrap_or(pascals_difference(0.0)),
        })
    }

    pub(super) fn orifice_plate(&mut self, k: &OrificeKeys) -> Option<OrificePlate> {
        let pipe = self.need(&k.pipe_bore, SIZE);
        let bore = self.need(&k.bore, SIZE);
        let (pipe, bore) = (pipe?, bore?);
        if bore.value >= pipe.value {
            self.disagree(
                "the plate's bore is not smaller than the line's",
                (&bore.span, "plate"),
                (&pipe.span, "line"),
                None,
            );
        }
        Some(OrificePlate {
            pipe_bore: pipe.value,
            bore: bore.value,
            discharge_coefficient: k.discharge_coefficient.value().map(|c| c.value),
        })
    }

    pub(super) fn pump(&mut self, k: &PumpKeys) -> Option<Pump> {
        let which = self.exactly_one(&[&k.points, &k.outlet_pressure], "pressure of a pump")?;
        let curve = if which == 0 {
            let points = k.points.entry.as_ref()?;
            let falling = points
                .value
                .windows(2)
                .all(|w| w[0].0.value < w[1].0.value && w[0].1.pascals() >= w[1].1.pascals());
            if !falling {
                self.wrong(
                    "E206",
                    "points of a pump must go on with the flow and fall with the pressure",
                    &points.span,
                    "not falling",
                    None,
                );
                return None;
            }
            PumpCurve::Points(points.value.clone())
        } else {
            let because = "a pump holds its pressure up to a flow";
            let max_flow = self.need(&k.max_flow, because);
            let pressure = self.absolute(&k.outlet_pressure);
            PumpCurve::HeldOutlet {
                pressure: pressure?,
                max_flow: max_flow?.value,
            }
        };
        let efficiency = k.efficiency.value().unwrap_or_else(|| {
            self.assume("Pumps without an efficiency are taken at 20 %.");
            ratio(SMALL_PUMP_EFFICIENCY)
        });
        Some(Pump {
            curve,
            efficiency,
            npsh_required: k.npsh.value(),
            max_power: k.max_power.value(),
        })
    }

    pub(super) fn vaporiser(&mut self, k: &VaporiserKeys) -> Option<Vaporiser> {
        let bore = self.need(&k.bore, SIZE);
        let open = self.need(&k.flow_coefficient, SIZE);
        let which = self.exactly_one(
            &[&k.outlet_temperature, &k.bath_temperature, &k.power],
            "heat of a vaporiser",
        )?;
        let heat = match which {
            0 => VaporiserHeat::Outlet {
                temperature: k.outlet_temperature.value()?,
                max_power: k.max_power.value(),
            },
            1 => {
                let because = "heat from a bath passes a conductance";
                let ua = self.need(&k.conductance, because)?;
                VaporiserHeat::Bath {
                    conductance: ua.value,
                    temperature: k.bath_temperature.value()?,
                }
            }
            _ => VaporiserHeat::Power(k.power.value()?),
        };
        Some(Vaporiser {
            bore: bore?.value,
            open: open?.value,
            heat,
        })
    }

    pub(super) fn relief(&mut self, k: &ReliefKeys) -> Option<ReliefValve> {
        self.need(&k.set_pressure, SIZE)?;
        Some(ReliefValve {
            set_pressure: self.absolute(&k.set_pressure)?,
            bore: k.bore.value(),
        })
    }
}
