//! Interrupts and panics: one line, nothing half-written, the right exit code.

use std::sync::atomic::{AtomicBool, Ordering};

use super::exit;
use super::screen;

/// Whether files are being put in place, which is not broken off.
static PLACING: AtomicBool = AtomicBool::new(false);
/// Whether an interrupt came meanwhile.
static ASKED: AtomicBool = AtomicBool::new(false);

/// On Ctrl-C: says so and ends with 130, at once or as soon as the files being renamed are in place.
pub(super) fn catch_interrupts() {
    let caught = ctrlc::set_handler(|| {
        let again = ASKED.swap(true, Ordering::SeqCst);
        if !again {
            screen::error("stopped; nothing half-written was left");
        }
        if again || !PLACING.load(Ordering::SeqCst) {
            super::write::remove_asides();
            leave();
        }
    });
    // Without a handler Ctrl-C ends the program all the same.
    drop(caught);
}

#[expect(clippy::exit, reason = "an interrupt ends the process from the handler's own thread")]
fn leave() -> ! {
    std::process::exit(i32::from(exit::INTERRUPTED))
}

/// Runs `work` without letting an interrupt break it off; an interrupt that came meanwhile ends the
/// program afterwards.
pub(super) fn whole<T>(work: impl FnOnce() -> T) -> T {
    PLACING.store(true, Ordering::SeqCst);
    let done = work();
    PLACING.store(false, Ordering::SeqCst);
    if ASKED.load(Ordering::SeqCst) {
        leave();
    }
    done
}

/// A panic is a fault of the program: one line with the version and what to do, never a bare trace.
pub(super) fn tell_of_panics() {
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        if crate::input::panics_are_caught() {
            return;
        }
        screen::error(&panic_line(info.location().map(|l| (l.file(), l.line()))));
        if std::env::var_os("RUST_BACKTRACE").is_some() {
            usual(info);
        }
    }));
}

/// The one line that is printed for a panic.
fn panic_line(place: Option<(&str, u32)>) -> String {
    let place = place.map(|(file, line)| format!(" at {file}:{line}")).unwrap_or_default();
    format!(
        "internal fault of capjob {}{place}; nothing was written. Please report it with the command and the files; \
         RUST_BACKTRACE=1 tells more",
        env!("CARGO_PKG_VERSION")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    // Point 35 of the interface checklist; a release build has no way to make itself panic from outside.
    #[test]
    fn a_panic_is_one_line_with_the_version_and_what_to_do() {
        let line = panic_line(Some(("src/cli/plan.rs", 7)));
        assert_eq!(line.lines().count(), 1);
        for word in [env!("CARGO_PKG_VERSION"), "src/cli/plan.rs:7", "report", "RUST_BACKTRACE"] {
            assert!(line.contains(word), "{word}: {line}");
        }
        assert_eq!(exit::INTERNAL, 70);
    }
}
