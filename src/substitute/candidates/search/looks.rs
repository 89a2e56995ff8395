//! Cheap looks at an offer, by which nearly all of a large catalog is passed over.

use std::cmp::Ordering;

use super::super::ears::{Heard, is_bare, is_beside_cans};
use super::super::nearest::{Missed, Nearest};
use super::super::probe::Probe;
use super::super::roles;
use super::super::source::SourceKey;
use super::Search;
use crate::model::kind::PartKind;
use crate::model::shop::{Glance, Outline};
use crate::substitute::verdict::Far;
use crate::units::{Celsius, Volt, Watt};

/// What an article could be to an ask.
enum Bearing {
    /// Nothing that counts.
    None,
    /// It could serve alone, and be nothing else.
    Serves,
    /// It could serve in another way, or be among the nearest.
    Other,
}

impl Search<'_> {
    /// Whether an offer of which so little is known could come to anything here. What is refused would be
    /// refused by [`wants`](Self::wants) too.
    pub fn heeds(&mut self, outline: &Outline<'_>) -> bool {
        let kind = outline.kind;
        let family = self.by_kind.get(kind as usize).map(Vec::as_slice).unwrap_or_default();
        if let Some(name) = outline.name {
            return (kind == PartKind::Hardware && !self.cans.is_empty() && is_beside_cans(name))
                || self.ears.hear((kind, name), self.asks, family).is_heard();
        }
        let Some(figure) = outline.figure else { return true };
        family.iter().any(|index| self.reach.get(*index).is_none_or(|reach| reach.may_hold(outline, figure)))
            || (roles::may_balance_by_value(kind, figure) && (!self.prunes || self.standing.wants_balancing()))
    }

    /// Whether an offer could come to anything here, by a cheap look. What is refused would change
    /// nothing: it serves nothing that is still looked for, and five others are nearer to every need.
    pub fn wants(&mut self, glance: &Glance<'_>) -> bool {
        let article = glance.article;
        if !article.sections.is_empty() || self.wants_beside(article) {
            return true;
        }
        if let Some(name) = article.designation() {
            return self.wants_name(name, glance);
        }
        let family = self.by_kind.get(article.kind as usize).map(Vec::as_slice).unwrap_or_default();
        let Some(figure) = Probe::figure(article) else { return true };
        let outline = outline(glance);
        let mut serves = Vec::new();
        for index in family.iter().copied() {
            if self.reach.get(index).is_none_or(|reach| reach.may_hold(&outline, figure)) {
                match self.bearing(index, glance) {
                    Bearing::None => {}
                    Bearing::Serves => serves.push(index),
                    Bearing::Other => return true,
                }
            }
        }
        !serves.is_empty() && !self.is_below(&serves, glance)
    }

    /// Whether an offer of this designation could come to anything, but for what it serves besides the needs.
    fn wants_name(&mut self, name: &str, glance: &Glance<'_>) -> bool {
        let article = glance.article;
        let family = self.by_kind.get(article.kind as usize).map(Vec::as_slice).unwrap_or_default();
        let misses = |nearest: &[Nearest], index: usize, off| may_miss(nearest.get(index), glance, off);
        match self.ears.hear((article.kind, name), self.asks, family) {
            Heard::Akin(asks) => asks.iter().any(|i| misses(&self.nearest, *i, (false, Far::MISSING))),
            Heard::Wanted(known) => {
                if known.if_allowed
                    || known.missed.iter().any(|(i, off)| misses(&self.nearest, *i, *off))
                    || !is_bare(article, name)
                {
                    return true;
                }
                let alone = known.serves_alone();
                alone.is_none_or(|asks| !asks.is_empty() && !self.is_below(&asks, glance))
            }
        }
    }

    /// Whether an offer that can only serve these asks alone is beaten by one that is kept.
    fn is_below(&self, asks: &[usize], glance: &Glance<'_>) -> bool {
        asks.iter().all(|ask| self.standing.is_crowded(*ask)) && self.pruning.is_below(&self.floor, glance, asks)
    }

    /// What an article without designation could be to an ask.
    fn bearing(&self, index: usize, glance: &Glance<'_>) -> Bearing {
        let (Some(ask), Some(Some(probe))) = (self.asks.get(index), self.probes.get(index)) else {
            return Bearing::Other;
        };
        let told = probe.look(ask, glance.article);
        let serves = told.single() && (!told.second_choice || self.wants_second_choices(index));
        let least = Far { fails: told.least.fails.max(1), ..told.least };
        let other = (told.pair && self.wants_pairs(index))
            || may_miss(self.nearest.get(index), glance, (told.far_value, least));
        match (other, serves) {
            (true, _) => Bearing::Other,
            (false, true) => Bearing::Serves,
            (false, false) => Bearing::None,
        }
    }
}

/// Whether an offer that is at least so far off could be among the nearest.
fn may_miss(nearest: Option<&Nearest>, glance: &Glance<'_>, off: (bool, Far)) -> bool {
    let by_name = |last: &Missed| match &last.key {
        SourceKey::Shelf { .. } => Ordering::Less,
        SourceKey::Offer { supplier, number } => {
            (supplier.as_str(), number.as_str()).cmp(&(glance.supplier, glance.number))
        }
    };
    nearest.is_none_or(|nearest| nearest.takes(off, by_name))
}

/// What a glance shows of it that an outline has.
fn outline<'g>(glance: &Glance<'g>) -> Outline<'g> {
    let article = glance.article;
    Outline {
        supplier: glance.supplier,
        lead_days: glance.lead_days,
        kind: article.kind,
        figure: Probe::figure(article),
        name: article.designation(),
        volts: article.volts.map(Volt::get),
        watts: article.watts.map(Watt::get),
        temp: article.temp.map(Celsius::get),
    }
}
