//! The points by which a new part is held to its place: their pages, as `capjob check` and `plan` name them.
//!
//! They are no rules of judging and find nothing on old parts; the room that compares offers applies them.

use super::RuleMeta;
use crate::sources::SourceId;

/// Writes the table of pages: id, title, what, why, where it does not apply, source.
macro_rules! points {
    ($($id:literal, $title:literal, $what:literal, $why:literal, $not_where:literal, $source:ident;)+) => {
        /// The pages of the points of fitting, by id.
        pub static FITTING: &[RuleMeta] = &[$(RuleMeta {
            id: $id,
            title: $title,
            what: $what,
            why: $why,
            not_where: $not_where,
            remedy: "",
            safety: "",
            thresholds: &[],
            sources: &[SourceId::$source],
            owner: None,
        }),+];
    };
}

points! {
    "accept", "What the technician demands",
        "The value, voltage or class written in the accept columns takes the place of the computed one.",
        "The person at the bench knows the set.",
        "It never lowers a class, a voltage or a flameproof need.", OwnDemand;
    "accept-refused", "A demand that would lower safety",
        "A demand below the safe class, voltage or flameproof need is not followed, and the run ends with 1.",
        "No wish trades safety away.",
        "Demands that ask for more.", OwnDemand;
    "balancing", "Balancing resistors",
        "Two capacitors in series get a resistor across each, small enough for their leakage.",
        "Leakages differ, and the one that leaks less takes more than its share of the voltage.",
        "Single parts.", OwnDemand;
    "can-negatives", "Common negative of a can",
        "Sections that share a negative fit only where all of them go to one node.",
        "A can's case is its negative.",
        "Parts with leads of their own.", CanNegatives;
    "cathode-rating", "Rating of a cathode bypass",
        "Rated with a margin over the cathode's working voltage.",
        "The cathode rises when the valve draws more than usual.",
        "Other places.", CathodeRating;
    "cathode-value", "Value of a cathode bypass",
        "More than the marked value is welcome, within a window.",
        "More only carries the bass lower.",
        "Tone and timing places.", CathodeRating;
    "coupling-ht", "Coupling capacitor at the whole HT",
        "Rated for all of the HT that can be at its anode.",
        "With a valve out or cold the whole HT stands across it.",
        "Places without an anode.", CouplingAtHt;
    "designation", "Designation",
        "A valve, lamp, fuse or other named part is the one named.",
        "Another type may have other pins, heater or ratings.",
        "Parts known by value.", UsersEquivalents;
    "equivalent", "Equivalent of the shop's own list",
        "A designation that equivalents.csv allows in the place of another.",
        "The shop has decided on it.",
        "Anything not on the list.", UsersEquivalents;
    "film-value", "Value of a film part",
        "The next standard value of film in the place of the old one.",
        "Old parts had wide tolerances, and the places allow it.",
        "Tuned, tone and timing places.", FilmLatitude;
    "first-capacitor", "The first capacitor",
        "No more than the rectifier's limit; a little above the marked value where that is not known.",
        "More capacitance means higher charging peaks, which valves and transformers do not forgive.",
        "Nodes behind a choke or resistor.", FirstCapacitor;
    "first-capacitor-unknown", "The first capacitor, limit not known",
        "The rectifier's limit is not in rectifiers.csv: look it up in the data sheet.",
        "A guessed limit can cost the rectifier.",
        "Silicon rectifiers with a limit given.", FirstCapacitor;
    "flameproof", "Flameproof resistor",
        "A dropper or other hot or feeding resistor is of a flameproof kind.",
        "When a valve or capacitor shorts, it is the resistor that burns.",
        "Signal resistors.", FlameproofPlaces;
    "fusible", "Fusible resistor",
        "Replaced by a fusible resistor of the same value and watts, not stronger.",
        "It is the fuse of its branch.",
        "Other resistors.", FusibleSheet;
    "heater", "Heater of a substitute valve",
        "Voltage and current of the heater agree.",
        "In a series chain one other current upsets all voltages.",
        "Parts without a heater.", LampCurrent;
    "kinds", "Kinds that may stand in",
        "Film for paper, flameproof film for composition, and so on.",
        "Some kinds fail in a way that the place cannot bear.",
        "Nothing: every place has its kinds.", SubstituteKinds;
    "lamp-current", "Current of a lamp",
        "A lamp in a series chain has the current of the one it stands in for.",
        "It carries the heater current of the chain.",
        "Lamps on a winding of their own.", LampCurrent;
    "lead-style", "Mounting",
        "Axial or radial leads for tag strips; snap-in where the line or the shop allows it.",
        "A part that cannot be held breaks its leads.",
        "Places whose style column says otherwise.", LeadStyles;
    "life", "Years that a new part should last",
        "Endurance at the heat and ripple of the place against the years wanted.",
        "Heat halves the life of an electrolytic with every 10 °C.",
        "Parts without a wet electrolyte.", LifeCeiling;
    "mains-value", "Value of a mains part",
        "The marked value or the next standard one; towards the chassis never more.",
        "More capacitance to the chassis is more current through the person touching it.",
        "Parts away from the mains.", FilmLatitude;
    "mains-voltage", "AC rating on the mains",
        "Rated for the highest mains voltage.",
        "The mains is there day and night.",
        "Parts away from the mains.", MainsClasses;
    "matched", "Matched pieces",
        "Pieces of a pair are bought as one number, with more to select from.",
        "Halves of a pair must agree.",
        "Single parts.", MatchedPairs;
    "never-below-original", "Never below the original",
        "No rating of a new part is below that of the old one.",
        "The maker had a reason that may not be seen.",
        "Nothing.", OriginalRating;
    "no-gain", "More than has any use",
        "More than twice the value at a later node: it fits, but brings nothing.",
        "It costs room and money, and strains the rectifier at switch-on.",
        "First capacitors, which have a limit.", SmoothingLatitude;
    "non-polarised", "Polarity",
        "A signal place gets a part without polarity.",
        "A polarised part set the wrong way round is destroyed and may burst.",
        "Places with a known plus.", SignalPolarity;
    "old-stock", "Age of new stock",
        "An electrolytic that has lain long on a shelf is to be reformed, a very old one not bought.",
        "It loses its oxide while it lies.",
        "Film, mica and ceramic parts.", OldStock;
    "output-anode", "Capacitor at an output anode",
        "Rated at a multiple of the HT.",
        "The transformer lifts the anode far above the HT.",
        "Other places.", OutputAnodeRating;
    "place-assumed", "Place not given",
        "The hardest place that the part may have is taken.",
        "Missing is not harmless.",
        "Parts with a place.", OwnDemand;
    "rectifier-duty", "What a rectifier bears",
        "Inverse voltage, direct current, peaks and surge, computed from the supply.",
        "What the marked type cannot be had for is looked for by these.",
        "Supplies that are not computed: said so.", RectifierDuty;
    "rectifier-limits", "Limits of a rectifier",
        "First capacitance, current and source resistance within the limits of the type.",
        "Peaks beyond the limits wear the cathode or strike an arc.",
        "Types without limits in rectifiers.csv: said so.", FirstCapacitor;
    "resistor-power", "Watts of a resistor",
        "A multiple of the heat in it.",
        "A resistor at its rating is hot enough to burn fingers and board.",
        "Fusible resistors.", BenchShares;
    "resistor-value", "Value of a resistor",
        "Within a few percent of the marked value.",
        "Droppers, loads and bias set the working point.",
        "Values that the technician demands.", ResistorValues;
    "ripple", "Ripple current",
        "The rating, with its factors by frequency, is above what flows.",
        "Ripple current heats an electrolytic from inside.",
        "Places where ripple is not known: said so.", RippleSum;
    "selenium-silicon", "Silicon for selenium",
        "What silicon does to the HT, and the resistor in series that brings it back.",
        "Silicon drops less, so that the HT rises.",
        "Other rectifiers.", SeleniumPractice;
    "series-chain", "Series heater chain",
        "The part sits in a chain of heaters fed in series.",
        "One part decides the current of all.",
        "Sets with a heater winding.", LampCurrent;
    "signal-value", "Value in a signal place",
        "Within a window around the marked value.",
        "It shapes the response.",
        "Supply places.", SignalValues;
    "smoothing-window", "Value at a later node",
        "From a little under to twice the marked value.",
        "More only smooths better, up to where it brings nothing.",
        "First capacitors.", SmoothingLatitude;
    "space", "Space",
        "Diameter and length within what has room; a size not stated is not checked, and said so.",
        "A part that touches its neighbour or a hot valve will not last.",
        "Lines without max_diameter_mm and max_length_mm.", LeadStyles;
    "temperature", "Temperature rating",
        "A 105 °C part where it is hot.",
        "The life at the place hangs on it.",
        "Cool places.", HotPlace;
    "touch-current", "Current through a person",
        "What a line-to-chassis or aerial capacitor lets through stays under the limit.",
        "It flows through whoever touches the set.",
        "Parts away from the mains.", MainsClasses;
    "value", "Value",
        "The capacitance is within the window of its place.",
        "Each place has its own latitude.",
        "Nothing.", FilmLatitude;
    "voltage-highest", "Highest voltage",
        "Rated for the most that can be there, switch-on and high mains included.",
        "Before the valves draw current the HT rises to its peak.",
        "Places where it is not known: see voltage-unproved.", HighestVoltage;
    "voltage-margin", "Little room to the rating",
        "It fits, but works near its rating.",
        "Life and safety grow with the room that is left.",
        "Parts with room.", HighestVoltage;
    "voltage-unproved", "Highest voltage not proved",
        "Neither winding nor measurement gives it: only the original rating bounds the new one.",
        "The original may have been too low.",
        "Places with a computed or measured figure.", HighestVoltage;
}
