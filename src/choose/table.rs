//! The table of a problem: at each duty the flow of one hole by drill and pressure, what the train gives by the area of
//! all holes, and the spread of its ring or bar.

use super::{AtDuty, Combination};
use crate::eos::Backend;
use crate::injector::drills::Drill;
use crate::injector::hole_table::SupplyPoint;
use crate::injector::jet::CrossFlow;
use crate::injector::plan::{DutyNeed, PlanBands, PlannedDuty, plan};
use crate::injector::size::{InjectorError, InjectorInput, InjectorResult};
use crate::injector::spec::{HoleSize, InjectorSpec};
use crate::quantity::{Length, MassRate, metres};
use crate::train::fixed::injector_flow;
use crate::train::plan::{InjectorHoles, TrainNeed};
use crate::train::rig::Rig;
use rayon::prelude::*;
use std::f64::consts::{FRAC_PI_4, LN_2};

/// Drops over the holes that are looked at where none is set, from the least, Pa.
const LEAST_DROP_PA: f64 = 20.0;
const DROPS: usize = 80;
/// Areas of all holes at which the train is solved, and how far they reach either way, as a logarithm.
const AREAS: usize = 61;
const AREAS_REACH: f64 = 3.0;
/// What a train may give more than its curve says.
const FEEDS: f64 = 1.01;
/// Steps to the pressure at which holes begin to choke, halved each time.
const HALVINGS: usize = 20;
/// Areas over the bore at which the spread is solved, each twice the last from the first.
const FIRST_AREA_RATIO: f64 = 0.02;
const SPREAD_AREAS: usize = 8;

/// Figures at a place among so many points, straight between the two beside it; `None` beyond the points, and where one
/// beside it is not known.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between zero and the number of points"
)]
fn between<const N: usize>(
    points: usize,
    x: f64,
    at: impl Fn(usize) -> Option<[f64; N]>,
) -> Option<[f64; N]> {
    if !(0.0..points as f64).contains(&x) {
        return None;
    }
    let (i, share) = (x as usize, x.fract());
    let a = at(i)?;
    if share <= 0.0 {
        return Some(a);
    }
    let b = (i + 1 < points).then(|| at(i + 1))??;
    Some(std::array::from_fn(|k| a[k] + share * (b[k] - a[k])))
}

/// How the pressure before the holes comes about.
pub(super) enum Feed {
    /// It is one of these, Pa: the place is that of the combination.
    Set(Vec<f64>),
    /// As high as the duty needs it, up to this.
    UpTo(f64),
    /// As the duty needs it, by a throttle: what the train gives with it wide open.
    Throttled(Curve),
    /// As the train gives it.
    AsItStands(Curve),
}

impl Feed {
    /// Pressures that are looked at, rising, Pa.
    fn pressures_pa(&self, chamber_pa: f64) -> Vec<f64> {
        let highest_pa = match self {
            Self::Set(all) => return all.clone(),
            Self::UpTo(p_pa) => *p_pa,
            Self::Throttled(curve) | Self::AsItStands(curve) => curve.highest_pa(),
        };
        let most_pa = (highest_pa - chamber_pa).max(2.0 * LEAST_DROP_PA) * 1.02;
        let step = (most_pa / LEAST_DROP_PA).ln() / (DROPS - 1) as f64;
        let drop_pa = |i: usize| LEAST_DROP_PA * (step * i as f64).exp();
        (0..DROPS).map(|i| chamber_pa + drop_pa(i)).collect()
    }
}

/// Flow and pressure that a train gives, by the logarithm of the effective area of all holes, in even steps.
pub(super) struct Curve {
    first: f64,
    /// Logarithms of flow, kg/s, and pressure, Pa; none where the train cannot be solved.
    points: Vec<Option<[f64; 2]>>,
}

impl Curve {
    const STEP: f64 = 2.0 * AREAS_REACH / (AREAS - 1) as f64;

    /// Solves the train of a rig with holes of many areas around the one a duty needs, their coefficient one.
    pub(super) fn of(
        rig: &Rig,
        fuel: &dyn Backend,
        need: &TrainNeed,
        throttle: Option<&str>,
        area_m2: f64,
    ) -> Option<Self> {
        let first = area_m2.ln() - AREAS_REACH;
        let at = |i: usize| {
            let area_m2 = (first + Self::STEP * i as f64).exp();
            let holes = InjectorHoles {
                number: 1,
                diameter: metres((area_m2 / FRAC_PI_4).sqrt()),
            };
            let throttle = throttle.map(|name| (name, 1.0));
            let outlet = injector_flow(rig, fuel, holes, need, throttle).ok()?;
            let pressure_pa = outlet.inlet.pressure.pascals();
            Some([outlet.flow.value.ln(), pressure_pa.ln()])
        };
        let points: Vec<_> = (0..AREAS).into_par_iter().map(at).collect();
        (points.iter().flatten().count() > 1).then_some(Self { first, points })
    }

    /// Flow and pressure at an area; `None` beyond what was solved.
    fn at(&self, area_m2: f64) -> Option<[f64; 2]> {
        let x = (area_m2.ln() - self.first) / Self::STEP;
        between(AREAS, x, |i| self.points[i]).map(|p| p.map(f64::exp))
    }

    /// Most flow at an area: beyond the largest that was solved no more.
    fn most(&self, area_m2: f64) -> f64 {
        let last = self.points.iter().flatten().next_back();
        let beyond = last.filter(|_| area_m2.ln() > self.first);
        let beyond = beyond.map_or(0.0, |last| last[0].exp());
        self.at(area_m2).map_or(beyond, |[flow, _]| flow)
    }

    /// Highest pressure that was solved, Pa.
    fn highest_pa(&self) -> f64 {
        let all = self.points.iter().flatten();
        all.map(|p| p[1]).fold(f64::MIN, f64::max).exp()
    }
}

/// What a table of a duty is made from.
pub(super) struct Duty<'a> {
    /// Fuel, supply, chamber and make of the holes.
    pub(super) input: InjectorInput<'a>,
    pub(super) bands: PlanBands,
    pub(super) wants_gas: bool,
    pub(super) wanted_kg_s: f64,
    /// Equivalence ratio that is aimed at.
    pub(super) ratio: f64,
    /// Air that the jets cross, and how far on their reach is asked.
    pub(super) cross_flow: Option<(CrossFlow, Length)>,
    pub(super) feed: Feed,
}

/// Figures of one hole at a pressure: logarithm of its flow, of the drop over it, least and most over its flow, its
/// coefficient, reach of its jet and superheat of its supply, which are no numbers where there are none.
type Figures = [f64; 7];
/// Places of the first two.
const LN_FLOW: usize = 0;
const LN_DROP: usize = 1;

/// A duty.
pub(super) struct DutyTable {
    feed: Feed,
    wanted_kg_s: f64,
    ratio: f64,
    air_band: f64,
    chamber_pa: f64,
    /// Highest pressure before the holes that was looked at, Pa.
    pub(super) highest_pa: f64,
    /// Whether the fuel is gas where gas is meant, by pressure.
    fits: Vec<bool>,
    /// Pressure at which the holes begin to choke, Pa.
    chokes_at_pa: f64,
    /// By drill and pressure.
    holes: Vec<Vec<Option<Figures>>>,
}

impl DutyTable {
    /// Solves the nozzle at every pressure that the feed can give.
    ///
    /// # Errors
    /// Why it cannot be solved at any.
    pub(super) fn new(duty: Duty<'_>, drills: &[Drill]) -> Result<Self, InjectorError> {
        let chamber_pa = duty.input.chamber.pascals();
        let point = |p_pa: f64| SupplyPoint::new(&duty.input, p_pa, duty.bands);
        let pressures_pa = duty.feed.pressures_pa(chamber_pa);
        let mut points: Vec<_> = pressures_pa.iter().map(|p_pa| point(*p_pa)).collect();
        if points.iter().all(Result::is_err)
            && let Err(error) = points.swap_remove(0)
        {
            return Err(error);
        }
        let fits = |p: &SupplyPoint<'_>| p.is_gas || !duty.wants_gas;
        if !matches!(duty.feed, Feed::Set(_)) {
            // up to where the vapour condenses
            let solved = points.iter().take_while(|p| p.as_ref().is_ok_and(fits));
            points.truncate(solved.count());
        }
        let figures = |point: &SupplyPoint<'_>, drill: &Drill| {
            let hole = point.hole(drill.diameter).ok()?;
            let crossed = duty.cross_flow.zip(point.superheat_k);
            let reach = crossed.and_then(|((air, at), _)| point.reach(&hole, &air, at));
            Some([
                hole.flow_kg_s.ln(),
                (point.pressure_pa - chamber_pa).ln(),
                hole.low,
                hole.high,
                hole.coefficient,
                reach.unwrap_or(f64::NAN),
                point.superheat_k.unwrap_or(f64::NAN),
            ])
        };
        let solved = || points.iter().map(|p| p.as_ref().ok());
        let holes = drills.iter().map(|drill| {
            let column = solved().map(|p| p.and_then(|p| figures(p, drill)));
            column.collect()
        });
        let choked = solved().position(|p| p.is_some_and(|p| p.choked));
        let chokes_at_pa = choked.map_or(f64::INFINITY, |i| {
            let below = i.checked_sub(1).map_or(chamber_pa, |i| pressures_pa[i]);
            let half = |(below, above): (f64, f64), _| {
                let middle = 0.5 * (below + above);
                match point(middle) {
                    Ok(p) if p.choked => (below, middle),
                    _ => (middle, above),
                }
            };
            (0..HALVINGS).fold((below, pressures_pa[i]), half).1
        });
        Ok(Self {
            wanted_kg_s: duty.wanted_kg_s,
            ratio: duty.ratio,
            air_band: duty.bands.air_flow,
            chamber_pa,
            highest_pa: solved()
                .flatten()
                .last()
                .map_or(chamber_pa, |p| p.pressure_pa),
            fits: solved().map(|p| p.is_some_and(fits)).collect(),
            chokes_at_pa,
            holes: holes.collect(),
            feed: duty.feed,
        })
    }

    /// Whether its flow is what the train gives.
    pub(super) fn is_fed_as_it_stands(&self) -> bool {
        matches!(self.feed, Feed::AsItStands(_))
    }

    fn figures(&self, drill: usize, x: f64) -> Option<Figures> {
        let column = &self.holes[drill];
        between(column.len(), x, |i| column[i])
    }

    /// Place at which a rising figure of a hole is so much.
    fn place(&self, drill: usize, figure: usize, so_much: f64) -> Option<f64> {
        let column = &self.holes[drill];
        let above = column.partition_point(|f| f.is_none_or(|f| f[figure] <= so_much));
        let below = above.checked_sub(1)?;
        let (a, b) = (column[below]?[figure], (*column.get(above)?)?[figure]);
        Some(below as f64 + (so_much - a) / (b - a))
    }

    /// The duty with the holes of a combination.
    pub(super) fn at(&self, c: Combination, d_m: f64) -> AtDuty {
        let n = f64::from(c.holes);
        let area = |f: &Figures| n * FRAC_PI_4 * d_m * d_m * f[4];
        let pressure_pa = |f: &Figures| self.chamber_pa + f[LN_DROP].exp();
        let at_place = |x: f64| self.figures(c.drill, x);
        let wanted = self.wanted_kg_s;
        let needed = || at_place(self.place(c.drill, LN_FLOW, (wanted / n).ln())?);
        let found = match &self.feed {
            Feed::Set(_) => at_place(c.pressure as f64)
                .map(|f| (f, n * f[LN_FLOW].exp(), self.fits[c.pressure])),
            Feed::UpTo(_) => needed().map(|f| (f, wanted, self.gives(pressure_pa(&f)))),
            Feed::Throttled(curve) => {
                needed().map(|f| (f, wanted, curve.most(area(&f)) * FEEDS >= wanted))
            }
            Feed::AsItStands(curve) => {
                // the coefficient moves little with the pressure
                let first = at_place(0.5 * self.fits.len() as f64).map(|f| (f, wanted, true));
                (0..4).fold(first, |last, _| {
                    let [flow, p_pa] = curve.at(area(&last?.0))?;
                    let x = self.place(c.drill, LN_DROP, (p_pa - self.chamber_pa).ln())?;
                    Some((at_place(x)?, flow, true))
                })
            }
        };
        let at = |(f, flow_kg_s, fed): (Figures, f64, bool)| AtDuty {
            reach_m: Some(f[5]).filter(|r| r.is_finite()),
            superheat_k: Some(f[6]).filter(|k| k.is_finite()),
            ..self.given(fed, flow_kg_s, pressure_pa(&f), (f[2], f[3]))
        };
        found.map_or_else(|| self.unfed(), at)
    }

    /// The duty at a flow and a pressure, with the least and most that bands make of the flow, over it.
    pub(super) fn given(
        &self,
        fed: bool,
        flow_kg_s: f64,
        pressure_pa: f64,
        (low, high): (f64, f64),
    ) -> AtDuty {
        let ratio = self.ratio * (flow_kg_s / self.wanted_kg_s);
        AtDuty {
            fed,
            flow_kg_s,
            pressure_pa,
            ratio,
            ratio_low: ratio * low / (1.0 + self.air_band),
            ratio_high: ratio * high / (1.0 - self.air_band).max(0.01),
            stiffness: pressure_pa / self.chamber_pa - 1.0,
            over_choking: (pressure_pa / self.chokes_at_pa).ln(),
            ..AtDuty::default()
        }
    }

    /// The duty with holes solved in full at a pressure that is set.
    pub(super) fn sized(&self, found: &InjectorResult, c: Combination) -> AtDuty {
        let flow = &found.flow;
        let share = |end: MassRate| end.value / flow.value.value;
        let (flow_kg_s, band) = (flow.value.value, (share(flow.low), share(flow.high)));
        let fits = self.fits[c.pressure];
        AtDuty {
            superheat_k: found.superheat.map(|k| k.value),
            ..self.given(fits, flow_kg_s, found.supply.pressure_pa, band)
        }
    }

    /// Whether a pressure that a duty needs can be had without a train.
    pub(super) fn gives(&self, needed_pa: f64) -> bool {
        match &self.feed {
            Feed::UpTo(most_pa) => needed_pa <= most_pa * (1.0 + 1e-9),
            Feed::Set(_) | Feed::Throttled(_) | Feed::AsItStands(_) => true,
        }
    }

    /// A duty that gets nothing.
    pub(super) fn unfed(&self) -> AtDuty {
        self.given(false, 0.0, self.chamber_pa, (1.0, 1.0))
    }
}

/// Spread of each duty by number and area of the holes.
pub(super) struct SpreadTable {
    counts: Vec<f64>,
    bore_m: f64,
    /// By number, area and duty: logarithm of the spread.
    spread: Vec<Vec<Option<[f64; 1]>>>,
}

impl SpreadTable {
    /// Solves the ring or bar with few, with some and with most holes.
    pub(super) fn of(
        fluid: &dyn Backend,
        spec: &InjectorSpec,
        bands: &PlanBands,
        needs: &[DutyNeed<'_>],
        counts: &[u32],
    ) -> Option<Self> {
        let bore_m = spec.manifold.as_ref()?.bore.value;
        let (first, last) = (*counts.first()?, *counts.last()?);
        let mut some = vec![first, counts[counts.len() / 2], last];
        some.dedup();
        let spread = |i: usize| {
            let (n, area) = (some[i / SPREAD_AREAS], (i % SPREAD_AREAS) as f64);
            let area_ratio = FIRST_AREA_RATIO * (LN_2 * area).exp();
            let spec = InjectorSpec {
                holes: n,
                size: HoleSize::Diameter(metres(bore_m * (area_ratio / f64::from(n)).sqrt())),
                wanted_spread: None,
                ..spec.clone()
            };
            let of = |d: &PlannedDuty| match d.injection.as_ref().ok()?.sharing.as_ref()? {
                Ok(shared) => Some([shared.spread.value.max(1e-6).ln()]),
                // a tube that carries nothing is as uneven as can be
                Err(_) => Some([0.0]),
            };
            plan(fluid, &spec, needs, bands).map_or_else(
                |_| vec![None; needs.len()],
                |planned| planned.duties.iter().map(of).collect(),
            )
        };
        let all = (0..some.len() * SPREAD_AREAS).into_par_iter();
        Some(Self {
            spread: all.map(spread).collect(),
            counts: some.iter().map(|n| f64::from(*n)).collect(),
            bore_m,
        })
    }

    /// Spread at a duty; `None` where it is not known.
    pub(super) fn at(&self, holes: u32, d_m: f64, duty: usize) -> Option<f64> {
        let n = f64::from(holes);
        let ratio = n * (d_m / self.bore_m).powi(2);
        let x = ((ratio / FIRST_AREA_RATIO).ln() / LN_2).max(0.0);
        let of_count = |count: usize| {
            if x > (SPREAD_AREAS - 1) as f64 {
                // more holes than bore: beyond what a tube can carry
                return Some([0.0]);
            }
            between(SPREAD_AREAS, x, |area| {
                self.spread[count * SPREAD_AREAS + area][duty]
            })
        };
        let share = |w: &[f64]| ((n / w[0]).ln() / (w[1] / w[0]).ln()).clamp(0.0, 1.0);
        let y = self.counts.windows(2).map(share).sum();
        Some(between(self.counts.len(), y, of_count)?[0].exp().min(1.0))
    }
}
