//! What can wait where money is short, and how a ceiling was kept.

use crate::money::Money;

/// A part whose renewal is only advised, so that it can wait where money or time is short.
#[derive(Debug, Clone, PartialEq)]
pub struct CanWait {
    /// Reference as the plan writes it.
    pub reference: String,
    /// Everything that is changed together with it, itself included.
    pub together: Vec<String>,
    /// What doing it would add, for all that is changed together; `None` where nothing is priced.
    pub money: Option<Money>,
    /// Expected failures in a million hours if it stays, of all that is changed together; for ranking only.
    pub trouble: f64,
    /// In words.
    pub says: String,
}

/// How the advised parts were chosen where the money does not reach for all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnderCeiling {
    /// What may be spent.
    pub ceiling: Money,
    /// What the parts that must be done come to alone.
    pub least: Money,
    /// What the chosen order comes to.
    pub total: Money,
    /// Whether these are totals of the quote; else of the order, landed.
    pub of_quote: bool,
    /// Advised works (a pair, a can or a single part each) that are done.
    pub done: usize,
    /// Advised works that wait.
    pub waiting: usize,
    /// Whether no other choice within the ceiling takes away more of the expected trouble.
    pub proven: bool,
    /// Orders worked out on the way.
    pub tried: usize,
}
