//! A whole job: read, judged, planned, and every document written.

use capjob::documents::block::Block;
use capjob::documents::machine::plan::PlanDocument;
use capjob::documents::{
    inspect_screen, order_screen, parts_list, plan_screen, quote as quote_page, record, sheet as sheet_page,
    shopping_list, supply_screen,
};
use capjob::export::{csv, html, json, markdown, text};
use capjob::input::{Catalog, Faults, NamedBytes, Noted, ShopFiles, ShopRead, read_shop};
use capjob::model::chassis::Job;
use capjob::model::plan::Plan;
use capjob::model::shop::{Offer, Shop};
use capjob::quote::quote;
use capjob::rules::reform_plans;
use capjob::sheet::sheet;
use capjob::verify::{AfterRow, verify};
use capjob::workflow::{self, Choices, PlanError};

use crate::{Folder, check_faults, check_notes, shown};

const MADE_BY: &str = "written by capjob";
const SETTINGS: &str = "currency = \"EUR\"\n";
const SUPPLIERS: &str =
    "supplier,currency,carriage,free_over,minimum_order,small_order_fee,lead_days\nA,EUR,4.50,50,,,3\n";

/// The shop of an input; a small one where it has none.
///
/// # Errors
/// The faults of its files, which have been checked.
pub fn read_shop_of(folder: &Folder<'_>) -> Result<Noted<ShopRead>, Faults> {
    let keys = workflow::margin_keys();
    let named = |name: &'static str| folder.get(name).map(|bytes| (name, bytes));
    let settings = ("shop.toml", folder.or("shop.toml", SETTINGS));
    let suppliers = ("suppliers.csv", folder.or("suppliers.csv", SUPPLIERS));
    let (shelf, equivalents, rectifiers) = (named("shelf.csv"), named("equivalents.csv"), named("rectifiers.csv"));
    let of = |(name, bytes)| NamedBytes { name, bytes };
    let read = read_shop(&ShopFiles {
        settings: of(settings),
        suppliers: of(suppliers),
        shelf: shelf.map(of),
        equivalents: equivalents.map(of),
        rectifiers: rectifiers.map(of),
        margin_keys: &keys,
    });
    let files: Vec<(&str, &[u8])> =
        [Some(settings), Some(suppliers), shelf, equivalents, rectifiers].into_iter().flatten().collect();
    match &read {
        Ok(noted) => check_notes(&noted.notes, &files),
        Err(faults) => check_faults(faults, &files),
    }
    read
}

/// The offers of a catalog file; what is set aside has been checked.
pub fn offers(name: &str, bytes: &[u8], shop: &ShopRead) -> Vec<Offer> {
    let mut catalog = match Catalog::open(name, bytes, &shop.shop.suppliers, shop.columns.of(name)) {
        Ok(catalog) => catalog,
        Err(faults) => {
            check_faults(&faults, &[(name, bytes)]);
            return Vec::new();
        }
    };
    let offers: Vec<Offer> = catalog.by_ref().collect();
    assert!(offers.len() + catalog.set_aside().len() <= catalog.lines() + 1);
    for offer in &offers {
        assert!(!offer.tiers.is_empty() && offer.tiers.windows(2).all(|w| w[0].from < w[1].from), "{offer:?}");
    }
    if !catalog.set_aside().is_empty() {
        check_faults(catalog.set_aside(), &[(name, bytes)]);
    }
    check_notes(&catalog.notes(), &[(name, bytes)]);
    offers
}

/// Plans a job within a second of search.
///
/// # Errors
/// Those of planning.
pub fn plan(job: &Job, shop: &Shop, offers: &[Offer]) -> Result<Plan, PlanError> {
    let choices = Choices { seconds: Some(1.0), max_suppliers: shop.choose.max_suppliers, ..Choices::default() };
    workflow::plan(std::slice::from_ref(job), shop, &choices, |take| {
        offers.iter().for_each(take);
        Ok(0)
    })
}

/// Judges and plans a job, and writes every document of it. `texts` are the job's files.
pub fn check_job((job, texts): (&Job, &[&str]), shop: &Shop, offers: &[Offer], rows: &[AfterRow]) {
    let inspection = workflow::inspect(job, shop);
    assert_eq!(inspection.judgements.len(), job.parts.len());
    shown(&screen(&inspect_screen::blocks(job, &inspection, false)));
    shown(&screen(&inspect_screen::blocks(job, &inspection, true)));
    shown(&screen(&supply_screen::blocks(&inspection)));
    let plan = match plan(job, shop, offers) {
        Ok(plan) => plan,
        Err(PlanError::Purchase(error)) => panic!("internal fault: {error:?}"),
        Err(_shop_does_not_fit) => return,
    };
    assert!(plan.totals.bound <= plan.totals.landed, "{:?}", plan.totals);
    let document = json::write(&PlanDocument::new(&plan)).expect("JSON");
    let _: serde_json::Value = serde_json::from_str(&document).expect("what is written is JSON");
    finite(&plan, texts);
    let jobs = std::slice::from_ref(job);
    papers(&plan_screen::blocks(jobs, &plan));
    papers(&order_screen::blocks(&plan));
    csv::write(MADE_BY, &parts_list::table(jobs, &plan)).expect("a table");
    for bill in &plan.bills {
        csv::write(MADE_BY, &shopping_list::table(&plan, bill)).expect("a table");
    }
    if let Ok(quote) = quote(jobs, &plan, &shop.quote, None) {
        papers(&quote_page::blocks(&quote, shop.words));
    }
    let Ok(sheet) = sheet(job, &plan, None) else { return };
    let reforms = reform_plans(job, &inspection.judgements, &shop.margins);
    papers(&sheet_page::blocks(&sheet, &reforms, shop.words));
    if let Ok(verification) = verify(job, &plan, rows) {
        let record = record::Record { job, plan: &plan, sheet: &sheet, verification: &verification };
        papers(&record::blocks(&record, shop.words));
    }
}

/// Writes a document in every form.
fn papers(blocks: &[Block]) {
    shown(&screen(blocks));
    html::write(MADE_BY, "title", blocks).expect("a page");
    markdown::write(MADE_BY, blocks);
}

/// A document as a narrow screen shows it.
pub fn screen(blocks: &[Block]) -> String {
    text::write(blocks, text::Setting { width: Some(60), colour: false })
}

/// JSON writes what is not a number as null, so it is looked for before: every figure of a plan is
/// finite. A text of the input that holds these letters itself is no figure.
fn finite(what: &impl std::fmt::Debug, input: &[&str]) {
    let shown = format!("{what:?}");
    for word in ["NaN", "inf"] {
        let figure = |at: usize| {
            let before = shown[..at].chars().next_back().is_none_or(|c| matches!(c, '(' | ' ' | '[' | '-'));
            let after =
                shown[at + word.len()..].chars().next().is_none_or(|c| matches!(c, ')' | ',' | ' ' | ']' | '}'));
            before && after
        };
        let found = shown.match_indices(word).find(|(at, _)| figure(*at));
        if let Some((at, _)) = found
            && !input.iter().any(|text| text.contains(word))
        {
            let from = shown.floor_char_boundary(at.saturating_sub(300));
            panic!("a figure is not finite: …{}", &shown[from..shown.floor_char_boundary(at + 60)]);
        }
    }
}
