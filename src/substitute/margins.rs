//! The figures of choosing that a shop may set under `[margins]`, with their defaults and sources.

use crate::limits::derating::ELECTROLYTIC_WORKING;
use crate::model::shop::Shop;
use crate::sources::SourceId;

/// One figure that a shop may set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margin {
    /// Key under `[margins]`.
    pub key: &'static str,
    /// The default.
    pub default: f64,
    /// Unit; empty for a bare factor.
    pub unit: &'static str,
    /// What it sets, in words.
    pub what: &'static str,
    /// Where the default comes from.
    pub source: SourceId,
}

impl Margin {
    /// The shop's figure, else the default.
    pub fn of(&self, shop: &Shop) -> f64 {
        shop.margins.get(self.key).unwrap_or(self.default)
    }
}

/// Defines the figures and the list of all of them.
macro_rules! margins {
    ($($(#[$doc:meta])* $name:ident = $key:literal, $default:expr, $unit:literal, $source:expr, $what:literal;)+) => {
        $(
            $(#[$doc])*
            pub const $name: Margin =
                Margin { key: $key, default: $default, unit: $unit, what: $what, source: $source };
        )+

        /// Every figure of choosing that a shop may set, but for those that it shares with the
        /// rules of judging: `working-voltage`, `mains-touch` and `mains-touch.capacitance`.
        pub const MARGINS: &[Margin] = &[$($name),+];
    };
}

margins! {
    /// Rating of a cathode bypass.
    CATHODE_RATING = "cathode-rating", 1.25, "", SourceId::CathodeRating,
        "rating of a new cathode bypass over the cathode's working voltage";
    /// Rating at an output anode.
    OUTPUT_ANODE = "output-anode", 3.0, "", SourceId::OutputAnodeRating,
        "rating of a new capacitor at an output anode over the HT";
    /// First capacitor without a known limit.
    FIRST_CAPACITOR = "first-capacitor", 40.0, "%", SourceId::FirstCapacitor,
        "how far a new first capacitor may be above the marked one where the rectifier's limit is not known";
    /// Window of a resistor.
    RESISTOR_VALUE = "resistor-value", 5.0, "%", SourceId::ResistorValues,
        "how far a new resistor may be from the marked value";
    /// Watts of a resistor.
    RESISTOR_POWER = "resistor-power", 2.0, "", SourceId::BenchShares,
        "watts of a new resistor over the heat in it";
    /// Hot places.
    TEMPERATURE = "temperature", 60.0, "°C", SourceId::HotPlace,
        "heat above which a new electrolytic is a 105 °C part";
    /// Use of a ripple rating.
    RIPPLE = "ripple", 100.0, "%", SourceId::RippleSum,
        "share of its ripple rating that a new electrolytic may carry";
    /// Reservoirs without a ripple rating.
    RIPPLE_MISSING = "ripple.missing", 0.0, "", SourceId::FirstCapacitor,
        "1: a part without a ripple rating may be a reservoir, with caution";
    /// Age of new stock.
    OLD_STOCK = "old-stock", 2.0, "years", SourceId::OldStock,
        "age up to which an electrolytic for sale is as new";
    /// End of shelf life.
    OLD_STOCK_END = "old-stock.end", 10.0, "years", SourceId::CdeReforming,
        "age above which an electrolytic for sale is refused";
}

/// Share of its rating that an electrolytic should work at, and each part of a string may see.
pub fn working_share(shop: &Shop) -> f64 {
    shop.margins.get("working-voltage").map_or(ELECTROLYTIC_WORKING.value, |percent| percent / 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn keys_are_unique() {
        let keys: BTreeSet<&str> = MARGINS.iter().map(|m| m.key).collect();
        assert_eq!(keys.len(), MARGINS.len());
    }
}
