//! Every example of `docs/quantities.md` is read and says what the page says.
#![expect(clippy::panic, reason = "a test fails by panicking, also in its helper functions")]

use std::fmt::Display;

use capjob::units::parse::{
    Bare, CapacitorMark, CurrentUnit, MarkedFarad, OfferKind, OfferText, QuantityError, capacitance, capacitance_range,
    capacitor_mark, celsius, current, henry, hertz, hour, millimetre, offer_text, ratio_list, resistance,
    resistor_mark, tolerance, volt, volt_ac, watt,
};

/// What was read, as the page words it.
type Read = Result<String, QuantityError>;

/// Adds a part of a reading, when there is one.
fn push(parts: &mut Vec<String>, part: Option<impl Display>) {
    parts.extend(part.map(|p| p.to_string()));
}

fn marked_farad(read: MarkedFarad) -> String {
    let mut parts = vec![read.farad.to_string()];
    push(&mut parts, read.tolerance);
    parts.join("; ")
}

fn classes(list: &[impl Display]) -> Option<String> {
    let texts: Vec<String> = list.iter().map(ToString::to_string).collect();
    (!texts.is_empty()).then(|| texts.join(" "))
}

fn words(rest: &str) -> Option<String> {
    (!rest.is_empty()).then(|| format!("words: {rest}"))
}

fn capacitor(mark: &CapacitorMark) -> String {
    let each = mark.volts.is_none() && mark.section_volts.iter().any(Option::is_some);
    let section = |(farad, volts): (&capjob::units::Farad, &Option<capjob::units::Volt>)| match volts {
        Some(volts) if each => format!("{farad} {volts}"),
        _ => farad.to_string(),
    };
    let sections: Vec<String> = mark.sections.iter().zip(&mark.section_volts).map(section).collect();
    let mut parts = vec![sections.join(" + ")];
    push(&mut parts, mark.volts);
    push(&mut parts, mark.vac.map(|v| format!("{v} AC")));
    push(&mut parts, mark.tolerance);
    push(&mut parts, classes(&mark.classes));
    push(&mut parts, words(&mark.rest));
    parts.join("; ")
}

fn offer(offer: &OfferText) -> String {
    let farads: Vec<String> = offer.farads.iter().map(ToString::to_string).collect();
    let mut parts = vec![farads.join(" + ")];
    push(&mut parts, offer.volts);
    push(&mut parts, offer.vac.map(|v| format!("{v} AC")));
    push(&mut parts, offer.tolerance);
    push(&mut parts, classes(&offer.classes));
    push(&mut parts, offer.temp);
    push(&mut parts, offer.ripple.zip(offer.ripple_hz).map(|(i, f)| format!("{i} at {f}")));
    push(&mut parts, offer.life);
    push(&mut parts, offer.style);
    push(&mut parts, offer.diameter.zip(offer.length).map(|(d, l)| format!("{d} x {l}")));
    parts.join("; ")
}

fn resistor(text: &str) -> Read {
    let mark = resistor_mark(text)?;
    let mut parts = vec![mark.ohm.to_string()];
    push(&mut parts, mark.watts);
    push(&mut parts, mark.tolerance);
    push(&mut parts, mark.volts);
    push(&mut parts, words(&mark.rest));
    Ok(parts.join("; "))
}

fn resistance_text(text: &str) -> Read {
    let read = resistance(text)?;
    let mut parts = vec![read.ohm.to_string()];
    push(&mut parts, read.tolerance);
    Ok(parts.join("; "))
}

fn ratios(text: &str) -> Read {
    let pairs: Vec<String> = ratio_list(text)?.iter().map(|(a, b)| format!("{a} {b}")).collect();
    Ok(pairs.join(", "))
}

/// Reads an example with the reader of its heading.
fn read(heading: &str, text: &str) -> Read {
    fn say<T: Display>(read: Result<T, QuantityError>) -> Read {
        read.map(|value| value.to_string())
    }
    match heading {
        "Capacitances" => capacitance(text, Bare::Refuse).map(marked_farad),
        "Capacitances on a sheet with bare = \"pF\"" => capacitance(text, Bare::Picofarad).map(marked_farad),
        "Capacitances on a sheet with bare = \"uF\"" => capacitance(text, Bare::Microfarad).map(marked_farad),
        "Marks of capacitors" => capacitor_mark(text, Bare::Refuse).map(|mark| capacitor(&mark)),
        "Resistances" => resistance_text(text),
        "Marks of resistors" => resistor(text),
        "Voltages" => say(volt(text)),
        "AC voltages" => say(volt_ac(text)),
        "Currents in a column of mA" => say(current(text, CurrentUnit::Milliampere)),
        "Powers" => say(watt(text)),
        "Frequencies" => say(hertz(text)),
        "Temperatures" => say(celsius(text)),
        "Lengths" => say(millimetre(text)),
        "Hours" => say(hour(text)),
        "Inductances" => say(henry(text)),
        "Tolerances" => say(tolerance(text)),
        "Ranges of capacitance" => capacitance_range(text, Bare::Refuse).map(|(low, high)| format!("{low} to {high}")),
        "Lists of factors" => ratios(text),
        "Offers of capacitors in one line" => offer_text(text, OfferKind::Capacitor, Bare::Refuse).map(|o| offer(&o)),
        other => panic!("no reader for the heading '{other}'"),
    }
}

#[test]
fn every_example_says_what_the_page_says() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/quantities.md");
    let page = std::fs::read_to_string(path).expect("the page on quantities");
    let mut heading = "";
    let mut count = 0;
    let mut wrong = Vec::new();
    for line in page.lines() {
        if let Some(title) = line.strip_prefix("## ") {
            heading = title;
        }
        let Some((text, means)) = line.strip_prefix("| `").and_then(|rest| rest.split_once("` | ")) else { continue };
        let means = means.trim_end_matches(" |");
        count += 1;
        let said = read(heading, text);
        let right = match &said {
            Ok(reading) => reading == means,
            Err(_) => means == "refused",
        };
        if !right {
            wrong.push(format!("{heading}: `{text}` means '{means}', was read as {said:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(count > 150, "only {count} examples found: the page has another shape");
}
