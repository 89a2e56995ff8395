//! The command line: arguments, one file a command, exit codes; the only file access and printing.

pub mod args;
mod catalog;
mod check;
mod decode;
mod exit;
mod files;
mod inspect;
mod instance;
mod man;
mod new;
mod order;
mod plan;
mod progress;
mod quote;
mod reform;
mod rules;
mod screen;
mod sheet;
mod signals;
mod supply;
mod verify;
mod write;

use std::process::ExitCode;

use clap::Parser as _;

use args::{Cli, Command};
use exit::{Failure, Outcome};

/// Runs the program on the process's own arguments.
pub fn run() -> ExitCode {
    signals::catch_interrupts();
    signals::tell_of_panics();
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(e) => return usage(&e),
    };
    match std::panic::catch_unwind(|| command(&cli.command)) {
        Ok(Ok(outcome)) => outcome.into(),
        Ok(Err(error)) => failed(&error),
        // The hook has told of it already.
        Err(_told) => ExitCode::from(exit::INTERNAL),
    }
}

/// Help and version go to stdout with code 0; anything else is a fault of usage.
fn usage(error: &clap::Error) -> ExitCode {
    if error.use_stderr() {
        screen::error(error.render().to_string().trim_end());
        return ExitCode::from(exit::BAD_INPUT);
    }
    match screen::result(&error.render().to_string()) {
        Ok(()) => ExitCode::from(exit::DONE),
        Err(failure) => ExitCode::from(failure.code),
    }
}

fn failed(error: &anyhow::Error) -> ExitCode {
    let text = format!("{error:#}");
    screen::error(&text);
    ExitCode::from(error.downcast_ref::<Failure>().map_or(exit::INTERNAL, |f| f.code))
}

fn command(command: &Command) -> anyhow::Result<Outcome> {
    match command {
        Command::New(args) => new::run(args),
        Command::Inspect(args) => inspect::run(args),
        Command::Supply(args) => supply::run(args),
        Command::Check(args) => check::run(args),
        Command::Plan(args) => plan::run(args),
        Command::Order(args) => order::run(args),
        Command::Quote(args) => quote::run(args),
        Command::Sheet(args) => sheet::run(args),
        Command::Verify(args) => verify::run(args),
        Command::Decode(args) => decode::run(args),
        Command::Reform(args) => reform::run(args),
        Command::Rules(args) => rules::run(args),
        Command::Completions(args) => man::completions(args),
        Command::Man(args) => man::page(args),
    }
}
