//! A switch as a work list: what comes first, what to buy, what goes and stays, and in which order to do it.

mod gas;
mod liquid;

pub use gas::gas;
pub use liquid::liquid;

use crate::audit::checklist::Reading;
use crate::convert::ConvertInput;
use crate::convert::fate::{Fate, PartFate};
use crate::convert::to_buy::{Lit, NozzlesToBuy, PumpToBuy, US_GALLON_PER_HOUR_M3_S};
use crate::quantity::show::{Units, number, rounded, show};
use crate::quantity::{AbsolutePressure, Kind, MassRate, VolumeRate};
use crate::report::record::{Row, record};
use crate::report::{Block, Entry, Report, Tick};

record! {
    /// A duty, and the nozzles that burn for it.
    LitAt(l: &Lit) {
        name: Text = &l.duty, "duty";
        /// Fuel flow of all.
        fuel_flow_kg_s: MassRate = l.flow, "fuel";
        /// How many of the nozzles burn.
        nozzles: Count = l.nozzles, "nozzles lit";
        /// Drop over each of them.
        pressure_drop_pa: PressureDifference = l.drop, "drop over each";
    }

    /// Nozzles to buy.
    NozzlesBought(n: &NozzlesToBuy)
    with { (sieve, opening) = n.sieve().unzip(); }
    {
        /// How many, all equal.
        number: Count = n.number, "Number";
        /// Flow through each at the largest duty.
        flow_each_kg_s: MassRate = n.each, "Flow through each at the largest duty";
        /// Drop over them there.
        pressure_drop_pa: PressureDifference = n.drop, "Drop over them there";
        /// Flow that each is stamped with: light oil at 100 psi (7 bar).
        stamped_flow_m3_s: VolumeRate = n.stamped, "Flow each is stamped with",
            note "oil of 840 kg/m3 at 100 psi (7 bar); common practice, no source, from memory";
        /// The same in US gallons an hour.
        stamped_us_gal_h: Number = n.stamped.value / US_GALLON_PER_HOUR_M3_S, "The same, US gal/h";
        /// Next stamped size, US gallons an hour; null: none is near.
        size_us_gal_h: Number = n.size, "Next size, US gal/h", note "common sizes, no source, from memory";
        /// Angle of the spray in degrees.
        spray_angle_deg: Number = n.cone_deg, "Angle of the spray, deg" 2,
            note "60 deg for a can twice as long as wide, else 80; common practice, no source";
        /// How far from the tip that cone meets the wall of the can.
        meets_wall_m: Length = n.meets_wall, "It meets the wall at";
        filter_mesh_m: Length = n.mesh, "Filter mesh at most",
            note "a third of the smallest passage; common practice, no source";
        /// Sieve number of a filter that is fine enough; null: finer than sieves are.
        sieve_number: Count = sieve, "Sieve number", note "usual sieve series, no source, from memory";
        /// Opening of that sieve.
        sieve_opening_m: Length = opening, "Its opening";
        duties: Rows(LitAt) = n.duties.iter().map(LitAt::row).collect::<Vec<_>>();
        /// Lowest drop of all duties if all nozzles burn at all of them.
        lowest_drop_all_lit_pa: PressureDifference = n.all_lit, "Lowest drop with all lit";
        /// Not even lit one after another have they drop enough at every duty: they need a spill return.
        spill_return: Flag = n.spill_return;
    }

    /// The pump to buy.
    PumpBought(p: &PumpToBuy) {
        /// Flow, with margin.
        flow_m3_s: VolumeRate = p.flow, "Pump, flow", note "1.5 times the largest duty, the rest goes back to the tank: our choice";
        /// Pressure at that flow.
        outlet_pressure_pa: AbsolutePressure = p.outlet, "Pump, pressure at that flow";
        /// Gauge pressure that it is made for at least, with margin.
        rating_pa: GaugePressure = p.rating, "Pump, made for at least", note "1.25 times its pressure: our choice";
        /// Top of the scale of a gauge behind it; null: higher than gauges go.
        gauge_scale_pa: GaugePressure = p.scale, "Gauge behind it, scale to", note "read up to three quarters; common practice, no source";
    }

    /// A line of the work list.
    WorkLine(t: &Tick) {
        /// What to do.
        text: Text = &t.text;
        /// Why, or what it is from.
        because: Text = &t.because;
        /// What is expected where something is read, with its unit.
        [expected]: Text = t.entry.as_ref().map(|e| format!("{} {}", e.expected, e.unit));
    }

    /// A part of the work list.
    WorkPart(heading: &str, lines: &[Tick]) {
        /// Its heading.
        heading: Text = heading;
        lines: Rows(WorkLine) = lines.iter().map(WorkLine::row).collect::<Vec<_>>();
    }

    /// The work list of a switch.
    WorkOf(parts: Vec<Row>) {
        /// What comes first, what to buy, what goes and stays, and in which order to do it.
        work: Rows(WorkPart) = parts;
    }
}

/// Where the full text has the reasons of all parts.
const BECAUSE: &str = "Old train, part by part";

/// Headings, in the order of the list.
pub const LIGHT_OFF: &str = "Light-off and low duty first";
pub const HOLES: &str = "Holes, pressure and regulator first";
pub const BUY: &str = "Buy";
pub const OLD: &str = "Take out, keep";
pub const FIT: &str = "Fit and try, in this order";

/// The list as it grows.
struct Work<'a> {
    input: &'a ConvertInput<'a>,
    parts: Vec<(&'static str, Vec<Tick>)>,
}

impl<'a> Work<'a> {
    fn new(input: &'a ConvertInput<'a>) -> Self {
        Self {
            input,
            parts: Vec::new(),
        }
    }

    fn part(&mut self, heading: &'static str) {
        self.parts.push((heading, Vec::new()));
    }

    fn line(&mut self, text: impl Into<String>, because: &str) {
        self.tick(text.into(), because, None);
    }

    fn read(&mut self, text: impl Into<String>, because: &str, reading: &Reading) {
        let units = self.input.units;
        let entry = Entry {
            at: reading.at.clone(),
            unit: reading.unit(units),
            expected: reading.expected(units),
        };
        self.tick(text.into(), because, Some(entry));
    }

    fn tick(&mut self, text: String, because: &str, entry: Option<Entry>) {
        if let Some((_, lines)) = self.parts.last_mut() {
            lines.push(Tick {
                text,
                because: because.to_owned(),
                entry,
            });
        }
    }

    fn write(self, report: &mut Report) {
        let mut rows = Vec::new();
        for (heading, lines) in self.parts {
            rows.push(WorkPart::row(heading, &lines));
            report.block(heading, Block::Checklist(lines));
        }
        report.keys(&WorkOf::row(rows));
    }

    fn show(&self, kind: Kind, si: f64) -> String {
        show(kind, si, self.input.units)
    }

    fn gauge(&self, p: AbsolutePressure) -> String {
        let gauge = p.gauge(self.input.rig.site.air_pressure).pascals();
        self.show(Kind::GaugePressure, gauge)
    }

    /// A mass flow as nozzles and pumps are sold: kg/h or lb/h.
    fn per_hour(&self, flow: MassRate) -> String {
        match self.input.units {
            Units::Si => format!("{} kg/h", number(flow.value * 3600.0)),
            Units::Us => self.show(Kind::MassRate, flow.value),
        }
    }

    /// A volume flow of liquid: L/h or US gal/h.
    fn litres_per_hour(&self, flow: VolumeRate) -> String {
        match self.input.units {
            Units::Si => format!("{} L/h", rounded(flow.value * 3.6e6, 2)),
            Units::Us => format!(
                "{} US gal/h",
                rounded(flow.value / US_GALLON_PER_HOUR_M3_S, 2)
            ),
        }
    }

    /// Every part of the old train: those that go, those that stay on a condition, those that stay.
    fn old(&mut self, fates: &[PartFate]) {
        self.part(OLD);
        let of = |fate: Fate| fates.iter().filter(move |f| f.fate == fate);
        let names = |fate| of(fate).map(|f| f.name.as_str()).collect::<Vec<_>>();
        let goes = names(Fate::Goes);
        if !goes.is_empty() {
            self.line(format!("Take out {}", goes.join(", ")), BECAUSE);
        }
        // parts of one condition together
        let mut told: Vec<(&str, Vec<&str>)> = Vec::new();
        for part in of(Fate::Check) {
            let condition = part.reasons.first().map_or("", String::as_str);
            match told.iter_mut().find(|(other, _)| alike(other, condition)) {
                Some((_, parts)) => parts.push(&part.name),
                None => told.push((condition, vec![&part.name])),
            }
        }
        for (condition, parts) in told {
            let condition = condition.split([':', ';']).next().unwrap_or_default();
            let each = if parts.len() > 1 && condition.starts_with("only if") {
                "each "
            } else {
                ""
            };
            self.line(
                format!("Check {}: {each}{condition}", parts.join(", ")),
                BECAUSE,
            );
        }
        let stays = names(Fate::Stays);
        if !stays.is_empty() {
            self.line(
                format!("Keep {}", stays.join(", ")),
                "nothing in the rig file speaks against it",
            );
        }
    }
}

/// Whether two conditions are one, but for their figures.
fn alike(a: &str, b: &str) -> bool {
    let words = |text: &str| {
        text.split(|c: char| c.is_ascii_digit())
            .next()
            .map(str::to_owned)
    };
    a == b || (a.starts_with("wider") && words(a) == words(b))
}
