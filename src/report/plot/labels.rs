//! Where labels stand: beside their points, clear of one another, with a thin line back where they had to move.

use super::draw::{Anchor, Canvas, TEXT, width};

/// Above the base line of a text.
const ASCENT: f64 = 0.82 * TEXT;
/// Below it.
const DESCENT: f64 = 0.25 * TEXT;
/// Gap between two labels.
const GAP: f64 = 1.5;
/// Directions that are tried round a point.
const DIRECTIONS: usize = 24;
/// Distances that are tried: the first stands at the point, others need a line.
const DISTANCES: [f64; 16] = [
    7.0, 10.0, 14.0, 19.0, 25.0, 32.0, 40.0, 50.0, 62.0, 76.0, 92.0, 110.0, 130.0, 155.0, 185.0,
    220.0,
];
/// From this distance on a line leads back to the point.
const FAR: f64 = 18.0;
/// What crossing a line costs, in units of distance.
const CROSSES_LINE: f64 = 25.0;
/// What a leading line through something else costs.
const TANGLED: f64 = 200.0;
/// How often all labels are placed anew against one another.
const PASSES: usize = 4;

/// A place on the drawing.
pub(super) type Spot = (f64, f64);

/// An upright rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Area {
    pub(super) from: Spot,
    pub(super) to: Spot,
}

impl Area {
    /// Round a spot.
    pub(super) fn round(at: Spot, half: f64) -> Self {
        Self {
            from: (at.0 - half, at.1 - half),
            to: (at.0 + half, at.1 + half),
        }
    }

    /// That of a text with its left end on a base line.
    pub(super) fn of_text(left: f64, base: f64, text: &str) -> Self {
        Self {
            from: (left, base - ASCENT),
            to: (left + width(text), base + DESCENT),
        }
    }

    /// Whether two have more than an edge in common.
    pub(super) fn meets(&self, other: &Self) -> bool {
        self.from.0 < other.to.0
            && other.from.0 < self.to.0
            && self.from.1 < other.to.1
            && other.from.1 < self.to.1
    }

    fn inside(&self, other: &Self) -> bool {
        self.from.0 >= other.from.0
            && self.from.1 >= other.from.1
            && self.to.0 <= other.to.0
            && self.to.1 <= other.to.1
    }

    fn grown(&self, by: f64) -> Self {
        Self {
            from: (self.from.0 - by, self.from.1 - by),
            to: (self.to.0 + by, self.to.1 + by),
        }
    }

    fn nearest(&self, to: Spot) -> Spot {
        (
            to.0.clamp(self.from.0, self.to.0),
            to.1.clamp(self.from.1, self.to.1),
        )
    }

    /// Area that both cover.
    fn shared(&self, other: &Self) -> f64 {
        let along = |a: (f64, f64), b: (f64, f64)| (a.1.min(b.1) - a.0.max(b.0)).max(0.0);
        along((self.from.0, self.to.0), (other.from.0, other.to.0))
            * along((self.from.1, self.to.1), (other.from.1, other.to.1))
    }

    /// Whether a straight line runs through it (the part of the line inside is not empty).
    fn on_line(&self, a: Spot, b: Spot) -> bool {
        let (mut first, mut last) = (0.0_f64, 1.0_f64);
        let slabs = [
            (a.0, b.0 - a.0, self.from.0, self.to.0),
            (a.1, b.1 - a.1, self.from.1, self.to.1),
        ];
        for (start, run, low, high) in slabs {
            if run.abs() < 1e-9 {
                if start <= low || start >= high {
                    return false;
                }
                continue;
            }
            let (one, two) = ((low - start) / run, (high - start) / run);
            first = first.max(one.min(two));
            last = last.min(one.max(two));
        }
        first < last
    }
}

fn distance(a: Spot, b: Spot) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// Whether two straight lines cross.
fn cross(a: (Spot, Spot), b: (Spot, Spot)) -> bool {
    let side = |p: Spot, q: Spot, r: Spot| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    side(a.0, a.1, b.0) * side(a.0, a.1, b.1) < 0.0
        && side(b.0, b.1, a.0) * side(b.0, b.1, a.1) < 0.0
}

/// A text and the spot it belongs to.
#[derive(Debug, Clone)]
pub(super) struct Label {
    pub(super) at: Spot,
    pub(super) text: String,
}

/// A label where it stands.
#[derive(Debug, Clone, Copy)]
struct Stand {
    area: Area,
    /// Line back to the spot.
    lead: Option<(Spot, Spot)>,
}

/// What labels have to keep to and keep off.
#[derive(Debug, Default)]
pub(super) struct Ground {
    taken: Vec<Area>,
    lines: Vec<(Spot, Spot)>,
}

impl Ground {
    /// Nothing is written here.
    pub(super) fn keep_clear(&mut self, area: Area) {
        self.taken.push(area);
    }

    /// Better not across this line.
    pub(super) fn line(&mut self, a: Spot, b: Spot) {
        self.lines.push((a, b));
    }

    /// Draws labels inside a frame.
    pub(super) fn draw(&self, c: &mut Canvas, labels: &[Label], frame: Area) {
        let stands = self.stands(labels, frame);
        for (a, b) in stands.iter().filter_map(|s| s.lead) {
            c.line("lead", a, b);
        }
        for (label, stand) in labels.iter().zip(stands) {
            let at = (stand.area.from.0, stand.area.to.1 - DESCENT);
            c.text("t halo", at, Anchor::Start, &label.text);
        }
    }

    /// Each label at its cheapest stand against the ground and those before it, then all anew against all
    /// others until none moves.
    fn stands(&self, labels: &[Label], frame: Area) -> Vec<Stand> {
        let mut stands: Vec<Stand> = Vec::with_capacity(labels.len());
        for label in labels {
            let stand = self.cheapest(label, frame, &stands.iter().collect::<Vec<_>>());
            stands.push(stand);
        }
        for _ in 0..PASSES {
            let mut moved = false;
            for (i, label) in labels.iter().enumerate() {
                let others: Vec<&Stand> = stands
                    .iter()
                    .enumerate()
                    .filter(|(k, _)| *k != i)
                    .map(|(_, s)| s)
                    .collect();
                let new = self.cheapest(label, frame, &others);
                if new.area != stands[i].area
                    && self.cost(label, &new, &others) + 1e-9
                        < self.cost(label, &stands[i], &others)
                {
                    stands[i] = new;
                    moved = true;
                }
            }
            if !moved {
                break;
            }
        }
        stands
    }

    fn cheapest(&self, label: &Label, frame: Area, others: &[&Stand]) -> Stand {
        let found = candidates(label)
            .filter(|s| s.area.inside(&frame))
            .map(|s| (self.cost(label, &s, others), s))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        found.map_or_else(|| held_inside(label, frame), |(_, stand)| stand)
    }

    fn cost(&self, label: &Label, stand: &Stand, others: &[&Stand]) -> f64 {
        let area = stand.area.grown(GAP);
        let mut cost = distance(area.nearest(label.at), label.at);
        // on top of something else: as good as refused, the less the better
        for taken in self.taken.iter().chain(others.iter().map(|o| &o.area)) {
            if area.meets(taken) {
                cost += 1e4 + area.shared(taken);
            }
        }
        let lines = self.lines.iter().filter(|(a, b)| area.on_line(*a, *b));
        cost += CROSSES_LINE * lines.count() as f64;
        let through = |lead: (Spot, Spot), area: &Area| area.on_line(lead.0, lead.1);
        for other in others {
            if other.lead.is_some_and(|lead| through(lead, &area)) {
                cost += TANGLED;
            }
            if let Some(lead) = stand.lead {
                let tangled = through(lead, &other.area)
                    || other.lead.is_some_and(|theirs| cross(lead, theirs));
                if tangled {
                    cost += TANGLED;
                }
            }
        }
        cost
    }
}

/// Stands round a spot, the near ones first: below to the right before others, since most curves rise.
fn candidates(label: &Label) -> impl Iterator<Item = Stand> + '_ {
    let (wide, tall) = (width(&label.text), ASCENT + DESCENT);
    let at = label.at;
    DISTANCES.into_iter().flat_map(move |r| {
        (0..DIRECTIONS).map(move |i| {
            let turn = (i as f64 / DIRECTIONS as f64 + 0.125) * std::f64::consts::TAU;
            let (x, y) = (turn.cos(), turn.sin());
            // the edge that looks at the spot lies on the circle
            let middle = (
                at.0 + r * x + (x * 2.0).clamp(-1.0, 1.0) * wide / 2.0,
                at.1 + r * y + (y * 2.0).clamp(-1.0, 1.0) * tall / 2.0,
            );
            let area = Area {
                from: (middle.0 - wide / 2.0, middle.1 - tall / 2.0),
                to: (middle.0 + wide / 2.0, middle.1 + tall / 2.0),
            };
            let near = area.nearest(at);
            Stand {
                area,
                lead: (distance(near, at) > FAR).then_some((at, near)),
            }
        })
    })
}

/// For a text that is too wide for every stand: at its spot, as far as the frame lets it.
fn held_inside(label: &Label, frame: Area) -> Stand {
    let area = Area::of_text(label.at.0 + 7.0, label.at.1 + 12.0, &label.text);
    let by = (
        (frame.to.0 - area.to.0)
            .min(0.0)
            .max(frame.from.0 - area.from.0),
        (frame.to.1 - area.to.1)
            .min(0.0)
            .max(frame.from.1 - area.from.1),
    );
    Stand {
        area: Area {
            from: (area.from.0 + by.0, area.from.1 + by.1),
            to: (area.to.0 + by.0, area.to.1 + by.1),
        },
        lead: None,
    }
}

/// Storeys of texts that stand side by side above an axis, each `(middle, width)`: the lowest in which a text
/// meets no other.
pub(super) fn storeys(texts: &[(f64, f64)]) -> Vec<usize> {
    let mut found: Vec<usize> = Vec::with_capacity(texts.len());
    for (i, &(middle, wide)) in texts.iter().enumerate() {
        let free = |storey: &usize| {
            let mut same = (0..i).filter(|&k| found[k] == *storey);
            same.all(|k| (texts[k].0 - middle).abs() >= texts[k].1.midpoint(wide) + 4.0)
        };
        let lowest = (0..=i).find(free).unwrap_or(i);
        found.push(lowest);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn label(x: f64, y: f64, text: &str) -> Label {
        Label {
            at: (x, y),
            text: text.to_owned(),
        }
    }

    const FRAME: Area = Area {
        from: (0.0, 0.0),
        to: (360.0, 300.0),
    };

    #[test]
    fn labels_of_points_that_lie_together_are_pushed_apart() {
        let labels: Vec<Label> = (0..8)
            .map(|i| {
                label(
                    180.0 + f64::from(i),
                    150.0,
                    "operator, from the fire, 700 mm",
                )
            })
            .collect();
        let mut ground = Ground::default();
        ground.keep_clear(Area::round((180.0, 150.0), 4.0));
        let stands = ground.stands(&labels, FRAME);
        for (i, a) in stands.iter().enumerate() {
            assert!(a.area.inside(&FRAME), "{a:?}");
            assert!(!a.area.meets(&ground.taken[0]), "{a:?}");
            for b in &stands[..i] {
                assert!(!a.area.meets(&b.area), "{a:?} {b:?}");
            }
        }
        assert!(stands.iter().any(|s| s.lead.is_some()));
    }

    #[test]
    fn a_label_alone_stands_at_its_point() {
        let alone = [label(100.0, 100.0, "starves")];
        assert!(Ground::default().stands(&alone, FRAME)[0].lead.is_none());
    }

    #[test]
    fn lines_are_met_where_they_run_through() {
        let area = Area::round((10.0, 10.0), 5.0);
        assert!(area.on_line((0.0, 0.0), (20.0, 20.0)));
        assert!(area.on_line((10.0, 0.0), (10.0, 30.0)));
        assert!(!area.on_line((0.0, 0.0), (20.0, 0.0)));
        assert!(!area.on_line((0.0, 0.0), (4.0, 4.0)));
        assert!(!area.on_line((0.0, 12.0), (12.0, 24.0)));
    }

    #[test]
    fn texts_that_do_not_fit_side_by_side_get_storeys() {
        assert_eq!(
            storeys(&[(10.0, 20.0), (15.0, 20.0), (60.0, 20.0)]),
            [0, 1, 0]
        );
    }
}
