//! Published tables, typed from their sources in full, against what the library reads out of them.

#[cfg(test)]
mod tests {
    use capjob::limits::electrolytic::{
        END_AXIAL, END_ENDURANCE_HIGH, END_ENDURANCE_LOW, END_GENERAL, END_IEC, END_SINGLE_ENDED, END_SNAP_IN,
        END_USEFUL_HIGH, END_USEFUL_LOW,
    };
    use capjob::physics::derating::{CapacitorStyle, ResistorStyle, capacitor_voltage_share, resistor_power};
    use capjob::physics::electrolytic::{LossGrade, loss_limit, worst_esr};
    use capjob::physics::leakage::vintage_limit;
    use capjob::physics::life::air_from_case;
    use capjob::physics::ripple::{TemperatureSeries, temperature_factor};
    use capjob::units::{Celsius, Farad, Hertz, Millimetre, Volt, Watt};

    fn near(got: f64, due: f64, relative: f64) -> bool {
        (got - due).abs() <= relative * due.abs()
    }

    /// General-purpose sheet, and the long-life sheets of the snap-ins.
    #[test]
    fn loss_factors() {
        let tables: [(LossGrade, &[(f64, f64)]); 5] = [
            (
                LossGrade::General,
                &[
                    (6.3, 0.23),
                    (10.0, 0.20),
                    (16.0, 0.16),
                    (25.0, 0.14),
                    (35.0, 0.12),
                    (50.0, 0.10),
                    (63.0, 0.09),
                    (100.0, 0.08),
                    (160.0, 0.12),
                    (200.0, 0.14),
                    (250.0, 0.17),
                    (350.0, 0.20),
                    (400.0, 0.25),
                    (450.0, 0.25),
                ],
            ),
            (LossGrade::SnapInB43505, &[(200.0, 0.13), (400.0, 0.13), (450.0, 0.17)]),
            (LossGrade::SnapInB43516, &[(200.0, 0.15), (400.0, 0.15), (450.0, 0.20)]),
            (LossGrade::SnapInB43641, &[(400.0, 0.20), (450.0, 0.20)]),
            (
                LossGrade::SnapInB41505,
                &[(10.0, 0.20), (16.0, 0.15), (25.0, 0.11), (35.0, 0.10), (50.0, 0.08), (63.0, 0.06), (100.0, 0.06)],
            ),
        ];
        for (grade, rows) in tables {
            for (volts, due) in rows {
                let got = loss_limit(grade, Volt::new(*volts), Farad::from_micro(100.0)).expect("listed");
                assert!(near(got.limit.value, *due, 1e-12), "{grade:?} {volts} V");
            }
        }
    }

    /// Our table of worst acceptable ESR at 120 Hz, worked out by hand to three figures.
    #[test]
    fn worst_esr_as_tabled() {
        let high = [450.0, 350.0, 250.0, 200.0, 160.0];
        let low = [16.0, 25.0, 50.0, 63.0, 100.0];
        let rows: [(f64, [f64; 5], [f64; 5]); 12] = [
            (8.0, high, [82.9, 66.3, 56.4, 46.4, 39.8]),
            (16.0, high, [41.4, 33.2, 28.2, 23.2, 19.9]),
            (22.0, high, [30.1, 24.1, 20.5, 16.9, 14.5]),
            (32.0, high, [20.7, 16.6, 14.1, 11.6, 9.95]),
            (47.0, high, [14.1, 11.3, 9.59, 7.90, 6.77]),
            (100.0, high, [6.63, 5.31, 4.51, 3.71, 3.18]),
            (4.7, low, [90.3, 79.0, 56.4, 50.8, 45.2]),
            (10.0, low, [42.4, 37.1, 26.5, 23.9, 21.2]),
            (25.0, low, [17.0, 14.9, 10.6, 9.55, 8.49]),
            (47.0, low, [9.03, 7.90, 5.64, 5.08, 4.52]),
            (100.0, low, [4.24, 3.71, 2.65, 2.39, 2.12]),
            (470.0, low, [0.903, 0.790, 0.564, 0.508, 0.452]),
        ];
        for (uf, volts, due) in rows {
            for (v, ohms) in volts.iter().zip(due) {
                let got = worst_esr(Volt::new(*v), Farad::from_micro(uf), Hertz::new(120.0)).expect("listed");
                assert!(near(got.value.get(), ohms, 0.005), "{uf} µF {v} V: {}", got.value);
            }
        }
    }

    /// K of the vintage rule by rated voltage, from the tables as quoted; 1 µF leaks K + 0.3 mA.
    #[test]
    fn vintage_factors() {
        for (volts, k) in [
            (3.0, 0.01),
            (100.0, 0.01),
            (101.0, 0.02),
            (250.0, 0.02),
            (251.0, 0.025),
            (350.0, 0.025),
            (351.0, 0.04),
            (450.0, 0.04),
            (500.0, 0.04),
        ] {
            let got = vintage_limit(Farad::from_micro(1.0), Volt::new(volts)).expect("in range").limit.value;
            assert!(near(got.milli(), k + 0.3, 1e-9), "{volts} V");
        }
    }

    /// GE and Rubycon sheets: ripple by ambient temperature.
    #[test]
    fn ripple_by_temperature() {
        let tables: [(TemperatureSeries, &[(f64, f64)]); 4] = [
            (
                TemperatureSeries::ComputerGrade85,
                &[(85.0, 1.0), (75.0, 1.4), (65.0, 1.7), (55.0, 2.0), (45.0, 2.3), (35.0, 2.5)],
            ),
            (TemperatureSeries::SnapIn85, &[(85.0, 1.0), (65.0, 1.3), (40.0, 1.3)]),
            (TemperatureSeries::Other85, &[(85.0, 1.0), (70.0, 1.6), (50.0, 2.0), (20.0, 2.0)]),
            (TemperatureSeries::Rated105, &[(105.0, 1.0), (85.0, 1.7), (65.0, 2.1), (20.0, 2.1)]),
        ];
        for (series, rows) in tables {
            for (celsius, due) in rows {
                let got = temperature_factor(series, Celsius::new(*celsius)).expect("in range").value;
                assert!(near(got, *due, 1e-12), "{series:?} {celsius} °C");
            }
        }
    }

    /// Rubycon sheet: core rise over case rise by diameter, read back with a rise of 1 K.
    #[test]
    fn core_over_case() {
        for (mm, alpha) in [
            (8.0, 1.0),
            (10.0, 1.1),
            (12.5, 1.1),
            (16.0, 1.2),
            (18.0, 1.2),
            (20.0, 1.3),
            (22.0, 1.3),
            (25.0, 1.4),
            (30.0, 1.5),
            (35.0, 1.6),
        ] {
            let air = air_from_case(Celsius::ZERO, Celsius::new(1.0), Millimetre::new(mm)).expect("listed");
            assert!(near(-air.get(), 1.0 / alpha, 1e-12), "{mm} mm");
        }
    }

    /// End of life: loss of capacitance, multiple of loss, as the documents print them.
    #[test]
    fn ends_of_life() {
        for (end, loss, multiple) in [
            (END_IEC, 0.30, 3.0),
            (END_USEFUL_HIGH, 0.30, 3.0),
            (END_USEFUL_LOW, 0.45, 3.0),
            (END_ENDURANCE_HIGH, 0.10, 1.3),
            (END_ENDURANCE_LOW, 0.15, 1.3),
            (END_GENERAL, 0.20, 2.0),
            (END_SNAP_IN, 0.20, 2.0),
            (END_SINGLE_ENDED, 0.40, 3.0),
            (END_AXIAL, 0.30, 3.0),
        ] {
            assert!(near(end.value.loss_of_capacitance, loss, 1e-12), "{}", end.applies_to);
            assert!(near(end.value.loss_multiple, multiple, 1e-12), "{}", end.applies_to);
        }
    }

    /// MIL-STD-975M as copied: share, flat end, zero for resistors; cool, hot, top for capacitors.
    #[test]
    fn military_shares() {
        use CapacitorStyle::{Ceramic, Glass, MetallisedFilm, TantalumFoil, TantalumSolid, TantalumWet};
        use ResistorStyle::{Rbr, Rcr, Rlr, Rm, Rnr, Rwr, Rzo};
        for (style, share, flat_to, zero_at) in [
            (Rcr, 0.60, 70.0, 110.0),
            (Rlr, 0.30, 70.0, 94.0),
            (Rnr, 0.60, 125.0, 155.0),
            (Rbr, 0.60, 125.0, 137.0),
            (Rwr, 0.60, 30.0, 175.0),
            (Rm, 0.60, 70.0, 118.0),
            (Rzo, 0.60, 70.0, 125.0),
        ] {
            let at = |c: f64| resistor_power(style, Watt::new(1.0), Celsius::new(c)).value.get();
            assert!(near(at(flat_to), share, 1e-12) && near(at(20.0), share, 1e-12), "{style:?}");
            assert!(at(zero_at).abs() < 1e-12 && at(zero_at - 1.0) > 0.0 && at(flat_to + 1.0) < share, "{style:?}");
        }
        for (style, cool, hot, top) in [
            (Ceramic, 0.60, 0.60, 110.0),
            (Glass, 0.50, 0.50, 110.0),
            (MetallisedFilm, 0.60, 0.60, 85.0),
            (TantalumFoil, 0.50, 0.50, 70.0),
            (TantalumWet, 0.60, 0.40, 110.0),
            (TantalumSolid, 0.50, 0.30, 110.0),
        ] {
            let at = |c: f64| capacitor_voltage_share(style, Celsius::new(c)).map(|share| share.value);
            assert!(at(70.0).is_some_and(|share| near(share, cool, 1e-12)), "{style:?}");
            assert!(at(top).is_some_and(|share| near(share, hot, 1e-12)) && at(top + 1.0).is_none(), "{style:?}");
        }
    }
}
