//! Plain text for the terminal and for pipes.
//!
//! With a width, lines are wrapped to it between words; without one (a pipe) every record stands
//! on one line of its own. Where there is room, the reasons of a record stand beside it instead of beneath,
//! and running text keeps to a measure that can be read. Colour adds to the words and never replaces them.

mod table;
mod wrap;

use self::table::{grid, stacked, too_wide};
use self::wrap::{MEASURE, line, width_of, wrap, wrapped};
use super::safe::for_terminal;
use crate::documents::block::{Block, Entry, Field, Tick};

/// How to set the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Setting {
    /// Columns to wrap at; `None` for a pipe.
    pub width: Option<usize>,
    /// Whether headings and marks are set in bold.
    pub colour: bool,
}

/// A piece of the line along which a part of the page is cut out.
const CUT: &str = "- ";
/// Reasons stand beside their record where they have at least this much room.
const ROOM_BESIDE: usize = 60;
/// Spaces before the lines beneath an entry.
const INDENT: &str = "       ";

/// Writes the blocks.
pub fn write(blocks: &[Block], setting: Setting) -> String {
    let mut out = String::new();
    let beside = room_beside(blocks, setting);
    for block in blocks {
        match block {
            Block::Title(left, right) => title(&mut out, left, right, setting),
            Block::Heading(text) if setting.width.is_none_or(|w| width_of(text) <= w) => {
                line(&mut out, &bold(text, setting));
            }
            Block::Heading(text) => {
                for l in wrap(&for_terminal(text), "", "  ", setting.width) {
                    line(&mut out, &bold(&l, setting));
                }
            }
            Block::Line(text) if setting.width.is_none_or(|w| width_of(text) + 2 <= w) => {
                line(&mut out, &format!("  {}", for_terminal(text)));
            }
            Block::Text(text) | Block::Line(text) => wrapped(&mut out, "  ", "  ", text, setting),
            Block::Table(table) if too_wide(table, setting) => stacked(&mut out, table, setting),
            Block::Table(table) => grid(&mut out, table, setting),
            Block::Entries(entries) => records(&mut out, entries, setting, beside),
            Block::List(items) => items.iter().for_each(|i| wrapped(&mut out, "  ", "    ", i, setting)),
            Block::Verbatim(lines) => lines.iter().for_each(|l| line(&mut out, &for_terminal(l))),
            Block::Ticks(ticks) => ticks.iter().for_each(|t| tick(&mut out, t, setting)),
            Block::Fields(fields) => self::fields(&mut out, fields, setting),
            Block::Alert(texts) => texts.iter().for_each(|t| wrapped(&mut out, "! ", "  ", t, setting)),
            Block::Drawing(drawing) => {
                wrapped(&mut out, "  ", "    ", &format!("{}: {}", drawing.title, drawing.description), setting);
            }
            Block::NewPage => line(&mut out, ""),
            Block::CutOut(inner) => {
                line(&mut out, &CUT.repeat(setting.width.unwrap_or(80).min(80) / 2));
                out.push_str(&write(inner, setting));
                line(&mut out, &CUT.repeat(setting.width.unwrap_or(80).min(80) / 2));
            }
        }
    }
    out
}

/// Something to do: the box first, the rest beneath; on one line in a pipe.
fn tick(out: &mut String, tick: &Tick, setting: Setting) {
    let mark = tick.mark.as_deref().unwrap_or_default();
    let words = [tick.about.as_str(), tick.what.as_str(), mark];
    let words: Vec<&str> = words.into_iter().filter(|w| !w.is_empty()).collect();
    let first = format!("[ ] {}", words.join("  "));
    let beneath = tick.beneath.iter().cloned().chain(tick.margin.iter().cloned());
    if setting.width.is_none() {
        let parts: Vec<String> = std::iter::once(first).chain(beneath).collect();
        return wrapped(out, "  ", "", &parts.join("; "), setting);
    }
    wrapped(out, "  ", INDENT, &first, setting);
    beneath.for_each(|b| wrapped(out, INDENT, INDENT, &b, setting));
}

/// Facts with their labels in one column.
fn fields(out: &mut String, fields: &[Field], setting: Setting) {
    let width = fields.iter().map(|f| width_of(&f.label)).max().unwrap_or(0).min(30);
    for field in fields {
        let value = field.value.as_deref().unwrap_or("................");
        let pad = " ".repeat(width.saturating_sub(width_of(&field.label)));
        let rest = " ".repeat(width + 4);
        wrapped(out, &format!("  {}{pad}  ", for_terminal(&field.label)), &rest, value, setting);
    }
}

/// Escape sequences of our own, around text that has been made harmless.
fn bold(text: &str, setting: Setting) -> String {
    let text = for_terminal(text);
    if setting.colour { format!("\u{1b}[1m{text}\u{1b}[0m") } else { text }
}

/// The title on the left, the remark at the right edge, or beneath where both do not fit.
fn title(out: &mut String, left: &str, right: &str, setting: Setting) {
    let (used, width) = (width_of(left) + width_of(right), setting.width.unwrap_or(80).min(MEASURE));
    if right.is_empty() || used + 2 <= width {
        let gap = " ".repeat(width.saturating_sub(used).clamp(2, 80));
        line(out, &format!("{}{gap}{}", bold(left, setting), for_terminal(right)));
    } else {
        line(out, &bold(left, setting));
        wrapped(out, "  ", "  ", right, setting);
    }
}

/// How wide the columns of records are: of each cell, and of the mark behind them.
fn columns_of(entries: &[Entry]) -> (Vec<usize>, usize) {
    let columns = entries.iter().map(|e| e.cells.len()).max().unwrap_or(0);
    let widest = |c: usize| entries.iter().filter_map(|e| e.cells.get(c)).map(|t| width_of(t)).max().unwrap_or(0);
    let mark = entries.iter().filter_map(|e| e.mark.as_deref()).map(width_of).max().unwrap_or(0);
    ((0..columns).map(widest).collect(), mark)
}

/// Width of a record's first line: two spaces ahead, each cell and two spaces, the mark.
fn head_width((widths, mark): &(Vec<usize>, usize)) -> usize {
    2 + widths.iter().map(|w| w + 2).sum::<usize>() + mark
}

/// Whether all records of the page have room for their reasons beside them; one way for the whole page.
fn room_beside(blocks: &[Block], setting: Setting) -> bool {
    let heads = blocks.iter().filter_map(|b| match b {
        Block::Entries(entries) => Some(head_width(&columns_of(entries))),
        _ => None,
    });
    setting.width.zip(heads.max()).is_some_and(|(width, head)| head + 2 + ROOM_BESIDE <= width)
}

/// Records: the cells in columns as wide as the widest, the reasons beside them or indented beneath.
fn records(out: &mut String, entries: &[Entry], setting: Setting, beside: bool) {
    let columns = columns_of(entries);
    for entry in entries {
        if beside {
            record_beside(out, entry, &columns, setting);
        } else {
            record(out, entry, &columns, setting);
        }
    }
}

/// The cells of a record in their columns.
fn cells_in(cells: &[String], widths: &[usize]) -> String {
    let mut head = String::from("  ");
    for (cell, width) in cells.iter().zip(widths) {
        let cell = for_terminal(cell);
        head.push_str(&cell);
        head.push_str(&" ".repeat(width.saturating_sub(width_of(&cell)) + 2));
    }
    head
}

/// A record with its reasons to the right of it.
fn record_beside(out: &mut String, entry: &Entry, columns: &(Vec<usize>, usize), setting: Setting) {
    let mark = entry.mark.as_deref().unwrap_or("");
    let blank = " ".repeat(head_width(columns) + if columns.1 == 0 { 0 } else { 2 });
    let head = cells_in(&entry.cells, &columns.0);
    let used = width_of(&head) + width_of(mark);
    let mark = if mark.is_empty() { String::new() } else { bold(mark, setting) };
    let gap = " ".repeat(width_of(&blank).saturating_sub(used));
    let mut reasons = entry.beneath.iter();
    let Some(first) = reasons.next() else { return line(out, &format!("{head}{mark}")) };
    let mut lines = wrap(&for_terminal(first), &blank, &blank, setting.width).into_iter();
    // The first line was wrapped behind blanks as wide as what is shown there: bold adds no width.
    let told = lines.next().unwrap_or_default();
    line(out, &format!("{head}{mark}{gap}{}", told.trim_start()));
    lines.for_each(|l| line(out, &l));
    reasons.for_each(|r| wrapped(out, &blank, &blank, r, setting));
}

fn record(out: &mut String, entry: &Entry, columns: &(Vec<usize>, usize), setting: Setting) {
    let mark = entry.mark.as_deref().unwrap_or("");
    let head = cells_in(&entry.cells, &columns.0).trim_end().to_owned();
    let Some(width) = setting.width else {
        let mark = if mark.is_empty() { String::new() } else { format!("  {mark}") };
        let beneath = entry.beneath.iter().map(|b| for_terminal(b));
        let parts: Vec<String> = std::iter::once(format!("{head}{mark}")).chain(beneath).collect();
        return line(out, &parts.join("; "));
    };
    if width_of(&head) + 2 + width_of(mark) <= width {
        line(out, &marked(&head, mark, setting));
    } else {
        narrow(out, entry, &columns.0, setting);
    }
    for text in &entry.beneath {
        wrapped(out, INDENT, INDENT, text, setting);
    }
}

/// A line with its mark at the right edge, or at the measure where the line is wider.
fn marked(head: &str, mark: &str, setting: Setting) -> String {
    if mark.is_empty() {
        return head.to_owned();
    }
    let edge = setting.width.unwrap_or(80).min(MEASURE);
    let gap = " ".repeat(edge.saturating_sub(width_of(head) + width_of(mark)).max(2));
    format!("{head}{gap}{}", bold(mark, setting))
}

/// An entry whose columns do not fit on the line: the last cell goes beneath, wrapped. What stays
/// keeps its columns where it still fits.
fn narrow(out: &mut String, entry: &Entry, widths: &[usize], setting: Setting) {
    let Some((last, before)) = entry.cells.split_last() else { return };
    let head = cells_in(before, widths);
    let mark = entry.mark.as_deref().unwrap_or("");
    let head = head.trim_end();
    let width = setting.width.unwrap_or(usize::MAX);
    if width_of(head) + 2 + width_of(mark) <= width {
        line(out, &marked(head, mark, setting));
    } else {
        wrapped(out, "  ", INDENT, head.trim(), setting);
        if !mark.is_empty() {
            line(out, &format!("{INDENT}{}", bold(mark, setting)));
        }
    }
    wrapped(out, INDENT, INDENT, last, setting);
}

#[cfg(test)]
mod tests;
