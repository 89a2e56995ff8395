//! A supply as a ladder: rectifier, series elements, nodes with their capacitors, voltages against ratings.

use super::{id, short};
use crate::documents::drawing::{Anchor, At, Drawing, Fill, Stroke};
use crate::model::chassis::{Feed, HtSupply, RectifierKind};
use crate::model::supply::{NodeFigures, SupplyFigures};
use crate::sheet::{Bar, Sheet};
use crate::units::Volt;

/// Nodes in one row; longer supplies go on beneath.
const IN_A_ROW: usize = 4;
const COLUMN: f64 = 160.0;
const FIRST: f64 = 100.0;
const RAIL: f64 = 46.0;
const CHASSIS: f64 = 112.0;

/// Draws one supply of the sheet with the figures computed for it.
pub fn drawing(sheet: &Sheet, supply: &HtSupply, figures: &SupplyFigures) -> Drawing {
    let title = format!("{}: voltages and ratings from the rectifier on", supply.name);
    let rows = figures.nodes.chunks(IN_A_ROW).map(|nodes| row_height(sheet, nodes)).collect::<Vec<_>>();
    let mut drawing = Drawing::new(&id("ladder", &supply.name), &title, At::new(740.0, rows.iter().sum()));
    let words = figures.nodes.iter().map(|n| node_words(sheet, n));
    drawing.description = format!("{}. {}.", rectifier_words(supply), words.collect::<Vec<_>>().join(". "));
    let mut top = 0.0;
    for (n, (nodes, height)) in figures.nodes.chunks(IN_A_ROW).zip(rows).enumerate() {
        row(&mut drawing, sheet, (supply, n * IN_A_ROW, nodes), top);
        top += height;
    }
    drawing
}

fn row_height(sheet: &Sheet, nodes: &[NodeFigures]) -> f64 {
    let lines = nodes.iter().map(|n| capacitors(sheet, n).len()).max().unwrap_or(0);
    CHASSIS + 30.0 + 15.0 * f64::from(u32::try_from(lines).unwrap_or(0))
}

/// One row of nodes, fed from the left.
fn row(drawing: &mut Drawing, sheet: &Sheet, (supply, before, nodes): (&HtSupply, usize, &[NodeFigures]), top: f64) {
    let rail = top + RAIL;
    if before == 0 {
        drawing.area(At::new(8.0, rail - 22.0), At::new(72.0, 44.0), Fill::Open);
        drawing.text(
            At::new(44.0, rail - 4.0),
            short(supply.designation.as_deref().unwrap_or("rectifier"), 11),
            Anchor::Middle,
        );
        let winding = supply.winding.map_or_else(|| "winding ?".to_owned(), |v| format!("{v} rms"));
        drawing.text(At::new(44.0, rail + 12.0), winding, Anchor::Middle);
    } else {
        drawing.text(At::new(44.0, rail + 4.0), "from above", Anchor::Middle);
    }
    drawing.line(At::new(80.0, rail), At::new(FIRST, rail), Stroke::Thick);
    for (n, node) in nodes.iter().enumerate() {
        let x = FIRST + COLUMN * f64::from(u32::try_from(n).unwrap_or(0));
        let feed = supply.nodes.get(before + n).map(|n| &n.feed);
        series_element(drawing, feed, x, rail);
        self::node(drawing, sheet, node, At::new(x + 62.0, top));
        drawing.line(
            At::new(x + 54.0, rail),
            At::new(x + COLUMN.min(if n + 1 == nodes.len() { 70.0 } else { COLUMN }), rail),
            Stroke::Thick,
        );
    }
}

/// What stands in series before a node: a choke or resistor as a box with its name.
fn series_element(drawing: &mut Drawing, feed: Option<&Feed>, x: f64, rail: f64) {
    let words = feed.map(feed_words).unwrap_or_default();
    if words.is_empty() {
        return drawing.line(At::new(x, rail), At::new(x + 54.0, rail), Stroke::Thick);
    }
    let fill = if matches!(feed, Some(Feed::Choke { .. })) { Fill::Light } else { Fill::Open };
    drawing.area(At::new(x + 4.0, rail - 9.0), At::new(46.0, 18.0), fill);
    drawing.text(At::new(x + 27.0, rail + 22.0), short(&words, 9), Anchor::Middle);
    drawing.line(At::new(x + 50.0, rail), At::new(x + 54.0, rail), Stroke::Thick);
    drawing.line(At::new(x, rail), At::new(x + 4.0, rail), Stroke::Thick);
}

/// A node with its capacitor to the chassis, its voltages and the ratings of its parts.
fn node(drawing: &mut Drawing, sheet: &Sheet, node: &NodeFigures, at: At) {
    let (x, rail) = (at.x, at.y + RAIL);
    drawing.area(At::new(x - 3.0, rail - 3.0), At::new(6.0, 6.0), Fill::Dark);
    drawing.strong(At::new(x, rail - 12.0), short(node.name.as_str(), 12), Anchor::Middle);
    if !node.capacitors.is_empty() {
        drawing.line(At::new(x, rail), At::new(x, rail + 24.0), Stroke::Thin);
        drawing.line(At::new(x - 11.0, rail + 24.0), At::new(x + 11.0, rail + 24.0), Stroke::Thick);
        drawing.line(At::new(x - 11.0, rail + 30.0), At::new(x + 11.0, rail + 30.0), Stroke::Thick);
        drawing.line(At::new(x, rail + 30.0), At::new(x, rail + 46.0), Stroke::Thin);
        drawing.line(At::new(x - 8.0, rail + 46.0), At::new(x + 8.0, rail + 46.0), Stroke::Thick);
    }
    let mut y = at.y + CHASSIS;
    let mut line = |drawing: &mut Drawing, text: String| {
        drawing.text(At::new(x, y), text, Anchor::Middle);
        y += 15.0;
    };
    line(drawing, format!("working {:.0} V", node.volts.abs().get()));
    line(drawing, format!("highest {:.0} V", node.highest.abs().get()));
    for text in capacitors(sheet, node) {
        line(drawing, text);
    }
}

/// `C30: 450, new 700 V` for each capacitor of a node.
fn capacitors(sheet: &Sheet, node: &NodeFigures) -> Vec<String> {
    let volts = |v: Option<Volt>| v.map_or_else(|| "?".to_owned(), |v| format!("{:.0}", v.get()));
    let bar = |reference: &str| -> Option<&Bar> { sheet.bars.iter().find(|b| b.reference == reference) };
    node.capacitors
        .iter()
        .map(|c| match bar(&c.reference) {
            Some(b) if b.replaced => format!("{}: {}, new {} V", short(&c.reference, 8), volts(b.old), volts(b.new)),
            Some(b) => format!("{}: {} V, kept", short(&c.reference, 8), volts(b.old)),
            None => format!("{}: rating ?", short(&c.reference, 8)),
        })
        .collect()
}

fn node_words(sheet: &Sheet, node: &NodeFigures) -> String {
    let rated: Vec<String> = capacitors(sheet, node);
    let rated = if rated.is_empty() { "no capacitor".to_owned() } else { format!("ratings, {}", rated.join(", ")) };
    format!("{}: working {}, highest {}, ripple {} rms; {rated}", node.name, node.volts, node.highest, node.ripple_rms)
}

fn rectifier_words(supply: &HtSupply) -> String {
    let kind = match supply.rectifier {
        RectifierKind::Unknown => "not known, taken as silicon",
        kind => kind.word(),
    };
    let winding =
        supply.winding.map_or_else(|| "winding not known".to_owned(), |v| format!("winding {v} rms off load"));
    format!(
        "Rectifier {} ({kind}), {} circuit, {winding}",
        supply.designation.as_deref().unwrap_or("of no known type"),
        supply.circuit
    )
}

/// What feeds a node, in a word or two.
fn feed_words(feed: &Feed) -> String {
    match feed {
        Feed::Direct => String::new(),
        Feed::Choke { henry, .. } => henry.to_string(),
        Feed::Through(reference) => reference.clone(),
        Feed::Ohm(ohm) => ohm.to_string(),
    }
}
