//! What keeps the fuel in and stops it, of a solved rig: joints, leak test, trapped sections, failures.

use super::Solution;
use crate::leak::trapped::supply_at_rest;
use crate::leak::{
    FailureRow, JointRow, LeakJudgement, Running, TestPlan, TrappedSection, failure_table,
    inventory, judged, test_plan, trapped_sections,
};
use crate::train::Part;
use crate::train::ways::at_rest;
use std::sync::OnceLock;

/// Each part worked out when first asked for.
#[derive(Debug, Default)]
pub(super) struct Tightness {
    joints: OnceLock<Result<Vec<JointRow>, String>>,
    trapped: OnceLock<Result<Vec<TrappedSection>, String>>,
    plan: OnceLock<Result<TestPlan, String>>,
    judged: OnceLock<Result<Vec<LeakJudgement>, String>>,
    failures: OnceLock<Vec<FailureRow>>,
}

impl Solution<'_> {
    /// Joints in the order to soap them.
    pub fn joints(&self) -> &Result<Vec<JointRow>, String> {
        self.tightness.joints.get_or_init(|| {
            let supply = supply_at_rest(self.rig, self.fluid.as_ref());
            let (p, _) = supply.map_err(|e| self.why(&e))?;
            Ok(inventory(&self.rig.train, p, self.rig.site.air_pressure))
        })
    }

    /// Sections that closures can isolate, and liquid in them.
    pub fn trapped(&self) -> &Result<Vec<TrappedSection>, String> {
        self.tightness.trapped.get_or_init(|| {
            trapped_sections(self.rig, self.fluid.as_ref()).map_err(|e| self.why(&e))
        })
    }

    /// Plan of the leak test.
    pub fn leak_test_plan(&self) -> &Result<TestPlan, String> {
        self.tightness.plan.get_or_init(|| {
            test_plan(self.rig, self.fluid.as_ref(), self.nitrogen.as_deref())
                .map_err(|e| self.why(&e))
        })
    }

    /// The leak tests on record, judged; none if there is none.
    pub fn judged_leak_tests(&self) -> &Result<Vec<LeakJudgement>, String> {
        self.tightness
            .judged
            .get_or_init(|| match self.leak_test_plan() {
                Ok(plan) => Ok(judged(self.rig, plan)),
                Err(why) => Err(why.clone()),
            })
    }

    /// What the fuel does on every failure; empty without a train.
    pub fn failures(&self) -> &[FailureRow] {
        self.tightness.failures.get_or_init(|| {
            if self.rig.train.parts().is_empty() {
                return Vec::new();
            }
            failure_table(self.rig, &self.running())
        })
    }

    /// Flows of the duty with the most fuel, and what lies behind its shut-off valves.
    fn running(&self) -> Running {
        let heating_value = self
            .stoichiometry
            .as_ref()
            .ok()
            .map(|s| s.lower_heating_value);
        let too_weak = self.too_weak();
        let Ok(plan) = self.train() else {
            return Running {
                heating_value,
                too_weak,
                ..Running::default()
            };
        };
        let solved = plan.duties.iter().filter_map(|d| d.solution.as_ref().ok());
        let largest = solved.max_by(|a, b| a.flow.value.total_cmp(&b.flow.value));
        Running {
            flows: largest.map_or_else(Vec::new, |s| {
                s.outlets
                    .iter()
                    .map(|o| (o.outlet.clone(), o.flow))
                    .collect()
            }),
            shut_offs: plan.shut_offs.iter().flatten().cloned().collect(),
            heating_value,
            too_weak,
        }
    }

    /// Valves that stand against more, with the flow stopped, than they are made to close against.
    fn too_weak(&self) -> Vec<String> {
        let train = &self.rig.train;
        let Ok((supply, _)) = supply_at_rest(self.rig, self.fluid.as_ref()) else {
            return Vec::new();
        };
        let air = self.rig.site.air_pressure.pascals();
        let rest = at_rest(train, supply, Part::holds).into_iter();
        let beyond = rest.filter(|rest| {
            let most = rest.part.protection.max_differential;
            most.is_some_and(|most| rest.inlet.pascals() - air > most.pascals())
        });
        beyond.map(|rest| rest.part.name.clone()).collect()
    }
}
