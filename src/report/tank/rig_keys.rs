//! Figures of the tank of a rig.

use super::keys::{AtTime, Run};
use super::shares;
use crate::audit::Solution;
use crate::audit::solution::{
    DutyStudy, Emptied, Emptying, StudiedRun, TankDuty, TankSolution, TankStudy, Unusable, Warmth,
};
use crate::quantity::show::{Show, Units, number, show};
use crate::quantity::{AbsolutePressure, GaugePressure, Kind, PressureDifference};
use crate::report::audit_supply::{DutyOfTank, TankAtStart};
use crate::report::record::{Row, or_why, record};
use crate::tank::remedies::fed;
use crate::tank::schedule::Step;

record! {
    /// A step of the schedule.
    Planned(step: &Step) {
        /// Its name.
        name: Text = &step.name;
        /// Flow drawn of one cylinder; 0 for a rest.
        draw_kg_s: MassRate = step.draw;
        /// How long it lasts.
        duration_s: Time = step.duration;
        /// Lowest tank pressure that still feeds it.
        lowest_pressure_pa: AbsolutePressure = step.lowest_pressure;
        /// Pressure of the line behind the first regulator.
        line_pressure_pa: AbsolutePressure = step.line_pressure;
    }

    /// How the run goes.
    Goes(run: &StudiedRun)
    with {
        (q, a) = (&run.question, &run.answer);
        failure = a.run.first_failure();
    }
    {
        /// Whether every step is fed to its end.
        fed: Flag = fed(&a.run);
        /// When a step is first not fed.
        fails_after_s: Time = failure.map(|e| e.time);
        /// By what.
        fails_by: Text = failure.map(|e| e.what.text());
        steps: Rows(Planned) = q.schedule.steps.iter().map(Planned::row).collect::<Vec<_>>();
        /// How often the steps are gone through.
        repeats: Count = q.schedule.repeats;
        /// Whether the steps are those of the file; else its duties, in order.
        from_plan: Flag = run.from_plan;
        /// Wetted wall outside, where the tank is coldest.
        coldest_wall_k: Temperature = a.wall.map(|w| w.wall);
    }

    /// A tank that is not run.
    NotRun(why: &String) {
        series: Rows(AtTime) = Vec::<Row>::new();
        sustainable_draw_kg_s: MassRate = None::<f64>;
        /// Why it is not run.
        run_error: Text = why;
    }

    /// What is left when a duty can no longer be fed.
    Rest(s: &Solution<'_>, u: &Unusable) {
        mass_kg: Mass = u.mass;
        /// Share of the liquid.
        share: Ratio = u.share;
        /// Mole fractions of it.
        liquid_composition: Shares = shares(s.fluid.composition(), &u.liquid);
        /// Whether the duty is fed to the end.
        still_fed: Flag = u.still_fed;
    }

    /// What a duty asks of a cylinder, and what it gives.
    DutyOfRig(s: &Solution<'_>, d: &TankDuty, more: &DutyStudy, left: Option<&Unusable>)
    with { air = s.rig.site.air_pressure; }
    {
        ..duty: Row(DutyOfTank) = DutyOfTank::row(d, air);
        line_pressure_pa: AbsolutePressure = d.line_pressure, "line behind regulator"
            => GaugePressure = d.line_pressure.map(|p| p.gauge(air));
        sustainable_draw_nearly_empty_kg_s: MassRate = &more.sustainable_nearly_empty, "sustainable nearly empty";
        largest_draw_kg_s: MassRate = &more.largest, "most for that long";
        largest_draw_for_s: Time = more.longest, "longest draw";
        [rest]: Row(Rest) = left.map(|u| Rest::row(s, u));
    }

    /// A tank at a temperature.
    AtTemperature(s: &Solution<'_>, tank: &TankSolution, w: &Warmth)
    with {
        p = &w.pressures;
        air = s.rig.site.air_pressure;
        (full, nearly_empty) = (w.fed(tank, |f| f.0), w.fed(tank, |f| f.1));
        said = |names: &[&str]| match names.len() {
            0 => "none".to_owned(),
            n if n == tank.duties.len() => "all".to_owned(),
            _ => names.join(", "),
        };
    }
    {
        temperature_k: Temperature = p.temperature, "tank";
        pressure_pa: AbsolutePressure = p.full, "pressure" => GaugePressure = p.full.gauge(air);
        feeds: Texts = full.clone(), "feeds" => Text = said(&full);
        nearly_empty_pressure_pa: AbsolutePressure = p.nearly_empty, "nearly empty"
            => GaugePressure = p.nearly_empty.gauge(air);
        nearly_empty_feeds: Texts = nearly_empty.clone(), "then feeds" => Text = said(&nearly_empty);
    }

    /// A blend with so much of it left.
    Left(s: &Solution<'_>, e: &Emptied)
    with { of = s.fluid.composition(); }
    {
        /// Share of the liquid that is left.
        liquid_left: Ratio = e.left, "liquid left" 2;
        pressure_pa: AbsolutePressure = e.pressure, "pressure"
            => GaugePressure = e.pressure.gauge(s.rig.site.air_pressure);
        /// Mole fractions of the liquid.
        liquid_composition: Shares = shares(of, &e.liquid);
        /// Mole fractions of the vapour.
        vapour_composition: Shares = shares(of, &e.vapour);
        dew_point_k: Temperature = e.dew_point, "dew point in the line";
    }

    /// A blend as it empties.
    Empties(s: &Solution<'_>, e: &Emptying) {
        temperature_k: Temperature = e.temperature;
        /// Pressure of the line behind the first regulator, the highest of all duties.
        line_pressure_pa: AbsolutePressure = e.line;
        rows: Rows(Left) = e.rows.iter().map(|row| Left::row(s, row)).collect::<Vec<_>>();
    }

    /// What the wall has to hold.
    Holds(study: &TankStudy, units: Units)
    with {
        strength = &study.strength;
        design = strength.design.as_ref().ok();
        least = strength.design.as_ref().map(|(_, least)| *least);
        wall = strength.wall.as_ref();
        (hottest, rated) = (wall.and_then(|w| w.hottest), wall.and_then(|w| w.rated));
        seamless = "round the shell, seamless; the maker's papers say what it stands";
        storage = |at: GaugePressure| format!(
            "class of {} at 100 degF; storage containers, transport cylinders follow their own rules",
            at.show(units)
        );
    }
    {
        least_design_pressure_pa: AbsolutePressure
            = design.map(|(_, least)| least.pascals() + AbsolutePressure::STANDARD_ATMOSPHERE.pascals()),
            "Least design pressure" => GaugePressure = or_why(&least, "no class"),
            note design.map(|(at, _)| storage(*at)), source design.map(|_| "cfr1910110");
        relief_air_m3_s: VolumeRate = strength.relief_air, "Relief valve must pass, as air",
            note "by the surface of the tank, at 120 % of its set pressure", source "wac296307";
        wall_thickness_m: Length = wall.map(|w| w.thickness), "Wall",
            note wall.filter(|w| w.from_mass).map(|_| "mean, from its mass, surface and metal; `wall_thickness` gives it");
        hoop_stress_hottest_pa: PressureDifference = hottest, "Stress on the hottest day"
            => Text = hottest.map(|p| stress(units, p)), note seamless;
        hoop_stress_rated_pa: PressureDifference = rated, "Stress at the rated pressure"
            => Text = rated.map(|p| stress(units, p)), note seamless;
        /// Pressure somewhat past the temperature at which liquid fills the tank.
        past_liquid_full_pa: AbsolutePressure = strength.past_full;
    }

    /// The tank of a rig; masses and flows are those of one cylinder.
    OfRig(s: &Solution<'_>, tank: &TankSolution, study: &TankStudy, run: Option<Row>)
    with {
        emptying = study.emptying.as_ref().and_then(|e| e.as_ref().ok());
        left = |k: usize| emptying.and_then(|e| e.unusable.get(k)?.as_ref());
        duties = tank.duties.iter().zip(&study.duties).enumerate();
        warmth = study.warmth.iter().flatten();
    }
    {
        ..run: Row(Run) = run;
        ..goes: Row(Goes) = study.run.as_ref().ok().map(Goes::row);
        ..not_run: Row(NotRun) = study.run.as_ref().err().map(NotRun::row);
        tank: Row(TankAtStart) = TankAtStart::row(tank);
        duties: Rows(DutyOfRig) = duties.map(|(k, (d, more))| DutyOfRig::row(s, d, more, left(k))).collect::<Vec<_>>();
        temperatures: Rows(AtTemperature) = warmth.map(|w| AtTemperature::row(s, tank, w)).collect::<Vec<_>>();
        [emptying]: Row(Empties) = emptying.map(|e| Empties::row(s, e));
        strength: Row(Holds) = Holds::row(study, s.units);
    }
}

/// A stress as the trade writes it.
fn stress(units: Units, p: PressureDifference) -> String {
    match units {
        Units::Si => format!("{} MPa", number(p.pascals() / 1e6)),
        Units::Us => show(Kind::PressureDifference, p.pascals(), units),
    }
}
