//! The parts list: one line for each position, old to new, with ratings, margin, rule and cost.

use super::block::{Cell, Column, Table};
use super::describe::{fitting, old_part, refs};
use super::machine::label;
use crate::model::chassis::Job;
use crate::model::finding::Judgement;
use crate::model::part::Part;
use crate::model::plan::{Fitting, Plan};
use crate::money::Money;
use crate::sheet::ratings::rating;
use crate::units::print::significant;
use crate::units::{Ampere, Hertz, Volt, Watt};
use crate::verify::own::own;

/// One position of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Line<'a> {
    /// References, as the plan writes them.
    pub refs: Vec<String>,
    /// What is there now, as marked, in the order of `refs`.
    pub old: Vec<String>,
    /// What is fitted; `None`: nothing meets the need.
    pub fit: Option<&'a Fitting>,
    /// The new part in words; for a need that nothing meets, the need.
    pub new: String,
    /// What it must stand against what it stands.
    pub ratings: Ratings,
    /// The rules that asked for it, the weightiest.
    pub rules: Vec<&'static str>,
}

/// Ratings, of the reference with the least margin where there are several.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Ratings {
    /// The least rating that will do.
    pub needed: Option<Volt>,
    /// What the new part stands, an arrangement as a whole.
    pub rated: Option<Volt>,
    /// Power needed, with the derating of the rules.
    pub watts_needed: Option<Watt>,
    /// Power rating.
    pub watts_rated: Option<Watt>,
    /// Ripple current, rms, whatever its frequency.
    pub ripple_needed: Option<Ampere>,
    /// Ripple rating.
    pub ripple_rated: Option<Ampere>,
    /// Frequency of that rating.
    pub ripple_at: Option<Hertz>,
}

impl Ratings {
    /// Rating less what is needed.
    pub fn margin(&self) -> Option<Volt> {
        self.needed.zip(self.rated).map(|(h, r)| r - h)
    }
}

/// The positions of the plan of these jobs, those that nothing meets last.
pub fn lines<'a>(jobs: &[Job], plan: &'a Plan) -> Vec<Line<'a>> {
    let old = |refs: &[String]| refs.iter().filter_map(|r| part_of(jobs, plan, r)).map(old_part).collect();
    let fitted = plan.fits.iter().map(|fit| Line {
        refs: fit.refs.clone(),
        old: old(&fit.refs),
        fit: Some(fit),
        new: fitting(fit),
        ratings: ratings(plan, fit),
        rules: rules_of(plan, &fit.refs),
    });
    let unmet = plan.unmet.iter().map(|u| Line {
        refs: vec![u.reference.clone()],
        old: old(std::slice::from_ref(&u.reference)),
        fit: None,
        new: format!("NOT MET, needs {}", u.need),
        ratings: Ratings::default(),
        rules: rules_of(plan, std::slice::from_ref(&u.reference)),
    });
    fitted.chain(unmet).collect()
}

/// Builds the list from the plan of these jobs.
pub fn table(jobs: &[Job], plan: &Plan) -> Table {
    let text = ["refs", "old part", "new part", "arrangement"].map(Column::text);
    let figures = [
        "needed V",
        "rated V",
        "margin V",
        "watts needed",
        "watts rated",
        "ripple needed mA",
        "ripple rated mA",
        "rated at Hz",
    ];
    let figures = figures.map(Column::figures);
    let mut columns: Vec<Column> = text.into_iter().chain(figures).collect();
    columns.extend(["rule", "supplier", "number"].map(Column::text));
    columns.extend(["pieces".to_owned(), format!("cost {}", plan.currency)].iter().map(|h| Column::figures(h)));
    let lines = lines(jobs, plan);
    let rows = lines.iter().map(|line| row(plan, line)).collect();
    let total: Money = plan.fits.iter().map(|f| f.cost).sum();
    let pieces = plan.fits.iter().map(pieces_of).sum();
    let mut last = vec![Cell::Blank; columns.len()];
    if let [first, .., count, cost] = last.as_mut_slice() {
        *first = Cell::text("total");
        *count = Cell::count(pieces);
        *cost = Cell::amount(total, plan.currency.minor_digits());
    }
    Table { columns, rows, total: Some(last) }
}

fn row(plan: &Plan, line: &Line<'_>) -> Vec<Cell> {
    let ratings = line.ratings;
    let number = |v: Option<f64>| v.map_or(Cell::Blank, |v| Cell::Number { value: v, shown: significant(v, 3) });
    let pieces = || line.fit.into_iter().flat_map(|f| f.parts.iter().chain(f.extras.iter().map(|e| &e.piece)));
    let suppliers = pieces().map(|p| p.supplier.clone().unwrap_or_else(|| "shelf".to_owned()));
    let numbers = pieces().map(|p| p.number.clone());
    let joined = |texts: Vec<String>| Cell::text(texts.join("; "));
    vec![
        Cell::text(refs(&line.refs)),
        joined(line.old.clone()),
        Cell::text(line.new.clone()),
        Cell::text(line.fit.map(|f| f.arrangement.word()).unwrap_or_default()),
        number(ratings.needed.map(Volt::get)),
        number(ratings.rated.map(Volt::get)),
        number(ratings.margin().map(Volt::get)),
        number(ratings.watts_needed.map(Watt::get)),
        number(ratings.watts_rated.map(Watt::get)),
        number(ratings.ripple_needed.map(Ampere::milli)),
        number(ratings.ripple_rated.map(Ampere::milli)),
        number(ratings.ripple_at.map(Hertz::get)),
        Cell::text(line.rules.join(" ")),
        joined(suppliers.collect()),
        joined(numbers.collect()),
        line.fit.map_or(Cell::Blank, |f| Cell::count(pieces_of(f))),
        line.fit.map_or(Cell::Blank, |f| Cell::amount(f.cost, plan.currency.minor_digits())),
    ]
}

/// Every piece of a position, its extras too, as its cost holds them.
fn pieces_of(fit: &Fitting) -> u32 {
    fit.parts.iter().chain(fit.extras.iter().map(|e| &e.piece)).map(|p| p.count).sum()
}

/// The ratings at the reference with the least margin of volts.
fn ratings(plan: &Plan, fit: &Fitting) -> Ratings {
    let at = |label: &String| {
        let need = plan.needs.iter().find(|n| n.reference == *label);
        let own = own(plan, fit, label);
        let own = own.as_ref().unwrap_or(fit);
        let article = || own.parts.iter().map(|p| &p.article);
        Ratings {
            needed: need.and_then(|n| n.volts_min),
            rated: rating(own),
            watts_needed: need.and_then(|n| n.watts_min),
            watts_rated: article().filter_map(|a| a.watts).reduce(Watt::min),
            ripple_needed: need.and_then(|n| n.ripple).map(|r| r.total),
            ripple_rated: article().filter_map(|a| a.ripple.as_ref()).map(|r| r.current).reduce(Ampere::min),
            ripple_at: article().find_map(|a| a.ripple.as_ref().and_then(|r| r.at)),
        }
    };
    let margin = |r: &Ratings| r.margin().map_or(f64::INFINITY, Volt::get);
    fit.refs
        .iter()
        .map(at)
        .reduce(|least, next| if margin(&next) < margin(&least) { next } else { least })
        .unwrap_or_default()
}

/// The rules whose findings weigh most, in the order of the rules.
fn rules_of(plan: &Plan, labels: &[String]) -> Vec<&'static str> {
    let mut rules: Vec<&'static str> = Vec::new();
    for judgement in labels.iter().filter_map(|l| judgement_of(plan, l)) {
        let most = judgement.findings.iter().map(|f| f.call).max();
        for finding in judgement.findings.iter().filter(|f| Some(f.call) == most) {
            if !rules.contains(&finding.rule) {
                rules.push(finding.rule);
            }
        }
    }
    rules
}

/// The part that a label of the plan stands for.
pub fn part_of<'a>(jobs: &'a [Job], plan: &Plan, wanted: &str) -> Option<&'a Part> {
    jobs.iter()
        .flat_map(|j| j.parts.iter().map(move |p| (j, p)))
        .find(|(j, p)| label(&plan.inspections, &j.name, &p.reference) == wanted)
        .map(|(_, p)| p)
}

/// The judgement that a label of the plan stands for.
pub fn judgement_of<'a>(plan: &'a Plan, wanted: &str) -> Option<&'a Judgement> {
    plan.inspections
        .iter()
        .flat_map(|i| i.judgements.iter().map(move |j| (i, j)))
        .find(|(i, j)| label(&plan.inspections, &i.job, &j.reference) == wanted)
        .map(|(_, j)| j)
}
