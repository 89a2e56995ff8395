//! What an article is: the columns that a supplier's catalog and the shelf have in common.

use super::escape::quoted;
use super::fault::FaultKind;
use super::marks::{accepted, class_of, reasonable_farad, reasonable_ohm, tolerance, tolerance_of, volt};
use super::table::Row;
use crate::model::kind::{MainsClass, PartKind, Style};
use crate::model::part::Value;
use crate::model::shop::{Article, RippleRating, Section};
use crate::units::parse::{self, Bare, OfferKind, OfferText};
use crate::units::{Ampere, Celsius, Hertz, Hour, Millimetre, Ohm, Watt};

/// Reads the article of a row; `None` with faults left at the row where it cannot be used.
/// A `value` cell may hold more than the value, `22 µF ±20% 450V`; a column of its own wins.
pub(super) fn article(row: &mut Row<'_>) -> Option<Article> {
    let kind = row.needed_word::<PartKind>("part");
    let said = kind.map(|kind| said_in_value(row, kind)).unwrap_or_default();
    let sections = kind.map(|kind| sections(row, kind)).unwrap_or_default();
    let value = kind.and_then(|kind| value(row, kind, &said, sections.is_empty()));
    let article = ratings(row, kind.unwrap_or(PartKind::Hardware), &said);
    let article = Article { value, sections, common_negative: common_negative(row), ..article };
    check_needed(row, &article);
    (!row.is_faulty()).then_some(article)
}

/// What the value cell of a capacitor or resistor says.
fn said_in_value(row: &mut Row<'_>, kind: PartKind) -> OfferText {
    if kind.is_designated() {
        return OfferText::default();
    }
    let Some(text) = row.quantity("value") else { return OfferText::default() };
    let as_what = if kind.is_capacitor() { OfferKind::Capacitor } else { OfferKind::Resistor };
    accepted(row, "value", parse::offer_text(&text, as_what, Bare::Refuse)).unwrap_or_default()
}

/// The value: one capacitance, a resistance or a designation.
fn value(row: &mut Row<'_>, kind: PartKind, said: &OfferText, single: bool) -> Option<Value> {
    if kind.is_designated() {
        let text = row.text("designation").or_else(|| row.text("value"));
        if text.is_none() {
            row.fault(
                "designation",
                FaultKind::EmptyCell,
                format!("neither designation nor value is given for a {kind}"),
                "write what it is called, like EF86".to_owned(),
            );
        }
        return text.map(Value::Designation);
    }
    if let Some(ohm) = said.ohm {
        return reasonable_ohm(row, "value", ohm).map(Value::Ohm);
    }
    match said.farads.as_slice() {
        [farad] => reasonable_farad(row, "value", *farad).map(Value::Farad),
        [] if !single || row.text("value").is_some() => None,
        [] => {
            row.empty("value");
            None
        }
        several => {
            let message = format!("value holds {} sections", several.len());
            let help = "leave value empty and write the sections of a can in the column 'sections'".to_owned();
            row.fault("value", FaultKind::NotAQuantity, message, help);
            None
        }
    }
}

/// The sections of a can; a section without a rating of its own has the line's.
fn sections(row: &mut Row<'_>, kind: PartKind) -> Vec<Section> {
    if !kind.is_capacitor() {
        return Vec::new();
    }
    let Some(text) = row.quantity("sections") else { return Vec::new() };
    let Some(mark) = accepted(row, "sections", parse::capacitor_mark(&text, Bare::Microfarad)) else {
        return Vec::new();
    };
    let line_volts = volt(row, "rated_v");
    let volts = mark.section_volts.iter().copied().chain(std::iter::repeat(None));
    let sections: Option<Vec<Section>> = mark
        .sections
        .iter()
        .zip(volts)
        .map(|(farad, volts)| Some(Section { farad: *farad, volts: volts.or(mark.volts).or(line_volts)? }))
        .collect();
    if sections.is_none() {
        let message = format!("sections {} have no voltage", quoted(&text));
        let help = "write the rating of the sections in rated_v, or each at its section, like 40uF 450V + 20uF 25V";
        row.fault("sections", FaultKind::EmptyCell, message, help.to_owned());
    }
    sections.unwrap_or_default()
}

fn common_negative(row: &mut Row<'_>) -> bool {
    match row.text("common").map(|text| text.to_lowercase()).as_deref() {
        None | Some("none" | "no") => false,
        Some("negative" | "common negative" | "yes") => true,
        Some(other) => {
            let message = format!("common {} is not known", quoted(other));
            row.fault("common", FaultKind::UnknownWord, message, "accepted: negative, none".to_owned());
            false
        }
    }
}

/// Everything but value and sections.
fn ratings(row: &mut Row<'_>, kind: PartKind, said: &OfferText) -> Article {
    Article {
        kind,
        value: None,
        tolerance: tolerance(row, "tolerance").or(said.tolerance.map(tolerance_of)),
        volts: volt(row, "rated_v").or(said.volts),
        vac: volt(row, "rated_vac").or(said.vac),
        class: class(row).or_else(|| class_of(&said.classes)),
        watts: row.model("watts").map(Watt::new).or(said.watts),
        temp: row.model("temp_c").map(Celsius::new).or(said.temp),
        life: row.model("life_h").map(Hour::new).or(said.life),
        ripple: ripple(row, said),
        loss_factor: row.number("loss_factor"),
        leakage: row.model("leakage_ua").map(Ampere::new),
        esr: row.model("esr_ohm").map(Ohm::new),
        style: row.word("style").or_else(|| said.style.and_then(Style::from_word)),
        diameter: row.model("diameter_mm").map(Millimetre::new).or(said.diameter),
        length: row.model("length_mm").map(Millimetre::new).or(said.length),
        lead: row.model("lead_mm").map(Millimetre::new),
        polarised: row.yes_no("polarised"),
        flameproof: row.yes_no("flameproof"),
        sections: Vec::new(),
        common_negative: false,
        made: row.year("made"),
        description: row.text("description"),
    }
}

/// The safety class of its column, `X2` or `X1/Y2`; of two the Y class counts.
fn class(row: &mut Row<'_>) -> Option<MainsClass> {
    let text = row.text("class")?;
    let classes: Option<Vec<MainsClass>> =
        text.split(['/', '+', ' ', ',']).filter(|piece| !piece.is_empty()).map(MainsClass::from_word).collect();
    // Two that are written as one word, `X1Y2`.
    let classes = classes.or_else(|| {
        let (one, other) = text.split_at_checked(2)?;
        Some(vec![MainsClass::from_word(one)?, MainsClass::from_word(other)?])
    });
    if classes.is_none() {
        let message = format!("class {} is not known", quoted(&text));
        row.fault("class", FaultKind::UnknownWord, message, super::word::mend_word::<MainsClass>(&text));
    }
    // Y classes stand after X classes in the order of the enum, Y1 before Y2.
    let classes = classes.unwrap_or_default();
    let y = classes.iter().copied().filter(|class| matches!(class, MainsClass::Y1 | MainsClass::Y2)).min();
    y.or_else(|| classes.iter().copied().min())
}

/// The ripple rating with its frequency and factors.
fn ripple(row: &mut Row<'_>, said: &OfferText) -> Option<RippleRating> {
    let current = row.model("ripple_ma").map(Ampere::new);
    let at = row.model("ripple_hz").map(Hertz::new);
    let factors = factors(row);
    let rating = |current, at| RippleRating { current, at, factors };
    match (current, said.ripple) {
        (Some(current), _) => Some(rating(current, at)),
        (None, Some(current)) => Some(rating(current, at.or(said.ripple_hz))),
        (None, None) => None,
    }
}

fn factors(row: &mut Row<'_>) -> Vec<(Hertz, f64)> {
    let Some(text) = row.quantity("ripple_factors") else { return Vec::new() };
    let pairs = accepted(row, "ripple_factors", parse::ratio_list(&text)).unwrap_or_default();
    if let Some((_, factor)) = pairs.iter().find(|(_, factor)| !(0.01..=20.0).contains(factor)) {
        let message = format!("ripple factor {factor} is out of all reason; accepted is 0.01 to 20");
        let help = "write frequency and factor, like 50:0.8;100:1;1k:1.3".to_owned();
        row.fault("ripple_factors", FaultKind::OutOfBounds, message, help);
    }
    pairs.into_iter().map(|(hz, factor)| (Hertz::new(hz), factor)).collect()
}

/// What a line must have to be used: a capacitor a voltage, a resistor its watts.
fn check_needed(row: &mut Row<'_>, article: &Article) {
    let kind = article.kind;
    if kind.is_capacitor() && article.volts.is_none() && article.vac.is_none() && article.sections.is_empty() {
        let message = format!("neither rated_v nor rated_vac is given for a {kind} capacitor");
        row.fault("rated_v", FaultKind::EmptyCell, message, "write its rated voltage".to_owned());
    }
    if kind.is_resistor() && article.watts.is_none() {
        let message = format!("watts is not given for a {kind} resistor");
        row.fault("watts", FaultKind::EmptyCell, message, "write its power rating".to_owned());
    }
}
