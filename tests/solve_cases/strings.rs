//! Problems shaped like the planner's, from numbers alone: strings of elements with falling curves.

use sungraft::solve::{Column, Gate, Problem, Rate, Row, Sense};

use super::random::Random;

/// A curve as `(level, rate)`, rising in level, falling in rate.
type Curve = Vec<(f64, f64)>;

/// One kind: how many, and the shape of its curve.
#[derive(Clone, Copy)]
pub struct Kind {
    pub count: usize,
    pub i_sc: f64,
    pub v_oc: f64,
    pub label: f64,
}

/// What else makes a problem.
#[derive(Clone, Copy)]
pub struct Shape {
    pub ports: usize,
    pub longest: usize,
    pub most_v_oc: f64,
    pub window: (f64, f64),
    /// Two members of a block differ by at most this share in open-circuit voltage; no blocks at 0.
    pub block_spread: f64,
    /// Ceiling on the sum of 1.25 × short-circuit currents.
    pub most_amps: Option<f64>,
    /// Gates on currents pushed backwards and on faults, with this fuse rating.
    pub fuse: Option<f64>,
}

pub const HOME: Shape = Shape {
    ports: 8,
    longest: 5,
    most_v_oc: 133.0,
    window: (32.0, 118.0),
    block_spread: 0.15,
    most_amps: None,
    fuse: None,
};

/// 28 of 6 kinds, two of them twice as long as the others.
pub fn six_kinds() -> Vec<Kind> {
    let kind = |count, i_sc, v_oc, label| Kind { count, i_sc, v_oc, label };
    vec![
        kind(6, 9.3, 22.4, 160.0),
        kind(6, 5.6, 21.6, 90.0),
        kind(4, 8.7, 37.8, 250.0),
        kind(4, 9.35, 46.2, 330.0),
        kind(4, 6.05, 22.3, 100.0),
        kind(4, 3.1, 21.8, 50.0),
    ]
}

/// Kinds with everything drawn.
pub fn drawn_kinds(seed: u64, n_kinds: usize, n_panels: usize) -> Vec<Kind> {
    let mut random = Random::seeded(seed);
    let mut counts = vec![1; n_kinds];
    for _ in n_kinds..n_panels {
        counts[random.below(n_kinds)] += 1;
    }
    counts
        .into_iter()
        .map(|count| {
            let i_sc = random.between(2.5, 11.0);
            let v_oc = [21.5, 22.5, 36.0, 38.0, 45.0][random.below(5)] * random.between(0.97, 1.03);
            Kind { count, i_sc, v_oc, label: 0.77 * i_sc * v_oc }
        })
        .collect()
}

/// The problem of these kinds; `next_limit` of the gates are left out without a fuse rating.
pub fn problem(kinds: &[Kind], shape: &Shape) -> Problem<'static> {
    let mut elements: Vec<(Vec<usize>, Curve)> =
        (0..kinds.len()).map(|k| (vec![k], single(&kinds[k]))).collect();
    for a in 0..kinds.len() {
        for b in a..kinds.len() {
            let (x, y) = (kinds[a].v_oc, kinds[b].v_oc);
            let enough = if a == b { kinds[a].count > 1 } else { true };
            if enough && shape.block_spread > 0.0 && (x - y).abs() <= shape.block_spread * x.max(y)
            {
                elements.push((vec![a, b], parallel(&elements[a].1, &elements[b].1)));
            }
        }
    }
    let mut left: Vec<usize> = kinds.iter().map(|k| k.count).collect();
    let mut strings = Vec::new();
    grow(&elements, kinds, shape, &mut left, &mut Vec::new(), 0, &mut strings);
    strings.sort_by_key(|s: &Vec<usize>| {
        (s.iter().map(|e| elements[*e].0.len()).sum::<usize>(), s.clone())
    });
    let mut rows: Vec<Row> = kinds
        .iter()
        .map(|k| Row { name: "stock", sense: Sense::AtMost, rhs: k.count as f64 })
        .collect();
    rows.push(Row { name: "ports", sense: Sense::AtMost, rhs: shape.ports as f64 });
    if let Some(amps) = shape.most_amps {
        rows.push(Row { name: "amps", sense: Sense::AtMost, rhs: amps });
    }
    let mut columns = Vec::new();
    let mut curves = Vec::new();
    let mut i_scs = Vec::new();
    for string in &strings {
        let parts: Vec<&Curve> = string.iter().map(|e| &elements[*e].1).collect();
        let curve = series(&parts);
        let panels: Vec<usize> = string.iter().flat_map(|e| elements[*e].0.clone()).collect();
        let mut uses: Vec<(usize, f64)> = Vec::new();
        for k in 0..kinds.len() {
            let n = panels.iter().filter(|p| **p == k).count();
            if n > 0 {
                uses.push((k, n as f64));
            }
        }
        uses.push((kinds.len(), 1.0));
        let i_sc = string
            .iter()
            .map(|e| elements[*e].0.iter().map(|k| kinds[*k].i_sc).sum::<f64>())
            .fold(0.0, f64::max);
        if shape.most_amps.is_some() {
            uses.push((kinds.len() + 1, 1.25 * i_sc));
        }
        columns.push(Column {
            uses,
            rate: Rate::new(cut(&curve, shape.window)),
            cost: panels.iter().map(|k| (0.02 * kinds[*k].label).max(1.0)).sum(),
            size: panels.len(),
            least_moves: string.len(),
        });
        curves.push(curve);
        i_scs.push(i_sc);
    }
    let mut gates: Vec<Box<dyn Gate>> = Vec::new();
    if let Some(fuse) = shape.fuse {
        let key = |c: &Curve| level_at(c, -fuse);
        gates.push(Box::new(Float { keys: curves.iter().map(key).collect(), curves }));
        gates.push(Box::new(Fault {
            keys: i_scs.iter().map(|i| fuse + 0.3 * i).collect(),
            loads: i_scs,
        }));
    }
    Problem {
        columns,
        rows,
        gates,
        levels: shape.window,
        most_columns: shape.ports,
        most_gross: None,
    }
}

/// Currents sum to zero at the floating level: it must not lie above the weakest string's key.
struct Float {
    curves: Vec<Curve>,
    keys: Vec<f64>,
}

impl Gate for Float {
    fn name(&self) -> &'static str {
        "float"
    }
    fn key(&self, column: usize) -> f64 {
        self.keys[column]
    }
    fn load(&self, column: usize, key: f64) -> f64 {
        rate_at(&self.curves[column], key)
    }
    fn cap(&self, _: f64) -> f64 {
        0.0
    }
}

/// What the others feed into a fault must not exceed the weakest string's key.
struct Fault {
    loads: Vec<f64>,
    keys: Vec<f64>,
}

impl Gate for Fault {
    fn name(&self) -> &'static str {
        "fault"
    }
    fn key(&self, column: usize) -> f64 {
        1.25 * self.keys[column]
    }
    fn load(&self, column: usize, _: f64) -> f64 {
        self.loads[column]
    }
    fn cap(&self, key: f64) -> f64 {
        key
    }
}

fn grow(
    elements: &[(Vec<usize>, Curve)],
    kinds: &[Kind],
    shape: &Shape,
    left: &mut Vec<usize>,
    string: &mut Vec<usize>,
    from: usize,
    found: &mut Vec<Vec<usize>>,
) {
    if string.len() == shape.longest {
        return;
    }
    for e in from..elements.len() {
        let members = &elements[e].0;
        members.iter().for_each(|k| left[*k] = left[*k].wrapping_sub(1));
        string.push(e);
        let stocked = left.iter().all(|n| *n < usize::MAX / 2);
        let v_oc: f64 = string
            .iter()
            .map(|e| elements[*e].0.iter().map(|k| kinds[*k].v_oc).fold(0.0, f64::max))
            .sum();
        if stocked && v_oc <= shape.most_v_oc {
            if 0.8 * v_oc >= shape.window.0 {
                found.push(string.clone());
            }
            grow(elements, kinds, shape, left, string, e, found);
        }
        string.pop();
        members.iter().for_each(|k| left[*k] = left[*k].wrapping_add(1));
    }
}

/// One element of a kind: an exponential knee, a bypass step, and a branch of reverse current.
fn single(kind: &Kind) -> Curve {
    let a = 0.055 * kind.v_oc;
    let full = (kind.v_oc / a).exp() - 1.0;
    let mut curve = vec![(-1.0, 40.0)];
    curve.push((-0.5, 1.0005 * kind.i_sc));
    for n in 0..36 {
        let share = 1.0 - (n as f64 / 36.0).powf(3.0);
        let v = a * ((1.0 - share) * full + 1.0).ln();
        curve.push((v, kind.i_sc * share * (1.0 - 0.02 * v / kind.v_oc)));
    }
    for n in 0..4 {
        let share = n as f64;
        curve.push((a * ((1.0 + share) * full + 1.0).ln(), -kind.i_sc * share - 1e-6));
    }
    curve.dedup_by(|later, earlier| later.0 <= earlier.0 + 1e-6 || later.1 >= earlier.1 - 1e-9);
    curve
}

fn rate_at(curve: &Curve, v: f64) -> f64 {
    let k = curve.partition_point(|p| p.0 < v).clamp(1, curve.len() - 1);
    let (a, b) = (curve[k - 1], curve[k]);
    a.1 + (b.1 - a.1) * (v - a.0) / (b.0 - a.0)
}

fn level_at(curve: &Curve, i: f64) -> f64 {
    let k = curve.partition_point(|p| p.1 > i).clamp(1, curve.len() - 1);
    let (a, b) = (curve[k - 1], curve[k]);
    a.0 + (b.0 - a.0) * (i - a.1) / (b.1 - a.1)
}

fn series(parts: &[&Curve]) -> Curve {
    let mut rates: Vec<f64> = parts.iter().flat_map(|c| c.iter().map(|p| p.1)).collect();
    rates.sort_by(|a, b| b.total_cmp(a));
    rates.dedup_by(|a, b| *a >= *b - 1e-9);
    let mut curve: Curve =
        rates.into_iter().map(|i| (parts.iter().map(|c| level_at(c, i)).sum(), i)).collect();
    curve.dedup_by(|later, earlier| later.0 <= earlier.0 + 1e-9);
    curve
}

fn parallel(a: &Curve, b: &Curve) -> Curve {
    let mut levels: Vec<f64> = a.iter().chain(b).map(|p| p.0).collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup_by(|x, y| *x <= *y + 1e-9);
    levels.into_iter().map(|v| (v, rate_at(a, v) + rate_at(b, v))).collect()
}

fn cut(curve: &Curve, (lo, hi): (f64, f64)) -> Curve {
    let mut piece = vec![(lo, rate_at(curve, lo))];
    piece.extend(curve.iter().filter(|p| p.0 > lo && p.0 < hi));
    piece.push((hi, rate_at(curve, hi)));
    piece
}
