//! A duty that draws more vapour than the heat from the surroundings can keep up.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Draw of each duty from one cylinder, against the draw at which the cylinder settles just warm
    /// enough for the duty.
    /// ## Why it matters
    /// Above it the tank lives on the heat of its own liquid and wall: the duty ends after a time that
    /// the run plan shows, and frost on the wall makes it shorter.
    /// ## What to do
    /// Keep such runs short, or use more cylinders, a larger one, a water bath, or liquid draw.
    "SUP005", "draw-above-sustainable", Supply, [Notice],
    Choice("heat balance of the tank at rest; convection by published correlations, within 25 %")
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
        v.find(
            "tank",
            s.worded(Kind::MassRate, *draw, |x| {
                format!("{x} from one cylinder, at most, in {}", names.join(", "))
            }),
            Limit::at_most(Kind::MassRate, *steady),
        );
    }
}
