//! Records of a release: of the flow, of what it does, of an emptying.

use super::{Emptying, Told, before, flow_range, weight, why_so};
use crate::leak::decay::{Decay, Moment};
use crate::leak::fire::{LENGTH_BAND, RadiationDistance};
use crate::leak::jet::Reach;
use crate::leak::release::Expanding;
use crate::leak::rig::{Effect, TankEmptying};
use crate::leak::room::{ALARM_SHARE, breathing};
use crate::leak::screening::LIMIT_FACTOR;
use crate::leak::{Consequences, LeakFuel, Release};
use crate::quantity::show::{Units, percent};
use crate::quantity::{AbsolutePressure, Length, seconds};
use crate::report::record::{or_words, record, wide};

/// Of a time that is not reached in the longest emptying that is looked at.
const LATE: &str = "not within the time looked at";
const NEVER: &str = "never, well mixed";
const GONE: &str = "to a hundredth of its pressure over the air";

fn band(reach: Option<&Reach>) -> (Option<Length>, Option<Length>) {
    (reach.map(|r| r.low), reach.map(|r| r.high))
}

record! {
    /// What comes out of a hole.
    Outflow(r: &Release)
    with {
        c = &r.coefficient;
        e = r.expanding;
        says = if r.choked { "yes: the air's pressure does not matter" } else { "no" };
    }
    {
        release_rate_kg_s: MassRate = r.flow, "Mass flow", band wide(r.low, r.high);
        /// The least it may be.
        release_rate_low_kg_s: MassRate = r.low;
        /// The most it may be.
        release_rate_high_kg_s: MassRate = r.high;
        /// How a liquid is taken to expand in the hole; null of a gas.
        expansion: Text = e.map(|e| e.taken.name()), "Expansion", note e.map(|e| why_so(&e));
        /// Flow of a liquid in equilibrium.
        release_rate_equilibrium_kg_s: MassRate = e.map(|e| e.equilibrium);
        /// Flow of a liquid without vapour in the hole.
        release_rate_bernoulli_kg_s: MassRate = e.map(|e| e.bernoulli);
        /// Whether the flow is choked: the pressure of the air does not matter.
        choked: Flag = r.choked, "Choked" => Text = says;
        /// Mass flow by the area of the throat.
        mass_flux_kg_m2_s: MassFlux = r.flux;
        discharge_coefficient: Number = c.value, "Discharge coefficient", note c.models.join("; "),
            band wide(c.low, c.high);
        /// The least it may be.
        discharge_coefficient_low: Number = c.low;
        /// The most it may be.
        discharge_coefficient_high: Number = c.high;
        hole_area_m2: Area = r.area, "Area of the hole";
        /// Pressure in the throat.
        throat_pressure_pa: AbsolutePressure = r.throat.pressure;
        /// Temperature in the throat.
        throat_temperature_k: Temperature = r.throat.temperature;
        /// Share of a liquid that boils at once when it comes to the pressure outside, by mass.
        vapour_mass_fraction_outside: Ratio = r.vapour_outside, "Boils at once, by mass",
            note "when it comes to the pressure outside";
        /// Temperature at the pressure outside.
        temperature_outside_k: Temperature = r.temperature_outside, "Temperature then";
    }

    /// What a release does.
    Done(does: &Consequences, fuel: &LeakFuel, bounding: bool)
    with {
        jet = does.jet.as_ref();
        (lower, half) = (jet.map(|j| &j.lower_limit), jet.map(|j| &j.half_limit));
        fire = does.fire.as_ref();
        length = fire.map(|f| f.length);
        course = does.room.as_ref();
        burns = fuel.limits.is_some();
        clears = course.and_then(|r| r.clears_in);
        quarter = course.and_then(|r| r.quarter_limit);
        to_lower = course.and_then(|r| r.lower_limit);
        low_oxygen = course.and_then(|r| r.oxygen_low);
    }
    {
        /// Distance to the lower limit.
        distance_to_lfl_m: Length = lower.map(|r| r.value), "To the lower limit", band band(lower);
        /// The least it may be.
        distance_to_lfl_low_m: Length = lower.map(|r| r.low);
        /// The most it may be.
        distance_to_lfl_high_m: Length = lower.map(|r| r.high);
        /// Distance to half the lower limit.
        distance_to_half_lfl_m: Length = half.map(|r| r.value), "To half the lower limit",
            note if bounding { "plan with this" } else { "not what bounds the release" }, band band(half);
        /// The least it may be.
        distance_to_half_lfl_low_m: Length = half.map(|r| r.low);
        /// The most it may be.
        distance_to_half_lfl_high_m: Length = half.map(|r| r.high);
        notional_diameter_m: Length = jet.map(|j| j.jet.diameter), "Expanded jet, diameter",
            note jet.map(|j| j.jet.notional.name());
        notional_velocity_m_s: Velocity = jet.map(|j| j.jet.velocity), "Expanded jet, speed";
        /// Distance up to which momentum rules.
        momentum_until_m: Length = jet.and_then(|j| j.momentum_until), "Momentum rules up to",
            note if fuel.is_heavy() { "then it sinks" } else { "then it rises" };
        release_characteristic_m3_s: VolumeRate = does.characteristic, "Release characteristic",
            note format!("screening value with k = {LIMIT_FACTOR}; classifies nothing"), source "iec60079-10-1";
        /// Whether it is a liquid that does not boil outside and makes a pool.
        makes_pool: Flag = does.pool;
        /// Heat of the flame if it is lit.
        heat_w: Power = fire.map(|f| f.heat), "Heat";
        flame_length_m: Length = length, "Flame length",
            band (length.map(|l| l * (1.0 - LENGTH_BAND)), length.map(|l| l * (1.0 + LENGTH_BAND))),
            source "delichatsios1993";
        (radiated): Ratio = fire.map(|f| f.radiant_fraction), "Radiated", source "radiant-fraction-memory";
        radiation: Rows(Radiation) = fire.map(|f| f.distances.iter().map(Radiation::row).collect::<Vec<_>>());
        /// Time to a quarter of the lower limit in the room, well mixed; null: never.
        time_to_quarter_lfl_s: Time = quarter,
            "To a quarter of the lower limit" => Time = burns.then(|| or_words(quarter, NEVER));
        /// Time to the lower limit in the room, well mixed; null: never.
        time_to_lfl_s: Time = to_lower, "To the lower limit" => Time = burns.then(|| or_words(to_lower, NEVER));
        /// Share of fuel in the room after a long time, by volume.
        steady_mole_fraction: Ratio = course.map(|r| r.steady), "After a long time";
        /// Fresh air that holds a quarter of the lower limit in the room.
        ventilation_needed_m3_s: VolumeRate = course.and_then(|r| r.ventilation_needed), "Fresh air needed",
            note format!("for {} of the lower limit", percent(ALARM_SHARE));
        /// Time from the highest to a quarter of the lower limit after the leak is shut in; null: never.
        clears_in_s: Time = clears,
            "Clears after the leak is shut in" => Time = burns.then(|| match clears {
                Some(t) if t.value <= 0.0 => "no need: never above".into(),
                _ => or_words(clears, "never without fresh air"),
            }),
            note clears.filter(|t| t.value > 0.0).map(|_| "from its highest to a quarter of the lower limit");
        (does_not_burn): Text = (!burns).then_some("not asked: it does not burn"), "Clears";
        /// Share of oxygen in the room after a long time.
        steady_oxygen: Ratio = course.map(|r| r.oxygen), "Oxygen after a long time",
            note course.map(|r| breathing(r.oxygen)), source "osha-oxygen";
        /// Time until oxygen falls below the least share to breathe; null: never.
        time_to_low_oxygen_s: Time = low_oxygen, "To too little oxygen" => Time = or_words(low_oxygen, NEVER);
        /// Whether the room reaches a quarter of the lower limit.
        reaches_quarter_lfl: Flag = course.filter(|_| burns).map(|r| r.quarter_limit.is_some());
    }

    /// How far levels of radiation reach.
    Radiation(d: &RadiationDistance) {
        /// Level of radiation.
        level_w_m2: HeatFlux = d.threshold.level_w_m2, "radiation";
        /// What it stands for.
        meaning: Text = d.threshold.meaning, "stands for";
        /// Distance from the middle of the flame.
        from_flame_m: Length = d.from_flame;
        /// Distance from the hole in the direction of the jet.
        from_hole_m: Length = d.from_hole, "from the hole";
        (from_break): Length = d.from_hole, "from the break" 2;
        /// The least it may be.
        low_m: Length = d.low, "at least" [optional];
        /// The most it may be.
        high_m: Length = d.high, "at most";
        (most): Length = d.high, "at most" 2;
    }

    /// A release of a rig: what comes out and what it does.
    Released(e: &Effect, fuel: &LeakFuel) {
        ..flow: Row(Outflow) = Outflow::row(&e.release);
        ..does: Row(Done) = Done::row(&e.consequences, fuel, e.release.is_bounding());
    }

    /// The fuel in the air.
    FuelInAir(fuel: &LeakFuel)
    with { limits = fuel.limits; }
    {
        gas_density_kg_m3: Density = fuel.gas_density, "Vapour density";
        relative_density: Number = fuel.relative_density, "Density over that of air", note weight(fuel);
        /// Lower flammability limit, the lowest of the standards.
        lower_flammability_limit: Ratio = limits.map(|l| l.lower), "Lower limit",
            note "the lowest of the standards",
            band limits.map_or((None, None), |l| wide(l.lower, l.lower_highest));
    }

    /// A release through a hole, from flags.
    Single(t: &Told<'_>, units: Units) {
        ..flow: Row(Outflow) = Outflow::row(t.release);
        /// Pressure before the hole.
        upstream_pressure_pa: AbsolutePressure = t.upstream.pressure_pa;
        /// Temperature before the hole.
        upstream_temperature_k: Temperature = t.upstream.temperature_k;
        /// Phase before the hole.
        upstream_phase: Text = t.upstream.phase.name();
        ..does: Row(Done) = Done::row(t.does, t.fuel, t.release.is_bounding());
        /// Pressure of the air.
        ambient_pressure_pa: AbsolutePressure = t.around.pressure;
        /// Temperature of the air.
        ambient_temperature_k: Temperature = t.around.temperature;
        ..fuel: Row(FuelInAir) = FuelInAir::row(t.fuel);
        [emptying]: Row(SectionOrTank) = t.emptying.map(|e| SectionOrTank::row(e, t.around.pressure));
        (before): Text = before(t, units), "Before the hole";
        (range): Text = t.release.expanding.filter(Expanding::boils).map(|e| flow_range(&e, units)),
            "Range of expansions", note "equilibrium to bernoulli, both at that coefficient";
        (gas): VolumeRate = t.release.flow / t.fuel.gas_density, "Gas it makes";
    }

    /// An emptying.
    Emptied(d: &Decay, air: AbsolutePressure) {
        /// Mass inside at the start.
        inside_kg: Mass = d.inside, "Inside at the start";
        /// Time until the flow has halved.
        half_flow_s: Time = d.half_flow, "Flow halves in" => Time = or_words(d.half_flow, LATE);
        /// Time to a hundredth of its pressure over the air.
        empty_s: Time = d.empty;
        /// Why it is not followed to its end.
        ended_by: Text = d.ended_by.as_deref();
        series: Rows(Course) = d.course.iter().map(|m| Course::row(m, air)).collect::<Vec<_>>();
    }

    /// Moments of an emptying.
    Course(m: &Moment, air: AbsolutePressure) {
        time_s: Time = m.time, "time";
        pressure_pa: AbsolutePressure = m.pressure, "pressure" => GaugePressure = m.pressure.gauge(air);
        temperature_k: Temperature = m.temperature, "temperature";
        release_rate_kg_s: MassRate = m.flow, "flow";
        released_kg: Mass = m.left, "out so far";
    }

    /// The section or tank that empties.
    SectionOrTank(e: &Emptying, air: AbsolutePressure)
    with {
        gone = or_words(e.decay.empty, LATE);
        last = e.decay.course.last().filter(|_| e.tank);
    }
    {
        ..decay: Row(Emptied) = Emptied::row(&e.decay, air);
        (gone): Time = e.tank.then(|| gone.clone()), "Pressure gone in", note GONE;
        (empty): Time = (!e.tank).then_some(gone), "Empty in", note GONE;
        (still): Mass = last.map(|l| (e.decay.inside.value - l.left.value).max(0.0)), "Still inside then",
            note "cold liquid goes on boiling as heat comes in";
    }

    /// A cylinder that empties through the worst break that nothing closes.
    TornOff(t: &TankEmptying, air: AbsolutePressure)
    with { out = |minutes: f64| t.decay.left_at(seconds(60.0 * minutes)); }
    {
        ..decay: Row(Emptied) = Emptied::row(&t.decay, air);
        /// The part that breaks.
        part: Text = &t.part, "Full-bore break of";
        (first): MassRate = t.first, "One cylinder, at first";
        (gone): Time = or_words(t.decay.empty, LATE), "Pressure gone in";
        (one): Mass = out(1.0), "Out after 1 min";
        (ten): Mass = out(10.0), "Out after 10 min";
        (coldest): Temperature = t.decay.course.iter().map(|m| m.temperature.value).reduce(f64::min),
            "Coldest it gets";
    }
}
