//! Tables about the rig as a whole: name, site, fuel, records, run plan, plan for another fuel, bands.

use crate::input::section::section;
use crate::quantity::{
    AvailableEnergy, GaugePressure, Length, Mass, PressureDifference, PressureLevel, Ratio,
    TemperatureInterval, ThermodynamicTemperature, Time, Velocity, Volume, VolumeRate,
};
use crate::train::rig::{self, CombustionAir, Date, Device, Extinguisher, Setting, TestWord};

section! {
    /// What the rig is.
    Rig {
        /// Name of the rig, that of its file if left out. Over 80 columns it is cut where it is shown.
        name: String, optional, Any, "\"coupon soak rig\"";
        /// Remarks for people who read the file.
        notes: String, optional, Any, "\"first build\"";
    }
}

section! {
    /// Where the rig stands, and who and what is near.
    Site {
        /// Temperature of the air on the test day; 15 degC if left out.
        ambient_temperature: ThermodynamicTemperature, optional, Between(200.0, 340.0), "\"12 degC\"";
        /// Coldest day the rig is to work on.
        coldest: ThermodynamicTemperature, optional, Between(200.0, 340.0), "\"-5 degC\"";
        /// Hottest day the rig is to stand through.
        hottest: ThermodynamicTemperature, optional, Between(200.0, 370.0), "\"35 degC\"";
        /// Height above sea level; gives the air pressure where that is not given.
        altitude: Length, optional, Between(-500.0, 9000.0), "\"340 m\"";
        /// Air pressure read on a barometer, not reduced to sea level.
        air_pressure: PressureLevel, optional, Any, "\"975 mbar(a)\"";
        /// Relative humidity of the air.
        relative_humidity: Ratio, optional, Share, "\"60 %\"";
        /// Wind at the tank.
        wind: Velocity, optional, NotNegative, "\"1 m/s\"";
        /// Under a roof with walls, or in the open.
        setting: Setting, required, Any, "\"indoor\"";
        /// Volume of the room, for a rig indoors.
        room_volume: Volume, optional, Between(0.001, 1e7), "\"80 m3\"";
        /// Air that passes the room.
        ventilation: VolumeRate, stated, Between(0.0, 1e6), "\"400 m3/h\"";
        /// Where the air for the fire comes from, for a rig indoors: out of the room, or by a duct from outdoors.
        combustion_air: CombustionAir, optional, Any, "\"outdoors\"";
        /// Whether what leaves the duct is led outdoors, for a rig indoors.
        flue: bool, optional, Any, "true";
        /// Whether there are pits, drains or cellar openings near.
        low_points: bool, stated, Any, "false";
        /// Distance to the nearest pit, drain or cellar opening.
        low_point_distance: Length, optional, Positive, "\"6 m\"";
        /// Distance from the fire to the operator.
        operator_distance: Length, optional, NotNegative, "\"4 m\"";
        /// Distance from the fire to anybody else.
        people_distance: Length, stated, NotNegative, "\"10 m\"";
        /// Distance from the tank to the fire or the nearest other source of ignition.
        tank_to_fire: Length, optional, NotNegative, "\"3 m\"";
        /// Distance from the operator to the shut-off that the operator would use.
        shutoff_distance: Length, stated, NotNegative, "\"1 m\"";
        /// Fire extinguisher at hand.
        extinguisher: Extinguisher, stated, Any, "\"dry-powder\"";
        /// Mass of what is in the extinguisher.
        extinguisher_charge: Mass, optional, Positive, "\"6 kg\"";
        /// Whether a gas detector is on.
        gas_detector: bool, stated, Any, "true";
        /// Whether a carbon monoxide alarm is on.
        carbon_monoxide_alarm: bool, stated, Any, "true";
    }
}

section! {
    /// What the rig burns.
    Fuel {
        /// A fuel, or a blend in mole percent (`@mass` behind it: mass percent; `@volume`: percent of the liquids' volumes at 15 °C).
        composition: String, required, Any, "\"propane:70,n-butane:30\"";
        /// Whether a smell gives a leak away.
        odorised: bool, stated, Any, "true";
    }
}

section! {
    /// A leak test that was made, as it was read: one for each zone between closed valves, regulators and pumps.
    LeakTest {
        /// Part behind which the zone begins: a closed valve, a regulator or a pump. Left out: the supply, or where
        /// `to` is left out too the zone that the pressure fits.
        from: String, optional, Any, "\"regulator\"";
        /// Part that the zone ends at. Left out: the next regulator or pump, or the holes.
        to: String, optional, Any, "\"throttle\"";
        /// How it was made: a pressure that was held, or soap on the joints at working pressure. Left out: held.
        method: TestWord, optional, Any, "\"decay\"";
        /// Day of the test.
        date: Date, required, Any, "2026-03-14";
        /// Pressure at its start.
        pressure: GaugePressure, required, Positive, "\"4.5 bar(g)\"";
        /// How long it was held.
        hold_time: Time, optional, Positive, "\"15 min\"";
        /// Fall of the gauge in that time.
        drop: PressureDifference, optional, Any, "\"4 mbar\"";
        /// Whether the soap showed a leak that has not been mended and soaped again.
        leak_found: bool, optional, Any, "false";
        /// Smallest step that the gauge shows.
        gauge_resolution: PressureDifference, optional, Positive, "\"1 mbar\"";
        /// Volume that was under test. Left out: that of the parts.
        volume: Volume, optional, Positive, "\"0.6 L\"";
        /// Gas that was used.
        gas: String, optional, Any, "\"nitrogen\"";
        /// Gas temperature at the start.
        start_temperature: ThermodynamicTemperature, optional, Between(200.0, 370.0), "\"14.0 degC\"";
        /// Gas temperature at the end.
        end_temperature: ThermodynamicTemperature, optional, Between(200.0, 370.0), "\"14.2 degC\"";
    }
}

section! {
    /// Dates and papers.
    Records for rig::Records {
        /// Day the rig is to be lit; other dates are held against it.
        test_day: Date, optional, Any, "2026-04-01";
        /// Date stamped on the oldest hose.
        hose_made: Date, stated, Any, "2024-09-01";
        /// Date stamped on the oldest regulator.
        regulator_made: Date, stated, Any, "2023-05-01";
        /// Last inspection of the cylinder.
        cylinder_inspected: Date, stated, Any, "2022-11-01";
        /// Years from one inspection of the cylinder to the next, by its stamp or the local code; 10 where it is left out.
        cylinder_years: u32, optional, Between(1.0, 20.0), "12";
        /// Last inspection of the extinguisher.
        extinguisher_inspected: Date, stated, Any, "2025-10-01";
        /// Whether a licensed gas or pressure practitioner has looked at the rig.
        reviewed: bool, optional, Any, "true";
    }
}

section! {
    /// The last time that a safety device was tried and did what it is for.
    ProofTest for rig::ProofTest {
        /// Device that was tried.
        device: Device, required, Any, "\"flame-detector\"";
        /// Day on which it was.
        date: Date, required, Any, "2026-01-20";
    }
}

section! {
    /// A rule that is set aside. It stays visible in the audit, with its reason.
    Suppress for rig::Suppression {
        /// Id of the rule.
        rule: String, required, Any, "\"INJ003\"";
        /// Only findings whose place begins with this.
        at: String, optional, Any, "\"duties.light-up\"";
        /// Why it may be set aside: a sentence of three words at least.
        reason: String, required, Any, "\"flow-tested on the bench, see log 12\"";
        /// Who sets it aside.
        by: String, optional, Any, "\"the owner\"";
        /// Last day on which it is set aside.
        until: Date, optional, Any, "2026-12-31";
    }
}

section! {
    /// The run plan: its steps are in `[[steps]]`.
    Schedule {
        /// How many times the steps are run through.
        repeats: u32, required, Between(1.0, 100_000.0), "3";
    }
}

section! {
    /// One step of the run plan: a duty, or a rest where none is named.
    Step for rig::ScheduleStep {
        /// Name of the duty; left out for a rest.
        duty: String, optional, Any, "\"full\"";
        /// How long the step lasts.
        duration: Time, required, Positive, "\"20 min\"";
    }
}

section! {
    /// A plan for another fuel.
    Switch {
        /// Fuel or blend to switch to.
        to: String, required, Any, "\"kerosene\"";
        /// Running time on one fill.
        endurance: Time, optional, Positive, "\"2 h\"";
        /// Pressure of the liquid before its nozzle.
        feed_pressure: PressureLevel, optional, Any, "\"7 bar(g)\"";
        /// Hydraulic over electric power of the pump.
        pump_efficiency: Ratio, optional, PositiveShare, "\"20 %\"";
        /// Specific energy of the battery.
        battery_energy: AvailableEnergy, optional, Positive, "\"150 Wh/kg\"";
        /// Height of the pump above the lowest fuel level; negative below it.
        pump_lift: Length, optional, Between(-50.0, 50.0), "\"0.3 m\"";
        /// Net positive suction head required by the pump.
        suction_head: Length, optional, Between(1e-3, 50.0), "\"2 m\"";
        /// Number of nozzles.
        nozzles: u32, optional, Between(1.0, 100.0), "2";
        /// Length of line from tank to nozzles.
        line_length: Length, optional, Between(0.01, 1000.0), "\"3 m\"";
    }
}

section! {
    /// Bands on what is given: half-widths, for error bands and for `tolerance`.
    Tolerance for rig::Tolerances {
        /// Air flow, relative.
        air_flow: Ratio, optional, Share, "\"5 %\"";
        /// Drop from the injector's inlet to the chamber, relative.
        supply_pressure: Ratio, optional, Share, "\"4 %\"";
        /// Set pressure of each regulator, relative, as a gauge at the site reads it.
        set_pressure: Ratio, optional, Share, "\"3 %\"";
        /// Droop of each regulator, relative.
        droop: Ratio, optional, Share, "\"20 %\"";
        /// Flow coefficient of each part, relative; where it is left out 10 %, or 25 % for a part of the catalogue.
        flow_coefficient: Ratio, optional, Share, "\"10 %\"";
        /// Rangeability of the throttle, relative; 15 % where it is left out.
        rangeability: Ratio, optional, Share, "\"15 %\"";
        /// Friction of tubes and hoses, relative; 15 % where it is left out.
        line_loss: Ratio, optional, Share, "\"15 %\"";
        /// Rise of each regulator to lock-up, relative; 30 % where it is left out.
        lock_up: Ratio, optional, Share, "\"30 %\"";
        /// Heat that comes into the cylinder for a kelvin, relative; 30 % where it is left out.
        conductance: Ratio, optional, Share, "\"30 %\"";
        /// Ambient and tank temperature.
        temperature: TemperatureInterval, optional, NotNegative, "\"3 K\"";
        /// Share of each component, relative.
        composition: Ratio, optional, Share, "\"5 %\"";
        /// Discharge coefficient, relative; replaces the band of the model.
        discharge_coefficient: Ratio, optional, Share, "\"3 %\"";
        /// Grade of the drilled holes by ISO 286, the number behind the H.
        hole_grade: u32, optional, Between(9.0, 13.0), "11";
    }
}
