//! Releases: no input gives NaN or a panic; a larger hole and a higher pressure let out more and reach
//! farther; rooms, ducts and sections that fill or empty do so one way only.

use crate::times::cases;
use fuelwright::eos::{self, Backend};
use fuelwright::flow::orifice::{Expansion, Stagnation};
use fuelwright::fuel::{Composition, Library};
use fuelwright::leak::decay::{Walls, empty_section};
use fuelwright::leak::release::{Hole, release};
use fuelwright::leak::room::{Room, fill};
use fuelwright::leak::unlit::{UnlitFeed, purge, unlit};
use fuelwright::leak::{Consequences, LeakFuel, Release, Surroundings, consequences};
use fuelwright::quantity::{
    cubic_metres, cubic_metres_per_second, kelvin, kilograms_per_second, metres, pascals_absolute,
    ratio, seconds,
};
use proptest::prelude::*;
use std::sync::{Arc, LazyLock};

const ATMOSPHERE_PA: f64 = 101_325.0;

static FLUIDS: LazyLock<Vec<Arc<dyn Backend>>> = LazyLock::new(|| {
    let library = Library::embedded();
    [
        "propane",
        "hydrogen",
        "methane",
        "methanol",
        "n-dodecane",
        "nitrogen",
        "kerosene",
        "propane:70,n-butane:30",
        "propane:60,n-butane:30,isobutane:10",
    ]
    .iter()
    .map(|name| {
        let composition = Composition::parse(name, &library).expect("a fuel");
        eos::backend(&library, &composition).expect("a backend")
    })
    .collect()
});

/// Those that are a gas at 0.5 to 4 bar and 280 K upwards.
const GASES: [usize; 3] = [0, 1, 2];

fn around() -> Surroundings {
    Surroundings {
        pressure: pascals_absolute(ATMOSPHERE_PA),
        temperature: kelvin(288.15),
    }
}

fn of(fluid: &dyn Backend, p_pa: f64, t_k: f64, hole: &Hole) -> (Release, Consequences) {
    let up = Stagnation::at(fluid, pascals_absolute(p_pa), kelvin(t_k)).expect("gas");
    let leak = release(&up, around().pressure, hole, Expansion::Blend).expect("it flows");
    let fuel = LeakFuel::of(fluid, &around()).expect("air");
    let does = consequences(&leak, &fuel, &around(), None).expect("air");
    (leak, does)
}

/// Every number that a release and its consequences give.
fn figures(leak: &Release, does: &Consequences) -> Vec<f64> {
    let mut all = vec![
        leak.flow.value,
        leak.low.value,
        leak.high.value,
        leak.flux.value,
        leak.area.value,
        leak.throat.pressure.pascals(),
        leak.throat.temperature.value,
        leak.temperature_outside.value,
        leak.vapour_outside.value,
        leak.expanded_velocity().value,
    ];
    if let Some(jet) = &does.jet {
        for reach in [jet.lower_limit, jet.half_limit] {
            all.extend([reach.low.value, reach.value.value, reach.high.value]);
        }
        all.push(jet.jet.diameter.value);
        all.extend(jet.momentum_until.map(|x| x.value));
    }
    if let Some(fire) = &does.fire {
        all.extend([fire.heat.value, fire.length.value, fire.froude]);
        for d in &fire.distances {
            all.extend([d.low.value, d.from_hole.value, d.high.value]);
        }
        all.push(fire.radiation_at(metres(0.0)).value);
    }
    if let Some(room) = &does.room {
        all.extend([room.steady.value, room.oxygen.value, room.gas_flow.value]);
        let times = [
            room.quarter_limit,
            room.lower_limit,
            room.clears_in,
            room.oxygen_low,
        ];
        all.extend(times.into_iter().flatten().map(|t| t.value));
        all.extend(room.ventilation_needed.map(|q| q.value));
    }
    all.extend(does.characteristic.map(|q| q.value));
    all
}

fn wild(usual: impl Strategy<Value = f64> + 'static) -> impl Strategy<Value = f64> {
    prop_oneof![9 => usual, 1 => any::<f64>()]
}

fn power(from: f64, to: f64) -> impl Strategy<Value = f64> {
    (from..to).prop_map(|x| 10_f64.powf(x))
}

proptest! {
    #![proptest_config(cases(192))]

    #[test]
    fn a_release_has_finite_figures_or_a_reason(
        which in 0..9_usize,
        p in wild(power(4.5, 7.5)), t in wild(200.0..500.0_f64),
        out_p in wild(power(4.0, 5.5)), out_t in wild(220.0..330.0_f64),
        d in wild(power(-6.5, 0.3)),
        coefficient in prop_oneof![3 => Just(None), 1 => any::<f64>().prop_map(Some), 1 => (0.1..1.0_f64).prop_map(Some)],
        quality in prop_oneof![3 => Just(None), 1 => (0.0..=1.0_f64).prop_map(Some)],
        volume in wild(power(-2.0, 4.0)), air in wild(power(-5.0, 2.0)),
    ) {
        let fluid = FLUIDS[which].as_ref();
        let around = Surroundings { pressure: pascals_absolute(out_p), temperature: kelvin(out_t) };
        let up = match quality {
            Some(q) => Stagnation::saturated(fluid, pascals_absolute(p), q),
            None => Stagnation::at(fluid, pascals_absolute(p), kelvin(t)),
        };
        let Ok(up) = up else { return Ok(()) };
        let hole = Hole { diameter: metres(d), coefficient: coefficient.map(ratio) };
        let Ok(leak) = release(&up, around.pressure, &hole, Expansion::Blend) else { return Ok(()) };
        prop_assert!(leak.low <= leak.flow && leak.flow <= leak.high, "{leak:?}");
        prop_assert!(leak.flow.value > 0.0);
        let room = Room {
            volume: cubic_metres(volume),
            ventilation: cubic_metres_per_second(air),
        };
        let Ok(fuel) = LeakFuel::of(fluid, &around) else { return Ok(()) };
        let Ok(does) = consequences(&leak, &fuel, &around, Some(&room)) else { return Ok(()) };
        for x in figures(&leak, &does) {
            prop_assert!(x.is_finite() && x >= 0.0, "{x}: {leak:?} {does:?}");
        }
        if let Some(jet) = &does.jet {
            for reach in [jet.lower_limit, jet.half_limit] {
                prop_assert!(reach.low <= reach.value && reach.value <= reach.high);
            }
            prop_assert!(jet.half_limit.value >= jet.lower_limit.value);
        }
    }

    #[test]
    fn a_larger_hole_lets_out_more_and_reaches_farther(
        which in 0..3_usize, p in 1.05e5..4e5_f64, t in 280.0..330.0_f64,
        d in power(-4.5, -1.5), more in 1.01..3.0_f64,
        coefficient in prop_oneof![Just(None), (0.4..1.0_f64).prop_map(|c| Some(ratio(c)))],
    ) {
        let fluid = FLUIDS[GASES[which]].as_ref();
        let at = |d: f64| of(fluid, p, t, &Hole { diameter: metres(d), coefficient });
        let ((small, near), (large, far)) = (at(d), at(d * more));
        prop_assert!(large.flow > small.flow && large.high > small.high);
        let reach = |c: &Consequences| c.jet.as_ref().expect("it burns").half_limit;
        prop_assert!(reach(&far).value > reach(&near).value);
        prop_assert!(reach(&far).high > reach(&near).high);
        let heat = |c: &Consequences| c.fire.as_ref().expect("it burns").heat;
        prop_assert!(heat(&far) > heat(&near));
        for (a, b) in near.fire.expect("lit").distances.iter().zip(&far.fire.expect("lit").distances) {
            prop_assert!(b.from_flame > a.from_flame);
        }
    }

    #[test]
    fn more_pressure_lets_out_more_and_reaches_farther(
        which in 0..3_usize, p in 1.05e5..4e5_f64, more in 1.01..2.0_f64, t in 280.0..330.0_f64,
        d in power(-4.0, -2.0),
    ) {
        let fluid = FLUIDS[GASES[which]].as_ref();
        // with its coefficient given: that of a model may fall with the Reynolds number
        let hole = Hole { diameter: metres(d), coefficient: Some(ratio(0.8)) };
        let ((low, near), (high, far)) = (of(fluid, p, t, &hole), of(fluid, p * more, t, &hole));
        prop_assert!(high.flow > low.flow);
        let reach = |c: &Consequences| c.jet.as_ref().expect("it burns").lower_limit.value;
        prop_assert!(reach(&far) > reach(&near) * (1.0 - 1e-6), "{:?} {:?}", reach(&far), reach(&near));
    }

    #[test]
    fn a_room_only_fills_and_never_beyond_its_end(
        which in 0..3_usize, flow in power(-7.0, 0.0), volume in power(-1.0, 4.0),
        air in prop_oneof![1 => Just(0.0), 4 => power(-4.0, 2.0)], t in power(0.0, 6.0),
    ) {
        let fuel = LeakFuel::of(FLUIDS[GASES[which]].as_ref(), &around()).expect("air");
        let room = Room { volume: cubic_metres(volume), ventilation: cubic_metres_per_second(air) };
        let course = fill(&room, kilograms_per_second(flow), &fuel).expect("in range");
        let (now, later) = (course.at(seconds(t)), course.at(seconds(2.0 * t)));
        prop_assert!(now <= later && later.value <= course.steady.value * (1.0 + 1e-12));
        if let (Some(quarter), Some(lower)) = (course.quarter_limit, course.lower_limit) {
            prop_assert!(quarter < lower);
            // back from the time to the fraction
            let limit = fuel.limits.expect("it burns").lower.value;
            prop_assert!((course.at(lower).value / limit - 1.0).abs() < 1e-6);
        }
        // with the ventilation that it asks for, a quarter of the limit is just not passed
        let needed = course.ventilation_needed.expect("it burns");
        let enough = Room { ventilation: needed * 1.000_001, ..room };
        let held = fill(&enough, kilograms_per_second(flow), &fuel).expect("in range");
        prop_assert!(held.quarter_limit.is_none());
    }

    #[test]
    fn a_duct_fed_unlit_gets_richer_and_a_purge_thins_it(
        which in 0..3_usize, fuel_flow in power(-6.0, -1.0), air in prop_oneof![Just(0.0), power(-4.0, 0.0)],
        volume in power(-4.0, 1.0), t in power(-1.0, 3.0), purge_air in power(-3.0, 1.0),
    ) {
        let fuel = LeakFuel::of(FLUIDS[GASES[which]].as_ref(), &around()).expect("air");
        let feed = UnlitFeed {
            volume: cubic_metres(volume),
            fuel: kilograms_per_second(fuel_flow),
            air: kilograms_per_second(air),
        };
        let course = unlit(&feed, &fuel, &around()).expect("in range");
        let (now, later) = (course.at(seconds(t)), course.at(seconds(2.0 * t)));
        prop_assert!(now <= later && later.value <= course.steady.value * (1.0 + 1e-12));
        prop_assert!(course.energy_at(seconds(t)) <= course.most_energy(seconds(t)) * (1.0 + 1e-9));
        let take = |from| purge(feed.volume, kilograms_per_second(purge_air), from, &fuel, &around());
        let (short, long) = (take(now).expect("air"), take(later).expect("air"));
        let (short, long) = (short.expect("limits"), long.expect("limits"));
        prop_assert!(short.needed <= long.needed && short.volumes_needed >= 4.0);
        prop_assert!(long.needed.value.is_finite());
    }
}

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn a_section_empties_one_way(
        which in 0..3_usize, p in 1.2e5..4e5_f64, t in 290.0..330.0_f64,
        d in power(-4.0, -2.0), volume in power(-5.0, 1.0), warm: bool,
    ) {
        let fluid = FLUIDS[GASES[which]].as_ref();
        let up = Stagnation::at(fluid, pascals_absolute(p), kelvin(t)).expect("gas");
        let hole = Hole { diameter: metres(d), coefficient: Some(ratio(0.8)) };
        let leak = release(&up, around().pressure, &hole, Expansion::Blend).expect("it flows");
        let walls = if warm { Walls::Isothermal } else { Walls::Insulated };
        let decay = empty_section(&up, cubic_metres(volume), &leak, walls).expect("it empties");
        for pair in decay.course.windows(2) {
            prop_assert!(pair[1].time > pair[0].time);
            prop_assert!(pair[1].pressure < pair[0].pressure);
            prop_assert!(pair[1].flow < pair[0].flow);
            prop_assert!(pair[1].left > pair[0].left);
        }
        let last = decay.course.last().expect("moments");
        prop_assert!(last.left < decay.inside && last.flow.value > 0.0);
        prop_assert!(decay.half_flow.expect("it halves") <= decay.empty.expect("it empties"));
        // never sooner than with its first flow throughout
        let first = decay.course[0].flow.value;
        prop_assert!(last.time.value >= last.left.value / first * (1.0 - 1e-3));
    }
}
