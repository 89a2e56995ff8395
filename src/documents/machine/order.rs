//! The machine output of `order`.

use serde::Serialize;

use super::Common;
use super::inspect::HoldRow;
use super::needs::UnmetRow;
use super::plan::{BillRow, BuyRow, Digits, JobRow, ShelfRow, TotalsRow};
use crate::documents::order_screen::{paste_lines, unsettled};
use crate::model::plan::Plan;

/// The whole document of `order`.
#[derive(Debug, Clone, Serialize)]
pub struct OrderDocument {
    /// Common keys.
    #[serde(flatten)]
    pub common: Common,
    /// The currency of every amount.
    pub currency: String,
    /// One list for each supplier; without lines while a job is on hold.
    pub suppliers: Vec<SupplierList>,
    /// Needs that nothing for sale meets: not in these lists.
    pub unmet: Vec<UnmetRow>,
    /// Parts not in these lists because a reading or a look is due first.
    pub unsettled: Vec<String>,
    /// Reasons to order nothing yet.
    pub hold: Vec<HoldRow>,
    /// Taken from the shelf.
    pub shelf: Vec<ShelfRow>,
    /// Totals.
    pub totals: TotalsRow,
    /// What each job costs of the common order.
    pub jobs: Vec<JobRow>,
}

/// One supplier's list.
#[derive(Debug, Clone, Serialize)]
pub struct SupplierList {
    #[serde(flatten)]
    bill: BillRow,
    lines: Vec<BuyRow>,
    /// `number,quantity` for each line, to be pasted into the supplier's form.
    paste: Vec<String>,
}

impl OrderDocument {
    /// From the plan.
    pub fn new(plan: &Plan) -> Self {
        let digits = Digits(plan.currency.minor_digits());
        let lines = |supplier: &str| -> Vec<BuyRow> {
            let held = plan.on_hold();
            let of_supplier = plan.buy.iter().filter(|b| !held && b.supplier == supplier);
            of_supplier.map(|b| BuyRow::new(b, digits)).collect()
        };
        Self {
            common: Common::of_plan("order", plan),
            currency: plan.currency.to_string(),
            suppliers: plan
                .bills
                .iter()
                .map(|b| SupplierList {
                    bill: BillRow::new(b, digits),
                    lines: lines(&b.supplier),
                    paste: if plan.on_hold() { Vec::new() } else { paste_lines(plan, b) },
                })
                .collect(),
            unmet: plan.unmet.iter().map(UnmetRow::new).collect(),
            unsettled: unsettled(plan),
            hold: HoldRow::of(&plan.inspections),
            shelf: plan.shelf.iter().map(|s| ShelfRow::new(s, digits)).collect(),
            totals: TotalsRow::new(plan, digits),
            jobs: JobRow::of(plan, digits),
        }
    }
}
