//! The purchase problem as plain data: what is needed, what is offered, on which terms.
//!
//! Nothing here knows a part, a file or a currency. Whoever fills it in has already dropped the
//! offers that come too late or do not fit, and has turned every price into one currency.

use super::fault::{Fault, PurchaseError};
use crate::money::{Money, Percent};

/// Most pieces of one thing that an order may ask for, so that sums stay exact.
pub const MOST_PIECES: u32 = 1_000_000;

/// An order to be placed at the least landed cost.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Problem {
    /// The places to be filled, in the caller's order.
    pub positions: Vec<Position>,
    /// Offers and shelf lines; the index is their name elsewhere in this room.
    pub sources: Vec<Source>,
    /// Suppliers; the index is their name elsewhere in this room.
    pub suppliers: Vec<Supplier>,
    /// Settings of the shop.
    pub rules: Rules,
}

/// A place (or a matched group of places) of which exactly one arrangement is bought.
#[derive(Debug, Clone, PartialEq)]
pub struct Position {
    /// What the caller calls it; unique.
    pub key: String,
    /// What would do. None: the position cannot be met.
    pub arrangements: Vec<Arrangement>,
}

/// One way of filling a position: all of its demands together.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrangement {
    /// What is needed of what.
    pub demands: Vec<Demand>,
    /// Expected life of the arrangement as a whole, hours, where that is not the life of its
    /// parts; 0 for none. It only breaks ties.
    pub life_hours: u32,
}

/// A number of pieces out of any of a list of sources.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// Indices into [`Problem::sources`].
    pub any_of: Vec<usize>,
    /// Pieces fitted.
    pub count: u32,
    /// All pieces from one source (a matched pair, a series string).
    pub same_source: bool,
    /// Pieces bought beyond `count`, from the same source, to select a match from.
    pub select_extra: u32,
}

/// One supplier's offer, or a line of the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// The supplier's number for it.
    pub number: String,
    /// Index into [`Problem::suppliers`]; none: the shelf.
    pub supplier: Option<usize>,
    /// Prices, rising quantities; the price of the tier holds for all units.
    pub tiers: Vec<Tier>,
    /// Sold in multiples of this many (at least 1).
    pub pack: u32,
    /// Least quantity (0 or 1: none).
    pub minimum: u32,
    /// Most that can be had; none: not limited.
    pub stock: Option<u32>,
    /// Index into [`Rules::spares`]; none: never a spare (the shelf).
    pub spares: Option<usize>,
    /// Rated life in hours; 0: not stated. It only breaks ties.
    pub life_hours: u32,
}

/// A unit price from a quantity on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tier {
    /// Least quantity at this price.
    pub from: u32,
    /// Price of one piece, in the shop's currency.
    pub each: Money,
}

/// The terms of a supplier, in the shop's currency.
#[derive(Debug, Clone, PartialEq)]
pub struct Supplier {
    /// The supplier's name; unique.
    pub name: String,
    /// Carriage of one order.
    pub carriage: Money,
    /// Goods at or above this: carriage is nothing.
    pub free_over: Option<Money>,
    /// Goods under this: the small-order fee, or no order.
    pub minimum_order: Option<Money>,
    /// Charged on goods under the minimum order; none: such an order is refused.
    pub small_order_fee: Option<Money>,
}

/// Settings of the shop that bear on the order.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Rules {
    /// Spares for each distinct offer used, by kind of part.
    pub spares: Vec<u32>,
    /// From the eleventh piece of an offer on: at least this part of the pieces used, rounded up.
    pub over_ten: Percent,
    /// Most suppliers to order from (the shelf does not count); none: not limited.
    pub max_suppliers: Option<u32>,
    /// Whether the suppliers sell goods that are not among the sources, each beaten there by one that is, but for its
    /// price. Such goods could still lift an order over a threshold, so the bound then takes it that a threshold
    /// can be reached to the ten-thousandth; it holds for all that the suppliers sell.
    pub more_goods: bool,
}

impl Source {
    /// The price tier for `quantity`; none where no tier starts that low.
    pub fn tier(&self, quantity: u32) -> Option<Tier> {
        self.tiers.iter().copied().filter(|t| t.from <= quantity).max_by_key(|t| t.from)
    }
}

impl Rules {
    /// Spare pieces to buy with `used` pieces of one offer of the kind `class`.
    pub fn spare(&self, class: Option<usize>, used: u32) -> u32 {
        let Some(class) = class else { return 0 };
        if used == 0 {
            return 0;
        }
        let each = self.spares.get(class).copied().unwrap_or(0);
        let share = if used > 10 { self.share(used) } else { 0 };
        each.max(share)
    }

    /// `over_ten` of `used`, rounded up to whole pieces.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "percentages and counts are checked to be small and not negative"
    )]
    fn share(&self, used: u32) -> u32 {
        let ten_thousandths = (self.over_ten.get() * 10_000.0).round() as u64;
        (u64::from(used) * ten_thousandths).div_ceil(1_000_000) as u32
    }
}

impl Problem {
    /// Checks what every other part of this room relies on.
    ///
    /// # Errors
    /// Names the first entry that makes no sense.
    pub fn check(&self) -> Result<(), PurchaseError> {
        let fault = |fault| Err(PurchaseError::Invalid(fault));
        if self.suppliers.iter().any(Supplier::nonsense) {
            return fault(Fault::Terms);
        }
        if let Some(i) = self.sources.iter().position(|s| s.nonsense(self)) {
            return fault(Fault::Source(i));
        }
        if let Some(i) = self.positions.iter().position(|p| p.nonsense(self.sources.len())) {
            return fault(Fault::Position(i));
        }
        if duplicates(self.positions.iter().map(|p| p.key.as_str())) {
            return fault(Fault::PositionKeys);
        }
        if duplicates(self.suppliers.iter().map(|s| s.name.as_str())) {
            return fault(Fault::SupplierNames);
        }
        let pieces: u64 = self.positions.iter().map(Position::most_pieces).sum();
        if pieces > u64::from(MOST_PIECES) || !(0.0..=1_000.0).contains(&self.rules.over_ten.get()) {
            return fault(Fault::Size);
        }
        Ok(())
    }
}

impl Supplier {
    fn nonsense(&self) -> bool {
        let amounts = [Some(self.carriage), self.free_over, self.minimum_order, self.small_order_fee];
        amounts.into_iter().flatten().any(|m| m < Money::ZERO)
    }
}

impl Source {
    fn nonsense(&self, problem: &Problem) -> bool {
        let rising = self.tiers.windows(2).all(|w| matches!(w, [a, b] if a.from < b.from));
        self.tiers.is_empty()
            || !rising
            || self.tiers.iter().any(|t| t.each < Money::ZERO)
            || !(1..=MOST_PIECES).contains(&self.pack)
            || self.minimum > MOST_PIECES
            || self.supplier.is_some_and(|s| s >= problem.suppliers.len())
            || self.spares.is_some_and(|s| s >= problem.rules.spares.len())
    }
}

impl Position {
    fn nonsense(&self, sources: usize) -> bool {
        self.arrangements.iter().flat_map(|a| &a.demands).any(|d| {
            d.any_of.iter().any(|s| *s >= sources)
                || d.count > MOST_PIECES
                || d.select_extra > MOST_PIECES
                || (d.select_extra > 0 && d.count > 1 && !d.same_source)
        })
    }

    fn most_pieces(&self) -> u64 {
        let pieces =
            |a: &Arrangement| a.demands.iter().map(|d| u64::from(d.count) + u64::from(d.select_extra)).sum::<u64>();
        self.arrangements.iter().map(pieces).max().unwrap_or(0)
    }
}

fn duplicates<'a>(names: impl Iterator<Item = &'a str>) -> bool {
    let mut names: Vec<&str> = names.collect();
    names.sort_unstable();
    names.windows(2).any(|w| matches!(w, [a, b] if a == b))
}
