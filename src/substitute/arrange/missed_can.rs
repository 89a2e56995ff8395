//! The can for sale that misses an old one by the least, for telling why a new can is not possible.

use super::can::{CanGroup, check_can, failing, groups};
use super::nearest::describe;
use crate::model::need::{Need, Verdict};
use crate::model::part::Part;
use crate::model::shop::{Article, Offer};
use crate::substitute::candidates::Ask;

/// The nearest miss for each can, while the catalog goes by.
#[derive(Debug)]
pub struct MissedCans<'a> {
    asks: &'a [Ask<'a>],
    groups: Vec<CanGroup>,
    nearest: Vec<Option<Miss>>,
}

/// One can that does not do.
#[derive(Debug, Clone)]
struct Miss {
    fails: u32,
    name: String,
    article: Article,
}

impl Miss {
    /// By the points failed, then by name, so that the order of the catalog does not matter.
    fn is_nearer(&self, other: &Self) -> bool {
        (self.fails, &self.name) < (other.fails, &other.name)
    }
}

impl<'a> MissedCans<'a> {
    /// For the cans among these asks.
    pub fn new(asks: &'a [Ask<'a>]) -> Self {
        let groups = groups(asks);
        Self { asks, nearest: vec![None; groups.len()], groups }
    }

    /// Looks at one offer; anything but a can is passed by.
    pub fn offer(&mut self, offer: &Offer) {
        if offer.article.sections.is_empty() {
            return;
        }
        for (group, nearest) in self.groups.iter().zip(&mut self.nearest) {
            if !group.whole || is_far(self.asks, group, &offer.article) {
                continue;
            }
            let Some(fails) = failing(self.asks, group, &offer.article).filter(|fails| 0 < *fails) else { continue };
            let miss = Miss { fails, name: offer.name(), article: offer.article.clone() };
            if nearest.as_ref().is_none_or(|known| miss.is_nearer(known)) {
                *nearest = Some(miss);
            }
        }
    }

    /// The same with none seen yet, for another reader of the catalog.
    #[must_use]
    pub fn fork(&self) -> Self {
        Self { asks: self.asks, groups: self.groups.clone(), nearest: vec![None; self.groups.len()] }
    }

    /// Takes over the nearest of what another reader has seen.
    pub fn join(&mut self, other: Self) {
        for (mine, theirs) in self.nearest.iter_mut().zip(other.nearest) {
            let Some(theirs) = theirs else { continue };
            if mine.as_ref().is_none_or(|mine| theirs.is_nearer(mine)) {
                *mine = Some(theirs);
            }
        }
    }

    /// Why the nearest can does not do for the can of this number; `None` where none came near.
    pub(super) fn why(&self, number: usize) -> Option<String> {
        let miss = self.nearest.get(number)?.as_ref()?;
        let verdict = verdict(self.asks, self.groups.get(number)?, &miss.article);
        let points: Vec<&str> = verdict.fails().map(|p| p.says.as_str()).collect();
        Some(format!("nearest {} {}: {}", miss.name, describe(&miss.article), points.join("; ")))
    }
}

/// A can with a section too few, or one whose capacitance is nowhere near; told by what costs little.
fn is_far(asks: &[Ask<'_>], group: &CanGroup, article: &Article) -> bool {
    let wanted: f64 =
        group.asks.iter().filter_map(|i| asks.get(*i)?.need.farad_nominal).map(crate::units::Farad::get).sum();
    let has: f64 = article.sections.iter().map(|s| s.farad.get()).sum();
    article.sections.len() < group.asks.len() || has < wanted * 0.5 || wanted * 3.0 < has
}

/// The can against all sections of the group, in words.
fn verdict(asks: &[Ask<'_>], group: &CanGroup, article: &Article) -> Verdict {
    let members: Vec<&Ask<'_>> = group.asks.iter().filter_map(|i| asks.get(*i)).collect();
    let pairs: Vec<(&Need, &Part)> = members.iter().map(|a| (&a.need, a.context.part)).collect();
    match members.first() {
        Some(first) => check_can(&pairs, article, &first.rules),
        None => Verdict::of(Vec::new()),
    }
}
