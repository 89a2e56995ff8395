//! The wishes that bind at one place: what the technician, the job or the shop asks for beyond the rules.
//!
//! Each is given up by stating the needs of that place anew without it, so that everything else, safety
//! first of all, is asked for as before: what a part must stand by the rules is no wish. A shop's margin
//! that is stricter than the rules is given up to the rules' own figure; only at a cathode, where the
//! rules themselves lay a margin over the voltage, is the voltage itself taken.

use crate::limits::derating::ELECTROLYTIC_WORKING;
use crate::model::chassis::Job;
use crate::model::finding::{How, Stress};
use crate::model::kind::{PartKind, Place, Style};
use crate::model::need::{Need, PointKind};
use crate::model::part::Part;
use crate::model::shop::{Choose, Shop};
use crate::stress;
use crate::substitute::NeedContext;
use crate::substitute::candidates::Ask;
use crate::substitute::margins::{self, Margin};

/// The margin of an electrolytic's working voltage, shared with the rules of judging, and the rules' figure.
const WORKING: &str = "working-voltage";
const WORKING_PERCENT: f64 = ELECTROLYTIC_WORKING.value * 100.0;

/// A wish given up.
pub(super) struct Wish {
    /// The change, in words.
    pub(super) what: String,
    job: Job,
    shop: Shop,
    /// What each part sees, where that changes.
    stresses: Option<Vec<Stress>>,
    /// The asks that it is about: the place's own and those decided with it.
    about: Vec<usize>,
}

/// What giving a wish up changes.
enum Change {
    /// The lines of the parts.
    Part(fn(&mut Part)),
    /// The years that parts should last.
    Years,
    /// The head-room over the measured mains.
    HeadRoom,
    /// A figure of the shop's margins.
    Margin(&'static str, f64),
    /// What the shop allows.
    Choose(fn(&mut Choose)),
}

/// Every wish that binds at the place of this ask.
pub(super) fn binding(asks: &[Ask<'_>], index: usize) -> Vec<Wish> {
    let Some(ask) = asks.get(index) else { return Vec::new() };
    let about = decided_with(asks, index);
    let mut changes = of_the_line(ask);
    changes.extend(of_the_job(ask));
    changes.extend(of_the_margins(ask));
    changes.extend(of_the_choice(ask));
    let wishes = changes.into_iter().map(|(what, change)| Wish::new(ask, about.clone(), what, &change));
    // Where a demand is all that the need can be stated from, it cannot be given up.
    let stated = |wish: &Wish| about.iter().filter_map(|i| asks.get(*i)).all(|a| wish.ask(a).is_some());
    wishes.filter(stated).collect()
}

/// The asks of the place of this one: its own and those decided with it, and for a can the tag strips and
/// sleeving of its job's parts list, which it then need not bring along.
pub(super) fn place<'a>(asks: &[Ask<'a>], index: usize) -> Vec<Ask<'a>> {
    let Some(ask) = asks.get(index) else { return Vec::new() };
    let mut about = decided_with(asks, index);
    if ask.context.part.can.is_some() {
        let own = |a: &Ask<'_>| a.context.job.name == ask.context.job.name;
        let hardware = |a: &Ask<'_>| own(a) && a.context.part.kind == PartKind::Hardware;
        about.extend(asks.iter().enumerate().filter(|(_, a)| hardware(a)).map(|(i, _)| i));
    }
    about.into_iter().filter_map(|i| asks.get(i)).cloned().collect()
}

/// The asks of the matched group or the can that this one belongs to.
fn decided_with(asks: &[Ask<'_>], index: usize) -> Vec<usize> {
    let Some(ask) = asks.get(index) else { return Vec::new() };
    let part = ask.context.part;
    let with = |other: &Ask<'_>| {
        let there = other.context.part;
        let pair = 1 < ask.need.matched && there.pair == part.pair && there.kind == part.kind;
        let can = part.can.is_some() && there.can == part.can;
        other.context.job.name == ask.context.job.name && (pair || can)
    };
    asks.iter().enumerate().filter(|(i, other)| *i == index || with(other)).map(|(i, _)| i).collect()
}

/// The technician's demands on the line of the part. A class is not among them: it is for safety.
fn of_the_line(ask: &Ask<'_>) -> Vec<(String, Change)> {
    let part = ask.context.part;
    let demand = |point| {
        let mut followed = ask.need.why.iter().filter(move |w| w.rule == "accept" && w.point == point);
        followed.next().map(|w| w.says.clone())
    };
    let mut changes = Vec::new();
    if let Some(says) = demand(PointKind::Value) {
        let drop = |p: &mut Part| {
            p.accept.farad = None;
            p.accept.ohm = None;
            p.accept.designation = None;
        };
        changes.push((format!("by the rules, not as `accept` has it ({says})"), Change::Part(drop)));
    }
    if let Some(says) = demand(PointKind::Voltage) {
        let drop = |p: &mut Part| p.accept.volts = None;
        changes.push((format!("voltage by the rules, not as `accept_v` has it ({says})"), Change::Part(drop)));
    }
    let restuffed = ask.context.judgement.how == Some(How::Restuff);
    if let Some(space) = space(&ask.need).filter(|_| !restuffed) {
        let drop = |p: &mut Part| (p.space.diameter, p.space.length) = (None, None);
        changes.push((format!("with more room than {space}"), Change::Part(drop)));
    }
    let styles = &part.space.styles;
    if part.kind.is_capacitor() && !styles.is_empty() && !styles.contains(&Style::Any) && !restuffed {
        let words: Vec<&str> = styles.iter().map(|s| s.word()).collect();
        let drop = |p: &mut Part| p.space.styles = vec![Style::Any];
        changes.push((format!("with any mounting, not only {}", words.join(" or ")), Change::Part(drop)));
    }
    changes
}

/// The space in words.
fn space(need: &Need) -> Option<String> {
    match (need.max_diameter, need.max_length) {
        (Some(d), Some(l)) => Some(format!("{} × {l}", d.get())),
        (Some(d), None) => Some(format!("{d} across")),
        (None, Some(l)) => Some(format!("{l} of length")),
        (None, None) => None,
    }
}

/// What the job asks for: years of life, and head-room over a mains that was measured. Head-room over
/// one that was not is no wish but what is not known.
fn of_the_job(ask: &Ask<'_>) -> Vec<(String, Change)> {
    let chassis = &ask.context.job.chassis;
    let mut changes = Vec::new();
    if electrolytic(ask) && ask.need.life_min.is_some() {
        let years = chassis.conditions.wanted_years;
        changes.push((format!("with less life than the {years} years wanted"), Change::Years));
    }
    let room = chassis.mains.high_percent.filter(|p| 0.0 < *p && chassis.mains.measured.is_some());
    if let Some(percent) = room.filter(|_| ask.need.volts_min.is_some()) {
        changes.push((format!("without the {percent} % of head-room over the measured mains"), Change::HeadRoom));
    }
    changes
}

/// Margins of the shop that are stricter than the rules', and the margin over a cathode's voltage.
fn of_the_margins(ask: &Ask<'_>) -> Vec<(String, Change)> {
    let need = &ask.need;
    let mut changes = Vec::new();
    let lifted = need.why.iter().any(|w| w.rule == "cathode-rating");
    let factor = margins::CATHODE_RATING.of(ask.context.shop);
    if let Some(working) = need.working.filter(|_| lifted && 1.0 < factor) {
        let what = format!("rated for the {working} there alone, without the margin of {factor} over it");
        changes.push((what, Change::Margin(margins::CATHODE_RATING.key, 1.0)));
    }
    let resistor = need.ohm.is_some();
    let stricter = [
        (margins::OUTPUT_ANODE, need.place == Some(Place::OutputAnode), true),
        (margins::RESISTOR_POWER, resistor, true),
        (margins::RESISTOR_VALUE, resistor, false),
        (margins::TEMPERATURE, electrolytic(ask), false),
        (margins::RIPPLE, electrolytic(ask), false),
        (margins::OLD_STOCK_END, electrolytic(ask), false),
    ];
    if let Some(own) = ask.context.shop.margins.get(WORKING).filter(|own| electrolytic(ask) && *own < WORKING_PERCENT) {
        let what = format!("with the margin `{WORKING}` at {WORKING_PERCENT} %, not the shop's {own} %");
        changes.push((what, Change::Margin(WORKING, WORKING_PERCENT)));
    }
    changes.extend(stricter.into_iter().filter(|(_, here, _)| *here).filter_map(|(margin, _, more_is_stricter)| {
        let own = ask.context.shop.margins.get(margin.key)?;
        let binds = if more_is_stricter { margin.default < own } else { own < margin.default };
        binds.then(|| (eased(&margin, own), Change::Margin(margin.key, margin.default)))
    }));
    changes
}

/// A margin of the shop at the rules' own figure.
fn eased(margin: &Margin, own: f64) -> String {
    let unit = if margin.unit.is_empty() { String::new() } else { format!(" {}", margin.unit) };
    format!("with the margin `{}` at {}{unit}, not the shop's {own}{unit}", margin.key, margin.default)
}

/// What the shop's `[choose]` rules out.
fn of_the_choice(ask: &Ask<'_>) -> Vec<(String, Change)> {
    let choose = &ask.context.shop.choose;
    let need = &ask.need;
    let on_mains = need.class.is_some() || need.place.is_some_and(Place::is_mains);
    let mut changes: Vec<(String, Change)> = Vec::new();
    let mut add = |binds: bool, what: &str, change: fn(&mut Choose)| {
        if binds {
            changes.push((what.to_owned(), Change::Choose(change)));
        }
    };
    let capacitor = need.farad.is_some();
    let snap_in = capacitor && !need.styles.contains(&Style::SnapIn) && ask.context.part.space.styles.is_empty();
    let restuffed = ask.context.judgement.how == Some(How::Restuff);
    add(snap_in && !choose.snap_in && !restuffed, "with snap-in parts allowed", |c| c.snap_in = true);
    let string = electrolytic(ask) && !on_mains;
    add(string && !choose.series_pairs, "with pairs in series allowed", |c| c.series_pairs = true);
    let beside = capacitor && !on_mains;
    add(beside && !choose.parallel_pairs, "with pairs in parallel allowed", |c| c.parallel_pairs = true);
    let one = choose.max_parts_per_place.is_some_and(|most| most < 2);
    add(one && (resistor(need) || beside), "with two parts in one place allowed", |c| c.max_parts_per_place = None);
    changes
}

const fn resistor(need: &Need) -> bool {
    need.ohm.is_some()
}

fn electrolytic(ask: &Ask<'_>) -> bool {
    ask.need.kinds.contains(&PartKind::Electrolytic)
}

impl Wish {
    fn new(ask: &Ask<'_>, about: Vec<usize>, what: String, change: &Change) -> Self {
        let (job, shop) = (ask.context.job.clone(), ask.context.shop.clone());
        let mut wish = Self { what, job, shop, stresses: None, about };
        match change {
            Change::Years => wish.job.chassis.conditions.wanted_years = 0.0,
            Change::HeadRoom => {
                wish.job.chassis.mains.high_percent = Some(0.0);
                let supplies = stress::supplies(&wish.job, &wish.shop);
                wish.stresses = Some(stress::of_job(&wish.job, &supplies));
            }
            Change::Margin(key, figure) => {
                wish.shop.margins.0.insert((*key).to_owned(), *figure);
            }
            Change::Choose(allow) => allow(&mut wish.shop.choose),
            // Every line at first; only those that it is about are asked from it.
            Change::Part(drop) => wish.job.parts.iter_mut().for_each(drop),
        }
        wish
    }

    /// The asks with this wish given up at its place.
    pub(super) fn asks<'a>(&'a self, asks: &[Ask<'a>]) -> Vec<Ask<'a>> {
        let ask = |(index, ask): (usize, &Ask<'a>)| {
            if self.about.contains(&index) { self.ask(ask).unwrap_or_else(|| ask.clone()) } else { ask.clone() }
        };
        asks.iter().enumerate().map(ask).collect()
    }

    fn ask<'a>(&'a self, ask: &Ask<'a>) -> Option<Ask<'a>> {
        let at = self.job.parts.iter().position(|p| p.reference == ask.context.part.reference)?;
        let stress = self.stresses.as_ref().and_then(|s| s.get(at)).unwrap_or(ask.context.stress);
        let context =
            NeedContext { job: &self.job, part: self.job.parts.get(at)?, stress, shop: &self.shop, ..ask.context };
        Ask::new(ask.name.clone(), context).ok()
    }
}
