//! What a rectifier has to bear in its place, so that another than the marked type can be looked for.

use super::context::{NeedContext, because};
use crate::model::chassis::{ASSUMED_HIGH_PERCENT, Circuit, HtSupply, Polarity};
use crate::model::kind::PartKind;
use crate::model::need::{Need, PointKind};
use crate::model::supply::{Conducting, SupplyFigures};
use crate::sources::SourceId;
use crate::substitute::designation::same;
use crate::units::{Ampere, Volt};

/// Watts of the resistor that goes in with silicon, over its heat (pages on selenium rectifiers).
const WATTS_FACTOR: f64 = 2.0;

/// Tells what the rectifier bears and how that is known; nothing for other valves.
pub(super) fn fill(context: &NeedContext<'_>, need: &mut Need) {
    let part = context.part;
    let own = supply(context);
    if part.kind != PartKind::Rectifier && own.is_none() {
        return;
    }
    let Some(supply) = own else {
        let says = "which supply it feeds is not told: write a node of that supply as its plus or minus, or its type as \
                    the type of the supply";
        return duty(need, PointKind::Value, says.to_owned());
    };
    let figures = context.supplies.iter().flatten().find(|f| f.name == supply.name);
    let unproved = context.supplies.iter().filter_map(|s| s.as_ref().err()).find(|u| u.name == supply.name);
    if let Some(figures) = figures {
        bears(context, need, (supply, figures));
    } else {
        let why = unproved.map_or_else(String::new, |u| format!(" ({})", u.says));
        let name = &supply.name;
        let says = format!("supply {name} is not computed{why}: measure the winding and the load before choosing");
        duty(need, PointKind::Value, says);
    }
    if context.judgement.findings.iter().any(|f| f.rule == "selenium") {
        silicon(need, supply, figures);
    }
}

/// The supply that a rectifier feeds: the one that names its type, the one at whose nodes it is, the only one.
fn supply<'a>(context: &NeedContext<'a>) -> Option<&'a HtSupply> {
    let (job, part) = (context.job, context.part);
    let supplies = &job.chassis.supplies;
    let own = part.designation();
    let named = |s: &&HtSupply| own.is_some_and(|own| s.designation.as_deref().is_some_and(|d| same(d, own)));
    let rectifiers = job.parts.iter().filter(|p| p.kind == PartKind::Rectifier).count();
    let only = || supplies.first().filter(|_| supplies.len() == 1 && rectifiers == 1);
    let unnamed = || if part.kind == PartKind::Rectifier { job.supply_at(part).or_else(only) } else { None };
    supplies.iter().find(named).or_else(unnamed)
}

/// Inverse voltage and currents, and for a valve what its data sheet limits.
fn bears(context: &NeedContext<'_>, need: &mut Need, (supply, figures): (&HtSupply, &SupplyFigures)) {
    let rectifier = &figures.rectifier;
    // The limit of a valve is its data sheet's; a semiconductor is chosen with room.
    let (per, room) = if supply.rectifier.is_valve() {
        ("anode", "")
    } else {
        ("diode", "; a rating of twice that leaves room for what comes in with the mains (common practice, no source)")
    };
    duty(
        need,
        PointKind::Voltage,
        format!(
            "at least {} of inverse voltage at each {per} (computed without load: {}){room}",
            rectifier.inverse,
            basis(context, supply)
        ),
    );
    let through = direct(supply, rectifier.average);
    let wave = match figures.conducting {
        Conducting::Pulsed => format!(", {} in peaks at each {per}", rectifier.peak),
        Conducting::Continuous => String::new(),
    };
    duty(
        need,
        PointKind::Value,
        format!(
            "{through} of direct current{wave}, {} at most when switched on hot (computed: supply {} with the loads of \
             the sheet)",
            rectifier.surge, supply.name
        ),
    );
    if supply.rectifier.is_valve() {
        let source = supply.source.map_or_else(|| "not known".to_owned(), |r| r.to_string());
        let says = format!(
            "a valve besides: the same base and heater, and a data sheet that allows the first capacitor of the supply \
             at a source resistance of {source} per anode"
        );
        duty(need, PointKind::LimitFirst, says);
    }
}

/// What silicon in the place of selenium does to the HT, with the resistor that brings it back where that is known.
fn silicon(need: &mut Need, supply: &HtSupply, figures: Option<&SupplyFigures>) {
    let negative = supply.polarity == Polarity::Negative;
    let (line, again) = if negative {
        ("bias", "the bias is to be set again, and every rating on its supply looked at as for silicon")
    } else {
        ("HT", "every rating on the HT is to be looked at again as for silicon")
    };
    let below = if negative { "-" } else { "" };
    let first = figures.and_then(|f| Some((f, f.nodes.first()?)));
    let says = match (first, supply.nodes.first().and_then(|n| n.sheet).map(Volt::abs)) {
        (Some((figures, node)), Some(wanted)) if wanted < node.volts.abs() => {
            let (name, volts) = (&node.name, node.volts.abs());
            let through = direct(supply, figures.rectifier.average);
            let ohm = (volts - wanted) / through;
            let watts = (volts - wanted).heat_in(ohm) * WATTS_FACTOR;
            format!(
                "silicon brings {name} to {below}{volts} (computed), {below}{wanted} belongs there: ({:.1} V - {wanted}) / {through} = \
                 {ohm} in series, {watts} or more, is the first value to try; {again}",
                volts.get()
            )
        }
        (Some((_, node)), Some(wanted)) => {
            let (name, volts) = (&node.name, node.volts.abs());
            format!("silicon brings {name} to {below}{volts} (computed), and {below}{wanted} belongs there; {again}")
        }
        (Some((_, node)), None) => {
            let (name, volts) = (&node.name, node.volts.abs());
            format!(
                "silicon brings {name} to {below}{volts} (computed): write its sheet_v to have the resistor in series worked \
                 out; {again}"
            )
        }
        (None, _) => format!(
            "silicon drops less than selenium, so that the {line} rises: a resistor in series brings it back; {again}"
        ),
    };
    because(need, PointKind::Kind, "selenium-silicon", SourceId::SeleniumPractice, says);
}

/// The direct current of the supply from the mean of one diode: two share it on a whole wave but in a doubler, where
/// each has all of it.
fn direct(supply: &HtSupply, average: Ampere) -> Ampere {
    match supply.circuit {
        Circuit::CentreTap | Circuit::Bridge => average * 2.0,
        Circuit::HalfWave | Circuit::Doubler | Circuit::DoublerHalfWave => average,
    }
}

/// What the inverse voltage was computed from.
fn basis(context: &NeedContext<'_>, supply: &HtSupply) -> String {
    let mains = &context.job.chassis.mains;
    let winding = supply.winding.map_or_else(String::new, |w| format!("{} of {w} off load, ", supply.circuit));
    let tapping = mains.tapping.map_or_else(|| "tapping not known".to_owned(), |t| format!("on the {t} tapping"));
    let Some(measured) = mains.measured else {
        let percent = mains.high_percent.unwrap_or(ASSUMED_HIGH_PERCENT);
        return format!("{winding}mains {percent} % high {tapping}, assumed");
    };
    format!("{winding}mains {measured} {tapping}")
}

/// Adds what has to be borne.
fn duty(need: &mut Need, point: PointKind, says: String) {
    because(need, point, "rectifier-duty", SourceId::RectifierDuty, says);
}
