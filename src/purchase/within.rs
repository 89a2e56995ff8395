//! What to take of several things when the money does not reach for all of them.
//!
//! A 0/1 programme over things that are each taken whole or left: the most worth that fits into a sum
//! of money, apart from choices that were tried already. The prices are the caller's: what they leave
//! out (carriage, price breaks) is for the caller to check.

use good_lp::{Expression, Variable, variable};

use super::backend::{self, Outcome, Programme, Values};
use crate::money::Money;

/// Seconds after which one programme is given up; a few dozen things take milliseconds.
const SECONDS: f64 = 5.0;

/// Part of one piece of worth that all prices together weigh, so that of equals the cheaper is taken.
const PRICES_WEIGH: f64 = 0.5;

/// A thing that is taken or left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    /// What taking it is worth, in whole pieces of the caller's choosing.
    pub worth: u32,
    /// What it costs, not negative.
    pub price: Money,
}

/// A choice that may not come out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Barred {
    /// All of these (by index) together, whatever else is taken.
    Together(Vec<usize>),
    /// Exactly this choice.
    Exactly(Vec<bool>),
}

/// What to take.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Within {
    /// For each thing whether it is taken.
    pub taken: Vec<bool>,
    /// Whether nothing is worth more.
    pub best: bool,
}

/// The choice of most worth that costs at most `money` (`None`: any sum) and is not barred; of
/// equals the cheapest. `None`: nothing is left to choose, or the solver found nothing.
pub fn within(items: &[Item], money: Option<Money>, barred: &[Barred]) -> Option<Within> {
    let nothing = |bar: &Barred| match bar {
        Barred::Together(these) => these.is_empty(),
        Barred::Exactly(choice) => choice.is_empty(),
    };
    // A bar that names nothing bars everything.
    if items.is_empty() || barred.iter().any(nothing) {
        return None;
    }
    let mut programme = Programme::new();
    let taken: Vec<Variable> =
        items.iter().map(|_| programme.variables.add(variable().integer().min(0).max(1))).collect();
    let all: f64 = items.iter().map(|i| units(i.price)).sum();
    let tie = if all > 0.0 { PRICES_WEIGH / all } else { 0.0 };
    programme.objective =
        items.iter().zip(&taken).map(|(item, x)| *x * (tie * units(item.price) - f64::from(item.worth))).sum();
    if let Some(money) = money {
        let spent: Expression = items.iter().zip(&taken).map(|(item, x)| *x * units(item.price)).sum();
        programme.constraints.push(spent.leq(units(money)));
    }
    for bar in barred {
        programme.constraints.push(cut(bar, &taken));
    }
    programme.seconds = Some(SECONDS);
    let read = |values: &Values| -> Vec<bool> { taken.iter().map(|x| values.get(*x) > 0.5).collect() };
    let (taken, best) = match backend::solve(programme) {
        Outcome::Optimal(values) => (read(&values), true),
        Outcome::Stopped(values) => (read(&values), false),
        Outcome::Infeasible | Outcome::Nothing => return None,
    };
    allowed(items, money, barred, &taken).then_some(Within { taken, best })
}

/// What the chosen things are worth together.
pub fn worth(items: &[Item], taken: &[bool]) -> u64 {
    items.iter().zip(taken).filter(|(_, t)| **t).map(|(i, _)| u64::from(i.worth)).sum()
}

/// An amount in whole units of the currency.
#[expect(clippy::cast_precision_loss, reason = "orders stay far below 2^53 ten-thousandths")]
fn units(money: Money) -> f64 {
    money.ten_thousandths() as f64 / 10_000.0
}

/// The constraint that keeps a barred choice out: at least one thing is otherwise.
fn cut(bar: &Barred, taken: &[Variable]) -> good_lp::Constraint {
    let otherwise = |x: &Variable, was_taken: bool| if was_taken { 1.0 - *x } else { Expression::from(*x) };
    let others: Expression = match bar {
        Barred::Together(these) => these.iter().filter_map(|i| taken.get(*i)).map(|x| otherwise(x, true)).sum(),
        Barred::Exactly(choice) => taken.iter().zip(choice).map(|(x, was)| otherwise(x, *was)).sum(),
    };
    others.geq(1.0)
}

/// Whether a choice keeps to the money and the bars, in whole numbers.
fn allowed(items: &[Item], money: Option<Money>, barred: &[Barred], taken: &[bool]) -> bool {
    let spent: Money = items.iter().zip(taken).filter(|(_, t)| **t).map(|(i, _)| i.price).sum();
    let is_taken = |i: &usize| taken.get(*i).copied().unwrap_or(false);
    money.is_none_or(|m| spent <= m)
        && !barred.iter().any(|bar| match bar {
            Barred::Together(these) => these.iter().all(is_taken),
            Barred::Exactly(choice) => choice == taken,
        })
}
