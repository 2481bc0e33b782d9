//! Templates are true to scale, hold every hole, and stay on their sheet.

use super::*;
use crate::injector::ring::Manifold;
use crate::quantity::radians;
use crate::report::html::tests::well_formed;

fn words() -> Words {
    Words {
        title: "Drilling template & <more>".to_owned(),
        drill: "0.48 mm".to_owned(),
        notes: vec!["Deburr.".to_owned()],
    }
}

fn ring(diameter_m: f64) -> TubeHoles {
    TubeHoles {
        tube: metres(8e-3),
        layout: HoleLayout::Ring {
            diameter: metres(diameter_m),
            holes: Manifold::even_angles(16),
            feeds: vec![radians(0.0)],
        },
        hole: metres(0.48e-3),
    }
}

/// Numbers of an attribute of all elements of a kind.
fn numbers(svg: &str, element: &str, name: &str) -> Vec<f64> {
    let lead = format!("<{element} ");
    let attribute = format!(" {name}=\"");
    svg.split(&lead)
        .skip(1)
        .filter_map(|rest| rest.split('>').next()?.split(&attribute).nth(1))
        .filter_map(|rest| rest.split('"').next()?.parse().ok())
        .collect()
}

#[test]
fn a_unit_of_the_drawing_is_a_millimetre_and_the_bar_is_a_hundred_of_them() {
    for paper in [Paper::A4, Paper::Letter] {
        let svg = sheet(&ring(0.09), &words(), paper).expect("fits");
        well_formed(&svg).unwrap_or_else(|e| panic!("{e}: {svg}"));
        assert!(svg.starts_with("<svg "));
        let (w, h) = paper.size_mm();
        let sized = |w, h| {
            svg.contains(&format!(
                "width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\""
            ))
        };
        assert!(sized(w, h) || sized(h, w), "{svg}");
        let (x1, x2) = (numbers(&svg, "line", "x1"), numbers(&svg, "line", "x2"));
        assert!(
            (x2[0] - x1[0] - 100.0).abs() < 1e-9,
            "the first line is the bar"
        );
    }
}

#[test]
fn strips_are_as_wide_as_the_tube_is_round_and_as_long_as_the_ring() {
    let svg = sheet(&ring(0.09), &words(), Paper::A4).expect("fits");
    let (wide, tall) = (
        numbers(&svg, "rect", "width"),
        numbers(&svg, "rect", "height"),
    );
    // π 8 mm round; π 90 mm long
    let strips: f64 = wide
        .iter()
        .zip(&tall)
        .filter(|(w, h)| (**h - 25.1327).abs() < 1e-3 && (**w - TAB_M * 1e3).abs() > 1e-6)
        .map(|(w, _)| w)
        .sum();
    assert!((strips - 282.743).abs() < 2e-3, "{strips}: {svg}");
    let radii = numbers(&svg, "circle", "r");
    let holes = radii.iter().filter(|r| (**r - 0.24).abs() < 1e-9).count();
    assert_eq!(
        holes, 32,
        "each hole once on the strips and once on the ring"
    );
}

#[test]
fn everything_stands_on_the_sheet() {
    for diameter in [0.03, 0.09, 0.15] {
        let svg = sheet(&ring(diameter), &words(), Paper::A4).expect("fits");
        let standing = svg.contains("width=\"210mm\"");
        let (width, height) = if standing {
            (210.0, 297.0)
        } else {
            (297.0, 210.0)
        };
        for x in ["x1", "x2"].iter().flat_map(|n| numbers(&svg, "line", n)) {
            assert!((5.0..=width - 5.0).contains(&x), "{x}");
        }
        for y in ["y1", "y2"].iter().flat_map(|n| numbers(&svg, "line", n)) {
            assert!((5.0..=height - 5.0).contains(&y), "{y}");
        }
    }
}

#[test]
fn a_ring_that_no_sheet_holds_is_refused() {
    let refused = sheet(&ring(0.9), &words(), Paper::A4).expect_err("too long");
    assert!(matches!(refused, TemplateError::SheetTooSmall { .. }));
    assert!(sheet(&ring(0.4), &words(), Paper::A3).is_ok());
}
