//! Symbols of parts after the basic shapes of ISO 14617 and ISO 10628, from memory: no figure was copied.
//!
//! Fuel runs down through the middle; what drives a part, and what stands on a tee, is on the right.

use super::scheme::Glyph;
use crate::report::plot::{Anchor, Canvas, number};
use crate::train::rig::{TankPosition, TankSpec};
use crate::train::{Actuation, Arrow, Draw, Fitting, FittingLoss, OnLoss, Part, PartKind, Tapping};

/// Half the height of a part.
pub(super) const HALF: f64 = 15.0;
/// From the line to the right end of what is drawn there.
pub(super) const RIGHT: f64 = 42.0;

/// Height of a symbol.
pub(super) fn height(glyph: Glyph<'_>) -> f64 {
    match glyph {
        Glyph::Part(_) => 2.0 * HALF,
        Glyph::Tank(_) => 64.0,
        Glyph::Main => 30.0,
        Glyph::Burner => 46.0,
        Glyph::Words => 0.0,
        Glyph::On | Glyph::From => 20.0,
    }
}

/// Draws a symbol round a place of the line, with the line through it from `top` to `bottom`.
pub(super) fn draw(c: &mut Canvas, glyph: Glyph<'_>, (x, y): (f64, f64), top: f64, bottom: f64) {
    let mut pen = Pen { c, x, y };
    let (up, down) = (top - y, bottom - y);
    match glyph {
        Glyph::Part(part) => {
            pen.pipe(up, down);
            pen.part(part);
        }
        Glyph::Tank(tank) => pen.tank(tank, down),
        Glyph::Main => {
            pen.line("pipe", (-13.0, -8.0), (13.0, -8.0));
            for side in [-13.0, 13.0] {
                pen.path("symline", &[(side - 2.0, -4.0), (side + 2.0, -12.0)]);
            }
            pen.pipe(-8.0, down);
            pen.arrow(12.0);
        }
        Glyph::Burner => {
            pen.pipe(up, -14.0);
            pen.burner();
        }
        Glyph::Words => pen.pipe(up, down),
        Glyph::On => {
            pen.pipe(up, 0.0);
            pen.arrow(6.0);
        }
        Glyph::From => {
            pen.pipe(-6.0, down);
            pen.line("pipe", (-6.0, -6.0), (6.0, -6.0));
        }
    }
}

/// Draws in places counted from the middle of a symbol.
struct Pen<'c> {
    c: &'c mut Canvas,
    x: f64,
    y: f64,
}

type Spot = (f64, f64);

impl Pen<'_> {
    fn at(&self, p: Spot) -> Spot {
        (self.x + p.0, self.y + p.1)
    }
    fn line(&mut self, class: &str, a: Spot, b: Spot) {
        self.c.line(class, self.at(a), self.at(b));
    }
    fn path(&mut self, class: &str, points: &[Spot]) {
        let points: Vec<Spot> = points.iter().map(|p| self.at(*p)).collect();
        self.c.polyline(class, &points);
    }
    fn shape(&mut self, class: &str, points: &[Spot]) {
        let points: Vec<Spot> = points.iter().map(|p| self.at(*p)).collect();
        self.c.polygon(class, &points);
    }
    fn circle(&mut self, class: &str, at: Spot, r: f64) {
        self.c.circle(class, self.at(at), r);
    }
    fn rect(&mut self, class: &str, at: Spot, size: Spot) {
        self.c.rect(class, self.at(at), size);
    }
    fn letter(&mut self, at: Spot, letter: &str) {
        let (x, y) = self.at(at);
        self.c
            .text("t digits", (x, y + 3.4), Anchor::Middle, letter);
    }
    fn pipe(&mut self, from: f64, to: f64) {
        if to > from {
            self.line("pipe", (0.0, from), (0.0, to));
        }
    }
    /// An arrow down with its tip at a height.
    fn arrow(&mut self, tip: f64) {
        self.shape("solid", &[(-4.0, tip - 8.0), (4.0, tip - 8.0), (0.0, tip)]);
    }

    fn part(&mut self, part: &Part) {
        match &part.kind {
            PartKind::CylinderValve(_) | PartKind::SolenoidValve(_) => self.valve(part),
            PartKind::BallValve(_) => {
                self.valve(part);
                self.circle("sym", (0.0, 0.0), 4.0);
            }
            PartKind::NeedleValve(_) => {
                self.valve(part);
                self.shape("solid", &[(13.0, -3.0), (13.0, 3.0), (0.0, 0.0)]);
            }
            PartKind::MeteringValve(_) => {
                self.valve(part);
                self.line("symline", (-12.0, 10.0), (11.0, -9.0));
                self.shape("solid", &[(13.0, -11.0), (10.5, -5.0), (6.5, -9.5)]);
            }
            PartKind::Regulator(_) => self.regulator(),
            PartKind::CheckValve(_) => {
                let way = match part.protection.arrow {
                    Some(Arrow::ToSupply) => -1.0,
                    Some(Arrow::ToBurner) | None => 1.0,
                };
                let seat = 8.0 * way;
                self.shape("sym", &[(-9.0, -seat), (9.0, -seat), (0.0, seat)]);
                self.line("thick", (-9.0, seat), (9.0, seat));
            }
            PartKind::ExcessFlowValve(_) => {
                self.rect("sym", (-10.0, -11.0), (20.0, 22.0));
                self.circle("solid", (0.0, -3.5), 3.5);
                self.path("symline", &[(-8.0, -1.0), (-2.2, 9.0), (-2.2, 11.0)]);
                self.path("symline", &[(8.0, -1.0), (2.2, 9.0), (2.2, 11.0)]);
            }
            PartKind::Filter(_) => {
                self.rect("sym", (-9.0, -11.0), (18.0, 22.0));
                self.line("sense", (-9.0, 0.0), (9.0, 0.0));
            }
            PartKind::FlameArrestor(_) => {
                self.rect("sym", (-9.0, -11.0), (18.0, 22.0));
                for x in [-4.5, 0.0, 4.5] {
                    self.line("symline", (x, -11.0), (x, 11.0));
                }
            }
            PartKind::Hose(_) => {
                self.line("blank", (0.0, -12.0), (0.0, 12.0));
                let wave = |i: i32| {
                    let y = f64::from(i);
                    (5.0 * (y * std::f64::consts::PI / 6.0).sin(), y)
                };
                let points: Vec<Spot> = (-12..=12).map(wave).collect();
                self.path("pipe", &points);
            }
            PartKind::Tube(_) => {
                for y in [-10.0, 10.0] {
                    self.line("symline", (-5.0, y), (5.0, y));
                }
            }
            PartKind::DipTube(_) => {
                self.line("blank", (0.0, -12.0), (0.0, 12.0));
                self.line("sense", (0.0, -12.0), (0.0, 12.0));
                self.shape("sym", &[(-5.0, -9.0), (5.0, -9.0), (0.0, -3.0)]);
                self.line("symline", (-9.0, -2.0), (9.0, -2.0));
                self.line("symline", (-5.0, 2.0), (5.0, 2.0));
                self.line("symline", (-2.0, 6.0), (2.0, 6.0));
            }
            PartKind::Fitting(fitting) => self.fitting(fitting),
            PartKind::OrificePlate(_) => {
                self.line("thick", (-10.0, 0.0), (-2.5, 0.0));
                self.line("thick", (2.5, 0.0), (10.0, 0.0));
            }
            PartKind::Pump(_) => {
                self.circle("sym", (0.0, 0.0), 11.0);
                self.shape("sym", &[(-9.5, -5.5), (9.5, -5.5), (0.0, 11.0)]);
            }
            PartKind::Vaporiser(_) => {
                self.rect("sym", (-11.0, -12.0), (22.0, 24.0));
                let zigzag = [0.0, 0.0, 7.0, -7.0, 7.0, 0.0, 0.0];
                let points = zigzag.iter().zip([-12.0, -8.0, -5.0, 0.0, 5.0, 8.0, 12.0]);
                let points: Vec<Spot> = points.map(|(x, y)| (*x, y)).collect();
                self.path("symline", &points);
                self.line("symline", (28.0, 0.0), (18.0, 0.0));
                self.shape("solid", &[(12.0, 0.0), (19.0, -3.5), (19.0, 3.5)]);
            }
            PartKind::ReliefValve(_) => self.relief(),
            PartKind::Tapping(tapping) => self.tapping(*tapping),
        }
    }

    /// Two triangles apex to apex, with what moves the stem.
    fn valve(&mut self, part: &Part) {
        let (actuation, loss) = match &part.closure {
            Some(c) => (Some(c.actuation), Some(c.on_power_loss)),
            None => (None, None),
        };
        let manual = actuation == Some(Actuation::Manual);
        if actuation.is_some_and(|a| a != Actuation::SelfActing) {
            self.line("symline", (0.0, 0.0), (17.0, 0.0));
        }
        self.body();
        match actuation {
            Some(Actuation::Manual) => self.line("thick", (17.0, -7.0), (17.0, 7.0)),
            Some(Actuation::SolenoidSpringClosed | Actuation::SolenoidSpringOpen) => {
                self.rect("sym", (17.0, -7.0), (14.0, 14.0));
                self.line("symline", (17.0, 7.0), (31.0, -7.0));
            }
            Some(a @ (Actuation::Motor | Actuation::MotorSpringReturn)) => {
                self.circle("sym", (24.5, 0.0), 7.5);
                self.letter((24.5, 0.0), "M");
                if a == Actuation::MotorSpringReturn {
                    self.spring((32.0, 0.0), (1.0, 0.0));
                }
            }
            Some(Actuation::SelfActing) | None => {}
        }
        match loss.filter(|_| !manual) {
            Some(OnLoss::Closes) => self.shape("solid", &[(6.0, 0.0), (12.0, -4.0), (12.0, 4.0)]),
            Some(OnLoss::Opens) => self.shape("solid", &[(14.0, 0.0), (8.0, -4.0), (8.0, 4.0)]),
            Some(OnLoss::Stays) => {
                self.line("symline", (9.0, -4.0), (9.0, 4.0));
                self.line("symline", (12.0, -4.0), (12.0, 4.0));
            }
            Some(OnLoss::NotAffected) | None => {}
        }
    }

    fn body(&mut self) {
        for way in [-1.0, 1.0] {
            self.shape("sym", &[(-9.0, 11.0 * way), (9.0, 11.0 * way), (0.0, 0.0)]);
        }
    }

    /// A zigzag of a few units from a place in a direction.
    fn spring(&mut self, from: Spot, way: Spot) {
        let turn = |i: usize| {
            let (along, across) = (2.0 * i as f64, [0.0, 3.0, -3.0, 3.0, 0.0][i]);
            (
                from.0 + along * way.0 + across * way.1,
                from.1 + along * way.1 + across * way.0,
            )
        };
        let points: Vec<Spot> = (0..5).map(turn).collect();
        self.path("symline", &points);
    }

    /// A valve under a dome that feels the pressure behind it.
    fn regulator(&mut self) {
        self.line("symline", (0.0, 0.0), (14.0, 0.0));
        self.body();
        let [x, from, to] = [self.x + 14.0, self.y - 9.0, self.y + 9.0].map(number);
        self.c
            .path("sym", &format!("M{x} {from}A9 9 0 0 1 {x} {to}Z"));
        self.path("sense", &[(18.0, 8.5), (18.0, 14.0), (0.0, 14.0)]);
    }

    /// Angle valve on a tee, its spring above, its outlet below.
    fn relief(&mut self) {
        self.line("pipe", (0.0, 0.0), (12.0, 0.0));
        self.shape("sym", &[(10.0, -6.5), (10.0, 6.5), (20.0, 0.0)]);
        self.shape("sym", &[(13.5, 10.0), (26.5, 10.0), (20.0, 0.0)]);
        self.spring((20.0, 0.0), (0.0, -1.0));
        self.line("symline", (15.0, -9.0), (25.0, -9.0));
        self.line("symline", (20.0, 10.0), (20.0, 14.0));
    }

    fn tapping(&mut self, tapping: Tapping) {
        let (gauge, bleed) = (tapping.gauge_range.is_some(), tapping.bleed);
        let (at_gauge, at_bleed) = match (gauge, bleed) {
            (true, true) => (-7.0, 8.5),
            _ => (0.0, 0.0),
        };
        self.line("symline", (0.0, 0.0), (10.0, 0.0));
        if gauge && bleed {
            self.line("symline", (10.0, at_gauge), (10.0, at_bleed));
        }
        if gauge {
            self.line("symline", (10.0, at_gauge), (13.0, at_gauge));
            self.circle("sym", (20.5, at_gauge), 7.5);
            self.letter((20.5, at_gauge), "P");
        }
        if bleed {
            self.line("symline", (10.0, at_bleed), (14.0, at_bleed));
            for (from, to) in [(13.0, 19.0), (25.0, 19.0)] {
                let ends = [
                    (from, at_bleed - 4.0),
                    (from, at_bleed + 4.0),
                    (to, at_bleed),
                ];
                self.shape("sym", &ends);
            }
            self.line("symline", (25.0, at_bleed), (29.0, at_bleed));
        }
        if !gauge && !bleed {
            self.line("thick", (10.0, -4.0), (10.0, 4.0));
        }
    }

    fn fitting(&mut self, fitting: &Fitting) {
        let trapezium = |up: f64, down: f64| [(-up, -8.0), (up, -8.0), (down, 8.0), (-down, 8.0)];
        match fitting.loss {
            FittingLoss::Contraction { .. } => self.shape("sym", &trapezium(8.0, 3.5)),
            FittingLoss::Expansion { .. } => self.shape("sym", &trapezium(3.5, 8.0)),
            FittingLoss::Entrance => {
                self.path("symline", &[(-9.0, -9.0), (-2.5, -5.0), (-2.5, 9.0)]);
                self.path("symline", &[(9.0, -9.0), (2.5, -5.0), (2.5, 9.0)]);
            }
            FittingLoss::Bend { .. } | FittingLoss::Mitre { .. } => {
                self.line("blank", (0.0, -7.0), (0.0, 7.0));
                self.path("pipe", &[(0.0, -8.0), (0.0, -6.0), (8.0, -6.0)]);
                self.path("pipe", &[(8.0, -6.0), (8.0, 6.0), (0.0, 6.0), (0.0, 8.0)]);
            }
            FittingLoss::Coefficient(_) | FittingLoss::TwoK { .. } => {
                self.circle("sym", (0.0, 0.0), 5.0);
            }
        }
    }

    /// A vessel beside the line: vapour leaves at its top, liquid through a tube that dips in or at its foot.
    fn tank(&mut self, tank: &TankSpec, down: f64) {
        let (left, right) = (14.0, 34.0);
        let (top, foot) = match tank.position {
            TankPosition::Lying => (-4.0, 14.0),
            TankPosition::Upright | TankPosition::Inverted => (-18.0, 28.0),
        };
        if tank.number > 1 {
            self.vessel((left + 5.0, right + 5.0), (top - 5.0, foot - 5.0));
        }
        self.vessel((left, right), (top, foot));
        let middle = f64::midpoint(left, right);
        let level = f64::midpoint(top, foot);
        self.line("symline", (left, level), (right, level));
        self.line(
            "symline",
            (middle - 4.0, level + 3.0),
            (middle + 4.0, level + 3.0),
        );
        if tank.position == TankPosition::Inverted {
            let out = foot + 2.0;
            self.path("pipe", &[(middle, foot), (middle, out), (0.0, out)]);
            self.pipe(out - 1.0, down);
            return;
        }
        if tank.draw == Draw::Liquid {
            self.line("sense", (middle, top), (middle, foot - 3.0));
        }
        let out = top - 8.0;
        self.path("pipe", &[(middle, top), (middle, out), (0.0, out)]);
        self.pipe(out - 1.0, down);
        self.arrow(12.0);
    }

    fn vessel(&mut self, (left, right): Spot, (top, foot): Spot) {
        let r = number((right - left) / 2.0);
        let [l, g] = [self.x + left, self.x + right].map(number);
        let [t, f] = [self.y + top + 5.0, self.y + foot - 5.0].map(number);
        let d = format!("M{l} {f}V{t}A{r} 5 0 0 1 {g} {t}V{f}A{r} 5 0 0 1 {l} {f}Z");
        self.c.path("sym", &d);
    }

    /// A mouth and three flames.
    fn burner(&mut self) {
        let mouth = [(-4.0, -14.0), (4.0, -14.0), (12.0, -5.0), (-12.0, -5.0)];
        self.shape("sym", &mouth);
        for (x, tall) in [(-8.0, 13.0), (0.0, 20.0), (8.0, 13.0)] {
            let x = self.x + x;
            let [l, x, r] = [x - 5.0, x, x + 5.0].map(number);
            let [from, mid, tip] = [-2.0, tall / 2.0, tall].map(|y| number(self.y + y));
            let d = format!("M{x} {from}Q{l} {mid} {x} {tip}Q{r} {mid} {x} {from}Z");
            self.c.path("symline", &d);
        }
    }
}
