//! Every number that a rig file gives.

use super::{Part, RigFile};
use crate::input::value::FieldValue;
use crate::quantity::AbsolutePressure;
use crate::train::rig::Given;

impl RigFile {
    /// Every key with numbers, table by table; pressures as a gauge in this air reads them.
    pub fn given(&self, air: AbsolutePressure) -> Vec<Given> {
        let mut all = Vec::new();
        self.site.given("site", "site", air, &mut all);
        self.injector.given("injector", "injector", air, &mut all);
        // tables that may be left out, and lists of tables without names
        macro_rules! tables {
            ($($table:ident)+; $($list:ident)+) => {
                $(if let Some(t) = &self.$table {
                    t.given(stringify!($table), stringify!($table), air, &mut all);
                })+
                $(for (i, t) in self.$list.iter().enumerate() {
                    let path = format!("{}[{i}]", stringify!($list));
                    t.given(stringify!($list), &path, air, &mut all);
                })+
            };
        }
        tables!(air burner controls tank mains schedule switch tolerance; limits steps);
        for test in &self.leak_test {
            test.given("leak_test", &test.stands.path, air, &mut all);
        }
        for duty in &self.duties {
            let name = duty.name.as_ref().map_or("", |n| &n.value);
            duty.given("duties", &format!("duties.{name}"), air, &mut all);
        }
        for branch in &self.branches {
            let name = branch.name.as_ref().map_or("", |n| &n.value);
            branch.given("branches", &format!("branches.{name}"), air, &mut all);
        }
        for part in &self.train {
            given_of(part, air, &mut all);
        }
        all
    }
}

fn given_of(part: &Part, air: AbsolutePressure, all: &mut Vec<Given>) {
    let Some(kind) = &part.common.kind else {
        return;
    };
    let kind = kind.value.write();
    let kind = kind.trim_matches('"');
    part.common.given(kind, &part.path, air, all);
    if let Some(keys) = &part.keys {
        keys.given(kind, &part.path, air, all);
    }
}
