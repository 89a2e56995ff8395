//! Which designations any need has an ear for, remembered for each as it comes by.
//!
//! A catalog names a few hundred valves, fuses and lamps in a hundred thousand lines; each name is
//! weighed once.

use std::collections::BTreeMap;

use super::ask::Ask;
use super::roles::is_akin;
use crate::model::kind::PartKind;
use crate::model::part::Value;
use crate::model::shop::Article;
use crate::substitute::verdict::is_wanted;

/// Names remembered for a kind; past so many each is weighed anew, so that memory stays bounded.
const MOST: usize = 4096;

/// What the needs make of a designation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Heard {
    /// It may serve one.
    Wanted,
    /// It serves none, and is worth naming beside the one wanted by these (none: it is not).
    Akin(Vec<usize>),
}

/// The designations that came by.
#[derive(Debug, Clone, Default)]
pub(super) struct Ears(BTreeMap<PartKind, BTreeMap<String, Heard>>);

impl Ears {
    /// What these asks make of a designation.
    pub(super) fn hear(&mut self, (kind, name): (PartKind, &str), asks: &[Ask<'_>], family: &[usize]) -> Heard {
        let of_kind = self.0.entry(kind).or_default();
        if let Some(heard) = of_kind.get(name) {
            return heard.clone();
        }
        let heard = weigh((kind, name), asks, family);
        if of_kind.len() < MOST {
            of_kind.insert(name.to_owned(), heard.clone());
        }
        heard
    }
}

fn weigh((kind, name): (PartKind, &str), asks: &[Ask<'_>], family: &[usize]) -> Heard {
    let article = Article { value: Some(Value::Designation(name.to_owned())), ..Article::of_kind(kind) };
    let mut akin = Vec::new();
    for index in family.iter().copied() {
        let Some(ask) = asks.get(index) else { continue };
        if ask.need.designations.is_empty() || is_wanted(&ask.need, &article) {
            return Heard::Wanted;
        }
        if is_akin(ask, &article) {
            akin.push(index);
        }
    }
    Heard::Akin(akin)
}
