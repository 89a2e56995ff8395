//! Two rectifier branches that share a resistive network: which conducts, and how much.
//!
//! Every circuit here comes down to the same pair of equations for the branch currents `i1, i2 >= 0`,
//! with the drives `d`, a symmetric resistance matrix `r` and `n` equal rectifiers in series per branch:
//! `n·v(i1) + r11·i1 + r12·i2 = d1` and `n·v(i2) + r12·i1 + r22·i2 = d2`.
//! They are the conditions for the least of a convex function, so that there is one solution.

use super::rectifier::Law;

/// Steps given to the search for two conducting branches; Newton needs few, halving fewer than this.
const MOST_STEPS: usize = 200;

/// A current above anything that a supply can carry, for networks without resistance.
const MOST_AMPERE: f64 = 1e9;

/// The network as the two branches see it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pair {
    pub(super) law: Law,
    /// Rectifiers in series per branch.
    pub(super) count: f64,
    /// Ohmic part of one rectifier, Ω.
    pub(super) own_ohm: f64,
    /// `r11`, `r12`, `r22` in Ω, the rectifiers' own ohmic parts included.
    pub(super) ohm: [f64; 3],
}

/// What flows in the two branches.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Flow {
    pub(super) amp: [f64; 2],
    /// Voltage across the law of one rectifier, V, without its ohmic part.
    pub(super) law_v: [f64; 2],
    /// `g11`, `g12`, `g22`: how the currents follow the drives, S.
    pub(super) gain: [f64; 3],
}

impl Flow {
    /// The change of the currents under a change of the drives.
    pub(super) fn response(&self, drive: [f64; 2]) -> [f64; 2] {
        let [g11, g12, g22] = self.gain;
        let [d1, d2] = drive;
        [g11 * d1 + g12 * d2, g12 * d1 + g22 * d2]
    }
}

impl Pair {
    /// The currents under the drives, V.
    pub(super) fn flow(&self, drive: [f64; 2]) -> Flow {
        let [d1, d2] = drive;
        if d1 <= 0.0 && d2 <= 0.0 {
            return Flow::default();
        }
        let [r11, r12, r22] = self.ohm;
        let one = Single::solve(self, r11, d1);
        if d2 - r12 * one.amp <= 0.0 {
            return Flow { amp: [one.amp, 0.0], law_v: [one.law_v, 0.0], gain: [one.gain, 0.0, 0.0] };
        }
        let two = Single::solve(self, r22, d2);
        if d1 - r12 * two.amp <= 0.0 {
            return Flow { amp: [0.0, two.amp], law_v: [0.0, two.law_v], gain: [0.0, 0.0, two.gain] };
        }
        self.both(drive, two)
    }

    /// Voltage across one rectifier of each branch, V; negative where it blocks.
    pub(super) fn across(&self, drive: [f64; 2], flow: &Flow) -> [f64; 2] {
        let ([r11, r12, r22], [d1, d2]) = (self.ohm, drive);
        let ([i1, i2], [v1, v2]) = (flow.amp, flow.law_v);
        let volt = |amp: f64, law_v: f64, left: f64| {
            if 0.0 < amp { law_v + self.own_ohm * amp } else { left / self.count }
        };
        [volt(i1, v1, d1 - r12 * i2 - r11 * i1), volt(i2, v2, d2 - r12 * i1 - r22 * i2)]
    }

    /// Both conduct: safeguarded Newton on the second branch's voltage, the first following it.
    fn both(&self, drive: [f64; 2], alone: Single) -> Flow {
        let [r11, r12, r22] = self.ohm;
        let [d1, d2] = drive;
        let (mut low, mut high) = (0.0, self.highest_law_v(drive, alone));
        let mut volt = high;
        let mut last_error = f64::INFINITY;
        let mut found = Flow::default();
        for _ in 0..MOST_STEPS {
            let (i2, slope2) = self.law.current(volt);
            let one = Single::solve(self, r11, d1 - r12 * i2);
            let error = d2 - r12 * one.amp - r22 * i2 - self.count * volt;
            found = Flow { amp: [one.amp, i2], law_v: [one.law_v, volt], gain: self.gain(one.slope, slope2) };
            if 0.0 < error {
                low = volt;
            } else {
                high = volt;
            }
            let newton = volt + error / (self.count + (r22 - r12 * r12 * one.gain) * slope2);
            let gains = low < newton && newton < high && error.abs() < 0.5 * last_error;
            let next = if gains { newton } else { f64::midpoint(low, high) };
            if (next - volt).abs() <= 1e-14 * volt + 1e-300 {
                break;
            }
            (volt, last_error) = (next, error.abs());
        }
        found
    }

    /// A voltage that the second branch cannot exceed.
    fn highest_law_v(&self, drive: [f64; 2], alone: Single) -> f64 {
        let [r11, r12, r22] = self.ohm;
        if 0.0 <= r12 {
            // The first branch takes from the second.
            return alone.law_v;
        }
        // The branches help each other; without any drop the currents would be these.
        let [d1, d2] = drive;
        let determinant = r11 * r22 - r12 * r12;
        let amp = (r11 * d2 - r12 * d1) / determinant;
        let most_amp = if 0.0 < determinant && amp.is_finite() { amp } else { MOST_AMPERE };
        self.law.inverse(most_amp.max(alone.amp))
    }

    fn gain(&self, slope1: f64, slope2: f64) -> [f64; 3] {
        let [r11, r12, r22] = self.ohm;
        // Multiplied through by both slopes, so that a branch without slope needs no case of its own.
        let (a, b) = (self.count + r11 * slope1, self.count + r22 * slope2);
        let mixed = slope1 * slope2;
        let determinant = a * b - r12 * r12 * mixed;
        [slope1 * b / determinant, -r12 * mixed / determinant, slope2 * a / determinant]
    }
}

/// One branch conducting alone.
#[derive(Debug, Clone, Copy)]
struct Single {
    amp: f64,
    law_v: f64,
    slope: f64,
    gain: f64,
}

impl Single {
    fn solve(pair: &Pair, ohm: f64, drive: f64) -> Self {
        let law_v = pair.law.voltage(pair.count, ohm, drive);
        let (amp, slope) = pair.law.current(law_v);
        Self { amp, law_v, slope, gain: slope / (pair.count + ohm * slope) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DIODE: Law = Law::Exponential { saturation_a: 7e-9, slope_v: 0.046_77 };
    const VALVE: Law = Law::ThreeHalves { perveance: 2e-3 };

    /// The conditions themselves: a conducting branch meets its equation, a blocking one is driven backwards.
    fn check(pair: &Pair, drive: [f64; 2]) {
        let flow = pair.flow(drive);
        let [r11, r12, r22] = pair.ohm;
        let [i1, i2] = flow.amp;
        let left = [drive[0] - r11 * i1 - r12 * i2, drive[1] - r12 * i1 - r22 * i2];
        let scale = 1e-7 * (drive[0].abs() + drive[1].abs());
        for ((left, amp), law_v) in left.into_iter().zip(flow.amp).zip(flow.law_v) {
            let used = pair.count * law_v;
            let met = if 0.0 < amp { (left - used).abs() <= scale } else { left <= scale };
            assert!(met, "{pair:?} {drive:?}: {left} left for {used} at {amp} A");
        }
    }

    #[test]
    fn conditions_hold_in_every_circuit() {
        for law in [DIODE, VALVE] {
            for count in [1.0, 2.0] {
                for source in [1e-6, 1.0, 100.0] {
                    for input in [0.5, 50.0, 1e6] {
                        // Centre tap, bridge, and the half-wave doubler with its loop of 2·source.
                        for ohm in [
                            [source + input, input, source + input],
                            [source + input, input - source, source + input],
                            [2.0 * source + input, -2.0 * source, 2.0 * source],
                        ] {
                            let pair = Pair { law, count, own_ohm: 0.0, ohm };
                            for (d1, d2) in [(300.0, 200.0), (5.0, 4.9), (100.0, -300.0), (-1.0, 2.0), (300.0, 300.0)] {
                                check(&pair, [d1, d2]);
                            }
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn gain_is_the_slope_of_the_currents() {
        let pair = Pair { law: VALVE, count: 2.0, own_ohm: 0.0, ohm: [150.0, -30.0, 120.0] };
        let (drive, step) = ([60.0, 40.0], 1e-4);
        let flow = pair.flow(drive);
        let moved = pair.flow([drive[0] + step, drive[1] - step]);
        let slope = flow.response([1.0, -1.0]);
        for ((after, before), slope) in moved.amp.into_iter().zip(flow.amp).zip(slope) {
            let measured = (after - before) / step;
            assert!((measured - slope).abs() < 1e-5 * slope.abs().max(1e-3), "{measured} for {slope}");
        }
    }
}
