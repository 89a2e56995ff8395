//! The sums of a quote, from what is charged and the shop's settings.

use crate::model::shop::QuoteSettings;
use crate::money::{Money, Percent};

/// Allowance for faults not yet seen when the shop has not said, percent (one shop's terms).
pub const USUAL_ALLOWANCE_PERCENT: f64 = 15.0;

/// What is charged, before mark-up and tax.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Charges {
    /// Labour by the hour, in hundredths of a minute.
    pub hundredths_of_minute: i64,
    /// Labour in flat sums.
    pub flat: Money,
    /// Hourly rate.
    pub rate_per_hour: Option<Money>,
    /// Goods, as they cost the shop.
    pub goods: Money,
    /// Carriage, as it costs the shop.
    pub carriage: Money,
    /// Small-order fees, as they cost the shop.
    pub fees: Money,
}

/// Every amount of a quote. `net` and what it is made of are without tax, the others with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sums {
    /// Labour by the hour, in hundredths of a minute.
    pub hundredths_of_minute: i64,
    /// Hourly rate.
    pub rate_per_hour: Option<Money>,
    /// Labour.
    pub labour: Money,
    /// Goods at cost.
    pub goods: Money,
    /// Mark-up on them.
    pub markup: Percent,
    /// Parts, marked up.
    pub parts: Money,
    /// Carriage at cost.
    pub carriage: Money,
    /// Small-order fees at cost.
    pub fees: Money,
    /// Labour, parts, carriage and fees.
    pub net: Money,
    /// Tax rate; on labour, parts, carriage, fees and, when used, the allowance.
    pub tax_percent: Percent,
    /// Tax on `net`.
    pub tax: Money,
    /// Net and tax.
    pub total: Money,
    /// Bench fee, tax included, paid when the set was booked in.
    pub bench_fee: Option<Money>,
    /// What of it is taken off.
    pub credit: Money,
    /// The total less the credit.
    pub to_pay: Money,
    /// Allowance rate.
    pub allowance_percent: Percent,
    /// Allowance for faults not yet seen, without tax; not charged unless used.
    pub allowance: Money,
    /// The most that can be charged without asking: the total, and the allowance with its tax.
    pub ceiling_to_authorise: Money,
    /// Deposit on the total.
    pub deposit: Option<Money>,
}

/// Adds everything up, in a currency with so many decimals.
pub fn sums(charges: &Charges, settings: &QuoteSettings, digits: u8) -> Sums {
    let by_hour = charges.rate_per_hour.map_or(Money::ZERO, |rate| rate.ratio(charges.hundredths_of_minute, 6_000));
    let labour = (by_hour + charges.flat).rounded(digits);
    let markup = settings.markup.unwrap_or_default();
    let parts = (charges.goods + charges.goods.percent(markup)).rounded(digits);
    let (carriage, fees) = (charges.carriage.rounded(digits), charges.fees.rounded(digits));
    let net = labour + parts + carriage + fees;
    let tax_percent = settings.tax.unwrap_or_default();
    let tax = net.percent(tax_percent).rounded(digits);
    let total = net + tax;
    let bench_fee = settings.bench_fee.map(|fee| fee.rounded(digits));
    let credit = match bench_fee {
        Some(fee) if settings.bench_fee_credited => fee.min(total),
        _ => Money::ZERO,
    };
    let allowance_percent = settings.allowance.unwrap_or_else(|| Percent::new(USUAL_ALLOWANCE_PERCENT));
    let allowance = net.percent(allowance_percent).rounded(digits);
    let most_net = net + allowance;
    Sums {
        hundredths_of_minute: charges.hundredths_of_minute,
        rate_per_hour: charges.rate_per_hour,
        labour,
        goods: charges.goods,
        markup,
        parts,
        carriage,
        fees,
        net,
        tax_percent,
        tax,
        total,
        bench_fee,
        credit,
        to_pay: total - credit,
        allowance_percent,
        allowance,
        ceiling_to_authorise: (most_net + most_net.percent(tax_percent)).rounded(digits),
        deposit: settings.deposit.map(|d| total.percent(d).rounded(digits)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn money(text: &str) -> Money {
        Money::parse(text).unwrap()
    }

    /// The settings of the worked example.
    fn settings() -> QuoteSettings {
        QuoteSettings {
            rate_per_hour: Some(money("42.00")),
            markup: Some(Percent::new(30.0)),
            tax: Some(Percent::new(20.0)),
            bench_fee: Some(money("48.00")),
            bench_fee_credited: true,
            allowance: Some(Percent::new(15.0)),
            deposit: Some(Percent::new(25.0)),
            ..QuoteSettings::default()
        }
    }

    fn charges() -> Charges {
        Charges {
            hundredths_of_minute: 30_400,
            rate_per_hour: Some(money("42.00")),
            goods: money("32.65"),
            carriage: money("5.95"),
            ..Charges::default()
        }
    }

    // Worked by hand: 304 min at 42.00 an hour is 212.80; 32.65 and 30 % is 42.445, so 42.45; with 5.95 net 261.20;
    // tax 52.24; total 313.44; less 48.00 is 265.44; 15 % of net 39.18; 300.38 and 20 % is 360.456, so 360.46.
    #[test]
    fn worked_example_to_the_penny() {
        let s = sums(&charges(), &settings(), 2);
        let shown = [s.labour, s.parts, s.carriage, s.net, s.tax, s.total, s.to_pay, s.allowance].map(|m| m.text(4));
        let due = ["212.80", "42.45", "5.95", "261.20", "52.24", "313.44", "265.44", "39.18"].map(|t| money(t).text(4));
        assert_eq!(shown, due);
        assert_eq!(s.ceiling_to_authorise, money("360.46"));
        assert_eq!(s.deposit, Some(money("78.36")));
    }

    #[test]
    fn a_fee_that_is_not_credited_is_not_taken_off() {
        let kept = QuoteSettings { bench_fee_credited: false, ..settings() };
        assert_eq!(sums(&charges(), &kept, 2).to_pay, money("313.44"));
        let small = sums(&Charges::default(), &settings(), 2);
        assert_eq!((small.total, small.to_pay), (Money::ZERO, Money::ZERO));
    }

    // Flat sums beside minutes; a currency without minor units: 100 min at 40 is 66.67, and 10 flat, so 77.
    #[test]
    fn flat_sums_and_other_currencies() {
        let charges = Charges {
            hundredths_of_minute: 10_000,
            flat: money("10"),
            rate_per_hour: Some(money("40")),
            ..Charges::default()
        };
        assert_eq!(sums(&charges, &settings(), 0).labour, money("77"));
        assert_eq!(sums(&charges, &settings(), 2).labour, money("76.67"));
    }
}
