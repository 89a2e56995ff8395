//! One pass over everything that is for sale or on the shelf, for many needs at once.
//!
//! What serves a need, alone or in a pair or can, is kept; of the rest only the five nearest for
//! each need. Memory grows with what is kept, not with what goes by.

mod ask;
mod dominance;
mod nearest;
mod roles;
mod source;

pub use ask::Ask;
pub use nearest::{Missed, Nearest};
pub use source::{Source, SourceKey, Target, Use};

use std::collections::{BTreeMap, BTreeSet};

use crate::model::kind::PartKind;
use crate::model::need::Answer;
use crate::model::shop::{Article, Offer, ShelfItem, Shop};
use crate::substitute::arrange::can::{self, CanGroup};
use crate::substitute::designation::hardware;
use dominance::Pruning;

/// Kept sources from which thinning first runs, and then whenever what is kept has doubled.
const THIN_FROM: usize = 16_384;

/// What is looked for, and what has been found so far.
#[derive(Debug)]
pub struct Search<'a> {
    asks: &'a [Ask<'a>],
    cans: Vec<CanGroup>,
    by_kind: BTreeMap<PartKind, Vec<usize>>,
    strings: bool,
    pruning: Pruning<'a>,
    thin_at: usize,
    thinned: bool,
    kept: Vec<Source>,
    nearest: Vec<Nearest>,
    if_allowed: BTreeMap<Target, SourceKey>,
}

/// What has been found for a list of asks.
#[derive(Debug)]
pub struct Found<'a> {
    /// The asks.
    pub asks: &'a [Ask<'a>],
    /// The cans among them.
    pub cans: Vec<CanGroup>,
    /// Everything that serves, in the order of its names.
    pub sources: Vec<Source>,
    /// For each ask the offers that just miss it.
    pub nearest: Vec<Nearest>,
    /// What would serve if the shop allowed pairs, by the first source that would.
    pub if_allowed: BTreeMap<Target, SourceKey>,
    /// Whether so many offers serve that those with a dozen better ones of their supplier were dropped.
    pub thinned: bool,
}

impl<'a> Search<'a> {
    /// A search for these asks in this shop.
    pub fn new(asks: &'a [Ask<'a>], shop: &'a Shop) -> Self {
        let mut by_kind: BTreeMap<PartKind, Vec<usize>> = BTreeMap::new();
        for kind in PartKind::ALL {
            let family = |ask: &Ask<'_>| ask.need.kinds.iter().any(|k| same_family(*k, *kind));
            let of_kind: Vec<usize> = asks.iter().enumerate().filter(|(_, a)| family(a)).map(|(i, _)| i).collect();
            by_kind.insert(*kind, of_kind);
        }
        let cans = can::groups(asks);
        Self {
            asks,
            pruning: Pruning::new(asks, &cans, shop),
            thinned: false,
            cans,
            by_kind,
            strings: asks.iter().any(Ask::may_be_string),
            thin_at: THIN_FROM,
            kept: Vec::new(),
            nearest: vec![Nearest::default(); asks.len()],
            if_allowed: BTreeMap::new(),
        }
    }

    /// The same search without dropping what another offer beats.
    #[must_use]
    pub fn without_pruning(mut self) -> Self {
        self.pruning.off();
        self
    }

    /// Looks at one offer.
    pub fn offer(&mut self, offer: &Offer) {
        let key = || SourceKey::Offer { supplier: offer.supplier.clone(), number: offer.number.clone() };
        let uses = self.look(&offer.article, key);
        if !uses.is_empty() {
            self.keep(Source::of_offer(offer, uses));
        }
    }

    /// Looks at one line of the shelf.
    pub fn shelf(&mut self, item: &ShelfItem) {
        let key = || SourceKey::Shelf { number: item.number.clone() };
        let uses = self.look(&item.article, key);
        if !uses.is_empty() && 0 < item.quantity {
            self.keep(Source::of_shelf(item, uses));
        }
    }

    /// What has been found, with everything dropped that another offer of its supplier beats.
    pub fn finish(mut self) -> Found<'a> {
        if self.thinned {
            self.pruning.thin(&mut self.kept);
        }
        self.drop_pairs_beside_singles();
        self.pruning.prune(&mut self.kept);
        self.kept.sort_by(|a, b| a.key.cmp(&b.key));
        let Self { asks, cans, kept, nearest, if_allowed, thinned, .. } = self;
        Found { asks, cans, sources: kept, nearest, if_allowed, thinned }
    }

    /// Drops the pairs of places that a single part serves, and resistors that balance nothing then.
    fn drop_pairs_beside_singles(&mut self) {
        let served: BTreeSet<Target> = self.kept.iter().flat_map(|s| &s.uses).map(|u| u.target).collect();
        let asks = self.asks;
        let single = |i: usize| {
            let alone = asks.get(i).is_some_and(|a| a.need.matched < 2 && !a.pair_beside_single());
            alone && served.contains(&Target::Single(i))
        };
        let wanted = |target: &Target| !matches!(target, Target::Series(i) | Target::Parallel(i) if single(*i));
        for source in &mut self.kept {
            source.uses.retain(|u| wanted(&u.target));
        }
        let strings = self.kept.iter().flat_map(|s| &s.uses).any(|u| matches!(u.target, Target::Series(_)));
        for source in &mut self.kept {
            source.uses.retain(|u| strings || u.target != Target::Balancing);
        }
        self.kept.retain(|s| !s.uses.is_empty());
    }

    /// Keeps a source, and thins out whenever what is kept has doubled.
    fn keep(&mut self, source: Source) {
        self.kept.push(source);
        if self.thin_at <= self.kept.len() {
            self.pruning.thin(&mut self.kept);
            self.thinned = true;
            self.thin_at = THIN_FROM.max(self.kept.len() * 2);
        }
    }

    /// Everything that the article serves; what it misses by little is noted.
    fn look(&mut self, article: &Article, key: impl Fn() -> SourceKey) -> Vec<Use> {
        let mut uses = Vec::new();
        let indices = self.by_kind.get(&article.kind).map(Vec::as_slice).unwrap_or_default();
        for index in indices.iter().copied() {
            let (Some(ask), Some(nearest)) = (self.asks.get(index), self.nearest.get_mut(index)) else {
                continue;
            };
            if roles::is_far(ask, article) && !nearest.takes_far_values() {
                continue;
            }
            let roles = roles::roles(ask, index, article);
            if !roles.single.usable() && roles::is_akin(ask, article) {
                nearest.take(&key, article, roles.far_value, roles.single.far);
            }
            if let Some(target) = roles.if_allowed {
                note_first(&mut self.if_allowed, target, key());
            }
            uses.extend(roles.uses);
        }
        uses.extend(self.beside(article));
        uses.sort_by_key(|u| u.target);
        uses
    }

    /// What the article serves besides the needs themselves: cans, balancing, tag strips, sleeving.
    fn beside(&self, article: &Article) -> Vec<Use> {
        let plain = |target| Use { target, answer: Answer::Fit, second_choice: false };
        let mut uses = Vec::new();
        if !article.sections.is_empty() {
            for (index, group) in self.cans.iter().enumerate() {
                if let Some(answer) = can::serves(self.asks, group, article) {
                    uses.push(Use { target: Target::Can(index), answer, second_choice: false });
                }
            }
        }
        if self.strings && roles::may_balance(article) {
            uses.push(plain(Target::Balancing));
        }
        if !self.cans.is_empty() && article.kind == PartKind::Hardware {
            let designation = article.designation().unwrap_or_default();
            if hardware::is_tag_strip(designation) {
                uses.push(plain(Target::TagStrip));
            }
            if hardware::is_sleeving(designation) {
                uses.push(plain(Target::Sleeving));
            }
        }
        uses
    }
}

/// Keeps the first name for a target, whatever the order in which they came.
fn note_first(noted: &mut BTreeMap<Target, SourceKey>, target: Target, key: SourceKey) {
    let first = noted.entry(target).or_insert_with(|| key.clone());
    if key < *first {
        *first = key;
    }
}

/// Whether an article of this kind is worth holding against a need for that kind.
const fn same_family(needed: PartKind, offered: PartKind) -> bool {
    (needed.is_capacitor() && offered.is_capacitor())
        || (needed.is_resistor() && offered.is_resistor())
        || needed as u8 == offered as u8
}

impl Found<'_> {
    /// The sources that serve a target, in the order of their names.
    pub fn serving(&self, target: Target) -> impl Iterator<Item = (&Source, Use)> {
        self.sources.iter().filter_map(move |s| s.uses.iter().find(|u| u.target == target).map(|u| (s, *u)))
    }

    /// The names of everything kept.
    pub fn keys(&self) -> BTreeSet<&SourceKey> {
        self.sources.iter().map(|s| &s.key).collect()
    }
}
