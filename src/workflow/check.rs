//! One part held against one place.

use super::inspect;
use crate::model::chassis::Job;
use crate::model::kind::{MainsClass, PartKind, Style};
use crate::model::need::{Need, Verdict};
use crate::model::part::{Part, Value};
use crate::model::plan::Inspection;
use crate::model::shop::{Article, Offer, RippleRating, Section, Shop};
use crate::substitute::arrange::notes;
use crate::substitute::{self, Ask, NeedContext, NoNeed, Rules};
use crate::units::parse::{Bare, ClassMark, OfferKind, OfferText, offer_text};

/// The answer with everything that it rests on.
#[derive(Debug, Clone)]
pub struct Checked {
    /// The place.
    pub reference: String,
    /// What was offered, as it was understood.
    pub offered: String,
    /// What the place needs.
    pub need: Need,
    /// Every point.
    pub verdict: Verdict,
    /// The job, judged.
    pub inspection: Inspection,
    /// What was assumed about the part.
    pub assumed: Vec<String>,
    /// Polarity, place and mounting, if it is fitted there.
    pub notes: Vec<String>,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CheckError {
    /// No such reference.
    #[error("{reference} is not in the parts list{similar}")]
    NoPart {
        /// The reference.
        reference: String,
        /// The nearest one, as a statement; empty where there is none.
        similar: String,
    },
    /// The place's need cannot be stated.
    #[error("what {0} needs cannot be stated: {1}")]
    NoNeed(String, String),
    /// The number is not unique.
    #[error("{0} is offered by several suppliers: {1}; write SUPPLIER:NUMBER")]
    Ambiguous(String, String),
    /// The text is neither a number of the catalog nor a description that can be read.
    #[error("'{text}' is no number of the catalog, and {why}\n  help: {mend}")]
    Unreadable {
        /// The text.
        text: String,
        /// Why it cannot be read.
        why: String,
        /// How to mend it.
        mend: String,
    },
}

/// Holds a part against a place: `part` is its text and every offer of that number.
///
/// # Errors
/// An unknown reference, an ambiguous number, or a description that cannot be read.
pub fn check(job: &Job, shop: &Shop, reference: &str, part: (&str, &[Offer])) -> Result<Checked, CheckError> {
    let inspection = inspect(job, shop);
    let place = job.parts.iter().zip(&inspection.judgements).find(|(p, _)| p.reference.eq_ignore_ascii_case(reference));
    let (fitted, judgement) = place.ok_or_else(|| no_part(job, reference))?;
    let supplies = &inspection.supplies;
    let context = NeedContext { job, part: fitted, stress: &judgement.stress, judgement, supplies, shop };
    let no_need = |n: NoNeed| CheckError::NoNeed(n.reference, n.says);
    let ask = Ask::new(fitted.reference.clone(), context).map_err(no_need)?;
    let (article, offered, assumed) = article(fitted, &ask.need, part)?;
    let verdict = match fitted.can.as_deref().filter(|_| !article.sections.is_empty()) {
        Some(can) => can_verdict(&sections(job, shop, &inspection, can).map_err(no_need)?, &article, &ask.rules),
        None => substitute::check(&ask.need, &article, &ask.rules),
    };
    let mut notes = notes::of_place(&ask);
    notes.extend(notes::of_article(&ask, &article));
    let Ask { name: reference, need, .. } = ask;
    Ok(Checked { reference, offered, need, verdict, inspection, assumed, notes })
}

/// The needs of all sections of a can, since a new can has to serve every one of them.
fn sections<'j>(
    job: &'j Job,
    shop: &Shop,
    inspection: &Inspection,
    can: &str,
) -> Result<Vec<(Need, &'j Part)>, NoNeed> {
    let own = job.parts.iter().zip(&inspection.judgements).filter(|(p, _)| p.can.as_deref() == Some(can));
    own.map(|(part, judgement)| {
        let supplies = &inspection.supplies;
        let context = NeedContext { job, part, stress: &judgement.stress, judgement, supplies, shop };
        Ok((substitute::need_of(&context)?, part))
    })
    .collect()
}

/// A can held against all sections of the old one.
fn can_verdict(sections: &[(Need, &Part)], article: &Article, rules: &Rules<'_>) -> Verdict {
    let pairs: Vec<(&Need, &Part)> = sections.iter().map(|(need, part)| (need, *part)).collect();
    substitute::check_can(&pairs, article, rules)
}

fn no_part(job: &Job, reference: &str) -> CheckError {
    let names: Vec<&str> = job.parts.iter().map(|p| p.reference.as_str()).collect();
    let nearest = crate::units::parse::nearest(reference, &names);
    let similar = nearest.map(|n| format!("; a similar reference exists: {n}")).unwrap_or_default();
    CheckError::NoPart { reference: reference.to_owned(), similar }
}

/// The article meant: the offer of that number, else what the description says.
fn article(fitted: &Part, need: &Need, part: (&str, &[Offer])) -> Result<(Article, String, Vec<String>), CheckError> {
    let (text, offers) = part;
    match offers {
        [one] => return Ok((one.article.clone(), one.name(), Vec::new())),
        [] => {}
        several => {
            let names: Vec<String> = several.iter().map(Offer::name).collect();
            return Err(CheckError::Ambiguous(text.to_owned(), names.join(", ")));
        }
    }
    if fitted.kind.is_designated() {
        let article = Article { value: Some(Value::Designation(text.to_owned())), ..Article::of_kind(fitted.kind) };
        return Ok((article, text.to_owned(), Vec::new()));
    }
    let kind = if fitted.kind.is_resistor() { OfferKind::Resistor } else { OfferKind::Capacitor };
    let read = offer_text(text, kind, Bare::Refuse).map_err(|e| match otherwise(text, kind) {
        Some(other) => CheckError::Unreadable {
            text: text.to_owned(),
            why: format!("{} holds a {}, while this is {other}", fitted.reference, fitted.kind),
            mend: format!("check the reference; here it is written like {}", e.example),
        },
        None => CheckError::Unreadable { text: text.to_owned(), why: e.to_string(), mend: e.mend() },
    })?;
    let (kind, mut assumed) = kind_of(fitted, need, &read);
    let article = described(kind, &read);
    if article.common_negative && !read.rest.to_lowercase().contains("negative") {
        assumed.push("negatives of the can not said: taken as common".to_owned());
    }
    Ok((article, text.to_owned(), assumed))
}

/// What a text describes that is read as a part of the other sort.
fn otherwise(text: &str, kind: OfferKind) -> Option<&'static str> {
    let (other, words) = match kind {
        OfferKind::Resistor => (OfferKind::Capacitor, "a capacitor"),
        OfferKind::Capacitor => (OfferKind::Resistor, "a resistor"),
    };
    offer_text(text, other, Bare::Refuse).is_ok().then_some(words)
}

/// The kind of what was described: by its words, else by its class, else as the place wants it.
fn kind_of(fitted: &Part, need: &Need, read: &OfferText) -> (PartKind, Vec<String>) {
    let words: Vec<PartKind> = read.rest.split_whitespace().filter_map(PartKind::from_word).collect();
    if let Some(kind) = PartKind::from_word(&read.rest).or(words.first().copied()) {
        return (kind, Vec::new());
    }
    if !read.classes.is_empty() {
        return (PartKind::Suppressor, Vec::new());
    }
    let kind = need.kinds.first().copied().unwrap_or(fitted.kind);
    (kind, vec![format!("kind not said: taken as {}, as the place wants", kind.word().replace('-', " "))])
}

fn described(kind: PartKind, read: &OfferText) -> Article {
    let sections: Vec<Section> = match read.farads.as_slice() {
        [] | [_] => Vec::new(),
        several => several
            .iter()
            .enumerate()
            .filter_map(|(i, farad)| {
                let volts = read.section_volts.get(i).copied().flatten().or(read.volts)?;
                Some(Section { farad: *farad, volts })
            })
            .collect(),
    };
    let farad = if sections.is_empty() { read.farads.first().copied() } else { None };
    Article {
        value: farad.map(Value::Farad).or(read.ohm.map(Value::Ohm)),
        tolerance: read.tolerance,
        volts: read.volts,
        vac: read.vac,
        class: read.classes.iter().find_map(|c| class(*c)),
        watts: read.watts,
        temp: read.temp,
        life: read.life,
        ripple: read.ripple.map(|current| RippleRating { current, at: read.ripple_hz, factors: Vec::new() }),
        style: read.style.and_then(Style::from_word),
        diameter: read.diameter,
        length: read.length,
        // Most cans join their negatives; one that does not says so.
        common_negative: !sections.is_empty() && !read.rest.to_lowercase().contains("separate"),
        flameproof: read.rest.to_lowercase().contains("flameproof").then_some(true),
        sections,
        ..Article::of_kind(kind)
    }
}

/// A class that the model knows.
const fn class(mark: ClassMark) -> Option<MainsClass> {
    match mark {
        ClassMark::X1 => Some(MainsClass::X1),
        ClassMark::X2 => Some(MainsClass::X2),
        ClassMark::Y1 => Some(MainsClass::Y1),
        ClassMark::Y2 => Some(MainsClass::Y2),
        _ => None,
    }
}
