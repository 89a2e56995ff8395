//! A need in one line of a technician's words.

use crate::model::kind::{PartKind, Style};
use crate::model::need::{Need, Why};
use crate::units::Farad;

/// The need in one line, such as `16 to 40 µF, 450 V, axial or radial, at most 18 × 40 mm`.
pub fn need_text(need: &Need) -> String {
    let mut words = Vec::new();
    if !need.designations.is_empty() {
        words.push(need.designations.join(" or "));
    }
    if let Some((least, most)) = need.farad {
        words.push(range(least, most));
    }
    if let Some((least, most)) = need.ohm {
        words.push(if least < most { format!("{least} to {most}") } else { least.to_string() });
    }
    if let Some(volts) = need.volts_min {
        words.push(volts.to_string());
    }
    if let Some(volts) = need.vac_min {
        words.push(format!("{volts} AC"));
    }
    if let Some(class) = need.class {
        words.push(format!("class {}", class.mark()));
    }
    if let Some(watts) = need.watts_min {
        words.push(watts.to_string());
    }
    if let Some(ripple) = need.ripple {
        words.push(format!("ripple {}", ripple.total));
    }
    if let Some(temp) = need.temp_min {
        words.push(temp.to_string());
    }
    if need.flameproof {
        let fusible = need.kinds == [PartKind::Fusible];
        words.push(if fusible { "fusible" } else { "flameproof" }.to_owned());
    }
    if need.kinds.contains(&PartKind::Electrolytic) && !need.polarised_ok {
        words.push("non-polarised".to_owned());
    }
    if !need.styles.is_empty() {
        words.push(styles(&need.styles));
    }
    words.extend(size(need));
    words.join(", ")
}

/// What a part known by its designation has to be and bear, reason by reason, so that it can be looked for elsewhere;
/// nothing where the need in one line says all of it.
pub fn wanted(need: &Need) -> Vec<String> {
    let told = |w: &&Why| !matches!(w.rule, "designation" | "equivalent" | "space");
    let named = need.kinds.iter().all(|k| k.is_designated());
    need.why.iter().filter(told).filter(|_| named).map(|w| w.says.clone()).collect()
}

/// A window of capacitance.
fn range(least: Farad, most: Farad) -> String {
    if least < most { format!("{least} to {most}") } else { least.to_string() }
}

/// Styles in words.
fn styles(styles: &[Style]) -> String {
    styles.iter().map(|s| s.word()).collect::<Vec<_>>().join(" or ")
}

/// The space in words.
fn size(need: &Need) -> Option<String> {
    match (need.max_diameter, need.max_length) {
        (Some(d), Some(l)) => Some(format!("at most {} × {l}", d.get())),
        (Some(d), None) => Some(format!("at most {d} across")),
        (None, Some(l)) => Some(format!("at most {l} long")),
        (None, None) => None,
    }
}
