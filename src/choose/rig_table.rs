//! The table of a rig: at each duty the flow of one hole by drill and pressure, what the train gives by the area of all
//! holes, and the spread of its ring or bar.

use super::AtDuty;
use crate::eos::Backend;
use crate::flow::orifice::Expansion;
use crate::injector::drills::Drill;
use crate::injector::hole_table::{OneHole, SupplyPoint};
use crate::injector::plan::{DutyNeed, PlanBands, plan};
use crate::injector::size::{InjectorInput, Supply};
use crate::injector::spec::{HoleSize, InjectorSpec};
use crate::quantity::metres;
use crate::train::fixed::injector_flow;
use crate::train::plan::{InjectorHoles, TrainNeed};
use crate::train::rig::Rig;
use rayon::prelude::*;
use std::f64::consts::{FRAC_PI_4, LN_2};

/// Drops over the holes that are looked at, from the least, Pa.
const LEAST_DROP_PA: f64 = 20.0;
const DROPS: usize = 80;
/// Areas of all holes at which the train is solved, and how far they reach either way, as a logarithm.
const AREAS: usize = 61;
const AREAS_REACH: f64 = 3.0;
/// What a train may give more than its curve says.
const FEEDS: f64 = 1.01;
/// Flux of holes of a first guess where the rig's own cannot be solved, kg/(m² s).
pub(super) const USUAL_FLUX: f64 = 500.0;
/// Steps to the pressure at which holes begin to choke, halved each time.
const HALVINGS: usize = 20;
/// Areas over the bore at which the spread is solved, each twice the last from the first.
const FIRST_AREA_RATIO: f64 = 0.02;
const SPREAD_AREAS: usize = 8;

/// How the pressure before the holes comes about.
pub(super) enum Feed {
    /// It is set.
    Fixed(f64),
    /// As high as the duty needs it, up to this.
    UpTo(f64),
    /// As the duty needs it, by a throttle: what the train gives with it wide open.
    Throttled(Curve),
    /// As the train gives it.
    AsItStands(Curve),
}

/// Flow and pressure that a train gives, by the logarithm of the effective area of all holes, in even steps.
pub(super) struct Curve {
    first: f64,
    step: f64,
    /// Logarithms of flow, kg/s, and pressure, Pa.
    points: Vec<(f64, f64)>,
}

impl Curve {
    /// Solves the train of a rig with holes of many areas around the one a duty needs.
    pub(super) fn of(
        rig: &Rig,
        fuel: &dyn Backend,
        need: &TrainNeed,
        throttle: Option<&str>,
        area_m2: f64,
    ) -> Option<Self> {
        let (first, step) = (
            area_m2.ln() - AREAS_REACH,
            2.0 * AREAS_REACH / (AREAS - 1) as f64,
        );
        let need = TrainNeed {
            discharge_coefficient: 1.0,
            ..need.clone()
        };
        let at = |i: usize| {
            let area = (first + step * i as f64).exp();
            let holes = InjectorHoles {
                number: 1,
                diameter: metres((area / FRAC_PI_4).sqrt()),
            };
            let throttle = throttle.map(|name| (name, 1.0));
            let outlet = injector_flow(rig, fuel, holes, &need, throttle).ok()?;
            let pressure_pa = outlet.inlet.pressure.pascals();
            Some((outlet.flow.value.ln(), pressure_pa.ln()))
        };
        let all: Vec<Option<(f64, f64)>> = (0..AREAS).into_par_iter().map(at).collect();
        // the longest stretch that the train can be solved for
        let mut end = 0;
        let stretches = all.split(Option::is_none).map(|stretch| {
            let begin = end;
            end = begin + stretch.len() + 1;
            (begin, stretch)
        });
        let (begin, solved) = stretches.max_by_key(|(_, s)| s.len())?;
        let points: Vec<(f64, f64)> = solved.iter().copied().flatten().collect();
        (points.len() > 1).then_some(Self {
            first: first + step * begin as f64,
            step,
            points,
        })
    }

    /// Flow and pressure at an area; `None` beyond what was solved.
    fn at(&self, area_m2: f64) -> Option<(f64, f64)> {
        let x = (area_m2.ln() - self.first) / self.step;
        let (i, share) = split(x, self.points.len())?;
        let (a, b) = (self.points[i], self.points[i + 1]);
        Some((
            (a.0 + share * (b.0 - a.0)).exp(),
            (a.1 + share * (b.1 - a.1)).exp(),
        ))
    }

    /// Most flow at an area: beyond the largest that was solved no more.
    fn most(&self, area_m2: f64) -> f64 {
        let last = self.points[self.points.len() - 1].0.exp();
        let beyond = area_m2.ln() > self.first;
        self.at(area_m2)
            .map_or(if beyond { last } else { 0.0 }, |(flow, _)| flow)
    }

    /// Highest pressure that was solved, Pa.
    fn highest_pa(&self) -> f64 {
        self.points
            .iter()
            .map(|p| p.1)
            .fold(f64::MIN, f64::max)
            .exp()
    }
}

/// The whole part and the rest of a place among so many points.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between zero and the number of points"
)]
fn split(x: f64, points: usize) -> Option<(usize, f64)> {
    let last = points.checked_sub(2)?;
    if !(x >= 0.0 && x <= (last + 1) as f64) {
        return None;
    }
    let i = (x as usize).min(last);
    Some((i, x - i as f64))
}

/// Figures of one hole at a drop: logarithm of its flow, least and most over it, coefficient, reach.
type Figures = [f64; 5];

/// A duty.
pub(super) struct DutyTable {
    feed: Feed,
    wanted_kg_s: f64,
    /// Equivalence ratio that is aimed at.
    pub(super) ratio: f64,
    air_band: f64,
    chamber_pa: f64,
    /// Logarithms of the drops: the first, and the step between them.
    first: f64,
    step: f64,
    superheat_k: Vec<Option<f64>>,
    /// Pressure at which the holes begin to choke, Pa.
    pub(super) chokes_at_pa: f64,
    /// By drill and drop.
    holes: Vec<Vec<Option<Figures>>>,
}

/// What a table of a duty is made for.
pub(super) struct Setup<'a> {
    pub(super) fluid: &'a dyn Backend,
    pub(super) spec: &'a InjectorSpec,
    pub(super) bands: PlanBands,
    pub(super) wants_gas: bool,
    pub(super) drills: &'a [Drill],
}

impl DutyTable {
    /// Solves the nozzle at every drop that the feed can give.
    pub(super) fn new(setup: &Setup<'_>, need: &DutyNeed<'_>, feed: Feed) -> Option<Self> {
        let input = InjectorInput {
            fluid: setup.fluid,
            supply_pressure: None,
            supply: Supply::Temperature(need.temperature),
            chamber: need.chamber,
            holes: None,
            diameter: None,
            flow: None,
            make: setup.bands.make(setup.spec),
            expansion: Expansion::Blend,
            phase: None,
        };
        let chamber_pa = need.chamber.pascals();
        let highest_pa = match &feed {
            Feed::Fixed(p_pa) | Feed::UpTo(p_pa) => *p_pa,
            Feed::Throttled(curve) | Feed::AsItStands(curve) => curve.highest_pa(),
        };
        let most_pa = (highest_pa - chamber_pa).max(2.0 * LEAST_DROP_PA) * 1.02;
        let first = LEAST_DROP_PA.ln();
        let step = (most_pa.ln() - first) / (DROPS - 1) as f64;
        let point = |p_pa: f64| {
            let point = SupplyPoint::new(&input, p_pa, setup.bands).ok()?;
            (point.is_gas || !setup.wants_gas).then_some(point)
        };
        // up to where the vapour condenses
        let drops = (0..DROPS).map(|i| chamber_pa + (first + step * i as f64).exp());
        let points: Vec<SupplyPoint<'_>> = drops.map_while(point).collect();
        if points.len() < 2 {
            return None;
        }
        let reach = |point: &SupplyPoint<'_>, hole: &OneHole| {
            let (air, at) = need.cross_flow.zip(setup.spec.mixing_length)?;
            point.superheat_k?;
            point.reach(hole, &air, at)
        };
        let holes = setup.drills.iter().map(|drill| {
            let of = |point: &SupplyPoint<'_>| {
                let hole = point.hole(drill.diameter).ok()?;
                Some([
                    hole.flow_kg_s.ln(),
                    hole.low,
                    hole.high,
                    hole.coefficient,
                    reach(point, &hole).unwrap_or(f64::NAN),
                ])
            };
            points.iter().map(of).collect()
        });
        let chokes_at_pa = points.iter().position(|p| p.choked).map(|i| {
            let (mut below, mut above) = match i.checked_sub(1) {
                Some(before) => (points[before].pressure_pa, points[i].pressure_pa),
                None => return chamber_pa,
            };
            for _ in 0..HALVINGS {
                let middle = 0.5 * (below + above);
                match point(middle) {
                    Some(p) if p.choked => above = middle,
                    _ => below = middle,
                }
            }
            above
        });
        Some(Self {
            wanted_kg_s: need.fuel.value,
            ratio: need.equivalence_ratio.value,
            air_band: setup.bands.air_flow,
            chamber_pa,
            first,
            step,
            superheat_k: points.iter().map(|p| p.superheat_k).collect(),
            chokes_at_pa: chokes_at_pa.unwrap_or(f64::INFINITY),
            holes: holes.collect(),
            feed,
        })
    }

    /// Highest pressure before the holes that was looked at, Pa.
    pub(super) fn highest_pa(&self) -> f64 {
        self.pressure_at((self.superheat_k.len() - 1) as f64)
    }

    fn pressure_at(&self, x: f64) -> f64 {
        self.chamber_pa + (self.first + self.step * x).exp()
    }

    /// Place of a pressure.
    fn place_of(&self, p_pa: f64) -> f64 {
        ((p_pa - self.chamber_pa).max(1.0).ln() - self.first) / self.step
    }

    fn figures(&self, drill: usize, x: f64) -> Option<Figures> {
        let column = &self.holes[drill];
        let (i, share) = split(x, column.len())?;
        let (a, b) = (column[i]?, column[i + 1]?);
        Some(std::array::from_fn(|k| a[k] + share * (b[k] - a[k])))
    }

    /// Place at which one hole passes a flow.
    fn place_for(&self, drill: usize, ln_flow: f64) -> Option<f64> {
        let column = &self.holes[drill];
        let ln_of = |i: usize| column[i].map_or(f64::NEG_INFINITY, |f| f[0]);
        let (mut low, mut high) = (0, column.len() - 1);
        if !(ln_of(high) >= ln_flow && ln_of(low) <= ln_flow) {
            return None;
        }
        while high - low > 1 {
            let middle = usize::midpoint(low, high);
            if ln_of(middle) <= ln_flow {
                low = middle;
            } else {
                high = middle;
            }
        }
        let (a, b) = (ln_of(low), ln_of(high));
        a.is_finite().then(|| low as f64 + (ln_flow - a) / (b - a))
    }

    /// The duty with so many holes of a drill.
    pub(super) fn at(&self, number: u32, drill: usize, d_m: f64) -> AtDuty {
        let n = f64::from(number);
        let area = |f: &Figures| n * FRAC_PI_4 * d_m * d_m * f[3];
        let needed = || self.place_for(drill, (self.wanted_kg_s / n).ln());
        let found = match &self.feed {
            Feed::Fixed(p_pa) => {
                let x = self.place_of(*p_pa);
                self.figures(drill, x).map(|f| (x, f, n * f[0].exp(), true))
            }
            Feed::UpTo(_) => needed().and_then(|x| {
                let f = self.figures(drill, x)?;
                Some((x, f, self.wanted_kg_s, self.gives(self.pressure_at(x))))
            }),
            Feed::Throttled(curve) => needed().and_then(|x| {
                let f = self.figures(drill, x)?;
                let fed = curve.most(area(&f)) * FEEDS >= self.wanted_kg_s;
                Some((x, f, self.wanted_kg_s, fed))
            }),
            Feed::AsItStands(curve) => {
                let mut x = 0.5 * self.superheat_k.len() as f64;
                let mut at = None;
                for _ in 0..4 {
                    at = self.figures(drill, x).and_then(|f| {
                        let (flow, p_pa) = curve.at(area(&f))?;
                        x = self.place_of(p_pa);
                        Some((x, self.figures(drill, x)?, flow, true))
                    });
                }
                at
            }
        };
        let Some((x, f, flow_kg_s, fed)) = found else {
            return self.unfed();
        };
        let ratio = self.ratio * flow_kg_s / self.wanted_kg_s;
        let pressure_pa = self.pressure_at(x);
        let nearest = split(x, self.superheat_k.len()).map_or(0, |(i, _)| i);
        AtDuty {
            fed,
            flow_kg_s,
            pressure_pa,
            ratio,
            ratio_low: ratio * f[1] / (1.0 + self.air_band),
            ratio_high: ratio * f[2] / (1.0 - self.air_band).max(0.01),
            stiffness: pressure_pa / self.chamber_pa - 1.0,
            over_choking: (pressure_pa / self.chokes_at_pa).ln(),
            superheat_k: self.superheat_k[nearest],
            spread: None,
            reach_m: Some(f[4]).filter(|r| r.is_finite()),
        }
    }

    /// Whether its flow is what the train gives.
    pub(super) fn is_fed_as_it_stands(&self) -> bool {
        matches!(self.feed, Feed::AsItStands(_) | Feed::Fixed(_))
    }

    /// Whether a pressure that a duty needs can be had without a train.
    pub(super) fn gives(&self, needed_pa: f64) -> bool {
        match &self.feed {
            Feed::UpTo(most_pa) => needed_pa <= most_pa * (1.0 + 1e-9),
            Feed::Fixed(_) | Feed::Throttled(_) | Feed::AsItStands(_) => true,
        }
    }

    /// A duty that gets nothing.
    pub(super) fn unfed(&self) -> AtDuty {
        AtDuty {
            fed: false,
            flow_kg_s: 0.0,
            pressure_pa: self.chamber_pa,
            ratio: 0.0,
            ratio_low: 0.0,
            ratio_high: 0.0,
            stiffness: 0.0,
            over_choking: -LN_2,
            superheat_k: None,
            spread: None,
            reach_m: None,
        }
    }
}

/// Spread of each duty by number and area of the holes.
pub(super) struct SpreadTable {
    counts: Vec<f64>,
    bore_m: f64,
    /// By number, area and duty: logarithm of the spread.
    spread: Vec<Vec<Vec<Option<f64>>>>,
}

impl SpreadTable {
    /// Solves the ring or bar with few, with some and with most holes.
    pub(super) fn of(setup: &Setup<'_>, needs: &[DutyNeed<'_>], counts: &[u32]) -> Option<Self> {
        let bore_m = setup.spec.manifold.as_ref()?.bore.value;
        let mut some = vec![
            counts[0],
            counts[counts.len() / 2],
            counts[counts.len() - 1],
        ];
        some.dedup();
        let places: Vec<(u32, usize)> = some
            .iter()
            .flat_map(|n| (0..SPREAD_AREAS).map(move |i| (*n, i)))
            .collect();
        let solved: Vec<Vec<Option<f64>>> = places
            .par_iter()
            .map(|(n, i)| {
                let area = FIRST_AREA_RATIO * (LN_2 * *i as f64).exp();
                let d_m = bore_m * (area / f64::from(*n)).sqrt();
                let spec = InjectorSpec {
                    holes: *n,
                    size: HoleSize::Diameter(metres(d_m)),
                    wanted_spread: None,
                    ..setup.spec.clone()
                };
                let planned = plan(setup.fluid, &spec, needs, &setup.bands);
                let Ok(planned) = planned else {
                    return vec![None; needs.len()];
                };
                let of = |d: &crate::injector::plan::PlannedDuty| {
                    match d.injection.as_ref().ok()?.sharing.as_ref()? {
                        Ok(shared) => Some(shared.spread.value.max(1e-6).ln()),
                        // a tube that carries nothing is as uneven as can be
                        Err(_) => Some(0.0),
                    }
                };
                planned.duties.iter().map(of).collect()
            })
            .collect();
        Some(Self {
            counts: some.iter().map(|n| f64::from(*n)).collect(),
            bore_m,
            spread: solved.chunks(SPREAD_AREAS).map(<[_]>::to_vec).collect(),
        })
    }

    /// Spread at a duty; `None` where it is not known.
    pub(super) fn at(&self, number: u32, d_m: f64, duty: usize) -> Option<f64> {
        let n = f64::from(number);
        let ratio = n * (d_m / self.bore_m).powi(2);
        let x = ((ratio / FIRST_AREA_RATIO).ln() / LN_2).max(0.0);
        let along = |column: &[Vec<Option<f64>>]| {
            let Some((i, share)) = split(x, column.len()) else {
                // more holes than bore: beyond what a tube can carry
                return Some(0.0);
            };
            let (a, b) = (column[i][duty]?, column[i + 1][duty]?);
            Some(a + share * (b - a))
        };
        let above = self
            .counts
            .partition_point(|c| *c < n)
            .min(self.counts.len() - 1);
        let below = above.saturating_sub(1);
        let (a, b) = (along(&self.spread[below])?, along(&self.spread[above])?);
        let width = (self.counts[above] / self.counts[below]).ln();
        let share = if width > 0.0 {
            ((n / self.counts[below]).ln() / width).clamp(0.0, 1.0)
        } else {
            0.0
        };
        Some((a + share * (b - a)).exp().min(1.0))
    }
}
