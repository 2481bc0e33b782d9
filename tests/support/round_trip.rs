//! A state found at pressure and temperature, and found back at (p, h), (p, s) and (ρ, u); and random blends and
//! states to do that with. Any test may ask for the round trip of a fuel or blend of its own.

use fuelwright::eos::{self, Backend, EosError, Phase, State};
use fuelwright::fuel::{Composition, Library};
use std::sync::Arc;

/// Farthest that temperature, pressure and density may be off, relative, and the share of vapour, absolute.
pub(crate) const TOLERANCE: f64 = 1e-6;

/// What went wrong with one leg of a round trip.
#[derive(Debug)]
pub(crate) enum Miss {
    /// No state was given, and why.
    Refused(EosError),
    /// Another state was given in silence.
    Wrong {
        /// The state to be found back.
        there: Box<State>,
        /// What was found.
        back: Box<State>,
    },
}

/// One leg: how it was asked, and what went wrong.
pub(crate) type Leg = (&'static str, Miss);

/// The legs that went wrong of the round trip of a state at pressure and temperature.
pub(crate) fn round_trip(fluid: &dyn Backend, p_pa: f64, t_k: f64) -> Vec<Leg> {
    let there = match fluid.state_pt(p_pa, t_k) {
        Ok(there) => there,
        Err(why) => return vec![("(p,T)", Miss::Refused(why))],
    };
    let (h, s) = (there.enthalpy_j_kg, there.entropy_j_kg_k);
    let (rho, u) = (there.density_kg_m3, there.internal_energy_j_kg());
    let mut legs = vec![
        ("(p,h)", fluid.state_ph(p_pa, h)),
        ("(p,s)", fluid.state_ps(p_pa, s)),
        ("(rho,u)", fluid.state_rho_u(rho, u)),
    ];
    if let Ok(near) = fluid.state_pt(p_pa * 1.02, t_k * 1.004) {
        legs.push(("(p,h) near", fluid.state_ph_near(p_pa, h, &near)));
        legs.push(("(p,s) near", fluid.state_ps_near(p_pa, s, &near)));
    }
    legs.into_iter()
        .filter_map(|(leg, back)| match back {
            Err(why) => Some((leg, Miss::Refused(why))),
            Ok(back) if is_same(&there, &back) => None,
            Ok(back) => {
                let (there, back) = (Box::new(there), Box::new(back));
                Some((leg, Miss::Wrong { there, back }))
            }
        })
        .collect()
}

/// Whether two states are one, phase and all.
pub(crate) fn is_same(a: &State, b: &State) -> bool {
    let close = |a: f64, b: f64| (a - b).abs() <= TOLERANCE * a.abs();
    let few = |a: f64, b: f64| (a - b).abs() <= TOLERANCE;
    // where the second phase is next to nothing, or so like the first that enthalpy and entropy do not tell either,
    // rounding may name one phase or two, or another share of it
    let caloric =
        close(a.enthalpy_j_kg, b.enthalpy_j_kg) && close(a.entropy_j_kg_k, b.entropy_j_kg_k);
    let on_a_line =
        |s: &State| caloric || few(s.vapour_mole_fraction, 0.0) || few(s.vapour_mole_fraction, 1.0);
    let phase = match (a.phase == Phase::TwoPhase, b.phase == Phase::TwoPhase) {
        (true, true) => caloric || few(a.vapour_mole_fraction, b.vapour_mole_fraction),
        (false, false) => a.phase == b.phase,
        (true, false) => on_a_line(a),
        (false, true) => on_a_line(b),
    };
    phase
        && close(a.temperature_k, b.temperature_k)
        && close(a.pressure_pa, b.pressure_pa)
        && close(a.density_kg_m3, b.density_kg_m3)
}

/// Random numbers by the splitmix64 generator: the same in every run.
pub(crate) struct Draw(u64);

impl Draw {
    /// The numbers of a seed.
    pub(crate) fn seeded(seed: u64) -> Self {
        Self(seed)
    }
    /// From 0 to 1.
    pub(crate) fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }
    /// Between two numbers.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + self.share() * (high - low)
    }
    /// A whole number below another.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of a short list"
    )]
    pub(crate) fn below(&mut self, count: usize) -> usize {
        ((self.share() * count as f64) as usize).min(count.saturating_sub(1))
    }
    /// One of a list.
    pub(crate) fn one_of<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }
    /// True half the time.
    pub(crate) fn toss(&mut self) -> bool {
        self.share() < 0.5
    }
}

/// A random blend of two to four components whose pairs all have a published model; half of them keep their phase
/// lines from the start, as the fuel of a rig does.
pub(crate) fn random_blend(library: &Library, draw: &mut Draw) -> Arc<dyn Backend> {
    let names: Vec<&str> = library
        .names()
        .into_iter()
        .filter(|n| library.fuel(n).is_ok_and(|f| f.equation.is_some()))
        .collect();
    let published = |a: &str, b: &str| library.pair(a, b).is_some_and(|pair| !pair.estimated);
    let chosen = loop {
        let count = *draw.one_of(&[2, 3, 4]);
        let mut chosen: Vec<&str> = Vec::new();
        while chosen.len() < count {
            let name = *draw.one_of(&names);
            if !chosen.contains(&name) {
                chosen.push(name);
            }
        }
        let pairs = |i: usize| chosen[..i].iter().all(|b| published(chosen[i], b));
        if (1..count).all(pairs) {
            break chosen;
        }
    };
    let shares: Vec<f64> = chosen.iter().map(|_| draw.between(0.002, 1.0)).collect();
    let sum: f64 = shares.iter().sum();
    let text: Vec<String> = chosen
        .iter()
        .zip(&shares)
        .map(|(name, share)| format!("{name}:{:.9}", 100.0 * share / sum))
        .collect();
    let composition = Composition::parse(&text.join(","), library).expect("a blend");
    let blend = eos::backend(library, &composition).expect("all pairs have a model");
    if draw.toss() {
        return blend;
    }
    blend
        .recomposed_to_stay(&composition.mole_fractions())
        .expect("its own composition")
}

/// A random pressure, Pa, and temperature, K, across and above the dome; half of them hard by the place where one
/// phase becomes two.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a few halvings"
)]
pub(crate) fn random_state(fluid: &dyn Backend, draw: &mut Draw) -> (f64, f64) {
    let range = fluid.validity();
    let (t_critical_k, p_critical_pa) = fluid.critical_bounds();
    let (coldest_k, hottest_k) = (*range.temperature_k.start(), *range.temperature_k.end());
    let t_k = draw
        .between(0.4 * t_critical_k, 1.3 * t_critical_k)
        .clamp(coldest_k * 1.0001, hottest_k);
    let top_pa = range.max_pressure_pa.min(10.0 * p_critical_pa);
    let p_pa = draw.between(1e4_f64.ln(), top_pa.ln()).exp();
    let (far, up, halvings, near_side) = (
        draw.toss(),
        draw.toss(),
        draw.between(2.0, 26.0),
        draw.toss(),
    );
    if far {
        return (p_pa, t_k);
    }
    let is_two = |p_pa: f64| Some(fluid.state_pt(p_pa, t_k).ok()?.phase == Phase::TwoPhase);
    let edge = || {
        let here = is_two(p_pa)?;
        let step = if up { 1.3 } else { 1.0 / 1.3 };
        let (mut same, mut other) = (p_pa, p_pa * step);
        while is_two(other)? == here {
            (same, other) = (other, other * step);
            if !(1e3..top_pa).contains(&other) {
                return None;
            }
        }
        for _ in 0..halvings as u32 {
            let middle = (same * other).sqrt();
            if is_two(middle)? == here {
                same = middle;
            } else {
                other = middle;
            }
        }
        Some(if near_side { same } else { other })
    };
    (edge().unwrap_or(p_pa), t_k)
}
