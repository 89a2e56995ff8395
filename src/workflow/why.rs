//! The story of one position, from what was seen to what was bought, and what each wish costs.
//!
//! Costs are found by solving again with one thing changed, never guessed.

use super::again::nothing;
use super::intake::Finds;
use super::wish::Wish;
use super::{Choices, PlanError, around, record};
use crate::model::need::{Answer, PointKind};
use crate::model::plan::{Inspection, Story, StoryOffer, WishCost};
use crate::money::{Money, Rate};
use crate::substitute::candidates::{Ask, Source, Target};
use crate::substitute::check;

/// At most so many offers are shown as the best.
const MOST_BEST: usize = 5;

/// What a story is told from.
pub(super) struct Told<'a> {
    /// What was bought.
    pub(super) bought: &'a record::Bought<'a>,
    /// What was found.
    pub(super) finds: &'a Finds<'a>,
    /// The wishes that bind at the place, in the order of the searches without them.
    pub(super) wishes: &'a [Wish],
    /// What was asked for.
    pub(super) choices: &'a Choices,
}

/// Tells the story of one reference, given as [`known`] gives it.
///
/// # Errors
/// Solving again fails.
pub(super) fn story(label: String, told: &Told<'_>) -> Result<Story, PlanError> {
    let place = told.finds.place.asks.iter().enumerate().find(|(_, a)| a.name == label);
    let position = told.bought.positions.iter().position(|p| p.refs.contains(&label));
    let mut costs = Vec::new();
    if let Some(position) = position {
        costs.extend(around::costs(told, &label, position)?);
        for (wish, found) in told.wishes.iter().zip(&told.finds.given_up) {
            costs.push(told.with_candidates(wish.what.clone(), &label, (found, told.choices))?);
        }
    }
    costs.extend(told.other_days(&label)?);
    costs.extend(told.other_suppliers(&label)?);
    Ok(Story {
        best: place.map(|(index, ask)| best(index, ask, told)).unwrap_or_default(),
        missed: position.and_then(|p| told.bought.positions.get(p)).map(|p| p.nearest.clone()).unwrap_or_default(),
        costs,
        firm: place.map(|(_, ask)| firm(ask)).unwrap_or_default(),
        reference: label,
    })
}

/// The reference as the plan writes it; `JOB/REF` may be shortened where only one job has it.
///
/// # Errors
/// No parts list has it, or several have.
pub(super) fn known(inspections: &[Inspection], reference: &str) -> Result<String, PlanError> {
    let several = inspections.len() > 1;
    let labels = inspections.iter().flat_map(|i| {
        i.judgements.iter().map(move |j| {
            let label = if several { format!("{}/{}", i.job, j.reference) } else { j.reference.clone() };
            (label, j.reference.as_str())
        })
    });
    let hits: Vec<String> = labels
        .filter(|(label, own)| label.eq_ignore_ascii_case(reference) || own.eq_ignore_ascii_case(reference))
        .map(|(label, _)| label)
        .collect();
    match hits.as_slice() {
        [one] => Ok(one.clone()),
        [] => Err(PlanError::NoReference(reference.to_owned())),
        _ => Err(PlanError::SeveralReferences(reference.to_owned(), hits.join(", "))),
    }
}

/// What safety asks of the new part, which no saving is held against.
fn firm(ask: &Ask<'_>) -> Vec<String> {
    let safe = |point: PointKind, rule: &str| match point {
        PointKind::Voltage => !matches!(rule, "accept" | "accept-refused" | "cathode-rating" | "voltage-unproved"),
        PointKind::AcVoltage | PointKind::Class | PointKind::Flameproof | PointKind::Touch | PointKind::LimitFirst => {
            rule != "accept"
        }
        _ => false,
    };
    let reasons = ask.need.why.iter().filter(|w| safe(w.point, w.rule));
    reasons.map(|w| format!("{}: {}", w.point.word().replace('_', " "), w.says)).collect()
}

/// The five that serve alone at the least price of one.
fn best(index: usize, ask: &Ask<'_>, told: &Told<'_>) -> Vec<StoryOffer> {
    let mut serving: Vec<(&Source, Option<Money>)> =
        told.finds.place.serving(Target::Single(index)).map(|(s, _)| (s, told.unit_price(s))).collect();
    serving.sort_by(|a, b| a.1.is_none().cmp(&b.1.is_none()).then(a.1.cmp(&b.1)).then(a.0.key.cmp(&b.0.key)));
    let offer = |(source, each): (&Source, Option<Money>)| StoryOffer {
        number: source.key.to_string(),
        article: source.article.clone(),
        each,
        in_order: told.is_bought(source),
        cautions: check(&ask.need, &source.article, &ask.rules)
            .points
            .into_iter()
            .filter(|p| p.answer != Answer::Fit)
            .map(|p| p.says)
            .collect(),
    };
    serving.into_iter().take(MOST_BEST).map(offer).collect()
}

impl Told<'_> {
    /// The price of one piece in the shop's currency; `None` where it has no rate.
    fn unit_price(&self, source: &Source) -> Option<Money> {
        let shop = self.bought.shop;
        let rate = match source.key.supplier() {
            Some(name) => shop.rate(&shop.supplier(name)?.currency)?,
            None => Rate::ONE,
        };
        source.tiers.first().map(|t| t.each.at_rate(rate))
    }

    /// Whether the order holds it.
    fn is_bought(&self, source: &Source) -> bool {
        let of_line = |l: &crate::purchase::Line| self.bought.order.sources.get(l.source);
        self.bought.purchase.buy.iter().filter_map(of_line).any(|s| s.key == source.key)
    }

    /// What waiting longer than the days promised would save: everything in the catalog allowed.
    fn other_days(&self, label: &str) -> Result<Option<WishCost>, PlanError> {
        let (Some(days), Some(found)) = (self.choices.within_days, &self.finds.whenever) else { return Ok(None) };
        let what = format!("delivery later than the {days} days promised");
        if self.finds.late.sources.is_empty() {
            return Ok(Some(nothing(format!("{what} (nothing that would do comes later)"))));
        }
        self.with_candidates(what, label, (found, self.choices)).map(Some)
    }

    /// What one supplier less would cost, and what a limit on suppliers costs.
    fn other_suppliers(&self, label: &str) -> Result<Vec<WishCost>, PlanError> {
        let used = self.bought.purchase.suppliers.len();
        let problem = &self.bought.order.problem;
        let mut costs = Vec::new();
        if let Some(fewer) = u32::try_from(used).ok().and_then(|u| u.checked_sub(1)).filter(|f| 0 < *f) {
            let mut fewest = problem.clone();
            fewest.rules.max_suppliers = Some(fewer);
            let many = if fewer == 1 { "supplier" } else { "suppliers" };
            costs.push(self.with_problem(format!("from at most {fewer} {many}"), label, fewest)?);
        }
        if let Some(most) = problem.rules.max_suppliers {
            let mut free = problem.clone();
            free.rules.max_suppliers = None;
            costs.push(self.with_problem(format!("without the limit of {most} suppliers"), label, free)?);
        }
        Ok(costs)
    }
}
