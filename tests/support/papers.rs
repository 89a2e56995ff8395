//! Every document of one job of the sample, or of `tests/data/papers`, as blocks and as they are written.

use std::fs;
use std::path::Path;
use std::sync::OnceLock;

use capjob::documents::block::Block;
use capjob::documents::words::Words;
use capjob::documents::{quote as quote_page, record, sheet as sheet_page};
use capjob::export::html;
use capjob::input::{NamedBytes, read_job};
use capjob::model::chassis::Job;
use capjob::model::plan::Plan;
use capjob::model::shop::{Shop, WordSet};
use capjob::quote::{Quote, quote};
use capjob::rules::{ReformPlan, reform_plans};
use capjob::sheet::{Sheet, sheet};
use capjob::verify::{AfterRow, Verification, verify};

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
    pub(crate) reforms: Vec<ReformPlan>,
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

/// The live table receiver, whose shop uses US words and has set a limit of its own; planned once.
pub(crate) fn attic() -> &'static Papers {
    static ATTIC: OnceLock<Papers> = OnceLock::new();
    ATTIC.get_or_init(|| {
        let mut shop = sample::shop();
        shop.words = WordSet::Us;
        shop.margins.0.insert("coupling-grid".to_owned(), 1.5);
        Papers::planned("attic-receiver", shop)
    })
}

/// The museum piece with fixed bias; planned once.
pub(crate) fn glass_case() -> &'static Papers {
    static GLASS_CASE: OnceLock<Papers> = OnceLock::new();
    GLASS_CASE.get_or_init(|| Papers::planned("glass-case-amplifier", sample::shop()))
}

/// A file of a job of `tests/data/papers`; empty where it has none.
fn of_papers(job: &str, file: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/papers").join(job);
    fs::read(folder.join(file)).unwrap_or_default()
}

impl Papers {
    /// Plans a job of `tests/data/papers`.
    fn planned(name: &str, shop: Shop) -> Self {
        let (chassis, parts) = (of_papers(name, "chassis.toml"), of_papers(name, "parts.csv"));
        let named = |name, bytes| NamedBytes { name, bytes };
        let job = read_job(name, named("chassis.toml", &chassis), named("parts.csv", &parts));
        let job = job.map_err(|f| f.to_string()).expect("files without faults").value;
        let plan = sample::plan(std::slice::from_ref(&job), &shop);
        let after = of_papers(name, "after.csv");
        let readings = if after.is_empty() { Vec::new() } else { rows(&after) };
        Self::with(job, shop, plan, &readings)
    }

    /// Makes the documents of this plan of the town hall amplifier.
    pub(crate) fn new(job: Job, shop: Shop, plan: Plan) -> Self {
        Self::with(job, shop, plan, &rows(&sample::after("hall-amplifier")))
    }

    fn with(job: Job, shop: Shop, plan: Plan, readings: &[AfterRow]) -> Self {
        let quote = quote(std::slice::from_ref(&job), &plan, &shop.quote, None).expect("a quote");
        let sheet = sheet(&job, &plan, None).expect("a sheet");
        let verification = verify(&job, &plan, readings).expect("checks");
        let judged = plan.inspections.iter().find(|i| i.job == job.name).expect("an inspection");
        let reforms = reform_plans(&job, &judged.judgements, &shop.margins);
        Self { job, shop, plan, quote, sheet, reforms, verification }
    }

    /// Quote, sheet and record: name, title, blocks.
    pub(crate) fn pages(&self) -> Vec<(&'static str, String, Vec<Block>)> {
        let record_of =
            record::Record { job: &self.job, plan: &self.plan, sheet: &self.sheet, verification: &self.verification };
        let words = Words::new(&self.shop, std::slice::from_ref(&self.job));
        let sheet = sheet_page::blocks(&self.sheet, &self.reforms, self.shop.words);
        vec![
            ("quote", quote_page::title(&self.quote), quote_page::blocks(&self.quote, self.shop.words)),
            ("sheet", sheet_page::title(&self.sheet), words.of(sheet)),
            ("record", record::title(&self.sheet), words.of(record::blocks(&record_of, self.shop.words))),
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
