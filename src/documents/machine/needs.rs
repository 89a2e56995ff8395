//! `needs[]`, `fits[]` and `unmet[]` of the machine output.

use serde::Serialize;

use crate::model::need::{Need, Point};
use crate::model::plan::{Extra, Fitting, Piece, Refused, Unmet};
use crate::units::{Celsius, Millimetre, Volt, Watt};

/// What one new part must be.
#[derive(Debug, Clone, Serialize)]
pub struct NeedRow {
    #[serde(rename = "ref")]
    reference: String,
    designations: Vec<String>,
    farad_min: Option<f64>,
    farad_max: Option<f64>,
    ohm_min: Option<f64>,
    ohm_max: Option<f64>,
    volts_min: Option<f64>,
    vac_min: Option<f64>,
    watts_min: Option<f64>,
    ripple_ma_min: Option<f64>,
    temp_c_min: Option<f64>,
    class: Option<&'static str>,
    style: Vec<&'static str>,
    max_diameter_mm: Option<f64>,
    max_length_mm: Option<f64>,
    why: Vec<String>,
}

impl NeedRow {
    /// From one need.
    pub fn new(need: &Need) -> Self {
        Self {
            reference: need.reference.clone(),
            designations: need.designations.clone(),
            farad_min: need.farad.map(|f| f.0.get()),
            farad_max: need.farad.map(|f| f.1.get()),
            ohm_min: need.ohm.map(|o| o.0.get()),
            ohm_max: need.ohm.map(|o| o.1.get()),
            volts_min: need.volts_min.map(Volt::get),
            vac_min: need.vac_min.map(Volt::get),
            watts_min: need.watts_min.map(Watt::get),
            ripple_ma_min: need.ripple.map(|r| r.total.milli()),
            temp_c_min: need.temp_min.map(Celsius::get),
            class: need.class.map(crate::model::kind::MainsClass::mark),
            style: need.styles.iter().map(|s| s.word()).collect(),
            max_diameter_mm: need.max_diameter.map(Millimetre::get),
            max_length_mm: need.max_length.map(Millimetre::get),
            why: need.why.iter().map(|w| w.says.clone()).collect(),
        }
    }
}

/// Pieces of one source.
#[derive(Debug, Clone, Serialize)]
pub struct PieceRow {
    number: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    supplier: Option<String>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    shelf: bool,
    count: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<String>,
}

impl PieceRow {
    pub(super) fn new(piece: &Piece) -> Self {
        Self {
            number: piece.number.clone(),
            supplier: piece.supplier.clone(),
            shelf: piece.supplier.is_none(),
            count: piece.count,
            why: None,
        }
    }

    pub(super) fn extra(extra: &Extra) -> Self {
        Self { why: Some(extra.why.clone()), ..Self::new(&extra.piece) }
    }
}

/// One point of comparison.
#[derive(Debug, Clone, Serialize)]
pub struct PointRow {
    point: &'static str,
    needs: String,
    has: String,
    ok: bool,
    rule: &'static str,
    says: String,
}

impl PointRow {
    /// From one point.
    pub fn new(point: &Point) -> Self {
        Self {
            point: point.point.word(),
            needs: point.needs.clone(),
            has: point.has.clone(),
            ok: point.ok(),
            rule: point.rule,
            says: point.says.clone(),
        }
    }
}

/// An offer that will not do.
#[derive(Debug, Clone, Serialize)]
pub struct RefusedRow {
    number: String,
    fails: Vec<PointRow>,
}

impl RefusedRow {
    fn new(refused: &Refused) -> Self {
        Self { number: refused.number.clone(), fails: refused.fails.iter().map(PointRow::new).collect() }
    }
}

/// What is fitted at one position.
#[derive(Debug, Clone, Serialize)]
pub struct FitRow {
    refs: Vec<String>,
    arrangement: &'static str,
    parts: Vec<PieceRow>,
    extras: Vec<PieceRow>,
    years: Option<f64>,
    notes: Vec<String>,
    refused: Vec<RefusedRow>,
}

impl FitRow {
    /// From one fitting.
    pub fn new(fit: &Fitting) -> Self {
        Self {
            refs: fit.refs.clone(),
            arrangement: fit.arrangement.word(),
            parts: fit.parts.iter().map(PieceRow::new).collect(),
            extras: fit.extras.iter().map(PieceRow::extra).collect(),
            years: fit.years,
            notes: fit.notes.clone(),
            refused: fit.refused.iter().map(RefusedRow::new).collect(),
        }
    }
}

/// A need that nothing meets.
#[derive(Debug, Clone, Serialize)]
pub struct UnmetRow {
    #[serde(rename = "ref")]
    reference: String,
    need: String,
    wanted: Vec<String>,
    nearest: Vec<RefusedRow>,
    would_help: Vec<String>,
}

impl UnmetRow {
    /// From one unmet need.
    pub fn new(unmet: &Unmet) -> Self {
        Self {
            reference: unmet.reference.clone(),
            need: unmet.need.clone(),
            wanted: unmet.wanted.clone(),
            nearest: unmet.nearest.iter().map(RefusedRow::new).collect(),
            would_help: unmet.would_help.clone(),
        }
    }
}
