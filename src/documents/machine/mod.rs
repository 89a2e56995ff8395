//! The machine output: row structures with the keys that scripts rely on.
//!
//! Kept apart from the model, so that a change of the model never changes a key by accident.
//! Physical values are SI numbers named with their unit (`_ma`, `_ua` where the key says so) and
//! unrounded; money is a decimal text with the currency's minor digits.

pub mod cans;
pub mod check;
pub mod inspect;
pub mod needs;
pub mod new;
pub mod order;
pub mod parts;
pub mod plan;
pub mod quote;
pub mod reform;
pub mod sheet;
pub mod supply;
pub mod verify;

use serde::Serialize;

use crate::model::diagnostic::Diagnostic;
use crate::model::plan::{Inspection, Plan};

/// Keys that every command's document begins with.
#[derive(Debug, Clone, Serialize)]
pub struct Common {
    /// `capjob.COMMAND/1`.
    pub schema: String,
    /// Version of the program.
    pub tool_version: &'static str,
    /// The job's name; several are joined with `, `.
    pub job: String,
    /// What was assumed.
    pub assumed: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Catalog lines not used.
    pub set_aside: usize,
    /// What is wrong with those lines.
    pub diagnostics: Vec<DiagnosticRow>,
}

impl Common {
    /// For a command over a plan.
    pub fn of_plan(command: &str, plan: &Plan) -> Self {
        let common = Self::new(command, &plan.inspections, &plan.assumed, plan.set_aside);
        common.with_diagnostics(&plan.diagnostics)
    }

    /// With what is wrong with the lines set aside.
    #[must_use]
    pub fn with_diagnostics(mut self, diagnostics: &[Diagnostic]) -> Self {
        self.diagnostics = diagnostics.iter().map(DiagnosticRow::new).collect();
        self
    }

    /// For a command over these inspections.
    pub fn new(command: &str, inspections: &[Inspection], more_assumed: &[String], set_aside: usize) -> Self {
        let several = inspections.len() > 1;
        let named = |i: &Inspection, text: &String| if several { format!("{}: {text}", i.job) } else { text.clone() };
        let mut assumed: Vec<String> =
            inspections.iter().flat_map(|i| i.assumed.iter().map(move |t| named(i, t))).collect();
        assumed.extend(more_assumed.iter().cloned());
        let mut cautions: Vec<String> = Vec::new();
        for caution in inspections.iter().flat_map(|i| &i.cautions) {
            let text = caution.to_string();
            if !cautions.contains(&text) {
                cautions.push(text);
            }
        }
        let jobs: Vec<&str> = inspections.iter().map(|i| i.job.as_str()).collect();
        Self {
            schema: format!("capjob.{command}/1"),
            tool_version: env!("CARGO_PKG_VERSION"),
            job: jobs.join(", "),
            assumed,
            cautions,
            set_aside,
            diagnostics: Vec::new(),
        }
    }
}

/// A catalog line that was set aside.
#[derive(Debug, Clone, Serialize)]
pub struct DiagnosticRow {
    code: String,
    file: String,
    line: usize,
    column: usize,
    message: String,
    help: Option<String>,
}

impl DiagnosticRow {
    fn new(diagnostic: &Diagnostic) -> Self {
        let Diagnostic { code, file, line, column, message, help } = diagnostic.clone();
        Self { code, file, line, column, message, help }
    }
}

/// The reference as it is written: `JOB/REF` when there are several jobs.
pub(super) fn label(inspections: &[Inspection], job: &str, reference: &str) -> String {
    if inspections.len() > 1 { format!("{job}/{reference}") } else { reference.to_owned() }
}
