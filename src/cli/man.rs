//! `man` and `completions`: generated from the same source as the help.

use clap::CommandFactory as _;

use super::args::{Cli, CompletionsArgs, ManArgs};
use super::exit::{Failure, Outcome};
use super::screen;

/// The day that the pages bear: that of the last change of the help. No clock comes into any output.
const DATED: &str = "2026-11-25";

/// Prints completions for a shell.
pub(super) fn completions(args: &CompletionsArgs) -> anyhow::Result<Outcome> {
    let mut out = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "capjob", &mut out);
    screen::result(&String::from_utf8_lossy(&out))?;
    Ok(Outcome::Done)
}

/// Prints a manual page.
pub(super) fn page(args: &ManArgs) -> anyhow::Result<Outcome> {
    let mut whole = Cli::command();
    whole.build();
    let command = match &args.command {
        None => whole,
        Some(name) => whole.find_subcommand(name).cloned().ok_or_else(|| {
            Failure::input(format!("error: no command `{name}`\n  help: `capjob help` lists the commands"))
        })?,
    };
    let examples = command.get_before_help().map(ToString::to_string).unwrap_or_default();
    let title =
        args.command.as_ref().map_or_else(|| "CAPJOB".to_owned(), |name| format!("CAPJOB-{}", name.to_uppercase()));
    let page =
        clap_mangen::Man::new(command).title(title).date(DATED).source(concat!("capjob ", env!("CARGO_PKG_VERSION")));
    let mut out = Vec::new();
    page.render(&mut out)?;
    screen::result(&format!("{}{}", String::from_utf8_lossy(&out), section_of(&examples)))?;
    Ok(Outcome::Done)
}

/// The examples of the help as a section of the page.
fn section_of(examples: &str) -> String {
    let lines: Vec<String> =
        examples.lines().skip(1).map(|l| l.trim().replace('\\', "\\e").replace('-', "\\-")).collect();
    if lines.is_empty() { String::new() } else { format!(".SH EXAMPLES\n.nf\n{}\n.fi\n", lines.join("\n")) }
}
