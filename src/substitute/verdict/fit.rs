//! The hours that a part should last in its place, by the makers' models.

use super::Held;
use super::ripple::share_used;
use super::tally::{Head, Said, Tally};
use crate::model::kind::PartKind;
use crate::model::need::{Answer, Need, PointKind};
use crate::model::shop::Article;
use crate::physics::life::{RatedLife, RubyconSeries, capped, rubycon, ten_kelvin};
use crate::units::Hour;

/// Hours to expect of an electrolytic here: the 10 K rule, with ripple heating where both the
/// ripple and its rating are known. `None` for other kinds and where rating or heat is not known.
///
/// At most 15 years of continuous use, which is the most that makers claim.
pub fn expected_life(need: &Need, article: &Article) -> Option<Hour> {
    if article.kind != PartKind::Electrolytic {
        return None;
    }
    let rated = RatedLife { hours: article.life?, at: article.temp? };
    let air = need.ambient?;
    let share = need.ripple.and_then(|r| share_used(article, &r));
    let model = match share {
        // Past the range of the ripple model nothing may be claimed.
        Some(share) => rubycon(rated, air, RubyconSeries::Other.rated_rise().value, share).unwrap_or(Hour::ZERO),
        None => ten_kelvin(rated, air),
    };
    Some(capped(model).hours)
}

/// The life wanted against that expected; not checked where the catalog does not state it.
pub(super) fn life(held: Held<'_>, tally: &mut impl Tally) {
    let Held { need, article, .. } = held;
    let Some(needs) = need.life_min else {
        return;
    };
    if article.kind != PartKind::Electrolytic {
        return;
    }
    let expected = expected_life(need, article);
    let answer = match expected {
        Some(hours) if hours < needs => Answer::Unsuitable,
        _ => Answer::Fit,
    };
    tally.point(Head::with(PointKind::Life, "life", answer), || {
        let has = expected.map_or_else(|| "not stated".to_owned(), |h| format!("{:.0} h", h.get()));
        let says = match expected {
            None => "life not checked: hours, temperature or the heat there not known".to_owned(),
            Some(_) => format!("about {has} to be expected, {:.0} h wanted", needs.get()),
        };
        Said::new(format!("{:.0} h", needs.get()), has, says)
    });
    if let Some(hours) = expected.filter(|h| *h < needs) {
        tally.far(hours.get(), needs.get());
    }
}
