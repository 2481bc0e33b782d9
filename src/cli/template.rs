//! `injector --template`: a drilling template at true scale.

use super::context::Context;
use super::error::CliError;
use super::flags::quantity;
use super::save::{Target, drawing};
use crate::audit::Solution;
use crate::injector::drills::{Drill, nearest_drill};
use crate::injector::plan::InjectorPlan;
use crate::injector::ring::Manifold;
use crate::injector::size::InjectorResult;
use crate::injector::spec::ManifoldLayout;
use crate::injector::template::{HoleLayout, TubeHoles};
use crate::quantity::show::{Show, signed};
use crate::quantity::{Length, metres};
use crate::report::Report;
use crate::report::mark::FileKind;
use crate::report::template::{Words, sheet};
use std::path::{Path, PathBuf};

/// Flags of the template.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Drilling template")]
pub struct TemplateArgs {
    /// Write a drilling template at true scale, to wrap round the tube of a ring or bar.
    #[arg(long, value_name = "FILE.svg")]
    pub template: Option<PathBuf>,
    /// Outside diameter of the tube; of a rig, its bore and twice the hole length if left out.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>, requires = "template")]
    pub tube_diameter: Option<Length>,
    /// Diameter of the ring's centre line.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>, requires = "template", conflicts_with_all = ["rig", "bar_length"])]
    pub ring_diameter: Option<Length>,
    /// Length of a straight bar.
    #[arg(long, value_name = "L", value_parser = quantity::<Length>, requires = "template", conflicts_with = "rig")]
    pub bar_length: Option<Length>,
    /// Sheet, lying: a4, a3, letter or tabloid.
    #[arg(long, value_enum, default_value_t = Paper::A4, hide_possible_values = true, requires = "template")]
    pub paper: Paper,
}

/// A sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Paper {
    /// ISO A4.
    A4,
    /// ISO A3.
    A3,
    /// US Letter.
    Letter,
    /// US Tabloid.
    Tabloid,
}

impl From<Paper> for crate::report::template::Paper {
    fn from(paper: Paper) -> Self {
        match paper {
            Paper::A4 => Self::A4,
            Paper::A3 => Self::A3,
            Paper::Letter => Self::Letter,
            Paper::Tabloid => Self::Tabloid,
        }
    }
}

/// Writes the template of holes sized from flags; nothing if none is asked for.
///
/// # Errors
/// Without tube, ring or bar; holes that cannot be drilled; a sheet that is too small.
pub fn from_flags(
    args: &TemplateArgs,
    found: &InjectorResult,
    context: &Context,
    report: &mut Report,
) -> Result<(), CliError> {
    let Some(path) = &args.template else {
        return Ok(());
    };
    drawing("template", path)?;
    let tube = args.tube_diameter.ok_or(CliError::NoTemplate {
        missing: "--tube-diameter, the outside diameter of the tube",
    })?;
    let n = found.holes as usize;
    let layout = match (args.ring_diameter, args.bar_length) {
        (Some(diameter), _) => HoleLayout::Ring {
            diameter,
            holes: Manifold::even_angles(n),
            feeds: Vec::new(),
        },
        (None, Some(length)) => HoleLayout::Bar {
            length,
            holes: Manifold::even_places(n, length),
            feeds: Vec::new(),
        },
        (None, None) => {
            return Err(CliError::NoTemplate {
                missing: "--ring-diameter or --bar-length",
            });
        }
    };
    let best = found.drills.iter().min_by(|a, b| {
        let off = |c: &crate::injector::size::DrillChoice| c.flow_error.value.abs();
        off(a).total_cmp(&off(b))
    });
    let drill = best.map(|c| c.drill);
    let title = format!(
        "Drilling template: {n} holes of {}",
        found.diameter.show(context.units)
    );
    let drawn = Drawn {
        tube,
        layout,
        exact: found.diameter,
        drill,
        title,
    };
    write(path, args, drawn, context, report)
}

/// Writes the template of a rig's ring or bar; nothing if none is asked for.
///
/// # Errors
/// As [`from_flags`].
pub fn for_rig(
    args: &TemplateArgs,
    solution: &Solution<'_>,
    context: &Context,
    report: &mut Report,
) -> Result<(), CliError> {
    let Some(path) = &args.template else {
        return Ok(());
    };
    drawing("template", path)?;
    let plan = solution.injector.as_ref();
    let plan = plan.map_err(|why| CliError::NoInjector { why: why.clone() })?;
    let spec = &solution.rig.injector;
    let manifold = spec.manifold.as_ref().ok_or(CliError::NoTemplate {
        missing: "a ring or bar in [injector]",
    })?;
    let tube = match (args.tube_diameter, spec.hole_length) {
        (Some(tube), _) => tube,
        (None, Some(wall)) => manifold.bore + 2.0 * wall,
        (None, None) => {
            return Err(CliError::NoTemplate {
                missing: "--tube-diameter, or the `hole_length` of [injector], which is the wall",
            });
        }
    };
    let n = plan.holes as usize;
    let layout = match &manifold.layout {
        ManifoldLayout::Ring {
            diameter,
            feeds,
            holes,
        } => HoleLayout::Ring {
            diameter: *diameter,
            holes: holes.clone().unwrap_or_else(|| Manifold::even_angles(n)),
            feeds: feeds.clone(),
        },
        ManifoldLayout::Bar {
            length,
            feeds,
            holes,
        } => HoleLayout::Bar {
            length: *length,
            holes: holes
                .clone()
                .unwrap_or_else(|| Manifold::even_places(n, *length)),
            feeds: feeds.clone(),
        },
    };
    let title = format!(
        "Drilling template of {}: {n} holes of {}",
        solution.rig.name,
        plan.diameter.show(context.units)
    );
    let drawn = Drawn {
        tube,
        layout,
        exact: plan.diameter,
        drill: best_drill(plan),
        title,
    };
    write(path, args, drawn, context, report)
}

/// The drill whose largest error over the duties is least.
fn best_drill(plan: &InjectorPlan) -> Option<&'static Drill> {
    let fed: Vec<_> = plan
        .duties
        .iter()
        .filter_map(|d| d.injection.as_ref().ok())
        .collect();
    let worst = |name: &str| {
        let errors = fed.iter().flat_map(|i| &i.drills);
        let of_drill = errors.filter(|d| d.drill.name == name);
        of_drill
            .map(|d| d.flow_error.value.abs())
            .fold(0.0, f64::max)
    };
    let drills = fed.first()?.drills.iter().map(|d| d.drill);
    drills.min_by(|a, b| worst(&a.name).total_cmp(&worst(&b.name)))
}

/// What a template shows.
struct Drawn {
    tube: Length,
    layout: HoleLayout,
    exact: Length,
    drill: Option<&'static Drill>,
    title: String,
}

fn write(
    path: &Path,
    args: &TemplateArgs,
    drawn: Drawn,
    context: &Context,
    report: &mut Report,
) -> Result<(), CliError> {
    let drill = drawn.drill.unwrap_or_else(|| {
        nearest_drill(drawn.exact, crate::injector::drills::DrillSeries::Metric)
    });
    let size = drill.diameter.show(context.units);
    let named = if drill.name == size {
        size.clone()
    } else {
        format!("{} ({size})", drill.name)
    };
    let exact = drawn.exact.show(context.units);
    let tube = TubeHoles {
        tube: drawn.tube,
        layout: drawn.layout,
        hole: drill.diameter,
    };
    let off = signed((drill.diameter.value / drawn.exact.value - 1.0) * 100.0);
    let drill = format!("{named}; the exact hole is {exact}, {off} % in diameter");
    let ring = matches!(tube.layout, HoleLayout::Ring { .. });
    let mut notes = vec![
        format!(
            "Tube of {} outside. Wrap with the hole line where the jets are to point. Where the long edges do not meet, the tube or the scale is another.",
            tube.tube.show(context.units)
        ),
        "Punch each centre, drill square to the wall, ream and deburr: the edges of the holes set the discharge coefficient.".to_owned(),
    ];
    if ring {
        notes.push("Places are on the centre line of the straight tube: bending stretches the outer side and draws holes there long. Drill after bending where it can be done.".to_owned());
    }
    notes.push(crate::report::cautions::CLOSING.to_owned());
    let words = Words {
        title: drawn.title,
        drill,
        notes,
    };
    let svg = sheet(&tube, &words, args.paper.into())?;
    Target::new(path, FileKind::Template)?.write(svg)?;
    report.paragraph(
        "Drilling template",
        format!(
            "Wrote {} for drill {named}: print it at 100 % and measure its bar first.",
            path.display()
        ),
    );
    report.key("template", path.display().to_string());
    report.number("template_drill_diameter_m", tube.hole.value);
    report.number("template_tube_diameter_m", metres(tube.tube.value).value);
    Ok(())
}
