//! Capacitors that can see more than their rating.

use super::draft::find;
use super::held::is_over;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::limits::derating::OVER_HIGHEST;
use crate::model::finding::{Basis, Call, Finding, MeasureStage, OwnerCause};
use crate::sources::SourceId;

/// Highest voltage against the rating.
#[derive(Debug)]
pub(super) struct HighestVoltage;

static SHARE: Threshold = Threshold {
    key: "highest-voltage",
    default: 100.0,
    unit: "%",
    what: "highest voltage over any condition, share of the rating; may be set lower, not higher",
    source: OVER_HIGHEST.source,
};

static META: RuleMeta = RuleMeta {
    id: "highest-voltage",
    title: "Capacitor can see more than its rating",
    what: "The most that can be across the capacitor under any condition (cold start, no valve drawing) against its \
           marked rating. Behind silicon, selenium or a directly heated rectifier that is the no-load peak, 1.414 \
           times the winding's volts at the highest mains; behind an indirectly heated one the measured warm-up \
           maximum counts. A node that hangs on a supply by resistors of the list gets no more than that supply's \
           node. Where it is neither measured nor computed, it says that it is not proved.",
    why: "The warm-up peak comes at every switch-on. A surge rating is no working rating.",
    not_where: "Mains capacitors, which go by class; parts without a marked rating.",
    remedy: "Replace by a part rated for the highest voltage, or by two equal ones in series with a resistor across \
             each.",
    safety: "An electrolytic above its rating may burst. The set is not powered before it is changed.",
    thresholds: &[SHARE],
    sources: &[SourceId::HighestVoltage, SourceId::MissingIsNotGood],
    owner: Some(OwnerCause::Overloaded),
};

impl Rule for HighestVoltage {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if !subject.part.kind.is_capacitor() || subject.on_mains() {
            return;
        }
        let Some(rated) = subject.part.rating.volts else { return };
        let Some(highest) = subject.stress.highest else {
            if subject.part.place.is_some_and(crate::model::kind::Place::is_ht_supply) {
                find(&META, SourceId::MissingIsNotGood, Call::Note, "highest voltage not known: rating not proved")
                    .measure(MeasureStage::AtVoltage, "read the highest voltage across it while the set warms up")
                    .add_to(findings);
            }
            return;
        };
        let held = subject.held_safe(&SHARE);
        let (volts, limit) = (highest.value.abs(), rated * (held.value / 100.0));
        let figure = format!("up to {volts} ({}) on {rated}", highest.basis);
        let over = is_over(volts.get(), limit.get());
        let proved = subject.stress.highest_proved || highest.basis == Basis::Measured;
        if highest.basis == Basis::Assumed && over {
            let says = format!("could be on HT, up to {volts} on {rated}: not proved, its node is of no supply");
            find(&META, held.source, Call::Test, says)
                .against(volts.get(), limit.get(), "V")
                .shop(held.from_shop)
                .measure(MeasureStage::Look, "trace what feeds its node, or read the highest voltage across it")
                .add_to(findings);
            return;
        }
        let (call, says) = match (over, proved) {
            (true, true) => (Call::Replace, format!("{figure}: more than its rating")),
            (true, false) => (Call::Test, format!("{figure}: more than its rating, but not proved")),
            (false, true) => (Call::Note, figure),
            (false, false) => (Call::Note, format!("{figure}: not proved")),
        };
        let draft = find(&META, held.source, call, says).against(volts.get(), limit.get(), "V").shop(held.from_shop);
        let draft = if call == Call::Replace { draft.safety() } else { draft };
        let may_burst = call == Call::Replace && subject.is_electrolytic();
        let draft = if may_burst { draft.urgent() } else { draft };
        let draft = if proved {
            draft
        } else {
            draft.measure(MeasureStage::AtVoltage, "read the highest voltage across it while the set warms up")
        };
        draft.add_to(findings);
    }
}
