//! Selenium rectifiers: renewing is advised, in a bias supply first of all.

use super::draft::find;
use super::{Rule, RuleMeta, Subject};
use crate::model::chassis::{Polarity, RectifierKind};
use crate::model::finding::{Call, Finding, OwnerCause};
use crate::model::kind::{PartKind, Place};
use crate::sources::SourceId;

/// Selenium rectifiers.
#[derive(Debug)]
pub(super) struct Selenium;

static META: RuleMeta = RuleMeta {
    id: "selenium",
    title: "Selenium rectifier",
    what: "A rectifier whose type names selenium or a metal rectifier, or the one rectifier of a set with a selenium \
           supply; one marked by the code B..C.. (bridge, volts, milliamperes; from memory) in a set with a selenium \
           supply.",
    why: "Its resistance rises with age, so that the HT falls; then it shorts or burns. In a bias supply the output \
          valves lose their bias with it.",
    not_where: "Silicon and valve rectifiers.",
    remedy: "Silicon, with a resistor in series that brings the HT back to its figure; re-check every HT rating as for \
             silicon. In a bias supply it is the first thing to do.",
    safety: "SELENIUM: a burning stack gives poisonous fumes. Do not run one to see. Handle an old stack as hazardous \
             waste by local rules.",
    thresholds: &[],
    sources: &[SourceId::SeleniumPractice],
    owner: Some(OwnerCause::KindOrAge),
};

impl Rule for Selenium {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn check(&self, subject: &Subject<'_>, findings: &mut Vec<Finding>) {
        if subject.part.kind != PartKind::Rectifier || !is_selenium(subject) {
            return;
        }
        if feeds_bias(subject) {
            let says = "selenium in a bias supply: renew it first, the output valves hang on it";
            find(&META, SourceId::SeleniumPractice, Call::Replace, says).urgent().add_to(findings);
        } else {
            let says = "selenium: loses voltage, then shorts; silicon with a series resistor is advised";
            find(&META, SourceId::SeleniumPractice, Call::Advise, says).add_to(findings);
        }
    }
}

/// Whether the rectifier is selenium by its name, or by being the only one of a selenium set.
fn is_selenium(subject: &Subject<'_>) -> bool {
    let text = format!("{} {}", subject.part.marked, subject.part.designation().unwrap_or_default()).to_lowercase();
    if text.contains("selenium") || text.contains("metal rect") {
        return true;
    }
    let supplies = &subject.job.chassis.supplies;
    let rectifiers = subject.job.parts.iter().filter(|p| p.kind == PartKind::Rectifier).count();
    let all = !supplies.is_empty() && supplies.iter().all(|s| s.rectifier == RectifierKind::Selenium);
    let coded = is_bridge_code(&text) && supplies.iter().any(|s| s.rectifier == RectifierKind::Selenium);
    !text.contains("silicon") && (coded || all && rectifiers == supplies.len())
}

/// Whether a marking holds a bridge's code such as `B250C75`, which silicon bridges carry too.
fn is_bridge_code(text: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric()).any(|word| {
        let figures = word.strip_prefix('b').and_then(|rest| rest.split_once('c'));
        figures.is_some_and(|(volts, milliamperes)| {
            [volts, milliamperes].iter().all(|f| !f.is_empty() && f.chars().all(|c| c.is_ascii_digit()))
        })
    })
}

/// Whether it feeds a bias supply: by its place, by a node of a negative supply, or as the selenium of a set
/// whose selenium supplies are all negative.
fn feeds_bias(subject: &Subject<'_>) -> bool {
    let negative = subject.job.chassis.supplies.iter().filter(|s| s.polarity == Polarity::Negative);
    let mut nodes = negative.flat_map(|s| s.nodes.iter());
    let selenium = subject.job.chassis.supplies.iter().filter(|s| s.rectifier == RectifierKind::Selenium);
    let polarities: Vec<Polarity> = selenium.map(|s| s.polarity).collect();
    let only_bias = !polarities.is_empty() && polarities.iter().all(|p| *p == Polarity::Negative);
    only_bias || subject.part.place == Some(Place::Bias) || nodes.any(|n| subject.part.touches(&n.name))
}
