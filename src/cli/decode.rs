//! `decode`: every reading of a marking.

use super::args::DecodeArgs;
use super::exit::{Failure, Outcome};
use super::screen;
use crate::documents::decoded::{DecodeDocument, blocks};
use crate::export::{json, text};
use crate::marking::{decode, refused};

/// Prints the readings; not met when the text cannot be read at all.
pub(super) fn run(args: &DecodeArgs) -> anyhow::Result<Outcome> {
    let year = match args.year {
        None => None,
        Some(year) => Some(
            u16::try_from(year)
                .ok()
                .filter(|y| (1900..=2100).contains(y))
                .ok_or_else(|| Failure::input(format!("error: --year {year}: a year from 1900 to 2100 is wanted")))?,
        ),
    };
    let readings = decode(&args.text, year);
    let why = refused(&args.text);
    let result = if args.telling.json {
        json::write(&DecodeDocument::new(&args.text, &readings, &why))?
    } else {
        let words = super::rules::words(&args.telling).keep([args.text.as_str()]);
        text::write(&words.of(blocks(&args.text, &readings, &why)), screen::setting(&args.telling))
    };
    screen::result(&result)?;
    Ok(if readings.is_empty() { Outcome::NotMet } else { Outcome::Done })
}
