//! `[[ht]]` and `[[ht.node]]`: rectifiers and what they feed.

use super::References;
use crate::input::bounds::{DIODE, HT, NODE};
use crate::input::escape::quoted;
use crate::input::fault::FaultKind;
use crate::input::sheet::Section;
use crate::input::word::mend;
use crate::model::chassis::{Circuit, DiodeLaw, Feed, HtNode, HtSupply, Mains, Polarity, RectifierKind};
use crate::model::kind::PartKind;
use crate::model::part::NodeName;
use crate::units::{Ampere, Farad, Henry, Ohm, Volt};

/// What reading the supplies needs besides their sections.
struct Context<'c> {
    mains: &'c Mains,
    references: Option<&'c References>,
    /// Node names met so far with their lines.
    nodes: Vec<(NodeName, usize)>,
}

/// Reads every supply that has no missing key; faults stay with the sheet.
pub(super) fn read(
    root: &Section<'_>,
    mains: &Mains,
    references: Option<&References>,
    assumed: &mut Vec<String>,
) -> Vec<HtSupply> {
    let mut context = Context { mains, references, nodes: Vec::new() };
    let mut names: Vec<String> = Vec::new();
    let mut supplies = Vec::new();
    for (index, section) in root.sections("ht", HT, "[[ht]]").iter().enumerate() {
        let name = section.text("name").unwrap_or_else(|| default_name(index));
        if names.contains(&name) {
            let message = format!("name {} is used by two supplies", quoted(&name));
            section.fault("name", FaultKind::Duplicate, message, "give every supply a name of its own");
        }
        names.push(name.clone());
        supplies.extend(supply(section, name, &mut context, assumed));
    }
    supplies
}

/// The name of a supply that has none.
fn default_name(index: usize) -> String {
    if index == 0 { "HT".to_owned() } else { format!("HT {}", index + 1) }
}

fn supply(
    section: &Section<'_>,
    name: String,
    context: &mut Context<'_>,
    assumed: &mut Vec<String>,
) -> Option<HtSupply> {
    let circuit = section.word::<Circuit>("circuit");
    let polarity = section.word("polarity");
    if !section.has("polarity") {
        assumed.push(format!("polarity of {name} not given: positive taken"));
    }
    let polarity = polarity.unwrap_or(Polarity::Positive);
    let designation = section.text("type");
    let rectifier = section.word("rectifier").unwrap_or(RectifierKind::Unknown);
    if rectifier == RectifierKind::Unknown && designation.is_none() {
        assumed.push(format!("rectifier of {name} not known: treated as silicon"));
    }
    let nodes = nodes(section, polarity, context);
    check_doubler(section, circuit);
    let series = section.text("series");
    if let Some(series) = &series {
        check_reference(section, "series", series, PartKind::is_capacitor, context.references);
    }
    Some(HtSupply {
        winding: section.model("winding_v").map(Volt::new),
        source: source(section, context.mains),
        rectifier,
        designation,
        perveance: section.number("perveance"),
        diode: diode(section),
        middle: section.text("middle").map(|text| NodeName::new(&text)),
        series,
        return_to: section.text("return").map_or_else(NodeName::chassis, |text| NodeName::new(&text)),
        max_first: section.model("max_first_uf").map(Farad::new),
        max_peak: section.model("max_peak_ma").map(Ampere::new),
        warm_up_max: signed(section, "warm_up_max_v", polarity),
        polarity,
        nodes,
        name,
        circuit: circuit?,
    })
}

/// Keys that belong to one circuit only.
fn check_doubler(section: &Section<'_>, circuit: Option<Circuit>) {
    for (key, owner) in [("middle", Circuit::Doubler), ("series", Circuit::DoublerHalfWave)] {
        if section.has(key) && circuit.is_some_and(|circuit| circuit != owner) {
            let message = format!("{key} belongs to the circuit {owner} only");
            section.fault(key, FaultKind::Contradiction, message, "leave the key out, or correct the circuit");
        }
    }
}

fn diode(section: &Section<'_>) -> Option<DiodeLaw> {
    let diode = section.section("diode", DIODE, "diode")?;
    let (is, n, ohm) = (diode.model("is_a"), diode.number("n"), diode.model("ohm"));
    Some(DiodeLaw { is: Ampere::new(is?), n: n?, ohm: Ohm::new(ohm?) })
}

/// The source resistance: as given, or winding and primary, the primary's by the square of the ratio.
fn source(section: &Section<'_>, mains: &Mains) -> Option<Ohm> {
    let given = section.model("source_ohm").map(Ohm::new);
    let (winding, primary) = (section.model("winding_ohm"), section.model("primary_ohm"));
    if section.has("source_ohm") {
        for key in ["winding_ohm", "primary_ohm"] {
            if section.has(key) {
                let message = format!("{key} and source_ohm are both given");
                section.fault(
                    key,
                    FaultKind::Contradiction,
                    message,
                    "give source_ohm, or winding_ohm with primary_ohm",
                );
            }
        }
        return given;
    }
    for (key, other) in [("winding_ohm", "primary_ohm"), ("primary_ohm", "winding_ohm")] {
        if section.has(key) && !section.has(other) {
            let message = format!("{key} is given without {other}");
            section.fault(key, FaultKind::MissingField, message, "give both, or source_ohm");
        }
    }
    let (winding, primary) = (winding?, primary?);
    let (Some(volts), Some(tapping)) = (section.model("winding_v"), mains.tapping) else {
        let message = "primary_ohm needs winding_v and the mains tapping to be reckoned".to_owned();
        section.fault("primary_ohm", FaultKind::MissingField, message, "give winding_v and tapping_v, or source_ohm");
        return None;
    };
    let ratio = volts / tapping.get();
    Some(Ohm::new(winding + primary * ratio * ratio))
}

/// A voltage whose sign is not used on a negative supply and must not be negative on a positive one.
fn signed(section: &Section<'_>, key: &str, polarity: Polarity) -> Option<Volt> {
    let volts = section.model(key).map(Volt::new)?;
    if polarity == Polarity::Positive && volts < Volt::ZERO {
        let message = format!("{key} of {volts} is negative on a positive supply");
        section.fault(key, FaultKind::Contradiction, message, "correct the sign, or write polarity = \"negative\"");
        return None;
    }
    Some(volts.abs())
}

fn nodes(supply: &Section<'_>, polarity: Polarity, context: &mut Context<'_>) -> Vec<HtNode> {
    let mut nodes = Vec::new();
    for (index, section) in supply.sections("node", NODE, "[[ht.node]]").iter().enumerate() {
        let name = section.text("name").map(|text| NodeName::new(&text));
        if let Some(name) = &name {
            check_name(section, name, context);
        }
        let node = HtNode {
            name: name.clone().unwrap_or_else(NodeName::chassis),
            feed: feed(section, index == 0, context.references),
            load: section.model("load_ma").map(Ampere::new),
            load_ohm: section.model("load_ohm").map(Ohm::new),
            measured: signed(section, "measured_v", polarity),
            sheet: signed(section, "sheet_v", polarity),
        };
        nodes.extend(name.map(|_| node));
    }
    nodes
}

/// A node's name must be its own, and not the chassis's.
fn check_name(section: &Section<'_>, name: &NodeName, context: &mut Context<'_>) {
    if name.is_chassis() {
        let message = "a node cannot be named CH, which is the chassis".to_owned();
        section.fault("name", FaultKind::Contradiction, message, "give the node a name of its own, like HT1");
    }
    match context.nodes.iter().find(|(other, _)| other == name) {
        Some((_, line)) => {
            let message = format!("node {} is named already on line {line}", quoted(name.as_str()));
            section.fault("name", FaultKind::Duplicate, message, "give every node of the chassis a name of its own");
        }
        None => context.nodes.push((name.clone(), section.line("name"))),
    }
}

/// How a node is fed; faults stay with the sheet, and stand in the way of the model.
fn feed(section: &Section<'_>, first: bool, references: Option<&References>) -> Feed {
    let given: Vec<&str> = ["choke_h", "through", "ohm"].into_iter().filter(|key| section.has(key)).collect();
    if let [_, second, ..] = given.as_slice() {
        let message = format!("a node is fed in one way, not by {} at once", given.join(" and "));
        section.fault(second, FaultKind::Contradiction, message, "leave one of them; put another node between two");
    }
    match given.first().copied() {
        Some("choke_h") => return choke(section),
        Some("through") => {
            let reference = section.text("through").unwrap_or_default();
            if !reference.is_empty() {
                check_reference(section, "through", &reference, PartKind::is_resistor, references);
            }
            return Feed::Through(reference);
        }
        Some(_) => return section.model("ohm").map_or(Feed::Direct, |ohm| Feed::Ohm(Ohm::new(ohm))),
        None if !first => {
            let message = "nothing is said of how this node is fed".to_owned();
            let help = "give choke_h with choke_ohm, through = \"R1\" or ohm";
            section.fault("name", FaultKind::MissingField, message, help);
        }
        None => {}
    }
    if section.has("choke_ohm") && !section.has("choke_h") {
        let message = "choke_ohm is given without choke_h".to_owned();
        section.fault("choke_ohm", FaultKind::MissingField, message, "give both; a resistor is given as ohm");
    }
    Feed::Direct
}

fn choke(section: &Section<'_>) -> Feed {
    if !section.has("choke_ohm") {
        let message = "choke_h is given without choke_ohm".to_owned();
        section.fault(
            "choke_h",
            FaultKind::MissingField,
            message,
            "measure the choke's resistance and give it as choke_ohm",
        );
    }
    match (section.model("choke_h"), section.model("choke_ohm")) {
        (Some(henry), Some(ohm)) => Feed::Choke { henry: Henry::new(henry), ohm: Ohm::new(ohm) },
        _ => Feed::Direct,
    }
}

/// A reference that must stand in the parts list as a part of the right kind.
fn check_reference(
    section: &Section<'_>,
    key: &str,
    reference: &str,
    right: fn(PartKind) -> bool,
    references: Option<&References>,
) {
    let Some(references) = references else { return };
    match references.get(reference) {
        Some(Some(kind)) if !right(*kind) => {
            let message = format!("{key} names {}, which is a {kind}", quoted(reference));
            let due = if key == "series" { "a capacitor" } else { "a resistor" };
            section.fault(key, FaultKind::UnknownName, message, format!("name {due} of parts.csv"));
        }
        Some(_) => {}
        None => {
            let known: Vec<&str> =
                references.iter().filter(|(_, kind)| kind.is_none_or(right)).map(|(name, _)| name.as_str()).collect();
            let message = format!("{key} names {}, which is not in parts.csv", quoted(reference));
            let help = if known.len() > 12 { nearest_or_add(reference, &known) } else { mend(reference, &known) };
            section.fault(key, FaultKind::UnknownName, message, help);
        }
    }
}

/// The nearest reference; a list of all would be too long.
fn nearest_or_add(reference: &str, known: &[&str]) -> String {
    crate::units::parse::nearest(reference, known).map_or_else(
        || "add the part, or correct the reference".to_owned(),
        |name| format!("the nearest known is '{name}'"),
    )
}
