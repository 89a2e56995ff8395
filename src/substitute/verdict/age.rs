//! The age of electrolytics on the shelf.

use super::Held;
use super::tally::{Head, Said, Tally};
use crate::model::kind::PartKind;
use crate::model::need::{Answer, PointKind};
use crate::substitute::margins::{OLD_STOCK, OLD_STOCK_END};

/// Old stock: to be tested and reformed first after two years, refused after ten.
pub(super) fn age(held: Held<'_>, tally: &mut impl Tally) {
    let Held { article, rules, .. } = held;
    if article.kind != PartKind::Electrolytic {
        return;
    }
    let (Some(made), Some(year)) = (article.made, rules.year) else {
        return;
    };
    let years = year - made;
    let (as_new, end) = (OLD_STOCK.of(rules.shop), OLD_STOCK_END.of(rules.shop));
    let answer = if f64::from(years) <= as_new {
        Answer::Fit
    } else if f64::from(years) <= end {
        Answer::Caution
    } else {
        Answer::Unsuitable
    };
    tally.point(Head::with(PointKind::Age, "old-stock", answer), || {
        let says = match answer {
            Answer::Fit => String::new(),
            Answer::Caution => format!("made {made}, {years} years ago: test its leakage and reform it before use"),
            _ => format!("made {made}, {years} years ago: old stock"),
        };
        Said::new(format!("at most {as_new} years old"), format!("made {made}"), says)
    });
}
