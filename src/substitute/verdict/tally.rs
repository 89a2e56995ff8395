//! Two ways of keeping the points: in words for people, or only counted for a million offers.

use crate::model::need::{Answer, Point, PointKind};

/// What a point is about and how it turned out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Head {
    /// Which point.
    pub(super) point: PointKind,
    /// Rule id.
    pub(super) rule: &'static str,
    /// Outcome.
    pub(super) answer: Answer,
}

impl Head {
    /// A point that holds or fails.
    pub(super) const fn of(point: PointKind, rule: &'static str, ok: bool) -> Self {
        Self::with(point, rule, if ok { Answer::Fit } else { Answer::Unsuitable })
    }

    /// A point on which safety hangs.
    pub(super) const fn safe(point: PointKind, rule: &'static str, ok: bool) -> Self {
        Self::with(point, rule, if ok { Answer::Fit } else { Answer::Barred })
    }

    /// A point with its answer.
    pub(super) const fn with(point: PointKind, rule: &'static str, answer: Answer) -> Self {
        Self { point, rule, answer }
    }
}

/// A point in words.
#[derive(Debug, Clone)]
pub(super) struct Said {
    /// What is needed.
    pub(super) needs: String,
    /// What the article has.
    pub(super) has: String,
    /// The sentence; made from both where it is empty.
    pub(super) says: String,
}

impl Said {
    /// Needs against has, with a sentence.
    #[expect(clippy::needless_pass_by_value, reason = "texts and quantities are handed over at the call sites")]
    pub(super) fn new(needs: impl ToString, has: impl ToString, says: impl Into<String>) -> Self {
        Self { needs: needs.to_string(), has: has.to_string(), says: says.into() }
    }
}

/// Where the points go.
pub(super) trait Tally {
    /// Takes a point; the words are made only where they are kept.
    fn point(&mut self, head: Head, said: impl FnOnce() -> Said);

    /// Takes how far the article is off on the point just taken, as a ratio of has and needs.
    fn far(&mut self, has: f64, needs: f64);
}

/// Every point in words.
#[derive(Debug, Default)]
pub(super) struct Full {
    /// The points.
    pub(super) points: Vec<Point>,
}

impl Tally for Full {
    fn point(&mut self, head: Head, said: impl FnOnce() -> Said) {
        let Said { needs, has, says } = said();
        let Head { point, rule, answer } = head;
        let says = match answer {
            _ if !says.is_empty() => says,
            Answer::Fit | Answer::Caution => format!("{has} for {needs}"),
            Answer::Unsuitable | Answer::Barred => format!("{needs} needed, {has}"),
        };
        self.points.push(Point { point, needs, has, answer, rule, says });
    }

    fn far(&mut self, _has: f64, _needs: f64) {}
}

/// How far an article is off, for ordering what just misses: fewer failing points, then nearer.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub(crate) struct Far {
    /// Failing points.
    pub(crate) fails: u32,
    /// Sum of the logarithms of has over needs on what was measured.
    pub(crate) distance: f64,
}

impl Far {
    /// One point fails, and its figure is missing.
    pub(crate) const MISSING: Self = Self { fails: 1, distance: 7.0 };
}

/// The outcome without words.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Count {
    /// The worst of the points.
    pub(crate) answer: Answer,
    /// How far it is off.
    pub(crate) far: Far,
    /// Whether a caution makes it a second choice: more capacitance than has any use, another lamp or
    /// heater current, a limit that is not known, old stock.
    pub(crate) second_choice: bool,
}

impl Default for Count {
    fn default() -> Self {
        Self { answer: Answer::Fit, far: Far::default(), second_choice: false }
    }
}

impl Count {
    /// Whether the article may be used.
    pub(crate) const fn usable(&self) -> bool {
        matches!(self.answer, Answer::Fit | Answer::Caution)
    }
}

impl Tally for Count {
    fn point(&mut self, head: Head, _said: impl FnOnce() -> Said) {
        self.answer = self.answer.max(head.answer);
        if matches!(head.answer, Answer::Unsuitable | Answer::Barred) {
            self.far.fails += 1;
        }
        let lesser = matches!(head.point, PointKind::Heater | PointKind::LimitFirst | PointKind::Age);
        self.second_choice |= head.answer == Answer::Caution && (lesser || head.rule == "no-gain");
    }

    fn far(&mut self, has: f64, needs: f64) {
        let off = (has / needs).ln().abs();
        // A missing or senseless figure is as far off as a factor of a thousand.
        self.far.distance += if off.is_finite() { off } else { 7.0 };
    }
}
