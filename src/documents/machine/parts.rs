//! The parts list as machine output: one line for each position.

use serde::Serialize;

use super::Common;
use super::needs::PieceRow;
use super::plan::Digits;
use crate::documents::parts_list::{Line, Ratings, lines};
use crate::model::chassis::Job;
use crate::model::plan::Plan;
use crate::money::Money;
use crate::units::{Ampere, Hertz, Volt, Watt};

/// The whole document.
#[derive(Debug, Clone, Serialize)]
pub struct PartsDocument {
    /// Common keys.
    #[serde(flatten)]
    pub common: Common,
    /// The currency of every amount.
    pub currency: String,
    lines: Vec<LineRow>,
    pieces: u32,
    cost: String,
}

/// One position.
#[derive(Debug, Clone, Serialize)]
struct LineRow {
    refs: Vec<String>,
    old: Vec<String>,
    new: String,
    /// `null`: nothing meets the need.
    arrangement: Option<&'static str>,
    parts: Vec<PieceRow>,
    extras: Vec<PieceRow>,
    ratings: RatingRow,
    rules: Vec<&'static str>,
    notes: Vec<String>,
    cost: Option<String>,
}

/// What it must stand against what it stands.
#[derive(Debug, Clone, Serialize)]
struct RatingRow {
    needed_v: Option<f64>,
    rated_v: Option<f64>,
    margin_v: Option<f64>,
    watts_needed: Option<f64>,
    watts_rated: Option<f64>,
    ripple_needed_ma: Option<f64>,
    ripple_rated_ma: Option<f64>,
    ripple_rated_hz: Option<f64>,
}

impl PartsDocument {
    /// From the plan of these jobs.
    pub fn new(jobs: &[Job], plan: &Plan) -> Self {
        let digits = Digits(plan.currency.minor_digits());
        let lines = lines(jobs, plan);
        let all = plan.fits.iter().flat_map(|f| f.parts.iter().chain(f.extras.iter().map(|e| &e.piece)));
        Self {
            common: Common::of_plan("parts", plan),
            currency: plan.currency.to_string(),
            pieces: all.map(|p| p.count).sum(),
            cost: digits.text(plan.fits.iter().map(|f| f.cost).sum::<Money>()),
            lines: lines.iter().map(|l| LineRow::new(l, digits)).collect(),
        }
    }
}

impl LineRow {
    fn new(line: &Line<'_>, digits: Digits) -> Self {
        let fit = line.fit;
        Self {
            refs: line.refs.clone(),
            old: line.old.clone(),
            new: line.new.clone(),
            arrangement: fit.map(|f| f.arrangement.word()),
            parts: fit.into_iter().flat_map(|f| &f.parts).map(PieceRow::new).collect(),
            extras: fit.into_iter().flat_map(|f| &f.extras).map(PieceRow::extra).collect(),
            ratings: RatingRow::new(&line.ratings),
            rules: line.rules.clone(),
            notes: fit.map(|f| f.notes.clone()).unwrap_or_default(),
            cost: fit.map(|f| digits.text(f.cost)),
        }
    }
}

impl RatingRow {
    fn new(ratings: &Ratings) -> Self {
        Self {
            needed_v: ratings.needed.map(Volt::get),
            rated_v: ratings.rated.map(Volt::get),
            margin_v: ratings.margin().map(Volt::get),
            watts_needed: ratings.watts_needed.map(Watt::get),
            watts_rated: ratings.watts_rated.map(Watt::get),
            ripple_needed_ma: ratings.ripple_needed.map(Ampere::milli),
            ripple_rated_ma: ratings.ripple_rated.map(Ampere::milli),
            ripple_rated_hz: ratings.ripple_at.map(Hertz::get),
        }
    }
}
