//! A switch to a liquid: the fuel as it stands in tank and line: light-off, suction, vapour lock.

use crate::convert::ToLiquid;
use crate::convert::light_off::{FlashPoint, LightOff, Standing, Ullage};
use crate::convert::liquid::LiquidAt;
use crate::convert::suction::{SuctionAt, SuctionPlan};
use crate::flow::suction::SuctionLimit;
use crate::quantity::sentence::{Told, sentence};
use crate::quantity::show::{fixed, number};
use crate::quantity::{Kind, ZERO_CELSIUS_K};
use crate::report::record::{Raw, record, table};
use crate::report::{Fact, Report};

record! {
    /// Flash points by the fuel's sources.
    FlashPointOf(f: &FlashPoint) {
        /// Fuel, or part of the blend.
        fuel: Text = &f.fuel;
        /// Flash point.
        temperature_k: Temperature = f.temperature;
        /// Its source.
        source: Text = &f.source;
    }

    /// The fuel as it stands.
    StandingAt(s: &Standing)
    with { liquid = s.liquid.as_ref().ok(); }
    {
        /// The day.
        when: Text = s.when, "when";
        /// Temperature of the fuel.
        temperature_k: Temperature = s.temperature, "fuel";
        /// Distance above the lowest flash point.
        above_flash_k: TemperatureDifference = s.above_flash, "above flash" 2;
        /// Mole fraction of fuel in the vapour over it.
        vapour_mole_fraction: Ratio = &s.vapour, "vapour over it" 2;
        /// Whether the vapour in the tank burns.
        tank_vapour: Text = s.ullage.map(Ullage::name), "that";
        kinematic_viscosity_m2_s: KinematicViscosity = liquid.map(LiquidAt::kinematic_viscosity), "viscosity";
        density_kg_m3: Density = liquid.map(|l| l.density), "density" [optional];
    }

    /// Light-off.
    LightOffOf(l: &LightOff) {
        flash_points: Rows(FlashPointOf) = l.flash_points.iter().map(FlashPointOf::row).collect::<Vec<_>>();
        autoignition_k: Temperature = l.autoignition, "Auto-ignition, lowest";
        preheat_w: Power = l.preheat, "Preheat of the smallest flow",
            note "from the coldest day to 10 K above the highest flash point";
        standing: Rows(StandingAt) = l.standing.iter().map(StandingAt::row).collect::<Vec<_>>();
    }

    /// Suction at a place.
    SuctionOf(r: &SuctionAt) {
        /// Place and day.
        place: Text = &r.place, "where";
        /// Pressure of the air.
        air_pressure_pa: AbsolutePressure = r.air, "air";
        /// Temperature of the fuel.
        temperature_k: Temperature = r.temperature, "fuel";
        vapour_pressure_pa: AbsolutePressure = r.vapour, "vapour pressure";
        /// Net positive suction head.
        head_available_m: Length = r.available, "head available";
        /// The same less 1.3 times what the pump needs.
        margin_m: Length = r.margin, "margin";
    }

    /// Suction and vapour lock.
    Suction(s: &SuctionPlan)
    with {
        bore = s.bore.map_or_else(|| "no bore found".to_owned(), |b| format!("1 m of {} mm bore", number(b.value * 1e3)));
        (at, not_below) = match s.limit {
            SuctionLimit::At(t) => (Some(t), None),
            SuctionLimit::NotBelow(t) => (None, Some(t)),
            _ => (None, None),
        };
        used_up = match s.limit {
            SuctionLimit::Already => "that of the test day, or colder".into(),
            SuctionLimit::NotKnown => "not known".into(),
            _ => Raw::from(at),
        };
        hot = s.hot_line.as_ref().ok();
    }
    {
        lift_m: Length = s.lift, "Pump above the lowest level";
        head_required_m: Length = s.required, "Head the pump needs", note "times 1.3 for a margin", source "tp410";
        friction_m: Length = s.friction, "Loss of the suction line", note bore;
        rows: Rows(SuctionOf) = s.rows.iter().flatten().map(SuctionOf::row).collect::<Vec<_>>();
        /// Fuel temperature that uses the margin up at the air pressure of the site.
        limit_temperature_k: Temperature = at,
            "Margin used up at a fuel temperature of" => Temperature = used_up,
            note at.map(|_| "at the air pressure of the site");
        (not_below): Temperature = not_below, "Margin left up to", note "where the data of the fuel end";
        /// Bore of the suction line.
        suction_bore_m: Length = s.bore;
        /// Fuel in a line near the fire on the hottest day, or as hot as its data reach.
        hot_line_temperature_k: Temperature = hot.map(|h| h.0);
        hot_line_vapour_pressure_pa: AbsolutePressure = hot.map(|h| h.1), "Vapour pressure in a line near the fire",
            note hot.map(|h| format!("{} degC", fixed(h.0.value - ZERO_CELSIUS_K, 0)));
    }
}

pub(super) fn light_off(report: &mut Report, plan: &ToLiquid) {
    let light = &plan.light_off;
    let row = LightOffOf::row(light);
    let flash = |f: &FlashPoint| {
        let name = format!("Flash point of {}", f.fuel);
        Fact::of(name, Kind::Temperature, f.temperature.value).sourced(f.source.clone())
    };
    let flash = light.flash_points.iter().map(flash);
    report.facts("Light-off", flash.chain(row.facts()).collect());
    for s in &light.standing {
        if let Err(why) = &s.liquid {
            report.remark(sentence!("{}: {}.", &s.when, why.told()));
        }
    }
    report.table("Light-off", table(row.rows("standing")));
}

pub(super) fn suction(report: &mut Report, plan: &ToLiquid) {
    let s = &plan.suction;
    for why in s.rows.iter().filter_map(|r| r.as_ref().err()) {
        report.remark(sentence!("Suction: {}.", why.told()));
    }
    if let Err(why) = &s.hot_line {
        report.remark(sentence!("Line near the fire: {}.", why.told()));
    }
    let row = Suction::row(s);
    let heading = "Suction and vapour lock";
    report.table(heading, table(row.rows("rows")));
    report.facts(heading, row.facts());
}
