//! The order of work: old to new, which way round, what to mind, a box for each.

use crate::documents::block::{Block, Tick};
use crate::documents::describe::{fitting_at, old_part};
use crate::model::finding::Finding;
use crate::model::finding::How;
use crate::model::kind::PartKind;
use crate::model::plan::ArrangementKind;
use crate::model::shop::Article;
use crate::sheet::{Action, Polarity, Sheet, Stage, Step};
use crate::units::print::significant;
use crate::verify::What;

use super::readings::limit_words;

/// The steps by stage.
pub(super) fn blocks(sheet: &Sheet) -> Vec<Block> {
    let mut blocks = vec![
        Block::Heading("Order of work".to_owned()),
        Block::Text(
            "One part at a time, in this order; the mains plug out. Path and position as the original, leads sleeved. \
             Old parts go into a bag with their references."
                .to_owned(),
        ),
    ];
    if sheet.steps.is_empty() {
        blocks.push(Block::Text("Nothing is to be changed.".to_owned()));
    }
    let mut number = 0;
    for stage in Stage::ALL {
        let ticks: Vec<Tick> = sheet.steps.iter().filter(|s| s.stage == *stage).map(|s| tick(sheet, s)).collect();
        if !ticks.is_empty() {
            number += 1;
            blocks.push(Block::Heading(format!("{number} {}", stage_words(*stage))));
            blocks.push(Block::Ticks(ticks));
        }
    }
    blocks
}

const fn stage_words(stage: Stage) -> &'static str {
    match stage {
        Stage::Bias => "Bias supply",
        Stage::Ht => "High-voltage supply",
        Stage::Coupling => "Coupling",
        Stage::Rest => "Mains side and the rest",
        Stage::Readings => "Readings still due",
    }
}

fn tick(sheet: &Sheet, step: &Step) -> Tick {
    let place = step.part.place.map_or_else(|| step.part.kind.word(), |p| p.word()).replace('-', " ");
    let mut how = Vec::new();
    how.extend(polarity_words(step));
    how.extend(arrangement_words(step));
    if !step.together_with.is_empty() {
        how.push(format!("together with {}", step.together_with.join(" ")));
    }
    // The choosing has said the polarity in its notes too; it stands here first and once.
    how.extend(step.notes.iter().filter(|n| !n.to_lowercase().starts_with("plus to ")).cloned());
    how.extend(value_words(sheet, step));
    let mut beneath = Vec::new();
    if !how.is_empty() {
        beneath.push(how.join("; "));
    }
    beneath.extend(step.part.note.iter().map(|n| format!("note: {n}")));
    Tick {
        about: step.part.reference.clone(),
        what: format!("{place}: {}", do_words(step)),
        mark: step.urgent.then(|| "NO POWER BEFORE THIS IS DONE".to_owned()),
        beneath,
        margin: margin(step),
    }
}

/// What was assumed, and the limits that ask for the step with whose they are.
fn margin(step: &Step) -> Vec<String> {
    let mut lines: Vec<String> = step.assumed.iter().map(|a| format!("assumed: {a}")).collect();
    lines.extend(limits(step, false).map(|l| format!("limits by default: {l}")));
    lines.extend(limits(step, true).map(|l| format!("limits from shop.toml: {l}")));
    lines
}

/// `coupling-grid 0.27 V (0.9 V)`: the limit, and in brackets what was held against it.
fn limits(step: &Step, from_shop: bool) -> Option<String> {
    let own = step.reasons.iter().filter(|f| f.limit_from_shop == from_shop);
    let mut texts: Vec<String> = Vec::new();
    for text in own.filter_map(limit) {
        if !texts.contains(&text) {
            texts.push(text);
        }
    }
    (!texts.is_empty()).then(|| texts.join("; "))
}

fn limit(finding: &Finding) -> Option<String> {
    let shown = |figure: f64| format!("{} {}", significant(figure, 3), finding.unit);
    let value = finding.value.map(|v| format!(" ({})", shown(v))).unwrap_or_default();
    Some(format!("{} {}{value}", finding.rule, shown(finding.limit?)))
}

/// What the new part must read before it is fitted.
fn value_words(sheet: &Sheet, step: &Step) -> Option<String> {
    let Action::Fit(_) = step.action else { return None };
    let own = |what: &What| matches!(what, What::Reads(reference) if *reference == step.part.reference);
    let expected = sheet.readings.iter().find(|e| own(&e.what))?;
    Some(format!("before fitting it reads {}", limit_words(expected)))
}

/// What is done, old to new.
pub fn do_words(step: &Step) -> String {
    let old = match old_part(&step.part) {
        unread if unread == "?" => "marking not known".to_owned(),
        old => old,
    };
    match &step.action {
        Action::Fit(fit) => {
            let how = match step.how {
                Some(How::Restuff) => " (inside the old case)",
                Some(How::BesideDeadCan) => " (beside the old can, which is disconnected and stays)",
                Some(How::Pair) => " (matched pair)",
                Some(How::New) | None => "",
            };
            format!("{old} → {}{how}", fitting_at(fit))
        }
        Action::NotMet(need) if need.is_empty() => format!("{old}: NOT MET, no part chosen"),
        Action::NotMet(need) => format!("{old}: NOT MET, needs {need}"),
        Action::TakeOut => format!("{old}: take out, do not refit"),
        Action::Disconnect => format!("{old}: disconnect, leave in place"),
        Action::Reform => format!("{old}: reform and keep"),
        Action::Settle(what) if what.is_empty() => format!("{old}: find out"),
        Action::Settle(what) => format!("{old}: {}", what.join("; ")),
    }
}

/// Which way round; nothing where it does not matter.
pub fn polarity_words(step: &Step) -> Option<String> {
    match &step.polarity {
        Polarity::None if step.part.kind == PartKind::Paper || step.part.kind == PartKind::Film => {
            let Action::Fit(fit) = &step.action else { return None };
            // A part of a safety class has no outer foil to mind, nor have ceramics.
            let wound = |a: &Article| a.class.is_none() && matches!(a.kind, PartKind::Film | PartKind::Paper);
            let says = if fit.parts.iter().all(|p| wound(&p.article)) {
                "not polarised; outer foil, where marked, as the old one"
            } else {
                "not polarised"
            };
            Some(says.to_owned())
        }
        Polarity::None => None,
        Polarity::PlusTo { plus, minus } => Some(format!("+ to {plus}, − to {minus}")),
        Polarity::PlusToChassis { minus } => Some(format!("PLUS TO CHASSIS, − to {minus}")),
        Polarity::ToBeFound => Some("POLARITY TO BE FOUND before it is fitted".to_owned()),
    }
}

/// How several parts stand together.
fn arrangement_words(step: &Step) -> Option<String> {
    let Action::Fit(fit) = &step.action else { return None };
    match fit.arrangement {
        ArrangementKind::Series if step.polarity != Polarity::None => Some(
            "in series: − of the first to + of the second, a balancing resistor across each; insulate the joint"
                .to_owned(),
        ),
        _ => None,
    }
}
