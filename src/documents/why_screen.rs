//! One position as a story: seen, known how, rule, need, best, just missed, what each wish costs.

use super::block::Block;
use super::describe::{article, fitting, old_part, years};
use super::machine::plan::Digits;
use crate::model::finding::{Judgement, Stress};
use crate::model::part::Part;
use crate::model::plan::{Fitting, Plan, Story, StoryOffer, WishCost};
use crate::money::Money;

/// Writes the story of one part.
pub fn blocks(part: &Part, judgement: &Judgement, plan: &Plan, story: &Story) -> Vec<Block> {
    let digits = Digits(plan.currency.minor_digits());
    let place = part.place.map_or_else(|| part.kind.word().replace('-', " "), |p| p.word().replace('-', " "));
    let mut blocks = vec![Block::Title(
        format!("{} {place} {}", story.reference, old_part(part)),
        format!("decision: {}", judgement.decision),
    )];
    let mut list = |head: &str, items: Vec<String>| {
        if !items.is_empty() {
            blocks.push(Block::Heading(head.to_owned()));
            blocks.push(Block::List(items));
        }
    };
    list("WHAT IT SEES", sees(&judgement.stress));
    list(
        "WHAT WAS FOUND",
        judgement.findings.iter().map(|f| format!("{} ({}); {}", f.says, f.rule, f.source)).collect(),
    );
    let need = plan.needs.iter().find(|n| n.reference == story.reference);
    let why = need.map(|n| n.why.as_slice()).unwrap_or_default();
    list(
        "WHAT THE NEW PART MUST BE",
        why.iter().map(|w| format!("{}: {}", w.point.word().replace('_', " "), w.says)).collect(),
    );
    if let Some(fit) = plan.fits.iter().find(|f| f.refs.contains(&story.reference)) {
        let mut chosen = vec![fitting(fit)];
        chosen.extend(fit.years.map(|y| format!("should last {} at the hours of use given", years(y))));
        chosen.extend(fit.notes.iter().cloned());
        list("CHOSEN", chosen);
    }
    list("BEST BY THE PRICE OF ONE", story.best.iter().map(|o| offer(o, digits)).collect());
    list(
        "JUST MISSED",
        story
            .missed
            .iter()
            .map(|r| {
                let fails: Vec<&str> = r.fails.iter().map(|p| p.says.as_str()).collect();
                format!("{} {}: {}", r.number, r.description, fails.join("; "))
            })
            .collect(),
    );
    list(
        "WHAT A CHANGE WOULD COST (the whole order, solved again)",
        story.costs.iter().map(|c| change(c, digits, plan)).collect(),
    );
    list("NEVER WEIGHED AGAINST MONEY", story.firm.clone());
    blocks
}

/// Each stress with how it is known.
fn sees(stress: &Stress) -> Vec<String> {
    let mut lines = Vec::new();
    lines.extend(stress.working.map(|k| format!("works at {} ({})", k.value, k.basis)));
    lines.extend(stress.highest.map(|k| format!("up to {} ({})", k.value, k.basis)));
    if stress.highest.is_none() {
        lines.push("highest voltage unproved: neither measured nor computed".to_owned());
    }
    lines.extend(stress.ripple.map(|k| format!("ripple current {} rms ({})", k.value.total, k.basis)));
    lines.extend(stress.heat.map(|k| format!("{} ({})", k.value, k.basis)));
    lines.extend(stress.assumed.iter().cloned());
    lines
}

fn offer(offer: &StoryOffer, digits: Digits) -> String {
    let price = offer.each.map_or_else(|| "too late".to_owned(), |m| digits.each(m));
    let mark = if offer.in_order { " (in this order)" } else { "" };
    let cautions = if offer.cautions.is_empty() { String::new() } else { format!("; {}", offer.cautions.join("; ")) };
    format!("{price}  {} {}{mark}{cautions}", offer.number, article(&offer.article))
}

/// `from at most 1 supplier: 4.71 EUR more, with 22 µF 450 V radial (Tarrowby:TB-22) here`.
fn change(cost: &WishCost, digits: Digits, plan: &Plan) -> String {
    let instead = cost.instead.as_ref().map(|f| format!("with {} ({}) here", fitting(f), numbers(f)));
    let amount = |m: Money| format!("{} {}", digits.text(m), plan.currency);
    let said = match cost.difference {
        None => return format!("{}: not possible", cost.what),
        Some(d) if d < Money::ZERO => format!("{} less", amount(-d)),
        Some(d) if d > Money::ZERO => format!("{} more", amount(d)),
        Some(_) if instead.is_none() && cost.meets.is_empty() => "changes nothing".to_owned(),
        Some(_) => "costs the same".to_owned(),
    };
    let meets = (!cost.meets.is_empty()).then(|| format!("meets {}", cost.meets.join(" ")));
    let doubt = (!cost.proven).then(|| "not proven".to_owned());
    let parts: Vec<String> = [Some(said), instead, meets, doubt].into_iter().flatten().collect();
    format!("{}: {}", cost.what, parts.join(", "))
}

/// Suppliers' numbers of what is fitted, each once.
fn numbers(fit: &Fitting) -> String {
    let mut names: Vec<String> = Vec::new();
    for piece in &fit.parts {
        let name = format!("{}:{}", piece.supplier.as_deref().unwrap_or("shelf"), piece.number);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(", ")
}
