//! The search itself: each offer looked at once, for every need that it may bear on.

mod looks;

use std::collections::BTreeMap;

use super::ask::Ask;
use super::dominance::Pruning;
use super::ears::{Bare, Ears, Heard, is_bare, is_beside_cans};
use super::floor::Floor;
use super::nearest::Nearest;
use super::probe::Probe;
use super::reach::Reach;
use super::source::{Source, SourceKey, Target, Use};
use super::standing::Standing;
use super::{Found, Thinned, roles};
use crate::model::kind::PartKind;
use crate::model::need::Answer;
use crate::model::shop::{Article, Offer, ShelfItem, Shop};
use crate::substitute::arrange::can::{self, CanGroup};
use crate::substitute::designation::hardware;

/// Kept sources from which pruning first runs, and then whenever what is kept has doubled.
const PRUNE_FROM: usize = 512;

/// What is looked for, and what has been found so far.
#[derive(Debug, Clone)]
pub struct Search<'a> {
    asks: &'a [Ask<'a>],
    probes: Vec<Option<Probe>>,
    /// Of each ask the values that are worth a look.
    reach: Vec<Reach>,
    cans: Vec<CanGroup>,
    /// For each kind, by its place in the list of kinds, the asks that it is held against.
    by_kind: Vec<Vec<usize>>,
    ears: Ears,
    pruning: Pruning<'a>,
    prunes: bool,
    standing: Standing,
    prune_at: usize,
    kept: Vec<Source>,
    /// What later offers are held against before they are read in full.
    floor: Floor,
    nearest: Vec<Nearest>,
    if_allowed: BTreeMap<Target, SourceKey>,
    short: BTreeMap<Target, (SourceKey, u32)>,
}

impl<'a> Search<'a> {
    /// A search for these asks in this shop.
    pub fn new(asks: &'a [Ask<'a>], shop: &'a Shop) -> Self {
        let of_kind = |kind: &PartKind| -> Vec<usize> {
            let family = |ask: &Ask<'_>| ask.need.kinds.iter().any(|k| same_family(*k, *kind));
            asks.iter().enumerate().filter(|(_, a)| family(a)).map(|(i, _)| i).collect()
        };
        let cans = can::groups(asks);
        Self {
            asks,
            probes: asks.iter().map(Probe::of).collect(),
            reach: vec![Reach::ALL; asks.len()],
            by_kind: PartKind::ALL.iter().map(of_kind).collect(),
            ears: Ears::default(),
            pruning: Pruning::new(asks, &cans, shop),
            prunes: true,
            standing: Standing::new(asks),
            cans,
            prune_at: PRUNE_FROM,
            kept: Vec::new(),
            floor: Floor::default(),
            nearest: vec![Nearest::default(); asks.len()],
            if_allowed: BTreeMap::new(),
            short: BTreeMap::new(),
        }
    }

    /// The same search without dropping what another offer beats.
    #[must_use]
    pub fn without_pruning(mut self) -> Self {
        self.pruning.off();
        self.prunes = false;
        self
    }

    /// A search for the same with nothing found yet, for a second reader of the catalog.
    #[must_use]
    pub fn fork(&self) -> Self {
        Self {
            standing: Standing::new(self.asks),
            reach: vec![Reach::ALL; self.asks.len()],
            prune_at: PRUNE_FROM,
            kept: Vec::new(),
            floor: Floor::default(),
            nearest: vec![Nearest::default(); self.asks.len()],
            if_allowed: BTreeMap::new(),
            short: BTreeMap::new(),
            ..self.clone()
        }
    }

    /// Takes over what another reader's search has found.
    pub fn join(&mut self, other: Self) {
        self.standing.join(&other.standing);
        self.kept.extend(other.kept);
        for (mine, theirs) in self.nearest.iter_mut().zip(other.nearest) {
            mine.join(theirs);
        }
        for (target, key) in other.if_allowed {
            note_first(&mut self.if_allowed, target, key);
        }
        for (target, short) in other.short {
            note_first(&mut self.short, target, short);
        }
        (0..self.asks.len()).for_each(|index| self.reach_anew(index));
    }

    /// Works out again which values are worth a look for an ask.
    fn reach_anew(&mut self, index: usize) {
        let wanted = (self.wants_pairs(index), self.wants_second_choices(index));
        if let (Some(Some(probe)), Some(nearest), Some(reach)) =
            (self.probes.get(index), self.nearest.get(index), self.reach.get_mut(index))
        {
            *reach = Reach::of(probe, nearest, wanted);
        }
    }

    fn wants_pairs(&self, index: usize) -> bool {
        !self.prunes || self.standing.wants_pairs(index)
    }

    fn wants_second_choices(&self, index: usize) -> bool {
        !self.prunes || self.standing.wants_second_choices(index)
    }

    /// Whether an article serves besides the needs themselves.
    fn wants_beside(&self, article: &Article) -> bool {
        let balances = roles::may_balance(article) && (!self.prunes || self.standing.wants_balancing());
        let hardware = article.kind == PartKind::Hardware && !self.cans.is_empty();
        balances || (hardware && article.designation().is_none_or(is_beside_cans))
    }

    /// Looks at one offer.
    pub fn offer(&mut self, offer: &Offer) {
        let key = || SourceKey::Offer { supplier: offer.supplier.clone(), number: offer.number.clone() };
        let uses = self.look(&offer.article, offer.stock, key);
        if !uses.is_empty() {
            self.keep(Source::of_offer(offer, uses));
        }
    }

    /// Looks at one line of the shelf.
    pub fn shelf(&mut self, item: &ShelfItem) {
        let key = || SourceKey::Shelf { number: item.number.clone() };
        let uses = self.look(&item.article, Some(item.quantity), key);
        if !uses.is_empty() {
            self.keep(Source::of_shelf(item, uses));
        }
    }

    /// What has been found, with everything dropped that another offer of its supplier beats.
    pub fn finish(mut self) -> Found<'a> {
        self.drop_useless();
        let crowd = self.prunes && self.standing.any_crowd();
        self.drop_idle_balancing();
        self.pruning.prune(&mut self.kept, &self.standing);
        let splits = self.pruning.thins_splits(&self.kept, &self.standing);
        let thinned = crowd.then_some(if splits { Thinned::ToSplit } else { Thinned::Beaten });
        self.kept.sort_by(Source::order);
        let Self { asks, cans, kept, nearest, if_allowed, short, .. } = self;
        Found { asks, cans, sources: kept, nearest, if_allowed, short, thinned }
    }

    /// Drops the uses that cannot come into the order any more: pairs of places that a single part
    /// serves, second choices beside a crowd of first ones.
    fn drop_useless(&mut self) {
        let (standing, prunes) = (&self.standing, self.prunes);
        let wanted = |u: &Use| (!prunes && matches!(u.target, Target::Single(_))) || standing.wants(u);
        for source in &mut self.kept {
            source.uses.retain(wanted);
        }
        self.kept.retain(|s| !s.uses.is_empty());
    }

    /// Drops resistors that balance nothing, since there is no pair of capacitors to be balanced.
    fn drop_idle_balancing(&mut self) {
        let string = |u: &Use| match u.target {
            Target::Series(i) => self.asks.get(i).is_some_and(Ask::may_be_string),
            _ => false,
        };
        if self.kept.iter().flat_map(|s| &s.uses).any(string) {
            return;
        }
        for source in &mut self.kept {
            source.uses.retain(|u| u.target != Target::Balancing);
        }
        self.kept.retain(|s| !s.uses.is_empty());
    }

    /// Keeps a source unless one that has stood beats it, and prunes whenever what is kept has doubled.
    fn keep(&mut self, source: Source) {
        if self.prunes && self.pruning.is_beaten(&source, (&self.floor, &self.kept), &self.standing) {
            return;
        }
        self.kept.push(source);
        if self.prunes && self.prune_at <= self.kept.len() {
            self.drop_useless();
            self.pruning.prune(&mut self.kept, &self.standing);
            self.floor = self.pruning.floor(&self.kept);
            self.prune_at = PRUNE_FROM.max(self.kept.len() * 2);
        }
    }

    /// Everything that the article serves with the pieces that there are; what it misses by little is noted.
    fn look(&mut self, article: &Article, stock: Option<u32>, key: impl Fn() -> SourceKey) -> Vec<Use> {
        let mut uses = Vec::new();
        let kind = article.kind as usize;
        if let Some(known) = self.known(article, stock) {
            for (index, (far_value, far)) in known.missed {
                if let Some(nearest) = self.nearest.get_mut(index) {
                    nearest.take(&key, article, far_value, far);
                }
            }
            uses = known.uses;
            return self.counted((article, stock), uses);
        }
        let value = Probe::figure(article);
        let family = self.by_kind.get(kind).map_or(0, Vec::len);
        for at in 0..family {
            let Some(index) = self.by_kind.get(kind).and_then(|f| f.get(at)).copied() else { continue };
            if self.reach.get(index).is_some_and(|reach| reach.contains(article.kind, value)) {
                self.look_for(index, (article, stock), (&key, &mut uses));
            }
        }
        self.counted((article, stock), uses)
    }

    /// What is made of an article of which nothing but its name is known, where it was made before and there are pieces
    /// enough for all of it.
    fn known(&mut self, article: &Article, stock: Option<u32>) -> Option<Bare> {
        let name = article.designation()?;
        let family = self.by_kind.get(article.kind as usize).map(Vec::as_slice).unwrap_or_default();
        let asks = self.asks;
        let enough = |known: &Bare| {
            stock.is_none_or(|stock| {
                known.asks().all(|(i, target)| asks.get(i).is_none_or(|a| pieces(a, target) <= stock))
            })
        };
        match self.ears.hear((article.kind, name), self.asks, family) {
            Heard::Wanted(known) if !known.if_allowed && enough(known) && is_bare(article, name) => Some(known.clone()),
            _ => None,
        }
    }

    /// The uses with those besides the needs, counted; what is of no use any more is left out.
    fn counted(&mut self, (article, stock): (&Article, Option<u32>), mut uses: Vec<Use>) -> Vec<Use> {
        let least = |u: &Use| if u.target == Target::Balancing { 2 } else { 1 };
        uses.extend(self.beside(article).into_iter().filter(|u| stock.is_none_or(|stock| least(u) <= stock)));
        uses.sort_by_key(|u| u.target);
        self.standing.count(&uses);
        if self.prunes {
            uses.retain(|u| self.standing.wants(u));
        }
        uses
    }

    /// What the article serves of one ask; what it misses by little is noted.
    fn look_for(
        &mut self,
        index: usize,
        (article, stock): (&Article, Option<u32>),
        (key, uses): (impl Fn() -> SourceKey, &mut Vec<Use>),
    ) {
        let (Some(ask), Some(nearest)) = (self.asks.get(index), self.nearest.get_mut(index)) else { return };
        let told = self.probes.get(index).and_then(Option::as_ref).map(|probe| probe.look(ask, article));
        if let Some(told) = told
            && !told.single()
            && !told.pair
            && !nearest.takes((told.far_value, told.least), |last| last.key.cmp(&key()))
        {
            return;
        }
        let roles = roles::roles(ask, index, article);
        if !roles.single.usable() && roles::is_akin(ask, article) {
            nearest.take(&key, article, roles.far_value, roles.single.far);
        }
        let short = |target: Target| stock.filter(|stock| *stock < pieces(ask, target));
        if let Some(target) = roles.if_allowed.filter(|target| short(*target).is_none()) {
            note_first(&mut self.if_allowed, target, key());
        }
        for one in roles.uses {
            match short(one.target) {
                Some(stock) => note_first(&mut self.short, one.target, (key(), stock)),
                None => uses.push(one),
            }
        }
        self.reach_anew(index);
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
        if roles::may_balance(article) && (!self.prunes || self.standing.wants_balancing()) {
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

/// Pieces that have to come from one source where an article serves an ask so: a matched group and a pair
/// are never made up from two sources.
const fn pieces(ask: &Ask<'_>, target: Target) -> u32 {
    let places = if ask.need.matched == 0 { 1 } else { ask.need.matched };
    match target {
        Target::Series(_) | Target::Parallel(_) => places.saturating_mul(2),
        _ => places,
    }
}

/// Keeps the first by name for a target, whatever the order in which they came.
fn note_first<T: Ord + Clone>(noted: &mut BTreeMap<Target, T>, target: Target, new: T) {
    let first = noted.entry(target).or_insert_with(|| new.clone());
    if new < *first {
        *first = new;
    }
}

/// Whether an article of this kind is worth holding against a need for that kind.
const fn same_family(needed: PartKind, offered: PartKind) -> bool {
    (needed.is_capacitor() && offered.is_capacitor())
        || (needed.is_resistor() && offered.is_resistor())
        || needed as u8 == offered as u8
}
