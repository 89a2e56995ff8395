//! Where a supply goes beyond what its rectifier or its parts allow, in words.

use crate::model::chassis::HtSupply;
use crate::model::shop::{RectifierData, Shop};
use crate::model::supply::SupplyWarning;
use crate::physics::supply::{self as physics, RectifierLimits, Warning, WarningKind};
use crate::units::{Ampere, Farad, Henry, Ohm, Volt};

/// Every limit that is reached or nearly so. A rectifier without known limits has none to reach.
pub(super) fn warnings(
    supply: &HtSupply,
    shop: &Shop,
    circuit: &physics::Supply,
    solved: (&physics::Loaded, &physics::Cold),
) -> Vec<SupplyWarning> {
    let data = supply.designation.as_deref().and_then(|d| shop.rectifier(d));
    let (loaded, cold) = solved;
    let found = physics::warnings(circuit, Ok(loaded), Some(cold), &limits(supply, data));
    found.iter().map(|w| in_words(w, supply)).collect()
}

/// The sheet's own key wins over the shop's table.
fn limits(supply: &HtSupply, data: Option<&RectifierData>) -> RectifierLimits {
    RectifierLimits {
        max_first: supply.max_first.or(data.and_then(|d| d.max_first)),
        max_peak: supply.max_peak.or(data.and_then(|d| d.max_peak)),
        max_surge: data.and_then(|d| d.max_surge),
        max_average: data.and_then(|d| d.max_average),
        min_source: data.map(|d| d.min_source.clone()).unwrap_or_default(),
        max_winding: None,
    }
}

/// A warning in a technician's words, with the figure and its limit.
fn in_words(warning: &Warning, supply: &HtSupply) -> SupplyWarning {
    let name = supply.designation.as_deref().unwrap_or("the rectifier");
    let (value, limit) = (warning.value_si, warning.limit_si);
    let ampere = |what: &str| format!("{what} {} (limit of {name} {})", Ampere::new(value), Ampere::new(limit));
    let node = |n: usize| supply.nodes.get(n).map(|n| n.name.to_string()).unwrap_or_default();
    let (id, says) = match warning.kind {
        WarningKind::ReservoirTooLarge => (
            "first-capacitor",
            format!("first capacitor {} (limit of {name} {})", Farad::new(value), Farad::new(limit)),
        ),
        WarningKind::SourceTooLow => (
            "source-resistance",
            format!("source resistance {} for each anode ({name} needs at least {})", Ohm::new(value), Ohm::new(limit)),
        ),
        WarningKind::WindingTooHigh => {
            ("winding", format!("winding {} (limit of {name} {})", Volt::new(value), Volt::new(limit)))
        }
        WarningKind::AverageTooHigh => ("average", ampere("direct current")),
        WarningKind::PeakTooHigh => ("peak", ampere("peak of one anode")),
        WarningKind::SurgeTooHigh => ("surge", ampere("surge of one anode, switched on hot,")),
        WarningKind::ChokeBelowCritical => (
            "choke",
            format!(
                "input choke {} is below the critical {} at this load: the voltage rises above the choke-input value",
                Henry::new(value),
                Henry::new(limit)
            ),
        ),
        WarningKind::DropperTooLarge { node: n } => {
            ("dropper", format!("the dropper before {} is too large for the loads given", node(n)))
        }
        WarningKind::FallsBelowZero { node: n } => (
            "below-zero",
            format!("{} falls below zero in every period: its load or its capacitor cannot be right", node(n)),
        ),
    };
    let node = match warning.kind {
        WarningKind::DropperTooLarge { node } | WarningKind::FallsBelowZero { node } => supply.nodes.get(node),
        _ => None,
    };
    let (unit, scale) = shown(warning.kind);
    SupplyWarning {
        id,
        says,
        near: warning.amber,
        node: node.map(|n| n.name.clone()),
        value: value * scale,
        limit: limit * scale,
        unit,
    }
}

/// The unit that people write for a warning's figures, and how many of it make one SI unit.
fn shown(kind: WarningKind) -> (&'static str, f64) {
    match kind.unit() {
        "F" => ("µF", 1e6),
        "A" => ("mA", 1e3),
        unit => (unit, 1.0),
    }
}

/// The largest first capacitor that the rectifier may be given, where that is known.
pub(super) fn max_first(supply: &HtSupply, shop: &Shop) -> Option<Farad> {
    limits(supply, supply.designation.as_deref().and_then(|d| shop.rectifier(d))).max_first
}
