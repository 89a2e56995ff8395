//! Reasons to order nothing yet: iron, what is not proved, money.

use crate::model::chassis::{Chassis, Iron, Job, SupplyKind};
use crate::model::finding::{Decision, Hold, HoldReason, Judgement};
use crate::model::kind::Place;
use crate::model::part::Part;
use crate::model::supply::SupplyOutcome;
use crate::money::{Currency, Money};

/// The pieces that cannot be bought, with their state; what the sheet does not name is unchecked.
///
/// A choke is listed only where the sheet names its state or a supply has one; a mains transformer in a live
/// set, which as a rule has none, only where the sheet names its state.
pub(crate) fn iron(chassis: &Chassis) -> Vec<(&'static str, Iron)> {
    let checks = &chassis.iron;
    let has_choke = chassis
        .supplies
        .iter()
        .flat_map(|s| s.nodes.iter())
        .any(|n| matches!(n.feed, crate::model::chassis::Feed::Choke { .. }));
    let mut pieces = Vec::new();
    if chassis.supply != SupplyKind::Live || checks.mains_transformer.is_some() {
        pieces.push(("mains transformer", checks.mains_transformer.unwrap_or(Iron::Unchecked)));
    }
    pieces.push(("output transformer", checks.output_transformer.unwrap_or(Iron::Unchecked)));
    if has_choke || checks.choke.is_some() {
        pieces.push(("choke", checks.choke.unwrap_or(Iron::Unchecked)));
    }
    pieces
}

/// Reasons, apart from money, to order nothing yet.
///
/// - **iron**: a transformer or choke is open or of low insulation;
/// - **unproved**: a live chassis is said to be earthed; a supply contradicts itself; or a capacitor of an HT, screen,
///   coupling or output-anode place is to be replaced whose highest voltage is not proved and whose old rating is not
///   known, so that no safe rating can be asked for.
pub fn holds(job: &Job, judgements: &[Judgement], supplies: &[SupplyOutcome]) -> Vec<Hold> {
    let mut holds = Vec::new();
    for (piece, state) in iron(&job.chassis) {
        let fault = match state {
            Iron::Open => "is open",
            Iron::LowInsulation => "has low insulation",
            Iron::Ok | Iron::Unchecked => continue,
        };
        let says = format!("{piece} {fault}: nothing is ordered before the owner has decided");
        holds.push(Hold { reason: HoldReason::Iron, says });
    }
    if job.chassis.earths_live_chassis() {
        let says = "live chassis with a three-core lead: the mains earth on a live chassis is a short or a shock; take \
                    it off the chassis, and find out how the set is fed, before anything else";
        holds.push(Hold { reason: HoldReason::Unproved, says: says.to_owned() });
    }
    for unproved in supplies.iter().filter_map(|s| s.as_ref().err()).filter(|u| u.fault) {
        let says = format!("supply {}: {}", unproved.name, unproved.says);
        holds.push(Hold { reason: HoldReason::Unproved, says });
    }
    let unrated: Vec<&str> = job
        .parts
        .iter()
        .zip(judgements)
        .filter(|(part, judgement)| rating_unproved(part, judgement))
        .map(|(part, _)| part.reference.as_str())
        .collect();
    if !unrated.is_empty() {
        let says = format!(
            "{}: to be replaced, but neither the old rating nor the highest voltage is known, so no safe rating can be \
             asked for",
            unrated.join(", ")
        );
        holds.push(Hold { reason: HoldReason::Unproved, says });
    }
    holds
}

/// Whether a part is to be replaced and nothing says what voltage the new one must stand.
fn rating_unproved(part: &Part, judgement: &Judgement) -> bool {
    let high = matches!(
        part.place,
        None | Some(
            Place::Reservoir
                | Place::Smoothing
                | Place::Decoupling
                | Place::Screen
                | Place::Coupling
                | Place::OutputAnode
        )
    );
    let stress = &judgement.stress;
    let known = part.rating.volts.is_some() || part.accept.volts.is_some() || stress.highest.is_some();
    judgement.decision == Decision::Replace && part.kind.is_capacitor() && high && !known
}

/// What a sum of money is the total of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TotalOf {
    /// The quote, labour and tax included.
    Quote,
    /// The parts with carriage, where there is no quote.
    Landed,
    /// The quote of one job of several, with its part of their common order.
    QuoteOfOne,
    /// The job's part of a common order, landed.
    Share,
}

/// Reasons of money: above what the owner has authorised, above what the set is worth.
///
/// The quote's total counts where there is one, else the landed cost of the parts. A missing
/// ceiling or value is no reason; the [cautions](super::cautions()) tell of a missing ceiling.
pub fn money_holds(chassis: &Chassis, total: Money, of: TotalOf, currency: &Currency) -> Vec<Hold> {
    let what = match of {
        TotalOf::Quote => "the quote",
        TotalOf::Landed => "the order, landed,",
        TotalOf::QuoteOfOne => "the quote, with its part of this common order,",
        TotalOf::Share => "its part of this common order, landed,",
    };
    let text = |money: Money| format!("{} {currency}", money.text(currency.minor_digits()));
    let mut holds = Vec::new();
    if let Some(ceiling) = chassis.ceiling.filter(|c| *c < total) {
        let (comes_to, authorised) = (text(total), text(ceiling));
        let says = format!("{what} comes to {comes_to}, the owner has authorised {authorised}: ask before ordering");
        holds.push(Hold { reason: HoldReason::Ceiling, says });
    }
    if let Some(value) = chassis.value.filter(|v| *v < total) {
        let says = format!("{what} comes to {}, the set is worth {}: uneconomic to repair", text(total), text(value));
        holds.push(Hold { reason: HoldReason::Uneconomic, says });
    }
    holds
}
