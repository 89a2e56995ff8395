//! Articles and needs for the tests of this room.

use crate::model::kind::{PartKind, Style};
use crate::model::part::Value;
use crate::model::shop::Article;
use crate::units::{Farad, Volt};

/// An article that states nothing but its kind.
pub(crate) fn article(kind: PartKind) -> Article {
    Article::of_kind(kind)
}

/// An axial electrolytic.
pub(crate) fn capacitor(uf: f64, volts: f64) -> Article {
    Article {
        value: Some(Value::Farad(Farad::from_micro(uf))),
        volts: Some(Volt::new(volts)),
        style: Some(Style::Axial),
        ..article(PartKind::Electrolytic)
    }
}
