//! The trade's words that differ between the two sides of the ocean.

use crate::model::shop::WordSet;

/// One side's words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Terms {
    /// One valve.
    pub valve: &'static str,
    /// Several of them.
    pub valves: &'static str,
    /// The high-tension supply.
    pub ht: &'static str,
    /// The anode.
    pub anodes: &'static str,
    /// The safety earth.
    pub earth: &'static str,
    /// The mains lead.
    pub mains_lead: &'static str,
    /// A heater, before a word such as voltages.
    pub heater: &'static str,
}

impl Terms {
    /// The words of one side.
    pub const fn of(words: WordSet) -> Self {
        match words {
            WordSet::Uk => Self {
                valve: "valve",
                valves: "valves",
                ht: "HT",
                anodes: "anodes",
                earth: "earth",
                mains_lead: "mains lead",
                heater: "heater",
            },
            WordSet::Us => Self {
                valve: "tube",
                valves: "tubes",
                ht: "B+",
                anodes: "plates",
                earth: "ground",
                mains_lead: "line cord",
                heater: "filament",
            },
        }
    }
}
