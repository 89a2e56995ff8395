//! What careful shopping without a solver would cost, under the same terms.
//!
//! Line by line: each position takes the part with the lowest unit price at its own quantity.
//! One supplier: each position that one supplier (and the shelf) can meet is bought there, the
//! rest line by line; the best such supplier counts. Quantities are the least lawful ones; more is
//! bought only where a supplier takes no smaller order, and then as little as its lines allow.

use super::model::Model;
use super::outcome::UnmetWhy;
use super::plan::Plan;
use super::problem::{Demand, Position, Problem};
use super::table::Table;
use super::topup::{self, When};
use crate::money::Money;

/// The two ways of shopping by hand. `Err`: not possible, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ByHand {
    /// Landed cost, line by line.
    pub landed: Result<Money, UnmetWhy>,
    /// Index of the best supplier and the landed cost with everything possible from there.
    pub one_supplier: Result<(usize, Money), UnmetWhy>,
}

/// Shops by hand for those positions that `meets` names, the others being unmet by every plan.
pub fn by_hand(problem: &Problem, meets: impl Fn(usize) -> bool) -> ByHand {
    let model = Model::new(problem);
    let mut order: Vec<usize> = (0..problem.positions.len()).filter(|p| meets(*p)).collect();
    order.sort_by_key(|p| problem.positions.get(*p).map(|p| p.key.as_str()));
    let landed = shop(problem, &model, &order, None);
    let mut one_supplier = Err(landed.err().unwrap_or(UnmetWhy::NoArrangement));
    for sup in model.suppliers.iter() {
        match (shop(problem, &model, &order, Some(sup.id)), &one_supplier) {
            (Ok(cost), Err(_)) => one_supplier = Ok((sup.id, cost)),
            (Ok(cost), Ok((_, best))) if cost < *best => one_supplier = Ok((sup.id, cost)),
            (Err(why), Err(_)) => one_supplier = Err(why),
            _ => {}
        }
    }
    ByHand { landed, one_supplier }
}

/// Pieces used and extra so far, by the problem's sources.
struct Basket<'a> {
    problem: &'a Problem,
    taken: Table<(u32, u32)>,
}

fn shop(problem: &Problem, model: &Model, order: &[usize], first: Option<usize>) -> Result<Money, UnmetWhy> {
    let mut basket = Basket { problem, taken: Table::filled((0, 0), problem.sources.len()) };
    for p in order {
        let Some(position) = problem.positions.get(*p) else { continue };
        let preferred = first.is_some() && basket.take(position, first);
        if !preferred && !basket.take(position, None) {
            return Err(UnmetWhy::Stock);
        }
    }
    let mut plan = Plan::empty(model);
    for (s, src) in model.sources.iter().enumerate() {
        plan.quantity[s] = basket.lawful(src.id).ok_or(UnmetWhy::Stock)?;
    }
    let open = plan.open(model).iter().filter(|o| **o).count();
    if model.max_suppliers.is_some_and(|most| open > most as usize) {
        return Err(UnmetWhy::MaxSuppliers);
    }
    let plan = topup::complete(model, plan, When::Needed).ok_or(UnmetWhy::MinimumOrder)?;
    plan.cost(model).map(Money::from_ten_thousandths).ok_or(UnmetWhy::MinimumOrder)
}

impl Basket<'_> {
    /// Takes the cheapest arrangement of a position; only from `supplier` and the shelf if given.
    fn take(&mut self, position: &Position, supplier: Option<usize>) -> bool {
        let mut best: Option<(i64, Table<(u32, u32)>)> = None;
        for arrangement in &position.arrangements {
            let mut trial = Basket { problem: self.problem, taken: self.taken.clone() };
            let mut price = Some(0);
            for demand in arrangement.demands.iter().filter(|d| d.count > 0) {
                price = price.and_then(|sum| trial.meet(demand, supplier).map(|p| sum + p));
            }
            if let Some(price) = price
                && best.as_ref().is_none_or(|b| price < b.0)
            {
                best = Some((price, trial.taken));
            }
        }
        let met = best.is_some();
        if let Some((_, taken)) = best {
            self.taken = taken;
        }
        met
    }

    /// Takes the pieces of a demand at the lowest unit prices; the sum of the unit prices.
    fn meet(&mut self, demand: &Demand, supplier: Option<usize>) -> Option<i64> {
        let mut sum = 0;
        let mut left = demand.count;
        while left > 0 {
            let chunk = if demand.same_source { (demand.count, demand.select_extra) } else { (1, demand.select_extra) };
            // All that is still wanted from one source, or a piece at a time where stock runs out.
            let all = if demand.same_source { chunk } else { (left, demand.select_extra * left) };
            let (s, each, got) = match self.cheapest(demand, all, supplier) {
                Some((s, each)) => (s, each, all),
                None => self.cheapest(demand, chunk, supplier).map(|(s, each)| (s, each, chunk))?,
            };
            let taken = &mut self.taken[s];
            *taken = (taken.0 + got.0, taken.1 + got.1);
            sum += each * i64::from(got.0 + got.1);
            left -= got.0;
        }
        Some(sum)
    }

    /// The source with the lowest unit price for these pieces that still has them.
    fn cheapest(&self, demand: &Demand, pieces: (u32, u32), supplier: Option<usize>) -> Option<(usize, i64)> {
        let mut best = None;
        for s in &demand.any_of {
            let source = self.problem.sources.get(*s)?;
            if supplier.is_some() && source.supplier.is_some() && source.supplier != supplier {
                continue;
            }
            let mut after = Basket { problem: self.problem, taken: Table::filled((0, 0), self.taken.len()) };
            after.taken[*s] = pieces;
            let Some(alone) = after.lawful(*s) else { continue };
            let Some(tier) = source.tier(alone) else { continue };
            after.taken[*s] = (self.taken[*s].0 + pieces.0, self.taken[*s].1 + pieces.1);
            if after.lawful(*s).is_none() {
                continue;
            }
            let name = source.supplier.and_then(|v| self.problem.suppliers.get(v)).map(|v| v.name.as_str());
            let key = (tier.each.ten_thousandths(), (name, source.number.as_str()), *s);
            if best.as_ref().is_none_or(|b| key < *b) {
                best = Some(key);
            }
        }
        best.map(|(each, _, s)| (s, each))
    }

    /// The least quantity that can be bought for what is taken of a source; none beyond its stock.
    fn lawful(&self, s: usize) -> Option<u32> {
        let source = self.problem.sources.get(s)?;
        let (used, extra) = self.taken[s];
        if used + extra == 0 {
            return Some(0);
        }
        let need = used + extra + self.problem.rules.spare(source.spares, used);
        let first = source.tiers.first().map_or(1, |t| t.from);
        let quantity = need.max(source.minimum).max(first).div_ceil(source.pack).checked_mul(source.pack)?;
        source.stock.is_none_or(|stock| quantity <= stock).then_some(quantity)
    }
}
