//! The resistors across two capacitors in series.

use crate::limits::Limit;
use crate::model::kind::PartKind;
use crate::model::need::{Need, PointKind, Why};
use crate::model::shop::Article;
use crate::physics::series_string::{balancing_resistance, settled_worst_volts};
use crate::sources::SourceId;
use crate::substitute::need::preferred::e12_at_or_below;
use crate::units::{Ampere, Ohm, Tolerance, Volt, Watt};

/// Tolerance of a capacitor whose catalog line states none.
const ASSUMED_TOLERANCE: Tolerance = Tolerance::symmetric(20.0);
/// Preferred values tried, from the largest allowed down.
const STEPS: usize = 4;
/// Most heat in each resistor; more belongs in another capacitor, not in the chassis.
const MOST_HEAT: Watt = Watt::new(1.5);
/// Factor of a resistor's rating over its heat.
const WATTS_FACTOR: f64 = 2.0;
/// Leakage of a new part where the catalog states none: share of C·V in µA for µF·V, and what is added.
const LEAKAGE: Limit<(f64, f64)> = Limit::new((0.06, 10.0), SourceId::PairLeakage, "new electrolytic, µA");

/// The largest resistor across each of two of these capacitors on this bus, and what follows from it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// The most that can stand across both.
    pub bus: Volt,
    /// Largest difference of leakage: one part with none, the other at its limit.
    pub spread: Ampere,
    /// Largest resistance.
    pub most: Ohm,
}

/// The balancing resistors of two of these capacitors; `None` where the string cannot bear the bus
/// or no resistor of reasonable heat holds it.
pub fn resistor(article: &Article, bus: Volt) -> Option<Balance> {
    let rated = article.volts?;
    let spread = leakage(article)?;
    let most = balancing_resistance(2, rated, bus, spread)?.value;
    let balance = Balance { bus, spread, most };
    balance.values().next().map(|_| balance)
}

/// The leakage limit as stated, else by the maker's line.
fn leakage(article: &Article) -> Option<Ampere> {
    if article.leakage.is_some() {
        return article.leakage;
    }
    let (factor, added) = LEAKAGE.value;
    let cv_uf_v = article.farad()?.micro() * article.volts?.get();
    Some(Ampere::new((factor * cv_uf_v + added) * 1e-6))
}

/// Share of the bus on the smaller of two capacitors at switch-on, by their tolerance.
pub fn worst_share(article: &Article) -> Option<f64> {
    let tolerance = article.tolerance.unwrap_or(ASSUMED_TOLERANCE);
    let (low, high) = (1.0 - tolerance.minus_percent / 100.0, 1.0 + tolerance.plus_percent / 100.0);
    // Charge is equal on both, so the voltages are as the other's capacitance.
    (low > 0.0).then(|| high / (low + high))
}

impl Balance {
    /// Preferred values that hold the string, largest first.
    fn values(&self) -> impl Iterator<Item = Ohm> {
        e12_at_or_below(self.most, STEPS).into_iter().filter(|r| self.heat(*r) <= MOST_HEAT)
    }

    /// Heat in one resistor.
    pub fn heat(&self, resistance: Ohm) -> Watt {
        (self.bus / 2.0).heat_in(resistance)
    }

    /// The needs that a resistor may meet: any of them will do, both resistors alike.
    pub fn needs(&self, reference: &str) -> Vec<Need> {
        self.values().map(|value| self.need(reference, value)).collect()
    }

    /// What the resistor of this value must be.
    fn need(&self, reference: &str, value: Ohm) -> Need {
        let heat = self.heat(value);
        let across = settled_worst_volts(2, self.bus, value, self.spread).unwrap_or(self.bus);
        let why = |point, rule, source, says| Why { point, rule, says, source };
        let mut need = empty(reference);
        need.ohm = Some((value * 0.99, (value * 1.01).min(self.most)));
        need.ohm_nominal = Some(value);
        need.tolerance_max_percent = Some(((self.most / value - 1.0) * 100.0).min(10.0));
        need.volts_min = Some(across);
        need.watts_min = Some(heat * WATTS_FACTOR);
        need.why = vec![
            why(
                PointKind::Value,
                "balancing",
                SourceId::OurBalancing,
                format!(
                    "at most {} for {} on {} of leakage spread, tolerance included",
                    self.most, self.bus, self.spread
                ),
            ),
            why(
                PointKind::Watts,
                "resistor-power",
                SourceId::BenchShares,
                format!("{WATTS_FACTOR} × the {heat} in each"),
            ),
            why(PointKind::Voltage, "resistor-voltage", SourceId::MilPrf39005, format!("{across} across it at worst")),
        ];
        need
    }
}

/// A need for a resistor that asks nothing yet.
fn empty(reference: &str) -> Need {
    Need {
        reference: reference.to_owned(),
        place: Some(crate::model::kind::Place::Balancing),
        kinds: vec![PartKind::MetalFilm, PartKind::CarbonFilm, PartKind::Wirewound],
        designations: Vec::new(),
        farad: None,
        farad_nominal: None,
        farad_limit: None,
        ohm: None,
        ohm_nominal: None,
        tolerance_max_percent: None,
        volts_min: None,
        working: None,
        vac_min: None,
        watts_min: None,
        ripple: None,
        temp_min: None,
        ambient: None,
        life_min: None,
        class: None,
        styles: Vec::new(),
        max_diameter: None,
        max_length: None,
        polarised_ok: true,
        flameproof: false,
        matched: 1,
        why: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::part::Value;
    use crate::substitute::testing::capacitor;

    fn near(got: f64, due: f64, relative: f64) -> bool {
        (got - due).abs() <= relative * due.abs()
    }

    // Acceptance figures for two 47 µF 350 V parts on 548 V: 0.997 mA, 152 k at most, 120 k, 0.63 W.
    #[test]
    fn two_of_350_v_on_548_v() {
        let article = capacitor(47.0, 350.0);
        let balance = resistor(&article, Volt::new(548.0)).unwrap();
        assert!(near(balance.spread.get(), 0.997e-3, 1e-3));
        assert!(near(balance.most.get(), 152_000.0, 5e-3));
        let needs = balance.needs("C7");
        let fits = |ohm: f64, percent: f64| {
            needs.iter().any(|n| {
                let (least, most) = n.ohm.unwrap();
                least.get() <= ohm && ohm <= most.get() && percent <= n.tolerance_max_percent.unwrap()
            })
        };
        assert!(fits(120_000.0, 5.0) && !fits(150_000.0, 5.0) && !fits(180_000.0, 1.0));
        assert!(near(balance.heat(Ohm::new(120_000.0)).get(), 0.63, 0.01));
    }

    // Acceptance figures for 47 µF 450 V on 640 V: 1.279 mA, 203 k at most, 180 k, 0.57 W.
    #[test]
    fn two_of_450_v_on_640_v() {
        let balance = resistor(&capacitor(47.0, 450.0), Volt::new(640.0)).unwrap();
        assert!(near(balance.spread.get(), 1.279e-3, 1e-3));
        assert!(near(balance.most.get(), 203_000.0, 5e-3));
        assert!(near(balance.heat(Ohm::new(180_000.0)).get(), 0.57, 0.01));
        // 350 V parts would need 60 k or less, over 1.8 W each.
        assert_eq!(resistor(&capacitor(47.0, 350.0), Volt::new(640.0)), None);
    }

    // ±20 % parts give one of them 60 % of the bus.
    #[test]
    fn sharing_at_switch_on() {
        assert!(near(worst_share(&capacitor(47.0, 350.0)).unwrap(), 0.60, 1e-9));
        let mut article = capacitor(47.0, 350.0);
        article.tolerance = Some(Tolerance::symmetric(10.0));
        assert!(near(worst_share(&article).unwrap(), 0.55, 1e-9));
        article.value = Some(Value::Ohm(Ohm::new(1.0)));
        assert_eq!(resistor(&article, Volt::new(500.0)), None);
    }
}
