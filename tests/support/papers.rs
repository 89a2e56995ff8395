//! Every document of one job of the sample, as blocks and as they are written.

use std::sync::OnceLock;

use capjob::documents::block::Block;
use capjob::documents::{quote as quote_page, record, sheet as sheet_page};
use capjob::export::html;
use capjob::model::chassis::Job;
use capjob::model::plan::Plan;
use capjob::model::shop::{Shop, WordSet};
use capjob::quote::{Quote, quote};
use capjob::sheet::{Sheet, sheet};
use capjob::verify::{Verification, verify};

use super::rows::rows;
use super::sample;

/// What the files begin with.
pub(crate) const MADE_BY: &str = "written by capjob";

/// One job with everything that its documents show.
#[derive(Clone)]
pub(crate) struct Papers {
    pub(crate) job: Job,
    pub(crate) shop: Shop,
    pub(crate) plan: Plan,
    pub(crate) quote: Quote,
    pub(crate) sheet: Sheet,
    pub(crate) verification: Verification,
}

/// The town hall amplifier; planned once.
pub(crate) fn hall() -> &'static Papers {
    static HALL: OnceLock<Papers> = OnceLock::new();
    HALL.get_or_init(|| {
        let (job, shop) = (sample::job("hall-amplifier"), sample::shop());
        let plan = sample::plan(std::slice::from_ref(&job), &shop);
        Papers::new(job, shop, plan)
    })
}

impl Papers {
    /// Makes the documents of this plan.
    pub(crate) fn new(job: Job, shop: Shop, plan: Plan) -> Self {
        let quote = quote(std::slice::from_ref(&job), &plan, &shop.quote, None).expect("a quote");
        let sheet = sheet(&job, &plan, None).expect("a sheet");
        let verification = verify(&job, &plan, &rows(&sample::after("hall-amplifier"))).expect("checks");
        Self { job, shop, plan, quote, sheet, verification }
    }

    /// Quote, sheet and record: name, title, blocks.
    pub(crate) fn pages(&self) -> Vec<(&'static str, String, Vec<Block>)> {
        let record_of =
            record::Record { job: &self.job, plan: &self.plan, sheet: &self.sheet, verification: &self.verification };
        vec![
            ("quote", quote_page::title(&self.quote), quote_page::blocks(&self.quote, WordSet::Uk)),
            ("sheet", sheet_page::title(&self.sheet), sheet_page::blocks(&self.sheet, WordSet::Uk)),
            ("record", record::title(&self.sheet), record::blocks(&record_of, WordSet::Uk)),
        ]
    }

    /// The same as HTML.
    pub(crate) fn html(&self) -> Vec<(&'static str, String)> {
        let written = self
            .pages()
            .into_iter()
            .map(|(name, title, blocks)| (name, html::write(MADE_BY, &title, &blocks).expect("a page")));
        written.collect()
    }
}
