//! The machine output of `plan`.

use serde::Serialize;

use super::Common;
use super::cans::CanRow;
use super::inspect::{Judged, WaitRow};
use super::needs::{FitRow, NeedRow, UnmetRow};
use crate::model::plan::{BuyLine, ByHand, Plan, ShelfTake, Story, SupplierBill, UnderCeiling};
use crate::money::Money;

/// The whole document of `plan`.
#[derive(Debug, Clone, Serialize)]
pub struct PlanDocument {
    /// Common keys.
    #[serde(flatten)]
    pub common: Common,
    /// The currency of every amount.
    pub currency: String,
    /// Judged parts and holds.
    #[serde(flatten)]
    pub judged: Judged,
    /// What each new part must be.
    pub needs: Vec<NeedRow>,
    /// What is fitted where.
    pub fits: Vec<FitRow>,
    /// What is bought.
    pub buy: Vec<BuyRow>,
    /// What is taken from the shelf.
    pub shelf: Vec<ShelfRow>,
    /// Cans with the ways of renewing them.
    pub cans: Vec<CanRow>,
    /// Bills.
    pub suppliers: Vec<BillRow>,
    /// Totals.
    pub totals: TotalsRow,
    /// Needs that nothing meets.
    pub unmet: Vec<UnmetRow>,
    /// Ordering by hand, for comparison.
    pub by_hand: ByHandRow,
    /// What each job costs of the common order.
    pub jobs: Vec<JobRow>,
    /// How a ceiling was kept, where something was left out for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub under_ceiling: Option<CeilingRow>,
    /// The story of one position, where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<StoryRow>,
}

/// How a ceiling was kept.
#[derive(Debug, Clone, Serialize)]
pub struct CeilingRow {
    ceiling: String,
    least: String,
    total: String,
    of: &'static str,
    done: usize,
    waiting: usize,
    proven: bool,
    tried: usize,
}

impl CeilingRow {
    fn new(under: &UnderCeiling, digits: Digits) -> Self {
        Self {
            ceiling: digits.text(under.ceiling),
            least: digits.text(under.least),
            total: digits.text(under.total),
            of: if under.of_quote { "quote" } else { "landed" },
            done: under.done,
            waiting: under.waiting,
            proven: under.proven,
            tried: under.tried,
        }
    }
}

/// One job's share of the order.
#[derive(Debug, Clone, Serialize)]
pub struct JobRow {
    job: String,
    share: String,
    #[serde(flatten)]
    alone: Option<AloneRow>,
}

/// What one job costs when it is ordered for itself, where there are several.
#[derive(Debug, Clone, Serialize)]
pub struct AloneRow {
    alone: String,
    alone_bound: String,
    alone_lacks: Vec<String>,
    alone_gains: Vec<String>,
}

/// The story of one position.
#[derive(Debug, Clone, Serialize)]
pub struct StoryRow {
    #[serde(rename = "ref")]
    reference: String,
    best: Vec<BestRow>,
    costs: Vec<CostRow>,
    firm: Vec<String>,
}

/// An offer that serves.
#[derive(Debug, Clone, Serialize)]
pub struct BestRow {
    number: String,
    each: Option<String>,
    in_order: bool,
    cautions: Vec<String>,
}

/// What one change would cost.
#[derive(Debug, Clone, Serialize)]
pub struct CostRow {
    what: String,
    difference: Option<String>,
    proven: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    instead: Option<FitRow>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    meets: Vec<String>,
}

/// One line of the order.
#[derive(Debug, Clone, Serialize)]
pub struct BuyRow {
    supplier: String,
    number: String,
    quantity: u32,
    needed: u32,
    spare: u32,
    spare_why: Option<&'static str>,
    each: String,
    line: String,
    refs: Vec<String>,
}

/// Pieces from the shelf.
#[derive(Debug, Clone, Serialize)]
pub struct ShelfRow {
    number: String,
    quantity: u32,
    line: String,
    refs: Vec<String>,
}

/// One bill.
#[derive(Debug, Clone, Serialize)]
pub struct BillRow {
    supplier: String,
    goods: String,
    carriage: String,
    fee: String,
    total: String,
    to_free_carriage: Option<String>,
}

/// Totals.
#[derive(Debug, Clone, Serialize)]
pub struct TotalsRow {
    goods: String,
    carriage: String,
    fees: String,
    landed: String,
    bound: String,
    gap_percent: f64,
    proven: bool,
    #[serde(flatten)]
    together: Option<TogetherRow>,
}

/// What ordering together saves, where there are several jobs.
#[derive(Debug, Clone, Serialize)]
pub struct TogetherRow {
    alone: String,
    alone_bound: String,
    together_saves: String,
    together_saves_least: String,
    together_proven: bool,
}

/// Ordering by hand.
#[derive(Debug, Clone, Serialize)]
pub struct ByHandRow {
    landed: Option<String>,
    one_supplier: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<String>,
}

/// Writes amounts with the digits of one currency.
#[derive(Debug, Clone, Copy)]
pub struct Digits(pub u8);

impl Digits {
    /// Rounded to the minor unit.
    pub fn text(self, money: Money) -> String {
        money.text(self.0)
    }

    /// A unit price, with the decimals that it has.
    pub fn each(self, money: Money) -> String {
        money.exact_text(self.0)
    }
}

impl PlanDocument {
    /// From the plan.
    pub fn new(plan: &Plan) -> Self {
        let digits = Digits(plan.currency.minor_digits());
        Self {
            common: Common::of_plan("plan", plan),
            currency: plan.currency.to_string(),
            judged: Judged::new(
                &plan.inspections,
                plan.can_wait.iter().map(|w| WaitRow::new(w, Some(digits.0))).collect(),
            ),
            under_ceiling: plan.under_ceiling.as_ref().map(|u| CeilingRow::new(u, digits)),
            needs: plan.needs.iter().map(NeedRow::new).collect(),
            fits: plan.fits.iter().map(FitRow::new).collect(),
            buy: plan.buy.iter().map(|b| BuyRow::new(b, digits)).collect(),
            shelf: plan.shelf.iter().map(|s| ShelfRow::new(s, digits)).collect(),
            cans: plan.cans.iter().map(|c| CanRow::new(c, digits)).collect(),
            suppliers: plan.bills.iter().map(|b| BillRow::new(b, digits)).collect(),
            totals: TotalsRow::new(plan, digits),
            unmet: plan.unmet.iter().map(UnmetRow::new).collect(),
            by_hand: ByHandRow::new(&plan.by_hand, digits),
            jobs: JobRow::of(plan, digits),
            why: plan.story.as_ref().map(|s| StoryRow::new(s, digits)),
        }
    }
}

impl StoryRow {
    fn new(story: &Story, digits: Digits) -> Self {
        let best = story.best.iter().map(|o| BestRow {
            number: o.number.clone(),
            each: o.each.map(|m| digits.each(m)),
            in_order: o.in_order,
            cautions: o.cautions.clone(),
        });
        let costs = story.costs.iter().map(|c| CostRow {
            what: c.what.clone(),
            difference: c.difference.map(|m| digits.text(m)),
            proven: c.proven,
            instead: c.instead.as_ref().map(FitRow::new),
            meets: c.meets.clone(),
        });
        Self {
            reference: story.reference.clone(),
            best: best.collect(),
            costs: costs.collect(),
            firm: story.firm.clone(),
        }
    }
}

impl JobRow {
    /// One for each job, in the order of the plan's.
    pub fn of(plan: &Plan, digits: Digits) -> Vec<Self> {
        let alone = |n: usize| {
            let of_job = plan.together.as_ref()?.jobs.get(n)?;
            Some(AloneRow {
                alone: digits.text(of_job.landed),
                alone_bound: digits.text(of_job.bound),
                alone_lacks: of_job.lacks.clone(),
                alone_gains: of_job.gains.clone(),
            })
        };
        let shares = plan.inspections.iter().zip(&plan.job_shares).enumerate();
        let row = |(n, (i, share)): (usize, (&crate::model::plan::Inspection, &Money))| Self {
            job: i.job.clone(),
            share: digits.text(*share),
            alone: alone(n),
        };
        shares.map(row).collect()
    }
}

impl BuyRow {
    /// From one line.
    pub fn new(line: &BuyLine, digits: Digits) -> Self {
        Self {
            supplier: line.supplier.clone(),
            number: line.number.clone(),
            quantity: line.quantity,
            needed: line.needed,
            spare: line.spare,
            spare_why: line.spare_why.map(crate::model::plan::SpareWhy::word),
            each: digits.each(line.each),
            // With every decimal it has, so that the lines add up to the goods.
            line: digits.each(line.line),
            refs: line.refs.clone(),
        }
    }
}

impl ShelfRow {
    /// From one taking.
    pub fn new(take: &ShelfTake, digits: Digits) -> Self {
        Self {
            number: take.number.clone(),
            quantity: take.quantity,
            line: digits.each(take.line),
            refs: take.refs.clone(),
        }
    }
}

impl BillRow {
    /// From one bill.
    pub fn new(bill: &SupplierBill, digits: Digits) -> Self {
        Self {
            supplier: bill.supplier.clone(),
            goods: digits.text(bill.goods),
            carriage: digits.text(bill.carriage),
            fee: digits.text(bill.fee),
            total: digits.text(bill.total),
            to_free_carriage: bill.to_free_carriage.map(|m| digits.text(m)),
        }
    }
}

impl TotalsRow {
    /// From the plan.
    pub fn new(plan: &Plan, digits: Digits) -> Self {
        let totals = &plan.totals;
        Self {
            goods: digits.text(totals.goods),
            carriage: digits.text(totals.carriage),
            fees: digits.text(totals.fees),
            landed: digits.text(totals.landed),
            bound: digits.text(totals.bound),
            gap_percent: totals.gap_percent,
            proven: totals.proven,
            together: plan.together.as_ref().map(|t| TogetherRow {
                alone: digits.text(t.alone),
                alone_bound: digits.text(t.bound),
                together_saves: digits.text(t.saves),
                together_saves_least: digits.text(t.saves_least),
                together_proven: t.proven(),
            }),
        }
    }
}

impl ByHandRow {
    fn new(by_hand: &ByHand, digits: Digits) -> Self {
        let amount = |r: &Result<Money, String>| r.as_ref().ok().map(|m| digits.text(*m));
        let reasons: Vec<&String> =
            [&by_hand.landed, &by_hand.one_supplier].into_iter().filter_map(|r| r.as_ref().err()).collect();
        Self {
            landed: amount(&by_hand.landed),
            one_supplier: amount(&by_hand.one_supplier),
            why: reasons.first().map(|r| (*r).clone()),
        }
    }
}
