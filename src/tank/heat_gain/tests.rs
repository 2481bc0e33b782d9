//! Heat gain against an independent solution and against limits.
use super::*;
use crate::quantity::range::OutOfRange;
use crate::quantity::{
    AbsolutePressure, metres, metres_per_second, watts_per_kelvin, watts_per_metre_kelvin,
};
use crate::tank::shell::PAINTED_EMISSIVITY;

fn shell(attitude: Attitude) -> Shell {
    let (d, l) = (metres(0.3), metres(1.2));
    Shell::new(d, l, attitude, ratio(PAINTED_EMISSIVITY)).expect("a usual cylinder")
}

fn in_air(attitude: Attitude, wind_m_s: f64, frost: Option<FrostLayer>) -> HeatGain {
    HeatGain::Air {
        shell: shell(attitude),
        air: Air {
            temperature: kelvin(288.15),
            pressure: AbsolutePressure::STANDARD_ATMOSPHERE,
            wind: metres_per_second(wind_m_s),
            relative_humidity: Some(ratio(0.6)),
        },
        frost,
    }
}

fn flow(gain: &HeatGain, t_k: f64, share: f64) -> HeatFlow {
    gain.heat(kelvin(t_k), ratio(share))
        .expect("inside the correlations")
}

// Code to code: the same balance solved in Python with the Nusselt functions of ht 1.2.0 and
// scipy 1.17.1 (contents 263.15 K, air 288.15 K, 0.3 m by 1.2 m, emissivity 0.9): flux in W/m², wall in K.
#[test]
fn wall_balance_agrees_with_an_independent_solution() {
    let frost = FrostLayer {
        thickness: metres(0.005),
        conductivity: watts_per_metre_kelvin(0.2),
    };
    let rows = [
        (
            Attitude::Lying,
            0.0,
            None,
            206.509_704_556,
            264.526_731_4,
            4.426_298_111,
        ),
        (
            Attitude::Lying,
            3.0,
            None,
            397.454_971_032,
            265.799_699_8,
            13.438_462_79,
        ),
        (
            Attitude::Upright,
            0.0,
            None,
            205.968_163_152,
            264.523_121_1,
            4.402_123_829,
        ),
        (
            Attitude::Upright,
            0.0,
            Some(frost),
            168.216_575_923,
            268.476_858_24,
            4.144_423_939,
        ),
    ];
    for (attitude, wind, frost, flux, wall, h) in rows {
        let got = flow(&in_air(attitude, wind, frost), 263.15, 1.0);
        let area = shell(attitude).area().value;
        assert!(
            (got.wetted.value / area / flux - 1.0).abs() < 1e-7,
            "{got:?}"
        );
        assert!((got.wall.value - wall).abs() < 1e-6, "{got:?}");
        let coefficient = got.coefficient.expect("convection").value;
        assert!((coefficient / h - 1.0).abs() < 1e-7, "{got:?}");
        assert!(got.dry.value.abs() < 1e-9);
    }
    let dry = flow(&in_air(Attitude::Lying, 0.0, None), 263.15, 0.0);
    let area = shell(Attitude::Lying).area().value;
    assert!((dry.dry.value / area / 113.079_317_015 - 1.0).abs() < 1e-7);
    assert!(dry.wetted.value.abs() < 1e-9);
}

#[test]
fn water_bath_agrees_with_an_independent_solution() {
    let bath = HeatGain::WaterBath {
        shell: shell(Attitude::Lying),
        temperature: kelvin(298.15),
    };
    let area = shell(Attitude::Lying).area().value;
    let warm = flow(&bath, 283.15, 1.0);
    assert!(
        (warm.heat.value / area / 1_594.228_139_92 - 1.0).abs() < 1e-7,
        "{warm:?}"
    );
    assert_eq!(warm.surface, Surface::Dry);
    // a wall below the ice point meets the water as ice at 0 °C: flux 460.17 W/(m² K) times 25 K
    let iced = flow(&bath, 190.0, 1.0);
    assert!(
        (iced.heat.value / area / 11_504.270_080_785 - 1.0).abs() < 1e-7,
        "{iced:?}"
    );
    assert_eq!(iced.surface, Surface::Frost);
}

#[test]
fn no_difference_no_heat() {
    for gain in [
        in_air(Attitude::Lying, 2.0, None),
        in_air(Attitude::Upright, 0.0, None),
    ] {
        let at_rest = flow(&gain, 288.15, 0.5);
        assert!(at_rest.heat.value.abs() < 1e-9, "{at_rest:?}");
        assert!(
            flow(&gain, 298.15, 0.5).heat.value < 0.0,
            "warm contents lose heat"
        );
    }
}

#[test]
fn wetted_wall_and_wind_carry_more_heat() {
    let calm = in_air(Attitude::Lying, 0.0, None);
    let full = flow(&calm, 268.15, 0.8).heat.value;
    assert!(full > flow(&calm, 268.15, 0.2).heat.value);
    assert!(
        flow(&in_air(Attitude::Lying, 5.0, None), 268.15, 0.8)
            .heat
            .value
            > full
    );
}

#[test]
fn dew_and_frost_are_told() {
    // 15 °C at 60 % has its dew point at 7.3 °C
    let gain = in_air(Attitude::Lying, 0.0, None);
    assert_eq!(flow(&gain, 286.0, 0.8).surface, Surface::Dry);
    assert_eq!(flow(&gain, 276.0, 0.8).surface, Surface::Dew);
    assert_eq!(flow(&gain, 265.0, 0.8).surface, Surface::Frost);
}

#[test]
fn what_no_correlation_covers_is_refused() {
    let cold = in_air(Attitude::Lying, 0.0, None).with_ambient(kelvin(150.0));
    assert!(matches!(
        cold.heat(kelvin(140.0), ratio(0.5)),
        Err(TankError::OutOfRange(OutOfRange {
            name: "air temperature",
            ..
        }))
    ));
    let storm = in_air(Attitude::Lying, 100.0, None);
    assert!(storm.heat(kelvin(270.0), ratio(0.5)).is_err());
    let negative = HeatGain::Conductance {
        conductance: watts_per_kelvin(-1.0),
        ambient: kelvin(288.15),
    };
    assert!(negative.heat(kelvin(270.0), ratio(0.5)).is_err());
    let steam = HeatGain::WaterBath {
        shell: shell(Attitude::Lying),
        temperature: kelvin(380.0),
    };
    assert!(steam.heat(kelvin(270.0), ratio(0.5)).is_err());
}
