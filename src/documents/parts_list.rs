//! The parts list: one line for each position, old to new, with ratings, margin, rule and cost.

use super::block::{Cell, Column, Table};
use super::describe::{fitting, old_part, refs};
use super::machine::label;
use crate::model::chassis::Job;
use crate::model::finding::Judgement;
use crate::model::need::Need;
use crate::model::part::Part;
use crate::model::plan::{Fitting, Plan};
use crate::money::Money;

/// Builds the list from the plan of these jobs.
pub fn table(jobs: &[Job], plan: &Plan) -> Table {
    let columns = vec![
        Column::text("refs"),
        Column::text("old part"),
        Column::text("new part"),
        Column::text("arrangement"),
        Column::figures("highest V"),
        Column::figures("rated V"),
        Column::figures("margin V"),
        Column::text("rule"),
        Column::text("supplier"),
        Column::text("number"),
        Column::figures("pieces"),
        Column::figures(&format!("cost {}", plan.currency)),
    ];
    let rows = plan.fits.iter().map(|fit| row(jobs, plan, fit)).collect();
    let total: Money = plan.fits.iter().map(|f| f.cost).sum();
    let pieces = plan.fits.iter().flat_map(|f| &f.parts).map(|p| p.count).sum();
    let mut last = vec![Cell::Blank; columns.len()];
    for (place, cell) in
        [(0, Cell::text("total")), (10, Cell::count(pieces)), (11, Cell::amount(total, plan.currency.minor_digits()))]
    {
        if let Some(empty) = last.get_mut(place) {
            *empty = cell;
        }
    }
    Table { columns, rows, total: Some(last) }
}

fn row(jobs: &[Job], plan: &Plan, fit: &Fitting) -> Vec<Cell> {
    let old: Vec<String> = fit.refs.iter().filter_map(|r| part_of(jobs, plan, r)).map(old_part).collect();
    let highest =
        fit.refs.iter().filter_map(|r| need_of(plan, r)).filter_map(|n| n.volts_min).reduce(crate::units::Volt::max);
    let rated = rated_volts(fit);
    let margin = highest.zip(rated).map(|(h, r)| r - h.get());
    let volts = |v: Option<f64>| v.map_or(Cell::Blank, |v| Cell::Number { value: v, shown: format!("{v:.0}") });
    let suppliers: Vec<String> =
        fit.parts.iter().map(|p| p.supplier.clone().unwrap_or_else(|| "shelf".to_owned())).collect();
    let numbers: Vec<String> = fit.parts.iter().map(|p| p.number.clone()).collect();
    vec![
        Cell::text(refs(&fit.refs)),
        Cell::text(old.join("; ")),
        Cell::text(fitting(fit)),
        Cell::text(fit.arrangement.word()),
        volts(highest.map(crate::units::Volt::get)),
        volts(rated),
        volts(margin),
        Cell::text(fit.refs.iter().find_map(|r| rule_of(plan, r)).unwrap_or_default()),
        Cell::text(suppliers.join("; ")),
        Cell::text(numbers.join("; ")),
        Cell::count(fit.parts.iter().map(|p| p.count).sum()),
        Cell::amount(fit.cost, plan.currency.minor_digits()),
    ]
}

/// The arrangement's rating: a series pair of equal parts carries the sum.
fn rated_volts(fit: &Fitting) -> Option<f64> {
    let each = fit.parts.iter().filter_map(|p| p.article.volts).reduce(crate::units::Volt::min)?;
    let pieces: u32 = fit.parts.iter().map(|p| p.count).sum();
    let in_series = fit.arrangement == crate::model::plan::ArrangementKind::Series;
    Some(each.get() * if in_series { f64::from(pieces) } else { 1.0 })
}

/// The part that a label of the plan stands for.
pub fn part_of<'a>(jobs: &'a [Job], plan: &Plan, wanted: &str) -> Option<&'a Part> {
    jobs.iter()
        .flat_map(|j| j.parts.iter().map(move |p| (j, p)))
        .find(|(j, p)| label(&plan.inspections, &j.name, &p.reference) == wanted)
        .map(|(_, p)| p)
}

fn need_of<'a>(plan: &'a Plan, wanted: &str) -> Option<&'a Need> {
    plan.needs.iter().find(|n| n.reference == wanted)
}

/// The judgement that a label of the plan stands for.
pub fn judgement_of<'a>(plan: &'a Plan, wanted: &str) -> Option<&'a Judgement> {
    plan.inspections
        .iter()
        .flat_map(|i| i.judgements.iter().map(move |j| (i, j)))
        .find(|(i, j)| label(&plan.inspections, &i.job, &j.reference) == wanted)
        .map(|(_, j)| j)
}

/// The rule that asked for the new part.
fn rule_of(plan: &Plan, wanted: &str) -> Option<&'static str> {
    judgement_of(plan, wanted).and_then(|j| j.findings.first()).map(|f| f.rule)
}
