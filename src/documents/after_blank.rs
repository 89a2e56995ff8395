//! The readings that are due after the work, to be filled in: a table of the form of `after.csv`.

use super::block::{Cell, Column, Table};
use super::sheet::{limit_words, what_words};
use crate::model::finding::{Decision, Judgement};
use crate::model::plan::{Inspection, Plan};
use crate::sheet::Sheet;
use crate::verify::Expected;

/// One line for each reading that is due and for each part that must be said to be done, without figures.
pub fn table(sheet: &Sheet, plan: &Plan) -> Table {
    let columns = ["what", "read", "unit", "note"].map(Column::text).to_vec();
    let mut rows = vec![row("mains".to_owned(), "V", "while the readings are taken".to_owned())];
    let inspection = plan.inspections.iter().find(|i| i.job == sheet.job);
    rows.extend(inspection.into_iter().flat_map(|i| i.judgements.iter().filter_map(|j| done(j, i, plan))));
    let due = sheet.readings.iter().filter(|e| e.due);
    rows.extend(due.map(|e| row(e.what.key(), unit(e), note(e))));
    Table { columns, rows, total: None }
}

/// The keys of the readings that are due, in their order.
pub fn keys(sheet: &Sheet) -> Vec<String> {
    sheet.readings.iter().filter(|e| e.due).map(|e| e.what.key()).collect()
}

fn row(what: String, unit: &str, note: String) -> Vec<Cell> {
    vec![Cell::text(what), Cell::Blank, Cell::text(unit), Cell::text(note)]
}

/// What must be said of a part: where there is no power before it is done, where the plan has nothing, where
/// something is to be found out.
fn done(judgement: &Judgement, inspection: &Inspection, plan: &Plan) -> Option<Vec<Cell>> {
    let why = match judgement.decision {
        Decision::Replace if is_unmet(plan, inspection, judgement) => "yes or no; NOT MET in the plan: what was fitted",
        Decision::Test | Decision::FindOut => "yes or no; what was found out",
        _ if judgement.urgent => "yes or no",
        _ => return None,
    };
    Some(row(format!("done:{}", judgement.reference), "", why.to_owned()))
}

fn is_unmet(plan: &Plan, inspection: &Inspection, judgement: &Judgement) -> bool {
    let label = format!("{}/{}", inspection.job, judgement.reference);
    plan.unmet.iter().any(|u| u.reference == judgement.reference || u.reference == label)
}

/// The unit to read in; small voltages on grids and hum are read in mV.
fn unit(expected: &Expected) -> &'static str {
    use crate::verify::What;
    match expected.what {
        What::Hum => "mV",
        What::Grid(_) if expected.figure.is_none() => "mV",
        What::Touch(_) => "mA",
        What::Cold => "M",
        _ => expected.unit.word(),
    }
}

fn note(expected: &Expected) -> String {
    let what = what_words(&expected.what);
    match (expected.figure, limit_words(expected)) {
        (_, limits) if limits.is_empty() => what,
        (Some(figure), limits) => format!("{what}: {} expected; {limits}", expected.unit.shown(figure)),
        (None, limits) => format!("{what}: {limits}"),
    }
}
