//! A look at an article that costs little, before it is held against a need in full.
//!
//! Of a large catalog nearly everything is far from every need. A probe counts only what can be
//! told from a comparison or two: how many points fail at least, and how far off the article is at
//! least. Both are lower bounds of what the verdict finds, so that what a probe passes over could
//! neither have served nor have been among the nearest.

use super::ask::Ask;
use super::reach::Least;
use super::roles::EDGE;
use crate::model::kind::{PartKind, Style};
use crate::model::need::Need;
use crate::model::part::Value;
use crate::model::shop::Article;
use crate::substitute::need::mains::stands_in;
use crate::substitute::verdict::{Far, above_is_own_point, more_is_allowed};
use crate::units::{Celsius, Volt, Watt};

/// How far off a missing or senseless figure counts, as the verdict has it.
pub(super) const MISSING: f64 = 7.0;

/// What a probe tells of an article for one need.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Told {
    /// Points that fail, and how far it is off: no more than the verdict will find.
    pub(super) least: Far,
    /// Whether its value is far outside.
    pub(super) far_value: bool,
    /// Whether it can only be a second choice, since there is more of it than has any use.
    pub(super) second_choice: bool,
    /// Whether two of it could serve.
    pub(super) pair: bool,
}

impl Told {
    /// Whether it could serve alone.
    pub(super) const fn single(&self) -> bool {
        self.least.fails == 0
    }
}

/// A need for a value, made ready for probing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Probe {
    least: f64,
    most: f64,
    nominal: f64,
    resistance: bool,
    above: Above,
    more_is_allowed: bool,
    strings: bool,
    /// What one of two different values in parallel may have.
    part: Option<(f64, f64)>,
    /// A bit for each kind that may serve, by its place in the list of kinds.
    kinds: u32,
    volts_min: f64,
    watts_min: f64,
    temp_min: f64,
}

/// What becomes of a value above the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Above {
    /// It is refused.
    Refused,
    /// It has no use, and does no harm.
    NoGain,
    /// It is judged by a limit of its own.
    OwnPoint,
}

impl Probe {
    /// The probe of an ask; `None` where it is not for a capacitance or a resistance.
    pub(super) fn of(ask: &Ask<'_>) -> Option<Self> {
        let need = &ask.need;
        let (least, most, nominal, resistance) = match (need.farad, need.ohm) {
            (Some((least, most)), _) => (least.get(), most.get(), need.farad_nominal.unwrap_or(least).get(), false),
            (_, Some((least, most))) => (least.get(), most.get(), need.ohm_nominal.unwrap_or(least).get(), true),
            _ => return None,
        };
        let own_point = above_is_own_point(need);
        let above = match (resistance, own_point, more_is_allowed(need)) {
            (false, true, _) => Above::OwnPoint,
            (false, false, true) => Above::NoGain,
            _ => Above::Refused,
        };
        let none = f64::NEG_INFINITY;
        Some(Self {
            volts_min: need.volts_min.map_or(none, Volt::get),
            watts_min: need.watts_min.map_or(none, Watt::get),
            temp_min: need.temp_min.map_or(none, Celsius::get),
            least,
            most,
            nominal,
            resistance,
            above,
            more_is_allowed: more_is_allowed(need),
            strings: ask.may_be_string() || ask.pair_beside_single(),
            part: ask.part_of_two().map(|(least, most)| (least.get(), most.get())),
            kinds: if need.kinds.is_empty() {
                u32::MAX
            } else {
                need.kinds.iter().fold(0, |set, k| set | 1 << *k as u32)
            },
        })
    }

    /// The article's figure that the need is for.
    pub(super) fn figure(article: &Article) -> Option<f64> {
        match article.value {
            Some(Value::Farad(farad)) => Some(farad.get()),
            Some(Value::Ohm(ohm)) => Some(ohm.get()),
            _ => None,
        }
    }

    /// A bit for each kind that may serve; any other can at most be near.
    pub(super) const fn kinds(&self) -> u32 {
        self.kinds
    }

    /// The ratings that anything must have to serve, with room for rounding; half of them where pairs count.
    pub(super) fn least(&self, pairs: bool) -> Least {
        let of_each = if pairs { 0.5 } else { 1.0 } * (1.0 - 4.0 * EDGE);
        Least {
            volts: self.volts_min * of_each,
            volts_may_miss: self.resistance,
            watts: self.watts_min * of_each,
            temp: self.temp_min,
        }
    }

    /// Least and most value of what may serve: alone, as a second choice, in a pair.
    pub(super) fn serving(&self, pairs: bool, second_choices: bool) -> (f64, f64) {
        let factor = if pairs { 2.0 } else { 1.0 };
        let above = self.above == Above::OwnPoint || (self.above == Above::NoGain && second_choices);
        let high = if above { f64::INFINITY } else { self.most * factor * (1.0 + 4.0 * EDGE) };
        let low = self.part.filter(|_| pairs).map_or(self.least / factor, |(least, _)| least);
        (low * (1.0 - 4.0 * EDGE), high)
    }

    /// Least and most value that is no farther off than this, with room for rounding.
    pub(super) fn within(&self, distance: f64) -> (f64, f64) {
        let times = (distance + EDGE).exp();
        (self.nominal / times, self.nominal * times)
    }

    /// What can be told of an article.
    pub(super) fn look(&self, ask: &Ask<'_>, article: &Article) -> Told {
        let need = &ask.need;
        let has = Self::figure(article).filter(|_| self.resistance == article.kind.is_resistor());
        let mut least = Far::default();
        let kind = need.kinds.is_empty() || (need.kinds.contains(&article.kind) && article.sections.is_empty());
        least.fails += u32::from(!kind);
        let above = has.is_some_and(|has| self.most * (1.0 + EDGE) < has);
        let below = has.is_some_and(|has| has < self.least * (1.0 - EDGE));
        let too_large = above && self.above == Above::Refused;
        least.fails += u32::from(has.is_none() || below || too_large);
        least.distance += has.map_or(MISSING, |has| off(has, self.nominal));
        let rated = self.ratings(need, article, &mut least);
        let body = body(need, article, &mut least);
        least.fails += body;
        let pair =
            kind && body == 0 && rated.pair && has.is_some_and(|has| self.pair_value(has, (need, article), rated));
        let second_choice = above && self.above == Above::NoGain;
        Told { least, far_value: has.is_some_and(|has| self.is_far(has)), second_choice, pair }
    }

    /// Whether the value is far outside, as for the verdict.
    fn is_far(&self, has: f64) -> bool {
        has / self.least < 0.33 || (3.0 < has / self.most && !self.more_is_allowed)
    }

    /// The electrical points: fails and distances are added; what is left for a pair is told.
    fn ratings(&self, need: &Need, article: &Article, least: &mut Far) -> Rated {
        let mut rated = Rated { single_volts: true, pair_volts: true, pair: true };
        // Without a stated limiting voltage a resistor has the usual one of its kind.
        let stated = !self.resistance || article.volts.is_some();
        if let Some(needs) = need.volts_min.filter(|_| stated) {
            let has = article.volts.unwrap_or(Volt::ZERO).get();
            let enough = |has: f64| needs.get() * (1.0 - 1e-9) <= has;
            (rated.single_volts, rated.pair_volts) = (enough(has), enough(has * 2.0 * (1.0 + EDGE)));
            if !rated.single_volts {
                least.fails += 1;
                least.distance += off(has, needs.get());
            }
        }
        if let Some(class) = need.class {
            least.fails += u32::from(!article.class.is_some_and(|has| stands_in(has, class)));
        }
        if let Some(temp) = need.temp_min {
            let hot = article.temp.is_some_and(|has| temp <= has);
            least.fails += u32::from(!hot);
            rated.pair &= hot;
        }
        if let Some(needs) = need.watts_min {
            let has = article.watts.map_or(0.0, Watt::get);
            if has < needs.get() * (1.0 - EDGE) {
                least.fails += 1;
                least.distance += off(has, needs.get());
                rated.pair &= needs.get() * (1.0 - EDGE) <= has * 2.0 * (1.0 + EDGE);
            }
        }
        rated
    }

    /// Whether two could do, in series or in parallel: both of this value and rating, or one of them.
    fn pair_value(&self, has: f64, (need, article): (&Need, &Article), rated: Rated) -> bool {
        let inside = |has: f64| self.least * (1.0 - 2.0 * EDGE) <= has && has <= self.most * (1.0 + 2.0 * EDGE);
        let (in_series, in_parallel) = if self.resistance { (has * 2.0, has / 2.0) } else { (has / 2.0, has * 2.0) };
        let string = self.resistance || self.strings;
        let fusible = article.kind == PartKind::Fusible && need.flameproof;
        let part = self.part.is_some_and(|(least, most)| least * (1.0 - EDGE) <= has && has <= most);
        let beside = rated.single_volts && (part || inside(in_parallel));
        !fusible && ((string && rated.pair_volts && inside(in_series)) || beside)
    }
}

/// What the ratings leave open.
#[derive(Clone, Copy)]
struct Rated {
    single_volts: bool,
    pair_volts: bool,
    pair: bool,
}

/// The points of the body that fail; distances are added.
fn body(need: &Need, article: &Article, least: &mut Far) -> u32 {
    let style = !need.styles.is_empty() && !article.style.is_none_or(|s| s == Style::Any || need.styles.contains(&s));
    let mut too_large = false;
    for (most, has) in [(need.max_diameter, article.diameter), (need.max_length, article.length)] {
        if let (Some(most), Some(has)) = (most, has)
            && most < has
        {
            too_large = true;
            least.distance += off(has.get(), most.get());
        }
    }
    let electrolytic = matches!(article.kind, PartKind::Electrolytic | PartKind::Tantalum);
    let polarity = electrolytic && !need.polarised_ok && article.polarised.unwrap_or(true);
    u32::from(style) + u32::from(too_large) + u32::from(polarity)
}

/// The distance of a figure from what is needed, as the verdict reckons it.
fn off(has: f64, needs: f64) -> f64 {
    let off = (has / needs).ln().abs();
    if off.is_finite() { off } else { MISSING }
}
