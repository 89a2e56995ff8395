//! `verify`: the readings after the work, held against the plan.

use super::args::JobArgs;
use super::exit::{Failure, Outcome};
use super::files::{date, failure, read_table, shown};
use super::plan::{MADE_BY, planned_job, write};
use super::screen::{self, Reporter};
use super::write::OutFile;
use crate::documents::after_blank;
use crate::documents::machine::verify::VerifyDocument;
use crate::documents::record::{Record, blocks, title};
use crate::documents::words::Words;
use crate::export::{html, json, markdown, text};
use crate::input::{AfterFigure, AfterPoint, AfterReading, FaultKind, Faults, read_after_of};
use crate::model::part::Reading;
use crate::sheet::{Sheet, sheet};
use crate::verify::{AfterRow, Read, Unit, What, verify};

/// Prints the checks and the record; not met when one fails.
pub(super) fn run(args: &JobArgs) -> anyhow::Result<Outcome> {
    let reporter = Reporter::new(&args.telling);
    let date = date(&args.folders)?;
    let (job, shop, plan) = planned_job(args)?;
    let sheet = sheet(&job, &plan, date).map_err(|e| Failure::internal(format!("internal fault: {e}")))?;
    let file = read_table(&args.job, "after").map_err(|f| no_readings(&f, args, &sheet))?;
    let read = read_after_of(file.as_ref(), &job).map_err(|f| failure(&f, shown(&args.folders)))?;
    for note in &read.notes {
        reporter.note(note);
    }
    let rows: Vec<AfterRow> = read.value.into_iter().map(row).collect();
    let verification = verify(&job, &plan, &rows).map_err(|e| Failure::input(format!("error: {e}")))?;
    let record = Record { job: &job, plan: &plan, sheet: &sheet, verification: &verification };
    let words = Words::new(&shop, std::slice::from_ref(&job)).with_plan(&plan);
    let words = words.keep(rows.iter().filter_map(|r| r.note.as_deref()));
    let blocks = words.of(blocks(&record, shop.words));
    if args.folders.out.is_some() || args.folders.dry_run {
        let files = [
            OutFile::text("record.html", html::write(MADE_BY, &title(&sheet), &blocks)?),
            OutFile::text("record.md", markdown::write(MADE_BY, &blocks)),
        ];
        write(&args.folders, &files, reporter)?;
    }
    let result = if args.telling.json {
        json::write(&VerifyDocument::new(&job, &plan, &verification))?
    } else {
        text::write(&blocks, screen::setting(&args.telling))
    };
    screen::result(&result)?;
    Ok(if verification.pass { Outcome::Done } else { Outcome::NotMet })
}

/// The readings cannot be read; where there are none yet, which are due and where a form for them is.
fn no_readings(faults: &Faults, args: &JobArgs, sheet: &Sheet) -> Failure {
    let failure = failure(faults, shown(&args.folders));
    if !faults.iter().all(|f| f.kind == FaultKind::Missing) {
        return failure;
    }
    let job = args.job.display();
    Failure {
        text: format!(
            "{}\n    these are the readings after the work, and there are none yet\n    help: capjob sheet {job} --out DIR \
             writes DIR/after-blank.csv, a line for each that is due; fill it in and put it at {job}/after.csv\n    due: {}",
            failure.text,
            after_blank::keys(sheet).join(", ")
        ),
        ..failure
    }
}

/// A reading of the file as the checks take it.
fn row(reading: AfterReading) -> AfterRow {
    let what = match reading.point {
        AfterPoint::Mains => What::Mains,
        AfterPoint::Node(node) => What::Node(node),
        AfterPoint::Ripple(node) => What::Ripple(node),
        AfterPoint::Bias => What::Bias,
        AfterPoint::Grid(reference) => What::Grid(reference),
        AfterPoint::Power => What::Power,
        AfterPoint::Hum => What::Hum,
        AfterPoint::Touch(way) => What::Touch(way),
        AfterPoint::Cold => What::Cold,
        AfterPoint::Reads(reference) => What::Reads(reference),
        AfterPoint::Done(reference) => What::Done(reference),
    };
    let read = match reading.figure {
        AfterFigure::Volt(v) => Read::Figure(v.get(), Unit::Volt),
        AfterFigure::Ampere(v) => Read::Figure(v.get(), Unit::Ampere),
        AfterFigure::Watt(v) => Read::Figure(v.get(), Unit::Watt),
        AfterFigure::Ohm(v) | AfterFigure::Part(Reading::Ohm(v)) => Read::Figure(v.get(), Unit::Ohm),
        AfterFigure::Part(Reading::Farad(v)) => Read::Figure(v.get(), Unit::Farad),
        AfterFigure::Part(Reading::Open) => Read::Open,
        AfterFigure::Part(Reading::Short) => Read::Short,
        AfterFigure::Yes => Read::Yes,
        AfterFigure::No => Read::No,
        AfterFigure::NotTaken => Read::NotTaken,
    };
    AfterRow { what, read, note: reading.note }
}
