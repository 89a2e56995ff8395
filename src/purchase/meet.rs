//! Which positions can be met at all, and why the others cannot.

use super::clock::Clock;
use super::milp::{Aim, Scope};
use super::model::{Band, Model};
use super::outcome::{Unmet, UnmetWhy};
use super::plan::Plan;
use super::primal;
use super::problem::Problem;
use super::table::Table;

/// What can be met, and a plan for it where one was found on the way.
pub(super) struct Met {
    pub(super) unmet: Vec<Unmet>,
    pub(super) plan: Option<Plan>,
}

/// Takes the positions that cannot be met out of the model.
pub(super) fn settle(problem: &Problem, model: &mut Model, clock: &Clock) -> Met {
    let mut unmet: Vec<Unmet> = model.hopeless.iter().map(|p| unmet_for(*p, UnmetWhy::NoArrangement)).collect();
    for c in 0..model.classes.len() {
        if model.classes[c].ways.iter().all(|w| w.uses.iter().any(|u| !any_source_has(model, u.0))) {
            let members = std::mem::take(&mut model.classes[c].members);
            unmet.extend(members.iter().map(|m| unmet_for(m.0, UnmetWhy::NoArrangement)));
        }
    }
    model.settle(problem);
    // Greed may find nothing lawful where patience does, and the programme below is dear for large orders.
    let mut plan = primal::first(model).or_else(|| primal::plan(model, clock));
    if plan.is_none() {
        let solved = Scope::all(model).solve(model, Aim::Meet, &[], None);
        let left = solved
            .as_ref()
            .map_or_else(|| model.classes.iter().map(super::model::Class::count).collect(), |s| s.unmet.clone());
        let why = reason(model, &left);
        for (c, n) in left.iter().enumerate() {
            let class = &mut model.classes[c];
            let keep = class.members.len().saturating_sub(*n as usize);
            let lost = class.members.split_off(keep);
            unmet.extend(lost.iter().map(|m| unmet_for(m.0, why)));
        }
        model.settle(problem);
        plan = solved.map(|s| s.plan.trimmed(model)).filter(|p| p.worth(model).is_some());
    }
    unmet.sort_by_key(|u| u.position);
    Met { unmet, plan }
}

fn unmet_for(position: usize, why: UnmetWhy) -> Unmet {
    Unmet { position, why }
}

/// Whether any source has enough for one chunk of the row.
fn any_source_has(model: &Model, r: usize) -> bool {
    let row = &model.rows[r];
    row.any_of.iter().any(|s| {
        let src = &model.sources[*s];
        src.most() >= row.weight() + model.rules.spare(src.class, row.take)
    })
}

/// Which of the limits, once lifted, lets more be met.
fn reason(model: &Model, left: &Table<u32>) -> UnmetWhy {
    let missing: u32 = left.iter().sum();
    let fewer = |lifted: &Model, scope: &Scope| {
        scope.solve(lifted, Aim::Meet, &[], None).is_some_and(|s| s.unmet.iter().sum::<u32>() < missing)
    };
    let scope = Scope::all(model);
    let lifted = Model { max_suppliers: None, ..model.clone() };
    if model.max_suppliers.is_some() && fewer(&lifted, &scope) {
        return UnmetWhy::MaxSuppliers;
    }
    let mut free = scope;
    for bands in free.bands.iter_mut() {
        for band in bands.iter_mut() {
            *band = Band { least: 0, ..*band };
        }
    }
    if fewer(model, &free) { UnmetWhy::MinimumOrder } else { UnmetWhy::Stock }
}
