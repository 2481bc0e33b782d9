//! Remedies: faults whose value is a size or setting, each searched, each change written into the file and audited again.

use super::faults::{audited_text, broken_by_figures};
use super::times::times;
use fuelwright::audit::lever::{TARGET, TARGETS};
use fuelwright::audit::rules::RULES;
use fuelwright::audit::usual::USUAL;
use fuelwright::audit::{Audit, Finding, Lever, Signal};
use fuelwright::fuel::Library;
use fuelwright::input::{self, Loaded};
use fuelwright::inside::{Remedies, Search, changed_text, remedies};
use fuelwright::quantity::show::Units;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::sync::LazyLock;
use std::sync::atomic::{AtomicUsize, Ordering};

static LIBRARY: LazyLock<Library> = LazyLock::new(Library::embedded);

const NEGLECTED: &str = include_str!("../../examples/neglected-frost-guard.toml");
const SOAK: &str = include_str!("../../examples/coupon-soak-rig.toml");

fn loaded(text: &str) -> Loaded {
    input::parse("rig.toml", text, &LIBRARY).unwrap_or_else(|e| panic!("{e}"))
}

fn searched(
    text: &str,
    ids: &[&str],
    stopped: &(dyn Fn() -> bool + Sync),
    done: &(dyn Fn() + Sync),
) -> Remedies {
    let search = Search {
        library: &LIBRARY,
        units: Units::Si,
        today: None,
        stopped,
        done,
    };
    let ids: Vec<String> = ids.iter().map(|id| (*id).to_owned()).collect();
    remedies(&search, loaded(text), &ids).expect("it has a model")
}

fn found(text: &str, ids: &[&str]) -> Remedies {
    searched(text, ids, &|| false, &|| ())
}

fn audited(text: &str) -> Audit {
    audited_text(text, &LIBRARY).expect("it is read")
}

/// Table and key of a change: of parts `train`.
fn is_lever(key: &str) -> bool {
    let (table, name) = (
        key.split(['.', '[']).next().unwrap_or_default(),
        key.rsplit('.').next().unwrap_or_default(),
    );
    let bought_as_one = ["catalogue", "outside_diameter"].contains(&name);
    let named = |key: &str| key == name || key == TARGET && TARGETS.contains(&name);
    let levers = RULES
        .iter()
        .flat_map(|r| r.levers)
        .map(Lever::table_and_key);
    table == "train" && bought_as_one
        || levers
            .into_iter()
            .any(|(of, key)| named(key) && (of == table || table == "train"))
}

/// Every remedy written into the file: what is wrong with it.
fn wrong(text: &str, before: &Audit, found: &Remedies) -> Vec<String> {
    let mut wrong = Vec::new();
    for remedy in &found.remedies {
        let named = format!(
            "{} at {} by {:?}",
            remedy.finding.id, remedy.finding.at, remedy.changes
        );
        let written = changed_text(&loaded(text), &remedy.changes);
        let after = audited(&written);
        let of = before
            .findings
            .iter()
            .find(|f| f.id == remedy.finding.id && f.at == remedy.finding.at)
            .expect("it was found");
        let there = |f: &Finding, in_audit: &Audit| {
            in_audit
                .findings
                .iter()
                .any(|g| g.id == f.id && g.places.iter().any(|at| f.places.contains(at)))
        };
        if there(of, &after) {
            wrong.push(format!("{named}: the finding stays"));
        }
        let known_at = |f: &Finding, at: &String| {
            let same = |g: &Finding| g.id == f.id && g.signal <= f.signal && g.places.contains(at);
            before.findings.iter().any(same)
        };
        let known = |f: &Finding| f.places.iter().all(|at| known_at(f, at));
        let unseen = |f: &Finding| before.not_checked.iter().any(|n| n.id == f.id);
        let graver = |f: &&Finding| {
            !known(f) && (f.signal <= Signal::Warning || f.signal <= of.signal && !unseen(f))
        };
        wrong.extend(
            after
                .findings
                .iter()
                .filter(graver)
                .map(|f| format!("{named}: raises {} at {}", f.id, f.at)),
        );
        for change in &remedy.changes {
            let number = change.to.split(' ').next().unwrap_or_default();
            let digits: String = number.chars().filter(char::is_ascii_digit).collect();
            if !is_lever(&change.key)
                || digits.trim_matches('0').len() > 4 && !change.key.ends_with("catalogue")
            {
                wrong.push(format!("{named}: {} is no figure to write", change.to));
            }
        }
        if remedy.changes.len() > 2
            && !remedy
                .changes
                .iter()
                .any(|c| c.key.ends_with("outside_diameter"))
        {
            wrong.push(format!("{named}: more than two changes"));
        }
    }
    wrong
}

/// Share of the faults whose value is a size or setting that has to have a remedy, per cent.
const LEAST_PERCENT: usize = 80;

#[test]
fn faults_of_sizes_and_settings_have_remedies_that_hold() {
    let cases: Vec<_> = broken_by_figures()
        .into_iter()
        .filter(|(.., keys)| keys.iter().all(|k| is_lever(k)))
        .collect();
    // all of them with FUELWRIGHT_TIMES=4
    let every = 4 / times(1).clamp(1, 4);
    let cases: Vec<_> = cases.into_iter().step_by(every).collect();
    let searched: Vec<(bool, String, Vec<String>)> = cases
        .par_iter()
        .filter_map(|(id, text, rules, _)| {
            let before = audited_text(text, &LIBRARY).ok()?;
            let caught: BTreeSet<&str> = before
                .findings
                .iter()
                .map(|f| f.id)
                .filter(|id| rules.iter().any(|r| r == id))
                .collect();
            if caught.is_empty() {
                return None;
            }
            let caught: Vec<&str> = caught.into_iter().collect();
            let found = found(text, &caught);
            let missed = format!("{id} {caught:?}: {:?} {:?}", found.unsolved, found.work);
            Some((
                !found.remedies.is_empty(),
                missed,
                wrong(text, &before, &found),
            ))
        })
        .collect();
    let wrong: Vec<&String> = searched.iter().flat_map(|(.., wrong)| wrong).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    let missed: Vec<&String> = searched.iter().filter(|s| !s.0).map(|s| &s.1).collect();
    let solved = searched.len() - missed.len();
    assert!(
        every * searched.len() > 150,
        "{} faults only",
        searched.len()
    );
    assert!(
        100 * solved >= LEAST_PERCENT * searched.len(),
        "{solved} of {}: {missed:#?}",
        searched.len()
    );
}

#[test]
fn a_neglected_rig_gets_changes_and_work_and_keeps_its_comments() {
    let before = audited(NEGLECTED);
    let all = found(NEGLECTED, &[]);
    let wrong = wrong(NEGLECTED, &before, &all);
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert_eq!(
        all.remedies.len() + all.unsolved.len() + all.work.len(),
        before.findings.len()
    );
    // papers, hardware and answers are work, whatever else could be changed
    let work: Vec<&str> = all.work.iter().map(|w| w.finding.id.as_str()).collect();
    for id in [
        "REC001", "REC003", "REC006", "SHU001", "SHU003", "SHU009", "SIT003", "TNK001", "LEK006",
    ] {
        assert!(work.contains(&id), "{id}: {work:?}");
    }
    assert!(all.work.iter().all(|w| !w.advice.is_empty()));
    let written = changed_text(&loaded(NEGLECTED), &all.set);
    let (old, new): (Vec<&str>, Vec<&str>) =
        (NEGLECTED.lines().collect(), written.lines().collect());
    assert_eq!(old.len(), new.len());
    let changed: Vec<_> = old.iter().zip(&new).filter(|(a, b)| a != b).collect();
    assert_eq!(changed.len(), all.set.len());
    for (a, b) in changed {
        assert_eq!(a.split('=').next(), b.split('=').next());
        assert_eq!(
            a.split_once('#').map(|x| x.1),
            b.split_once('#').map(|x| x.1)
        );
    }
    // what the set says that it leaves is what an audit of the written file finds
    let after = audited(&written);
    let grave = |audit: &Audit| {
        audit
            .findings
            .iter()
            .filter(|f| f.signal <= Signal::Warning)
            .map(|f| format!("{} {}", f.id, f.at))
            .collect::<Vec<_>>()
    };
    let left: Vec<String> = all
        .left
        .iter()
        .map(|n| format!("{} {}", n.id, n.at))
        .collect();
    assert_eq!(grave(&after), left);
    assert!(left.len() + 5 <= grave(&before).len(), "{left:?}");
}

#[test]
fn the_answer_hangs_on_no_number_of_threads() {
    let text = SOAK.replacen("\"2.0 bar(g)\"", "\"0.9 bar(g)\"", 1);
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads");
        pool.install(|| found(&text, &["INJ001", "SUP001", "TNK008", "TRN001"]))
    };
    assert_eq!(on(1), on(3));
}

#[test]
fn a_search_that_is_stopped_says_so_and_keeps_what_it_found() {
    let whole = found(NEGLECTED, &["SHU015", "SIT002", "SIT008", "TNK002"]);
    let done = AtomicUsize::new(0);
    let one = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .expect("a thread");
    let stopped = || done.load(Ordering::Relaxed) >= 2;
    let count = || _ = done.fetch_add(1, Ordering::Relaxed);
    let part = one.install(|| {
        searched(
            NEGLECTED,
            &["SHU015", "SIT002", "SIT008", "TNK002"],
            &stopped,
            &count,
        )
    });
    assert_eq!((whole.remedies.len(), whole.stopped_after), (4, None));
    assert_eq!(part.stopped_after, Some(2));
    let kept = part.remedies.iter().all(|r| whole.remedies.contains(r));
    assert!(part.remedies.len() == 2 && kept, "{part:?}");
}

#[test]
fn what_no_change_clears_is_told_with_how_near_it_came() {
    // one stage expands a damp blend below freezing, whatever it is set to; no valve sets what a duty gets
    let all = found(NEGLECTED, &["REG005", "TRN002"]);
    assert!(all.remedies.is_empty(), "{:?}", all.remedies);
    assert_eq!(all.unsolved.len(), 2);
    let nearest = all.unsolved[0]
        .nearest
        .as_ref()
        .expect("something came nearer");
    assert!(
        !nearest.changes.is_empty() && (!nearest.measured.is_empty() || !nearest.raises.is_empty())
    );
    let told = all.sentence("TRN002", "duties.low").expect("said");
    assert!(
        told.starts_with("No change of two keys clears it"),
        "{told}"
    );
}

#[test]
fn every_lever_is_a_size_or_setting_with_a_usual_range() {
    let never = "max_pressure max_inlet min_inlet max_temperature min_temperature rating relief_pressure max_differential \
                 closing_time lock_up coldest hottest ambient_temperature drop hold_time";
    for rule in RULES {
        for lever in rule.levers {
            let (table, key) = lever.table_and_key();
            let keys: &[&str] = if key == TARGET { &TARGETS } else { &[key] };
            for key in keys {
                let has = |t: &str| USUAL.iter().any(|u| u.table == t && u.key == *key);
                // tries again are counted, and have no usual range
                let known = has(table) || has("train") || *key == "retries";
                assert!(known, "{}: {}", rule.id, lever.path);
            }
            let record = ["leak_test", "records", "limits", "fuel"].contains(&table);
            assert!(
                !record && never.split_whitespace().all(|n| n != key),
                "{}",
                lever.path
            );
        }
    }
}
