//! What the needs make of a designation, remembered for each as it comes by.
//!
//! A catalog names a few hundred valves, fuses and lamps in a hundred thousand lines; each name is
//! weighed once.

use std::collections::BTreeMap;

use super::ask::Ask;
use super::roles::{is_akin, roles};
use super::source::{Target, Use};
use crate::model::kind::PartKind;
use crate::model::part::Value;
use crate::model::shop::Article;
use crate::substitute::designation::hardware::{is_sleeving, is_tag_strip};
use crate::substitute::verdict::{Far, is_wanted};

/// Names remembered for a kind; past so many each is weighed anew, so that memory stays bounded.
const MOST: usize = 4096;

/// What the needs make of a designation.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Heard {
    /// It may serve one; what it does where nothing but the name is known.
    Wanted(Bare),
    /// It serves none, and is worth naming beside the one wanted by these (none: it is not).
    Akin(Vec<usize>),
}

/// What becomes of an article of which nothing but kind and name is known.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Bare {
    /// Its uses.
    pub(super) uses: Vec<Use>,
    /// The asks that it misses, whether by far, and by how much.
    pub(super) missed: Vec<(usize, (bool, Far))>,
    /// Whether it would serve one if the shop allowed it.
    pub(super) if_allowed: bool,
}

impl Heard {
    /// Whether it is worth a look.
    pub(super) fn is_heard(&self) -> bool {
        !matches!(self, Self::Akin(asks) if asks.is_empty())
    }
}

/// Whether hardware of this name goes beside the parts of a can.
pub(super) fn is_beside_cans(name: &str) -> bool {
    is_tag_strip(name) || is_sleeving(name)
}

impl Bare {
    /// The asks that it serves, and how.
    pub(super) fn asks(&self) -> impl Iterator<Item = (usize, Target)> {
        self.uses.iter().filter_map(|u| match u.target {
            Target::Single(ask) | Target::Series(ask) | Target::Parallel(ask) => Some((ask, u.target)),
            _ => None,
        })
    }

    /// The asks that it serves, where it can do nothing else but serve them alone.
    pub(super) fn serves_alone(&self) -> Option<Vec<usize>> {
        let ask = |u: &Use| if let Target::Single(ask) = u.target { Some(ask) } else { None };
        self.uses.iter().map(ask).collect()
    }
}

/// The designations that came by.
#[derive(Debug, Clone, Default)]
pub(super) struct Ears {
    names: BTreeMap<PartKind, BTreeMap<String, Heard>>,
    /// The last that was not remembered.
    last: Option<Heard>,
}

impl Ears {
    /// What these asks make of a designation.
    pub(super) fn hear(&mut self, (kind, name): (PartKind, &str), asks: &[Ask<'_>], family: &[usize]) -> &Heard {
        let of_kind = self.names.entry(kind).or_default();
        if !of_kind.contains_key(name) {
            let heard = weigh((kind, name), asks, family);
            if MOST <= of_kind.len() {
                return self.last.insert(heard);
            }
            of_kind.insert(name.to_owned(), heard);
        }
        of_kind.get(name).unwrap_or(&NOTHING)
    }
}

/// Nothing heard.
static NOTHING: Heard = Heard::Akin(Vec::new());

/// Whether nothing is known of an article but its kind, this name, and what its supplier says of it.
pub(super) fn is_bare(article: &Article, name: &str) -> bool {
    *article == Article { description: article.description.clone(), ..bare(article.kind, name) }
}

/// An article of which nothing but kind and name is known.
fn bare(kind: PartKind, name: &str) -> Article {
    Article { value: Some(Value::Designation(name.to_owned())), ..Article::of_kind(kind) }
}

fn weigh((kind, name): (PartKind, &str), asks: &[Ask<'_>], family: &[usize]) -> Heard {
    let article = bare(kind, name);
    let mut akin = Vec::new();
    for index in family.iter().copied() {
        let Some(ask) = asks.get(index) else { continue };
        if ask.need.designations.is_empty() || is_wanted(&ask.need, &article) {
            return Heard::Wanted(weigh_bare(&article, asks, family));
        }
        if is_akin(ask, &article) {
            akin.push(index);
        }
    }
    Heard::Akin(akin)
}

fn weigh_bare(article: &Article, asks: &[Ask<'_>], family: &[usize]) -> Bare {
    let mut bare = Bare::default();
    for index in family.iter().copied() {
        let Some(ask) = asks.get(index) else { continue };
        let roles = roles(ask, index, article);
        if !roles.single.usable() && is_akin(ask, article) {
            bare.missed.push((index, (roles.far_value, roles.single.far)));
        }
        bare.if_allowed |= roles.if_allowed.is_some();
        bare.uses.extend(roles.uses);
    }
    bare
}
