//! Fixed points by successive substitution with Anderson mixing (`anderson1965`).

use super::effort;

/// Most unknowns of one fixed point.
pub const MAX_UNKNOWNS: usize = 16;
/// The unknowns; only the first `n` are used.
pub type Unknowns = [f64; MAX_UNKNOWNS];

/// Largest change of an unknown at convergence.
const TOLERANCE: f64 = 2e-13;
/// Change that is accepted when steps no longer shrink (rounding).
const STALLED: f64 = 1e-11;
/// Largest step after which none is asked for: even a last step that only shrinks tenfold then leaves 1e-12.
const LAST_UNASKED: f64 = 1e-11;
/// Steps before a fixed point gives up.
const MAX_STEPS: usize = 80;
/// Past iterates that Anderson mixing uses.
const DEPTH: usize = 4;

/// Iterates `u ← g(u)` to convergence. `g` may give up.
pub fn fixed_point(
    n: usize,
    u: &mut Unknowns,
    g: impl FnMut(&Unknowns, &mut Unknowns) -> Option<()>,
) -> Option<()> {
    iterate(n, u, (TOLERANCE, false), g)
}

/// As [`fixed_point`] to a largest change `within`, for what is only compared or interpolated.
pub fn fixed_point_within(
    within: f64,
    n: usize,
    u: &mut Unknowns,
    g: impl FnMut(&Unknowns, &mut Unknowns) -> Option<()>,
) -> Option<()> {
    iterate(n, u, (within, false), g)
}

/// As [`fixed_point`], but the last step is taken without `g` being asked once more whether it was the last:
/// when the one before shrank the error so far that as much again ends it. The steps shrink it faster each
/// time. What `g` last saw is then not the answer.
pub fn fixed_point_ahead(
    n: usize,
    u: &mut Unknowns,
    g: impl FnMut(&Unknowns, &mut Unknowns) -> Option<()>,
) -> Option<()> {
    iterate(n, u, (TOLERANCE, true), g)
}

fn iterate(
    n: usize,
    u: &mut Unknowns,
    (tolerance, ahead): (f64, bool),
    mut g: impl FnMut(&Unknowns, &mut Unknowns) -> Option<()>,
) -> Option<()> {
    let mut us: [Unknowns; DEPTH] = [[0.0; MAX_UNKNOWNS]; DEPTH];
    let mut fs: [Unknowns; DEPTH] = [[0.0; MAX_UNKNOWNS]; DEPTH];
    let (mut last_u, mut last_f) = ([0.0; MAX_UNKNOWNS], [0.0; MAX_UNKNOWNS]);
    let mut kept = 0;
    let (mut smallest, mut size_before) = (f64::INFINITY, f64::INFINITY);
    for step in 0..MAX_STEPS {
        effort::add(1);
        let mut image = [0.0; MAX_UNKNOWNS];
        g(u, &mut image)?;
        let mut f = [0.0; MAX_UNKNOWNS];
        let mut size = 0.0_f64;
        for i in 0..n {
            f[i] = image[i] - u[i];
            if !f[i].is_finite() {
                return None;
            }
            size = size.max(f[i].abs());
        }
        if size <= tolerance || (size <= STALLED && size >= 0.5 * smallest && step > 4) {
            *u = image;
            return Some(());
        }
        // a step that made things much worse: forget the history
        if size > 10.0 * smallest {
            kept = 0;
        }
        smallest = smallest.min(size);
        if step > 0 && size < 0.3 {
            let slot = kept % DEPTH;
            for i in 0..n {
                us[slot][i] = u[i] - last_u[i];
                fs[slot][i] = f[i] - last_f[i];
            }
            kept += 1;
        }
        last_u = *u;
        last_f = f;
        let m = kept.min(DEPTH).min(n);
        let newest: [usize; DEPTH] = std::array::from_fn(|k| (kept + DEPTH - 1 - k) % DEPTH);
        let mut next = image;
        if m > 0
            && let Some(gamma) = least_squares(n, m, &newest, &fs, &f)
        {
            for k in 0..m {
                for i in 0..n {
                    next[i] -= gamma[k] * (us[newest[k]][i] + fs[newest[k]][i]);
                }
            }
            // never jump further than a plain step would by far
            if (0..n).any(|i| !((next[i] - u[i]).abs() <= 20.0 * size)) {
                next = image;
            }
        }
        *u = next;
        let shrinks = size < 0.1 * size_before && size * (size / size_before) <= tolerance;
        if ahead && m > 0 && size <= LAST_UNASKED && shrinks {
            return Some(());
        }
        size_before = size;
    }
    None
}

/// Minimises `|f - Σ γ_k f_k|` by the normal equations of at most [`DEPTH`] unknowns.
fn least_squares(
    n: usize,
    m: usize,
    order: &[usize; DEPTH],
    fs: &[Unknowns; DEPTH],
    f: &Unknowns,
) -> Option<[f64; DEPTH]> {
    // modified Gram-Schmidt: the columns are nearly parallel when converging
    let mut q = [[0.0; MAX_UNKNOWNS]; DEPTH];
    let mut r = [[0.0; DEPTH]; DEPTH];
    let mut kept = 0;
    for k in 0..m {
        let mut v = fs[order[k]];
        let size: f64 = (0..n).map(|i| v[i] * v[i]).sum::<f64>().sqrt();
        for a in 0..kept {
            let dot: f64 = (0..n).map(|i| q[a][i] * v[i]).sum();
            r[a][k] = dot;
            (0..n).for_each(|i| v[i] -= dot * q[a][i]);
        }
        let rest: f64 = (0..n).map(|i| v[i] * v[i]).sum::<f64>().sqrt();
        if rest <= 1e-9 * size || size == 0.0 {
            break;
        }
        r[k][k] = rest;
        (0..n).for_each(|i| q[k][i] = v[i] / rest);
        kept += 1;
    }
    if kept == 0 {
        return None;
    }
    let mut gamma = [0.0; DEPTH];
    for k in (0..kept).rev() {
        let mut sum: f64 = (0..n).map(|i| q[k][i] * f[i]).sum();
        for a in k + 1..kept {
            sum -= r[k][a] * gamma[a];
        }
        gamma[k] = sum / r[k][k];
    }
    Some(gamma)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slow_linear_map_converges_in_a_few_steps() {
        // u0 = 0.9 u0 + 0.05 u1 + 1, u1 = 0.8 u1 + 2: plain substitution would need 300 steps
        let mut u = [0.0; MAX_UNKNOWNS];
        let mut calls = 0;
        fixed_point(2, &mut u, |u, image| {
            calls += 1;
            image[0] = 0.9 * u[0] + 0.05 * u[1] + 1.0;
            image[1] = 0.8 * u[1] + 2.0;
            Some(())
        })
        .expect("a contraction has a fixed point");
        assert!(
            (u[1] - 10.0).abs() < 1e-9 && (u[0] - 15.0).abs() < 1e-9,
            "{u:?}"
        );
        assert!(calls < 60, "{calls} steps");
    }

    #[test]
    fn the_last_step_may_be_taken_on_trust() {
        // cos is a contraction to the Dottie number
        let exact = 0.739_085_133_215_160_6;
        let (mut asked, mut ahead) = (0, 0);
        for (on_trust, count) in [(false, &mut asked), (true, &mut ahead)] {
            let mut u = [1.0; MAX_UNKNOWNS];
            iterate(1, &mut u, (TOLERANCE, on_trust), |u, image| {
                *count += 1;
                image[0] = u[0].cos();
                Some(())
            })
            .expect("a contraction has a fixed point");
            assert!((u[0] - exact).abs() < 1e-12, "{}", u[0]);
        }
        assert!(ahead < asked, "{ahead} {asked}");
    }

    #[test]
    fn a_map_that_gives_up_or_diverges_is_no_fixed_point() {
        let mut u = [1.0; MAX_UNKNOWNS];
        assert!(fixed_point(1, &mut u, |_, _| None).is_none());
        let mut u = [1.0; MAX_UNKNOWNS];
        assert!(
            fixed_point(1, &mut u, |u, image| {
                image[0] = u[0] * u[0] + 1.0;
                Some(())
            })
            .is_none()
        );
    }
}
