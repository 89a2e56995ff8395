//! Parts that an earlier repairer fitted.

use super::draft::find;
use super::held::{is_over, is_under};
use super::{Rule, RuleMeta, Subject};
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::sources::SourceId;
use crate::units::Volt;

/// Earlier repairs.
#[derive(Debug)]
pub(super) struct EarlierRepair;

static META: RuleMeta = RuleMeta {
    id: "earlier-repair",
    title: "Part of an earlier repair",
    what: "A part with a year of its own, later than the set's. It is judged like any other, by its own age. Where the \
           technician has written what belongs there (accept), a wrong value or too low a rating condemns it.",
    why: "Earlier hands fitted what they had. The value on the part may not be the maker's.",
    not_where: "Parts of the set's own year, and parts whose right value nobody has written down.",
    remedy: "Film of the right value and rating: leave it. Wrong value or rating: replace, and take the value from the \
             service sheet, not from the part.",
    safety: "",
    thresholds: &[],
    sources: &[SourceId::EarlierRepair],
    owner: Some(OwnerCause::KindOrAge),
};

impl Rule for EarlierRepair {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let Some(year) = subject.part.fitted else { return };
        if subject.job.chassis.year.is_some_and(|own| year <= own) {
            return;
        }
        let (call, says) = if let Some(why) = wrong(subject) {
            let says = format!("fitted {year} by an earlier hand, {why}: take the value from the service sheet");
            (Call::Replace, says)
        } else {
            (Call::Note, format!("fitted {year} by an earlier hand: judged by its own year"))
        };
        find(&META, SourceId::EarlierRepair, call, says).add_to(findings);
    }
}

/// What is wrong against what the technician says belongs there.
fn wrong(subject: &Subject<'_>) -> Option<String> {
    let (part, accept) = (subject.part, &subject.part.accept);
    if let Some((farad, (least, most))) = part.farad().zip(accept.farad)
        && (is_under(farad.get(), least.get()) || is_over(farad.get(), most.get()))
    {
        return Some(format!("{farad} where {} belongs", range(&least.to_string(), &most.to_string())));
    }
    if let Some((ohm, (least, most))) = part.ohm().zip(accept.ohm)
        && (is_under(ohm.get(), least.get()) || is_over(ohm.get(), most.get()))
    {
        return Some(format!("{ohm} where {} belongs", range(&least.to_string(), &most.to_string())));
    }
    let (rated, due): (Volt, Volt) = part.rating.volts.zip(accept.volts)?;
    (rated < due).then(|| format!("rated {rated} where {due} is due"))
}

/// One value, or two as a range.
fn range(least: &str, most: &str) -> String {
    if least == most { least.to_owned() } else { format!("{least} to {most}") }
}
