//! When to stop: by counted work, so that the result does not hang on the machine, or by seconds
//! where the caller asks for that.

use std::cell::Cell;
use std::time::{Duration, Instant};

/// Counts down work and, if asked, time.
#[derive(Debug)]
pub(super) struct Clock {
    until: Option<Instant>,
    left: Cell<u64>,
    /// What is left of this turn.
    turn: Cell<u64>,
}

impl Clock {
    /// `work` source evaluations, and `seconds` if given.
    pub(super) fn new(work: u64, seconds: Option<f64>) -> Self {
        let seconds = seconds.filter(|s| s.is_finite()).map(|s| Duration::from_secs_f64(s.clamp(0.0, 1e6)));
        Self { until: seconds.map(|s| Instant::now() + s), left: Cell::new(work), turn: Cell::new(u64::MAX) }
    }

    /// Counts work done.
    pub(super) fn spend(&self, work: u64) {
        self.left.set(self.left.get().saturating_sub(work));
        self.turn.set(self.turn.get().saturating_sub(work));
    }

    /// Begins a turn of at most so much work.
    pub(super) fn begin_turn(&self, work: u64) {
        self.turn.set(work);
    }

    /// What is left of this turn, to be begun again with.
    pub(super) fn turn_left(&self) -> u64 {
        self.turn.get()
    }

    /// Whether the turn is to stop.
    pub(super) fn stopped(&self) -> bool {
        self.turn.get() == 0 || self.over()
    }

    /// Whether everything is to stop.
    pub(super) fn over(&self) -> bool {
        self.left.get() == 0 || self.until.is_some_and(|until| Instant::now() >= until)
    }

    /// Seconds left, if they are counted.
    pub(super) fn seconds(&self) -> Option<f64> {
        self.until.map(|until| until.saturating_duration_since(Instant::now()).as_secs_f64())
    }
}
