//! The mains side: which class may stand where, touch current, and what charge may be left.

use std::f64::consts::PI;

use super::interpolate::linear;
use super::within;
use crate::limits::Limit;
use crate::limits::mains::{
    CHASSIS_CAPACITANCE, CLASS_ACROSS_LINE, CLASS_TO_CHASSIS, DISCHARGE_EXEMPT, DISCHARGE_PLUG_A, DISCHARGE_PLUG_B,
    ES1_AC, ES1_CHARGED, ES1_CURRENT_AC, ES1_DC, ES2_CHARGED_RATIO, IMPULSE_FALLS_FROM, IMPULSE_X1, IMPULSE_X2,
    IMPULSE_Y1, IMPULSE_Y2, IMPULSE_Y4, TOUCH_CHECK_CAPACITOR, TOUCH_CHECK_RESISTOR, WORKING_Y1, WORKING_Y2,
    WORKING_Y4,
};
use crate::units::{Ampere, Farad, Hertz, Ohm, Second, Volt};

/// Class of a capacitor made for the mains side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MainsClass {
    /// Across the line, 4 kV impulse.
    X1,
    /// Across the line, 2.5 kV impulse.
    X2,
    /// Line to chassis, 8 kV impulse.
    Y1,
    /// Line to chassis, 5 kV impulse.
    Y2,
    /// Line to chassis below 150 V, 2.5 kV impulse.
    Y4,
}

/// Place of a capacitor on the mains side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MainsPlace {
    /// From a mains conductor to chassis, earth or anything that can be touched.
    LineToChassis,
    /// From one mains conductor to the other.
    AcrossLine,
}

impl MainsClass {
    /// Whether the class is one of the Y classes.
    pub const fn is_y(self) -> bool {
        matches!(self, Self::Y1 | Self::Y2 | Self::Y4)
    }

    /// Whether this class may stand where `wanted` is called for: Y only for Y, and never one
    /// with a lower impulse test. The working voltage is held against the part's own apart.
    pub fn serves(self, wanted: Self) -> bool {
        let tested = |class| impulse_test(class, Farad::ZERO).value;
        (self.is_y() || !wanted.is_y()) && tested(wanted) <= tested(self)
    }

    /// Whether the class may stand in this place at all.
    pub const fn allowed_at(self, place: MainsPlace) -> bool {
        match place {
            MainsPlace::LineToChassis => self.is_y(),
            MainsPlace::AcrossLine => true,
        }
    }

    /// Highest working voltage, from memory; `None` for the X classes, which state their own.
    pub const fn highest_working(self) -> Option<Limit<Volt>> {
        match self {
            Self::X1 | Self::X2 => None,
            Self::Y1 => Some(WORKING_Y1),
            Self::Y2 => Some(WORKING_Y2),
            Self::Y4 => Some(WORKING_Y4),
        }
    }
}

/// The class letter called for at a place: a failure from line to chassis could give a shock.
pub const fn class_letter(place: MainsPlace) -> Limit<&'static str> {
    match place {
        MainsPlace::LineToChassis => CLASS_TO_CHASSIS,
        MainsPlace::AcrossLine => CLASS_ACROSS_LINE,
    }
}

/// Impulse test voltage of a class; for X1, X2 and Y2 it falls with the root of C above 1 µF.
pub fn impulse_test(class: MainsClass, capacitance: Farad) -> Limit<Volt> {
    let (limit, falls) = match class {
        MainsClass::X1 => (IMPULSE_X1, true),
        MainsClass::X2 => (IMPULSE_X2, true),
        MainsClass::Y1 => (IMPULSE_Y1, false),
        MainsClass::Y2 => (IMPULSE_Y2, true),
        MainsClass::Y4 => (IMPULSE_Y4, false),
    };
    let excess = (capacitance / IMPULSE_FALLS_FROM.value).max(1.0);
    limit.map(|volts| if falls { volts / excess.sqrt() } else { volts })
}

/// Current from the mains through a capacitor to a touched chassis: `2π·f·C·U`.
pub fn touch_current(capacitance: Farad, mains: Volt, frequency: Hertz) -> Ampere {
    Ampere::new(2.0 * PI * frequency.get() * capacitance.get() * mains.get())
}

/// The touch current that may not be passed, ac rms.
pub const fn touch_current_limit() -> Limit<Ampere> {
    ES1_CURRENT_AC
}

/// Touch current seen as a voltage across the network of the touch check, 1.5 kΩ beside 0.15 µF.
///
/// The check is done on the mains without an isolating transformer: for qualified persons only.
pub fn touch_current_from_check(reading_rms: Volt, frequency: Hertz) -> Ampere {
    let through_resistor = reading_rms / TOUCH_CHECK_RESISTOR.value;
    let through_capacitor = touch_current(TOUCH_CHECK_CAPACITOR.value, reading_rms, frequency);
    Ampere::new(through_resistor.get().hypot(through_capacitor.get()))
}

/// Most capacitance in all from the mains to an unearthed chassis: our 4.7 nF, or less where the
/// touch current would pass its limit. `None` when mains or frequency are not positive.
pub fn chassis_capacitance_limit(mains: Volt, frequency: Hertz) -> Option<Limit<Farad>> {
    if !(mains > Volt::ZERO && frequency > Hertz::ZERO) {
        return None;
    }
    let by_current = Farad::new(ES1_CURRENT_AC.value.get() / (2.0 * PI * frequency.get() * mains.get()));
    let ours = CHASSIS_CAPACITANCE;
    Some(if ours.value <= by_current { ours } else { ES1_CURRENT_AC.map(|_| by_current) })
}

/// What one part may have of a capacitance that several share: an equal share, and what those leave over that
/// want less. `own` and `others` are the most that each would be fitted with.
pub fn share_of(all: Farad, own: Farad, others: &[Farad]) -> Farad {
    if others.is_empty() {
        return all;
    }
    let mut wants: Vec<Farad> = others.iter().copied().chain([own]).collect();
    wants.sort_by(|a, b| a.get().total_cmp(&b.get()));
    let (mut rest, mut waiting) = (all, wants.len());
    for want in wants {
        #[expect(clippy::cast_precision_loss, reason = "a handful of parts")]
        let equal = rest / waiting as f64;
        if equal < want {
            return own.min(equal);
        }
        rest = rest - want;
        waiting -= 1;
    }
    own
}

/// Voltage that a charged capacitor may keep to count as ES1, straight between the published
/// points. The capacitance is the nominal one with its plus tolerance (`0.2` for 20 %).
///
/// Below 4 nF the 1000 V of 4 nF hold. `None` for a value that is not positive.
pub fn es1_charged(nominal: Farad, plus_tolerance: f64) -> Option<Limit<Volt>> {
    let largest = nominal * (1.0 + plus_tolerance);
    let points = ES1_CHARGED.value.iter().map(|(c, volts)| (c.get(), volts.get()));
    linear(points, largest.get()).filter(|_| largest > Farad::ZERO).map(|volts| ES1_CHARGED.map(|_| Volt::new(volts)))
}

/// Voltage that a charged capacitor may keep to count as ES2: twice that of ES1.
pub fn es2_charged(nominal: Farad, plus_tolerance: f64) -> Option<Limit<Volt>> {
    es1_charged(nominal, plus_tolerance).map(|limit| limit.map(|volts| volts * ES2_CHARGED_RATIO.value))
}

/// Use of the ES1 limits by dc and ac together, `Udc/60 + Uac/30`; above 1 is not ES1.
pub fn es1_combined(dc: Volt, ac_rms: Volt) -> f64 {
    dc.abs() / ES1_DC.value + ac_rms.abs() / ES1_AC.value
}

/// How a set is connected to the mains.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Plug {
    /// An ordinary household plug.
    TypeA,
    /// An industrial plug or coupler.
    TypeB,
}

/// Longest time constant of the capacitors across the mains and their discharge resistor.
pub const fn discharge_limit(plug: Plug) -> Limit<Second> {
    match plug {
        Plug::TypeA => DISCHARGE_PLUG_A,
        Plug::TypeB => DISCHARGE_PLUG_B,
    }
}

/// Whether capacitors across the mains lose their charge soon enough after unplugging.
///
/// Up to 0.1 µF nothing is asked. No resistor (`None`) above that never passes.
pub fn discharges_in_time(across_mains: Farad, resistor: Option<Ohm>, plug: Plug) -> bool {
    within(across_mains.get(), DISCHARGE_EXEMPT.value.get())
        || resistor.is_some_and(|ohms| within((ohms * across_mains).get(), discharge_limit(plug).value.get()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sources::{SourceId, Status};

    fn near(got: f64, due: f64, relative: f64) -> bool {
        (got - due).abs() <= relative * due.abs()
    }

    #[test]
    fn only_y_stands_between_line_and_chassis() {
        use MainsClass::{X1, X2, Y1, Y2, Y4};
        for class in [X1, X2] {
            assert!(!class.allowed_at(MainsPlace::LineToChassis) && !class.serves(Y4));
        }
        assert!(Y1.serves(Y2) && Y2.serves(Y2) && !Y4.serves(Y2) && !Y2.serves(Y1));
        assert!(X1.serves(X2) && !X2.serves(X1) && Y2.serves(X1) && Y4.serves(X2) && !Y4.serves(X1));
    }

    // The published points, typed from the table.
    #[test]
    fn charged_capacitor_points() {
        for (nf, due) in [
            (4.0, 1000.0),
            (8.0, 500.0),
            (12.0, 350.0),
            (18.0, 250.0),
            (28.0, 200.0),
            (41.0, 150.0),
            (61.0, 125.0),
            (91.0, 100.0),
            (170.0, 75.0),
            (300.0, 60.0),
            (47_000.0, 60.0),
        ] {
            let got = es1_charged(Farad::new(nf * 1e-9), 0.0).expect("positive").value.get();
            assert!(near(got, due, 1e-9), "{nf} nF: {got}");
            let twice = es2_charged(Farad::new(nf * 1e-9), 0.0).expect("positive").value.get();
            assert!(near(twice, 2.0 * due, 1e-9));
        }
        assert_eq!(es1_charged(Farad::ZERO, 0.2), None);
    }

    // 4.7 nF at 250 V 50 Hz passes 0.369 mA; at 125 V 400 Hz the current asks for less than 4.7 nF.
    #[test]
    fn chassis_capacitance_by_rule_and_by_current() {
        let house = chassis_capacitance_limit(Volt::new(250.0), Hertz::new(50.0)).expect("mains");
        assert_eq!(house.source.status(), Status::Ours);
        let passes = touch_current(house.value, Volt::new(250.0), Hertz::new(50.0));
        assert!(near(passes.milli(), 0.369, 1e-3) && passes < touch_current_limit().value);
        let aircraft = chassis_capacitance_limit(Volt::new(125.0), Hertz::new(400.0)).expect("mains");
        assert_eq!(aircraft.source, SourceId::Iec62368);
        assert!(near(touch_current(aircraft.value, Volt::new(125.0), Hertz::new(400.0)).milli(), 0.5, 1e-12));
        assert_eq!(chassis_capacitance_limit(Volt::ZERO, Hertz::new(50.0)), None);
    }

    // The manuals call 0.75 V across the network 0.5 mA, at 50 and at 60 Hz.
    #[test]
    fn touch_check_as_the_manuals_say() {
        for hertz in [50.0, 60.0] {
            let current = touch_current_from_check(Volt::new(0.75), Hertz::new(hertz));
            assert!(near(current.milli(), 0.5, 0.005), "{hertz} Hz: {current}");
        }
    }

    #[test]
    fn no_resistor_never_discharges() {
        assert!(!discharges_in_time(Farad::from_micro(0.22), None, Plug::TypeA));
        assert!(discharges_in_time(Farad::from_micro(0.1), None, Plug::TypeA));
        assert!(discharges_in_time(Farad::new(100e-9), None, Plug::TypeA));
        assert!(discharges_in_time(Farad::from_micro(0.47), Some(Ohm::new(3.3e6)), Plug::TypeB));
    }

    #[test]
    fn remembered_ranges_say_so() {
        let range = MainsClass::Y2.highest_working().expect("a Y class");
        assert_eq!(range.source.status(), Status::Memory);
        assert_eq!(MainsClass::X2.highest_working(), None);
    }

    // By hand: of 4.7 nF, 0.94 nF for the one that wants no more, and (4.7 - 0.94) / 2 = 1.88 nF for each other.
    #[test]
    fn a_shared_capacitance() {
        let nf = |c: f64| Farad::new(c * 1e-9);
        let share = |own: f64, others: &[f64]| {
            let others: Vec<Farad> = others.iter().map(|c| nf(*c)).collect();
            (share_of(nf(4.7), nf(own), &others).get() * 1e12).round()
        };
        assert!((share(20.0, &[]) - 4700.0).abs() < 0.5);
        assert!((share(0.94, &[20.0, 40.0]) - 940.0).abs() < 0.5);
        assert!((share(20.0, &[0.94, 40.0]) - 1880.0).abs() < 0.5);
        assert!((share(40.0, &[0.94, 20.0]) - 1880.0).abs() < 0.5);
        assert!((share(1.0, &[1.0]) - 1000.0).abs() < 0.5);
    }
}
