//! What each job costs of a common order.

use crate::model::plan::{Fitting, Totals};
use crate::money::Money;

/// What each job costs, in the order of the names: the goods fitted in it, and of what is common to the
/// order (carriage, fees, spare pieces) the part that its goods are of all goods. The shares add up to
/// what is landed; what rounding leaves goes to the last job.
pub(super) fn of_jobs(names: &[&str], fits: &[Fitting], totals: &Totals) -> Vec<Money> {
    let own: Vec<Money> = names.iter().map(|name| goods_of(name, fits, names.len() == 1)).collect();
    let all: Money = own.iter().copied().sum();
    let common = totals.landed - all;
    let mut left = totals.landed;
    let count = names.len();
    let share = |(index, goods): (usize, &Money)| {
        let part = if index + 1 == count {
            left
        } else {
            *goods + common.ratio(goods.ten_thousandths(), all.ten_thousandths())
        };
        left = left - part;
        part
    };
    own.iter().enumerate().map(share).collect()
}

/// What each job's owner is charged of a common order: its goods without the spare pieces, and by them its
/// part of carriage and fees; the last job takes what rounding leaves.
pub(super) fn charged(names: &[&str], fits: &[Fitting], totals: &Totals) -> Vec<(Money, Money)> {
    let own: Vec<Money> = names.iter().map(|name| goods_of(name, fits, names.len() == 1)).collect();
    let all: Money = own.iter().copied().sum();
    let mut left = totals.carriage + totals.fees;
    let delivery = left;
    let part = |(index, goods): (usize, &Money)| {
        let part =
            if index + 1 == own.len() { left } else { delivery.ratio(goods.ten_thousandths(), all.ten_thousandths()) };
        left = left - part;
        (*goods, part)
    };
    own.iter().enumerate().map(part).collect()
}

/// The pieces fitted in one job at the order's prices.
fn goods_of(name: &str, fits: &[Fitting], only: bool) -> Money {
    let prefix = format!("{name}/");
    let here = |f: &&Fitting| only || f.refs.iter().any(|r| r.starts_with(&prefix));
    fits.iter().filter(here).map(|f| f.cost).sum()
}
