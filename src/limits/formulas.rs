//! The formulas of the handbook as text: form, units, range, source; `docs/formulas.md` is made
//! from this list.

use crate::sources::SourceId;

/// One formula as it is printed and documented.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Formula {
    /// Heading that it stands under.
    pub about: &'static str,
    /// What it gives.
    pub gives: &'static str,
    /// The formula or rule.
    pub form: &'static str,
    /// Units and where it holds.
    pub range: &'static str,
    /// Where it is from.
    pub source: SourceId,
}

/// Defines the list from headings and the lines below them.
macro_rules! formulas {
    ($($about:literal { $($gives:literal => $form:literal, $range:literal, $source:expr;)+ })+) => {
        /// Every formula, in the order of the handbook.
        pub const FORMULAS: &[Formula] = &[$($(
            Formula { about: $about, gives: $gives, form: $form, range: $range, source: $source },
        )+)+];
    };
}

formulas! {
    "Loss factor and ESR of electrolytics" {
        "ESR" => "tan δ / (2π·f·C)", "Ω, Hz, F; self-inductance ignored", SourceId::ElectrolyticArticle;
        "loss factor of a new part" => "table by rated voltage; next higher entry between", "20 °C, 120 Hz", SourceId::RgaSheet;
        "loss factor above 1000 µF" => "+0.02 for each whole 1000 µF above 1000 µF", "whole steps are our reading", SourceId::RgaSheet;
        "loss factor above 450 V" => "that of 450 V", "no published limit", SourceId::OurElectrolyticRule;
        "worst ESR of a used part" => "2 × ESR of a new part", "18 to 28 °C, out of circuit", SourceId::OurElectrolyticRule;
        "ESR limit at another frequency" => "ESR(120 Hz) · (m(120)/m(f))²", "from 50 Hz; m is the ripple multiplier", SourceId::CircuitLaw;
        "verdict on capacitance" => "flag below 0.80, replace below 0.70 of nominal", "used parts", SourceId::OurElectrolyticRule;
        "doubt of a high reading" => "from 1.30 of nominal, measure leakage first", "old parts", SourceId::RetronicsPage;
        "surge voltage" => "1.15·Vr up to 315 V, 1.10·Vr above", "not a working rating", SourceId::ElectrolyticArticle;
        "reading with a path beside it" => "R1·R2 / (R1+R2)", "in circuit a good part hides a bad one", SourceId::CircuitLaw;
    }
    "Leakage" {
        "limit of a new part up to 100 V" => "max(0.01·C·V, 3)", "µA, µF, V; after 2 min", SourceId::RgaSheet;
        "limit of a new part above 100 V" => "0.03·C·V + 15 up to CV 1000, else 0.02·C·V + 25", "µA, µF, V; after 5 min", SourceId::RgaSheet;
        "generic limit of a new part" => "0.01·C·V + 3", "µA, µF, V; after 2 or 5 min", SourceId::ElectrolyticArticle;
        "limit of a long-life part" => "0.3·(C·V)^0.7 + 4", "µA, µF, V; after 5 min", SourceId::LongLifeLeakage;
        "limit of an old part" => "K·C + 0.3, at most 10; K 0.01, 0.02, 0.025, 0.04 up to 100, 250, 350, 500 V", "mA, µF; 3 to 500 V, after 3 min; never for new parts", SourceId::JanC62;
        "leakage when warm" => "I20 · 4^((T-20)/65)", "°C; good to a quarter; the curve is ours", SourceId::ElectrolyticArticle;
        "leakage below rated voltage" => "Ir · (V/Vr)^1.94", "near the rating only; good to a quarter; the curve is ours", SourceId::ElectrolyticArticle;
        "least resistance of a paper bypass" => "20 × the resistance that it shunts", "screen and AGC", SourceId::PaperLeakage;
        "shift of a grid" => "V·Rg / (Rg + Rleak)", "V, Ω", SourceId::CircuitLaw;
        "coupling capacitor by the next grid" => "above 10 % of the bias replace at once, up to 1 % or 20 mV keep", "dc, valve cold or out; defaults", SourceId::CouplingShift;
        "paper kept for looks" => "under 3 µA", "at working voltage", SourceId::PaperKept;
    }
    "Life of sound, powered electrolytics" {
        "10 K rule" => "L0 · 2^((T0-T)/10)", "h, °C; best from 70 to 90 °C", SourceId::TenKelvinRule;
        "voltage and core" => "Lb·(4.3 - 3.3·Va/Vr)·2^((Tm-Tc)/10)", "h, °C; Va/Vr 0 to 1", SourceId::CdeLife;
        "one maker's model" => "L0·2^((T0-Ta)/10)·Ki^((1-(I/Ir)²)·dT0/10)·KV; KV = (U/Ur)^-2.5 from 0.6, else 3.59", "Ki 2, or 4 above the rated current on 105 °C parts", SourceId::JianghaiLife;
        "another maker's model" => "Lb·2^((Tmax-Ta)/10)·2^(r0/(10-r0/4) - r/(10-r/4)), r = r0·(I/(F·I0))²", "rise r below 40 K", SourceId::RubyconLife;
        "air from case" => "Tc - r/α, α 1.0 to 1.6 by diameter", "up to 35 mm", SourceId::RubyconLife;
        "changing conditions" => "Σt / Σ(t/L)", "h", SourceId::CoselDuty;
        "ceiling" => "131,400 h", "every model; never printed for an old stored part", SourceId::LifeCeiling;
        "age without a reading" => "suspect above 30 years", "default; restorers differ", SourceId::AgePolicy;
        "stock on the shelf" => "check or reform after 2 years", "makers say 2 to 3", SourceId::ShelfLife;
    }
    "Ripple current" {
        "multiplier by frequency" => "table by rated voltage and frequency", "from 50 Hz; against 100 Hz", SourceId::Vishay28340;
        "between the points" => "linear in the logarithm of frequency; linear in temperature", "25 to 40 V: the smaller of both bands", SourceId::OurInterpolation;
        "current of several frequencies" => "√Σ(I/k)²", "A at 100 Hz", SourceId::RippleSum;
        "multiplier by temperature, 85 °C cans" => "table, 1.0 at 85 °C to 2.5 at 35 °C", "spends the life gained by running cooler", SourceId::GeRippleTemperature;
        "multiplier by temperature, others" => "table by series", "spends the life gained by running cooler", SourceId::RubyconLife;
    }
    "Capacitors in series" {
        "balancing resistor" => "(N·Vm - Vb) / ((N-1)·dI)", "Ω, at most, across each part; the form without N-1 is unsafe from three parts on", SourceId::OurBalancing;
        "balancing resistor of two parts" => "(2·Vm - Vb) / (0.0015·C·Vb)", "MΩ, V, µF", SourceId::CdeBalancing;
        "usual balancing resistor" => "220 kΩ across each can", "not computed", SourceId::BalancingPractice;
        "sharing at switch-on" => "Vi = Vb·C/Ci, 1/C = Σ1/Ci", "before the resistors act", SourceId::CircuitLaw;
    }
    "Reforming" {
        "recent parts" => "100 Ω up to 100 V, 1 kΩ above; 1 h at rated voltage", "never unknown old parts", SourceId::Eia815;
        "recent parts, a maker" => "1 kΩ, 30 min at rated voltage", "never unknown old parts", SourceId::PanasonicReforming;
        "re-ageing" => "10 kΩ up to 75 V, 100 kΩ above; 1 mA at most; 4 h at full voltage", "voltage raised slowly", SourceId::CdeReforming;
        "surplus trade" => "20 to 50 kΩ; 5 min + 1 min for each stored month; drop below 10 % after 1 h", "rated voltage", SourceId::SurplusReforming;
        "amateur practice" => "90 kΩ at 450 V until the leakage limit is met", "5 mA into a short", SourceId::AmateurReforming;
        "old parts of unknown state" => "100 kΩ (10 kΩ up to 75 V), 5 W; stop when warm or not falling in 1 h", "then judge leakage and loss", SourceId::OurReforming;
    }
    "Shares of a rating" {
        "resistor power" => "share of rating, linear to zero at a derated point", "table by style", SourceId::MilStd975;
        "resistor voltage" => "min(0.8·Vspec, √(P·R))", "P after the share", SourceId::MilStd975;
        "capacitor voltage" => "share of rating, linear from 70 °C to the top", "table by style; no aluminium, mica, paper", SourceId::MilStd975;
        "resistor power, naval" => "half the rating", "the body's voltage limit still holds", SourceId::NavseaResistors;
        "peak with no load" => "√2·Vsec·m", "V rms; m = mains over nominal", SourceId::CircuitLaw;
        "high mains" => "m = 1.10", "allowance on nominal", SourceId::MainsTolerance;
        "least rating of a capacitor" => "the highest voltage that can be there", "warm-up and no load included", SourceId::HighestVoltage;
        "working share of an HT electrolytic" => "flag above 0.80, too much above 0.90", "of rated voltage", SourceId::BenchShares;
        "working share of film, tantalum, resistor volts" => "0.60, 0.50, 0.80", "preferred", SourceId::BenchProfile;
        "rating of a cathode bypass" => "2 × bias", "V", SourceId::CathodeBypassPractice;
    }
    "Failure rates, for ranking only" {
        "capacitor" => "λ = lb·πT·πC·πV·πSR·πQ·πE", "failures in 10⁶ h; stress 0 to 1", SourceId::MilHdbk217;
        "resistor" => "λ = lb·πT·P^0.39·πS·πQ·πE", "failures in 10⁶ h; P dissipated, W", SourceId::MilHdbk217;
    }
    "Mains side" {
        "class by place" => "line to chassis Y; across the line X or Y", "never a plain film or paper part", SourceId::MainsClasses;
        "impulse test" => "X1 4, X2 2.5, Y1 8, Y2 5, Y4 2.5 kV; X1, X2, Y2 divided by √C above 1 µF", "C in µF", SourceId::Iec60384Part14;
        "working voltage of Y classes" => "Y1 500, Y2 300, Y4 below 150 V", "ac", SourceId::MainsClassRanges;
        "touch current" => "2π·f·C·U, at most 0.5 mA", "A rms", SourceId::Iec62368;
        "touch check" => "0.75 V across 1.5 kΩ beside 0.15 µF is 0.5 mA", "V rms, both plug ways; one maker asks for 0.35 V", SourceId::TouchCheck;
        "capacitance to an unearthed chassis" => "4.7 nF in all, less if the touch current asks", "F", SourceId::OurChassisCapacitance;
        "charge left on a capacitor" => "table by capacitance with tolerance, linear between", "V; ES1, twice for ES2", SourceId::Iec62368;
        "discharge across the mains" => "R·C ≤ 1 s (plug A), 10 s (plug B) above 0.1 µF", "s", SourceId::Iec60950;
        "plug pins of older audio gear" => "safe 2 s after unplugging", "V", SourceId::Iec60065;
        "touch check by one maker" => "0.35 V", "the same network", SourceId::TouchCheckStrict;
    }
    "Stored charge" {
        "energy" => "C·U²/2", "J", SourceId::CircuitLaw;
        "time to discharge" => "R·C·ln(V0/Vs)", "s; with the plus tolerances of R and C", SourceId::CircuitLaw;
        "what comes back" => "0.10 to 0.15 of the first voltage", "non-solid electrolytics left open", SourceId::ElectrolyticArticle;
        "hazard by energy" => "above 100 J below 100 V, 1 J from 100 V, 0.25 J from 400 V", "J", SourceId::Nfpa70e;
        "hazard by energy, superseded" => "above 100 J below 100 V, from 10 J at 100 V and more", "for comparison", SourceId::DoeHazard;
        "machinery and instruments" => "60 V in 5 s, plugs 1 s", "V", SourceId::Iec60204;
        "instruments" => "60 V or 45 µC in 5 s", "V, C", SourceId::Iec61010;
        "shock by voltage" => "50 V", "V ac", SourceId::ShockThreshold;
        "before touching" => "through about 100 kΩ, then measured under 10 V, jumper left on", "V", SourceId::BeforeTouching;
    }
    "Resistors" {
        "voltage" => "min(√(P·R), limit of the body)", "V", SourceId::MilPrf39005;
        "resistance where the limit takes over" => "U²/P", "Ω", SourceId::CircuitLaw;
        "power by temperature" => "full to 70 °C, zero at 130 °C (composition), 155 °C (film)", "W", SourceId::CompositionSheet;
        "power by temperature, wirewound" => "full to 25 °C, zero at 275 °C", "W", SourceId::MilR39007;
        "life test of composition" => "fails beyond 15 %", "half load, 70 °C", SourceId::MilR39008;
        "verdict on drift" => "pass within tolerance; replace above max(15 %, 2·tolerance); any fall beyond tolerance is replaced", "share of the marked value", SourceId::OurDriftRule;
        "drift by place" => "20 % in general, 10 % for bias, screen, HT and above 470 kΩ, 5 % for pairs", "defaults; restorers differ", SourceId::DriftByPlace;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_are_not_torn_apart() {
        let mut seen: Vec<&str> = Vec::new();
        for formula in FORMULAS {
            if seen.last() != Some(&formula.about) {
                assert!(!seen.contains(&formula.about), "{} stands in two places", formula.about);
                seen.push(formula.about);
            }
        }
        assert_eq!(seen.len(), 11);
    }
}
