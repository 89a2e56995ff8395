//! What must hold for any offers: refusals name a point, pruning costs nothing, order does not count.

use std::collections::{BTreeMap, BTreeSet};

use capjob::model::chassis::Job;
use capjob::model::finding::{How, Judgement, Stress};
use capjob::model::kind::{MainsClass, PartKind, Place, Style};
use capjob::model::part::Value;
use capjob::model::shop::{Article, Glance, Offer, RippleRating, Shop, Supplier, Tier};
use capjob::money::{Money, Percent};
use capjob::substitute::candidates::Thinned;
use capjob::substitute::{Ask, Found, NeedContext, Search, Source, Target, check, positions};
use capjob::units::{Ampere, Celsius, Farad, Hertz, Hour, Millimetre, Ohm, Tolerance, Volt, Watt};
use proptest::prelude::*;

use super::build::*;

/// Places of every family.
fn chassis() -> (Job, Vec<Judgement>) {
    let mut hot = stress(300.0, 440.0);
    hot.ripple = Some(ripple(60.0, 20.0));
    hot.heat.as_mut().unwrap().value = Celsius::new(66.0);
    let parts = vec![
        (cap("C1", PartKind::Electrolytic, 16.0, 450.0).at(Place::Reservoir).nodes("HT1", "CH").space(20.0, 45.0), hot),
        (cap("C2", PartKind::Electrolytic, 8.0, 450.0).at(Place::Decoupling).nodes("HT3", "CH"), stress(280.0, 440.0)),
        (cap("C3", PartKind::Electrolytic, 25.0, 25.0).at(Place::Cathode).nodes("K", "CH"), stress(3.0, 3.0)),
        (cap("C4", PartKind::Paper, 0.05, 400.0).at(Place::Coupling), stress(180.0, 440.0)),
        (cap("C5", PartKind::Paper, 0.01, 600.0).at(Place::LineToChassis), Stress::default()),
        (cap("C6", PartKind::Mica, 0.0005, 350.0).at(Place::Tuned), stress(100.0, 300.0)),
        (cap("C7", PartKind::Electrolytic, 16.0, 450.0).at(Place::Smoothing).nodes("HT2", "CH"), stress(500.0, 560.0)),
        (res("R1", PartKind::CarbonComposition, 220_000.0, 0.5).at(Place::Anode), stress(150.0, 300.0)),
        (res("R2", PartKind::CarbonComposition, 470.0, 1.0).at(Place::Screen), stress(5.0, 5.0)),
        (named("F1", PartKind::Fuse, "T1A 20mm HBC"), Stress::default()),
    ];
    let judgements = parts.iter().map(|(p, s)| replace(&p.reference, How::New, s.clone())).collect();
    (job("PH-30", parts.into_iter().map(|(p, _)| p).collect()), judgements)
}

fn asks<'a>(job: &'a Job, judgements: &'a [Judgement], shop: &'a Shop) -> Vec<Ask<'a>> {
    let ask = |(part, judgement): (&'a _, &'a Judgement)| {
        let context = NeedContext { job, part, stress: &judgement.stress, judgement, supplies: &[], shop };
        Ask::new(judgement.reference.clone(), context).unwrap()
    };
    job.parts.iter().zip(judgements).map(ask).collect()
}

fn maybe<T: Clone + std::fmt::Debug + 'static>(values: Vec<T>) -> impl Strategy<Value = Option<T>> {
    prop_oneof![1 => Just(None), 3 => prop::sample::select(values).prop_map(Some)]
}

/// Values, ratings and bodies of the trade, with blanks as catalogs have them.
fn any_value() -> impl Strategy<Value = (PartKind, Value)> {
    let uf =
        vec![0.0005, 0.00047, 0.0047, 0.01, 0.047, 0.047, 0.1, 6.8, 8.0, 10.0, 16.0, 22.0, 22.0, 33.0, 47.0, 100.0];
    let ohm = vec![470.0, 120_000.0, 120_000.0, 220_000.0, 220_000.0, 440_000.0, 110_000.0, 235.0];
    let fuses = vec!["T1A 20mm HBC", "1A T 5x20mm HBC", "F1A 20mm", "T2A 20mm HBC"];
    let of = |kinds: &[PartKind]| prop::sample::select(kinds.to_vec());
    let capacitors = [PartKind::Electrolytic, PartKind::Film, PartKind::Mica, PartKind::Ceramic, PartKind::Suppressor];
    prop_oneof![
        6 => (of(&capacitors), prop::sample::select(uf)).prop_map(|(k, uf)| (k, Value::Farad(Farad::from_micro(uf)))),
        3 => (of(&[PartKind::MetalFilm, PartKind::Wirewound, PartKind::CarbonFilm]), prop::sample::select(ohm))
            .prop_map(|(k, ohm)| (k, Value::Ohm(Ohm::new(ohm)))),
        1 => prop::sample::select(fuses).prop_map(|f| (PartKind::Fuse, Value::Designation(f.to_owned()))),
    ]
}

/// Any article of the trade.
pub(crate) fn any_article() -> impl Strategy<Value = Article> {
    let volts = maybe(vec![25.0, 63.0, 250.0, 350.0, 350.0, 450.0, 450.0, 500.0, 630.0]);
    let mains = (maybe(vec![125.0, 250.0, 275.0]), maybe(MainsClass::ALL.to_vec()));
    let life = (maybe(vec![85.0, 105.0]), maybe(vec![1000.0, 2000.0, 5000.0]), maybe(vec![40.0, 200.0, 900.0]));
    let styles = maybe(vec![Style::Axial, Style::Radial, Style::SnapIn]);
    let body = (styles, maybe(vec![8.0, 16.0, 25.0]), maybe(vec![16.0, 36.0, 50.0]));
    let rest = (maybe(vec![0.25, 0.5, 1.0, 2.0, 3.0]), maybe(vec![true, false]), maybe(vec![1.0, 5.0, 20.0]));
    let made = maybe(vec![2014, 2022, 2026]);
    (any_value(), volts, mains, life, body, rest, made).prop_map(
        |((kind, value), volts, (vac, class), (temp, life, ma), (style, d, l), (watts, flame, tol), made)| Article {
            value: Some(value),
            tolerance: tol.map(Tolerance::symmetric),
            volts: volts.map(Volt::new),
            vac: vac.map(Volt::new),
            class,
            watts: watts.map(Watt::new),
            temp: temp.map(Celsius::new),
            life: life.map(Hour::new),
            ripple: ma.map(|ma| RippleRating {
                current: Ampere::from_milli(ma),
                at: Some(Hertz::new(100.0)),
                factors: Vec::new(),
            }),
            style,
            diameter: d.map(Millimetre::new),
            length: l.map(Millimetre::new),
            flameproof: flame,
            made,
            ..article(kind)
        },
    )
}

fn search<'a>(asks: &'a [Ask<'a>], shop: &'a Shop, offers: &[Offer]) -> Found<'a> {
    let mut search = Search::new(asks, shop).without_pruning();
    for offer in offers {
        search.offer(offer);
    }
    search.finish()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    // Everything usable fails no point and everything refused fails at least one that is printed;
    // the wordless search keeps exactly what the verdict in words calls usable.
    #[test]
    fn search_and_verdict_agree(articles in prop::collection::vec(any_article(), 1..40)) {
        let (job, judgements) = chassis();
        let shop = shop();
        let asks = asks(&job, &judgements, &shop);
        let offers: Vec<Offer> =
            articles.into_iter().enumerate().map(|(i, a)| offer("HV", &format!("N{i:02}"), "1.00", a)).collect();
        let found = search(&asks, &shop, &offers);
        for (index, ask) in asks.iter().enumerate() {
            let kept: BTreeSet<&str> = found.serving(Target::Single(index)).map(|(s, _)| s.key.number()).collect();
            for offer in &offers {
                let verdict = check(&ask.need, &offer.article, &ask.rules);
                prop_assert_eq!(verdict.usable(), verdict.fails().next().is_none());
                prop_assert_eq!(verdict.usable(), kept.contains(offer.number.as_str()), "{} for {}", offer.number, ask.name);
                for point in &verdict.points {
                    prop_assert!(!point.says.is_empty() && !point.needs.is_empty() && !point.has.is_empty());
                }
                let sorted = verdict.points.is_sorted_by_key(|p| p.point);
                prop_assert!(sorted, "points stand in their fixed order");
            }
            prop_assert!(found.nearest[index].iter().count() <= 5);
            for missed in found.nearest[index].iter() {
                prop_assert!(check(&ask.need, &missed.article, &ask.rules).fails().next().is_some());
            }
        }
    }

    // The order in which offers come changes neither what is kept nor what just misses.
    #[test]
    fn order_does_not_count(articles in prop::collection::vec(any_article(), 1..40)) {
        let (job, judgements) = chassis();
        let shop = shop();
        let asks = asks(&job, &judgements, &shop);
        let mut offers: Vec<Offer> =
            articles.into_iter().enumerate().map(|(i, a)| offer("HV", &format!("N{i:02}"), "1.00", a)).collect();
        let forth = positions(&search(&asks, &shop, &offers));
        offers.reverse();
        let back = positions(&search(&asks, &shop, &offers));
        prop_assert_eq!(forth, back);
    }
}

/// Two places for resistors that share some offers.
fn two_places() -> (Job, Vec<Judgement>) {
    let parts = vec![
        res("R1", PartKind::CarbonComposition, 220_000.0, 0.5).at(Place::GridLeak),
        res("R2", PartKind::CarbonComposition, 220_000.0, 1.0).at(Place::GridLeak),
    ];
    let judgements = parts.iter().map(|p| replace(&p.reference, How::New, Stress::default())).collect();
    (job("PH-30", parts), judgements)
}

fn money(cents: i64) -> Money {
    Money::from_ten_thousandths(cents * 100)
}

prop_compose! {
    fn any_offer(supplier: &'static str)(
        watts in prop::sample::select(vec![0.5, 1.0]),
        each in 5i64..60,
        second in prop::option::of((2u32..6, 1i64..60)),
        pack in 1u32..4,
        minimum in 1u32..4,
        stock in prop::option::of(1u32..40),
    ) -> Offer {
        let mut offer = offer(supplier, "", "1.00", metal(220_000.0, watts, 350.0));
        offer.tiers = vec![Tier { from: 1, each: money(each) }];
        offer.tiers.extend(second.map(|(from, each)| Tier { from, each: money(each) }));
        (offer.pack, offer.minimum, offer.stock) = (pack, minimum, stock);
        offer
    }
}

prop_compose! {
    fn any_terms(name: &'static str)(
        carriage in 0i64..300,
        free_over in prop::option::of(20i64..200),
        minimum in prop::option::of(20i64..200),
        fee in prop::option::of(0i64..100),
    ) -> Supplier {
        Supplier {
            carriage: money(carriage),
            free_over: free_over.map(money),
            minimum_order: minimum.map(money),
            small_order_fee: fee.map(money),
            ..supplier(name)
        }
    }
}

/// What one order of these quantities costs; `None` where the supplier does not take it.
fn order(terms: &Supplier, lines: &[(&Source, u32)]) -> Option<Money> {
    let each = |s: &Source, q: u32| s.tiers.iter().filter(|t| t.from <= q).max_by_key(|t| t.from).unwrap().each;
    let goods: Money = lines.iter().filter(|(_, q)| 0 < *q).map(|(s, q)| each(s, *q).times(*q)).sum();
    if lines.iter().all(|(_, q)| *q == 0) {
        return Some(Money::ZERO);
    }
    let carriage = if terms.free_over.is_some_and(|f| f <= goods) { Money::ZERO } else { terms.carriage };
    let fee = match terms.minimum_order {
        Some(least) if goods < least => terms.small_order_fee?,
        _ => Money::ZERO,
    };
    Some(goods + carriage + fee)
}

/// The least cost from one supplier with at least these pieces of its sources, by trying every quantity.
fn least_from(terms: &Supplier, sources: &[&Source], wanted: &[u32]) -> Option<Money> {
    let allowed = |s: &Source, least: u32| -> Vec<u32> {
        let valid =
            |q: &u32| *q == 0 || (q.is_multiple_of(s.pack) && s.minimum <= *q && s.stock.is_none_or(|most| *q <= most));
        (0..=9).filter(valid).filter(|q| least <= *q).collect()
    };
    let mut plans: Vec<Vec<(&Source, u32)>> = vec![Vec::new()];
    for (source, least) in sources.iter().zip(wanted) {
        let choices = allowed(source, *least);
        plans = plans.iter().flat_map(|p| choices.iter().map(|q| [p.as_slice(), &[(*source, *q)]].concat())).collect();
    }
    plans.iter().filter_map(|p| order(terms, p)).min()
}

/// The least cost of filling both places, by trying everything.
fn least_cost(found: &Found<'_>, shop: &Shop) -> Option<Money> {
    let fitting = |i| -> Vec<&Source> { found.serving(Target::Single(i)).map(|(s, _)| s).collect() };
    let mut best = None;
    let (first, second) = (fitting(0), fitting(1));
    let mut seen: BTreeMap<(usize, Vec<u32>), Option<Money>> = BTreeMap::new();
    for (a, b) in first.iter().flat_map(|a| second.iter().map(move |b| (*a, *b))) {
        let mut total = Some(Money::ZERO);
        for (number, terms) in shop.suppliers.iter().enumerate() {
            let own: Vec<&Source> =
                found.sources.iter().filter(|s| s.key.supplier() == Some(terms.name.as_str())).collect();
            let wanted: Vec<u32> = own.iter().map(|s| u32::from(s.key == a.key) + u32::from(s.key == b.key)).collect();
            let cost = if wanted.iter().all(|w| *w == 0) {
                Some(Money::ZERO)
            } else {
                *seen.entry((number, wanted.clone())).or_insert_with(|| least_from(terms, &own, &wanted))
            };
            total = total.zip(cost).map(|(t, c)| t + c);
        }
        best = [best, total].into_iter().flatten().min();
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(160))]

    // Dropping what is beaten in every respect never makes the cheapest order dearer.
    #[test]
    fn pruning_costs_nothing(
        ours in prop::collection::vec(any_offer("HV"), 1..4),
        theirs in prop::collection::vec(any_offer("PM"), 0..4),
        terms in (any_terms("HV"), any_terms("PM")),
        free in any::<bool>(),
    ) {
        let (job, judgements) = two_places();
        let mut shop = shop();
        shop.suppliers = vec![terms.0, terms.1];
        if free {
            // Suppliers without thresholds, where most can be dropped.
            for terms in &mut shop.suppliers {
                (terms.free_over, terms.minimum_order) = (None, None);
            }
        }
        let asks = asks(&job, &judgements, &shop);
        let offers: Vec<Offer> = ours.into_iter().chain(theirs).enumerate()
            .map(|(i, o)| Offer { number: format!("N{i}"), ..o }).collect();
        let run = |prune: bool| {
            let mut search = Search::new(&asks, &shop);
            if !prune {
                search = search.without_pruning();
            }
            for offer in &offers {
                search.offer(offer);
            }
            search.finish()
        };
        let (whole, pruned) = (run(false), run(true));
        prop_assert!(pruned.sources.len() <= whole.sources.len());
        prop_assert_eq!(least_cost(&whole, &shop), least_cost(&pruned, &shop));
    }
}

// A dearer offer of the same supplier without thresholds is dropped; one that alone serves a place stays.
#[test]
fn what_is_beaten_is_dropped() {
    let (job, judgements) = two_places();
    let mut shop = shop();
    shop.suppliers = vec![supplier("HV")];
    let asks = asks(&job, &judgements, &shop);
    let mut search = Search::new(&asks, &shop);
    search.offer(&offer("HV", "HALF", "0.05", metal(220_000.0, 0.5, 350.0)));
    search.offer(&offer("HV", "HALF-DEAR", "0.06", metal(220_000.0, 0.5, 350.0)));
    search.offer(&offer("HV", "ONE", "0.09", metal(220_000.0, 1.0, 350.0)));
    let found = search.finish();
    let kept: Vec<&str> = found.sources.iter().map(|s| s.key.number()).collect();
    assert_eq!(kept, ["HALF", "ONE"]);
}

/// Names kept of two numbers at the same price for so many equal places, ten in the hundred asked as spares
/// beyond ten pieces.
fn kept_of_two(places: usize) -> usize {
    let part = |i| res(&format!("R{i}"), PartKind::CarbonComposition, 220_000.0, 0.5).at(Place::Anode);
    let job = job("PH-30", (0..places).map(part).collect());
    let judgements: Vec<_> = job.parts.iter().map(|p| replace(&p.reference, How::New, stress(150.0, 300.0))).collect();
    let mut shop = shop();
    shop.suppliers = vec![supplier("HV")];
    shop.spares.over_ten = Percent::new(10.0);
    let asks = asks(&job, &judgements, &shop);
    let mut search = Search::new(&asks, &shop);
    search.offer(&offer("HV", "ONE", "0.05", metal(220_000.0, 0.5, 350.0)));
    search.offer(&offer("HV", "TWO", "0.05", metal(220_000.0, 0.5, 350.0)));
    search.finish().sources.len()
}

// Twelve of one number ask two spares at ten in the hundred; six and six of two numbers ask none.
#[test]
fn a_second_number_that_saves_spares_is_kept() {
    assert_eq!(kept_of_two(12), 2);
    assert_eq!(kept_of_two(5), 1);
}

/// A glance at an offer.
fn glance(offer: &Offer) -> Glance<'_> {
    Glance {
        number: &offer.number,
        supplier: &offer.supplier,
        article: &offer.article,
        tiers: &offer.tiers,
        pack: offer.pack,
        minimum: offer.minimum,
        stock: offer.stock,
        lead_days: offer.lead_days,
    }
}

/// What is found, in words: everything kept with its uses, and what just misses.
fn told(found: &Found<'_>) -> String {
    format!("{:?} {:?} {:?}", found.sources, found.nearest, found.thinned)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    // What a cheap look refuses would have changed nothing, in whatever order offers come and by
    // however many readers they are looked at.
    #[test]
    fn glances_and_readers_lose_nothing(
        articles in prop::collection::vec(any_article(), 1..30),
        times in prop::sample::select(vec![1, 40]),
        readers in 1..4_usize,
    ) {
        let (job, judgements) = chassis();
        let shop = shop();
        let asks = asks(&job, &judgements, &shop);
        let priced = |i: usize, a: &Article| Offer {
            tiers: vec![Tier { from: 1, each: money(20 + i64::try_from(i * 7 % 31).unwrap()) }],
            ..offer("HV", &format!("N{:03}", i * 7919 % 1201), "1.00", a.clone())
        };
        let many = articles.iter().cycle().take(articles.len() * times);
        let offers: Vec<Offer> = many.enumerate().map(|(i, a)| priced(i, a)).collect();
        let mut whole = Search::new(&asks, &shop);
        for offer in &offers {
            whole.offer(offer);
        }
        let mut all = Search::new(&asks, &shop);
        let mut searches: Vec<Search<'_>> = (0..readers).map(|_| all.fork()).collect();
        for (i, offer) in offers.iter().rev().enumerate() {
            let search = &mut searches[i * i % readers];
            if search.wants(&glance(offer)) {
                search.offer(offer);
            }
        }
        for one in searches {
            all.join(one);
        }
        prop_assert_eq!(told(&all.finish()), told(&whole.finish()));
    }

    // Of a crowd what another offer beats is dropped whatever the terms: with suppliers that have no thresholds
    // nothing costs more without it.
    #[test]
    fn thinning_a_crowd_costs_nothing_without_thresholds(offers in prop::collection::vec(any_offer("HV"), 300..400)) {
        let (job, judgements) = two_places();
        let mut shop = shop();
        shop.suppliers = vec![supplier("HV")];
        let asks = asks(&job, &judgements, &shop);
        let offers: Vec<Offer> =
            offers.into_iter().enumerate().map(|(i, o)| Offer { number: format!("N{i:03}"), ..o }).collect();
        let mut search = Search::new(&asks, &shop);
        for offer in &offers {
            search.offer(offer);
        }
        let mut every = Search::new(&asks, &shop).without_pruning();
        for offer in &offers {
            every.offer(offer);
        }
        let (thinned, whole) = (search.finish(), every.finish());
        prop_assert!(thinned.thinned == Some(Thinned::Beaten) && thinned.sources.len() < whole.sources.len());
        // One source for both places, or one for each: what is bought of it is its least cost.
        let cheapest = |found: &Found<'_>| {
            let at = |place| found.serving(Target::Single(place)).map(|(s, _)| s);
            let alone = |place| at(place).filter_map(|s| s.least_cost(1)).min();
            let both = at(0).filter(|s| at(1).any(|o| o.key == s.key)).filter_map(|s| s.least_cost(2)).min();
            let apart = alone(0).zip(alone(1)).map(|(a, b)| a + b);
            [both, apart].into_iter().flatten().min()
        };
        prop_assert_eq!(cheapest(&thinned), cheapest(&whole));
    }
}
