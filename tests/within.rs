//! The 0/1 programme of the ceiling against an enumeration of all subsets.

use capjob::money::Money;
use capjob::purchase::{Barred, Item, within, worth};
use proptest::prelude::*;

fn money(cents: u32) -> Money {
    Money::from_ten_thousandths(i64::from(cents) * 100)
}

/// Whether a choice may come out.
fn allowed(items: &[Item], ceiling: Option<Money>, barred: &[Barred], taken: &[bool]) -> bool {
    let spent: Money = items.iter().zip(taken).filter(|(_, t)| **t).map(|(i, _)| i.price).sum();
    ceiling.is_none_or(|c| spent <= c)
        && barred.iter().all(|b| match b {
            Barred::Together(these) => these.iter().any(|i| taken.get(*i) == Some(&false)),
            Barred::Exactly(choice) => choice != taken,
        })
}

/// The most worth by trying every subset.
fn by_hand(items: &[Item], ceiling: Option<Money>, barred: &[Barred]) -> Option<u64> {
    (0..1_u32 << items.len())
        .map(|bits| (0..items.len()).map(|i| bits >> i & 1 == 1).collect::<Vec<bool>>())
        .filter(|taken| allowed(items, ceiling, barred, taken))
        .map(|taken| worth(items, &taken))
        .max()
}

fn items() -> impl Strategy<Value = Vec<Item>> {
    let item = (1..10_000_u32, 0..3_000_u32).prop_map(|(worth, cents)| Item { worth, price: money(cents) });
    proptest::collection::vec(item, 1..9)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn nothing_within_the_money_is_worth_more(
        items in items(), ceiling in proptest::option::of(0..9_000_u32), bars in proptest::collection::vec(0..256_u32, 0..4),
    ) {
        let ceiling = ceiling.map(money);
        let barred: Vec<Barred> = bars.iter().enumerate().map(|(at, bits)| {
            let choice: Vec<bool> = (0..items.len()).map(|i| bits >> i & 1 == 1).collect();
            let these: Vec<usize> = (0..items.len()).filter(|i| choice.get(*i) == Some(&true)).collect();
            if at % 2 == 0 || these.is_empty() { Barred::Exactly(choice) } else { Barred::Together(these) }
        }).collect();
        let due = by_hand(&items, ceiling, &barred);
        let got = within(&items, ceiling, &barred);
        prop_assert_eq!(got.as_ref().map(|w| worth(&items, &w.taken)), due);
        if let Some(got) = got {
            prop_assert!(got.best && allowed(&items, ceiling, &barred, &got.taken));
        }
    }
}

// Two choices of the same worth: the cheaper one is taken.
#[test]
fn of_equals_the_cheaper() {
    let item = |worth, cents| Item { worth, price: money(cents) };
    let items = [item(5_000, 700), item(5_000, 300), item(10_000, 1_200)];
    let got = within(&items, Some(money(1_200)), &[]).expect("a choice");
    assert_eq!(got.taken, [true, true, false]);
}

#[test]
fn nothing_to_choose_from() {
    assert_eq!(within(&[], None, &[]), None);
    let one = [Item { worth: 1, price: money(1) }];
    assert_eq!(within(&one, None, &[Barred::Together(Vec::new())]), None);
    assert_eq!(within(&one, Some(Money::ZERO), &[]).expect("nothing is always within").taken, [false]);
}
