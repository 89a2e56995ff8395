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
    pub(super) factors: Vec<&'a Factor>,
    pub(super) asked: &'a Asked,
    pub(super) terms: &'a Terms,
    /// Ten-thousandths in a grain.
    pub(super) grain: f64,
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
            let value = |choice: &Choice| {
                let rows = factor.rows.iter().zip(&choice.chunks);
                choice.paid.at(discount) / self.grain - rows.map(|(r, k)| point[*r] * f64::from(*k)).sum::<f64>()
            };
            let values = factor.choices.iter().map(|choice| (value(choice), choice));
            let Some((value, choice)) = values.min_by(|a, b| a.0.total_cmp(&b.0)) else { continue };
            answer.bound += value;
            answer.slope[at] -= real(choice.paid.goods) / self.grain;
            for (r, k) in factor.rows.iter().zip(&choice.chunks) {
                answer.slope[*r] -= f64::from(*k);
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
        self.factors.iter().map(|f| f.choices.len() as u64).sum::<u64>() / 16
    }
}
