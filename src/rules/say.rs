//! The figures of statements, as technicians write them.

use crate::units::Ampere;
use crate::units::print::significant;

/// A change in percent with its sign, such as `+30 %` or `-12 %`; below half a percent, `0 %`.
pub(crate) fn change(percent: f64) -> String {
    let rounded = percent.round();
    if rounded.abs() < 0.5 { "0 %".to_owned() } else { format!("{rounded:+.0} %") }
}

/// A change near a limit with one decimal, so that it does not seem to equal the limit.
pub(crate) fn change_near(percent: f64, limit: f64) -> String {
    if (percent.abs() - limit).abs() < 1.0 { format!("{percent:+.1} %") } else { change(percent) }
}

/// A share in percent without sign.
pub(crate) fn percent(value: f64) -> String {
    format!("{} %", significant(value, 3))
}

/// `limit 20 %`, and where it was set when it is not the default.
pub(crate) fn limit(text: &str, from_shop: bool) -> String {
    if from_shop { format!("limit {text}, set in shop.toml") } else { format!("limit {text}") }
}

/// A leakage current in the unit that suits its limit, so that both read in the same one.
pub(crate) fn leakage(current: Ampere, limit: Ampere) -> String {
    if limit < Ampere::from_milli(0.1) {
        format!("{} µA", significant(current.get() * 1e6, 3))
    } else {
        format!("{} mA", significant(current.milli(), 3))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changes_as_written() {
        assert_eq!(change(30.45), "+30 %");
        assert_eq!(change(-12.4), "-12 %");
        assert_eq!(change(0.2), "0 %");
        assert_eq!(change_near(20.3, 20.0), "+20.3 %");
        assert_eq!(change_near(30.45, 20.0), "+30 %");
        assert_eq!(limit("1.1 mA", true), "limit 1.1 mA, set in shop.toml");
    }
}
