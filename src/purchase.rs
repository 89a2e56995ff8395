//! The purchase problem: what to buy where, at the least landed cost, proven and checked.
//!
//! [`Problem`] says what is needed and offered; [`solve()`] finds the plan and its bound;
//! [`verify()`] checks it in whole numbers; [`by_hand()`] prices the plans of a careful shopper.
//! The model, the reformulations and why they keep the optimum: `docs/purchase-model.md`.

mod aim;
mod backend;
mod beaten;
mod branch;
mod bundle;
mod by_hand;
mod clock;
mod decided;
mod dice;
mod discounted;
mod eliminate;
mod factor;
mod fault;
mod groups;
mod leaves;
mod meet;
mod merged;
mod milp;
mod model;
mod near;
mod node;
mod offer;
mod on_the_way;
mod oracle;
mod outcome;
mod paid;
mod parts;
mod plan;
mod primal;
mod problem;
mod reduce;
mod report;
mod round;
mod shake;
mod single;
mod solve;
mod spread;
mod state;
mod table;
mod tabled;
mod ties;
mod topup;
mod turns;
mod verify;
mod within;

pub use by_hand::{ByHand, by_hand};
pub use fault::{Fault, PurchaseError};
pub use outcome::{Bill, Fit, Limits, Line, Method, Purchase, SpareWhy, Statistics, Taken, Totals, Unmet, UnmetWhy};
pub use problem::{Arrangement, Demand, MOST_PIECES, Position, Problem, Rules, Source, Supplier, Tier};
pub use solve::solve;
pub use verify::verify;
pub use within::{Barred, Item, Within, within, worth};
