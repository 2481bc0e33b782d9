//! Checks of the parts that have neither opening nor length: fittings, restrictions, pumps, vaporisers.

use super::parts::SIZE;
use super::{Checker, choice};
use crate::input::raw::train::{
    CheckKeys, ExcessFlowKeys, FittingKeys, OrificeKeys, PumpKeys, ReliefKeys, RestrictionKeys,
    VaporiserKeys,
};
use crate::input::raw::value;
use crate::input::reader::Entry;
use crate::input::section::Place;
use crate::input::words::Loss;
use crate::quantity::{pascals_difference, ratio};
use crate::train::{
    CheckValve, ExcessFlowValve, Fitting, FittingLoss, OrificePlate, Pump, PumpCurve, ReliefValve,
    Restriction, Vaporiser, VaporiserHeat,
};

/// Efficiency of a small pump where none is given: our choice.
const SMALL_PUMP_EFFICIENCY: f64 = 0.2;

impl Checker<'_> {
    pub(super) fn restriction(&mut self, k: &RestrictionKeys, at: &Place) -> Option<Restriction> {
        let bore = self.need(k.bore.as_ref(), "bore", at, SIZE, "\"8 mm\"");
        let clean = k.flow_coefficient.as_ref();
        let clean = self.need(clean, "flow_coefficient", at, SIZE, "\"1.2 Kv\"");
        Some(Restriction {
            bore: bore?.value,
            clean: clean?.value,
        })
    }

    pub(super) fn fitting(&mut self, k: &FittingKeys, at: &Place) -> Option<Fitting> {
        let bore = self.need(k.bore.as_ref(), "bore", at, SIZE, "\"6 mm\"");
        let which = self.exactly_one(
            &[
                choice("loss_coefficient", k.loss_coefficient.as_ref()),
                choice("shape", k.shape.as_ref()),
            ],
            at,
            "loss of a fitting",
        )?;
        let bore = bore?;
        let loss = if which == 0 {
            FittingLoss::Coefficient(k.loss_coefficient.as_ref()?.value)
        } else {
            self.fitting_shape(k, bore, at)?
        };
        Some(Fitting {
            bore: bore.value,
            loss,
            count: k.count.as_ref().map_or(1, |c| c.value),
        })
    }

    fn fitting_shape(
        &mut self,
        k: &FittingKeys,
        bore: &Entry<crate::quantity::Length>,
        at: &Place,
    ) -> Option<FittingLoss> {
        let shape = k.shape.as_ref()?;
        match shape.value {
            Loss::Entrance => Some(FittingLoss::Entrance),
            Loss::Bend | Loss::Mitre => {
                let because = "a bend turns by an angle";
                let angle = self.need(k.angle.as_ref(), "angle", at, because, "\"90 deg\"")?;
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
                        radius_ratio: k.radius_ratio.as_ref().map_or(1.5, |r| r.value),
                    }
                })
            }
            Loss::Contraction | Loss::Expansion => {
                let because = "a step has a wider side";
                let wide = k.wide_bore.as_ref();
                let wide = self.need(wide, "wide_bore", at, because, "\"8 mm\"")?;
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

    pub(super) fn excess_flow(
        &mut self,
        k: &ExcessFlowKeys,
        at: &Place,
    ) -> Option<ExcessFlowValve> {
        let bore = self.need(k.bore.as_ref(), "bore", at, SIZE, "\"8 mm\"");
        let open = k.flow_coefficient.as_ref();
        let open = self.need(open, "flow_coefficient", at, SIZE, "\"0.8 Kv\"");
        let flow = k.closing_flow.as_ref();
        let flow = self.need(flow, "closing_flow", at, SIZE, "\"10 kg/h\"");
        let density = k.closing_density.as_ref();
        let density = self.need(density, "closing_density", at, SIZE, "\"15 kg/m3\"");
        Some(ExcessFlowValve {
            bore: bore?.value,
            open: open?.value,
            closing_flow: flow?.value,
            closing_density: density?.value,
        })
    }

    pub(super) fn check_valve(&mut self, k: &CheckKeys, at: &Place) -> Option<CheckValve> {
        let bore = self.need(k.bore.as_ref(), "bore", at, SIZE, "\"8 mm\"");
        let open = k.flow_coefficient.as_ref();
        let open = self.need(open, "flow_coefficient", at, SIZE, "\"0.5 Kv\"");
        Some(CheckValve {
            bore: bore?.value,
            open: open?.value,
            cracking: value(k.cracking.as_ref()).unwrap_or(pascals_difference(0.0)),
        })
    }

    pub(super) fn orifice_plate(&mut self, k: &OrificeKeys, at: &Place) -> Option<OrificePlate> {
        let pipe = self.need(k.pipe_bore.as_ref(), "pipe_bore", at, SIZE, "\"8 mm\"");
        let bore = self.need(k.bore.as_ref(), "bore", at, SIZE, "\"1.5 mm\"");
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
            discharge_coefficient: k.discharge_coefficient.as_ref().map(|c| c.value.value),
        })
    }

    pub(super) fn pump(&mut self, k: &PumpKeys, at: &Place) -> Option<Pump> {
        let which = self.exactly_one(
            &[
                choice("points", k.points.as_ref()),
                choice("outlet_pressure", k.outlet_pressure.as_ref()),
            ],
            at,
            "pressure of a pump",
        )?;
        let curve = if which == 0 {
            let points = k.points.as_ref()?;
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
            let max_flow = k.max_flow.as_ref();
            let max_flow = self.need(max_flow, "max_flow", at, because, "\"0.4 L/min\"");
            let pressure = k.outlet_pressure.as_ref().and_then(|p| self.absolute(p));
            PumpCurve::HeldOutlet {
                pressure: pressure?,
                max_flow: max_flow?.value,
            }
        };
        let efficiency = value(k.efficiency.as_ref()).unwrap_or_else(|| {
            self.assume("Pumps without an efficiency are taken at 20 %.");
            ratio(SMALL_PUMP_EFFICIENCY)
        });
        Some(Pump {
            curve,
            efficiency,
            npsh_required: value(k.npsh.as_ref()),
            max_power: value(k.max_power.as_ref()),
        })
    }

    pub(super) fn vaporiser(&mut self, k: &VaporiserKeys, at: &Place) -> Option<Vaporiser> {
        let bore = self.need(k.bore.as_ref(), "bore", at, SIZE, "\"6 mm\"");
        let open = k.flow_coefficient.as_ref();
        let open = self.need(open, "flow_coefficient", at, SIZE, "\"0.4 Kv\"");
        let which = self.exactly_one(
            &[
                choice("outlet_temperature", k.outlet_temperature.as_ref()),
                choice("bath_temperature", k.bath_temperature.as_ref()),
                choice("power", k.power.as_ref()),
            ],
            at,
            "heat of a vaporiser",
        )?;
        let heat = match which {
            0 => VaporiserHeat::Outlet {
                temperature: k.outlet_temperature.as_ref()?.value,
                max_power: value(k.max_power.as_ref()),
            },
            1 => {
                let because = "heat from a bath passes a conductance";
                let ua = k.conductance.as_ref();
                let ua = self.need(ua, "conductance", at, because, "\"25 W/K\"")?;
                VaporiserHeat::Bath {
                    conductance: ua.value,
                    temperature: k.bath_temperature.as_ref()?.value,
                }
            }
            _ => VaporiserHeat::Power(k.power.as_ref()?.value),
        };
        Some(Vaporiser {
            bore: bore?.value,
            open: open?.value,
            heat,
        })
    }

    pub(super) fn relief(&mut self, k: &ReliefKeys, at: &Place) -> Option<ReliefValve> {
        let set = k.set_pressure.as_ref();
        let set = self.need(set, "set_pressure", at, SIZE, "\"26 bar(g)\"")?;
        Some(ReliefValve {
            set_pressure: self.absolute(set)?,
            bore: value(k.bore.as_ref()),
        })
    }
}
