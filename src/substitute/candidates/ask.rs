//! One need with everything that answers to it are judged by.

use crate::model::kind::{PartKind, Place};
use crate::model::need::Need;
use crate::model::shop::Article;
use crate::substitute::need::{NeedContext, NoNeed, need_of};
use crate::substitute::verdict::Rules;
use crate::units::{Farad, Volt};

/// A need with its part, its job and the rules that hold there.
#[derive(Debug, Clone)]
pub struct Ask<'a> {
    /// The reference as it is printed: `REF`, or `JOB/REF` where there are several jobs.
    pub name: String,
    /// The part, its job, its stress, its judgement and the shop.
    pub context: NeedContext<'a>,
    /// What the new part must be.
    pub need: Need,
    /// What verdicts follow.
    pub rules: Rules<'a>,
}

impl<'a> Ask<'a> {
    /// The ask for one part.
    ///
    /// # Errors
    /// Says what has to be found out before a need can be stated.
    pub fn new(name: String, context: NeedContext<'a>) -> Result<Self, NoNeed> {
        let need = need_of(&context)?;
        Ok(Self { name, context, need, rules: Rules::new(context.shop, context.job) })
    }

    /// The most that can stand across the place: the highest where it is known, else what is asked for.
    pub(in crate::substitute) fn bus(&self) -> Option<Volt> {
        self.context.stress.highest.map(|h| h.value).or(self.need.volts_min)
    }

    /// Whether the shop lets two parts stand in one place.
    pub(in crate::substitute) fn two_allowed(&self) -> bool {
        self.context.shop.choose.max_parts_per_place.is_none_or(|most| 2 <= most)
    }

    /// Whether two electrolytics in series could stand there at all.
    pub(super) fn may_be_string(&self) -> bool {
        self.need.kinds.contains(&PartKind::Electrolytic) && !self.need.place.is_some_and(Place::is_mains)
    }

    /// The values that one of two in parallel may have there, least and most (both less than the marked
    /// value); `None` where a value is not made up of two. It is where the circuit asks for a value that
    /// today's series may not have: tone, tuned, timing and feedback capacitors, one by one.
    pub(in crate::substitute) fn part_of_two(&self) -> Option<(Farad, Farad)> {
        let (need, (least, _), nominal) = (&self.need, self.need.farad?, self.need.farad_nominal?);
        let asked = need.tolerance_max_percent.is_some() && !need.kinds.contains(&PartKind::Electrolytic);
        let alone = need.matched < 2 && self.context.part.can.is_none();
        let mains = need.class.is_some() || need.place.is_some_and(Place::is_mains);
        // A value below a hundredth moves the sum by less than any window is wide.
        (asked && alone && !mains).then_some((nominal / 100.0, least))
    }

    /// Whether a pair is weighed beside single parts, and not only where none does: two class Y2
    /// parts stand beside one of class Y1.
    pub(in crate::substitute) fn pair_beside_single(&self) -> bool {
        self.need.place == Some(Place::AerialIsolation) && self.need.class.is_some()
    }

    /// How the value of an article stands to the need: has over wanted; `None` where either has none.
    pub(super) fn value_ratio(&self, article: &Article) -> Option<(f64, f64)> {
        let (has, least, most) = match (self.need.farad, self.need.ohm) {
            (Some((least, most)), _) => (article.farad()?.get(), least.get(), most.get()),
            (_, Some((least, most))) => (article.ohm()?.get(), least.get(), most.get()),
            _ => return None,
        };
        Some((has / least, has / most))
    }
}
