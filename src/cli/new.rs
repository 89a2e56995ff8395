//! `new`: a job folder or a shop folder to start from.

use std::path::{Path, PathBuf};

use super::args::NewArgs;
use super::exit::{Failure, Outcome};
use super::files::shop_beside;
use super::plan::tell_written;
use super::screen::{self, Reporter};
use super::write::{OutFile, Policy, write_all};
use crate::documents::machine::new::{NewDocument, Started};
use crate::export::json;
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
/// What is said where neither a job nor a shop is named.
const NOTHING_NAMED: &str =
    "error: no folder is named\n  help: `capjob new my-radio` starts a job, `capjob new --shop shop` a shop";
/// The catalog of a shop.
const EXAMPLE: &str = include_str!("templates/shop/example.csv");

/// Writes what was asked for and prints the next two commands.
pub(super) fn run(args: &NewArgs) -> anyhow::Result<Outcome> {
    let started = match (job_named(args)?, &args.shop) {
        (Some(dir), Some(shop)) => new_both(args, dir, shop)?,
        (None, Some(shop)) => new_shop(args, shop)?,
        (Some(dir), None) => new_job(args, dir, None)?,
        (None, None) => return Err(Failure::input(NOTHING_NAMED).into()),
    };
    let heading = if args.dry_run { "Nothing was written. Next:" } else { "Next:" };
    let lines: Vec<String> = started.next.iter().map(|n| format!("  {n}\n")).collect();
    let text = format!("{heading}\n{}", lines.concat());
    screen::result(&if args.telling.json { json::write(&NewDocument::new(started))? } else { text })?;
    Ok(Outcome::Done)
}

/// The one job that is named. What a hurried person types instead is answered with what they mean.
fn job_named(args: &NewArgs) -> Result<Option<&Path>, Failure> {
    match args.dirs.as_slice() {
        [] => Ok(None),
        [one] if one.as_os_str() == "shop" => Err(Failure::input(
            "error: `shop` is the name that a shop folder is found by\n  help: `capjob new --shop shop` starts a shop; a job of that name is written ./shop",
        )),
        [one] => Ok(Some(one)),
        [first, second, ..] if first.as_os_str() == "shop" => Err(Failure::input(format!(
            "error: several folders are named\n  help: `capjob new --shop {}` starts a shop",
            word(second)
        ))),
        several => {
            let names: Vec<String> = several.iter().map(|d| d.to_string_lossy().into_owned()).collect();
            let whole = PathBuf::from(names.join(" "));
            Err(Failure::input(format!(
                "error: several folders are named\n  help: one job at a time; a name with blanks goes in quotes: `capjob new {}`",
                word(&whole)
            )))
        }
    }
}

/// A job for a shop: the shop is started too where it is not there yet.
fn new_both(args: &NewArgs, dir: &Path, shop: &Path) -> Result<Started, Failure> {
    if shop.join("shop.toml").is_file() {
        Reporter::new(&args.telling).note(&format!("the shop {} is there already and stays as it is", shop.display()));
        return new_job(args, dir, Some(shop));
    }
    let look = Policy { overwrite: args.overwrite, dry_run: true };
    write_all(dir, &job_files(dir)?, look)?;
    let of_shop = new_shop(args, shop)?;
    let of_job = new_job(args, dir, Some(shop))?;
    Ok(Started { written: [of_shop.written, of_job.written].concat(), next: of_job.next })
}

fn job_files(dir: &Path) -> Result<[OutFile; 2], Failure> {
    let chassis = CHASSIS.replace("\"NAME\"", &toml::Value::String(name_of(dir)?).to_string());
    Ok([OutFile::text("chassis.toml", chassis), OutFile::text("parts.csv", PARTS.to_owned())])
}

fn new_job(args: &NewArgs, dir: &Path, shop: Option<&Path>) -> Result<Started, Failure> {
    let written = write(args, dir, &job_files(dir)?)?;
    let job = word(dir);
    let in_environment = std::env::var_os("CAPJOB_SHOP").is_some_and(|s| Path::new(&s).join("shop.toml").is_file());
    let found = in_environment || shop_beside(dir).is_some();
    let next = match shop {
        // A shop that is named `shop` is found from the jobs beside it; any other has to be named.
        Some(shop) if !is_beside(dir, shop) => {
            let shop = word(shop);
            vec![format!("capjob inspect {job} --shop {shop}"), format!("capjob plan {job} --shop {shop}")]
        }
        None if !found => {
            vec![format!("capjob new --shop {}", word(&dir.with_file_name("shop"))), format!("capjob plan {job}")]
        }
        _ => vec![format!("capjob inspect {job}"), format!("capjob plan {job}")],
    };
    Ok(Started { written, next })
}

/// Whether the shop is the one that is found beside the job by itself.
fn is_beside(dir: &Path, shop: &Path) -> bool {
    let same =
        |a: &Path, b: &Path| std::path::absolute(a).ok().zip(std::path::absolute(b).ok()).is_some_and(|(a, b)| a == b);
    same(&dir.with_file_name("shop"), shop)
}

fn new_shop(args: &NewArgs, shop: &Path) -> Result<Started, Failure> {
    let texts = [("catalog/example.csv", EXAMPLE)].into_iter().chain(SHOP.iter().copied());
    let files: Vec<OutFile> = texts.map(|(name, text)| OutFile::text(name, text.to_owned())).collect();
    let written = write(args, shop, &files)?;
    // A shop that is named `shop` is found from the jobs beside it; any other has to be named.
    let found = shop.file_name().is_some_and(|n| n == "shop");
    let job = word(&shop.with_file_name("my-set"));
    let named = if found { String::new() } else { format!(" --shop {}", word(shop)) };
    Ok(Started { written, next: vec![format!("capjob new {job}"), format!("capjob plan {job}{named}")] })
}

/// Writes the files and tells of it; what was written, as paths.
fn write(args: &NewArgs, folder: &Path, files: &[OutFile]) -> Result<Vec<String>, Failure> {
    let policy = Policy { overwrite: args.overwrite, dry_run: args.dry_run };
    let written = write_all(folder, files, policy)?;
    tell_written(folder, files, &written, (args.dry_run, Reporter::new(&args.telling)));
    Ok(files.iter().map(|f| folder.join(&f.name).display().to_string()).collect())
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
    fn the_parts_list_names_every_column() {
        let words: Vec<&str> = PARTS.split([' ', ',', '\n', ':', '(', ';']).collect();
        let parts = crate::input::FILES.iter().find(|f| f.file == "parts.csv").unwrap();
        let missing: Vec<&str> = parts.fields.iter().map(|f| f.name).filter(|n| !words.contains(n)).collect();
        assert_eq!(missing, Vec::<&str>::new());
    }

    #[test]
    fn a_path_is_quoted_where_a_shell_needs_it() {
        assert_eq!(word(Path::new("jobs/my-set")), "jobs/my-set");
        assert_eq!(word(Path::new("-x")), "./-x");
        assert_eq!(word(Path::new("Moor End's")), "'Moor End'\\''s'");
    }
}
