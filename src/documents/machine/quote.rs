//! The machine output of `quote`.

use serde::Serialize;

use super::Common;
use super::plan::Digits;
use crate::model::plan::Plan;
use crate::quote::owner::OwnerWork;
use crate::quote::{Form, Quote, Warning, Work};

/// The whole document of `quote`.
#[derive(Debug, Clone, Serialize)]
pub struct QuoteDocument {
    /// Common keys.
    #[serde(flatten)]
    pub common: Common,
    /// Currency of every amount.
    pub currency: String,
    form: &'static str,
    date: Option<String>,
    lines: Vec<LineRow>,
    minutes: f64,
    rate_per_hour: Option<String>,
    labour: String,
    goods: String,
    markup_percent: f64,
    parts: String,
    carriage: String,
    fees: String,
    net: String,
    tax_percent: f64,
    tax: String,
    total: String,
    bench_fee: Option<String>,
    bench_fee_credited: bool,
    to_pay: String,
    allowance_percent: f64,
    allowance: String,
    ceiling_to_authorise: String,
    authorised: Option<String>,
    deposit: Option<String>,
    valid_until: Option<String>,
    warranty_days: Option<u32>,
    promised_days: Option<u32>,
    findings: Vec<OwnerRow>,
    can_wait: Vec<WaitRow>,
    unmet: Vec<String>,
    warnings: Vec<WarningRow>,
}

/// One line of the costs.
#[derive(Debug, Clone, Serialize)]
struct LineRow {
    what: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    count: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    minutes: Option<f64>,
    /// `None` where the work is charged by the hour, in `labour` as a whole.
    money: Option<String>,
}

/// One part in the owner's terms.
#[derive(Debug, Clone, Serialize)]
struct OwnerRow {
    #[serde(rename = "ref")]
    reference: String,
    class: &'static str,
    work: &'static str,
    cause: Option<&'static str>,
}

/// One part that can wait.
#[derive(Debug, Clone, Serialize)]
struct WaitRow {
    #[serde(rename = "ref")]
    reference: String,
    money: String,
}

/// What the owner must be told.
#[derive(Debug, Clone, Serialize)]
struct WarningRow {
    warning: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    money: Option<String>,
}

impl QuoteDocument {
    /// From the quote and the plan that it was made from.
    pub fn new(plan: &Plan, quote: &Quote) -> Self {
        let digits = Digits(quote.currency.minor_digits());
        let s = &quote.sums;
        let named = |job: &str, reference: &str| super::label(&plan.inspections, job, reference);
        Self {
            common: Common::new(
                "quote",
                &plan.inspections,
                &[plan.assumed.as_slice(), &quote.assumed].concat(),
                plan.set_aside,
            )
            .with_diagnostics(&plan.diagnostics),
            currency: quote.currency.to_string(),
            form: match quote.form {
                Form::Firm => "firm",
                Form::Range => "range",
            },
            date: quote.date.map(|d| d.to_string()),
            lines: lines(quote, digits),
            minutes: minutes(s.hundredths_of_minute),
            rate_per_hour: s.rate_per_hour.map(|m| digits.text(m)),
            labour: digits.text(s.labour),
            goods: digits.text(s.goods),
            markup_percent: s.markup.get(),
            parts: digits.text(s.parts),
            carriage: digits.text(s.carriage),
            fees: digits.text(s.fees),
            net: digits.text(s.net),
            tax_percent: s.tax_percent.get(),
            tax: digits.text(s.tax),
            total: digits.text(s.total),
            bench_fee: s.bench_fee.map(|m| digits.text(m)),
            bench_fee_credited: s.credit > crate::money::Money::ZERO,
            to_pay: digits.text(s.to_pay),
            allowance_percent: s.allowance_percent.get(),
            allowance: digits.text(s.allowance),
            ceiling_to_authorise: digits.text(s.ceiling_to_authorise),
            authorised: quote.authorised.map(|m| digits.text(m)),
            deposit: s.deposit.map(|m| digits.text(m)),
            valid_until: quote.valid_until.map(|d| d.to_string()),
            warranty_days: quote.warranty_days,
            promised_days: quote.promised_days,
            findings: quote
                .findings
                .iter()
                .map(|l| OwnerRow {
                    reference: named(&l.job, &l.reference),
                    class: l.class.word(),
                    work: work_word(l.work),
                    cause: l.cause.map(crate::model::finding::OwnerCause::word),
                })
                .collect(),
            can_wait: quote
                .waiting
                .iter()
                .map(|w| WaitRow { reference: named(&w.job, &w.reference), money: digits.text(w.saves) })
                .collect(),
            unmet: quote.unmet.clone(),
            warnings: quote.warnings.iter().map(|w| warning(w, digits)).collect(),
        }
    }
}

fn lines(quote: &Quote, digits: Digits) -> Vec<LineRow> {
    let s = &quote.sums;
    let work = |w: &Work| LineRow {
        what: w.kind.word(),
        count: Some(w.count),
        minutes: w.hundredths_of_minute.map(minutes),
        money: w.flat.map(|m| digits.text(m)),
    };
    let charge = |what, money| LineRow { what, count: None, minutes: None, money: Some(digits.text(money)) };
    let mut lines: Vec<LineRow> = quote.works.iter().map(work).collect();
    lines.extend([charge("labour", s.labour), charge("parts", s.parts), charge("carriage", s.carriage)]);
    if s.fees > crate::money::Money::ZERO {
        lines.push(charge("fees", s.fees));
    }
    lines.push(charge("tax", s.tax));
    lines
}

#[expect(clippy::cast_precision_loss, reason = "minutes of work are far below 2^53 hundredths")]
fn minutes(hundredths: i64) -> f64 {
    hundredths as f64 / 100.0
}

const fn work_word(work: OwnerWork) -> &'static str {
    match work {
        OwnerWork::Replaced => "replace",
        OwnerWork::TakenOut => "omit",
        OwnerWork::OutOfUse => "disconnect",
    }
}

fn warning(warning: &Warning, digits: Digits) -> WarningRow {
    match warning {
        Warning::OverValue { value } => WarningRow { warning: "uneconomic", money: Some(digits.text(*value)) },
        Warning::OverAuthorised { authorised } => {
            WarningRow { warning: "over-authorised", money: Some(digits.text(*authorised)) }
        }
        Warning::OnHold(reason) => WarningRow { warning: reason.word(), money: None },
    }
}
