//! Figures of a run of a tank.

use super::shares;
use crate::quantity::Kind;
use crate::quantity::ThermodynamicTemperature;
use crate::quantity::sentence::Told;
use crate::quantity::show::{Units, show};
use crate::report::record::{Raw, or_why, record, within};
use crate::tank::answer::{Answer, CoilAsked, CoilFound, Question};
use crate::tank::filling_check::FillingLimit;
use crate::tank::liquid_draw::Vaporiser;
use crate::tank::record::{Event, Row as Moment};
use crate::tank::remedies::{Bath, LARGEST, MOST_CYLINDERS, Remedies, WARMEST_K};
use crate::tank::vapour_pressure::HottestDay;
use crate::tank::vessel::Contents;

record! {
    /// What is in the tank at the start.
    Start(c: &Contents) {
        (pressure): AbsolutePressure = c.pressure, "Pressure";
        (liquid): Mass = c.liquid, "Liquid";
        (vapour): Mass = c.vapour, "Vapour";
        (by_volume): Ratio = c.liquid_volume, "Liquid, by volume";
    }

    /// A moment of the run: a row every `--every`, the first at 0, and one at the end; of more than 10000 one in so many.
    AtTime(q: &Question, r: &Moment, dew: Option<ThermodynamicTemperature>, zero_pa: f64)
    with {
        c = &r.contents;
        of = q.tank.backend.composition();
    }
    {
        /// From the start of the run.
        time_s: Time = r.time, "Time" 4;
        temperature_k: Temperature = c.temperature, "Temperature";
        pressure_pa: AbsolutePressure = c.pressure, "Pressure";
        (gauge): GaugePressure = c.pressure.pascals() - zero_pa, "Pressure";
        liquid_mass_kg: Mass = c.liquid, "Liquid";
        /// Liquid and vapour.
        total_mass_kg: Mass = c.mass();
        /// Mole fractions of the vapour.
        vapour_composition: Shares = shares(of, &c.vapour_composition);
        /// Mole fractions of the liquid.
        liquid_composition: Shares = c.liquid_composition.map(|x| shares(of, &x));
        /// Share of the volume that is liquid.
        liquid_volume_fraction: Ratio = c.liquid_volume;
        heat_w: Power = r.heat, "Heat in" [optional];
        /// Step of the schedule, from 0.
        step: Count = r.step, "Step" => Text = q.schedule.steps.get(r.step).map_or("", |s| s.name.as_str());
        /// Mole fractions of what is drawn.
        drawn_composition: Shares = r.drawn.map(|x| shares(of, &x));
        /// Dew point of what is drawn, at the pressure of the line.
        dew_point_k: Temperature = dew, "Dew point in the line";
    }

    /// Something that happens.
    Happens(q: &Question, e: &Event, zero_pa: f64)
    with { p = e.contents.pressure; }
    {
        what: Text = e.what.text(), "what";
        /// From the start of the run.
        time_s: Time = e.time, "time";
        temperature_k: Temperature = e.contents.temperature, "temperature";
        pressure_pa: AbsolutePressure = p, "pressure" => GaugePressure = p.pascals() - zero_pa;
        /// Step of the schedule, from 0.
        step: Count = e.step, "step" => Text = q.schedule.steps.get(e.step).map_or("", |s| s.name.as_str());
        /// Round of the schedule, from 0.
        repeat: Count = e.repeat;
        /// Whether the duty is not fed from here on.
        failure: Flag = e.what.is_failure();
    }

    /// What would feed it, each by itself; null: does not help.
    Helps(r: &Remedies, units: Units)
    with {
        none = |limit: String| format!("does not help {limit}");
        warm = none(format!("up to {}", show(Kind::Temperature, WARMEST_K, units)));
        (water, conductance) = match r.bath {
            Some(Bath::Water(t)) => (Some(t), None),
            Some(Bath::Conductance(ua)) => (None, Some(ua)),
            None => (None, None),
        };
        vaporiser = r.liquid_draw.map(|v| v.heat());
        liquid = match vaporiser {
            Some(heat) => format!("feeds it, with a vaporiser of {}", show(Kind::Power, heat.value, units)),
            None => none("here".to_owned()),
        };
    }
    {
        warmer_k: Temperature = r.warmer, "Warmer tank and air, at least";
        (not_warmer): Text = r.warmer.is_none().then_some(&warm), "Warmer tank and air";
        larger_by: Number = r.larger, "Larger tank, times the volume", note "same shape, filled to the same level";
        (not_larger): Text = r.larger.is_none().then(|| none(format!("up to {LARGEST} times the volume"))), "Larger tank";
        cylinders: Count = r.cylinders, "Such tanks side by side"
            => Count = r.cylinders.map_or_else(|| none(format!("up to {MOST_CYLINDERS}")).into(), Raw::from);
        water_bath_k: Temperature = water, "Water bath, at least";
        conductance_w_k: ThermalConductance = conductance, "Conductance, at least",
            note "a water bath has some 10 to 30 times that of still air";
        (no_bath): Text = r.bath.is_none().then_some(&warm), "Water bath";
        /// Heat of the vaporiser that a liquid draw takes.
        liquid_draw_vaporiser_w: Power = vaporiser, "Liquid draw" => Text = liquid;
    }

    /// Vaporiser of the liquid drawn.
    Vaporises(v: &Vaporiser) {
        vaporiser_heat_w: Power = v.heat(), "Vaporiser";
        vaporiser_outlet_temperature_k: Temperature = v.outlet, "Vapour leaves it at";
        vaporiser_share_of_burner: Ratio = v.share_of_burner, "Share of the burner's heat";
    }

    /// Coil of a vaporiser.
    Coil(found: &CoilFound, asked: &CoilAsked, units: Units)
    with {
        length = found.coil.as_ref().map(|c| c.length);
        [shortest, first, longest] = [0, 1, 2].map(|i| length.as_ref().ok().map(|l| l[i]));
        note = format!(
            "bore {}, wall held at {}: cut long, measure, shorten",
            show(Kind::Length, asked.bore.value, units),
            show(Kind::Temperature, asked.wall.value, units)
        );
    }
    {
        /// Heat of the vaporiser.
        coil_heat_w: Power = found.duty.heat();
        coil_length_m: Length = first, "First length of its coil"
            => Length = or_why(&length.map(|l| l[1]), "not known"),
            note first.map(|_| note), band (shortest, longest);
        /// The shortest it may be.
        coil_length_shortest_m: Length = shortest;
        /// The longest it may be.
        coil_length_longest_m: Length = longest;
    }

    /// The hottest day.
    HotDay(h: &HottestDay) {
        hottest_pressure_pa: AbsolutePressure = h.pressure, "Pressure on the hottest day";
        /// Set pressure of the relief less that.
        hottest_to_relief_pa: PressureDifference = h.to_relief;
        /// Rated pressure less that.
        hottest_to_rating_pa: PressureDifference = h.to_rating;
    }

    /// A tank drawn down; masses and flows are those of one cylinder.
    Run(q: &Question, a: &Answer, zero_pa: f64, units: Units)
    with {
        rows = a.run.rows.iter().zip(&a.dew_points);
        steady = a.sustainable.as_ref().ok();
        share = a.wall.map_or(0.0, |w| w.band.value);
        about = |x: Option<f64>| within(x.unwrap_or_default(), x.map_or(0.0, |_| share));
        limit = a.filling.limit();
        wall = a.wall.and_then(|w| Some((w.wall, w.coefficient?)));
        convection = wall.map(|(_, h)| h);
    }
    {
        series: Rows(AtTime) = rows.map(|(r, dew)| AtTime::row(q, r, *dew, zero_pa)).collect::<Vec<_>>();
        sustainable_draw_kg_s: MassRate = steady.map(|s| s.draw), "Draw it can keep up"
            => MassRate = or_why(&a.sustainable.as_ref().map(|s| s.draw), "none"),
            note steady.map(|_| "at this filling; less as the level falls"), band about(steady.map(|s| s.draw.value));
        sustainable_temperature_k: Temperature = steady.map(|s| s.temperature), "Tank settles at";
        /// Heat coming in there.
        sustainable_heat_w: Power = steady.map(|s| s.heat);
        largest_draw_kg_s: MassRate = &a.largest, "Largest draw for the time asked" => MassRate = or_why(&a.largest, "none");
        /// Time that the largest draw is for.
        largest_draw_for_s: Time = a.largest_for;
        lowest_pressure_pa: AbsolutePressure = q.lowest, "Lowest pressure that feeds";
        liquid_full_temperature_k: Temperature = a.liquid_full, "Liquid-full when warmed to", note "if nothing is drawn";
        filling_limit_kg: Mass = limit.map(|(m, _)| m), "Most it may hold", note limit.map(|(_, from)| limit_note(from));
        drawn_kg: Mass = a.run.drawn, "Drawn";
        heat_j: Energy = a.run.heat, "Heat taken up";
        /// When the run ended.
        end_s: Time = a.run.end, "Time";
        /// Whether the whole schedule was run.
        complete: Flag = a.run.complete;
        [stopped_by]: Text = a.run.stopped_by.as_deref(), "Stopped by";
        highest_dew_point_k: Temperature = a.highest_dew_point().map(|(_, t)| t), "Highest dew point in the line",
            note "what is drawn condenses in a line that is colder than this";
        ..coil: Row(Coil) = a.coil.as_ref().zip(q.coil.as_ref()).map(|(found, asked)| Coil::row(found, asked, units));
        events: Rows(Happens) = a.run.events.iter().map(|e| Happens::row(q, e, zero_pa)).collect::<Vec<_>>();
        /// Largest error of a species, relative to all moles at the start.
        balance_error_species: Number = a.run.balance.species;
        /// Error of the energy, relative.
        balance_error_energy: Number = a.run.balance.energy;
        [remedies]: Row(Helps) = a.remedies.as_ref().map(|r| Helps::row(r, units));
        [remedies_given_up]: Text = a.remedies_given_up.as_ref().map(ToString::to_string), "Not known"
            => Text = a.remedies_given_up.as_ref().map(|why| why.told().show(units));
        ..vaporiser: Row(Vaporises) = a.vaporiser.as_ref().map(Vaporises::row);
        ..hottest: Row(HotDay) = a.hottest.as_ref().map(HotDay::row);
        (convection): HeatTransfer = convection, "Convection outside the wetted wall",
            note "where it is coldest", band about(convection.map(|h| h.value));
        (wall): Temperature = wall.map(|(t, _)| t), "Wetted wall outside";
    }
}

fn limit_note(from: FillingLimit) -> &'static str {
    match from {
        FillingLimit::ByVolume => {
            "liquid on 80 % of the volume at 15 degC; the code in force decides"
        }
        FillingLimit::ByWeight => {
            "table of filling densities [wac296307]; the code in force decides"
        }
    }
}
