//! The command line: one source for parsing, help, man pages and completions.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

/// The short help of the program; examples come first.
const TOP_TEMPLATE: &str = "{name} {version}: {about}\n{before-help}Commands:\n{subcommands}{after-help}";
/// The help of one command; examples come first.
const COMMAND_TEMPLATE: &str = "{about}\n\n{before-help}\n{usage-heading} {usage}\n\n{all-args}{after-help}";

/// What every help text ends with.
const ENDING: &str = "\nExit: 0 done; 1 something not met; 2 bad input; 3 cannot read or write; 70 fault; 130 stopped\nDocumentation: docs/ of the source; faults: the source's issue list";

/// The program.
#[derive(Debug, Parser)]
#[command(
    name = "capjob",
    version,
    about = "judges a valve (tube) chassis, finds what will do, buys for least",
    help_template = TOP_TEMPLATE,
    before_help = "Examples:\n  capjob new my-radio --shop shop\n  capjob plan catalog-sample/jobs/corran-radiogram --shop catalog-sample",
    after_help = "Exit: 0 done; 1 something not met; 2 bad input; 3 cannot read or write\n`capjob help COMMAND` tells more. Manual: docs/; faults: the source's issue list",
    arg_required_else_help = true,
    term_width = 80
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Start a job folder, a shop folder or both, with remarks in them
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Examples:\n  capjob new my-radio --shop shop\n  capjob new another-set\n")]
    New(NewArgs),
    /// Judge every part of a chassis
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Example:\n  capjob inspect catalog-sample/jobs/hall-amplifier --shop catalog-sample\n")]
    Inspect(JobArgs),
    /// Compute the HT (B+) supply: voltages, ripple, surge
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Example:\n  capjob supply catalog-sample/jobs/hall-amplifier --shop catalog-sample\n")]
    Supply(JobArgs),
    /// Tell whether a part will do at a place, and exactly why
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Example:\n  capjob check catalog-sample/jobs/hall-amplifier C30 \\\n    \"22uF 500V 105C 250mA axial\" --shop catalog-sample\n")]
    Check(CheckArgs),
    /// Judge, choose and buy: the main job; several jobs make one order
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Examples:\n  capjob plan catalog-sample/jobs/corran-radiogram --shop catalog-sample\n  capjob plan catalog-sample/jobs/corran-radiogram --shop catalog-sample --json\n")]
    Plan(PlanArgs),
    /// The shopping list of each supplier
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Example:\n  capjob order catalog-sample/jobs/corran-radiogram --shop catalog-sample\n")]
    Order(PlanArgs),
    /// The owner's quote
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Example:\n  capjob quote catalog-sample/jobs/corran-radiogram --shop catalog-sample\n")]
    Quote(PlanArgs),
    /// The bench sheet: order of work, cautions, first power, readings
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Example:\n  capjob sheet catalog-sample/jobs/corran-radiogram --shop catalog-sample\n")]
    Sheet(JobArgs),
    /// Hold the readings after the work (after.csv) against the plan
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Example:\n  capjob verify catalog-sample/jobs/corran-radiogram --shop catalog-sample\n")]
    Verify(JobArgs),
    /// How to reform what is kept, step by step, with a log to fill in
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Example:\n  capjob reform catalog-sample/jobs/corran-radiogram --shop catalog-sample\n")]
    Reform(JobArgs),
    /// The page of a rule, or the list of all rules
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Examples:\n  capjob rules\n  capjob rules paper\n")]
    Rules(RulesArgs),
    /// Read a marking: values, colour bands, letter and date codes
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Example:\n  capjob decode 4K7\n")]
    Decode(DecodeArgs),
    /// Print completions for a shell
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Example:\n  capjob completions bash\n")]
    Completions(CompletionsArgs),
    /// Print the manual page of the program or of one command
    #[command(help_template = COMMAND_TEMPLATE, after_help = ENDING,
        before_help = "Examples:\n  capjob man\n  capjob man plan\n")]
    Man(ManArgs),
}

/// When to use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Color {
    /// On a terminal that wants it.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// How much is told, and how.
#[derive(Debug, Clone, Args)]
pub struct Telling {
    /// Print one JSON object instead of text
    #[arg(long)]
    pub json: bool,
    /// Print nothing but errors beside the result
    #[arg(short, long, conflicts_with = "verbose")]
    pub quiet: bool,
    /// Tell why; twice: timing and solver statistics
    #[arg(short, long, action = clap::ArgAction::Count)]
    pub verbose: u8,
    /// Colour: auto, always or never
    #[arg(long, value_name = "WHEN", default_value = "auto", hide_default_value = true, hide_possible_values = true)]
    pub color: Color,
}

/// Where things are read from and written to.
#[derive(Debug, Clone, Args)]
#[expect(clippy::struct_excessive_bools, reason = "each is a switch of the command line")]
pub struct Folders {
    /// The shop.
    #[arg(
        help = "Shop folder; else $CAPJOB_SHOP, else a folder `shop` beside or above the job",
        long,
        value_name = "DIR",
        env = "CAPJOB_SHOP",
        hide_env = true
    )]
    pub shop: Option<PathBuf>,
    /// Write the documents into this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Replace files that are there already
    #[arg(long)]
    pub overwrite: bool,
    /// Write nothing, only list what would be written
    #[arg(long)]
    pub dry_run: bool,
    /// The day that documents bear, YYYY-MM-DD; else the day of inspection
    #[arg(long, value_name = "DATE")]
    pub date: Option<String>,
    /// Treat a bad catalog line as fatal
    #[arg(long)]
    pub strict: bool,
    /// Show every fault of the files, not only the first 20
    #[arg(long)]
    pub all_errors: bool,
}

/// A folder to start.
#[derive(Debug, Clone, Args)]
pub struct NewArgs {
    /// Job folder to start: chassis.toml and parts.csv
    #[arg(value_name = "DIR")]
    pub dirs: Vec<PathBuf>,
    /// Shop folder to start, alone or for the job: settings, suppliers, a small
    /// invented catalog
    #[arg(id = "new_shop", long = "shop", value_name = "DIR")]
    pub shop: Option<PathBuf>,
    /// Replace files that are there already
    #[arg(long)]
    pub overwrite: bool,
    /// Write nothing, only list what would be written
    #[arg(long)]
    pub dry_run: bool,
    /// Telling.
    #[command(flatten)]
    pub telling: Telling,
}

/// One job.
#[derive(Debug, Clone, Args)]
pub struct JobArgs {
    /// Job folder
    #[arg(value_name = "JOB")]
    pub job: PathBuf,
    /// Folders.
    #[command(flatten)]
    pub folders: Folders,
    /// Telling.
    #[command(flatten)]
    pub telling: Telling,
}

/// One job, one place, one part.
#[derive(Debug, Clone, Args)]
pub struct CheckArgs {
    /// Job folder
    #[arg(value_name = "JOB")]
    pub job: PathBuf,
    /// Reference of the part to be replaced
    #[arg(value_name = "REF")]
    pub reference: String,
    /// The part in question, such as "22uF 450V 105C axial", or a number of the catalog
    #[arg(value_name = "PART")]
    pub part: String,
    /// Folders.
    #[command(flatten)]
    pub folders: Folders,
    /// Telling.
    #[command(flatten)]
    pub telling: Telling,
}

/// Jobs and how to choose for them.
#[derive(Debug, Clone, Args)]
pub struct PlanArgs {
    /// Job folders; several make one order
    #[arg(value_name = "JOB", required = true)]
    pub jobs: Vec<PathBuf>,
    /// Buy from at most so many suppliers
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub max_suppliers: Option<u32>,
    /// Take only what is delivered within so many days
    #[arg(long, value_name = "N")]
    pub within_days: Option<u32>,
    /// What may be spent, over the sheet's ceiling: what is only advised waits where it does not reach;
    /// above it the job is held
    #[arg(long, value_name = "MONEY")]
    pub ceiling: Option<String>,
    /// Stop the search after so many seconds; the bound reached is printed
    #[arg(long, value_name = "S")]
    pub seconds: Option<f64>,
    /// Tell the whole story of one position
    #[arg(long, value_name = "REF")]
    pub why: Option<String>,
    /// Folders.
    #[command(flatten)]
    pub folders: Folders,
    /// Telling.
    #[command(flatten)]
    pub telling: Telling,
}

/// A rule.
#[derive(Debug, Clone, Args)]
pub struct RulesArgs {
    /// Rule id; without one the list of all rules
    #[arg(value_name = "ID")]
    pub id: Option<String>,
    /// Telling.
    #[command(flatten)]
    pub telling: Telling,
}

/// A marking.
#[derive(Debug, Clone, Args)]
pub struct DecodeArgs {
    /// The marking as it stands on the part
    #[arg(value_name = "TEXT")]
    pub text: String,
    /// Year of the set, to narrow date codes
    #[arg(long, value_name = "YEAR")]
    pub year: Option<i32>,
    /// Telling.
    #[command(flatten)]
    pub telling: Telling,
}

/// A shell.
#[derive(Debug, Clone, Args)]
pub struct CompletionsArgs {
    /// bash, zsh, fish, powershell or elvish
    #[arg(value_name = "SHELL", hide_possible_values = true)]
    pub shell: clap_complete::Shell,
}

/// A command.
#[derive(Debug, Clone, Args)]
pub struct ManArgs {
    /// Command; without one the page of the program
    #[arg(value_name = "COMMAND")]
    pub command: Option<String>,
}
