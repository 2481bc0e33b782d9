//! Integration against analytic solutions.
use super::*;

fn options(tolerance: f64, n: usize, events: usize) -> Options {
    Options {
        relative: tolerance,
        absolute: vec![tolerance; n],
        first_step: None,
        longest_step: f64::INFINITY,
        most_steps: 10_000,
        events,
    }
}

/// `y'' = -y`; stops where `y` falls through zero if asked.
struct Swing {
    slopes: usize,
    dense_error: f64,
}
impl Problem for Swing {
    type Error = &'static str;
    fn slope(&mut self, _t: f64, y: &[f64], dy: &mut [f64]) -> Result<(), Self::Error> {
        self.slopes += 1;
        dy[0] = y[1];
        dy[1] = -y[0];
        Ok(())
    }
    fn events(&mut self, _t: f64, y: &[f64], g: &mut [f64]) -> Result<(), Self::Error> {
        for (g, y) in g.iter_mut().zip(y) {
            *g = *y;
        }
        Ok(())
    }
    fn accepted(&mut self, step: &Segment<'_>) -> Result<(), Self::Error> {
        let mut y = [0.0; 2];
        for i in 0..=10 {
            let t = step.start() + (step.end() - step.start()) * f64::from(i) / 10.0;
            step.at(t, &mut y);
            self.dense_error = self.dense_error.max((y[0] - t.cos()).abs());
        }
        Ok(())
    }
}

fn swing() -> Swing {
    Swing {
        slopes: 0,
        dense_error: 0.0,
    }
}

// Analytic: y = cos t. The bound is the tolerance a step times the steps of one turn.
#[test]
fn a_pendulum_comes_back_to_where_it_started() {
    let turn = std::f64::consts::TAU;
    for tolerance in [1e-5, 1e-8, 1e-11] {
        let mut p = swing();
        let end =
            integrate(&mut p, 0.0, &[1.0, 0.0], turn, &options(tolerance, 2, 0)).expect("smooth");
        let steps = f64::from(u32::try_from(end.accepted).expect("few steps"));
        assert_eq!(end.stopped, Stopped::End);
        assert!(
            (end.y[0] - 1.0).abs() < tolerance * steps,
            "{tolerance} {end:?}"
        );
        assert!((end.y[1]).abs() < tolerance * steps, "{tolerance} {end:?}");
        assert!(p.slopes <= 6 * (end.accepted + end.refused) + 1);
    }
}

// A fifth-order method: ten times the accuracy costs 10^(1/5) = 1.58 times the steps.
#[test]
fn steps_grow_with_the_fifth_root_of_the_accuracy() {
    let count = |tolerance: f64| {
        let o = options(tolerance, 2, 0);
        let end = integrate(&mut swing(), 0.0, &[1.0, 0.0], 50.0, &o).expect("smooth");
        f64::from(u32::try_from(end.accepted).expect("few steps"))
    };
    let growth = count(1e-11) / count(1e-6);
    assert!((8.0..12.5).contains(&growth), "10 expected, {growth}");
}

#[test]
fn values_between_steps_are_nearly_as_good_as_at_the_steps() {
    let mut p = swing();
    integrate(&mut p, 0.0, &[1.0, 0.0], 20.0, &options(1e-9, 2, 0)).expect("smooth");
    // the interpolant is of fourth order, one below the method
    assert!(p.dense_error < 1e-6, "{}", p.dense_error);
    assert!(p.dense_error > 0.0);
}

#[test]
fn it_stops_where_the_event_is() {
    // y = cos t falls through zero at pi/2; y' = -sin t starts at zero and is ignored
    let o = options(1e-11, 2, 2);
    let end = integrate(&mut swing(), 0.0, &[1.0, 0.0], 20.0, &o).expect("smooth");
    assert_eq!(end.stopped, Stopped::Event(0));
    assert!(
        (end.t - std::f64::consts::FRAC_PI_2).abs() < 1e-9,
        "{}",
        end.t
    );
    // carried on from there: the velocity is negative until pi and falls through zero at 2 pi,
    // the position rises through zero at 3/2 pi (no fall) and falls at 5/2 pi
    let on = integrate(&mut swing(), end.t, &end.y, 20.0, &o).expect("smooth");
    assert_eq!(on.stopped, Stopped::Event(1));
    assert!((on.t - std::f64::consts::TAU).abs() < 1e-9, "{}", on.t);
}

/// `y' = -k y` which has no slope below a floor.
struct Decay {
    floor: f64,
    end_of_last: f64,
}
impl Problem for Decay {
    type Error = String;
    fn slope(&mut self, _t: f64, y: &[f64], dy: &mut [f64]) -> Result<(), Self::Error> {
        if y[0] < self.floor {
            return Err(format!("{} is below the floor", y[0]));
        }
        dy[0] = -y[0];
        Ok(())
    }
    fn accepted(&mut self, step: &Segment<'_>) -> Result<(), Self::Error> {
        assert!((step.start() - self.end_of_last).abs() < 1e-15);
        self.end_of_last = step.end();
        Ok(())
    }
}

#[test]
fn a_slope_that_fails_reports_the_last_good_state() {
    let mut p = Decay {
        floor: 0.1,
        end_of_last: 0.0,
    };
    let error = integrate(&mut p, 0.0, &[1.0], 5.0, &options(1e-8, 1, 0))
        .expect_err("the floor is reached before the end");
    match error {
        OdeError::Slope { t, y, source } => {
            // analytic: e^-t = 0.1 at t = ln 10; given up a millionth of the span before
            assert!((t - 10.0_f64.ln()).abs() < 2e-5, "{t}");
            assert!(y[0] >= 0.1 && y[0] < 0.100_01, "{y:?}");
            assert!(source.contains("below the floor"));
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_trial_step_that_leaves_the_range_is_shortened() {
    // the floor lies below the end value: only overlong trial steps meet it
    let mut p = Decay {
        floor: 0.3,
        end_of_last: 0.0,
    };
    let mut o = options(1e-3, 1, 0);
    o.first_step = Some(1.0);
    let end = integrate(&mut p, 0.0, &[1.0], 1.0, &o).expect("end is above the floor");
    assert!((end.y[0] - (-1.0_f64).exp()).abs() < 1e-3);
}

#[test]
fn steps_are_bounded_in_length_and_number() {
    let mut o = options(1e-3, 2, 0);
    o.longest_step = 0.01;
    let end = integrate(&mut swing(), 0.0, &[1.0, 0.0], 1.0, &o).expect("smooth");
    assert!(end.accepted >= 100);
    o.most_steps = 10;
    let error = integrate(&mut swing(), 0.0, &[1.0, 0.0], 1.0, &o).expect_err("too few steps");
    assert!(matches!(
        error,
        OdeError::TooManySteps { most_steps: 10, .. }
    ));
}

#[test]
fn nonsense_is_refused() {
    let ok = options(1e-6, 2, 0);
    let bad = |t0: f64, y: &[f64], t1: f64, o: &Options| {
        matches!(
            integrate(&mut swing(), t0, y, t1, o),
            Err(OdeError::BadInput { .. })
        )
    };
    assert!(bad(0.0, &[f64::NAN, 0.0], 1.0, &ok));
    assert!(bad(1.0, &[1.0, 0.0], 0.0, &ok));
    assert!(bad(0.0, &[1.0, 0.0], 1.0, &options(1e-6, 1, 0)));
    assert!(bad(0.0, &[1.0, 0.0], 1.0, &options(0.0, 2, 0)));
}

#[test]
fn a_span_of_zero_changes_nothing() {
    let o = options(1e-6, 2, 0);
    let end = integrate(&mut swing(), 3.0, &[1.0, 0.5], 3.0, &o).expect("nothing to do");
    assert_eq!((end.accepted, end.stopped), (0, Stopped::End));
    assert_eq!(end.y, vec![1.0, 0.5]);
}

/// Arenstorf's orbit in the restricted three-body problem.
struct Arenstorf;
impl Problem for Arenstorf {
    type Error = &'static str;
    fn slope(&mut self, _t: f64, y: &[f64], dy: &mut [f64]) -> Result<(), Self::Error> {
        let mu = 0.012_277_471;
        let rest = 1.0 - mu;
        let d1 = ((y[0] + mu).powi(2) + y[1] * y[1]).powf(1.5);
        let d2 = ((y[0] - rest).powi(2) + y[1] * y[1]).powf(1.5);
        dy[0] = y[2];
        dy[1] = y[3];
        dy[2] = y[0] + 2.0 * y[3] - rest * (y[0] + mu) / d1 - mu * (y[0] - rest) / d2;
        dy[3] = y[1] - 2.0 * y[2] - rest * y[1] / d1 - mu * y[1] / d2;
        Ok(())
    }
}

// Hairer, Nørsett and Wanner, Solving Ordinary Differential Equations I, II.0, equation (0.1):
// initial values and period of a closed orbit (figures from memory of the book; that the orbit
// closes is the check). Errors grow some 1e5-fold along it.
#[test]
fn arenstorf_orbit_closes() {
    let y0 = [0.994, 0.0, 0.0, -2.001_585_106_379_082_5];
    let period = 17.065_216_560_157_96;
    let end = integrate(&mut Arenstorf, 0.0, &y0, period, &options(1e-12, 4, 0))
        .expect("smooth away from the bodies");
    for (end, start) in end.y.iter().zip(y0).take(2) {
        assert!((end - start).abs() < 1e-4, "{end} {start}");
    }
}
