//! The page is well formed, stands by itself, and leaves nothing of the report out.

use super::*;
use crate::quantity::Kind;
use crate::report::finding::FindingData;
use crate::report::plot::{Axis, Bar, Bars, Figure, Plot};
use crate::report::{Block, Column, Fact, Finding, Signal, Table, Tick, Value};

/// Elements of a page that hold nothing and are not closed.
const VOID: [&str; 2] = ["meta", "wbr"];

/// Elements open and close in order, attributes are quoted, and no bare `&` or `<` stands in text.
pub(crate) fn well_formed(markup: &str) -> Result<(), String> {
    let mut open: Vec<String> = Vec::new();
    let mut rest = markup.trim_start();
    rest = rest.strip_prefix("<!DOCTYPE html>").unwrap_or(rest);
    while let Some(i) = rest.find('<') {
        check_text(&rest[..i], open.last().is_some_and(|e| e == "style"))?;
        let tag = &rest[i + 1..];
        let end = tag.find('>').ok_or("a tag without its end")?;
        let (inside, behind) = (&tag[..end], &tag[end + 1..]);
        if let Some(name) = inside.strip_prefix('/') {
            let last = open.pop().ok_or(format!("</{name}> closes nothing"))?;
            if last != name {
                return Err(format!("<{last}> is closed by </{name}>"));
            }
        } else if inside.matches('"').count() % 2 == 1 {
            return Err(format!("quotes in <{inside}>"));
        } else if !inside.ends_with('/') {
            let name = inside.split_whitespace().next().unwrap_or_default();
            if !VOID.contains(&name) {
                open.push(name.to_owned());
            }
        }
        rest = behind;
    }
    check_text(rest, false)?;
    match open.pop() {
        Some(name) => Err(format!("<{name}> stays open")),
        None => Ok(()),
    }
}

fn check_text(text: &str, raw: bool) -> Result<(), String> {
    for part in text.split('&').skip(1) {
        let entity = part.split(';').next().unwrap_or_default();
        if !raw && !["amp", "lt", "gt", "quot", "#39"].contains(&entity) {
            return Err(format!("a bare & in `{text}`"));
        }
    }
    Ok(())
}

fn sample() -> Report {
    let mut report = Report::new(Topic::Report, "Report of <rig> & co");
    report.chapter("Verdict and findings");
    report.paragraph("Verdict", "Found: 1 \"WARNING\" [somebody1999].");
    report.findings = Some(vec![Finding {
        id: "INJ001".to_owned(),
        name: "soft-injector".to_owned(),
        title: "Soft injector".to_owned(),
        sentence: "At duty light-up the drop is 11 %, under 15 %.".to_owned(),
        signal: Signal::Warning,
        measured: "11 %".to_owned(),
        limit: "at least 15 %".to_owned(),
        source: "[somebody1999]".to_owned(),
        advice: "use fewer holes".to_owned(),
        at: "duties.light-up".to_owned(),
        line: Some(2),
        data: FindingData::default(),
    }]);
    report.chapter("Duties");
    report.facts(
        "Fuel",
        vec![
            Fact::of("Flow", Kind::MassRate, 1e-3)
                .within(0.1)
                .sourced("somebody1999")
                .note("a note"),
        ],
    );
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::of("air", Kind::MassRate),
        Column::new("state").optional(),
        Column::new("remark").optional(),
    ]);
    let flow = Value::of(Kind::MassRate, 0.018);
    table.row(vec!["full".into(), flow, "choked".into(), "a < b".into()]);
    report.table("Duties", table);
    let bars = Bars {
        x: Axis::of("mass", Kind::Mass).with_zero(),
        bars: vec![Bar {
            name: "tank".to_owned(),
            value: 37.0,
            band: None,
            group: None,
        }],
        limits: Vec::new(),
    };
    report.plot(
        "Mass",
        Plot::new("Mass of parts", "The tank", Figure::Bars(bars)),
    );
    let tick = Tick {
        text: "purge".to_owned(),
        because: "practice".to_owned(),
        entry: None,
    };
    report.block("Before", Block::Checklist(vec![tick]));
    report.block(
        "Rig file",
        Block::Listing("[rig]\nname = \"<x>\"\n".to_owned()),
    );
    report.remark("a note");
    report.assume("an assumption");
    report
        .sources
        .insert("somebody1999".to_owned(), "Somebody (1999)".to_owned());
    report
}

#[test]
fn the_page_is_well_formed_and_stands_by_itself() {
    for units in [Units::Si, Units::Us] {
        let page = render(&sample(), units);
        well_formed(&page).unwrap_or_else(|e| panic!("{e}: {page}"));
        assert!(page.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
        let without_namespace = page.replace("http://www.w3.org/2000/svg", "");
        for outside in [
            "http:", "https:", "//", "<script", "<link", "url(", "@import", "src=",
        ] {
            assert!(!without_namespace.contains(outside), "{outside}");
        }
    }
}

#[test]
fn nothing_of_the_report_is_left_out() {
    let report = sample();
    let page = render(&report, Units::Si);
    for part in [
        "Report of &lt;rig&gt; &amp; co",
        "href=\"#source-somebody1999\"",
        "id=\"source-somebody1999\"",
        "href=\"#L2\"",
        "id=\"L2\"",
        "1.00 g/s",
        "(0.90 to 1.10)",
        "a &lt; b",
        "choked",
        "<desc id=\"figure-1-d\">The tank</desc>",
        "purge",
        "an assumption",
    ] {
        assert!(page.contains(part), "{part}: {page}");
    }
    for caution in report.cautions() {
        assert!(
            page.contains(&html! { (caution) }.into_string()),
            "{caution}"
        );
    }
    let [verdict, findings, duties] =
        ["s-verdict", "s-findings", "s-duties"].map(|id| page.find(&format!("<h3 id=\"{id}\"")));
    assert!(verdict < findings && findings.is_some());
    assert!(
        duties.is_none(),
        "a chapter's section of its own name has no heading"
    );
}

#[test]
fn headings_go_down_one_level_at_a_time() {
    let page = render(&sample(), Units::Si);
    let mut level = 0;
    for tag in page.split("<h").skip(1) {
        let Some(new) = tag.chars().next().and_then(|c| c.to_digit(10)) else {
            continue;
        };
        assert!(new <= level + 1, "h{level} then h{new}");
        level = new;
    }
}

/// With a sheet, and an appendix that prints or folds.
fn in_sheets(prints: bool) -> Report {
    let mut report = Report::new(Topic::Report, "Report");
    report.appendix_prints = prints;
    report.chapter(VERDICT);
    report.paragraph(VERDICT, "Found: nothing.");
    report.findings = sample().findings;
    report.block("Cautions", Block::Cautions);
    report.appendix();
    report.chapter(FINDINGS);
    report.paragraph(FINDINGS, "Each with its place.");
    report.chapter("Train");
    report.paragraph("Train", "deep inside");
    report.assume("an assumption");
    report
}

#[test]
fn an_appendix_folds_or_prints_and_what_is_carried_along_does_neither() {
    for prints in [false, true] {
        let report = in_sheets(prints);
        let page = render(&report, Units::Si);
        well_formed(&page).unwrap_or_else(|e| panic!("{e}: {page}"));
        let (sheets, appendix) = page.split_once("Appendix</h2>").expect("an appendix");
        assert!(!sheets.contains("<details") && sheets.contains("class=\"short\""));
        for caution in report.cautions() {
            let shown = html! { li { (caution) } }.into_string();
            assert_eq!(sheets.matches(&shown).count(), 1, "{caution}");
        }
        for part in [
            "Each with its place.",
            "deep inside",
            "an assumption",
            "use fewer holes",
        ] {
            assert!(appendix.contains(part), "{part}");
        }
        let open = appendix.matches("<details class=\"chapter\" open>").count();
        assert_eq!(open, if prints { 3 } else { 0 });
        assert_eq!(appendix.matches("<details").count(), 3);
    }
}
