//! Articles and needs for the tests of this room.

use crate::model::kind::{PartKind, Style};
use crate::model::part::Value;
use crate::model::shop::Article;
use crate::units::{Farad, Volt};

/// An article that states nothing but its kind.
pub(crate) fn article(kind: PartKind) -> Article {
    Article {
        kind,
        value: None,
        tolerance: None,
        volts: None,
        vac: None,
        class: None,
        watts: None,
        temp: None,
        life: None,
        ripple: None,
        loss_factor: None,
        leakage: None,
        esr: None,
        style: None,
        diameter: None,
        length: None,
        lead: None,
        polarised: None,
        flameproof: None,
        sections: Vec::new(),
        common_negative: false,
        made: None,
        description: None,
    }
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
