//! The prices at which factors bound closest.

use super::bundle::{Until, ascend};
use super::clock::Clock;
use super::factor::{Asked, Choice, Factor, Prices};
use super::node::Node;
use super::oracle::{Answer, Relaxed};
use super::paid::Terms;
use super::table::{Table, real};

/// Rounds of price moving, and the part of the way to the limit that must be promised to go on.
const ROUNDS: (u32, f64) = (40, 0.05);

/// How far a discount may be expected to move.
const DISCOUNT: f64 = 0.1;

/// Some factors as a function of the prices: each takes the choice that costs least less what it is worth.
pub(super) struct Merged<'a> {
    factors: Vec<Columns>,
    asked: &'a Asked,
    terms: &'a Terms,
    /// Ten-thousandths in a grain.
    grain: f64,
    /// What each choice of a factor comes to; kept between factors for its space.
    values: Vec<f64>,
}

/// The choices of a factor, a column for each of their figures, so that all are gone through in one sweep.
struct Columns {
    /// Cost, and what of it counts towards the threshold that is watched, grains.
    cost: Vec<f64>,
    goods: Vec<f64>,
    /// Chunks, by row.
    chunks: Vec<(usize, Vec<f64>)>,
}

impl Columns {
    fn new(factor: &Factor, grain: f64) -> Self {
        let column = |of: &dyn Fn(&Choice) -> f64| factor.choices.iter().map(of).collect::<Vec<f64>>();
        let chunks = factor.rows.iter().enumerate().map(|(i, r)| {
            let of = |c: &Choice| c.chunks.get(i).copied().map_or(0.0, f64::from);
            (*r, column(&of))
        });
        Self {
            cost: column(&|c| c.paid.cost / grain),
            goods: column(&|c| real(c.paid.goods) / grain),
            chunks: chunks.collect(),
        }
    }

    /// The choice that comes to least at a point: by how much, and its number.
    fn least(&self, point: &Table<f64>, discount: f64, values: &mut Vec<f64>) -> Option<(f64, usize)> {
        values.clone_from(&self.cost);
        if discount > 0.0 {
            for (value, goods) in values.iter_mut().zip(&self.goods) {
                *value -= discount * goods;
            }
        }
        for (r, chunks) in &self.chunks {
            let price = point[*r];
            for (value, k) in values.iter_mut().zip(chunks) {
                *value -= price * k;
            }
        }
        let first = |a: (f64, usize), b: (f64, usize)| if b.0 < a.0 { b } else { a };
        values.iter().copied().zip(0..).reduce(first)
    }
}

impl<'a> Merged<'a> {
    /// `grain`: ten-thousandths in a grain.
    pub(super) fn new<'f>(
        factors: impl Iterator<Item = &'f Factor>,
        asked: &'a Asked,
        terms: &'a Terms,
        grain: f64,
    ) -> Self {
        let factors = factors.map(|f| Columns::new(f, grain)).collect();
        Self { factors, asked, terms, grain, values: Vec::new() }
    }
}

/// The prices at which the factors bound closest, and the bound there, both in ten-thousandths. The search begins at
/// `prices` and ends when the bound passes `limit` (grains).
pub(super) fn reprice(
    mut merged: Merged<'_>,
    node: &Node,
    prices: &Prices,
    limit: f64,
    clock: &Clock,
) -> (Prices, f64) {
    let (asked, grain) = (merged.asked, merged.grain);
    let mut start: Table<f64> = prices.row.iter().map(|p| p / grain).collect();
    let mut scale: Table<f64> = asked.rows.iter().map(|r| node.scale[*r]).collect();
    start.push(prices.discount);
    scale.push(DISCOUNT);
    let until = Until { target: limit + 1.0, rounds: ROUNDS.0, near: ROUNDS.1 };
    let (best, bound) = ascend(&mut merged, (start, scale), until, clock);
    let rows = asked.rows.len();
    let discount = if merged.terms.watched.is_some() { best[rows].clamp(0.0, 1.0) } else { 0.0 };
    (Prices { row: best.iter().take(rows).map(|p| p * grain).collect(), discount }, bound * grain)
}

impl Relaxed for Merged<'_> {
    fn ask(&mut self, point: &Table<f64>) -> Answer {
        let mut answer = Answer::new(point.len(), 0);
        for (r, n) in self.asked.most.iter().enumerate() {
            answer.bound += point[r] * f64::from(*n);
            answer.slope[r] += f64::from(*n);
        }
        // Beyond 0 and 1 a discount says nothing, and its slope leads back.
        let at = self.asked.rows.len();
        let discount = point[at].clamp(0.0, 1.0);
        answer.bound += (self.terms.fixed + discount * real(self.terms.least)) / self.grain;
        answer.slope[at] = real(self.terms.least) / self.grain;
        for factor in &self.factors {
            let Some((value, n)) = factor.least(point, discount, &mut self.values) else { continue };
            answer.bound += value;
            let chosen = |column: &[f64]| column.get(n).copied().unwrap_or(0.0);
            answer.slope[at] -= chosen(&factor.goods);
            for (r, chunks) in &factor.chunks {
                answer.slope[*r] -= chosen(chunks);
            }
        }
        if point[at] >= 1.0 {
            answer.slope[at] = answer.slope[at].min(0.0);
        }
        answer
    }

    fn rows(&self) -> &[usize] {
        &self.asked.rows
    }

    /// A choice costs much less to look at than a source.
    fn size(&self) -> u64 {
        self.factors.iter().map(|f| f.cost.len() as u64).sum::<u64>() / 16
    }
}
