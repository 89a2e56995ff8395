//! What is paid, where one supplier's threshold is watched.

use super::table::{Table, real};

/// What is paid, and what of it counts towards the threshold that is watched.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Paid {
    /// Ten-thousandths, goods under other thresholds at their discounts.
    pub(super) cost: f64,
    /// Ten-thousandths, at most the threshold.
    pub(super) goods: i64,
}

/// The threshold that is watched, and the discounts on what helps to reach the others.
#[derive(Debug, Clone)]
pub(super) struct Terms {
    /// What is charged beside the goods, what the other discounts take off missed thresholds included;
    /// ten-thousandths.
    pub(super) fixed: f64,
    /// What a unit of money spent on a supplier's goods counts for.
    pub(super) rate: Table<f64>,
    /// The supplier whose goods are watched.
    pub(super) watched: Option<usize>,
    /// What they must come to, ten-thousandths; what is missing of it is paid for nothing.
    pub(super) least: i64,
    /// The discount on them at which the prices bound closest.
    pub(super) discount: f64,
}

impl Paid {
    /// The cost with what is watched at its discount.
    pub(super) fn at(self, discount: f64) -> f64 {
        self.cost - discount * real(self.goods)
    }

    /// Both together; goods beyond `least` count for no more.
    pub(super) fn with(self, other: Self, least: i64) -> Self {
        Self { cost: self.cost + other.cost, goods: (self.goods + other.goods).min(least) }
    }

    /// Whether this is as good as the other in every respect.
    pub(super) fn covers(self, other: Self) -> bool {
        self.cost <= other.cost && self.goods >= other.goods
    }
}

impl Terms {
    /// What is beside the goods with what is watched at its discount.
    pub(super) fn beside(&self) -> f64 {
        self.fixed + self.discount * real(self.least)
    }

    /// What all costs, with what is missing of the threshold.
    pub(super) fn whole(&self, paid: Paid) -> f64 {
        self.fixed + paid.cost + real(self.least - paid.goods)
    }

    /// What `cost` paid to supplier `v` counts for; none: nobody's terms.
    pub(super) fn paid(&self, v: Option<usize>, cost: i64) -> Paid {
        match v {
            Some(v) if self.watched == Some(v) => Paid { cost: real(cost), goods: cost.min(self.least) },
            Some(v) => Paid { cost: real(cost) * self.rate[v], goods: 0 },
            None => Paid { cost: real(cost), goods: 0 },
        }
    }

    /// The same with that threshold at its discount like the others.
    pub(super) fn unwatched(&self) -> Self {
        let mut terms = Self { fixed: self.beside(), watched: None, least: 0, discount: 0.0, ..self.clone() };
        if let Some(v) = self.watched {
            terms.rate[v] = 1.0 - self.discount;
        }
        terms
    }
}
