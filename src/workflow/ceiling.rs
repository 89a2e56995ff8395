//! When money is short: what must be done is done, and of what is only advised that which takes away
//! most of the expected trouble within the ceiling; the rest waits.
//!
//! Only works that are advised by age, policy or prevention are ever left; what fails or is unsafe is
//! bought whatever it costs, and the job is then held. The trouble is that of [`trouble`](crate::rules::trouble()): it ranks
//! parts against each other and foretells nothing.

mod items;
mod search;

use std::cell::RefCell;
use std::collections::BTreeMap;

use self::items::Advised;
use self::search::{Priced, Terms};
use super::order::Order;
use super::plan::in_order_of_parts;
use super::{Choices, PlanError, record};
use crate::model::chassis::Job;
use crate::model::finding::{Call, Decision, Finding, Judgement};
use crate::model::plan::{CanWait, Fitting, Inspection, Plan, UnderCeiling};
use crate::model::shop::Shop;
use crate::money::Money;
use crate::purchase::{Item, Limits, Purchase, by_hand, solve};
use crate::quote::quote;
use crate::rules::{TotalOf, can_wait_finding};
use crate::substitute::arrange::Position;
use crate::substitute::candidates::Found;

/// Pieces of worth that the most troublesome work has: finer differences are not told apart.
const FINENESS: f64 = 10_000.0;

/// Most and fewest orders that are worked out to choose, and at most half as many again to price what waits.
const ORDERS: (u64, u64) = (3, 64);
/// Integer programmes over all those orders: where the whole order took many, fewer orders are worked out.
const PROGRAMMES: u64 = 4_000;

/// What the orders are made from.
#[derive(Clone, Copy)]
pub(super) struct Scene<'s, 'a> {
    pub(super) jobs: &'s [Job],
    pub(super) shop: &'s Shop,
    pub(super) choices: &'s Choices,
    pub(super) positions: &'s [Position],
    pub(super) order: &'s Order<'a>,
    /// What comes after the days promised.
    pub(super) late: &'s Found<'a>,
}

impl<'s> Scene<'s, '_> {
    /// What the quote is made for.
    const fn paid(&self) -> (&'s [Job], &'s Shop) {
        (self.jobs, self.shop)
    }
}

/// A plan over part of the positions, with what it was made from.
pub(super) struct Within<'a> {
    plan: Plan,
    positions: Vec<Position>,
    order: Order<'a>,
    purchase: Purchase,
}

impl Within<'_> {
    /// What the plan was made from, in the place of what the whole one was made from.
    pub(super) fn bought<'w>(&'w self, whole: &record::Bought<'w>) -> record::Bought<'w> {
        record::Bought { positions: &self.positions, order: &self.order, purchase: &self.purchase, ..*whole }
    }
}

/// Everything that is only advised, with what its pieces cost in this plan where it has one.
pub fn can_wait(jobs: &[Job], inspections: &[Inspection], plan: Option<&Plan>) -> Vec<CanWait> {
    let row = |work: &Advised| {
        let fits = |f: &&Fitting| f.refs.iter().any(|r| work.refs.contains(r));
        let money = plan.map(|p| p.fits.iter().filter(fits).map(|f| f.cost).sum());
        rows(work, money, |_| match (plan, money) {
            (Some(plan), Some(money)) => {
                format!("only advised, could wait: its pieces cost {}", text(money, plan))
            }
            _ => "only advised, can wait where money or time is short".to_owned(),
        })
    };
    items::advised(jobs, inspections).iter().flat_map(row).collect()
}

/// Puts in the plan's place the one within the caller's ceiling, where something must wait for it, and
/// gives what that one was made from. Without a ceiling it tells what could wait.
///
/// # Errors
/// What the purchase room fails with.
pub(super) fn within<'a>(plan: &mut Plan, scene: &Scene<'_, 'a>) -> Result<Option<Within<'a>>, PlanError> {
    let Some(ceiling) = scene.choices.ceiling else {
        plan.can_wait = can_wait(scene.jobs, &plan.inspections, Some(plan));
        return Ok(None);
    };
    let within = chosen(plan, scene, ceiling)?;
    if let Some(within) = &within {
        *plan = within.plan.clone();
    }
    Ok(within)
}

/// The plan within the ceiling; `None` where nothing need or can wait.
fn chosen<'a>(plan: &Plan, scene: &Scene<'_, 'a>, ceiling: Money) -> Result<Option<Within<'a>>, PlanError> {
    let (full, of) = total(plan, scene.paid());
    let of_quote = of == TotalOf::Quote;
    if full <= ceiling {
        return Ok(None);
    }
    let fitted = |r: &String| plan.fits.iter().any(|f| f.refs.contains(r));
    let bought = |work: &Advised| work.refs.iter().all(fitted);
    let works: Vec<Advised> = items::advised(scene.jobs, &plan.inspections).into_iter().filter(bought).collect();
    if works.is_empty() {
        return Ok(None);
    }
    let bench = Bench { plan, scene, works: &works, ceiling, known: RefCell::default(), best: RefCell::default() };
    let least = bench.order(&vec![false; works.len()])?;
    let (base, _) = total(&least.plan, scene.paid());
    let mut under = UnderCeiling {
        ceiling,
        least: base,
        total: base,
        of_quote,
        done: 0,
        waiting: works.len(),
        proven: true,
        tried: 2,
    };
    if ceiling < base {
        return Ok(Some(bench.told(least, &bench.items(full - base), under)?));
    }
    let items = bench.items(full - base);
    let terms = Terms { ceiling, base, rising: !of_quote, most: bench.most_orders() };
    let chosen = search::choose(&items, terms, &mut |taken| bench.priced(taken))?;
    let kept = bench.best.take().filter(|(taken, _)| *taken == chosen.taken);
    let best = match kept {
        Some((_, best)) => best,
        None => bench.order(&chosen.taken)?,
    };
    (under.total, _) = total(&best.plan, scene.paid());
    under.done = chosen.taken.iter().filter(|t| **t).count();
    under.waiting = works.len() - under.done;
    under.proven = chosen.proven && best.plan.totals.proven;
    under.tried += chosen.tried;
    Ok(Some(bench.told(best, &items, under)?))
}

/// What a ceiling is compared with: the quote's total where labour can be priced, else the order, landed.
pub(super) fn total(plan: &Plan, (jobs, shop): (&[Job], &Shop)) -> (Money, TotalOf) {
    let quoted = if shop.quote.labour.is_empty() { None } else { quote(jobs, plan, &shop.quote, None).ok() };
    quoted.map_or((plan.totals.landed, TotalOf::Landed), |q| (q.sums.total, TotalOf::Quote))
}

/// An amount with the plan's currency.
fn text(money: Money, plan: &Plan) -> String {
    format!("{} {}", money.text(plan.currency.minor_digits()), plan.currency)
}

/// One row for each reference of a work.
fn rows(work: &Advised, money: Option<Money>, says: impl Fn(&str) -> String) -> Vec<CanWait> {
    let with = |r: &String| {
        let others: Vec<&str> = work.refs.iter().filter(|o| *o != r).map(String::as_str).collect();
        let with =
            if others.is_empty() { String::new() } else { format!("; done together with {}", others.join(", ")) };
        CanWait {
            reference: r.clone(),
            together: work.refs.clone(),
            money,
            trouble: work.trouble,
            says: format!("{}{with}", says(r)),
        }
    };
    work.refs.iter().map(with).collect()
}

/// Works out orders over part of the positions.
struct Bench<'s, 'p, 'a> {
    plan: &'p Plan,
    scene: &'p Scene<'s, 'a>,
    works: &'p [Advised],
    ceiling: Money,
    /// What was worked out already.
    known: RefCell<BTreeMap<Vec<bool>, Priced>>,
    /// The last order within the ceiling that beat all before it.
    best: RefCell<Option<(Vec<bool>, Within<'a>)>>,
}

impl<'a> Bench<'_, '_, 'a> {
    /// The works as the search sees them: worth by trouble, price guessed from the share of the pieces
    /// in what all of them add.
    fn items(&self, all: Money) -> Vec<Item> {
        let pieces = |work: &Advised| -> Money {
            self.plan.fits.iter().filter(|f| f.refs.iter().any(|r| work.refs.contains(r))).map(|f| f.cost).sum()
        };
        // Labour and carriage are shared out evenly, so that a work of free pieces is not taken as free.
        let goods: i64 = self.works.iter().map(|w| pieces(w).ten_thousandths()).sum();
        let even = i64::try_from(self.works.len()).unwrap_or(i64::MAX);
        let least = Money::ZERO.max(all - Money::from_ten_thousandths(goods)).ratio(1, even.max(1));
        let highest = self.works.iter().map(|w| w.trouble).fold(f64::MIN_POSITIVE, f64::max);
        let item = |work: &Advised| Item { worth: worth(work.trouble / highest), price: pieces(work) + least };
        self.works.iter().map(item).collect()
    }

    /// How many orders may be worked out, by what the whole one took.
    fn most_orders(&self) -> usize {
        let most = (PROGRAMMES / (self.plan.effort.programmes + 1)).clamp(ORDERS.0, ORDERS.1);
        usize::try_from(most).unwrap_or(usize::MAX)
    }

    /// The trouble that a choice takes away.
    fn taken_away(&self, taken: &[bool]) -> f64 {
        self.works.iter().zip(taken).filter(|(_, t)| **t).map(|(w, _)| w.trouble).sum()
    }

    /// What the order of a choice comes to.
    fn priced(&self, taken: &[bool]) -> Result<Priced, PlanError> {
        if let Some(known) = self.known.borrow().get(taken) {
            return Ok(*known);
        }
        let within = self.order(taken)?;
        let fitted = |r: &String| within.plan.fits.iter().any(|f| f.refs.contains(r));
        let mut taken_works = self.works.iter().zip(taken).filter(|(_, t)| **t).map(|(w, _)| w);
        let all_bought =
            within.plan.unmet.len() <= self.plan.unmet.len() && taken_works.all(|w| w.refs.iter().all(fitted));
        let (total, _) = total(&within.plan, self.scene.paid());
        let priced = Priced { total: all_bought.then_some(total), least: within.plan.totals.proven };
        self.known.borrow_mut().insert(taken.to_vec(), priced);
        let better = |best: &(Vec<bool>, Within<'a>)| self.taken_away(&best.0) < self.taken_away(taken);
        if all_bought && total <= self.ceiling && self.best.borrow().as_ref().is_none_or(better) {
            self.best.replace(Some((taken.to_vec(), within)));
        }
        Ok(priced)
    }

    /// The plan in which the works not taken wait. Every offer stays in the problem, so that the order
    /// for fewer works never costs more than one that serves them too.
    fn order(&self, taken: &[bool]) -> Result<Within<'a>, PlanError> {
        let waits = |r: &String| self.waits(taken, r);
        let stays: Vec<usize> = (0..self.scene.positions.len())
            .filter(|i| self.scene.positions.get(*i).is_some_and(|p| !p.refs.iter().any(waits)))
            .collect();
        let positions: Vec<Position> = stays.iter().filter_map(|i| self.scene.positions.get(*i)).cloned().collect();
        let whole = self.scene.order;
        let mut problem = whole.problem.clone();
        problem.positions = stays.iter().filter_map(|i| whole.problem.positions.get(*i)).cloned().collect();
        let order = Order {
            problem,
            sources: whole.sources.clone(),
            alternatives: stays.iter().filter_map(|i| whole.alternatives.get(*i)).cloned().collect(),
        };
        let limits = Limits { seconds: self.scene.choices.seconds, ..Limits::default() };
        let purchase = solve(&order.problem, &limits).map_err(PlanError::Purchase)?;
        let plan = self.recorded(&positions, &order, &purchase, taken);
        Ok(Within { plan, positions, order, purchase })
    }

    /// Whether a reference is of a work that waits.
    fn waits(&self, taken: &[bool], reference: &String) -> bool {
        self.works.iter().zip(taken).any(|(work, taken)| !taken && work.refs.contains(reference))
    }

    /// The whole plan with this order in the place of its own.
    fn recorded(&self, positions: &[Position], order: &Order<'a>, purchase: &Purchase, taken: &[bool]) -> Plan {
        let Scene { jobs, shop, choices, late, .. } = *self.scene;
        let bought = record::Bought { positions, order, purchase, shop, jobs };
        let of_positions = |r: &String| self.scene.positions.iter().any(|p| p.refs.contains(r));
        let mut unmet: Vec<_> = self.plan.unmet.iter().filter(|u| !of_positions(&u.reference)).cloned().collect();
        unmet.extend(record::unmet(positions, late, purchase, (shop, choices)));
        in_order_of_parts(&mut unmet, &self.plan.inspections);
        let mut inspections = record::done(&bought, &self.plan.inspections);
        for (inspection, judgement) in judgements(&mut inspections) {
            let label = label(jobs, &inspection, &judgement.reference);
            if self.waits(taken, &label) {
                left(judgement, can_wait_finding("can wait"));
            }
        }
        Plan {
            fits: record::fits(&bought),
            buy: record::buy(&bought),
            shelf: record::shelf(&bought),
            bills: record::bills(&bought),
            totals: record::totals(&purchase.totals),
            needs: self.plan.needs.iter().filter(|n| !self.waits(taken, &n.reference)).cloned().collect(),
            unmet,
            stopped: purchase.totals.stopped,
            effort: record::effort(purchase),
            inspections,
            ..self.plan.clone()
        }
    }

    /// Writes into the chosen plan what can wait, what each work would add, and how it was chosen.
    fn told(&self, mut within: Within<'a>, items: &[Item], under: UnderCeiling) -> Result<Within<'a>, PlanError> {
        let met = |p: usize| !within.purchase.unmet.iter().any(|u| u.position == p);
        within.plan.by_hand = record::by_hand(&by_hand(&within.order.problem, met));
        let bought = |work: &Advised| within.plan.fits.iter().any(|f| f.refs.iter().any(|r| work.refs.contains(r)));
        let taken: Vec<bool> = self.works.iter().map(bought).collect();
        let mut exact = self.most_orders() / 2;
        let mut can_wait = Vec::new();
        for (at, (work, item)) in self.works.iter().zip(items).enumerate() {
            if taken.get(at).copied().unwrap_or(true) {
                continue;
            }
            let adds = if exact > 0 { self.adds(&taken, at, under.total)? } else { None };
            exact = exact.saturating_sub(1);
            let says = self.says(adds.ok_or(item.price), work, &under);
            for (job, judgement) in judgements(&mut within.plan.inspections) {
                if work.refs.contains(&label(self.scene.jobs, &job, &judgement.reference))
                    && let Some(first) = judgement.findings.first_mut()
                {
                    first.says.clone_from(&says);
                }
            }
            can_wait.extend(rows(work, Some(adds.unwrap_or(item.price)), |_| says.clone()));
        }
        within.plan.can_wait = can_wait;
        within.plan.under_ceiling = Some(under);
        Ok(within)
    }

    /// What one more work would add to the chosen order; `None` where it cannot be bought besides.
    fn adds(&self, taken: &[bool], at: usize, chosen: Money) -> Result<Option<Money>, PlanError> {
        let more: Vec<bool> = taken.iter().enumerate().map(|(i, t)| *t || i == at).collect();
        Ok(self.priced(&more)?.total.map(|total| total - chosen))
    }

    /// What a work that waits would add (or about that, where it was not worked out), and why it waits.
    fn says(&self, adds: Result<Money, Money>, work: &Advised, under: &UnderCeiling) -> String {
        let trouble = crate::units::print::significant(work.trouble, 2);
        let adds = match adds {
            Ok(money) => text(money, self.plan),
            Err(about) => format!("about {}", text(about, self.plan)),
        };
        format!(
            "advised, can wait: would add {adds} under a ceiling of {}; expected trouble {trouble} (for ranking only)",
            text(under.ceiling, self.plan)
        )
    }
}

/// Every judgement with the name of its job.
fn judgements(inspections: &mut [Inspection]) -> impl Iterator<Item = (String, &mut Judgement)> {
    inspections.iter_mut().flat_map(|i| {
        let job = i.job.clone();
        i.judgements.iter_mut().map(move |j| (job.clone(), j))
    })
}

/// The reference as the plan writes it.
fn label(jobs: &[Job], job: &str, reference: &str) -> String {
    if jobs.len() > 1 { format!("{job}/{reference}") } else { reference.to_owned() }
}

/// Leaves a part for now: its reason is printed first, what advised it stays.
fn left(judgement: &mut Judgement, reason: Finding) {
    judgement.decision = Decision::Keep;
    judgement.how = None;
    judgement.findings.insert(0, Finding { call: Call::Keep, ..reason });
    judgement.measure_next.clear();
}

/// Trouble as a share of the highest, in whole pieces; at least one.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of one in whole pieces")]
fn worth(share: f64) -> u32 {
    (share.clamp(0.0, 1.0) * FINENESS).round().max(1.0) as u32
}
