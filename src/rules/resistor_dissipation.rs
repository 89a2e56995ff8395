//! Heat of resistors from the voltage across them.

use super::draft::find;
use super::held::is_over;
use super::say;
use super::{Rule, RuleMeta, Subject, Threshold};
use crate::limits::Limit;
use crate::limits::derating::RESISTOR_POWER;
use crate::model::finding::{Basis, Call, Finding, MeasureStage, OwnerCause};
use crate::model::kind::PartKind;
use crate::physics::resistor::{Body, power_at};
use crate::sources::SourceId;
use crate::units::{Celsius, Ohm, Watt};

/// Dissipation of resistors.
#[derive(Debug)]
pub(super) struct ResistorDissipation;

/// Air in which every body may carry its whole rating.
const COOL: Celsius = Celsius::new(25.0);

/// The hottest air that a part in a set stands in (common practice, no source); the surface of a power resistor
/// gets far hotter.
const HOTTEST_AIR: Celsius = Celsius::new(100.0);

static MOST: Threshold = Threshold {
    key: "resistor-dissipation",
    default: 100.0,
    unit: "%",
    what: "heat, share of what the part may turn to heat at its temperature",
    source: SourceId::CompositionSheet,
};

static PREFERRED: Threshold = Threshold {
    key: "resistor-dissipation.preferred",
    default: 50.0,
    unit: "%",
    what: "heat above which it is told",
    source: RESISTOR_POWER.source,
};

static META: RuleMeta = RuleMeta {
    id: "resistor-dissipation",
    title: "Resistor runs hotter than its rating",
    what: "The heat U²/R from the voltage across the part, with its reading where there is one, against its rated \
           watts; in air above 70 °C at the part (25 °C for wirewound) less is allowed. heat_c is that air: above 100 \
           °C it is asked whether it was the part's own surface (common practice, no source).",
    why: "Overheated composition drifts, then burns; overheated screen resistors tell of a valve in trouble.",
    not_where: "Parts without watts, value or a known voltage across them. Half the rating is told, not condemned.",
    remedy: "Replace by at least twice the dissipation; find out why it is so high.",
    safety: "",
    thresholds: &[MOST, PREFERRED],
    sources: &[
        SourceId::CompositionSheet,
        SourceId::CarbonFilmSheet,
        SourceId::MetalFilmSheet,
        SourceId::MilR39007,
        SourceId::BenchShares,
        SourceId::WorkshopHabit,
    ],
    owner: Some(OwnerCause::Overloaded),
};

impl Rule for ResistorDissipation {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        let part = subject.part;
        let Some(body) = body(part.kind) else { return };
        let Some((rated, working)) = part.rating.watts.zip(subject.stress.working) else { return };
        let resistance = subject.reads_ohm().filter(|_| !super::resistor_drift::low_in_circuit(subject)).or(part.ohm());
        let Some(resistance) = resistance.filter(|r| *r > Ohm::ZERO) else { return };
        let heat = working.value.heat_in(resistance);
        // Where the heat at the part is not known, its whole rating counts.
        let air = subject.stress.heat.map_or(COOL, |known| known.value);
        let allowed = power_at(body, rated, air);
        let most = subject.held(&MOST);
        let over = |air| is_over(heat.get(), (power_at(body, rated, air).value * (most.value / 100.0)).get());
        if HOTTEST_AIR < air && over(air) && !over(subject.job.chassis.conditions.inside) {
            let says = format!(
                "{heat} of heat on {} in air of {air}, hotter than the air in a set gets: its own surface?",
                allowed.value
            );
            find(&META, SourceId::WorkshopHabit, Call::Test, says)
                .against(heat.get(), allowed.value.get(), "W")
                .measure(MeasureStage::AtVoltage, "read the air beside it, not its surface, and write that as heat_c")
                .add_to(findings);
            return;
        }
        judge(subject, (working.basis, heat), allowed, findings);
    }
}

/// Heat against what is allowed: replaced above, told from half the rating.
fn judge(subject: &Subject<'_>, (basis, heat): (Basis, Watt), allowed: Limit<Watt>, findings: &mut Vec<Finding>) {
    let (most, preferred) = (subject.held(&MOST), subject.held(&PREFERRED));
    let over = |percent: f64| is_over(heat.get(), (allowed.value * (percent / 100.0)).get());
    let limit = allowed.value * (most.value / 100.0);
    let text = say::limit(&limit.to_string(), most.from_shop);
    let figure = format!("{heat} of heat ({basis}) on {} ({text})", allowed.value);
    let draft = |call, source, says: String| find(&META, source, call, says).against(heat.get(), limit.get(), "W");
    if !over(preferred.value) {
        draft(Call::Note, allowed.source, figure).shop(most.from_shop).add_to(findings);
        return;
    }
    if !over(most.value) {
        let says = format!("{figure}, more than {} % of it", preferred.value);
        draft(Call::Note, preferred.source, says).shop(preferred.from_shop).add_to(findings);
        return;
    }
    let known = matches!(basis, Basis::Measured | Basis::Computed);
    let call = if known { Call::Replace } else { Call::Test };
    let draft = draft(call, allowed.source, figure).shop(most.from_shop);
    let draft = if known { draft } else { draft.measure(MeasureStage::AtVoltage, "read the voltage across it") };
    draft.add_to(findings);
}

/// The body that the kind of resistor has; `None` for fusible parts, whose makers' curves differ.
pub(crate) const fn body(kind: PartKind) -> Option<Body> {
    match kind {
        PartKind::CarbonComposition => Some(Body::Composition),
        PartKind::CarbonFilm => Some(Body::CarbonFilm),
        PartKind::MetalFilm => Some(Body::MetalFilm),
        PartKind::Wirewound => Some(Body::Wirewound),
        _ => None,
    }
}
