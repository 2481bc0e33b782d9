//! Checks of the train as a whole: names, branches, order; the parts one by one are in `parts`.

use super::Checker;
use crate::input::raw::{Branch, Part as RawPart, RigFile};
use crate::train::{Draw, End, Outlet, OutletLaw, Part, Run, Source, Train};

/// Name of the branch that ends in the injector.
const MAIN: &str = "main";
/// Discharge coefficient of a branch's holes where none is given: a drilled hole of one to seven
/// diameters, choked [ward-smith1979]; the band is that of the injector's own holes.
const BRANCH_DISCHARGE: f64 = 0.84;

impl Checker<'_> {
    pub(super) fn train(&mut self, file: &RigFile) -> Option<Train> {
        let names: Vec<_> = file.train.iter().map(|p| &p.common.name).collect();
        self.names("part", "parts", &names);
        let branch_names: Vec<_> = file.branches.iter().map(|b| &b.name).collect();
        self.names("branch", "branches", &branch_names);
        self.order(file);
        let parts: Vec<Option<Part>> = file.train.iter().map(|p| self.part(p)).collect();
        let parts: Option<Vec<Part>> = parts.into_iter().collect();
        self.built(file, parts?)
    }

    fn order(&mut self, file: &RigFile) {
        let known: Vec<&str> = file
            .branches
            .iter()
            .filter_map(|b| b.name.entry.as_ref().map(|n| n.value.as_str()))
            .chain(std::iter::once(MAIN))
            .collect();
        let mut first_joined: Option<&RawPart> = None;
        let mut first_in_branch: Option<&RawPart> = None;
        for part in &file.train {
            let per_cylinder = part.common.per_cylinder.entry.as_ref().filter(|p| p.value);
            if let Some(flag) = per_cylinder {
                if file.mains.is_some() && file.tank.is_none() {
                    self.wrong(
                        "E303",
                        "`per_cylinder` has no meaning for a main",
                        &flag.span,
                        "there are no cylinders",
                        None,
                    );
                }
                if let Some(name) = first_joined.and_then(|p| p.common.name.entry.as_ref()) {
                    self.disagree(
                        "a part of each cylinder comes after the cylinders have joined",
                        (&flag.span, "each cylinder has its own"),
                        (&name.span, "the first part they share"),
                        Some("list the parts of each cylinder first"),
                    );
                }
            } else if first_joined.is_none() {
                first_joined = Some(part);
            }
            match (&part.common.branch.entry, first_in_branch) {
                (Some(branch), _) => {
                    if !known.contains(&branch.value.as_str()) {
                        self.undefined("branch", branch, known.iter().copied());
                    }
                    first_in_branch = first_in_branch.or(Some(part));
                }
                (None, Some(earlier)) => {
                    if let (Some(name), Some(branch)) =
                        (&part.common.name.entry, &earlier.common.branch.entry)
                    {
                        self.disagree(
                            "a part before the split comes after a part of a branch",
                            (&name.span, "belongs to no branch"),
                            (&branch.span, "the split is before this"),
                            Some("give it a `branch`, or list it before the parts of the branches"),
                        );
                    }
                }
                (None, None) => {}
            }
        }
    }

    /// The tree of parts. The holes of the injector are not known yet: its outlet is open until they are.
    fn built(&mut self, file: &RigFile, parts: Vec<Part>) -> Option<Train> {
        let mut own = Vec::new();
        let mut shared = Vec::new();
        let mut branched: Vec<(String, Part)> = Vec::new();
        for (raw, part) in file.train.iter().zip(parts) {
            if raw.common.per_cylinder.says(&true) {
                own.push(part);
            } else if let Some(branch) = raw.common.branch.value() {
                branched.push((branch, part));
            } else {
                shared.push(part);
            }
        }
        let injector = Outlet {
            name: MAIN.to_owned(),
            law: OutletLaw::Open,
        };
        let end = if file.branches.is_empty() {
            // parts may say `branch = "main"` without there being another
            shared.extend(branched.into_iter().map(|(_, part)| part));
            End::Outlet(injector)
        } else {
            let of = |name: &str, end: Outlet, branched: &[(String, Part)]| Run {
                name: name.to_owned(),
                parts: branched
                    .iter()
                    .filter(|(b, _)| b == name)
                    .map(|(_, p)| p.clone())
                    .collect(),
                end: End::Outlet(end),
            };
            let mut runs = vec![of(MAIN, injector, &branched)];
            for branch in &file.branches {
                let outlet = self.branch_outlet(branch)?;
                runs.push(of(&outlet.name.clone(), outlet, &branched));
            }
            End::Split(runs)
        };
        let (name, count, draw) = file.tank.as_ref().map_or(("mains", 1, Draw::Vapour), |t| {
            (
                "tank",
                t.number.value().unwrap_or(1),
                t.draw.value().unwrap_or(Draw::Vapour),
            )
        });
        Some(Train {
            sources: vec![Source {
                name: name.to_owned(),
                count,
                draw,
                parts: own,
            }],
            run: Run {
                name: "supply".to_owned(),
                parts: shared,
                end,
            },
        })
    }

    fn branch_outlet(&mut self, branch: &Branch) -> Option<Outlet> {
        let name = branch.name.entry.as_ref()?;
        if name.value == MAIN {
            self.wrong(
                "E305",
                "a branch named `main` is that of `[injector]`",
                &name.span,
                "taken",
                Some("the holes of `main` stand in `[injector]`".to_owned()),
            );
            return None;
        }
        let discharge = branch.discharge_coefficient.value().map(|c| c.value);
        if discharge.is_none() {
            self.assume(format!(
                "The holes of the branch {} are taken with a discharge coefficient of {BRANCH_DISCHARGE}.",
                name.value
            ));
        }
        Some(Outlet {
            name: name.value.clone(),
            law: OutletLaw::Holes {
                number: branch.holes.value()?,
                diameter: branch.hole_diameter.value()?,
                discharge_coefficient: discharge.unwrap_or(BRANCH_DISCHARGE),
            },
        })
    }
}
