//! The machine output of `supply`.

use serde::Serialize;

use super::Common;
use crate::model::plan::Inspection;
use crate::model::supply::{CapacitorFigures, Conducting, NodeFigures, RectifierFigures, SupplyFigures};
use crate::units::{Ampere, Watt};

/// The whole document of `supply`.
#[derive(Debug, Clone, Serialize)]
pub struct SupplyDocument {
    /// Common keys.
    #[serde(flatten)]
    pub common: Common,
    /// Supplies that were computed.
    pub supplies: Vec<SupplyRow>,
    /// Supplies that were not, and why.
    pub unproved: Vec<UnprovedRow>,
}

/// One supply.
#[derive(Debug, Clone, Serialize)]
pub struct SupplyRow {
    name: String,
    conducting: &'static str,
    rectifier: RectifierRow,
    nodes: Vec<NodeRow>,
    assumed: Vec<String>,
}

/// One supply without figures.
#[derive(Debug, Clone, Serialize)]
pub struct UnprovedRow {
    name: String,
    says: String,
}

/// The rectifier's currents.
#[derive(Debug, Clone, Serialize)]
pub struct RectifierRow {
    peak_ma: f64,
    average_ma: f64,
    rms_ma: f64,
    watts: f64,
    winding_rms_ma: f64,
    surge_a: f64,
    inverse_v: f64,
    warnings: Vec<String>,
}

/// One node.
#[derive(Debug, Clone, Serialize)]
pub struct NodeRow {
    name: String,
    volts: f64,
    crest_v: f64,
    ripple_pp_v: f64,
    ripple_rms_v: f64,
    series_ma: Option<f64>,
    series_watts: Option<f64>,
    no_load_v: f64,
    highest_v: f64,
    measured_v: Option<f64>,
    capacitors: Vec<CapacitorRow>,
}

/// One capacitor's ripple.
#[derive(Debug, Clone, Serialize)]
pub struct CapacitorRow {
    #[serde(rename = "ref")]
    reference: String,
    ripple_ma: f64,
    ripple_f_ma: f64,
    ripple_2f_ma: f64,
    ripple_rest_ma: f64,
    esr_ohm: f64,
    esr_assumed: bool,
}

impl SupplyDocument {
    /// From the inspections, in their order.
    pub fn new(inspections: &[Inspection]) -> Self {
        let outcomes = || inspections.iter().flat_map(|i| &i.supplies);
        Self {
            common: Common::new("supply", inspections, &[], 0),
            supplies: outcomes().filter_map(|o| o.as_ref().ok()).map(SupplyRow::new).collect(),
            unproved: outcomes()
                .filter_map(|o| o.as_ref().err())
                .map(|u| UnprovedRow { name: u.name.clone(), says: u.says.clone() })
                .collect(),
        }
    }
}

impl SupplyRow {
    /// From the figures of one supply.
    pub fn new(figures: &SupplyFigures) -> Self {
        Self {
            name: figures.name.clone(),
            conducting: match figures.conducting {
                Conducting::Pulsed => "pulsed",
                Conducting::Continuous => "continuous",
            },
            rectifier: RectifierRow::new(&figures.rectifier),
            nodes: figures.nodes.iter().map(NodeRow::new).collect(),
            assumed: figures.assumed.clone(),
        }
    }
}

impl RectifierRow {
    fn new(rectifier: &RectifierFigures) -> Self {
        Self {
            peak_ma: rectifier.peak.milli(),
            average_ma: rectifier.average.milli(),
            rms_ma: rectifier.rms.milli(),
            watts: rectifier.watts.get(),
            winding_rms_ma: rectifier.winding_rms.milli(),
            surge_a: rectifier.surge.get(),
            inverse_v: rectifier.inverse.get(),
            warnings: rectifier.warnings.iter().map(|w| w.says.clone()).collect(),
        }
    }
}

impl NodeRow {
    fn new(node: &NodeFigures) -> Self {
        Self {
            name: node.name.to_string(),
            volts: node.volts.get(),
            crest_v: node.crest.get(),
            ripple_pp_v: node.ripple_pp.get(),
            ripple_rms_v: node.ripple_rms.get(),
            series_ma: node.series.map(Ampere::milli),
            series_watts: node.series_watts.map(Watt::get),
            no_load_v: node.no_load.get(),
            highest_v: node.highest.get(),
            measured_v: node.measured.map(crate::units::Volt::get),
            capacitors: node.capacitors.iter().map(CapacitorRow::new).collect(),
        }
    }
}

impl CapacitorRow {
    fn new(capacitor: &CapacitorFigures) -> Self {
        Self {
            reference: capacitor.reference.clone(),
            ripple_ma: capacitor.ripple.total.milli(),
            ripple_f_ma: capacitor.ripple.at_f.milli(),
            ripple_2f_ma: capacitor.ripple.at_2f.milli(),
            ripple_rest_ma: capacitor.ripple.rest.milli(),
            esr_ohm: capacitor.esr.get(),
            esr_assumed: capacitor.esr_assumed,
        }
    }
}
