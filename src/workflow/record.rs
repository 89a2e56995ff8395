//! From what was bought back to references, parts and notes: the record that documents show.

use std::collections::BTreeMap;

use super::Choices;
use super::order::{self, Order};
use crate::model::chassis::Job;
use crate::model::finding::{How, Judgement};
use crate::model::plan::{
    ArrangementKind, BuyLine, ByHand, CanWay, Effort, Extra, Fitting, Inspection, Piece, Refused, ShelfTake, SpareWhy,
    SupplierBill, Totals, Unmet,
};
use crate::model::shop::Shop;
use crate::money::Money;
use crate::purchase::{self, Purchase, Taken, UnmetWhy};
use crate::substitute::arrange::{Alternative, Choice, Position};
use crate::substitute::candidates::{Found, Source, Target};
use crate::units::Hour;

/// At most so many refused offers are shown for one position.
const MOST_REFUSED: usize = 5;
/// No life is printed longer than this, whatever the model gives (makers' calculators stop there).
pub(super) const MOST_YEARS: f64 = 15.0;

/// Everything that the record is made from.
#[derive(Clone, Copy)]
pub(super) struct Bought<'a> {
    /// Positions with their alternatives.
    pub(super) positions: &'a [Position],
    /// The problem and what its numbers stand for.
    pub(super) order: &'a Order<'a>,
    /// What was bought.
    pub(super) purchase: &'a Purchase,
    /// The shop.
    pub(super) shop: &'a Shop,
    /// The jobs.
    pub(super) jobs: &'a [Job],
}

impl<'a> Bought<'a> {
    pub(super) fn alternative(&self, fit: &purchase::Fit) -> Option<(&'a Position, &'a Alternative)> {
        let position = self.positions.get(fit.position)?;
        let number = *self.order.alternatives.get(fit.position)?.get(fit.arrangement)?;
        Some((position, position.alternatives.get(number)?))
    }

    fn source(&self, index: usize) -> Option<&'a Source> {
        self.order.sources.get(index).copied()
    }

    /// The price of one piece of a source in this order.
    fn each(&self, index: usize) -> Money {
        self.purchase.buy.iter().find(|l| l.source == index).map_or(Money::ZERO, |l| l.each)
    }
}

/// What is fitted where, in the order of the positions; single parts of a can section by section.
pub(super) fn fits(bought: &Bought<'_>) -> Vec<Fitting> {
    bought.purchase.fits.iter().flat_map(|fit| fittings(bought, fit)).collect()
}

/// What is fitted at some references, before it is put into words.
struct At<'a> {
    refs: &'a [String],
    arrangement: ArrangementKind,
    notes: Vec<String>,
    taken: Vec<&'a Taken>,
}

fn fittings<'a>(bought: &Bought<'a>, fit: &'a purchase::Fit) -> Vec<Fitting> {
    let Some((position, alternative)) = bought.alternative(fit) else { return Vec::new() };
    let whole = At {
        refs: &position.refs,
        arrangement: alternative.kind,
        notes: alternative.notes.clone(),
        taken: fit.parts.iter().collect(),
    };
    let places = if matches!(alternative.way, Some(CanWay::Beside | CanWay::Inside)) {
        by_section(alternative, whole)
    } else {
        vec![whole]
    };
    places.into_iter().map(|at| fitting(bought, (position, alternative), at)).collect()
}

/// One place for each section of a can; what all of them share stands with the first.
fn by_section<'a>(alternative: &'a Alternative, whole: At<'a>) -> Vec<At<'a>> {
    let mut places: Vec<At<'a>> = Vec::new();
    for demand in alternative.demands.iter().filter(|d| d.extra_for.is_empty()) {
        let (arrangement, notes) = (demand.kind, demand.notes.clone());
        places.push(At { refs: &demand.refs, arrangement, notes, taken: Vec::new() });
    }
    for taken in whole.taken {
        let refs = alternative.demands.get(taken.demand).map(|d| d.refs.as_slice()).unwrap_or_default();
        let own = places.iter().position(|p| p.refs == refs).unwrap_or(0);
        if let Some(place) = places.get_mut(own) {
            place.taken.push(taken);
        }
    }
    if let Some(first) = places.first_mut() {
        first.notes.extend(whole.notes);
    }
    places
}

fn fitting(bought: &Bought<'_>, (position, alternative): (&Position, &Alternative), at: At<'_>) -> Fitting {
    let mut parts: Vec<Piece> = Vec::new();
    let mut extras: Vec<Extra> = Vec::new();
    let mut notes = at.notes;
    let mut hours: Option<Hour> = None;
    let mut cost = Money::ZERO;
    for taken in at.taken {
        let (Some(demand), Some(source)) = (alternative.demands.get(taken.demand), bought.source(taken.source)) else {
            continue;
        };
        let choice = demand.any_of.iter().find(|c| c.source == source.key);
        cost += bought.each(taken.source).times(taken.count);
        if demand.extra_for.is_empty() {
            hours = shorter(hours, choice);
            add_piece(&mut parts, piece(source, taken));
        } else {
            extras.push(Extra { piece: piece(source, taken), why: demand.extra_for.clone() });
        }
        for note in choice.map(|c| c.notes.as_slice()).unwrap_or_default() {
            if !notes.contains(note) {
                notes.push(note.clone());
            }
        }
    }
    let refused = at.refs.first().map_or(position.nearest.as_slice(), |r| position.nearest_at(r));
    Fitting {
        refs: at.refs.to_vec(),
        arrangement: at.arrangement,
        parts,
        extras,
        years: hours.and_then(|h| years(bought, position, h)),
        notes,
        refused: most(refused),
        cost,
    }
}

/// The judgements, with how the sections of cans are renewed by what was chosen.
pub(super) fn done(bought: &Bought<'_>, inspections: &[Inspection]) -> Vec<Inspection> {
    let mut inspections = inspections.to_vec();
    let several = 1 < inspections.len();
    for fit in &bought.purchase.fits {
        let Some((position, Alternative { way: Some(way), .. })) = bought.alternative(fit) else { continue };
        let how = match way {
            CanWay::NewCan => How::New,
            CanWay::Beside => How::BesideDeadCan,
            CanWay::Inside => How::Restuff,
        };
        for inspection in &mut inspections {
            let prefix = if several { format!("{}/", inspection.job) } else { String::new() };
            let own = |j: &&mut Judgement| position.refs.contains(&format!("{prefix}{}", j.reference));
            inspection.judgements.iter_mut().filter(own).for_each(|j| j.how = Some(how));
        }
    }
    inspections
}

/// The shorter of the lives known so far and of this choice.
fn shorter(known: Option<Hour>, choice: Option<&Choice>) -> Option<Hour> {
    match (known, choice.and_then(|c| c.hours)) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    }
}

/// Years at the hours of use of the position's job.
fn years(bought: &Bought<'_>, position: &Position, hours: Hour) -> Option<f64> {
    let first = position.refs.first()?;
    let of_job = |j: &&Job| bought.jobs.len() == 1 || first.starts_with(&format!("{}/", j.name));
    let a_year = bought.jobs.iter().find(of_job)?.chassis.conditions.hours_per_year;
    (a_year > 0.0).then(|| (hours.get() / a_year).min(MOST_YEARS))
}

fn piece(source: &Source, taken: &Taken) -> Piece {
    Piece {
        number: source.key.number().to_owned(),
        supplier: source.key.supplier().map(str::to_owned),
        count: taken.count,
        article: source.article.clone(),
    }
}

/// Adds a piece to those of the same number.
fn add_piece(parts: &mut Vec<Piece>, piece: Piece) {
    match parts.iter_mut().find(|p| p.number == piece.number && p.supplier == piece.supplier) {
        Some(same) => same.count += piece.count,
        None => parts.push(piece),
    }
}

fn most(refused: &[Refused]) -> Vec<Refused> {
    refused.iter().take(MOST_REFUSED).cloned().collect()
}

/// For each source the references that its pieces are for.
fn refs_by_source(bought: &Bought<'_>) -> BTreeMap<usize, Vec<String>> {
    let mut refs: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for fit in &bought.purchase.fits {
        let Some((_, alternative)) = bought.alternative(fit) else { continue };
        for taken in &fit.parts {
            let wanted = alternative.demands.get(taken.demand).map(|d| d.refs.as_slice()).unwrap_or_default();
            let list = refs.entry(taken.source).or_default();
            for reference in wanted {
                if !list.contains(reference) {
                    list.push(reference.clone());
                }
            }
        }
    }
    refs
}

/// The lines of the order.
pub(super) fn buy(bought: &Bought<'_>) -> Vec<BuyLine> {
    let refs = refs_by_source(bought);
    let line = |line: &purchase::Line| -> Option<BuyLine> {
        let source = bought.source(line.source)?;
        let supplier = source.key.supplier()?.to_owned();
        let spare: u32 = line.spare.iter().map(|(_, n)| n).sum();
        let tier = bought.order.problem.sources.get(line.source).and_then(|s| s.tier(line.quantity));
        Some(BuyLine {
            supplier,
            number: source.key.number().to_owned(),
            article: source.article.clone(),
            quantity: line.quantity,
            needed: line.needed,
            spare,
            spare_why: main_reason(&line.spare).map(spare_why),
            each: line.each,
            line: line.line,
            tier_from: tier.map_or(1, |t| t.from),
            stock: source.stock,
            lead_days: order::days(source, bought.shop),
            refs: refs.get(&line.source).cloned().unwrap_or_default(),
        })
    };
    bought.purchase.buy.iter().filter_map(line).collect()
}

/// The reason that most of the spare pieces are bought for; the first in order of equals.
fn main_reason(spare: &[(purchase::SpareWhy, u32)]) -> Option<purchase::SpareWhy> {
    let most = spare.iter().map(|(_, n)| *n).max()?;
    spare.iter().find(|(_, n)| *n == most).map(|(why, _)| *why)
}

const fn spare_why(why: purchase::SpareWhy) -> SpareWhy {
    match why {
        purchase::SpareWhy::Policy => SpareWhy::Policy,
        purchase::SpareWhy::Select => SpareWhy::Select,
        purchase::SpareWhy::Break => SpareWhy::Break,
        purchase::SpareWhy::Pack => SpareWhy::Pack,
        purchase::SpareWhy::Minimum => SpareWhy::Minimum,
    }
}

/// What is taken from the shelf.
pub(super) fn shelf(bought: &Bought<'_>) -> Vec<ShelfTake> {
    let refs = refs_by_source(bought);
    let take = |line: &purchase::Line| -> Option<ShelfTake> {
        let source = bought.source(line.source).filter(|s| s.key.supplier().is_none())?;
        Some(ShelfTake {
            number: source.key.number().to_owned(),
            article: source.article.clone(),
            quantity: line.quantity,
            line: line.line,
            refs: refs.get(&line.source).cloned().unwrap_or_default(),
        })
    };
    bought.purchase.buy.iter().filter_map(take).collect()
}

/// The suppliers' bills.
pub(super) fn bills(bought: &Bought<'_>) -> Vec<SupplierBill> {
    let bill = |bill: &purchase::Bill| -> Option<SupplierBill> {
        let terms = bought.order.problem.suppliers.get(bill.supplier)?;
        let missing = terms.free_over.map(|free| free - bill.goods);
        Some(SupplierBill {
            supplier: terms.name.clone(),
            goods: bill.goods,
            carriage: bill.carriage,
            fee: bill.fee,
            total: bill.total,
            to_free_carriage: missing.filter(|m| *m > Money::ZERO && bill.carriage > Money::ZERO),
        })
    };
    bought.purchase.suppliers.iter().filter_map(bill).collect()
}

/// The totals.
pub(super) fn totals(totals: &purchase::Totals) -> Totals {
    Totals {
        goods: totals.goods,
        carriage: totals.carriage,
        fees: totals.fees,
        landed: totals.landed,
        bound: totals.bound,
        gap_percent: totals.gap_percent,
        proven: totals.proven,
    }
}

/// What the search took.
pub(super) const fn effort(purchase: &Purchase) -> Effort {
    let took = purchase.statistics;
    Effort {
        classes: took.classes,
        sources: took.sources,
        sources_kept: took.sources_kept,
        nodes: took.nodes,
        programmes: took.programmes,
    }
}

/// Positions that are not met, one entry for each reference; `late` is what comes after the days promised.
pub(super) fn unmet(
    positions: &[Position],
    late: &Found<'_>,
    purchase: &Purchase,
    limits: (&Shop, &Choices),
) -> Vec<Unmet> {
    let mut unmet = Vec::new();
    for missed in &purchase.unmet {
        let Some(position) = positions.get(missed.position) else { continue };
        for reference in &position.refs {
            let mut would_help = position.would_help.clone();
            would_help.extend(waiting(reference, late, limits));
            if !position.alternatives.is_empty() {
                would_help.push(why_words(missed.why).to_owned());
            }
            unmet.push(Unmet {
                reference: reference.clone(),
                need: position.need_at(reference).to_owned(),
                wanted: position.wanted.clone(),
                nearest: most(position.nearest_at(reference)),
                would_help,
            });
        }
    }
    unmet
}

/// What waiting longer than promised would bring.
fn waiting(reference: &str, late: &Found<'_>, (shop, choices): (&Shop, &Choices)) -> Option<String> {
    let index = late.asks.iter().position(|a| a.name == reference)?;
    let serving = late.serving(Target::Single(index)).filter_map(|(s, _)| Some((order::days(s, shop)?, &s.key)));
    let (days, key) = serving.min()?;
    Some(format!("{key} comes in {days} days, promised within {}: allow more days", choices.within_days?))
}

/// Why something that fits cannot be bought.
const fn why_words(why: UnmetWhy) -> &'static str {
    match why {
        UnmetWhy::NoArrangement => "more pieces in stock, or a smaller least quantity",
        UnmetWhy::Stock => "more stock: what there is does not go round",
        UnmetWhy::MinimumOrder => "more from that supplier: its least order cannot be reached",
        UnmetWhy::MaxSuppliers => "one more supplier: raise max_suppliers",
    }
}

/// Ordering by hand.
pub(super) fn by_hand(by_hand: &purchase::ByHand) -> ByHand {
    let why = |w: UnmetWhy| format!("not possible so; it would take {}", why_words(w));
    ByHand {
        landed: by_hand.landed.map_err(why),
        one_supplier: by_hand.one_supplier.map(|(_, money)| money).map_err(why),
    }
}
