//! Raises the bound of a node: a proximal bundle method over the prices of its rows.
//!
//! The bound is a concave, piecewise linear function of the prices. Each answer of the oracle is
//! kept as a plane above it. The next prices are where the lowest of the planes, less a charge for
//! the distance from the best prices so far, is highest; that small quadratic programme is solved
//! over the mixtures of the planes. The planes' mixture tells how much there is still to gain, and
//! in what part each source is bought at the best prices.

use super::clock::Clock;
use super::decided::Decided;
use super::model::Model;
use super::node::{Node, Usage};
use super::oracle::{Answer, Bought, Oracle, Relaxed};
use super::table::Table;

/// Most planes that are kept.
const PLANES: usize = 40;

/// Part of the promised gain that a step must make to be taken, and from which on steps get longer.
const ENOUGH: (f64, f64) = (0.1, 0.5);

/// Answers that may be worse than the best before the steps get shorter.
const PATIENCE: u32 = 3;

/// How far the best prices may still be, as a part of the prices.
const FAR: f64 = 0.02;

/// How far a discount may be expected to move.
const DISCOUNT: f64 = 0.1;

/// When to stop.
#[derive(Debug, Clone, Copy)]
pub(super) struct Until {
    /// The bound passes this, grains.
    pub(super) target: f64,
    /// So many answers were asked for.
    pub(super) rounds: u32,
    /// The gain that is still promised is less than this part of the way to the target.
    pub(super) near: f64,
}

/// One answer, as a plane over the scaled prices.
struct Plane {
    slope: Table<f64>,
    /// How far the plane is above the bound at the best prices.
    above: f64,
    bought: Vec<Bought>,
    part: f64,
}

/// Moves the prices of a node and keeps the best, until one of the limits is met.
pub(super) fn raise(model: &Model, node: &mut Node, until: Until, clock: &Clock) {
    if node.decided() {
        let mut relaxed = Decided::new(model, node);
        let mut scale = scales(node, relaxed.rows());
        let mut start = prices(node, relaxed.rows());
        for discount in relaxed.discounts(node) {
            start.push(discount);
            scale.push(DISCOUNT);
        }
        let mut bundle = Bundle::new(&mut relaxed, (start, scale), until.target, node.length);
        bundle.run(&mut relaxed, until, clock, |_| {});
        bundle.finish(node, &relaxed);
        relaxed.settle(node, &bundle.best);
    } else {
        let mut relaxed = Oracle::new(model, node);
        let start = prices(node, relaxed.rows());
        let scale = scales(node, relaxed.rows());
        let mut bundle = Bundle::new(&mut relaxed, (start, scale), until.target, node.length);
        node.discount.clone_from(&relaxed.discount);
        bundle.run(&mut relaxed, until, clock, |relaxed| node.discount.clone_from(&relaxed.discount));
        bundle.finish(node, &relaxed);
    }
}

/// The prices at which a relaxation is closest, from a point with the scale of each of its coordinates, and the bound.
pub(super) fn ascend(
    relaxed: &mut impl Relaxed,
    from: (Table<f64>, Table<f64>),
    until: Until,
    clock: &Clock,
) -> (Table<f64>, f64) {
    let mut bundle = Bundle::new(relaxed, from, until.target, 0.0);
    bundle.run(relaxed, until, clock, |_| {});
    (bundle.best, bundle.bound)
}

fn prices(node: &Node, rows: &[usize]) -> Table<f64> {
    rows.iter().map(|r| node.price[*r]).collect()
}

fn scales(node: &Node, rows: &[usize]) -> Table<f64> {
    rows.iter().map(|r| node.scale[*r]).collect()
}

struct Bundle {
    best: Table<f64>,
    bound: f64,
    scale: Table<f64>,
    planes: Vec<Plane>,
    /// Products of the slopes, as `planes` are ordered.
    products: Vec<Vec<f64>>,
    length: f64,
    nulls: u32,
}

impl Bundle {
    /// Begins at a point, with the scale of each of its coordinates.
    fn new(relaxed: &mut impl Relaxed, (start, scale): (Table<f64>, Table<f64>), target: f64, length: f64) -> Self {
        let first = relaxed.ask(&start);
        let bound = first.bound;
        let mut bundle =
            Self { best: start, bound, scale, planes: Vec::new(), products: Vec::new(), length: 0.0, nulls: 0 };
        bundle.add(first, 0.0, 1.0);
        // The first step would close the gap if the bound rose all the way as steeply as it starts.
        let steep = bundle.products.first().and_then(|p| p.first()).copied().unwrap_or(0.0);
        bundle.length = if length > 0.0 { length } else { (target - bound).clamp(1.0, 1e9) / steep.max(1e-12) };
        bundle
    }

    fn run<R: Relaxed>(&mut self, relaxed: &mut R, until: Until, clock: &Clock, mut taken: impl FnMut(&R)) {
        for _ in 1..until.rounds {
            clock.spend(relaxed.size() * 2);
            if self.bound > until.target || clock.stopped() {
                return;
            }
            let (point, promised, hoped) = self.next();
            if hoped < until.near * (until.target - self.bound) {
                return;
            }
            let answer = relaxed.ask(&point);
            if self.take(point, answer, promised) {
                taken(relaxed);
            }
        }
    }

    /// Writes the best prices, the bound there and what is bought there into the node.
    fn finish(&self, node: &mut Node, relaxed: &impl Relaxed) {
        node.bound = self.bound;
        node.length = self.length;
        for (r, price) in relaxed.rows().iter().zip(self.best.iter()) {
            node.price[*r] = *price;
        }
        for usage in node.usage.iter_mut() {
            *usage = Usage::default();
        }
        for (b, part) in self.mixture() {
            node.usage[b.s].bought += part;
            node.usage[b.s].mean += part * f64::from(b.quantity);
        }
        for (b, part) in self.mixture() {
            let usage = &mut node.usage[b.s];
            if f64::from(b.quantity) > usage.mean + 1e-6 {
                usage.above += part;
            }
        }
    }

    /// What the planes buy, each in its part of the mixture.
    fn mixture(&self) -> impl Iterator<Item = (&Bought, f64)> {
        let planes = self.planes.iter().filter(|p| p.part > 0.0);
        planes.flat_map(|p| p.bought.iter().map(|b| (b, b.part * p.part)))
    }

    /// Keeps an answer as a plane.
    fn add(&mut self, answer: Answer, above: f64, part: f64) {
        // A price of nothing cannot fall any further.
        let held = |(g, p): (&f64, &f64)| if *p <= 0.0 { g.max(0.0) } else { *g };
        let slopes = answer.slope.iter().zip(self.best.iter()).map(held);
        let slope: Table<f64> = slopes.zip(self.scale.iter()).map(|(g, s)| g * s).collect();
        if self.planes.len() >= PLANES {
            self.forget();
        }
        let mut row: Vec<f64> = self.planes.iter().map(|p| dot(&p.slope, &slope)).collect();
        for (products, x) in self.products.iter_mut().zip(&row) {
            products.push(*x);
        }
        row.push(dot(&slope, &slope));
        self.products.push(row);
        self.planes.push(Plane { slope, above, bought: answer.bought, part });
    }

    /// Drops the plane that matters least.
    fn forget(&mut self) {
        let weight = |p: &Plane| (p.part, -p.above);
        let least = self.planes.iter().enumerate().min_by(|a, b| {
            let (a, b) = (weight(a.1), weight(b.1));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        let Some((at, _)) = least else { return };
        self.planes.remove(at);
        self.products.remove(at);
        for row in &mut self.products {
            row.remove(at);
        }
        let sum: f64 = self.planes.iter().map(|p| p.part).sum();
        for plane in &mut self.planes {
            plane.part = if sum > 0.0 { plane.part / sum } else { 0.0 };
        }
        if sum <= 0.0
            && let Some(first) = self.planes.first_mut()
        {
            first.part = 1.0;
        }
    }

    /// The next prices, the gain that the planes promise there, and what might be gained farther away.
    fn next(&mut self) -> (Table<f64>, f64, f64) {
        self.mix();
        let mut heading = Table::filled(0.0, self.scale.len());
        let mut above = 0.0;
        for plane in self.planes.iter().filter(|p| p.part > 0.0) {
            above += plane.part * plane.above;
            for (h, g) in heading.iter_mut().zip(plane.slope.iter()) {
                *h += plane.part * g;
            }
        }
        let square = dot(&heading, &heading);
        let promised = self.length * square + above;
        // However short the step, prices that far away would gain as much as this.
        let hoped = promised.max(above + FAR * self.best_scaled() * square.sqrt());
        let moved = self.best.iter().zip(heading.iter().zip(self.scale.iter()));
        let price = moved.map(|(p, (h, s))| (p + self.length * h * s).max(0.0)).collect();
        (price, promised, hoped)
    }

    /// How far the best prices are from none, in the scaled coordinates.
    fn best_scaled(&self) -> f64 {
        self.best.iter().zip(self.scale.iter()).map(|(x, s)| (x / s).powi(2)).sum::<f64>().sqrt()
    }

    /// The mixture of planes that is lowest: pairs of parts are shifted until nothing is gained by it.
    fn mix(&mut self) {
        let mut parts: Vec<f64> = self.planes.iter().map(|p| p.part).collect();
        let gradient = |(row, p): (&Vec<f64>, &Plane)| self.length * product(row, &parts) + p.above;
        let mut slope: Vec<f64> = self.products.iter().zip(&self.planes).map(gradient).collect();
        for _ in 0..20 * parts.len() {
            let (mut least, mut most) = ((f64::INFINITY, 0), (f64::NEG_INFINITY, 0));
            for (i, (g, part)) in slope.iter().zip(&parts).enumerate() {
                if *g < least.0 {
                    least = (*g, i);
                }
                if *part > 0.0 && *g >= most.0 {
                    most = (*g, i);
                }
            }
            let fall = most.0 - least.0;
            let (Some(to), Some(from)) = (self.products.get(least.1), self.products.get(most.1)) else { break };
            if fall <= 1e-7 * (1.0 + most.0.abs()) {
                break;
            }
            let at = |row: &Vec<f64>, i: usize| row.get(i).copied().unwrap_or(0.0);
            let bend = self.length * (at(from, most.1) + at(to, least.1) - 2.0 * at(from, least.1));
            let held = at(&parts, most.1);
            let shift = if bend > 1e-12 { (fall / bend).min(held) } else { held };
            if let Some(part) = parts.get_mut(most.1) {
                *part = if shift >= held { 0.0 } else { held - shift };
            }
            if let Some(part) = parts.get_mut(least.1) {
                *part += shift;
            }
            let by = self.length * shift;
            for (g, (to, from)) in slope.iter_mut().zip(to.iter().zip(from)) {
                *g += by * (to - from);
            }
        }
        for (plane, part) in self.planes.iter_mut().zip(parts) {
            plane.part = part;
        }
    }

    /// Takes an answer in; whether its point is the best now.
    fn take(&mut self, point: Table<f64>, answer: Answer, promised: f64) -> bool {
        let gain = answer.bound - self.bound;
        let way = point.iter().zip(self.best.iter()).zip(self.scale.iter());
        let step: Table<f64> = way.map(|((to, from), scale)| (to - from) / scale).collect();
        if gain >= ENOUGH.0 * promised {
            self.bound = answer.bound;
            for plane in &mut self.planes {
                plane.above += dot(&plane.slope, &step) - gain;
            }
            self.nulls = 0;
            self.lengthen(gain / promised);
            self.best = point;
            self.add(answer, 0.0, 0.0);
            return true;
        }
        let slope: f64 = answer.slope.iter().zip(self.scale.iter()).zip(step.iter()).map(|((g, s), d)| g * s * d).sum();
        let above = gain - slope;
        self.nulls += 1;
        // Far above the bound at the best point: the answer was asked too far away to tell much here.
        if self.nulls > PATIENCE && above > 3.0 * promised {
            self.length *= (0.5 / (1.0 - gain / promised)).clamp(0.2, 1.0);
            self.nulls = 0;
        }
        self.add(answer, above.max(0.0), 0.0);
        false
    }

    /// Lengthens the steps where the planes promised truly.
    fn lengthen(&mut self, kept: f64) {
        if kept >= ENOUGH.1 {
            self.length *= (0.5 / (1.0 - kept).max(0.01)).clamp(1.0, 5.0);
        }
    }
}

fn product(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

fn dot(a: &Table<f64>, b: &Table<f64>) -> f64 {
    a.iter().zip(b.iter()).map(|(x, y)| x * y).sum()
}
