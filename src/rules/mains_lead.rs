//! Mains leads: two cores, perished rubber, resistance cord.

use super::draft::find;
use super::state::{is_three_core, is_two_core};
use super::{Rule, RuleMeta, Subject};
use crate::model::chassis::{Earth, SupplyKind};
use crate::model::finding::{Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::PartKind;
use crate::sources::SourceId;

/// Mains leads.
#[derive(Debug)]
pub(super) struct MainsLead;

static META: RuleMeta = RuleMeta {
    id: "mains-lead",
    title: "Mains lead",
    what: "A mains lead of rubber or cotton, or perished by the remark; a lead of two cores on a set with a mains \
           transformer; an earth in the lead of a live chassis.",
    why: "Old rubber falls off the wire where nobody looks. Without an earth a fault in the transformer or a mains \
          capacitor puts the line on the metal.",
    not_where: "A live chassis must not be earthed; its lead is judged by its state only. A resistance cord is part of \
                the heater chain and is never replaced by plain lead.",
    remedy: "A new lead of three cores, clamped, the earth on its own bolt, fuse and switch in the live side, where \
             the set's construction and local code allow.",
    safety: "Mains wiring is for people qualified to do it; local codes and licensed practice come first.",
    thresholds: &[],
    sources: &[SourceId::LeadPractice],
    owner: Some(OwnerCause::Mains),
};

impl Rule for MainsLead {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        if part.kind != PartKind::Lead {
            return;
        }
        let text = format!("{} {}", part.marked, part.note.as_deref().unwrap_or_default());
        let three_cores = is_three_core(&text) || subject.job.chassis.mains.earth == Some(Earth::ThreeCore);
        if three_cores && subject.job.chassis.supply == SupplyKind::Live {
            let says = "an earth in the lead of a live chassis: take it off the chassis before the set is plugged in, \
                        and find out how the set is fed";
            find(&META, SourceId::LeadPractice, Call::FindOut, says)
                .safety()
                .urgent()
                .measure(MeasureStage::Look, "see whether the earth wire of the lead reaches the chassis")
                .add_to(findings);
        }
        let old = ["rubber", "cotton", "perished", "frayed"].iter().find(|word| text.to_lowercase().contains(**word));
        if let Some(word) = old {
            let says = format!("mains lead, {word}: renew it before the set is plugged in");
            find(&META, SourceId::LeadPractice, Call::Replace, says).safety().urgent().add_to(findings);
            return;
        }
        let chassis = &subject.job.chassis;
        let cores = is_two_core(&text) || (chassis.mains.earth == Some(Earth::TwoCore) && !is_three_core(&text));
        if cores && chassis.supply == SupplyKind::Transformer {
            let says = "two-core lead: three cores advised where set and local code allow";
            find(&META, SourceId::LeadPractice, Call::Advise, says).add_to(findings);
        }
    }
}
