//! Every figure is well formed, within its frame, and has its words.

use super::*;
use crate::report::html::tests::well_formed;

fn figures() -> Vec<Plot> {
    let lines = Lines {
        x: Axis::of("time", Kind::Time).with_zero(),
        y: Axis::of("pressure", Kind::AbsolutePressure),
        series: vec![
            Series {
                name: "tank <1>".to_owned(),
                points: vec![(0.0, 7e5), (600.0, 5e5), (3600.0, 2e5)],
            },
            Series {
                name: "tank & 2".to_owned(),
                points: vec![(0.0, 6e5), (3600.0, 1e5)],
            },
        ],
        points: vec![Point {
            at: (3500.0, 2.1e5),
            label: "regulator starves".to_owned(),
        }],
        limits: vec![Limit {
            at: 3e5,
            label: "least inlet".to_owned(),
        }],
    };
    let walk = Walk {
        places: [
            "tank",
            "a part with a name that is far too long for its room",
            "holes",
        ]
        .map(str::to_owned)
        .to_vec(),
        x: Axis::of("temperature", Kind::Temperature),
        walks: vec![("full".to_owned(), vec![Some(288.0), None, Some(270.0)])],
        limits: vec![Limit {
            at: 273.15,
            label: "water freezes".to_owned(),
        }],
    };
    let bar = |name: &str, value, group: &str| Bar {
        name: name.to_owned(),
        value,
        band: Some((value * 0.9, value * 1.1)),
        group: Some(group.to_owned()),
    };
    let bars = |axis: Axis| Bars {
        x: axis,
        bars: vec![bar("tank", 37.0, "supply"), bar("hose", 0.3, "train")],
        limits: Vec::new(),
    };
    let holes = |ring, n: usize| Holes {
        holes: (0..n)
            .map(|i| (i as f64 / n as f64, 1.0 + 0.01 * (i as f64 - 4.0)))
            .collect(),
        feeds: vec![0.0],
        ring,
    };
    let ruler = Ruler {
        from: vec![
            (
                "From a line whose name is so long that it needs more than one line of words: hose <1>".to_owned(),
                vec![Reach::to("gas that can burn", "gas", 1.4, 1.9)],
            ),
            (
                "From the fire".to_owned(),
                vec![
                    Reach::between("shut-off", 2.5, 5.5),
                    Reach::between("tank", 6.0, 6.0),
                ],
            ),
        ],
        people: vec![("operator".to_owned(), 4.0), ("others".to_owned(), 4.5)],
    };
    let mass = Axis::of("mass", Kind::Mass);
    [
        Figure::Lines(lines),
        Figure::Walk(walk),
        Figure::Bars(bars(mass.clone().with_zero())),
        Figure::Bars(bars(mass)),
        Figure::Holes(holes(true, 16)),
        Figure::Holes(holes(true, 120)),
        Figure::Holes(holes(false, 9)),
        Figure::Ruler(ruler),
    ]
    .into_iter()
    .map(|f| Plot::new("A title & more", "What it shows", f))
    .collect()
}

#[test]
fn figures_are_well_formed_and_have_their_words() {
    for units in [Units::Si, Units::Us] {
        for plot in figures() {
            for svg in [plot.svg(units, "p1"), plot.svg_file(units)] {
                well_formed(&svg).unwrap_or_else(|e| panic!("{e}: {svg}"));
                assert!(svg.contains("<title id=") && svg.contains("A title &amp; more"));
                assert!(svg.contains("<desc id=") && svg.contains(">What it shows"));
                assert!(!svg.contains("NaN") && !svg.contains("inf"), "{svg}");
            }
        }
    }
}

#[test]
fn a_figure_on_its_own_takes_its_caution_along_and_keeps_its_frame() {
    for plot in figures() {
        let svg = plot.svg_file(Units::Si);
        let shown = svg.split("</desc>").nth(1).expect("behind the description");
        for line in CLOSING_IN_FIGURE {
            assert!(shown.contains(line), "{svg}");
        }
        assert!(
            svg.contains(".plot{width:100%;height:100%}"),
            "fits its window whole"
        );
        let described = svg.split("</desc>").next().expect("a description");
        assert!(described.ends_with(CLOSING), "{described}");
        let frame = svg.split("viewBox=\"").nth(1).expect("a frame");
        let frame = frame.split('"').next().expect("closed");
        let frame: Vec<f64> = frame.split(' ').filter_map(|x| x.parse().ok()).collect();
        let [_, top, _, height] = frame[..] else {
            panic!("{frame:?}");
        };
        for y in attribute(&svg, "y") {
            assert!((top..=top + height).contains(&y), "{y}: {svg}");
        }
    }
}

/// Numbers of an attribute.
fn attribute(svg: &str, name: &str) -> Vec<f64> {
    let lead = format!(" {name}=\"");
    svg.split(&lead)
        .skip(1)
        .filter_map(|rest| rest.split('"').next()?.parse().ok())
        .collect()
}

#[test]
fn nothing_is_drawn_outside_the_frame() {
    for plot in figures() {
        let svg = plot.svg(Units::Si, "p");
        let frame = svg.split("viewBox=\"").nth(1).expect("a frame");
        let frame = frame.split('"').next().expect("closed");
        let height: f64 = frame
            .rsplit(' ')
            .next()
            .expect("four")
            .parse()
            .expect("number");
        for x in ["x", "x1", "x2", "cx"]
            .iter()
            .flat_map(|n| attribute(&svg, n))
        {
            assert!((0.0..=WIDTH).contains(&x), "{x}: {svg}");
        }
        for y in ["y", "y1", "y2", "cy"]
            .iter()
            .flat_map(|n| attribute(&svg, n))
        {
            assert!((0.0..=height).contains(&y), "{y} of {height}: {svg}");
        }
    }
}

#[test]
fn axes_carry_their_units() {
    let [lines, walk, mass, ..] = &figures()[..] else {
        panic!("figures");
    };
    for (plot, titles) in [
        (lines, vec!["pressure, bar(a)", "time, min"]),
        (walk, vec!["temperature, degC"]),
        (mass, vec!["mass, kg"]),
    ] {
        let svg = plot.svg(Units::Si, "p");
        for title in titles {
            assert!(svg.contains(title), "{title}: {svg}");
        }
    }
    assert!(walk.svg(Units::Us, "p").contains("temperature, degF"));
}

#[test]
fn nothing_to_draw_is_no_figure() {
    let empty = Figure::Bars(Bars {
        x: Axis::plain("x"),
        bars: Vec::new(),
        limits: Vec::new(),
    });
    assert!(Plot::new("t", "d", empty).is_empty());
}

#[test]
fn a_line_of_very_many_points_keeps_its_ends_and_extremes_and_no_more_than_can_be_seen() {
    let mut points: Vec<(f64, f64)> = (0..100_000).map(|i| (f64::from(i), 1.0)).collect();
    points[31_234].1 = 5.0;
    points[77_777].1 = -3.0;
    let drawn = |points: Vec<(f64, f64)>| {
        let figure = Figure::Lines(Lines {
            x: Axis::of("time", Kind::Time).with_zero(),
            y: Axis::plain("value"),
            series: vec![Series {
                name: "one".to_owned(),
                points,
            }],
            points: Vec::new(),
            limits: Vec::new(),
        });
        Plot::new("Many", "Many points.", figure).svg(Units::Si, "p")
    };
    let line = |svg: &str| -> Vec<(f64, f64)> {
        let line = svg.split("<polyline").nth(1).expect("a line");
        let line = line.split("points=\"").nth(1).expect("points");
        let line = line.split('"').next().expect("closed");
        let number = |text: &str| text.parse().expect("a number");
        let points = line.split(' ').map(|p| p.split_once(',').expect("x and y"));
        points.map(|(x, y)| (number(x), number(y))).collect()
    };
    let few = line(&drawn(vec![
        points[0],
        points[31_234],
        points[77_777],
        points[99_999],
    ]));
    let many = line(&drawn(points));
    assert!(many.len() < 1500, "{}", many.len());
    for point in few {
        assert!(many.contains(&point), "{point:?}");
    }
    assert!(many.is_sorted_by(|a, b| a.0 <= b.0));
}
