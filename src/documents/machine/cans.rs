//! `cans[]` of the machine output: the ways of renewing each can, side by side.

use serde::Serialize;

use super::needs::PieceRow;
use super::plan::Digits;
use crate::model::plan::{CanOption, CanWays};

/// One can.
#[derive(Debug, Clone, Serialize)]
pub struct CanRow {
    can: String,
    refs: Vec<String>,
    options: Vec<OptionRow>,
}

/// One way of renewing it. `more_at_most`: the most that the whole order would cost more with it.
#[derive(Debug, Clone, Serialize)]
pub struct OptionRow {
    way: &'static str,
    taken: bool,
    parts: Vec<PieceRow>,
    extras: Vec<PieceRow>,
    goods: Option<String>,
    more_at_most: Option<String>,
    why_not: Option<String>,
}

impl CanRow {
    /// From one can.
    pub fn new(can: &CanWays, digits: Digits) -> Self {
        let option = |o: &CanOption| OptionRow {
            way: o.way.word(),
            taken: o.taken,
            parts: o.parts.iter().map(PieceRow::new).collect(),
            extras: o.extras.iter().map(PieceRow::extra).collect(),
            goods: o.goods.map(|m| digits.text(m)),
            more_at_most: o.difference.map(|m| digits.text(m)),
            why_not: o.why_not.clone(),
        };
        Self { can: can.can.clone(), refs: can.refs.clone(), options: can.options.iter().map(option).collect() }
    }
}
