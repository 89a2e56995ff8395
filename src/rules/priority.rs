//! Expected trouble of a part that is left as it is: for ranking parts against each other only.
//!
//! The model is that of MIL-HDBK-217F Notice 2 for parts of commercial make on the bench. It knows
//! random failures of parts as made and nothing of age; no figure of it is ever printed as a life.

use super::resistor_dissipation::body;
use crate::model::finding::Stress;
use crate::model::kind::PartKind;
use crate::model::part::Part;
use crate::physics::failure_rate::{
    CapacitorAtWork, CapacitorStyle, Environment, FailureRate, Quality, ResistorAtWork, ResistorStyle, capacitor,
    resistor,
};
use crate::physics::resistor::Body;
use crate::units::{Celsius, Farad, Ohm, Volt, Watt};

/// What a part of a kind that the model does not know is taken for: an electrolytic of this size at
/// its full rating.
const STAND_IN: Farad = Farad::from_micro(47.0);

/// Expected failures in a million hours if the part stays, for ranking only.
///
/// `inside` is the air in the cabinet, taken where the heat at the part is not known. A voltage or
/// heat that is not known, or is above the rating, is taken as the full rating. Kinds that the model
/// does not know (valves, leads, rectifiers) rank like a fully stressed electrolytic of 47 µF.
pub fn trouble(part: &Part, stress: &Stress, inside: Celsius) -> f64 {
    let air = stress.heat.map_or(inside, |known| known.value);
    let known = if part.kind.is_capacitor() {
        of_capacitor(part, stress, air)
    } else if part.kind.is_resistor() {
        of_resistor(part, stress, air)
    } else {
        None
    };
    known.or_else(|| stand_in(air)).map_or(f64::MAX, FailureRate::in_million_hours)
}

/// A fully stressed electrolytic.
fn stand_in(air: Celsius) -> Option<FailureRate> {
    let style = CapacitorStyle::AluminiumDry;
    rate(CapacitorAtWork { style, capacitance: STAND_IN, stress: 1.0, air, quality: Quality::Commercial })
}

/// The rate of a capacitor on the bench.
fn rate(part: CapacitorAtWork) -> Option<FailureRate> {
    capacitor(&part, Environment::GroundBenign)
}

fn of_capacitor(part: &Part, stress: &Stress, air: Celsius) -> Option<FailureRate> {
    let style = match part.kind {
        PartKind::Electrolytic => CapacitorStyle::AluminiumDry,
        PartKind::Paper | PartKind::MotorRun => CapacitorStyle::Paper,
        PartKind::Film | PartKind::Suppressor => CapacitorStyle::Film,
        PartKind::Mica => CapacitorStyle::Mica,
        PartKind::Ceramic => CapacitorStyle::Ceramic,
        PartKind::Tantalum => CapacitorStyle::TantalumSolid { series_ohm_per_v: 1.0 },
        _ => return None,
    };
    let share = stress.working.zip(part.rating.volts).filter(|(_, rated)| *rated > Volt::ZERO);
    let share = share.map_or(1.0, |(working, rated)| (working.value.abs() / rated).min(1.0));
    rate(CapacitorAtWork { style, capacitance: part.farad()?, stress: share, air, quality: Quality::Commercial })
}

fn of_resistor(part: &Part, stress: &Stress, air: Celsius) -> Option<FailureRate> {
    let style = match body(part.kind) {
        Some(Body::Composition) => ResistorStyle::Composition,
        Some(Body::Wirewound) => ResistorStyle::PowerWirewound,
        Some(Body::CarbonFilm | Body::MetalFilm | Body::MetalFilmSmall) | None => ResistorStyle::Film,
    };
    let rated = part.rating.watts.filter(|w| *w > Watt::ZERO)?;
    let heat = stress.working.zip(part.ohm()).filter(|(_, ohm)| *ohm > Ohm::ZERO);
    let dissipated = heat.map_or(rated, |(working, ohm)| working.value.heat_in(ohm).min(rated));
    let at = ResistorAtWork { style, dissipated, stress: dissipated / rated, case: air, quality: Quality::Commercial };
    resistor(&at, Environment::GroundBenign)
}
