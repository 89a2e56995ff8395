//! Fitting notes: polarity with its nodes, sleeving, heat, and what must be looked up.

use crate::model::chassis::{Circuit, HtSupply, SupplyKind};
use crate::model::finding::How;
use crate::model::kind::{PartKind, Place, Style};
use crate::model::need::{Point, PointKind};
use crate::model::part::{NodeName, Part};
use crate::model::shop::Article;
use crate::physics::mains::{Plug, discharges_in_time};
use crate::substitute::candidates::Ask;
use crate::substitute::need::reason;
use crate::units::Celsius;

/// What restuffing a can asks for.
pub(super) const RESTUFFED: &str = "restuffed: say so in the job record and on a slip in the chassis";

/// What parts beside a can ask for.
pub(super) const DEAD_CAN: &str = "beside the dead can: disconnect every section of it, never bridge it";
/// What parts beside a can ask for of which another section stays in use.
pub(super) const DEAD_SECTION: &str = "beside the can: disconnect the dead section, never bridge it";
/// What parts inside a can ask for.
pub(super) const IN_THE_CAN: &str = "inside the old can: sleeve it, and bring its leads out to the old tags";

/// Above this the neighbours in heat are named.
const HOT: Celsius = Celsius::new(60.0);

/// Notes that hold whatever is fitted in this place.
pub fn of_place(ask: &Ask<'_>) -> Vec<String> {
    let part = ask.context.part;
    let mut notes = Vec::new();
    if matches!(part.kind, PartKind::Electrolytic | PartKind::Tantalum) {
        notes.extend(polarity(ask));
    }
    if ask.context.judgement.how == Some(How::Restuff) && part.can.is_none() {
        notes.push(RESTUFFED.to_owned());
    }
    if ask.need.place == Some(Place::Reservoir) && ask.context.job.chassis.supply == SupplyKind::Transformer {
        notes.extend(return_of(ask).map(|to| format!("reservoir: charging current returns straight to {to}")));
    }
    if let Some(heat) = ask.need.ambient.filter(|h| HOT < *h) {
        notes.push(format!("{heat} there: keep it off its hot neighbour, move it if there is room"));
    }
    if ask.need.class.is_some() {
        let nominal = ask.need.farad_nominal.zip(ask.need.farad_limit).filter(|(marked, limit)| limit < marked);
        notes.extend(
            nominal.map(|(marked, limit)| format!("the marked {marked} is more than is safe there: {limit} at most")),
        );
        notes.push("mains side: local codes and licensed practice come first".to_owned());
    }
    if let Some(rating) = reason(&ask.need, "fuse-rating") {
        notes.push(rating.says.clone());
    }
    if let Some(silicon) = reason(&ask.need, "selenium-silicon") {
        notes.push(silicon.says.clone());
    }
    if reason(&ask.need, "voltage-unproved").is_some() {
        notes.push("highest voltage not proved: measure before relying on the rating".to_owned());
    }
    notes
}

/// Where the charging pulses of a reservoir go back to: a lead of its own there keeps hum out of the chassis.
/// `None` where no supply of the sheet begins at either end of the part.
fn return_of(ask: &Ask<'_>) -> Option<&'static str> {
    let part = ask.context.part;
    let ends = [part.plus.as_ref(), part.minus.as_ref()];
    let supplies = &ask.context.job.chassis.supplies;
    let feeds = |s: &&HtSupply| {
        let first = s.nodes.first().map(|n| &n.name);
        [first, s.middle.as_ref()].into_iter().flatten().any(|n| ends.contains(&Some(n)))
    };
    match supplies.iter().find(feeds)?.circuit {
        Circuit::CentreTap => Some("the transformer's centre tap, not to any bit of chassis"),
        Circuit::Bridge => Some("the bridge, not to any bit of chassis"),
        Circuit::Doubler => Some("the winding's end between the two reservoirs"),
        Circuit::HalfWave | Circuit::DoublerHalfWave => Some("the cold end of the winding, not to any bit of chassis"),
    }
}

/// Whether a point is about the place and not about what is offered: that the highest voltage is not
/// proved is told there once.
pub(super) fn of_the_place(point: &Point) -> bool {
    point.point == PointKind::Voltage && point.rule == "voltage-highest"
}

/// Plus and minus by their nodes; never taken for granted.
fn polarity(ask: &Ask<'_>) -> Vec<String> {
    let part = ask.context.part;
    if !ask.need.polarised_ok {
        return vec!["non-polarised part".to_owned()];
    }
    let (Some(plus), Some(minus)) = (&part.plus, &part.minus) else {
        return vec!["POLARITY TO BE FOUND before fitting".to_owned()];
    };
    let mut notes = vec![format!("plus to {plus}, minus to {minus}")];
    if plus.is_chassis() {
        notes.push("PLUS TO CHASSIS".to_owned());
    } else if !minus.is_chassis() {
        notes.push(format!("minus is at {minus}, not at chassis: sleeve the body"));
    }
    notes
}

/// Notes that come with this article in this place.
pub fn of_article(ask: &Ask<'_>, article: &Article) -> Vec<String> {
    let mut notes = Vec::new();
    match article.style {
        Some(Style::Radial) if article.kind.is_capacitor() => notes.push("radial: sleeve the leads".to_owned()),
        Some(Style::SnapIn) => notes.push("snap-in: clamp it or mount it on a board".to_owned()),
        _ => {}
    }
    let across = ask.need.place == Some(Place::LineToLine);
    if across && article.farad().is_some_and(|c| !discharges_in_time(c, None, Plug::TypeA)) {
        notes.push("over 0.1 µF across the mains: a discharge resistor belongs across it".to_owned());
    }
    notes
}

/// Notes of two capacitors in series.
pub fn of_string(part: &Part) -> Vec<String> {
    let node = |n: &Option<NodeName>| n.as_ref().map_or("?", NodeName::as_str).to_owned();
    vec![
        format!("in series: plus of the upper to {}, minus of the lower to {}", node(&part.plus), node(&part.minus)),
        "one balancing resistor across each; the upper body stands at half the voltage: sleeve both".to_owned(),
        "the string holds its charge: discharge each part, then measure".to_owned(),
    ]
}
