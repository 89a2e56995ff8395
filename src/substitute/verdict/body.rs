//! Size, mounting and polarity.

use super::Held;
use super::tally::{Head, Said, Tally};
use crate::model::kind::{PartKind, Style};
use crate::model::need::{Answer, Need, PointKind};
use crate::units::Millimetre;

/// The body against the space; a size that is not stated is not checked, and printed so.
pub(super) fn size(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    if need.max_diameter.is_none() && need.max_length.is_none() {
        return;
    }
    let sides = [(need.max_diameter, article.diameter), (need.max_length, article.length)];
    let over =
        |(most, has): &(Option<Millimetre>, Option<Millimetre>)| matches!((most, has), (Some(m), Some(h)) if m < h);
    let unknown = sides.iter().any(|(most, has)| most.is_some() && has.is_none());
    let too_large = sides.iter().any(over);
    let answer = match (too_large, unknown) {
        (true, _) => Answer::Unsuitable,
        (false, true) => Answer::Caution,
        (false, false) => Answer::Fit,
    };
    tally.point(Head::with(PointKind::Size, "space", answer), || {
        let says = match answer {
            Answer::Fit => String::new(),
            Answer::Caution => "size not checked: not stated".to_owned(),
            _ => format!("{} is too large for {}", dimensions(article.diameter, article.length), room(need)),
        };
        Said::new(room(need), dimensions(article.diameter, article.length), says)
    });
    for (most, has) in sides.iter().filter(|s| over(s)) {
        tally.far(has.map_or(0.0, Millimetre::get), most.map_or(1.0, Millimetre::get));
    }
}

/// The space, without the side that the line does not bound.
fn room(need: &Need) -> String {
    match (need.max_diameter, need.max_length) {
        (Some(across), None) => format!("{across} across"),
        (None, Some(long)) => format!("{long} long"),
        (across, long) => dimensions(across, long),
    }
}

/// `18 × 40 mm`, with a question mark for what is not known.
fn dimensions(diameter: Option<Millimetre>, length: Option<Millimetre>) -> String {
    if diameter.is_none() && length.is_none() {
        return "not stated".to_owned();
    }
    let side = |side: Option<Millimetre>| side.map_or_else(|| "?".to_owned(), |s| s.get().to_string());
    format!("{} × {} mm", side(diameter), side(length))
}

/// The mounting; where it is not stated it is not checked.
pub(super) fn style(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    if need.styles.is_empty() {
        return;
    }
    let ok = article.style.is_none_or(|s| s == Style::Any || need.styles.contains(&s));
    tally.point(Head::of(PointKind::Style, "lead-style", ok), || {
        let needs = need.styles.iter().map(|s| s.word()).collect::<Vec<_>>().join(" or ");
        let (has, says) = match article.style {
            None => ("not stated", "mounting not checked: not stated"),
            Some(Style::SnapIn) if !ok => ("snap-in", "snap-in needs a board or clamp"),
            Some(style) => (style.word(), ""),
        };
        Said::new(needs, has, says)
    });
}

/// A polarised part only where DC keeps its polarity.
pub(super) fn polarity(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    let electrolytic = matches!(article.kind, PartKind::Electrolytic | PartKind::Tantalum);
    if !electrolytic || !article.kind.is_capacitor() {
        return;
    }
    let polarised = article.polarised.unwrap_or(true);
    let ok = need.polarised_ok || !polarised;
    tally.point(Head::of(PointKind::Polarity, "non-polarised", ok), || {
        let needs = if need.polarised_ok { "polarised or not" } else { "non-polarised" };
        Said::new(needs, if polarised { "polarised" } else { "non-polarised" }, "")
    });
}
