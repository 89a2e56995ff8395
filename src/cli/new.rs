//! `new`: a job folder or a shop folder to start from.

use std::path::{Path, PathBuf};

use super::args::NewArgs;
use super::exit::{Failure, Outcome};
use super::files::shop_beside;
use super::plan::tell_written;
use super::screen::{self, Reporter};
use super::write::{OutFile, Policy, write_all};
use crate::export::safe::for_terminal;

/// The chassis sheet, with `NAME` where the name of the set goes.
const CHASSIS: &str = include_str!("templates/chassis.toml");
/// The parts list.
const PARTS: &str = include_str!("templates/parts.csv");
/// The files of a shop, but for its catalog.
const SHOP: &[(&str, &str)] = &[
    ("shop.toml", include_str!("templates/shop/shop.toml")),
    ("suppliers.csv", include_str!("templates/shop/suppliers.csv")),
    ("rectifiers.csv", include_str!("templates/shop/rectifiers.csv")),
    ("equivalents.csv", include_str!("templates/shop/equivalents.csv")),
];
/// The catalog of a shop.
const EXAMPLE: &str = include_str!("templates/shop/example.csv");

/// Writes the folder and prints the next two commands.
pub(super) fn run(args: &NewArgs) -> anyhow::Result<Outcome> {
    let next = match (&args.shop, &args.dir) {
        (Some(shop), _) => new_shop(args, shop)?,
        (None, Some(dir)) => new_job(args, dir)?,
        (None, None) => return Err(Failure::input("error: neither DIR nor --shop DIR is given").into()),
    };
    let heading = if args.dry_run { "Nothing was written. Next:" } else { "Next:" };
    let lines: Vec<String> = next.iter().map(|n| format!("  {n}\n")).collect();
    screen::result(&format!("{heading}\n{}", lines.concat()))?;
    Ok(Outcome::Done)
}

fn new_job(args: &NewArgs, dir: &Path) -> Result<Vec<String>, Failure> {
    let name = name_of(dir)?;
    let chassis = CHASSIS.replace("\"NAME\"", &toml::Value::String(name).to_string());
    let files = [OutFile::text("chassis.toml", chassis), OutFile::text("parts.csv", PARTS.to_owned())];
    write(args, dir, &files)?;
    let job = word(dir);
    let plan = format!("capjob plan {job}");
    if shop_beside(dir).is_some() {
        return Ok(vec![format!("capjob inspect {job}"), plan]);
    }
    Ok(vec![format!("capjob new --shop {}", word(&dir.with_file_name("shop"))), plan])
}

fn new_shop(args: &NewArgs, shop: &Path) -> Result<Vec<String>, Failure> {
    let texts = [("catalog/example.csv", EXAMPLE)].into_iter().chain(SHOP.iter().copied());
    let files: Vec<OutFile> = texts.map(|(name, text)| OutFile::text(name, text.to_owned())).collect();
    write(args, shop, &files)?;
    // A shop that is named `shop` is found from the jobs beside it; any other has to be named.
    let found = shop.file_name().is_some_and(|n| n == "shop");
    let job = word(&shop.with_file_name("my-set"));
    let named = if found { String::new() } else { format!(" --shop {}", word(shop)) };
    Ok(vec![format!("capjob new {job}"), format!("capjob plan {job}{named}")])
}

fn write(args: &NewArgs, folder: &Path, files: &[OutFile]) -> Result<(), Failure> {
    let policy = Policy { overwrite: args.overwrite, dry_run: args.dry_run };
    let written = write_all(folder, files, policy)?;
    tell_written(folder, files, &written, (args.dry_run, Reporter::new(&args.telling)));
    Ok(())
}

/// The set is named as its folder until the technician names it.
fn name_of(dir: &Path) -> Result<String, Failure> {
    let whole: PathBuf = std::path::absolute(dir).map_err(|e| Failure::io(format!("error: {}: {e}", dir.display())))?;
    match whole.file_name() {
        Some(name) => Ok(name.to_string_lossy().into_owned()),
        None => Err(Failure::input(format!("error: {} has no name of its own\n  help: name a folder", dir.display()))),
    }
}

/// A path as it is typed: quoted where a shell would take it apart, after `./` where it looks like an option.
fn word(path: &Path) -> String {
    let text = for_terminal(&path.display().to_string());
    let text = if text.starts_with('-') { format!("./{text}") } else { text };
    let plain = |c: char| c.is_alphanumeric() || matches!(c, '/' | '.' | '-' | '_' | '\\' | ':');
    if text.chars().all(plain) { text } else { format!("'{}'", text.replace('\'', "'\\''")) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::{NamedBytes, ShopFiles, read_job, read_shop};

    #[test]
    fn what_is_written_reads_without_fault_or_note() {
        let chassis = CHASSIS.replace("\"NAME\"", "\"My set\"");
        let named = |name, text: &'static str| NamedBytes { name, bytes: text.as_bytes() };
        let sheet = NamedBytes { name: "chassis.toml", bytes: chassis.as_bytes() };
        let job = read_job("my-set", sheet, named("parts.csv", PARTS)).unwrap();
        assert_eq!((job.notes.as_slice(), job.value.parts.len()), ([].as_slice(), 0));
        let of = |i: usize| named(SHOP[i].0, SHOP[i].1);
        let keys = crate::workflow::margin_keys();
        let files = ShopFiles {
            settings: of(0),
            suppliers: of(1),
            shelf: None,
            rectifiers: Some(of(2)),
            equivalents: Some(of(3)),
            margin_keys: &keys,
        };
        assert_eq!(read_shop(&files).unwrap().notes.len(), 0);
    }

    #[test]
    fn a_path_is_quoted_where_a_shell_needs_it() {
        assert_eq!(word(Path::new("jobs/my-set")), "jobs/my-set");
        assert_eq!(word(Path::new("-x")), "./-x");
        assert_eq!(word(Path::new("Moor End's")), "'Moor End'\\''s'");
    }
}
