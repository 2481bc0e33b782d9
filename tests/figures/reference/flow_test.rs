//! Flow tests of holes: a volume that empties itself against an independent integration, and readings made by the law that
//! come back.

use super::eos::Backends;
use super::table::{Tally, rows};
use fuelwright::eos::Backend;
use fuelwright::injector::flow_test::{
    Bench, FlowTest, ReadingErrors, TestFlow, TestRead, together,
};
use fuelwright::injector::hole::{HoleMake, InletEdge};
use fuelwright::quantity::{
    AbsolutePressure, cubic_metres, kelvin, metres, pascals_absolute, pascals_difference, ratio,
    seconds,
};

const P1: f64 = 601_325.0;
const P2: f64 = 401_325.0;

fn bench(edge: InletEdge) -> Bench {
    Bench {
        temperature: kelvin(288.15),
        downstream: AbsolutePressure::STANDARD_ATMOSPHERE,
        holes: 24,
        diameter: metres(0.8e-3),
        make: HoleMake {
            edge,
            ..HoleMake::default()
        },
    }
}

fn fall(settled_pa: f64, time_s: f64) -> TestRead {
    TestRead::Fall {
        volume: cubic_metres(10e-3),
        from: pascals_absolute(P1),
        to: pascals_absolute(P2),
        settled: Some(pascals_absolute(settled_pa)),
        time: seconds(time_s),
    }
}

fn judged(
    bench: Bench,
    read: TestRead,
    gas: &dyn Backend,
) -> fuelwright::injector::flow_test::TestedFlow {
    let test = FlowTest {
        bench,
        read,
        errors: ReadingErrors::default(),
    };
    test.judged(gas).expect("readings that can be")
}

/// Grade: code to code, `CoolProp` 8.0.0 and a differential equation: time 2e-4 (eight points of Gauss across the fall),
/// mass lost 2e-5; exponent by the settled pressure 2e-4.
#[test]
fn a_volume_empties_itself_as_integrated_elsewhere() {
    let mut backends = Backends::new();
    let nitrogen = backends.get("nitrogen");
    let bench = bench(InletEdge::Measured {
        coefficient: 0.8,
        relative_band: None,
    });
    let mut tally = Tally::default();
    for row in rows("flow_test.csv") {
        let (from, to) = (pascals_absolute(P1), pascals_absolute(P2));
        let found = bench.fall(
            nitrogen.as_ref(),
            cubic_metres(10e-3),
            (from, to),
            row.num("e"),
        );
        let (time, lost) = found.expect("it falls");
        tally.relative(time.value, row.num("time_s"), 2e-4, "time", &row);
        tally.relative(lost, row.num("lost_kg"), 2e-5, "lost", &row);
        let read = fall(row.num("settled_Pa"), row.num("time_s"));
        let says = judged(bench, read, nitrogen.as_ref());
        tally.within(says.factor, 1.0, 4e-4, "factor", &row);
        let e = 1.0 - 1.0 / says.exponent.expect("of a fall");
        tally.within(e, row.num("e"), 2e-4, "exponent", &row);
    }
    tally.finish(16);
}

/// Steady readings made by the law with 93 % of the model's area give 93 % back within 1e-6, with nitrogen and with air; holes
/// of one coefficient pass 1.0171 times as much air as nitrogen at 3 bar (`CoolProp` 8.0.0, code to code).
#[test]
fn readings_made_by_the_law_come_back() {
    let mut backends = Backends::new();
    for gas in ["nitrogen", "air"] {
        let gas = backends.get(gas);
        let bench = bench(InletEdge::Drilled);
        for p in [1.2e5, 2e5, 5e5] {
            let upstream = pascals_absolute(p);
            let passes = bench.passes(gas.as_ref(), upstream, bench.temperature);
            let flow = 0.93 * passes.expect("it flows").flow;
            let free = flow.value / bench.free_density(gas.as_ref()).expect("a gas");
            let free = fuelwright::quantity::cubic_metres_per_second(free);
            for flow in [TestFlow::Mass(flow), TestFlow::Free(free)] {
                let says = judged(bench, TestRead::Steady { upstream, flow }, gas.as_ref());
                assert!((says.factor - 0.93).abs() < 1e-6, "{}", says.factor);
            }
        }
    }
    let bench = bench(InletEdge::Measured {
        coefficient: 0.8,
        relative_band: None,
    });
    let mut flow = |gas: &str| {
        let passes = bench.passes(
            backends.get(gas).as_ref(),
            pascals_absolute(3e5),
            bench.temperature,
        );
        passes.expect("it flows").flow
    };
    let over = (flow("air") / flow("nitrogen")).value;
    assert!((over - 1.0171).abs() < 2e-4, "{over}");
}

/// Choked holes pass in proportion to the pressure before them and to the root of the temperature over one: a gauge off by
/// 2 % (of the absolute pressure), a meter by 3 % and a thermometer by 2 K of 288 (0.35 %) are 2 √((2² + 3² + 0.35²)/3 + 0.3²) % = 4.2 %
/// together, worked by hand; a meter alone, known to 1 %, with the rest exact, is no wider than its own ends and the laws.
#[test]
fn the_band_is_that_of_the_readings() {
    let mut backends = Backends::new();
    let nitrogen = backends.get("nitrogen");
    let bench = bench(InletEdge::Drilled);
    let upstream = pascals_absolute(5e5);
    let flow = bench
        .passes(nitrogen.as_ref(), upstream, bench.temperature)
        .expect("it flows")
        .flow;
    let test = |errors| FlowTest {
        bench,
        read: TestRead::Steady {
            upstream,
            flow: TestFlow::Mass(flow),
        },
        errors,
    };
    let errors = ReadingErrors {
        pressure: Some(pascals_difference(1e4)),
        ..ReadingErrors::default()
    };
    let band = test(errors)
        .judged(nitrogen.as_ref())
        .expect("judged")
        .relative_band;
    assert!((band - 0.0422).abs() < 0.001, "{band}");
    let exact = ReadingErrors {
        pressure: Some(pascals_difference(1e-3)),
        temperature: Some(fuelwright::quantity::kelvin_difference(1e-6)),
        flow: Some(ratio(0.01)),
        ..ReadingErrors::default()
    };
    let band = test(exact)
        .judged(nitrogen.as_ref())
        .expect("judged")
        .relative_band;
    assert!((band - 0.013).abs() < 2e-4, "{band}");
}

/// Repeats share their instruments: three that agree are known no better than one; three that differ are known worse, by
/// t of two degrees of freedom (4.30) where their scatter is all there is.
#[test]
fn repeats_narrow_nothing_and_their_scatter_widens() {
    let mut backends = Backends::new();
    let nitrogen = backends.get("nitrogen");
    let bench = bench(InletEdge::Drilled);
    let upstream = pascals_absolute(3e5);
    let flow = bench
        .passes(nitrogen.as_ref(), upstream, bench.temperature)
        .expect("it flows")
        .flow;
    let one = |times: f64| {
        let flow = TestFlow::Mass(times * flow);
        judged(
            bench,
            TestRead::Steady { upstream, flow },
            nitrogen.as_ref(),
        )
    };
    let band = |times: &[f64]| {
        let tests: Vec<_> = times.iter().map(|t| one(*t)).collect();
        together(&tests).expect("tests").relative_band
    };
    let alone = band(&[1.0]);
    assert!((band(&[1.0; 3]) - alone).abs() < 1e-12);
    let apart = band(&[0.8, 1.0, 1.25]);
    // standard error 0.2231/√3 = 0.1288, and half the band of one beside it, times 4.303
    let by_hand = 4.303 * 0.1288_f64.hypot(alone / 2.0);
    assert!((apart - by_hand).abs() < 0.002, "{apart} {by_hand}");
    let middle = together(&[one(0.8), one(1.25)]).expect("tests").factor;
    assert!((middle - 1.0).abs() < 1e-3, "{middle}");
}

/// What cannot be is refused: a pressure that rises, a volume that settles above what any gas can, a hundred times the flow.
#[test]
fn readings_that_cannot_be_are_refused() {
    let mut backends = Backends::new();
    let nitrogen = backends.get("nitrogen");
    let refused = |read: TestRead| {
        let test = FlowTest {
            bench: bench(InletEdge::Drilled),
            read,
            errors: ReadingErrors::default(),
        };
        test.judged(nitrogen.as_ref())
            .expect_err("it cannot be")
            .to_string()
    };
    let rising = TestRead::Fall {
        volume: cubic_metres(0.01),
        from: pascals_absolute(P2),
        to: pascals_absolute(P1),
        settled: None,
        time: seconds(2.0),
    };
    assert!(refused(rising).contains("does not fall"));
    assert!(refused(fall(5.5e5, 2.0)).contains("settles between"));
    assert!(refused(fall(4.2e5, 200.0)).contains("wrong"));
}
