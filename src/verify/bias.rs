//! What the output stage's bias should read after the work.

use std::borrow::Cow;

use super::expected::{Expected, Sign, voltage};
use super::limits;
use super::row::What;
use crate::model::chassis::{Job, Polarity};
use crate::model::finding::{Call, Decision};
use crate::model::grid::GridRest;
use crate::model::part::Part;
use crate::model::plan::Inspection;
use crate::units::Volt;

/// The output stage's bias: the largest of those written down, carried over to the mains now by `factor`.
///
/// Bias from a negative supply must read below the chassis. Where a leaky coupling capacitor that is renewed had
/// lifted the grid, the bias as found is too large for the stage as left; without the leak it lies between that
/// and the same less the grid's shift, for the valve's slope makes up for part of it.
pub(super) fn bias(job: &Job, inspection: &Inspection, factor: f64) -> Option<Expected> {
    let size = |p: &Part| p.found.bias.map(Volt::abs);
    let largest = job.parts.iter().filter_map(size).reduce(Volt::max)?;
    let of_stage: Vec<&Part> = job.parts.iter().filter(|p| size(p) == Some(largest)).collect();
    let below = of_stage.iter().any(|p| is_below(job, p));
    let sign = if below { Sign::Below } else { Sign::Size };
    let expected = voltage(What::Bias, Some((largest * factor, "as found")), sign);
    let expected = Expected { needed: true, ..expected };
    if below {
        return Some(expected);
    }
    let leaky: Vec<&Part> = of_stage.into_iter().filter(|p| was_leaky(inspection, p)).collect();
    Some(if leaky.is_empty() { expected } else { without_leak(expected, largest, &leaky, factor) })
}

/// Whether the bias of this part's grid comes from a negative supply.
fn is_below(job: &Job, part: &Part) -> bool {
    let has_negative = job.chassis.supplies.iter().any(|s| s.polarity == Polarity::Negative);
    has_negative
        && match job.grid_rest(part) {
            GridRest::Bias { .. } => true,
            // No grid leak in the parts list: a set with a bias supply has it for its output stage.
            GridRest::Chassis => job.grid_leak(part).is_none(),
            GridRest::Elsewhere(_) => false,
        }
}

/// Whether this coupling capacitor is renewed because it lifted its grid.
fn was_leaky(inspection: &Inspection, part: &Part) -> bool {
    let judged = inspection.judgements.iter().find(|j| j.reference == part.reference);
    judged.is_some_and(|j| {
        let leak = j.findings.iter().any(|f| f.rule == "coupling-grid" && f.call == Call::Replace);
        leak && matches!(j.decision, Decision::Replace | Decision::Omit)
    })
}

/// The bias as found is no target: from that less the largest shift, up to that, each with the usual tolerance.
fn without_leak(expected: Expected, found: Volt, leaky: &[&Part], factor: f64) -> Expected {
    let names: Vec<&str> = leaky.iter().map(|p| p.reference.as_str()).collect();
    let names = names.join(" ");
    let shift = leaky.iter().filter_map(|p| p.found.grid).map(Volt::abs).reduce(Volt::max);
    let Some(shift) = shift.filter(|shift| *shift < found) else {
        let basis = format!("as found, but with {names} leaking: no target");
        return Expected { figure: None, low: None, basis: Cow::Owned(basis), ..expected };
    };
    let least = found - shift;
    let low = (least * factor).get() * (1.0 - limits::VOLTAGE_PERCENT / 100.0);
    let basis = format!("as found, but with {names} leaking: no target");
    let between = Some(((least * factor).get(), (found * factor).get()));
    Expected { figure: None, between, low: Some(low), basis: Cow::Owned(basis), ..expected }
}
