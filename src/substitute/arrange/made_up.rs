//! A value that no single part has, made up of two different ones in parallel.
//!
//! Where a circuit asks for a value that today's series do not have, two of them are put in parallel: common
//! practice, no source. Two of different values are never put in series: direct voltage divides by their leakage
//! and not by their capacitance, so that each would have to stand all of it, and two in parallel reach every value
//! that two in series do.

use std::collections::BTreeMap;

use super::group::Group;
use super::position::{Alternative, Choice};
use crate::model::part::Value;
use crate::model::plan::ArrangementKind;
use crate::model::shop::Article;
use crate::substitute::candidates::{Source, Target};
use crate::units::Farad;
use crate::units::print::farad_text;

/// So many pairs are weighed for one place, those whose sums are nearest to the marked value; the others
/// lie further off and would only be cheaper by chance.
const MOST_PAIRS: usize = 24;
/// Room for rounding at the edges of windows.
const EDGE: f64 = 1e-6;

/// Every pair of different values in parallel that comes within the window, the nearest first.
pub(super) fn of_two(group: &Group<'_, '_>) -> Vec<Alternative> {
    let Some(ask) = group.lead() else { return Vec::new() };
    let (Some((least, most)), Some(nominal)) = (ask.need.farad, ask.need.farad_nominal) else { return Vec::new() };
    let mut by_value: BTreeMap<u64, (Farad, Vec<&Source>)> = BTreeMap::new();
    for source in group.serving(Target::Part) {
        let Some(farad) = source.article.farad() else { continue };
        // Positive numbers stand in the order of their bits.
        by_value.entry(farad.get().to_bits()).or_insert_with(|| (farad, Vec::new())).1.push(source);
    }
    let values: Vec<(Farad, Vec<&Source>)> = by_value.into_values().collect();
    let inside = |sum: Farad| least * (1.0 - EDGE) <= sum && sum <= most * (1.0 + EDGE);
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for (i, (small, _)) in values.iter().enumerate() {
        for (j, (large, _)) in values.iter().enumerate().skip(i + 1) {
            let sum = *small + *large;
            if inside(sum) {
                pairs.push(((sum / nominal).ln().abs(), i, j));
            }
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let pair =
        |(_, small, large): &(f64, usize, usize)| Some(both(group, values.get(*large)?, values.get(*small)?, nominal));
    pairs.iter().take(MOST_PAIRS).filter_map(pair).collect()
}

/// The larger with the smaller beside it.
fn both(
    group: &Group<'_, '_>,
    (large, of_large): &(Farad, Vec<&Source>),
    (small, of_small): &(Farad, Vec<&Source>),
    nominal: Farad,
) -> Alternative {
    let sum = *large + *small;
    // Each has to do by itself in everything but its value, so the sum is no further off than the wider tolerance.
    let whole = |s: &Source| Article { value: Some(Value::Farad(sum)), ..s.article.clone() };
    let choices = |own: &[&Source]| -> Vec<Choice> { own.iter().map(|s| group.choice(s, &whole(s))).collect() };
    let demands = vec![group.demand(choices(of_large), 1), group.demand(choices(of_small), 1)];
    let percent = (sum / nominal - 1.0) * 100.0;
    let off = if percent.abs() < 0.05 { String::new() } else { format!(", {percent:+.1} %") };
    let mut notes = group.place_notes();
    notes.push(format!(
        "{large} and {small} in parallel make {}{off} of the marked {nominal}: check the space for both",
        farad_text(sum, 4)
    ));
    Alternative { kind: ArrangementKind::Parallel, demands, notes, way: None }
}
