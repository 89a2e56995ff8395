//! Two equal parts as one: in series for voltage or value, in parallel for value, ripple or watts.

use super::balance;
use crate::model::kind::{MainsClass, PartKind, Place};
use crate::model::need::Need;
use crate::model::part::Value;
use crate::model::shop::{Article, RippleRating};
use crate::substitute::margins::working_share;
use crate::substitute::verdict::Rules;
use crate::units::Volt;

/// Two equal articles in series as one article; `None` where the place or the parts do not allow it.
///
/// `bus` is the most that can stand across both. The rating is that of both together, or what the
/// string can bear at switch-on and within the margin where `bus` is above that.
pub fn in_series(need: &Need, article: &Article, bus: Volt, rules: &Rules<'_>) -> Option<Article> {
    let mut both = article.clone();
    match &article.value {
        Some(Value::Ohm(each)) if !need.flameproof || article.kind != PartKind::Fusible => {
            both.value = Some(Value::Ohm(*each * 2.0));
            both.volts = crate::substitute::verdict::limiting_volts(article).map(|(v, _)| v * 2.0);
            both.watts = article.watts.map(|w| w * 2.0);
        }
        Some(Value::Farad(each)) if need.place == Some(Place::AerialIsolation) && need.class.is_some() => {
            // Each of two class Y2 parts alone still holds the mains when the other fails.
            both.value = Some(Value::Farad(*each / 2.0));
            both.class = article.class.map(|c| if c == MainsClass::Y2 { MainsClass::Y1 } else { c });
        }
        Some(Value::Farad(each)) if article.kind == PartKind::Electrolytic && !is_mains(need) => {
            both.value = Some(Value::Farad(*each / 2.0));
            let rated = article.volts?;
            let most = string_rating(article, rules)?;
            both.volts = Some(if bus <= most { rated * 2.0 } else { most });
            balance::resistor(article, bus)?;
        }
        _ => return None,
    }
    Some(both)
}

/// The most that two of these in series can bear: at switch-on the smaller one takes the larger
/// share, and neither may pass the margin on its rating.
pub fn string_rating(article: &Article, rules: &Rules<'_>) -> Option<Volt> {
    let rated = article.volts?;
    let at_switch_on = rated / balance::worst_share(article)?;
    let margin = working_share(rules.shop);
    Some(at_switch_on.min(rated * 2.0 * margin))
}

/// Two equal articles in parallel as one article; `None` where the place does not allow it.
pub fn in_parallel(need: &Need, article: &Article) -> Option<Article> {
    let mut both = article.clone();
    match &article.value {
        Some(Value::Ohm(each)) if article.kind != PartKind::Fusible => {
            both.value = Some(Value::Ohm(*each / 2.0));
            both.watts = article.watts.map(|w| w * 2.0);
        }
        Some(Value::Farad(each)) if !is_mains(need) && article.kind != PartKind::MotorRun => {
            both.value = Some(Value::Farad(*each * 2.0));
            both.ripple = article.ripple.as_ref().map(|r| RippleRating {
                current: r.current * 2.0,
                at: r.at,
                factors: r.factors.clone(),
            });
        }
        _ => return None,
    }
    Some(both)
}

/// Whether the place is on the mains, where capacitors are not put together.
fn is_mains(need: &Need) -> bool {
    need.class.is_some() || need.place.is_some_and(Place::is_mains)
}
