//! The age of electrolytics on the shelf.

use super::Held;
use super::tally::{Head, Said, Tally};
use crate::limits::Limit;
use crate::model::kind::PartKind;
use crate::model::need::{Answer, PointKind};
use crate::sources::SourceId;

/// Years up to which an electrolytic is as new.
const AS_NEW_YEARS: Limit<f64> = Limit::new(2.0, SourceId::OldStock, "electrolytics on the shelf, years");
/// Years from which it is no longer taken.
const END_YEARS: Limit<f64> = Limit::new(10.0, SourceId::CdeReforming, "end of useful shelf life, years");

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
    let (as_new, end) = (rules.margin("old-stock", AS_NEW_YEARS.value), rules.margin("old-stock.end", END_YEARS.value));
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
