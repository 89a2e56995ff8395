//! Makes a plan real: reaches a threshold with goods instead of paying for nothing.
//!
//! For one supplier, the sums that can be added to its goods by buying more of its lines are
//! found exactly, as a set of bits one grain apart, and the least sum that reaches the threshold
//! is taken if that is cheaper than staying below it.

use super::model::{Model, Sup};
use super::plan::Plan;

/// Most grains that are searched bit by bit.
const WIDEST: i64 = 4_000_000;

/// When more than is needed may be bought to reach a supplier's threshold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum When {
    /// When it makes the order cheaper, or lawful.
    Cheaper,
    /// Only when the supplier would not take the order otherwise.
    Needed,
}

/// The plan with each supplier's order at its cheapest lawful goods; none where there are none.
pub(super) fn complete(model: &Model, mut plan: Plan, when: When) -> Option<Plan> {
    let (goods, _) = plan.goods(model)?;
    let open = plan.open(model);
    for (v, sup) in model.suppliers.iter().enumerate().filter(|(v, _)| open[*v]) {
        let now = sup.bands.iter().filter(|b| b.least <= goods[v]).map(|b| b.fixed).min();
        let mut best: Option<(i64, Vec<(usize, u32)>)> = now.map(|fixed| (fixed, Vec::new()));
        for band in sup.bands.iter().filter(|b| b.least > goods[v] && (when == When::Cheaper || now.is_none())) {
            let gap = band.least - goods[v];
            let spend = best.as_ref().map(|b| b.0 - band.fixed);
            if spend.is_some_and(|most| most <= gap) {
                continue;
            }
            if let Some((sum, lines)) = reach(model, &plan, sup, gap, spend)
                && best.as_ref().is_none_or(|b| sum + band.fixed < b.0)
            {
                best = Some((sum + band.fixed, lines));
            }
        }
        for (s, quantity) in best?.1 {
            plan.quantity[s] = quantity;
        }
    }
    Some(plan)
}

/// The least sum of at least `gap`, and below `spend` if given, with the new quantities.
fn reach(model: &Model, plan: &Plan, sup: &Sup, gap: i64, spend: Option<i64>) -> Option<(i64, Vec<(usize, u32)>)> {
    let steps: Vec<(usize, Vec<(i64, u32)>)> =
        sup.sources.iter().map(|s| (*s, dearer(model, plan, *s, spend.unwrap_or(i64::MAX)))).collect();
    let single = steps.iter().flat_map(|(_, o)| o.iter().map(|x| x.0)).filter(|x| *x >= gap).min();
    // More of one line is the simplest way; the exact search need not look beyond its sum.
    let most = match (spend, single) {
        (Some(spend), Some(single)) => spend.min(single + model.grain),
        (Some(spend), None) => spend,
        (None, Some(single)) => single + model.grain,
        (None, None) => gap + steps.iter().flat_map(|(_, o)| o.iter().map(|x| x.0)).max()? + model.grain,
    };
    let width = most.div_euclid(model.grain).min(WIDEST);
    let goal = gap.div_euclid(model.grain) + i64::from(gap.rem_euclid(model.grain) > 0);
    let mut sums = vec![Bits::new(width)?];
    for (_, options) in &steps {
        let before = sums.last()?;
        let mut after = before.clone();
        for (dearer, _) in options {
            after.or_shifted(before, dearer / model.grain);
        }
        sums.push(after);
    }
    let mut sum = sums.last()?.first_from(goal)?;
    let total = sum * model.grain;
    let mut lines = Vec::new();
    for (n, (s, options)) in steps.iter().enumerate().rev() {
        let before = sums.get(n)?;
        if before.has(sum) {
            continue;
        }
        let (dearer, quantity) = options.iter().find(|(d, _)| before.has(sum - d / model.grain))?;
        sum -= dearer / model.grain;
        lines.push((*s, *quantity));
    }
    Some((total, lines))
}

/// Larger quantities of a source and how much more they cost, below `most`.
fn dearer(model: &Model, plan: &Plan, s: usize, most: i64) -> Vec<(i64, u32)> {
    let src = &model.sources[s];
    let quantity = plan.quantity[s];
    let paid = src.each(quantity).unwrap_or(0) * i64::from(quantity);
    let mut options = Vec::new();
    for seg in src.segs.iter().filter(|g| g.each > 0) {
        let lo = seg.lo.max((quantity / src.pack + 1) * src.pack);
        let mut q = lo;
        while q <= seg.hi {
            let more = seg.each * i64::from(q) - paid;
            if more >= most {
                break;
            }
            if more > 0 {
                options.push((more, q));
            }
            q += src.pack;
        }
    }
    options
}

/// A set of sums, in grains.
#[derive(Debug, Clone)]
struct Bits {
    words: Vec<u64>,
    width: i64,
}

impl Bits {
    /// Holds nothing but 0; sums of `width` and more are not kept. None where it would hold nothing.
    fn new(width: i64) -> Option<Self> {
        let words = usize::try_from(width.max(1) / 64 + 1).ok()?;
        let mut words = vec![0; words];
        *words.first_mut()? = 1;
        Some(Self { words, width })
    }

    fn place(sum: i64) -> Option<(usize, u32)> {
        Some((usize::try_from(sum.div_euclid(64)).ok()?, u32::try_from(sum.rem_euclid(64)).ok()?))
    }

    fn has(&self, sum: i64) -> bool {
        Self::place(sum).and_then(|(w, b)| self.words.get(w).map(|x| x >> b & 1 == 1)).unwrap_or(false)
    }

    fn or_shifted(&mut self, other: &Self, by: i64) {
        let Some((skip, bits)) = Self::place(by) else { return };
        let mut carry = 0;
        for (to, from) in self.words.iter_mut().skip(skip).zip(&other.words) {
            *to |= (from << bits) | carry;
            carry = if bits == 0 { 0 } else { from >> (64 - bits) };
        }
    }

    fn first_from(&self, goal: i64) -> Option<i64> {
        (goal.max(0)..self.width).find(|sum| self.has(*sum))
    }
}
