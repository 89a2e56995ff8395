//! The quote against figures worked by hand.

#![expect(clippy::expect_used, reason = "a case that cannot be built has failed")]
#![expect(clippy::panic, reason = "a page that lacks a figure has failed")]
#![expect(clippy::cast_precision_loss, reason = "amounts are far below 2^53 ten-thousandths")]

use std::collections::BTreeMap;
use std::fmt::Write as _;

use std::collections::BTreeSet;

use capjob::documents::block::{Block, Cell};
use capjob::documents::machine::quote::QuoteDocument;
use capjob::documents::quote as page;
use capjob::export::{json, text};
use capjob::model::chassis::Job;
use capjob::model::finding::{Call, Decision, Finding, Judgement, OwnerCause};
use capjob::model::kind::PartKind;
use capjob::model::plan::{BuyLine, Plan};
use capjob::model::shop::{Article, LabourRate, QuoteSettings, WordSet};
use capjob::money::{Currency, Money, Percent};
use capjob::quote::{Form, OwnerClass, QuoteError, Warning, quote};
use capjob::sources::SourceId;

use proptest::prelude::*;

#[path = "support/plan_builder.rs"]
mod plan_builder;
use plan_builder::{job, judgement, plan};

/// An amount.
fn money(text: &str) -> Money {
    Money::parse(text).expect("an amount")
}

/// A public-address amplifier: 14 coupling and tone parts, 3 electrolytics, one can of two sections, 6 resistors,
/// a mains lead.
fn amplifier(more: &str) -> (Job, Plan) {
    let mut parts = String::from("ref,part,marked,place,can\n");
    let mut add = |first: u32, count: u32, line: &str| {
        for n in first..first + count {
            writeln!(parts, "{}", line.replace('#', &n.to_string())).expect("a text");
        }
    };
    add(1, 14, "C#,paper,.05/400,tone,");
    add(20, 3, "C#,electrolytic,25/25,cathode,");
    add(30, 2, "C#,electrolytic,32/450,smoothing,A");
    add(1, 6, "R#,carbon-composition,220K 1/2W,anode,");
    add(1, 1, "LD#,lead,mains lead 3-core,,");
    let chassis = format!("[chassis]\nname = \"Amplifier\"\nsupply = \"transformer\"\ninspected = 2026-11-20\n{more}");
    let job = job("ph-30", &chassis, &parts);
    let judgements = job.parts.iter().map(|p| judgement(&p.reference, Decision::Replace)).collect();
    let mut plan = plan(&job, judgements);
    plan.totals.goods = money("32.65");
    plan.buy = vec![goods("32.65")];
    plan.totals.carriage = money("5.95");
    (job, plan)
}

/// All goods of the order as one line.
fn goods(price: &str) -> BuyLine {
    let article = Article::of_kind(PartKind::Hardware);
    BuyLine {
        supplier: "Some".to_owned(),
        number: "ALL".to_owned(),
        article,
        quantity: 3,
        needed: 1,
        spare: 2,
        spare_why: None,
        each: money(price),
        line: money(price).times(3),
        tier_from: 1,
        stock: None,
        lead_days: None,
        refs: Vec::new(),
    }
}

fn settings() -> QuoteSettings {
    let minutes =
        [("film", 8.0), ("electrolytic", 12.0), ("can", 45.0), ("resistor", 6.0), ("lead", 30.0), ("test", 45.0)];
    QuoteSettings {
        rate_per_hour: Some(money("42.00")),
        labour: minutes.into_iter().map(|(k, m)| (k.to_owned(), LabourRate::Minutes(m))).collect(),
        markup: Some(Percent::new(30.0)),
        tax: Some(Percent::new(20.0)),
        bench_fee: Some(money("48.00")),
        bench_fee_credited: true,
        allowance: Some(Percent::new(15.0)),
        deposit: Some(Percent::new(25.0)),
        valid_days: Some(14),
        warranty_days: Some(90),
    }
}

/// 304 min; labour 212.80; parts 42.45; carriage 5.95; net 261.20; tax 52.24; total 313.44; to pay 265.44;
/// allowance 39.18; ceiling 360.46; valid 14 days. Worked by hand from the settings above.
#[test]
fn the_worked_quote_to_the_penny() {
    let (job, plan) = amplifier("");
    let quote = quote(&[job], &plan, &settings(), None).expect("a quote");
    let due = [
        ("labour", "212.80"),
        ("parts", "42.45"),
        ("carriage", "5.95"),
        ("net", "261.20"),
        ("tax", "52.24"),
        ("total", "313.44"),
        ("to_pay", "265.44"),
        ("allowance", "39.18"),
        ("ceiling_to_authorise", "360.46"),
        ("bench_fee", "48.00"),
        ("deposit", "78.36"),
        ("valid_until", "2026-12-04"),
        ("form", "firm"),
    ];
    let document = json::write(&QuoteDocument::new(&plan, &quote)).expect("a document");
    let read: serde_json::Value = serde_json::from_str(&document).expect("JSON");
    for (key, text) in due {
        assert_eq!(read[key], text, "{key}");
    }
    assert!((read["minutes"].as_f64().expect("minutes") - 304.0).abs() < 1e-9);
    let setting = text::Setting { width: None, colour: false };
    let shown = text::write(&page::blocks(&quote, WordSet::Uk), setting);
    for (key, amount) in due.into_iter().filter(|(k, _)| *k != "form") {
        assert!(shown.contains(amount), "{key} {amount} is not on the page:\n{shown}");
    }
    assert!(shown.contains("Valves, and parts that were left alone, are not covered"), "{shown}");
}

/// Prices for each piece of work instead of time: 14 x 5, 3 x 6, 25, 6 x 3, 20 and 30 are 181.
#[test]
fn labour_by_the_piece_needs_no_rate() {
    let (job, plan) = amplifier("");
    let each = [("film", "5"), ("electrolytic", "6"), ("can", "25"), ("resistor", "3"), ("lead", "20"), ("test", "30")];
    let labour: BTreeMap<String, LabourRate> =
        each.into_iter().map(|(k, m)| (k.to_owned(), LabourRate::Flat(money(m)))).collect();
    let by_piece = QuoteSettings { labour, rate_per_hour: None, ..settings() };
    let made = quote(std::slice::from_ref(&job), &plan, &by_piece, None).expect("a quote");
    assert_eq!(made.sums.labour, money("181.00"));
    assert_eq!(made.sums.hundredths_of_minute, 0);
    // One kind without a price falls back to minutes, and those need a rate.
    let mut lacking = by_piece.clone();
    lacking.labour.remove("resistor");
    assert!(matches!(quote(&[job], &plan, &lacking, None), Err(QuoteError::NoRate { kinds }) if kinds == "'resistor'"));
}

#[test]
fn without_labour_there_is_no_quote() {
    let (job, plan) = amplifier("");
    let none = QuoteSettings { labour: BTreeMap::new(), rate_per_hour: None, ..settings() };
    assert_eq!(quote(std::slice::from_ref(&job), &plan, &none, None), Err(QuoteError::NoLabour));
    // A rate alone will do: usual minutes are taken, and said so.
    let rate = QuoteSettings { labour: BTreeMap::new(), ..settings() };
    let made = quote(&[job], &plan, &rate, None).expect("a quote");
    assert_eq!(made.sums.labour, money("212.80"));
    assert!(made.assumed.iter().any(|a| a.contains("'film' not set: 8 min")), "{:?}", made.assumed);
}

#[test]
fn what_is_missing_is_said_and_not_taken_as_nothing() {
    let (job, plan) = amplifier("");
    let bare = QuoteSettings { rate_per_hour: Some(money("42.00")), ..QuoteSettings::default() };
    let made = quote(&[job], &plan, &bare, None).expect("a quote");
    assert_eq!((made.sums.parts, made.sums.tax), (money("32.65"), money("0")));
    for told in ["mark-up not set", "tax not set", "15 % taken", "14 days taken", "warranty not set"] {
        assert!(made.assumed.iter().any(|a| a.contains(told)), "{told}: {:?}", made.assumed);
    }
    assert_eq!(made.valid_until.map(|d| d.to_string()).as_deref(), Some("2026-12-04"));
}

#[test]
fn the_owner_is_warned_when_it_does_not_pay() {
    let (job, plan) = amplifier("ceiling = \"300.00\"\nvalue = \"313.43\"\n");
    let made = quote(&[job], &plan, &settings(), None).expect("a quote");
    let (value, authorised) = (money("313.43"), money("300.00"));
    assert_eq!(made.warnings, [Warning::OverValue { value }, Warning::OverAuthorised { authorised }]);
    let (job, plan) = amplifier("ceiling = \"313.44\"\nvalue = \"313.44\"\n");
    assert!(quote(&[job], &plan, &settings(), None).expect("a quote").warnings.is_empty());
}

#[test]
fn an_open_reading_makes_it_a_range() {
    let (job, mut plan) = amplifier("");
    plan.inspections[0].judgements[0].decision = Decision::Test;
    let made = quote(&[job], &plan, &settings(), None).expect("a quote");
    assert_eq!(made.form, Form::Range);
    let setting = text::Setting { width: None, colour: false };
    let shown = text::write(&page::blocks(&made, WordSet::Uk), setting);
    assert!(shown.contains("ESTIMATE: from"), "{shown}");
    assert!(shown.contains("1 part still to be tested"), "{shown}");
}

fn finding(safety: bool) -> Finding {
    Finding {
        rule: "paper",
        says: "waxie reads leaky".to_owned(),
        value: None,
        limit: None,
        unit: "",
        source: SourceId::OurDriftRule,
        limit_from_shop: false,
        call: Call::Replace,
        urgent: false,
        safety,
        owner: Some(OwnerCause::KindOrAge),
        measure: None,
    }
}

#[test]
fn the_owner_reads_what_is_unsafe_worn_advised_or_can_wait_without_slang() {
    let (mut job, mut plan) = amplifier("");
    let change = |plan: &mut Plan, n: usize, change: &dyn Fn(&mut Judgement)| {
        change(&mut plan.inspections[0].judgements[n]);
    };
    change(&mut plan, 0, &|j| j.urgent = true);
    // Safety behind a place on the mains is the owner's; over its rating elsewhere a part is worn.
    change(&mut plan, 1, &|j| j.findings.push(finding(true)));
    let on_mains = plan.inspections[0].judgements[1].reference.clone();
    change(&mut plan, 4, &|j| j.findings.push(finding(true)));
    let overrated = plan.inspections[0].judgements[4].reference.clone();
    change(&mut plan, 2, &|j| j.must = false);
    change(&mut plan, 3, &|j| j.must = false);
    let [second, third] = [2, 3].map(|n| plan.inspections[0].judgements[n].reference.clone());
    for part in &mut job.parts {
        part.note = Some("owner: the lytic caps were recapped, death cap cut".to_owned());
        if part.reference == on_mains {
            part.place = Some(capjob::model::kind::Place::LineToChassis);
        }
        if part.reference == second {
            part.place = Some(capjob::model::kind::Place::Coupling);
        }
    }
    let made = quote(&[job], &plan, &settings(), None).expect("a quote");
    let class = |reference: &str| made.findings.iter().find(|l| l.reference == reference).map(|l| l.class);
    assert_eq!(class(&second), Some(OwnerClass::Advised));
    assert_eq!(class(&third), Some(OwnerClass::CanWait));
    assert_eq!((class(&on_mains), class(&overrated)), (Some(OwnerClass::Unsafe), Some(OwnerClass::Worn)));
    assert_eq!(made.findings.iter().filter(|l| l.class == OwnerClass::Unsafe).count(), 2);
    assert_eq!(made.waiting.len(), 1);
    // Eight minutes at 42.00 an hour are 5.60, with tax 6.72; nothing is bought in this plan.
    assert_eq!(made.waiting[0].saves, money("6.72"));
    let shown = text::write(&page::blocks(&made, WordSet::Uk), text::Setting { width: None, colour: false });
    let words: Vec<String> = shown.split(|c: char| !c.is_alphanumeric()).map(str::to_lowercase).collect();
    for slang in ["lytic", "cap", "caps", "waxie", "death", "recap", "recapped", "leaky", "mfd", "sku"] {
        assert!(!words.iter().any(|w| w == slang), "{slang}: {shown}");
    }
}

/// The rows of the costs as they are printed: what it is, minutes, amount.
fn printed(blocks: &[Block]) -> Vec<[String; 3]> {
    let table = blocks.iter().find_map(|b| match b {
        Block::Table(table) if table.columns.first().is_some_and(|c| c.head == "What") => Some(table),
        _ => None,
    });
    let table = table.expect("a table of costs");
    let rows = table.rows.iter().chain(&table.total);
    rows.map(|r| [0, 2, 3].map(|n| r.get(n).map_or("", Cell::shown).to_owned())).collect()
}

/// An amount as printed, in ten-thousandths.
fn parts(text: &str) -> i64 {
    Money::parse(text.trim_start_matches('-')).expect("an amount").ten_thousandths()
        * if text.starts_with('-') { -1 } else { 1 }
}

/// What must add up on every quote, whatever the shop has set; `smallest`: the smallest coin in ten-thousandths.
fn adds_up(blocks: &[Block], settings: &QuoteSettings, smallest: i64) {
    let rows = printed(blocks);
    let at = |start: &str| -> i64 {
        let row = rows.iter().find(|r| r[0].starts_with(start));
        row.map_or(0, |r| parts(&r[2]))
    };
    let charges = at("Labour") + at("Parts") + at("Carriage") + at("Suppliers' small-order fees");
    assert_eq!(charges, at("Sum before tax"), "{rows:?}");
    assert_eq!(charges + at("Tax "), at("Total"), "{rows:?}");
    assert_eq!(at("Total") + at("Bench fee"), at("To pay"), "{rows:?}");
    assert!(0 <= at("To pay"), "{rows:?}");
    assert_eq!(settings.bench_fee_credited && at("Bench fee") != 0, rows.iter().any(|r| r[0].contains("taken off")));
    // Minutes by kind are the minutes of the labour, and their price with the flat sums is the labour.
    let minutes: f64 = rows.iter().filter_map(|r| r[1].parse::<f64>().ok()).sum();
    let flat: i64 = rows.iter().filter_map(|r| r[2].strip_suffix(" in labour")).map(parts).sum();
    let rate = settings.rate_per_hour.map_or(0.0, |m| m.ten_thousandths() as f64);
    let away = (minutes * rate / 60.0 + flat as f64 - at("Labour") as f64).abs();
    assert!(away <= smallest as f64 / 2.0 + 1.0, "{away}: {rows:?}");
    if let Some(row) = rows.iter().find(|r| r[0].contains(" min") && r[0].starts_with("Labour")) {
        let told: f64 = row[0].split(' ').nth(1).expect("minutes").parse().expect("a number");
        assert!((told - minutes).abs() < 1e-6, "{row:?} {minutes}");
    }
    // The allowance stands apart: it is in the ceiling, with its tax, and not in the total.
    let shown = text::write(blocks, text::Setting { width: None, colour: false });
    let after = |start: &str| -> i64 {
        let rest = shown.split(start).nth(1).unwrap_or_else(|| panic!("{start}: {shown}"));
        parts(rest.trim_start().split([' ', '\n']).next().expect("an amount").trim_end_matches('.'))
    };
    let (allowance, ceiling) = (after("valves: "), after("with it and its tax: "));
    let tax = settings.tax.map_or(0.0, Percent::get) / 100.0;
    let due = at("Total") as f64 + allowance as f64 * (1.0 + tax);
    assert!((due - ceiling as f64).abs() <= 2.0 * smallest as f64, "{due} {ceiling}: {shown}");
    assert!(shown.contains("It is not charged unless it is used."), "{shown}");
    match (shown.contains("FIRM QUOTE"), shown.contains("ESTIMATE: from ")) {
        (true, false) => assert_eq!(after("FIRM QUOTE for the work listed: "), at("Total")),
        (false, true) => {
            assert_eq!(after("ESTIMATE: from "), at("Total"));
            let upper = shown.split("ESTIMATE: from ").nth(1).and_then(|r| r.split(' ').nth(2)).expect("an amount");
            assert_eq!(parts(upper), ceiling, "{shown}");
        }
        other => panic!("{other:?}: {shown}"),
    }
    if let Some(deposit) = settings.deposit {
        let told = after("Deposit when you say go ahead: ");
        let due = at("Total") as f64 * deposit.get() / 100.0;
        assert!((told as f64 - due).abs() <= smallest as f64 / 2.0 + 1.0, "{told} {due}");
    }
}

prop_compose! {
    /// Settings of any shop: by the hour or by the piece, with or without fee, tax, deposit.
    fn any_settings()(
        rate in 1_u32..9_000, minutes in prop::collection::vec(0_u32..20_000, 6), by_piece in prop::collection::vec(any::<bool>(), 6),
        markup in 0_u32..10_000, tax in 0_u32..3_000, fee in prop::option::of(0_u32..40_000), credited: bool,
        allowance in 0_u32..5_000, deposit in prop::option::of(0_u32..=10_000),
    ) -> QuoteSettings {
        let cents = |n: u32| money(&format!("{}.{:02}", n / 100, n % 100));
        let hundredths = |n: u32| f64::from(n) / 100.0;
        let kinds = ["film", "electrolytic", "can", "resistor", "lead", "test"];
        let labour = kinds.into_iter().zip(minutes.iter().zip(&by_piece)).map(|(kind, (n, flat))| {
            let rate = if *flat { LabourRate::Flat(cents(*n)) } else { LabourRate::Minutes(hundredths(*n)) };
            (kind.to_owned(), rate)
        });
        QuoteSettings {
            rate_per_hour: Some(cents(rate)),
            labour: labour.collect(),
            markup: Some(Percent::new(hundredths(markup))),
            tax: Some(Percent::new(hundredths(tax))),
            bench_fee: fee.map(cents),
            bench_fee_credited: credited,
            allowance: Some(Percent::new(hundredths(allowance))),
            deposit: deposit.map(|d| Percent::new(hundredths(d))),
            valid_days: Some(14),
            warranty_days: Some(90),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Whatever is set and whatever the currency: the printed lines add up to the printed totals, firm or range.
    #[test]
    fn printed_lines_add_up(
        settings in any_settings(), goods_cents in 0_u32..60_000, carriage in 0_u32..5_000, fees in 0_u32..2_000,
        currency in prop::sample::select(vec!["EUR", "JPY"]), open: bool,
    ) {
        let (job, mut plan) = amplifier("");
        let cents = |n: u32| money(&format!("{}.{:02}", n / 100, n % 100));
        plan.currency = Currency::new(currency).expect("a currency");
        plan.buy = vec![goods(&cents(goods_cents).text(2))];
        plan.totals.carriage = cents(carriage);
        plan.totals.fees = cents(fees);
        if open {
            plan.inspections[0].judgements[0].decision = Decision::Test;
        }
        let made = quote(&[job], &plan, &settings, None).expect("a quote");
        prop_assert_eq!(made.form, if open { Form::Range } else { Form::Firm });
        let smallest = 10_i64.pow(4 - u32::from(plan.currency.minor_digits()));
        adds_up(&page::blocks(&made, WordSet::Uk), &settings, smallest);
    }
}

/// A line that was bought only to fill the order is the workshop's, and a part that its supplier calls used is told so.
#[test]
fn the_owner_sees_what_goes_into_the_set_and_whether_it_is_new() {
    let (job, mut plan) = amplifier("");
    let mut filler = goods("1.00");
    filler.needed = 0;
    filler.article.description = Some("filler".to_owned());
    let mut used = goods("9.00");
    used.article = Article::of_kind(PartKind::Valve);
    used.article.value = Some(capjob::model::part::Value::Designation("KT66".to_owned()));
    used.article.description = Some("valve KT66 used, tested above 70 %".to_owned());
    plan.buy.extend([filler, used]);
    let made = quote(&[job], &plan, &settings(), None).expect("a quote");
    assert!(made.new_parts.iter().all(|b| 0 < b.quantity), "{:?}", made.new_parts);
    let shown = text::write(&page::blocks(&made, WordSet::Uk), text::Setting { width: Some(80), colour: false });
    let valve = shown.lines().find(|l| l.contains("KT66")).expect("the valve");
    assert!(valve.contains("Valve") && valve.trim_end().ends_with("used"), "{valve}");
}

/// Silent are the rules about the bench's readings and those that the quote tells elsewhere; every other says its cause.
/// The causes of a few, typed from what their pages say.
#[test]
fn the_owner_hears_the_cause_of_every_rule() {
    let silent = [
        "electrolytic-readings",
        "electrolytic-reform",
        "resistor-unmeasured",
        "stable-kinds",
        "undecided",
        "value-unknown",
        "can-sections",
        // About the figures that the bench has, not about what is wrong with the part.
        "supply-doubt",
        "supply-node",
        // The quote's own list of what can wait tells it.
        "can-wait",
    ];
    let without: Vec<&str> = capjob::rules::pages().filter(|m| m.owner.is_none()).map(|m| m.id).collect();
    assert_eq!(without.iter().collect::<BTreeSet<_>>(), silent.iter().collect::<BTreeSet<_>>());
    for (id, cause) in [
        ("paper", OwnerCause::KindOrAge),
        ("coupling-grid", OwnerCause::Passing),
        ("mains-paper", OwnerCause::Mains),
        ("electrolytic-capacitance", OwnerCause::DriedOut),
        ("resistor-drift", OwnerCause::Changed),
        ("highest-voltage", OwnerCause::Overloaded),
        ("electrolytic-sight", OwnerCause::Damaged),
        ("pair", OwnerCause::Mate),
    ] {
        let page = capjob::rules::pages().find(|m| m.id == id).expect("a rule of this id");
        assert_eq!(page.owner, Some(cause), "{id}");
    }
}
