//! Changes that a case makes to a good rig: the form is at the head of `faults/gas.toml`.

use toml::{Table, Value};

/// A text of a case.
pub(crate) fn text<'t>(table: &'t Table, key: &str) -> &'t str {
    table[key].as_str().expect("a text")
}

fn place(list: &[Value], step: &str) -> Option<usize> {
    step.parse().ok().filter(|i| *i < list.len()).or_else(|| {
        list.iter()
            .position(|v| v.get("name").and_then(Value::as_str) == Some(step))
    })
}

/// Makes one change of a fault.
pub(crate) fn change(rig: &mut Value, change: &Table) -> Result<(), String> {
    let path = text(change, "path");
    let (parent, last) = path.rsplit_once('.').unwrap_or(("", path));
    let lost = || format!("no `{path}`");
    let mut at = rig;
    for step in parent.split('.').filter(|s| !s.is_empty()) {
        at = match at {
            Value::Table(t) => t.entry(step).or_insert_with(|| Value::Table(Table::new())),
            Value::Array(a) => {
                let i = place(a, step).ok_or_else(lost)?;
                &mut a[i]
            }
            _ => return Err(lost()),
        };
    }
    let to = change.get("to").cloned();
    if let Some(before) = change.get("before").and_then(Value::as_str) {
        let rows = match at {
            Value::Table(t) => t.get_mut(last).and_then(Value::as_array_mut),
            _ => None,
        };
        let rows = rows.ok_or_else(lost)?;
        let i = place(rows, before).ok_or_else(lost)?;
        rows.insert(i, to.ok_or_else(lost)?);
        return Ok(());
    }
    match (at, to) {
        (Value::Table(t), Some(to)) => _ = t.insert(last.to_owned(), to),
        (Value::Table(t), None) => _ = t.remove(last).ok_or_else(lost)?,
        (Value::Array(a), to) => {
            let i = place(a, last).ok_or_else(lost)?;
            match to {
                Some(to) => a[i] = to,
                None => _ = a.remove(i),
            }
        }
        _ => return Err(lost()),
    }
    Ok(())
}
