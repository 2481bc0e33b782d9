//! Records of every release of a rig.

use crate::leak::RoomCourse;
use crate::leak::relief::ReliefDuty;
use crate::leak::rig::{
    Break, Effect, JointLeak, KeptOff, LeakPlan, RatedBelow, StuckRegulator, TankEmptying,
    UnlitDuty,
};
use crate::leak::unlit::Unlit;
use crate::quantity::show::{Units, show_digits};
use crate::quantity::{AbsolutePressure, Kind, Length, Time};
use crate::report::leak::keys::{FuelInAir, Radiation, Released, TornOff};
use crate::report::record::{Row, record};

/// A time as text, because seconds and hours stand in one column.
fn time_text(t: Option<Time>, none: &str) -> String {
    t.map_or_else(
        || none.to_owned(),
        |t| show_digits(Kind::Time, t.value, Units::Si, 2),
    )
}

/// Distances to the lower limit, and to half of it at best and at most.
fn reaches(effect: Option<&Effect>) -> Option<(Length, Length, Length)> {
    let jet = effect?.consequences.jet.as_ref()?;
    let half = &jet.half_limit;
    Some((jet.lower_limit.value, half.value, half.high))
}

record! {
    /// Leaking joints, by pressure and size.
    Joint(j: &JointLeak, plan: &LeakPlan, air: AbsolutePressure)
    with {
        level = &j.level;
        parts = if level.from == level.to { level.from.clone() } else { format!("{} to {}", level.from, level.to) };
        effect = j.effect.as_ref().ok();
        reach = reaches(effect);
        fire = effect.and_then(|e| e.consequences.fire.as_ref());
        room = effect.and_then(|e| e.consequences.room);
    }
    {
        /// First part at this pressure.
        from: Text = &level.from, "parts" => Text = parts;
        /// Last part at this pressure.
        to: Text = &level.to;
        size: Text = j.size_name(), "hole" => Text = j.size_short();
        pressure_pa: AbsolutePressure = level.pressure, "pressure" => GaugePressure = level.pressure.gauge(air);
        /// Phase in it.
        phase: Text = level.phase.name();
        ..release: Row(Released) = effect.map(|e| Released::row(e, &plan.fuel));
        /// Why nothing is known of the release.
        error: Text = j.effect.as_ref().err().map(ToString::to_string);
        (flow): MassRate = effect.map(|e| e.release.flow), "flow";
        (lower): Length = reach.map(|r| r.0), "to LFL" 2;
        (half): Length = reach.map(|r| r.1), "to half LFL" 2;
        (flame): Length = fire.map(|f| f.length), "flame" 2 [optional];
        (air): VolumeRate = room.and_then(|r| r.ventilation_needed), "air needed" [optional];
    }

    /// Lines that break full-bore.
    TornLine(b: &Break, plan: &LeakPlan)
    with {
        valve = b.excess_flow.as_ref();
        says = match valve {
            None => "none before it".to_owned(),
            Some(e) if e.closes => format!("{} closes", e.part),
            Some(e) => format!("{} stays open", e.part),
        };
        effect = b.effect.as_ref().ok();
        reach = reaches(effect);
        fire = effect.and_then(|e| e.consequences.fire.as_ref());
    }
    {
        part: Text = &b.part, "part";
        bore_m: Length = b.bore, "bore" 2;
        (flow): MassRate = effect.map(|e| e.release.flow), "flow";
        excess_flow_valve: Text = valve.map(|e| &e.part), "excess-flow valve" => Text = says;
        /// Whether the break closes it.
        excess_flow_closes: Flag = valve.map(|e| e.closes);
        /// Flow that closes it.
        excess_flow_closing_kg_s: MassRate = valve.map(|e| e.closing);
        ..release: Row(Released) = effect.map(|e| Released::row(e, &plan.fuel));
        /// Why nothing is known of the release.
        error: Text = b.effect.as_ref().err().map(ToString::to_string);
        (half): Length = reach.map(|r| r.1), "to half LFL" 2;
        (most): Length = reach.map(|r| r.2), "at most" 2 [optional];
        (flame): Length = fire.map(|f| f.length), "flame" 2;
        (heat): Power = fire.map(|f| f.heat), "heat" [optional];
    }

    /// A release into the room.
    InRoom(name: String, course: &RoomCourse)
    with { time = |t: Option<Time>| time_text(t, "never"); }
    {
        (release): Text = name, "release";
        (quarter): Text = time(course.quarter_limit), "to 25 % LFL";
        (lower): Text = time(course.lower_limit), "to LFL";
        (steady): Ratio = course.steady, "after long" 2;
        (air): VolumeRate = course.ventilation_needed, "air needed";
        (clears): Text = time(course.clears_in), "clears in" [optional];
        (oxygen): Ratio = course.oxygen, "oxygen after long" [optional];
    }

    /// Regulators stuck wide open, one at a time.
    Stuck(s: &StuckRegulator, air: AbsolutePressure)
    with {
        fed = s.fed.as_ref().ok();
        kept = s.rated_below.iter().filter(|p| p.kept_off.is_some());
    }
    {
        part: Text = &s.part, "regulator";
        /// Duty whose settings it is taken at.
        duty: Text = &s.duty, "duty" [optional];
        /// Flow that the duty wants.
        wanted_kg_s: MassRate = s.wanted, "wanted" [optional];
        /// Flow to the injector.
        mass_flow_kg_s: MassRate = fed.map(|f| f.flow), "flows";
        /// Pressure before the holes.
        injector_pressure_pa: AbsolutePressure = fed.map(|f| f.pressure);
        /// Heat of that flow if all of it burns.
        heat_w: Power = fed.and_then(|f| f.heat), "heat";
        /// Equivalence ratio with the air of the duty.
        equivalence_ratio: Number = fed.and_then(|f| f.equivalence_ratio).map(|x| x.value), "eq. ratio";
        /// Pressure behind it with the flow stopped.
        dead_end_pressure_pa: AbsolutePressure = s.dead_end, "with flow stopped" => GaugePressure = s.dead_end.gauge(air);
        /// Pressure that a slam-shut or relief valve holds.
        held_at_pa: AbsolutePressure = s.held_at, "held at" => GaugePressure = s.held_at.gauge(air);
        reliefs: Rows(Relief) = s.reliefs.iter().map(|(name, duty)| Relief::row(&s.part, name, duty, air)).collect::<Vec<_>>();
        overloaded: Rows(Overloaded) = s.overloaded().map(Overloaded::row).collect::<Vec<_>>();
        kept_off: Rows(KeptOffRow) = kept.map(|p| KeptOffRow::row(&s.part, p, air)).collect::<Vec<_>>();
        with_the_one_before: Row(BothStuck) = s.with_the_one_before.as_ref().map(BothStuck::row);
        /// Why it is not known what then flows.
        error: Text = s.fed.as_ref().err().map(ToString::to_string);
    }

    /// Relief valves behind it.
    Relief(stuck: &str, name: &str, duty: &ReliefDuty, air: AbsolutePressure) {
        (stuck): Text = stuck, "stuck open";
        part: Text = name, "relief valve";
        /// Pressure at which it is wide open.
        relieving_pressure_pa: AbsolutePressure = duty.relieving, "opens wide at" => GaugePressure = duty.relieving.gauge(air);
        /// Flow that it has to pass.
        arrives_kg_s: MassRate = duty.arrives, "has to pass" 2;
        /// Flow that it passes.
        passes_kg_s: MassRate = duty.passes, "passes" 2;
    }

    /// Parts rated below what comes, and nothing keeps it off.
    Overloaded(p: &RatedBelow) {
        /// The part.
        part: Text = &p.part;
        /// Its rating.
        rating_pa: AbsolutePressure = p.rating;
    }

    /// Parts rated below what comes, and what keeps it off.
    KeptOffRow(stuck: &str, p: &RatedBelow, air: AbsolutePressure)
    with {
        (by, time) = match &p.kept_off {
            Some(KeptOff::Holds(part)) => (Some(part.as_str()), None),
            Some(KeptOff::CutOff(valve, time)) => (Some(valve.as_str()), *time),
            None => (None, None),
        };
    }
    {
        (stuck): Text = stuck, "stuck open";
        part: Text = &p.part, "part";
        rating_pa: AbsolutePressure = p.rating, "rating" => GaugePressure = p.rating.gauge(air);
        /// Part that keeps the pressure off.
        by: Text = by, "kept off by" => Text = by.unwrap_or("NOTHING");
        /// Time until it does; null of a relief valve or slam-shut, or not given.
        time_s: Time = time, "after" 2;
    }

    /// Two failures at once: with the regulator before it.
    BothStuck(both: &(String, AbsolutePressure)) {
        /// The regulator before it.
        part: Text = &both.0;
        /// Pressure behind both with the flow stopped.
        dead_end_pressure_pa: AbsolutePressure = both.1;
    }

    /// The burner fed and not lit, at each duty.
    FedUnlit(u: &UnlitDuty)
    with {
        at = u.at_ignition;
        lower = |x: Option<Unlit>| x.and_then(|x| x.lower_limit);
        says = |x: Option<Unlit>| x.map(|x| time_text(x.lower_limit, "never"));
        purge = u.purge.map(|p| p.needed);
    }
    {
        duty: Text = &u.duty, "duty";
        fuel_kg_s: MassRate = u.fuel, "fuel" [optional];
        /// Air of the duty.
        air_kg_s: MassRate = u.air;
        /// Volume of can and duct.
        volume_m3: Volume = u.volume;
        /// Share of fuel after a long time with air, by volume.
        steady_mole_fraction: Ratio = u.with_air.map(|x| x.steady);
        /// Time to the lower limit with the air of the duty.
        time_to_lfl_s: Time = lower(u.with_air), "to LFL with air" => Text = says(u.with_air);
        /// The same without air.
        time_to_lfl_without_air_s: Time = lower(u.without_air), "without air" => Text = says(u.without_air);
        /// Longest time that fuel flows without a flame.
        ignition_time_s: Time = at.map(|a| a.time);
        /// Share of fuel at the ignition time with the air of the duty.
        mole_fraction_at_ignition_time: Ratio = at.map(|a| a.fraction), "at ignition time" 2;
        /// The same without air.
        mole_fraction_at_ignition_time_without_air: Ratio = at.map(|a| a.fraction_without_air), "without air" 2;
        /// Fuel that has flowed in by then.
        fuel_at_ignition_time_kg: Mass = at.map(|a| a.fuel);
        /// Most heat that a late spark sets free up to then.
        energy_if_lit_j: Energy = at.map(|a| a.energy), "heat if lit late";
        /// Purge that is needed after it.
        purge_needed_s: Time = purge, "purge after" => Text = time_text(purge, "no purge air given");
        /// The same in volumes of can and duct.
        purge_volumes_needed: Number = u.purge.map(|p| p.volumes_needed);
    }

    /// Every release of a rig.
    Plan(plan: &LeakPlan, air: AbsolutePressure, tank: Option<&TankEmptying>)
    with { fuel = &plan.fuel; }
    {
        joints: Rows(Joint) = plan.joints.iter().map(|j| Joint::row(j, plan, air)).collect::<Vec<_>>();
        breaks: Rows(TornLine) = plan.breaks.iter().map(|b| TornLine::row(b, plan)).collect::<Vec<_>>();
        stuck_regulators: Rows(Stuck) = plan.stuck.iter().map(|s| Stuck::row(s, air)).collect::<Vec<_>>();
        unlit: Rows(FedUnlit) = plan.unlit.iter().map(FedUnlit::row).collect::<Vec<_>>();
        ..fuel: Row(FuelInAir) = FuelInAir::row(fuel);
        /// Volume of the room.
        room_m3: Volume = plan.room.map(|r| r.volume);
        /// Fresh air of the room.
        ventilation_m3_s: VolumeRate = plan.room.map(|r| r.ventilation);
        tank_emptying: Row(TornOff) = tank.map(|t| TornOff::row(t, air));
        (over_air): Number = fuel.relative_density, "Over that of air",
            note if fuel.is_heavy() {
                "sinks: it gathers in pits, drains and cabinets"
            } else {
                "rises: it gathers under roofs and ceilings"
            };
        (limit): Ratio = fuel.limits.map(|l| l.lower), "Lower limit";
    }
}

/// How far the flame of a release radiates.
pub(super) fn lit(effect: &Effect) -> Vec<Row> {
    let fire = effect.consequences.fire.iter();
    fire.flat_map(|f| &f.distances)
        .map(Radiation::row)
        .collect()
}
