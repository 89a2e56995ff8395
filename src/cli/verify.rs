//! `verify`: the readings after the work, held against the plan.

use super::args::JobArgs;
use super::exit::{Failure, Outcome};
use super::files::{date, failure, read_table, shown};
use super::plan::{MADE_BY, planned_job, write};
use super::screen::{self, Reporter};
use super::write::OutFile;
use crate::documents::machine::verify::VerifyDocument;
use crate::documents::record::{Record, blocks, title};
use crate::documents::words::Words;
use crate::export::{html, json, markdown, text};
use crate::input::{AfterFigure, AfterPoint, AfterReading, read_after};
use crate::model::part::Reading;
use crate::sheet::sheet;
use crate::verify::{AfterRow, Read, Unit, What, verify};

/// Prints the checks and the record; not met when one fails.
pub(super) fn run(args: &JobArgs) -> anyhow::Result<Outcome> {
    let reporter = Reporter::new(&args.telling);
    let date = date(&args.folders)?;
    let (job, shop, plan) = planned_job(args)?;
    let file = read_table(&args.job, "after").map_err(|f| failure(&f, shown(&args.folders)))?;
    let read = read_after(file.as_ref()).map_err(|f| failure(&f, shown(&args.folders)))?;
    for note in &read.notes {
        reporter.note(note);
    }
    let rows: Vec<AfterRow> = read.value.into_iter().map(row).collect();
    let verification = verify(&job, &plan, &rows).map_err(|e| Failure::input(format!("error: {e}")))?;
    let sheet = sheet(&job, &plan, date).map_err(|e| Failure::internal(format!("internal fault: {e}")))?;
    let record = Record { job: &job, plan: &plan, sheet: &sheet, verification: &verification };
    let blocks = Words::new(&shop, std::slice::from_ref(&job)).of(blocks(&record, shop.words));
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
    };
    let read = match reading.figure {
        AfterFigure::Volt(v) => Read::Figure(v.get(), Unit::Volt),
        AfterFigure::Ampere(v) => Read::Figure(v.get(), Unit::Ampere),
        AfterFigure::Watt(v) => Read::Figure(v.get(), Unit::Watt),
        AfterFigure::Ohm(v) | AfterFigure::Part(Reading::Ohm(v)) => Read::Figure(v.get(), Unit::Ohm),
        AfterFigure::Part(Reading::Farad(v)) => Read::Figure(v.get(), Unit::Farad),
        AfterFigure::Part(Reading::Open) => Read::Open,
        AfterFigure::Part(Reading::Short) => Read::Short,
    };
    AfterRow { what, read, note: reading.note }
}
