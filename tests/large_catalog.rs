//! A large catalog of made-up offers, awkward lines among them: the plan is the same, byte for byte,
//! whether every line is read in full and every offer looked at, or lines are skimmed by several readers.

#![expect(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::cast_precision_loss,
    dead_code,
    reason = "a test that cannot read the sample has failed; its helpers serve other tests too"
)]

#[path = "bench-catalog/src/article.rs"]
mod article;
#[path = "bench-catalog/src/dice.rs"]
mod dice;
#[path = "bench-catalog/src/generate.rs"]
mod generate;
#[path = "support/sample.rs"]
mod sample;

use capjob::documents::machine::plan::PlanDocument;
use capjob::export::json;
use capjob::input::{Catalog, CatalogTerms, Taker, read_catalog};
use capjob::model::plan::Plan;
use capjob::model::shop::{Glance, Offer, Outline};
use capjob::workflow::{Choices, Intake, PlanError, plan, plan_from};

/// More than two blocks of the reader.
const ROWS: u64 = 9_000;
/// Parts of every family, few enough for a quick purchase.
const PARTS: &[&str] = &["C10", "C20", "C30", "C31", "C32", "C33", "R3", "R11", "R12", "R30", "V1", "FS1", "H3"];

/// An intake as a taker of offers.
struct Into<'a>(Intake<'a>);

impl Taker for Into<'_> {
    fn heeds(&mut self, outline: &Outline<'_>) -> bool {
        self.0.heeds(outline)
    }

    fn wants(&mut self, glance: &Glance<'_>) -> bool {
        self.0.wants(glance)
    }

    fn take(&mut self, offer: &Offer) {
        self.0.take(offer);
    }
}

/// An intake of which both looks are asked, the one by outline and the one at a glance.
struct Both<'a> {
    intake: Intake<'a>,
    heeds: bool,
    /// How often the first look was enough, and how often not.
    looks: [usize; 2],
}

impl Taker for Both<'_> {
    fn heeds(&mut self, outline: &Outline<'_>) -> bool {
        self.heeds = self.intake.heeds(outline);
        self.looks[usize::from(self.heeds)] += 1;
        true
    }

    fn wants(&mut self, glance: &Glance<'_>) -> bool {
        let wants = self.intake.wants(glance);
        assert!(self.heeds || !wants, "passed over, and wanted: {glance:?}");
        wants
    }

    fn take(&mut self, offer: &Offer) {
        self.intake.take(offer);
    }
}

fn written(plan: &Plan) -> String {
    json::write(&PlanDocument::new(plan)).expect("a document")
}

#[test]
fn skimming_changes_no_plan() {
    let mut text = Vec::new();
    generate::write(&mut text, ROWS).expect("memory takes it");
    let (mut job, shop) = (sample::job("hall-amplifier"), sample::shop());
    job.parts.retain(|p| PARTS.contains(&p.reference.as_str()));
    let jobs = [job];
    let choices = Choices { within_days: Some(7), ..Choices::default() };
    let in_full = plan(&jobs, &shop, &choices, |take| -> Result<usize, PlanError> {
        let mut catalog = Catalog::open("large.csv", text.as_slice(), &shop.suppliers, None).expect("a catalog");
        while let Some(offer) = catalog.next_offer() {
            take(&offer);
        }
        Ok(catalog.set_aside().len())
    });
    let in_full = in_full.expect("a plan");
    assert!(in_full.set_aside > 0 && in_full.fits.len() > 8);
    for readers in [1, 3] {
        let skimmed = plan_from(&jobs, &shop, &choices, |intake| -> Result<usize, PlanError> {
            let mut takers: Vec<Into<'_>> = (0..readers).map(|_| Into(intake.fork())).collect();
            let terms = CatalogTerms { suppliers: &shop.suppliers, map: None };
            let read = read_catalog("large.csv", text.as_slice(), terms, &mut takers, &mut |_| {}).expect("a catalog");
            for taker in takers {
                intake.join(taker.0);
            }
            Ok(read.set_aside.len())
        });
        let skimmed = skimmed.expect("a plan");
        assert_eq!(written(&skimmed), written(&in_full), "{readers} readers");
    }
}

/// What is passed over by kind, value and ratings would have been refused at a glance too.
#[test]
fn an_outline_is_enough_to_refuse() {
    let mut text = Vec::new();
    generate::write(&mut text, ROWS * 3).expect("memory takes it");
    let shop = sample::shop();
    for (job, within_days) in [("hall-amplifier", None), ("corran-radiogram", Some(7)), ("lark-recorder", None)] {
        let mut job = sample::job(job);
        // Few enough for a quick purchase; every need is looked for.
        job.parts.truncate(24);
        let choices = Choices { within_days, seconds: Some(1.0), ..Choices::default() };
        let read = plan_from(&[job], &shop, &choices, |intake| -> Result<usize, PlanError> {
            let mut takers = [Both { intake: intake.fork(), heeds: true, looks: [0, 0] }];
            let terms = CatalogTerms { suppliers: &shop.suppliers, map: None };
            read_catalog("large.csv", text.as_slice(), terms, &mut takers, &mut |_| {}).expect("a catalog");
            let [taker] = takers;
            assert!(taker.looks.iter().all(|looks| 1_000 < *looks), "{:?}", taker.looks);
            intake.join(taker.intake);
            Ok(0)
        });
        assert!(!read.expect("a plan").fits.is_empty());
    }
}
