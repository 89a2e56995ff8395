//! A plan in canonical numbers, and what it costs to the ten-thousandth.

use super::model::Model;
use super::table::Table;

/// Which way each class goes, which source gives how many chunks, and how much is bought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Plan {
    /// Of each class, how many members go each way.
    pub(super) ways: Table<Vec<u32>>,
    /// Of each row, chunks by source, ascending.
    pub(super) flow: Table<Vec<(usize, u32)>>,
    /// Pieces bought of each source.
    pub(super) quantity: Table<u32>,
}

/// What is compared between plans, in this order: cost, suppliers, numbers, life, numbers' places.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Worth {
    pub(super) cost: i64,
    pub(super) suppliers: usize,
    pub(super) numbers: usize,
    pub(super) life: std::cmp::Reverse<u64>,
    pub(super) ranks: Vec<usize>,
    pub(super) quantities: Vec<u32>,
}

impl Plan {
    /// A plan with nothing in it.
    pub(super) fn empty(model: &Model) -> Self {
        Self {
            ways: model.classes.iter().map(|c| vec![0; c.ways.len()]).collect(),
            flow: Table::filled(Vec::new(), model.rows.len()),
            quantity: Table::filled(0, model.sources.len()),
        }
    }

    /// Pieces used and pieces to select from, by source.
    pub(super) fn used(&self, model: &Model) -> (Table<u32>, Table<u32>) {
        let mut used = Table::filled(0u32, model.sources.len());
        let mut extra = Table::filled(0u32, model.sources.len());
        for (r, flow) in self.flow.iter().enumerate() {
            for (s, chunks) in flow {
                used[*s] += chunks * model.rows[r].take;
                extra[*s] += chunks * model.rows[r].extra;
            }
        }
        (used, extra)
    }

    /// Pieces that must be bought of each source: used, to select from, spare.
    pub(super) fn required(&self, model: &Model) -> Table<u32> {
        let (used, extra) = self.used(model);
        used.iter()
            .zip(extra.iter())
            .enumerate()
            .map(|(s, (u, e))| u + e + model.rules.spare(model.sources[s].class, *u))
            .collect()
    }

    /// Goods by supplier, and goods from the shelf.
    pub(super) fn goods(&self, model: &Model) -> Option<(Table<i64>, i64)> {
        let mut goods = Table::filled(0i64, model.suppliers.len());
        let mut unbilled = 0;
        for (s, q) in self.quantity.iter().enumerate().filter(|(_, q)| **q > 0) {
            let line = model.sources[s].each(*q)? * i64::from(*q);
            match model.sources[s].sup {
                Some(v) => goods[v] += line,
                None => unbilled += line,
            }
        }
        Some((goods, unbilled))
    }

    /// Whether anything is bought of each supplier.
    pub(super) fn open(&self, model: &Model) -> Table<bool> {
        model.suppliers.iter().map(|v| v.sources.iter().any(|s| self.quantity[*s] > 0)).collect()
    }

    /// The landed cost; none where a quantity or a supplier's terms do not allow it.
    pub(super) fn cost(&self, model: &Model) -> Option<i64> {
        let (goods, unbilled) = self.goods(model)?;
        let mut cost = unbilled;
        let open = self.open(model);
        if model.max_suppliers.is_some_and(|most| open.iter().filter(|o| **o).count() > most as usize) {
            return None;
        }
        for (v, sup) in model.suppliers.iter().enumerate().filter(|(v, _)| open[*v]) {
            let fixed = sup.bands.iter().filter(|b| b.least <= goods[v]).map(|b| b.fixed).min()?;
            cost += goods[v] + fixed;
        }
        Some(cost)
    }

    /// Everything by which plans are compared; none for a plan that is not lawful.
    pub(super) fn worth(&self, model: &Model) -> Option<Worth> {
        let cost = self.cost(model)?;
        let required = self.required(model);
        if required.iter().zip(self.quantity.iter()).any(|(r, q)| r > q) {
            return None;
        }
        let (used, _) = self.used(model);
        let mut life: u64 = used.iter().zip(model.sources.iter()).map(|(u, s)| u64::from(*u) * u64::from(s.life)).sum();
        for (class, ways) in model.classes.iter().zip(self.ways.iter()) {
            life += class.ways.iter().zip(ways).map(|(w, n)| u64::from(w.life) * u64::from(*n)).sum::<u64>();
        }
        let bought = self.quantity.iter().enumerate().filter(|(_, q)| **q > 0);
        let mut ranks: Vec<(usize, u32)> = bought.map(|(s, q)| (model.sources[s].rank, *q)).collect();
        ranks.sort_unstable();
        Some(Worth {
            cost,
            suppliers: self.open(model).iter().filter(|o| **o).count(),
            numbers: ranks.len(),
            life: std::cmp::Reverse(life),
            quantities: ranks.iter().map(|r| r.1).collect(),
            ranks: ranks.into_iter().map(|r| r.0).collect(),
        })
    }
}

impl Plan {
    /// The same plan without pieces that cost nothing and serve nothing.
    pub(super) fn trimmed(&self, model: &Model) -> Self {
        let mut plan = self.clone();
        for (s, required) in self.required(model).iter().enumerate() {
            let src = &model.sources[s];
            let paid = src.each(plan.quantity[s]).map(|each| each * i64::from(plan.quantity[s]));
            if let Some((quantity, cost)) = src.cheapest(*required)
                && plan.quantity[s] > quantity
                && paid.is_some_and(|paid| paid >= cost && (paid == cost || src.sup.is_none()))
            {
                plan.quantity[s] = quantity;
            }
        }
        plan
    }
}
