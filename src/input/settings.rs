//! `shop.toml`: the shop's settings.

use std::collections::BTreeMap;

use super::bounds::{CATALOG, CHOOSE, LABOUR, SHOP, SPARES};
use super::columns_map::{ColumnMap, ColumnMaps};
use super::escape::quoted;
use super::fault::FaultKind;
use super::sheet::{Free, FreeValue, Section, Sheet};
use super::table::{Columns, money, plain_heading};
use super::word::mend;
use crate::model::shop::{Choose, LabourRate, Margins, QuoteSettings, SparePolicy, WordSet};
use crate::money::{Currency, Percent, Rate};

/// Kinds of work that labour is given for.
const WORK: &[&str] = &["electrolytic", "film", "can", "restuff", "resistor", "lead", "valve", "test", "other"];
/// Most minutes of one piece of work.
const MOST_MINUTES: f64 = 10_000.0;

/// The settings of a shop.
pub(super) struct Settings {
    pub(super) currency: Currency,
    pub(super) exchange: BTreeMap<Currency, Rate>,
    pub(super) quote: QuoteSettings,
    pub(super) margins: Margins,
    pub(super) spares: SparePolicy,
    pub(super) choose: Choose,
    pub(super) words: WordSet,
    pub(super) columns: ColumnMaps,
}

/// Reads the settings; `None` without a currency. `margin_keys` are the thresholds that the
/// rules have. Faults stay with the sheet.
pub(super) fn read_settings(sheet: &Sheet<'_>, margin_keys: &[&str]) -> Option<Settings> {
    let tree = sheet.tree()?;
    let root = Section::root(sheet, &tree, SHOP);
    let currency = root.text("currency").and_then(|text| {
        let currency = Currency::new(&text);
        if currency.is_none() {
            let message = format!("currency {} is not three capital letters", quoted(&text));
            root.fault("currency", FaultKind::Money, message, "write the letters of ISO 4217, like \"GBP\"");
        }
        currency
    });
    let exchange = root.free("exchange").map(|free| exchange(&free)).unwrap_or_default();
    let quote = quote(&root);
    let margins = root.free("margins").map(|free| margins(&free, margin_keys)).unwrap_or_default();
    let spares = root.section("spares", SPARES, "[spares]").map(|s| spares(&s)).unwrap_or_default();
    let choose = root.section("choose", CHOOSE, "[choose]").map(|s| choose(&s)).unwrap_or_default();
    let words = root.word("words").unwrap_or(WordSet::Uk);
    let columns = root.free("columns").map(|free| columns(&free)).unwrap_or_default();
    Some(Settings { currency: currency?, exchange, quote, margins, spares, choose, words, columns })
}

fn exchange(free: &Free<'_>) -> BTreeMap<Currency, Rate> {
    let mut rates = BTreeMap::new();
    for (key, at, value) in free.entries() {
        let Some(currency) = Currency::new(key) else {
            let message = format!("currency {} is not three capital letters", quoted(key));
            free.fault((at, key), FaultKind::Money, message, "write the letters of ISO 4217, like EUR");
            continue;
        };
        let rate = match value {
            FreeValue::Text(text) => Rate::parse(text).map_err(|why| format!("rate {}: {why}", quoted(text))),
            FreeValue::Number(_) => Err(format!("the rate of {key} is a number, not a text")),
            FreeValue::Table(_) => Err(format!("the rate of {key} is a section, not a text")),
            FreeValue::Other(what) => Err(format!("the rate of {key} is a TOML {what}, not a text")),
        };
        match rate {
            Ok(rate) => {
                rates.insert(currency, rate);
            }
            Err(message) => {
                let help = "write one foreign unit in the shop's currency, in quotes, like \"0.86\"";
                free.fault((at, key), FaultKind::Money, message, help);
            }
        }
    }
    rates
}

/// What the quote needs.
fn quote(root: &Section<'_>) -> QuoteSettings {
    let labour = root.section("labour", LABOUR, "[labour]");
    let percent = |key: &str| root.number(key).map(Percent::new);
    QuoteSettings {
        rate_per_hour: labour.as_ref().and_then(|section| section.money("rate_per_hour")),
        labour: labour.as_ref().map(rates).unwrap_or_default(),
        markup: percent("markup_percent"),
        tax: percent("tax_percent"),
        bench_fee: root.money("bench_fee"),
        bench_fee_credited: root.truth("bench_fee_credited").unwrap_or(false),
        allowance: percent("allowance_percent"),
        deposit: percent("deposit_percent"),
        valid_days: root.whole("valid_days"),
        warranty_days: root.whole("warranty_days"),
    }
}

/// Minutes and sums by kind of work; one kind has one of both.
fn rates(labour: &Section<'_>) -> BTreeMap<String, LabourRate> {
    let mut rates = BTreeMap::new();
    let given = ["minutes", "money"].into_iter().filter_map(|key| labour.free(key));
    for free in given {
        for (key, at, value) in free.entries() {
            if !WORK.contains(&key) {
                let message = format!("kind of work {} is not known", quoted(key));
                free.fault((at, key), FaultKind::UnknownKey, message, mend(key, WORK));
            } else if rates.contains_key(key) {
                let message = format!("work {} has both minutes and money", quoted(key));
                free.fault((at, key), FaultKind::Contradiction, message, "give one of them");
            } else if let Some(rate) = labour_rate(&free, key, at, &value) {
                rates.insert(key.to_owned(), rate);
            }
        }
    }
    rates
}

fn labour_rate(free: &Free<'_>, key: &str, at: usize, value: &FreeValue<'_>) -> Option<LabourRate> {
    let (kind, message, help) = match value {
        FreeValue::Number(minutes) if (0.0..=MOST_MINUTES).contains(minutes) => {
            return Some(LabourRate::Minutes(*minutes));
        }
        FreeValue::Number(minutes) => (
            FaultKind::OutOfBounds,
            format!("{key} of {minutes} minutes is out of all reason; accepted is 0 to {MOST_MINUTES}"),
            "check the figure",
        ),
        FreeValue::Text(text) => match money(text) {
            Ok(sum) => return Some(LabourRate::Flat(sum)),
            Err(why) => (FaultKind::Money, format!("{key} {}: {why}", quoted(text)), "write money like \"12.50\""),
        },
        FreeValue::Table(_) | FreeValue::Other(_) => (
            FaultKind::WrongType,
            format!("{key} is neither a number of minutes nor money in quotes"),
            "write minutes as a number, money in quotes",
        ),
    };
    free.fault((at, key), kind, message, help);
    None
}

/// Thresholds by rule; `[margins.rule] name = 1` is the same as `"rule.name" = 1`.
fn margins(free: &Free<'_>, known: &[&str]) -> Margins {
    let mut margins = BTreeMap::new();
    for (key, at, value) in free.entries() {
        match value {
            FreeValue::Table(inner) => {
                for (name, at, value) in inner.entries() {
                    margin(&inner, &format!("{key}.{name}"), at, &value, (known, &mut margins));
                }
            }
            value => margin(free, key, at, &value, (known, &mut margins)),
        }
    }
    Margins(margins)
}

fn margin(
    free: &Free<'_>,
    key: &str,
    at: usize,
    value: &FreeValue<'_>,
    (known, margins): (&[&str], &mut BTreeMap<String, f64>),
) {
    if !known.contains(&key) {
        let message = format!("threshold {} is not known", quoted(key));
        let help = match crate::units::parse::nearest(key, known) {
            Some(near) => format!("the nearest known is '{near}'"),
            None => "see the list of rules for the ids of their thresholds".to_owned(),
        };
        free.fault((at, key), FaultKind::UnknownKey, message, help);
        return;
    }
    match value {
        FreeValue::Number(number) if number.is_finite() => {
            margins.insert(key.to_owned(), *number);
        }
        _ => {
            let message = format!("threshold {} is not a number", quoted(key));
            free.fault((at, key), FaultKind::WrongType, message, "write a number without quotes and without its unit");
        }
    }
}

fn spares(section: &Section<'_>) -> SparePolicy {
    SparePolicy {
        film: section.whole("film").unwrap_or(0),
        resistor: section.whole("resistor").unwrap_or(0),
        electrolytic: section.whole("electrolytic").unwrap_or(0),
        over_ten: Percent::new(section.number("over_ten_percent").unwrap_or(0.0)),
        to_select: section.whole("to_select").unwrap_or(0),
    }
}

fn choose(section: &Section<'_>) -> Choose {
    let default = Choose::default();
    Choose {
        max_suppliers: section.whole("max_suppliers"),
        max_parts_per_place: section.whole("max_parts_per_place"),
        series_pairs: section.truth("series_pairs").unwrap_or(default.series_pairs),
        parallel_pairs: section.truth("parallel_pairs").unwrap_or(default.parallel_pairs),
        snap_in: section.truth("snap_in").unwrap_or(default.snap_in),
    }
}

/// Headings of suppliers by file name.
fn columns(free: &Free<'_>) -> ColumnMaps {
    let mut maps = Vec::new();
    for (pattern, at, value) in free.entries() {
        let FreeValue::Table(headings) = value else {
            let message = format!("{} is not a section of headings", quoted(pattern));
            free.fault(
                (at, pattern),
                FaultKind::WrongType,
                message,
                "write [columns.\"name*.csv\"] and headings below it",
            );
            continue;
        };
        let mut map = ColumnMap { pattern: pattern.to_owned(), columns: BTreeMap::new() };
        for (heading, at, value) in headings.entries() {
            if let Some(column) = our_column(&headings, heading, at, &value) {
                map.columns.insert(plain_heading(heading), column);
            }
        }
        maps.push(map);
    }
    ColumnMaps(maps)
}

fn our_column(free: &Free<'_>, heading: &str, at: usize, value: &FreeValue<'_>) -> Option<String> {
    let FreeValue::Text(text) = value else {
        let message = format!("heading {} is not given a column", quoted(heading));
        free.fault((at, heading), FaultKind::WrongType, message, "write \"their heading\" = \"our column\"");
        return None;
    };
    let plain = plain_heading(text);
    if Columns::catalog(CATALOG).accepts(&plain) {
        return Some(plain);
    }
    let known: Vec<&str> = CATALOG.iter().map(|field| field.name).collect();
    let message = format!("column {} is not one of the catalog's", quoted(text));
    free.fault((at, heading), FaultKind::UnknownName, message, mend(text, &known));
    None
}
