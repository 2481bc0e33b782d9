//! Drill sizes and hole tolerances against tables.

use fuelwright::injector::drills::{
    DrillSeries, HoleTolerance, area_excess, drills, drills_around, hole_diameters, nearest_drill,
};
use fuelwright::quantity::metres;

/// Spot checks of ASME B94.11M sizes in inches: #80, #60, #1, A, Z, read in a public-domain chart.
#[test]
fn number_and_letter_drills_have_their_inch_sizes() {
    for (name, inches) in [
        ("#80", 0.0135),
        ("#60", 0.0400),
        ("#1", 0.2280),
        ("A", 0.234),
        ("Z", 0.413),
    ] {
        let drill = drills()
            .iter()
            .find(|d| d.name == name)
            .expect("a drill of that name");
        let off_m = (drill.diameter.value - inches * 0.0254).abs();
        // half the last digit of the millimetres in the table
        assert!(off_m <= 0.5e-7, "{name}: off by {off_m} m");
    }
}

/// Fractions of an inch are exact by definition; the table rounds to 0.0001 mm.
#[test]
fn fraction_drills_are_their_fraction_of_an_inch() {
    for drill in drills()
        .iter()
        .filter(|d| d.series == DrillSeries::Fraction)
    {
        let fraction = drill
            .name
            .strip_suffix(" in")
            .expect("a fraction in inches");
        let (over, under) = fraction.split_once('/').expect("a fraction");
        let value =
            over.parse::<f64>().expect("a number") / under.parse::<f64>().expect("a number");
        assert!(
            (drill.diameter.value - value * 0.0254).abs() <= 0.51e-7,
            "{}",
            drill.name
        );
    }
}

/// The metric name is the size.
#[test]
fn metric_drills_are_named_for_their_size() {
    for drill in drills().iter().filter(|d| d.series == DrillSeries::Metric) {
        let mm: f64 = drill
            .name
            .strip_suffix(" mm")
            .and_then(|n| n.parse().ok())
            .expect("a number of millimetres");
        assert!(
            (drill.diameter.value - mm * 1e-3).abs() < 1e-9,
            "{}",
            drill.name
        );
    }
}

/// Nearest to 0.75 mm by the table itself: metric 0.75 mm, and #69 with 0.742 mm.
#[test]
fn nearest_to_0_75_mm_is_0_75_mm_and_number_69() {
    let exact = metres(0.75e-3);
    assert_eq!(nearest_drill(exact, DrillSeries::Metric).name, "0.75 mm");
    let number = nearest_drill(exact, DrillSeries::Number);
    assert_eq!(number.name, "#69");
    assert!((number.diameter.value - 0.742e-3).abs() < 0.5e-6);
    let around: Vec<_> = drills_around(exact, 2)
        .iter()
        .map(|d| d.name.as_str())
        .collect();
    assert!(around.contains(&"0.75 mm") && around.contains(&"#69") && around.contains(&"1/32 in"));
}

/// ISO 286-1 tolerance fields as area: 1.00 mm H12 +21 %, H11 +12.4 %, 3.00 mm H12 +6.8 %, 0.50 mm H12
/// +44 % (arithmetic on the table, to the printed digits).
#[test]
fn hole_tolerance_as_area() {
    for (d_mm, class, want, digits) in [
        (1.00, HoleTolerance::H12, 0.21, 0.0005),
        (1.00, HoleTolerance::H11, 0.124, 0.0005),
        (3.00, HoleTolerance::H12, 0.068, 0.0005),
        (0.50, HoleTolerance::H12, 0.44, 0.0005),
    ] {
        let got = area_excess(metres(d_mm * 1e-3), class).expect("in the table");
        assert!(
            (got.value - want).abs() <= digits,
            "{d_mm} mm {}: {}",
            class.name(),
            got.value
        );
    }
}

/// Drill diameter tolerance h8, read in a maker's table: 1 to 3 mm 14 µm, 3 to 6 mm 18 µm, 6 to 10 mm
/// 22 µm under.
#[test]
fn a_drill_may_be_h8_under_its_name() {
    for (d_mm, under_um) in [(2.0, 14.0), (5.0, 18.0), (8.0, 22.0)] {
        let (least, _) =
            hole_diameters(metres(d_mm * 1e-3), HoleTolerance::H12).expect("in the table");
        assert!((d_mm * 1e-3 - least.value - under_um * 1e-6).abs() < 1e-12);
    }
    assert!(hole_diameters(metres(0.0), HoleTolerance::H12).is_err());
    assert!(hole_diameters(metres(f64::NAN), HoleTolerance::H12).is_err());
}
