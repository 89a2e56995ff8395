//! Capacitors in series: sharing at switch-on, sharing by resistors, what the string can bear.

use crate::limits::Limit;
use crate::limits::series_string::{CDE_TWO_PARTS, WORST_CASE};
use crate::units::{Ampere, Farad, Ohm, Volt};

/// Largest resistor across each of `parts` equal parts, worst case: one part has no leakage and
/// the others have `spread` more. `(N·Vm - Vb) / ((N-1)·dI)`.
///
/// The simpler form in circulation, without `N-1`, is safe for two parts only. `None` for fewer
/// than two parts, a spread that is not positive, or parts that cannot bear the bus at all.
pub fn balancing_resistance(parts: u32, rated_each: Volt, bus: Volt, spread: Ampere) -> Option<Limit<Ohm>> {
    let spare = rated_each * f64::from(parts) - bus;
    let others = parts.checked_sub(1).filter(|others| *others > 0)?;
    let resistance = spare / (spread * f64::from(others));
    (spread > Ampere::ZERO && spare > Volt::ZERO).then(|| WORST_CASE.map(|_| resistance))
}

/// Largest resistor across each of two parts by a maker's guide, from memory:
/// `R(MΩ) = (2·Vm - Vb) / (0.0015·C(µF)·Vb)`. `None` where it does not come out positive.
pub fn balancing_resistance_of_two(each: Farad, rated_each: Volt, bus: Volt) -> Option<Limit<Ohm>> {
    let megohms = (rated_each * 2.0 - bus).get() / (CDE_TWO_PARTS.value * each.micro() * bus.get());
    let limit = CDE_TWO_PARTS.map(|_| Ohm::new(megohms * 1e6));
    (megohms.is_finite() && megohms > 0.0).then_some(limit)
}

/// Voltage on the part without leakage once the resistors have settled the string:
/// `(Vb + (N-1)·dI·R) / N`. `None` for no parts.
pub fn settled_worst_volts(parts: u32, bus: Volt, resistance: Ohm, spread: Ampere) -> Option<Volt> {
    (parts > 0).then(|| (bus + spread * resistance * f64::from(parts - 1)) / f64::from(parts))
}

/// Capacitance of parts in series. `None` for none, or for one that is not positive.
pub fn capacitance(parts: &[Farad]) -> Option<Farad> {
    let usable = !parts.is_empty() && parts.iter().all(|c| *c > Farad::ZERO);
    usable.then(|| Farad::new(1.0 / parts.iter().map(|c| 1.0 / c.get()).sum::<f64>()))
}

/// Voltage on each part at switch-on, before any resistor acts: equal charge on all.
pub fn switch_on_volts(bus: Volt, parts: &[Farad]) -> Option<Vec<Volt>> {
    let whole = capacitance(parts)?;
    Some(parts.iter().map(|c| bus * (whole / *c)).collect())
}

/// Share of the bus on the worst part at switch-on: it is at the low end of the tolerance and all
/// others at the high end. `None` for no parts or a tolerance outside 0 to 1.
pub fn worst_switch_on_share(parts: u32, tolerance: f64) -> Option<f64> {
    if parts == 0 || !(0.0..1.0).contains(&tolerance) {
        return None;
    }
    let low = 1.0 / (1.0 - tolerance);
    let high = f64::from(parts - 1) / (1.0 + tolerance);
    Some(low / (low + high))
}

/// Highest bus that equal parts can bear at switch-on with this tolerance of capacitance.
pub fn highest_bus(parts: u32, rated_each: Volt, tolerance: f64) -> Option<Volt> {
    worst_switch_on_share(parts, tolerance).map(|share| rated_each / share)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, due: f64, relative: f64) -> bool {
        (got - due).abs() <= relative * due.abs()
    }

    // Worked by hand: 2 x 350 V on 600 V with 725 µA give 137.9 k; 3 x 350 V on 900 V give 103.4 k.
    #[test]
    fn balancing_by_hand() {
        let spread = Ampere::new(725e-6);
        let two = balancing_resistance(2, Volt::new(350.0), Volt::new(600.0), spread).expect("spare").value;
        let three = balancing_resistance(3, Volt::new(350.0), Volt::new(900.0), spread).expect("spare").value;
        assert!(near(two.get(), 137_931.0, 1e-5) && near(three.get(), 103_448.0, 1e-5));
        // With that resistor the worst part of the string stands exactly at its rating.
        let worst = settled_worst_volts(3, Volt::new(900.0), three, spread).expect("parts");
        assert!(near(worst.get(), 350.0, 1e-12));
    }

    // Kirchhoff's law solved the long way for three parts, without the closed form.
    #[test]
    fn the_simpler_form_overloads_three_parts() {
        let (bus, rated, spread) = (900.0, 350.0, 725e-6);
        let simple_ohm = (3.0 * rated - bus) / spread;
        // Equal resistors; parts two and three leak `spread` more than part one.
        let others_v = (bus - spread * simple_ohm) / 3.0;
        let first_v = others_v + spread * simple_ohm;
        assert!(near(first_v + 2.0 * others_v, bus, 1e-12));
        assert!(first_v > rated);
        let said = settled_worst_volts(3, Volt::new(bus), Ohm::new(simple_ohm), Ampere::new(spread)).expect("parts");
        assert!(near(said.get(), first_v, 1e-12));
    }

    // 2 x 350 V with 20 % serve 583 V, not 700 V.
    #[test]
    fn tolerance_costs_voltage() {
        assert!(near(highest_bus(2, Volt::new(350.0), 0.20).expect("parts").get(), 583.3, 1e-3));
        assert!(near(highest_bus(2, Volt::new(350.0), 0.0).expect("parts").get(), 700.0, 1e-12));
        assert_eq!(highest_bus(0, Volt::new(350.0), 0.2), None);
        assert_eq!(highest_bus(2, Volt::new(350.0), 1.0), None);
    }

    #[test]
    fn nothing_to_share_is_no_answer() {
        let spread = Ampere::new(1e-6);
        assert_eq!(balancing_resistance(1, Volt::new(350.0), Volt::new(300.0), spread), None);
        assert_eq!(balancing_resistance(2, Volt::new(350.0), Volt::new(700.0), spread), None);
        assert_eq!(balancing_resistance(2, Volt::new(350.0), Volt::new(600.0), Ampere::ZERO), None);
        assert_eq!(capacitance(&[]), None);
        assert_eq!(capacitance(&[Farad::from_micro(47.0), Farad::ZERO]), None);
    }
}
