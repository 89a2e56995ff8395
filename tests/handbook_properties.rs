//! Formulas of the handbook against circuits solved the long way, for many random parts.

use capjob::physics::discharge::{resistor_for, time_to};
use capjob::physics::interpolate::linear;
use capjob::physics::leakage::{coupling_least_resistance, grid_shift, vintage_limit};
use capjob::physics::mains::es1_charged;
use capjob::physics::resistor::{Body, power_at};
use capjob::physics::ripple::frequency_factor;
use capjob::physics::series_string::{balancing_resistance, switch_on_volts, worst_switch_on_share};
use capjob::units::{Ampere, Celsius, Farad, Hertz, Ohm, Second, Volt, Watt};
use proptest::prelude::*;

proptest! {
    /// Kirchhoff's laws for a string with any leakages inside the spread: no part is overloaded.
    #[test]
    fn balanced_strings_overload_no_part(
        leakages_ua in prop::collection::vec(0.0..1.0_f64, 2..6),
        spread_ua in 1.0..2000.0_f64,
        rated_v in 50.0..500.0_f64,
        used in 0.3..0.99_f64,
    ) {
        let parts = leakages_ua.len();
        let count = u32::try_from(parts).expect("a few parts");
        let bus_v = rated_v * f64::from(count) * used;
        let spread = Ampere::new(spread_ua * 1e-6);
        let ohms = balancing_resistance(count, Volt::new(rated_v), Volt::new(bus_v), spread)
            .expect("there is spare voltage").value.get();
        let leaks: Vec<f64> = leakages_ua.iter().map(|share| share * spread_ua * 1e-6).collect();
        let current = (bus_v / ohms + leaks.iter().sum::<f64>()) / f64::from(count);
        for leak in &leaks {
            let volts = ohms * (current - leak);
            prop_assert!(volts <= rated_v * (1.0 + 1e-9), "{volts} V on a {rated_v} V part");
        }
    }

    /// Equal charge on all parts: the voltages add up, and none passes the worst share.
    #[test]
    fn switch_on_shares_the_bus(
        deviations in prop::collection::vec(-1.0..1.0_f64, 1..6),
        tolerance in 0.0..0.5_f64,
        bus_v in 1.0..2000.0_f64,
    ) {
        let parts: Vec<Farad> =
            deviations.iter().map(|d| Farad::from_micro(47.0 * (1.0 + d * tolerance))).collect();
        let volts = switch_on_volts(Volt::new(bus_v), &parts).expect("parts");
        let total: Volt = volts.iter().copied().sum();
        prop_assert!((total.get() - bus_v).abs() <= 1e-9 * bus_v);
        for (part, volt) in parts.iter().zip(&volts) {
            let charge = *part * *volt;
            let first = parts[0] * volts[0];
            prop_assert!((charge - first).abs().get() <= 1e-9 * first.get());
        }
        let count = u32::try_from(parts.len()).expect("a few parts");
        let worst = worst_switch_on_share(count, tolerance).expect("a tolerance");
        prop_assert!(volts.iter().all(|v| v.get() <= worst * bus_v * (1.0 + 1e-9)));
    }

    /// A resistor found for a time takes that time.
    #[test]
    fn discharge_both_ways(start_v in 61.0..1000.0_f64, uf in 0.01..1000.0_f64, seconds in 0.1..600.0_f64) {
        let (safe, start, c) = (Volt::new(60.0), Volt::new(start_v), Farad::from_micro(uf));
        let ohms = resistor_for(Second::new(seconds), safe, start, c).expect("a resistor");
        let back = time_to(safe, start, c, ohms).expect("reached");
        prop_assert!((back.get() - seconds).abs() <= 1e-9 * seconds);
    }

    /// The least leakage resistance shifts the grid by exactly what is allowed.
    #[test]
    fn coupling_both_ways(across in 1.0..600.0_f64, rg in 1e3..10e6_f64, share in 0.0001..0.99_f64) {
        let (v, rg) = (Volt::new(across), Ohm::new(rg));
        let least = coupling_least_resistance(v, rg, v * share).expect("a shift");
        prop_assert!((grid_shift(v, rg, least).get() - across * share).abs() <= 1e-9 * across);
    }

    /// Larger parts may leak more, never less; a larger capacitor may keep less voltage, never more.
    #[test]
    fn limits_go_one_way(uf in 0.001..2000.0_f64, more in 1.0..10.0_f64, volts in 3.0..500.0_f64) {
        let leak = |c| vintage_limit(Farad::from_micro(c), Volt::new(volts)).expect("in range").limit.value;
        prop_assert!(leak(uf) <= leak(uf * more));
        let kept = |c| es1_charged(Farad::from_micro(c), 0.0).expect("positive").value;
        prop_assert!(kept(uf * more) <= kept(uf));
    }

    /// Multipliers rise with frequency, power falls with heat, both stay inside their ends.
    #[test]
    fn curves_stay_inside_their_ends(volts in 1.0..600.0_f64, hertz in 50.0..1e6_f64, more in 1.0..10.0_f64, air_c in -40.0..300.0_f64) {
        let k = |f| frequency_factor(Volt::new(volts), Hertz::new(f)).expect("in range").value;
        prop_assert!(k(hertz) <= k(hertz * more) + 1e-12 && (0.86..=1.40 + 1e-12).contains(&k(hertz)));
        for body in [Body::Composition, Body::CarbonFilm, Body::MetalFilm, Body::MetalFilmSmall, Body::Wirewound] {
            let p = |t| power_at(body, Watt::new(1.0), Celsius::new(t)).value.get();
            prop_assert!((0.0..=1.0).contains(&p(air_c)) && p(air_c + more) <= p(air_c));
        }
    }

    /// Between two points the value lies between theirs.
    #[test]
    fn interpolation_lies_between(x in 0.0..1.0_f64, a in -9.0..9.0_f64, b in -9.0..9.0_f64) {
        let got = linear([(0.0, a), (1.0, b)], x).expect("points");
        prop_assert!(a.min(b) - 1e-12 <= got && got <= a.max(b) + 1e-12);
    }
}
