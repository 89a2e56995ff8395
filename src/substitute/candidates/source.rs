//! Where pieces can be had: an offer or a line of the shelf.

use std::cmp::Ordering;
use std::fmt;

use crate::model::need::Answer;
use crate::model::shop::{Article, Offer, ShelfItem, Tier};
use crate::money::Money;

/// An offer or a shelf line by its name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SourceKey {
    /// A line of the shelf.
    Shelf {
        /// The technician's own number.
        number: String,
    },
    /// A supplier's offer.
    Offer {
        /// Supplier.
        supplier: String,
        /// Supplier's number.
        number: String,
    },
}

impl SourceKey {
    /// The number alone.
    pub fn number(&self) -> &str {
        match self {
            Self::Shelf { number } | Self::Offer { number, .. } => number,
        }
    }

    /// The supplier; `None` for the shelf.
    pub fn supplier(&self) -> Option<&str> {
        match self {
            Self::Shelf { .. } => None,
            Self::Offer { supplier, .. } => Some(supplier),
        }
    }
}

impl fmt::Display for SourceKey {
    /// `SUPPLIER:NUMBER`, or `shelf:NUMBER`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Shelf { number } => write!(f, "shelf:{number}"),
            Self::Offer { supplier, number } => write!(f, "{supplier}:{number}"),
        }
    }
}

/// Some order of articles, for offers of the same name only.
pub(super) fn by_article(a: &Article, b: &Article) -> Ordering {
    format!("{a:?}").cmp(&format!("{b:?}"))
}

/// What a kept article can serve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Target {
    /// Alone for the need of this index.
    Single(usize),
    /// Two in series for the need of this index.
    Series(usize),
    /// Two in parallel for the need of this index.
    Parallel(usize),
    /// One of two different values in parallel for the need of this index.
    Part(usize),
    /// All sections of the can of this index.
    Can(usize),
    /// Across a capacitor of a series pair.
    Balancing,
    /// Tag strip for parts beside a can.
    TagStrip,
    /// Sleeving for leads.
    Sleeving,
}

/// A use with how well the article serves it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Use {
    /// What it serves.
    pub target: Target,
    /// How well.
    pub answer: Answer,
    /// Whether it is only taken where nothing serves without such a caution.
    pub second_choice: bool,
}

/// An offer or shelf line that is kept, with its terms and its uses.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Its name.
    pub key: SourceKey,
    /// What it is.
    pub article: Article,
    /// Prices in the supplier's currency; of the shelf in the shop's.
    pub tiers: Vec<Tier>,
    /// Sold in multiples of this.
    pub pack: u32,
    /// Least quantity.
    pub minimum: u32,
    /// Pieces to be had; `None`: not limited.
    pub stock: Option<u32>,
    /// Days until delivery by its own line.
    pub lead_days: Option<u32>,
    /// Uses, in the order of [`Target`].
    pub uses: Vec<Use>,
}

impl Source {
    /// An offer with its uses.
    pub(super) fn of_offer(offer: &Offer, uses: Vec<Use>) -> Self {
        Self {
            key: SourceKey::Offer { supplier: offer.supplier.clone(), number: offer.number.clone() },
            article: offer.article.clone(),
            tiers: offer.tiers.clone(),
            pack: offer.pack.max(1),
            minimum: offer.minimum,
            stock: offer.stock,
            lead_days: offer.lead_days,
            uses,
        }
    }

    /// A shelf line with its uses.
    pub(super) fn of_shelf(item: &ShelfItem, uses: Vec<Use>) -> Self {
        Self {
            key: SourceKey::Shelf { number: item.number.clone() },
            article: item.article.clone(),
            tiers: vec![Tier { from: 1, each: item.price }],
            pack: 1,
            minimum: 1,
            stock: Some(item.quantity),
            lead_days: Some(0),
            uses,
        }
    }

    /// By name; offers of one name by their terms and then by what they are, so that the order in
    /// which they came never counts.
    pub(super) fn order(&self, other: &Self) -> Ordering {
        let terms = |s: &Self| (s.pack, s.minimum, s.stock, s.lead_days);
        let prices = |s: &Self| -> Vec<_> { s.tiers.iter().map(|t| (t.from, t.each)).collect() };
        self.key
            .cmp(&other.key)
            .then_with(|| terms(self).cmp(&terms(other)).then_with(|| prices(self).cmp(&prices(other))))
            .then_with(
                || if self.key == other.key { by_article(&self.article, &other.article) } else { Ordering::Equal },
            )
    }

    /// The least that at least `pieces` of it cost, buying more where that is cheaper;
    /// `None` where that many are not to be had.
    pub fn least_cost(&self, pieces: u32) -> Option<Money> {
        least_cost((&self.tiers, self.pack, self.minimum, self.stock), pieces)
    }
}

/// The least that at least `pieces` cost on these terms: prices, pack, least quantity, stock.
pub(super) fn least_cost(
    (tiers, pack, minimum, stock): (&[Tier], u32, u32, Option<u32>),
    pieces: u32,
) -> Option<Money> {
    let least = pieces.max(minimum).max(1).checked_next_multiple_of(pack)?;
    let steps = tiers.iter().filter_map(|t| t.from.max(least).checked_next_multiple_of(pack));
    let can = |q: &u32| stock.is_none_or(|s| *q <= s);
    let each = |q: u32| tiers.iter().filter(|t| t.from <= q).max_by_key(|t| t.from).map(|t| t.each.times(q));
    std::iter::once(least).chain(steps).filter(can).filter_map(each).min()
}
