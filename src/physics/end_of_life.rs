//! What documents call the end of an electrolytic's life, and whether a part is past it.

use super::within;
use crate::limits::electrolytic::EndOfLife;
use crate::units::{Farad, Ohm};

/// Whether the capacitance is still inside the criterion. `None` when nominal is not positive.
pub fn holds_capacitance(criterion: &EndOfLife, reading: Farad, nominal: Farad) -> Option<bool> {
    let change = reading / nominal - 1.0;
    let gained_too_much = criterion.gain_of_capacitance.is_some_and(|most| !within(change, most));
    (nominal > Farad::ZERO).then_some(within(-change, criterion.loss_of_capacitance) && !gained_too_much)
}

/// Whether the loss factor is still inside the criterion, given what the multiple counts from
/// (the limit of a new part or the first reading, see [`EndOfLife::multiple_of`]).
pub fn holds_loss(criterion: &EndOfLife, reading: f64, base: f64) -> bool {
    within(reading, base * criterion.loss_multiple)
}

/// Whether the ESR is still inside the criterion, given what the multiple counts from.
pub fn holds_esr(criterion: &EndOfLife, reading: Ohm, base: Ohm) -> bool {
    holds_loss(criterion, reading.get(), base.get())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::electrolytic::{END_GENERAL, END_IEC, END_USEFUL_HIGH, END_USEFUL_LOW};

    // Table 5 of the Vishay sheet: 30 % above 100 V, 45 % up to 100 V, three times the ESR limit.
    #[test]
    fn useful_life_of_the_sheet() {
        let nominal = Farad::from_micro(100.0);
        let reading = Farad::from_micro(60.0);
        assert_eq!(holds_capacitance(&END_USEFUL_HIGH.value, reading, nominal), Some(false));
        assert_eq!(holds_capacitance(&END_USEFUL_LOW.value, reading, nominal), Some(true));
        assert!(holds_esr(&END_USEFUL_HIGH.value, Ohm::new(3.0), Ohm::new(1.0)));
        assert!(!holds_esr(&END_USEFUL_HIGH.value, Ohm::new(3.1), Ohm::new(1.0)));
    }

    #[test]
    fn only_the_standard_ignores_a_gain() {
        let nominal = Farad::from_micro(100.0);
        let reading = Farad::from_micro(140.0);
        assert_eq!(holds_capacitance(&END_IEC.value, reading, nominal), Some(true));
        assert_eq!(holds_capacitance(&END_GENERAL.value, reading, nominal), Some(false));
        assert_eq!(holds_capacitance(&END_GENERAL.value, reading, Farad::ZERO), None);
    }
}
