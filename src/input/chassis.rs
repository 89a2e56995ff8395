//! `chassis.toml`: the set, its mains, its iron; its supplies are read in [`supplies`].

mod supplies;

use std::collections::BTreeMap;

use toml::Spanned;
use toml::de::DeTable;

use super::bounds::{CHASSIS, CHASSIS_BOTTOM, CONDITIONS, IRON, MAINS};
use super::escape::quoted;
use super::fault::FaultKind;
use super::sheet::{Section, Sheet};
use crate::model::chassis::{
    ASSUMED_HIGH_PERCENT, ASSUMED_HZ, Chassis, Conditions, Iron, IronChecks, Mains, OwnerWish, Policy, SupplyKind,
};
use crate::model::kind::PartKind;
use crate::units::parse::Bare;
use crate::units::print::significant;
use crate::units::{Celsius, Hertz, Volt};

/// The references of the parts list with their kinds, as far as they are known.
pub(super) type References = BTreeMap<String, Option<PartKind>>;

/// The unit of bare capacitor values, which the parts list needs before the chassis is read.
/// A wrong one is a fault of the sheet and counts as not given.
pub(super) fn bare(tree: &Spanned<DeTable<'_>>) -> Bare {
    let entry = tree.get_ref().iter().find(|(key, _)| key.get_ref().as_ref() == "bare");
    let text = entry.and_then(|(_, value)| value.get_ref().as_str());
    text.and_then(bare_unit).unwrap_or_default()
}

/// `uF` and `pF` in their spellings.
fn bare_unit(text: &str) -> Option<Bare> {
    match text.trim().to_lowercase().as_str() {
        "uf" | "µf" | "μf" | "mfd" | "mf" => Some(Bare::Microfarad),
        "pf" | "mmf" | "mmfd" | "µµf" => Some(Bare::Picofarad),
        _ => None,
    }
}

/// Reads the chassis; `None` where a needed key is missing. Faults stay with the sheet.
pub(super) fn read_chassis<'s>(
    sheet: &'s Sheet<'s>,
    tree: &'s Spanned<DeTable<'s>>,
    references: Option<&References>,
) -> Option<Chassis> {
    let root = Section::root(sheet, tree, CHASSIS_BOTTOM);
    check_bare(&root);
    let set = root.section("chassis", CHASSIS, "[chassis]");
    let mut assumed = Vec::new();
    let mains = root.section("mains", MAINS, "[mains]").map(|mains| mains_of(&mains)).unwrap_or_default();
    let conditions = conditions(root.section("conditions", CONDITIONS, "[conditions]").as_ref(), &mut assumed);
    let iron = root.section("iron", IRON, "[iron]").map(|iron| iron_of(&iron)).unwrap_or_default();
    let supplies = supplies::read(&root, &mains, references, &mut assumed);
    assume_mains(&mains, &mut assumed);
    let set = set?;
    let name = set.text("name");
    let chassis = Chassis {
        name: String::new(),
        year: set.year("year"),
        supply: given_or(
            set.word("supply"),
            SupplyKind::Unknown,
            "kind of supply not given: treated as live",
            &mut assumed,
        ),
        wish: given_or(
            set.word("wish"),
            OwnerWish::Working,
            "owner's wish not given: a working set taken",
            &mut assumed,
        ),
        policy: given_or(set.word("policy"), Policy::Suspect, "policy not given: suspect kinds taken", &mut assumed),
        inspected: set.date("inspected"),
        promised_days: set.whole("promised_days"),
        ceiling: set.money("ceiling"),
        value: set.money("value"),
        iron,
        conditions,
        mains,
        supplies,
        assumed: Vec::new(),
    };
    if let (Some(year), Some(day)) = (chassis.year, chassis.inspected)
        && i32::from(day.year()) < year
    {
        let message = format!("inspected {day}, before the set's year {year}");
        set.fault("inspected", FaultKind::Contradiction, message, "check both; a day is written like 2026-11-20");
    }
    if chassis.year.is_none() {
        assumed.push("year not given: nothing is judged by the chassis's age".to_owned());
    }
    Some(Chassis { name: name?, assumed, ..chassis })
}

fn check_bare(root: &Section<'_>) {
    if let Some(text) = root.text("bare").filter(|text| bare_unit(text).is_none()) {
        let message = format!("bare {} is neither uF nor pF", quoted(&text));
        root.fault("bare", FaultKind::UnknownWord, message, "write \"uF\" or \"pF\", or leave the key out");
    }
}

/// The value, or the one that is taken for it with its text.
fn given_or<T>(given: Option<T>, taken: T, says: &str, assumed: &mut Vec<String>) -> T {
    given.unwrap_or_else(|| {
        assumed.push(says.to_owned());
        taken
    })
}

fn mains_of(mains: &Section<'_>) -> Mains {
    Mains {
        tapping: mains.model("tapping_v").map(Volt::new),
        measured: mains.model("measured_v").map(Volt::new),
        high_percent: mains.number("high_percent"),
        hz: mains.model("hz").map(Hertz::new),
        earth: mains.word("earth"),
    }
}

/// What is taken for the mains, as printed.
fn assume_mains(mains: &Mains, assumed: &mut Vec<String>) {
    if mains.measured.is_none() {
        let taken = match mains.tapping {
            Some(tapping) => format!("{tapping} of the tapping taken under load"),
            None => "winding voltages taken as they stand under load".to_owned(),
        };
        let high = match mains.high_percent {
            Some(_) => String::new(),
            None => format!(" and {} % more for every no-load figure", significant(ASSUMED_HIGH_PERCENT, 3)),
        };
        assumed.push(format!("mains voltage not measured: {taken}{high}"));
    } else if mains.tapping.is_none() {
        assumed.push("mains tapping not given: winding voltages taken as they stand".to_owned());
    }
    if mains.hz.is_none() {
        assumed.push(format!("mains frequency not given: {ASSUMED_HZ} taken"));
    }
    if mains.earth.is_none() {
        assumed.push("mains lead not given: treated as not earthed".to_owned());
    }
}

fn conditions(given: Option<&Section<'_>>, assumed: &mut Vec<String>) -> Conditions {
    let mut conditions = Conditions::default();
    let number = |key: &str| given.and_then(|section| section.model(key));
    match number("inside_c") {
        Some(inside) => (conditions.inside, conditions.inside_given) = (Celsius::new(inside), true),
        None => assumed.push(format!("air inside the cabinet not given: {} taken", conditions.inside)),
    }
    match number("hours_per_year") {
        Some(hours) => conditions.hours_per_year = hours,
        None => assumed.push(format!("hours of use not given: {} a year taken", conditions.hours_per_year)),
    }
    match number("wanted_years") {
        Some(years) => conditions.wanted_years = years,
        None => assumed.push(format!("life wanted of new parts not given: {} years taken", conditions.wanted_years)),
    }
    conditions
}

/// The state of the choke. A set without one may say so; a choke that feeds a node is asked for all the same.
fn choke(iron: &Section<'_>) -> Option<Iron> {
    let none = iron.has("choke") && iron.text("choke").is_some_and(|t| t.eq_ignore_ascii_case("none"));
    if none { None } else { iron.word("choke") }
}

fn iron_of(iron: &Section<'_>) -> IronChecks {
    IronChecks {
        mains_transformer: iron.word("mains_transformer"),
        output_transformer: iron.word("output_transformer"),
        choke: choke(iron),
    }
}
