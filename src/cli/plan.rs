//! `plan`: judge, choose, buy.

use std::path::Path;
use std::time::Instant;

use super::args::{Folders, JobArgs, PlanArgs};
use super::exit::{Failure, Outcome};
use super::files::{Loaded, choices, load};
use super::instance::Trouble;
use super::screen::{self, Reporter, UnderWay};
use super::write::{OutFile, Policy, State, Written, distinct_stems, write_all};
use crate::documents::block::{Block, Table};
use crate::documents::machine::parts::PartsDocument;
use crate::documents::machine::plan::PlanDocument;
use crate::documents::sheet::supply_drawing;
use crate::documents::words::Words;
use crate::documents::{parts_list, plan_screen, shopping_list, why_screen};
use crate::export::safe::for_terminal;
#[cfg(feature = "xlsx")]
use crate::export::xlsx;
use crate::export::{csv, json, markdown, svg, text};
use crate::model::chassis::Job;
use crate::model::plan::{Plan, SupplierBill};
use crate::model::shop::Shop;
use crate::sheet::sheet;
use crate::workflow::{self, Choices};

/// First line of every file that we write.
pub(super) const MADE_BY: &str = concat!("written by capjob ", env!("CARGO_PKG_VERSION"));

/// Plans, prints, and writes the documents where `--out` asks for them.
pub(super) fn run(args: &PlanArgs) -> anyhow::Result<Outcome> {
    let (jobs, shop, plan) = planned_in(args)?;
    let words = Words::new(&shop, &jobs).with_plan(&plan);
    let document = json::write(&PlanDocument::new(&plan))?;
    let result = if args.telling.json {
        document.clone()
    } else {
        text::write(&words.of(blocks(&jobs, &plan)), screen::setting(&args.telling))
    };
    if args.folders.out.is_some() || args.folders.dry_run {
        let files = files((&jobs, &plan), &words, document)?;
        write(&args.folders, &files, Reporter::new(&args.telling))?;
    }
    screen::result(&result)?;
    Ok(outcome(&plan))
}

/// Reads the jobs and the shop and plans; what the commands over several jobs share.
///
/// # Errors
/// Faults of the files, and whatever stands in the way of a plan.
pub(super) fn planned_in(args: &PlanArgs) -> Result<(Vec<Job>, Shop, Plan), Failure> {
    let loaded = load(&args.jobs, &args.folders, &args.telling)?;
    let choices = choices(args, &loaded.shop)?;
    solved(loaded, &choices, Reporter::new(&args.telling)).map_err(|trouble| trouble.failure(&args.folders))
}

/// The plan of one job, for the commands that take no choices.
///
/// # Errors
/// As [`planned_in`].
pub(super) fn planned_job(args: &JobArgs) -> Result<(Job, Shop, Plan), Failure> {
    let loaded = load(std::slice::from_ref(&args.job), &args.folders, &args.telling)?;
    let choices = Choices { max_suppliers: loaded.shop.choose.max_suppliers, ..Choices::default() };
    let solved = solved(loaded, &choices, Reporter::new(&args.telling));
    let (mut jobs, shop, plan) = solved.map_err(|trouble| trouble.failure(&args.folders))?;
    let job = jobs.pop().ok_or_else(|| Failure::internal("internal fault: no job was read"))?;
    Ok((job, shop, plan))
}

fn solved(loaded: Loaded, choices: &Choices, reporter: Reporter) -> Result<(Vec<Job>, Shop, Plan), Trouble> {
    let Loaded { jobs, shop, catalog } = loaded;
    let started = Instant::now();
    let under_way = UnderWay::tell("looking for the least cost ...", reporter);
    let mut plan = workflow::plan_from(&jobs, &shop, choices, |intake| {
        catalog.fill(&shop.suppliers, intake).map_err(Trouble::Read)
    })?;
    drop(under_way);
    plan.diagnostics = catalog.diagnostics();
    let took = plan.effort;
    reporter.why(&format!("{} offers and shelf lines serve, {} left after comparing", took.sources, took.sources_kept));
    reporter.detail(&format!(
        "{} classes of positions, {} search nodes, {} integer programmes, {:.3} s in all",
        took.classes,
        took.nodes,
        took.programmes,
        started.elapsed().as_secs_f64()
    ));
    Ok((jobs, shop, plan))
}

/// The plan, or the story of one position where it was asked for.
fn blocks(jobs: &[Job], plan: &Plan) -> Vec<Block> {
    let told = plan.story.as_ref().and_then(|story| {
        let part = parts_list::part_of(jobs, plan, &story.reference)?;
        let judgement = parts_list::judgement_of(plan, &story.reference)?;
        Some(why_screen::blocks(part, judgement, plan, story))
    });
    told.unwrap_or_else(|| plan_screen::blocks(jobs, plan))
}

/// Not met: a need that nothing meets, a hold, or an attempt to lower safety.
pub(super) fn outcome(plan: &Plan) -> Outcome {
    if plan.unmet.is_empty() && !plan.on_hold() && !workflow::safety_refused(plan) {
        Outcome::Done
    } else {
        Outcome::NotMet
    }
}

/// The documents of a plan.
fn files((jobs, plan): (&[Job], &Plan), words: &Words, document: String) -> anyhow::Result<Vec<OutFile>> {
    let mut files = vec![OutFile::text("plan.json", document)];
    files.push(OutFile::text("parts.json", json::write(&PartsDocument::new(jobs, plan))?));
    files.extend(table_files("parts", "Parts list", &words.table(parts_list::table(jobs, plan)))?);
    for (bill, stem) in bills(plan) {
        let list = csv::write(MADE_BY, &words.table(shopping_list::table(plan, bill)))?;
        files.push(OutFile::text(&format!("order-{stem}.csv"), list));
    }
    let stems = distinct_stems(jobs.iter().map(|j| j.name.as_str()));
    for (job, stem) in jobs.iter().zip(stems) {
        let drawn = sheet(job, plan, None).ok().and_then(|s| supply_drawing(&s)).map(|d| words.drawing(d));
        let name = if jobs.len() == 1 { "supply.svg".to_owned() } else { format!("supply-{stem}.svg") };
        files.extend(drawn.map(|d| OutFile::text(&name, svg::file(MADE_BY, &d))));
    }
    Ok(files)
}

/// The bills with the part of their file names that tells them apart.
pub(super) fn bills(plan: &Plan) -> impl Iterator<Item = (&SupplierBill, String)> {
    plan.bills.iter().zip(distinct_stems(plan.bills.iter().map(|b| b.supplier.as_str())))
}

/// A table as CSV, as a spreadsheet (where built in) and as Markdown.
fn table_files(stem: &str, heading: &str, table: &Table) -> anyhow::Result<Vec<OutFile>> {
    let mut files = vec![OutFile::text(&format!("{stem}.csv"), csv::write(MADE_BY, table)?)];
    #[cfg(feature = "xlsx")]
    files.push(OutFile {
        name: format!("{stem}.xlsx"),
        bytes: xlsx::write(MADE_BY, &[xlsx::Sheet { name: heading.to_owned(), table: table.clone() }])?,
    });
    let blocks = [Block::Heading(heading.to_owned()), Block::Table(table.clone())];
    files.push(OutFile::text(&format!("{stem}.md"), markdown::write(MADE_BY, &blocks)));
    Ok(files)
}

/// Writes the files and says what became of them.
pub(super) fn write(folders: &Folders, files: &[OutFile], reporter: Reporter) -> Result<(), Failure> {
    let Some(out) = &folders.out else {
        return Err(Failure::input("error: --dry-run without --out\n  help: name the folder with --out DIR"));
    };
    let policy = Policy { overwrite: folders.overwrite, dry_run: folders.dry_run };
    let written = write_all(out, files, policy)?;
    tell_written(out, files, &written, (folders.dry_run, reporter));
    Ok(())
}

/// Says what became of each file.
pub(super) fn tell_written(out: &Path, files: &[OutFile], written: &Written, (dry_run, reporter): (bool, Reporter)) {
    let verb = if dry_run { "would write" } else { "wrote" };
    if written.undone {
        let path = for_terminal(&out.display().to_string());
        reporter.note(&format!("{path}: what a killed run had written halfway was taken back first"));
    }
    for (file, state) in files.iter().zip(&written.states) {
        let verb = if *state == State::Unchanged { "left" } else { verb };
        let path = for_terminal(&out.join(&file.name).display().to_string());
        reporter.note(&format!("{verb} {path} ({})", state.word()));
    }
}
