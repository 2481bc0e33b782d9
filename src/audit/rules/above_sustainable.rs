//! A duty that draws more vapour than the heat from the surroundings can keep up.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// At the duty {measured} is drawn from one cylinder, whose sustainable draw is {limit}: the tank chills until its
    /// pressure fails.
    /// ## What it checks
    /// Draw of each duty from one cylinder against its sustainable draw: the one at which the cylinder settles just
    /// warm enough for the duty.
    /// ## Why it matters
    /// Above it the tank lives on the heat of its own liquid and wall: the duty ends after a time that the run plan
    /// shows, and frost on the wall makes it shorter.
    /// ## What to do
    /// Shorten such runs, or add cylinders or a water bath. A larger cylinder or liquid draw does it, too.
    "SUP005", "draw-above-sustainable", Supply, [Notice],
    Choice("steady-state heat balance of the tank; convection by published correlations, within 25 %"),
    levers ["tank.number" Up, "tank.water_bath" Up, "duties.target" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = solved::tank(s, v) else {
        return;
    };
    let mut above: Vec<(&str, f64, f64)> = Vec::new();
    for duty in &tank.duties {
        match &duty.sustainable {
            Ok(steady) if duty.draw.value > steady.draw.value => {
                above.push((&duty.name, duty.draw.value, steady.draw.value));
            }
            Ok(_) => {}
            Err(why) => v.not_checked(format!("{}: {why}", duty.name)),
        }
    }
    if let Some((_, draw, steady)) = above
        .iter()
        .max_by(|a, b| (a.1 / a.2).total_cmp(&(b.1 / b.2)))
    {
        let names: Vec<&str> = above.iter().map(|d| d.0).collect();
        let upto = if names.len() == 1 { "" } else { "up to " };
        let says = format!(
            "At {} {upto}{{measured}} is drawn from one cylinder, which sustains {{limit}}: it chills and its pressure falls.",
            solved::of_duties(&names)
        );
        v.says(says).find(
            "tank",
            (Kind::MassRate, *draw),
            Limit::at_most(Kind::MassRate, *steady),
        );
    }
}
