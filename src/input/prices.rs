//! Price tiers: `1:0.42;10:0.36`, a single price, or columns `price1`, `price10`, `qty10`.

use super::escape::quoted;
use super::fault::FaultKind;
use super::table::{Row, money};
use crate::model::shop::Tier;
use crate::money::Money;

/// Reads the tiers of a row, rising by quantity. Faults stay with the row.
pub(super) fn tiers(row: &mut Row<'_>) -> Vec<Tier> {
    let before = row.is_faulty();
    let mut tiers: Vec<Tier> = match row.quantity("prices") {
        Some(text) => match list(&text) {
            Ok(tiers) => tiers,
            Err((message, help)) => {
                row.fault("prices", FaultKind::Money, message, help.to_owned());
                Vec::new()
            }
        },
        None => row.price_columns().into_iter().map(|(from, each)| Tier { from, each }).collect(),
    };
    tiers.sort_by_key(|tier| tier.from);
    let twice = tiers.iter().zip(tiers.iter().skip(1)).find(|(one, next)| one.from == next.from);
    if let Some((tier, _)) = twice {
        let message = format!("two prices from the quantity {} on", tier.from);
        row.fault("prices", FaultKind::Contradiction, message, "write one price for each quantity".to_owned());
    }
    if tiers.is_empty() && row.is_faulty() == before {
        let message = "no price is given".to_owned();
        row.fault("prices", FaultKind::EmptyCell, message, "write prices like 1:0.42;10:0.36".to_owned());
    }
    tiers
}

/// How prices are written.
const LIKE: &str = "write quantity and price of one, like 1:0.42;10:0.36";

/// Reads `1:0.42;10:0.36`, or one price for any quantity.
pub(super) fn list(text: &str) -> Result<Vec<Tier>, (String, &'static str)> {
    let mut tiers = Vec::new();
    for pair in text.split([';', '|']).map(str::trim).filter(|pair| !pair.is_empty()) {
        let (from, price) = pair.split_once([':', '=']).unwrap_or(("1", pair));
        let from = from.trim().trim_end_matches('+');
        let quantity: Option<u32> = from.parse().ok().filter(|from| (1..=1_000_000_000).contains(from));
        let from = quantity
            .ok_or_else(|| (format!("price quantity {} is not a whole number from 1 on", quoted(from)), LIKE))?;
        let each: Money = money(price.trim()).map_err(|why| (format!("price {}: {why}", quoted(price)), LIKE))?;
        tiers.push(Tier { from, each });
    }
    if tiers.is_empty() { Err((format!("prices {} hold no price", quoted(text)), LIKE)) } else { Ok(tiers) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pairs(text: &str) -> Vec<(u32, String)> {
        list(text).unwrap().into_iter().map(|tier| (tier.from, tier.each.exact_text(2))).collect()
    }

    #[test]
    fn price_lists() {
        assert_eq!(
            pairs("1:0.42;10:0.36;100:0.0285"),
            [(1, "0.42".into()), (10, "0.36".into()), (100, "0.0285".into())]
        );
        assert_eq!(pairs("0.42"), [(1, "0.42".into())]);
        assert_eq!(pairs("5+: 1.10; 25+:.9"), [(5, "1.10".into()), (25, "0.90".into())]);
        for text in ["0:0.42", "x:1", "1:-0.10", "1:0.123456", ";", "1:£2"] {
            assert!(list(text).is_err(), "{text}");
        }
    }
}
