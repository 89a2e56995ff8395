//! Builders for jobs, parts, articles and shops in tests.

use std::collections::BTreeMap;

use capjob::model::chassis::{
    Chassis, Circuit, Conditions, Earth, Feed, HtNode, HtSupply, IronChecks, Job, Mains, OwnerWish, Polarity, Policy,
    RectifierKind, SupplyKind,
};
use capjob::model::finding::{Basis, Decision, How, Judgement, Known, RippleStress, Stress};
use capjob::model::kind::{MainsClass, PartKind, Place, Style};
use capjob::model::part::{Accept, AsFound, NodeName, Part, Rating, Space, Value};
use capjob::model::shop::{
    Article, Choose, Margins, Offer, QuoteSettings, RippleRating, Section, Shop, SparePolicy, Supplier, Tier, WordSet,
};
use capjob::money::{Currency, Money};
use capjob::units::{Ampere, Celsius, Farad, Hertz, Hour, Millimetre, Ohm, Tolerance, Volt, Watt};

/// A part with nothing but its reference, kind and value.
pub(crate) fn part(reference: &str, kind: PartKind, value: Option<Value>) -> Part {
    Part {
        reference: reference.to_owned(),
        kind,
        marked: String::new(),
        value,
        rating: Rating::default(),
        place: None,
        plus: None,
        minus: None,
        can: None,
        pair: None,
        fitted: None,
        found: AsFound::default(),
        space: Space::default(),
        accept: Accept::default(),
        wish: None,
        note: None,
        line: 2,
    }
}

/// A capacitor of so many µF and volts.
pub(crate) fn cap(reference: &str, kind: PartKind, uf: f64, volts: f64) -> Part {
    let mut part = part(reference, kind, Some(Value::Farad(Farad::from_micro(uf))));
    part.rating.volts = Some(Volt::new(volts));
    part
}

/// A resistor of so many ohms and watts.
pub(crate) fn res(reference: &str, kind: PartKind, ohm: f64, watts: f64) -> Part {
    let mut part = part(reference, kind, Some(Value::Ohm(Ohm::new(ohm))));
    part.rating.watts = Some(Watt::new(watts));
    part
}

/// A part by designation.
pub(crate) fn named(reference: &str, kind: PartKind, designation: &str) -> Part {
    part(reference, kind, Some(Value::Designation(designation.to_owned())))
}

/// Small setters, so that a case reads in one line.
pub(crate) trait PartSet: Sized {
    fn at(self, place: Place) -> Self;
    fn nodes(self, plus: &str, minus: &str) -> Self;
    fn space(self, diameter: f64, length: f64) -> Self;
    fn can(self, letter: &str) -> Self;
    fn pair(self, letter: &str) -> Self;
}

impl PartSet for Part {
    fn at(mut self, place: Place) -> Self {
        self.place = Some(place);
        self
    }
    fn nodes(mut self, plus: &str, minus: &str) -> Self {
        self.plus = Some(NodeName::new(plus));
        self.minus = Some(NodeName::new(minus));
        self
    }
    fn space(mut self, diameter: f64, length: f64) -> Self {
        self.space.diameter = Some(Millimetre::new(diameter));
        self.space.length = Some(Millimetre::new(length));
        self
    }
    fn can(mut self, letter: &str) -> Self {
        self.can = Some(letter.to_owned());
        self
    }
    fn pair(mut self, letter: &str) -> Self {
        self.pair = Some(letter.to_owned());
        self
    }
}

/// A stress with working and highest voltage, proved.
pub(crate) fn stress(working: f64, highest: f64) -> Stress {
    Stress {
        working: Some(Known::new(Volt::new(working), Basis::Measured)),
        highest: Some(Known::new(Volt::new(highest), Basis::Computed)),
        highest_proved: true,
        ripple: None,
        heat: Some(Known::new(Celsius::new(45.0), Basis::Assumed)),
        assumed: Vec::new(),
    }
}

/// Ripple of a full-wave supply at 50 Hz: most at 100 Hz.
pub(crate) fn ripple(ma_100: f64, ma_rest: f64) -> Known<RippleStress> {
    let total = ma_100.hypot(ma_rest);
    let stress = RippleStress {
        total: Ampere::from_milli(total),
        at_f: Ampere::ZERO,
        at_2f: Ampere::from_milli(ma_100),
        rest: Ampere::from_milli(ma_rest),
        f: Hertz::new(50.0),
    };
    Known::new(stress, Basis::Computed)
}

/// The judgement that a part is replaced.
pub(crate) fn replace(reference: &str, how: How, stress: Stress) -> Judgement {
    Judgement {
        reference: reference.to_owned(),
        decision: Decision::Replace,
        how: Some(how),
        urgent: false,
        must: true,
        findings: Vec::new(),
        stress,
        assumed: Vec::new(),
        measure_next: Vec::new(),
    }
}

/// A job with these parts on a chassis fed by a transformer.
pub(crate) fn job(name: &str, parts: Vec<Part>) -> Job {
    Job {
        name: name.to_owned(),
        chassis: Chassis {
            name: name.to_owned(),
            year: Some(1956),
            supply: SupplyKind::Transformer,
            wish: OwnerWish::Working,
            policy: Policy::Suspect,
            inspected: Some(jiff::civil::date(2026, 11, 20)),
            promised_days: None,
            ceiling: None,
            value: None,
            iron: IronChecks::default(),
            conditions: Conditions::default(),
            mains: Mains {
                tapping: Some(Volt::new(240.0)),
                measured: None,
                high_percent: None,
                hz: Some(Hertz::new(50.0)),
                earth: Some(Earth::TwoCore),
            },
            supplies: Vec::new(),
            assumed: Vec::new(),
        },
        parts,
    }
}

/// A supply whose first node is `node`.
pub(crate) fn supply(node: &str, rectifier: RectifierKind, max_first_uf: Option<f64>) -> HtSupply {
    HtSupply {
        name: "HT".to_owned(),
        circuit: Circuit::CentreTap,
        winding: None,
        source: None,
        rectifier,
        designation: None,
        perveance: None,
        diode: None,
        middle: None,
        series: None,
        return_to: NodeName::chassis(),
        max_first: max_first_uf.map(Farad::from_micro),
        max_peak: None,
        warm_up_max: None,
        polarity: Polarity::Positive,
        nodes: vec![HtNode {
            name: NodeName::new(node),
            feed: Feed::Direct,
            load: None,
            load_ohm: None,
            measured: None,
            sheet: None,
        }],
    }
}

/// A shop with no suppliers, no shelf and the default choices.
pub(crate) fn shop() -> Shop {
    Shop {
        currency: Currency::new("EUR").unwrap(),
        exchange: BTreeMap::new(),
        quote: QuoteSettings::default(),
        margins: Margins::default(),
        spares: SparePolicy::default(),
        choose: Choose::default(),
        words: WordSet::Uk,
        suppliers: Vec::new(),
        shelf: Vec::new(),
        equivalents: Vec::new(),
        rectifiers: Vec::new(),
    }
}

/// A supplier without thresholds.
pub(crate) fn supplier(name: &str) -> Supplier {
    Supplier {
        name: name.to_owned(),
        currency: Currency::new("EUR").unwrap(),
        carriage: Money::parse("4.00").unwrap(),
        free_over: None,
        minimum_order: None,
        small_order_fee: None,
        lead_days: Some(3),
    }
}

/// An article that states nothing but its kind.
pub(crate) fn article(kind: PartKind) -> Article {
    Article::of_kind(kind)
}

/// An axial electrolytic with a ripple rating that no test here comes near.
pub(crate) fn elec(uf: f64, volts: f64) -> Article {
    Article {
        value: Some(Value::Farad(Farad::from_micro(uf))),
        volts: Some(Volt::new(volts)),
        ripple: Some(RippleRating {
            current: Ampere::from_milli(900.0),
            at: Some(Hertz::new(100.0)),
            factors: Vec::new(),
        }),
        style: Some(Style::Axial),
        temp: Some(Celsius::new(105.0)),
        life: Some(Hour::new(5000.0)),
        ..article(PartKind::Electrolytic)
    }
}

/// An axial film capacitor.
pub(crate) fn film(uf: f64, volts: f64) -> Article {
    Article {
        value: Some(Value::Farad(Farad::from_micro(uf))),
        volts: Some(Volt::new(volts)),
        style: Some(Style::Axial),
        ..article(PartKind::Film)
    }
}

/// A mains part of a class.
pub(crate) fn classed(uf: f64, class: MainsClass, vac: f64) -> Article {
    Article {
        value: Some(Value::Farad(Farad::from_micro(uf))),
        vac: Some(Volt::new(vac)),
        class: Some(class),
        style: Some(Style::Radial),
        ..article(PartKind::Suppressor)
    }
}

/// A metal-film resistor of 5 % with a limiting voltage.
pub(crate) fn metal(ohm: f64, watts: f64, volts: f64) -> Article {
    Article {
        value: Some(Value::Ohm(Ohm::new(ohm))),
        watts: Some(Watt::new(watts)),
        volts: Some(Volt::new(volts)),
        tolerance: Some(Tolerance::symmetric(5.0)),
        style: Some(Style::Axial),
        ..article(PartKind::MetalFilm)
    }
}

/// A can of sections with one rating.
pub(crate) fn can(sections: &[f64], volts: f64, common_negative: bool) -> Article {
    let section = |uf: &f64| Section { farad: Farad::from_micro(*uf), volts: Volt::new(volts) };
    Article {
        value: None,
        sections: sections.iter().map(section).collect(),
        common_negative,
        style: Some(Style::Can),
        ..elec(1.0, volts)
    }
}

/// An article by designation.
pub(crate) fn item(kind: PartKind, designation: &str) -> Article {
    Article { value: Some(Value::Designation(designation.to_owned())), ..article(kind) }
}

/// An offer at one price.
pub(crate) fn offer(supplier: &str, number: &str, price: &str, article: Article) -> Offer {
    Offer {
        number: number.to_owned(),
        supplier: supplier.to_owned(),
        article,
        tiers: vec![Tier { from: 1, each: Money::parse(price).unwrap() }],
        pack: 1,
        minimum: 1,
        stock: None,
        lead_days: None,
    }
}
