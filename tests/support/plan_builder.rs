//! Plans built by hand, for documents whose figures must not hang on what the program chooses.

use capjob::input::{NamedBytes, read_job};
use capjob::model::chassis::Job;
use capjob::model::finding::{Decision, Judgement, Stress};
use capjob::model::plan::{ByHand, Effort, Inspection, Plan, Totals};
use capjob::money::{Currency, Money};

/// A job from the texts of its two files.
pub(crate) fn job(name: &str, chassis: &str, parts: &str) -> Job {
    let named = |name, text: &'static str| NamedBytes { name, bytes: text.as_bytes() };
    let (chassis, parts) = (chassis.to_owned().leak(), parts.to_owned().leak());
    read_job(name, named("chassis.toml", chassis), named("parts.csv", parts))
        .map_err(|f| f.to_string())
        .expect("files without faults")
        .value
}

/// A judgement with nothing behind it.
pub(crate) fn judgement(reference: &str, decision: Decision) -> Judgement {
    Judgement {
        reference: reference.to_owned(),
        decision,
        how: None,
        urgent: false,
        must: true,
        findings: Vec::new(),
        stress: Stress::default(),
        assumed: Vec::new(),
        measure_next: Vec::new(),
    }
}

/// A plan over one job with these judgements, which buys nothing.
pub(crate) fn plan(job: &Job, judgements: Vec<Judgement>) -> Plan {
    let inspection = Inspection {
        job: job.name.clone(),
        chassis: job.chassis.name.clone(),
        year: job.chassis.year,
        inspected: job.chassis.inspected,
        judgements,
        holds: Vec::new(),
        measure_next: Vec::new(),
        supplies: Vec::new(),
        assumed: Vec::new(),
        cautions: Vec::new(),
        grid: capjob::rules::grid_shares(&capjob::model::shop::Margins::default()),
    };
    let zero = Money::ZERO;
    Plan {
        inspections: vec![inspection],
        currency: Currency::new("EUR").expect("a currency"),
        needs: Vec::new(),
        fits: Vec::new(),
        buy: Vec::new(),
        shelf: Vec::new(),
        cans: Vec::new(),
        bills: Vec::new(),
        totals: Totals {
            goods: zero,
            carriage: zero,
            fees: zero,
            landed: zero,
            bound: zero,
            gap_percent: 0.0,
            proven: true,
        },
        unmet: Vec::new(),
        by_hand: ByHand { landed: Ok(zero), one_supplier: Ok(zero) },
        set_aside: 0,
        diagnostics: Vec::new(),
        assumed: Vec::new(),
        stopped: false,
        job_shares: vec![zero],
        together: None,
        story: None,
        effort: Effort::default(),
        can_wait: Vec::new(),
        under_ceiling: None,
    }
}
