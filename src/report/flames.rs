//! Flames of a rig's duties: primary zone and exit, dew point of the exhaust, margin to every material's limit.

use super::Report;
use super::audit::{DutyOfRig, FedDuty};
use super::record::{Row, record, table, table_of};
use crate::audit::Solution;
use crate::train::rig::Sees;

record! {
    /// A limit of a material with the gas beside it. A wall in hotter gas than it stands has no margin: nothing here
    /// works out how cool it is kept.
    LimitOf(w: &Worst<'_>)
    with {
        (duty, gas_k, as_fed) = match w.zone {
            Some((duty, zone_k)) if zone_k > w.exit_k => (duty, zone_k, false),
            _ => (w.duty, w.exit_k, w.as_fed),
        };
        zone_known = w.sees == Some(Sees::Exit) || w.zone.is_some();
        // of a wall in gas above its limit, the exit alone may be too hot
        judged_k = match (gas_k <= w.limit_k, w.exit_k <= w.limit_k) {
            (true, _) => zone_known.then_some(gas_k),
            (false, true) => None,
            (false, false) => Some(w.exit_k),
        };
    }
    {
        place: Text = w.place, "place";
        material: Text = w.material, "material";
        /// Gas there; null where neither the file nor the name of the place tells.
        sees: Text = w.sees.map(Sees::word), "gas there" => Text = w.sees.map_or("not said", Sees::word);
        /// Duty with the hottest gas.
        duty: Text = duty, "duty" => Text = if as_fed { format!("{duty}, as fed") } else { duty.to_owned() };
        limit_k: Temperature = w.limit_k, "limit";
        /// Hottest exit.
        exit_temperature_k: Temperature = w.exit_k;
        /// Hottest primary zone, of a place that sees it.
        zone_temperature_k: Temperature = w.zone.map(|z| z.1);
        (hottest): Temperature = zone_known.then_some(gas_k), "hottest";
        /// Limit less the hottest gas; null for a wall that lives by its cooling.
        margin_k: TemperatureDifference = judged_k.map(|k| w.limit_k - k), "margin";
        /// Whether the exit is that of the fuel that the train gives.
        as_fed: Flag = as_fed;
    }

    /// Gas against materials.
    Limits(limits: Vec<Row>) {
        limits: Rows(LimitOf) = limits;
    }
}

/// Adds both tables and the key `limits`.
pub fn flames(report: &mut Report, solution: &Solution<'_>) {
    let air = solution.rig.site.air_pressure;
    let burning = solution.duties.iter().filter(|d| d.exit.is_ok());
    let rows: Vec<Row> = burning.map(|d| DutyOfRig::row(d, None, air)).collect();
    let primary = ["primary_equivalence_ratio", "primary_temperature_k"];
    let staged = solution.duties.iter().any(|d| d.primary.is_some());
    let mut columns = vec!["name"];
    columns.extend(primary.iter().filter(|_| staged));
    columns.extend([
        "exit_ratio",
        "exit_temperature_k",
        "temperature_rise_k",
        "exhaust_dew_point_k",
    ]);
    report.table("Flame at each duty", table_of(&rows, &columns));
    let fed = |d| Some(FedDuty::row(d, &solution.as_fed(d)?));
    let fed: Vec<Row> = solution.duties.iter().filter_map(fed).collect();
    report.table("Exit with the fuel that the train gives", table(&fed));
    limits(report, worst(solution));
}

/// Adds every limit with the gas beside it: the table and the key `limits`.
pub(super) fn limits<'a>(report: &mut Report, all: impl Iterator<Item = Worst<'a>>) {
    let rows: Vec<Row> = all.map(|w| LimitOf::row(&w)).collect();
    let columns = [
        "place", "material", "sees", "limit_k", "hottest", "margin_k", "duty",
    ];
    report.table("Gas against materials", table_of(&rows, &columns));
    report.keys(&Limits::row(rows));
}

/// A limit of a material and the gas beside it.
pub(crate) struct Worst<'a> {
    pub(crate) place: &'a str,
    pub(crate) material: &'a str,
    pub(crate) sees: Option<Sees>,
    pub(crate) limit_k: f64,
    /// The duty with the hottest exit.
    pub(crate) duty: &'a str,
    pub(crate) exit_k: f64,
    /// The hottest primary zone with its duty, of a place that sees it.
    pub(crate) zone: Option<(&'a str, f64)>,
    /// With the fuel that the train gives, not with what the duty wants.
    pub(crate) as_fed: bool,
}

/// Every limit with the duty that comes nearest to it.
fn worst<'a>(solution: &'a Solution<'_>) -> impl Iterator<Item = Worst<'a>> {
    let hottest = solution
        .duties
        .iter()
        .filter_map(|d| Some((d, solution.hotter_exit(d)?)))
        .max_by(|a, b| a.1.temperature.value.total_cmp(&b.1.temperature.value));
    let zone = solution.hottest_zone();
    solution.rig.limits.iter().filter_map(move |l| {
        let (duty, exit) = hottest?;
        Some(Worst {
            place: &l.place,
            material: &l.material,
            sees: l.sees,
            limit_k: l.max_temperature.value,
            duty: &duty.name,
            exit_k: exit.temperature.value,
            zone: zone
                .filter(|_| l.sees == Some(Sees::PrimaryZone))
                .map(|(d, t)| (d.name.as_str(), t.value)),
            as_fed: exit.as_fed.is_some(),
        })
    })
}
