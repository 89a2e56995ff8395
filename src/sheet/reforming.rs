//! Reforming at the bench: what to put in series, what to expect, when to stop.

use crate::limits::reform::{BENCH_MUST_FALL_WITHIN, BENCH_RESISTOR};
use crate::model::chassis::Job;
use crate::model::finding::Decision;
use crate::model::plan::Inspection;
use crate::physics::reform::{Method, series_resistance, short_circuit_current, short_circuit_heat};
use crate::units::{Ampere, Ohm, Second, Volt, Watt};

/// One part to reform.
#[derive(Debug, Clone, PartialEq)]
pub struct Reforming {
    /// Reference.
    pub reference: String,
    /// Voltage to end at: the rated one.
    pub rated: Option<Volt>,
    /// Resistor in series.
    pub series: Option<Ohm>,
    /// Current if the part is shorted: the most there can be.
    pub shorted: Option<Ampere>,
    /// Heat in the resistor then.
    pub heat: Option<Watt>,
    /// Rating of the resistor.
    pub resistor_rating: Watt,
    /// The current must have fallen by then.
    pub must_fall_within: Second,
}

/// The parts of the job that are reformed and kept.
pub fn reforming(job: &Job, inspection: &Inspection) -> Vec<Reforming> {
    let reformed = inspection.judgements.iter().filter(|j| j.decision == Decision::Reform);
    reformed
        .filter_map(|j| job.part(&j.reference))
        .map(|part| {
            let rated = part.rating.volts;
            let series = rated.map(|v| series_resistance(Method::Bench, v).value.0);
            Reforming {
                reference: part.reference.clone(),
                rated,
                series,
                shorted: rated.zip(series).map(|(v, r)| short_circuit_current(v, r)),
                heat: rated.zip(series).map(|(v, r)| short_circuit_heat(v, r)),
                resistor_rating: BENCH_RESISTOR.value,
                must_fall_within: BENCH_MUST_FALL_WITHIN.value,
            }
        })
        .collect()
}
