//! Physical quantities as types that cannot be mixed up, in SI units.
//!
//! A quantity is made with [`new`](Volt::new) from a number in its SI unit and read back with
//! [`get`](Volt::get); any bare `f64` elsewhere in the crate ends its name in the unit.
//! Only the laws that the crate needs are given as operators (`V = I·R`, `P = U·I`, `Q = C·U`).
//! How people write quantities is read in [`parse`] and printed in [`mod@print`].

pub mod parse;
pub mod print;

pub use parse::Tolerance;

use std::ops::{Add, Div, Mul, Neg, Sub};

/// Defines one newtype over `f64` with the arithmetic that keeps its unit.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// Zero of this quantity.
            pub const ZERO: Self = Self(0.0);

            /// The quantity from its number in the SI unit.
            pub const fn new(si: f64) -> Self {
                Self(si)
            }

            /// The number in the SI unit.
            pub const fn get(self) -> f64 {
                self.0
            }

            /// The size without its sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// The larger of two.
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// The smaller of two.
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// Whether the number is finite.
            pub const fn is_finite(self) -> bool {
                self.0.is_finite()
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                parts.fold(Self::ZERO, Add::add)
            }
        }
    };
}

quantity!(
    /// Electric potential difference, V.
    Volt
);
quantity!(
    /// Electric current, A.
    Ampere
);
quantity!(
    /// Resistance, Ω.
    Ohm
);
quantity!(
    /// Capacitance, F.
    Farad
);
quantity!(
    /// Inductance, H.
    Henry
);
quantity!(
    /// Power, W.
    Watt
);
quantity!(
    /// Energy, J.
    Joule
);
quantity!(
    /// Electric charge, C.
    Coulomb
);
quantity!(
    /// Frequency, Hz.
    Hertz
);
quantity!(
    /// Temperature, °C.
    Celsius
);
quantity!(
    /// Time, s.
    Second
);
quantity!(
    /// Working time of a part, h.
    Hour
);
quantity!(
    /// Length, mm (the trade's unit; not SI).
    Millimetre
);

/// Defines `$a × $b = $c` and the two divisions that follow from it.
macro_rules! law {
    ($a:ident * $b:ident = $c:ident) => {
        impl Mul<$b> for $a {
            type Output = $c;
            fn mul(self, other: $b) -> $c {
                $c(self.0 * other.0)
            }
        }
        impl Mul<$a> for $b {
            type Output = $c;
            fn mul(self, other: $a) -> $c {
                $c(self.0 * other.0)
            }
        }
        impl Div<$a> for $c {
            type Output = $b;
            fn div(self, other: $a) -> $b {
                $b(self.0 / other.0)
            }
        }
        impl Div<$b> for $c {
            type Output = $a;
            fn div(self, other: $b) -> $a {
                $a(self.0 / other.0)
            }
        }
    };
}

law!(Ampere * Ohm = Volt);
law!(Volt * Ampere = Watt);
law!(Farad * Volt = Coulomb);
law!(Ampere * Second = Coulomb);
law!(Ohm * Farad = Second);

impl Farad {
    /// From microfarads.
    pub const fn from_micro(uf: f64) -> Self {
        Self(uf / 1e6)
    }

    /// In microfarads.
    pub const fn micro(self) -> f64 {
        self.0 * 1e6
    }

    /// The energy stored at `volts`, `C·U²/2`.
    pub fn energy_at(self, volts: Volt) -> Joule {
        Joule(self.0 * volts.0 * volts.0 / 2.0)
    }
}

impl Ampere {
    /// From milliamperes.
    pub const fn from_milli(ma: f64) -> Self {
        Self(ma / 1e3)
    }

    /// In milliamperes.
    pub const fn milli(self) -> f64 {
        self.0 * 1e3
    }

    /// The heat in a resistance, `I²·R`.
    pub fn heat_in(self, resistance: Ohm) -> Watt {
        Watt(self.0 * self.0 * resistance.0)
    }
}

impl Volt {
    /// The heat in a resistance across this voltage, `U²/R`.
    pub fn heat_in(self, resistance: Ohm) -> Watt {
        Watt(self.0 * self.0 / resistance.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: f64, b: f64) -> bool {
        (a - b).abs() <= 1e-12 * b.abs().max(1e-30)
    }

    // Dimension laws, each with hand-worked figures.
    #[test]
    fn laws_hold() {
        assert!(close((Ampere::new(0.003) * Ohm::new(47_000.0)).get(), 141.0));
        assert!(close((Volt::new(141.0) / Ohm::new(47_000.0)).get(), 0.003));
        assert!(close((Volt::new(250.0) * Ampere::new(0.06)).get(), 15.0));
        // 1 mA for 1 s charges 100 µF by 10 V.
        let charge = Ampere::from_milli(1.0) * Second::new(1.0);
        assert!(close((charge / Farad::from_micro(100.0)).get(), 10.0));
        assert!(close((Ohm::new(1e6) * Farad::from_micro(0.22)).get(), 0.22));
        // checks 5.04-a: 47 µF at 450 V holds 4.75875 J.
        assert!(close(Farad::from_micro(47.0).energy_at(Volt::new(450.0)).get(), 4.758_75));
    }
}
