//! Plain text for the terminal and for pipes.
//!
//! With a width, lines are wrapped to it between words; without one (a pipe) every record stands
//! on one line of its own. Colour adds to the words and never replaces them.

use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Table as Grid, Width};

use super::figures::is_unit;
use super::safe::for_terminal;
use crate::documents::block::{Align, Block, Entry, Field, Table, Tick};

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
/// Spaces before the lines beneath an entry.
const INDENT: &str = "       ";

/// Writes the blocks.
pub fn write(blocks: &[Block], setting: Setting) -> String {
    let mut out = String::new();
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
            Block::Table(table) => grid(&mut out, table, setting),
            Block::Entries(entries) => records(&mut out, entries, setting),
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

fn line(out: &mut String, text: &str) {
    out.push_str(text.trim_end());
    out.push('\n');
}

/// Escape sequences of our own, around text that has been made harmless.
fn bold(text: &str, setting: Setting) -> String {
    let text = for_terminal(text);
    if setting.colour { format!("\u{1b}[1m{text}\u{1b}[0m") } else { text }
}

fn width_of(text: &str) -> usize {
    text.chars().count()
}

/// The title on the left, the remark at the right edge, or beneath where both do not fit.
fn title(out: &mut String, left: &str, right: &str, setting: Setting) {
    let (used, width) = (width_of(left) + width_of(right), setting.width.unwrap_or(80));
    if right.is_empty() || used + 2 <= width {
        let gap = " ".repeat(width.saturating_sub(used).clamp(2, 80));
        line(out, &format!("{}{gap}{}", bold(left, setting), for_terminal(right)));
    } else {
        line(out, &bold(left, setting));
        wrapped(out, "  ", "  ", right, setting);
    }
}

/// A paragraph between words, the first line with `first` before it, the others with `rest`.
fn wrapped(out: &mut String, first: &str, rest: &str, text: &str, setting: Setting) {
    for l in wrap(&for_terminal(text), first, rest, setting.width) {
        line(out, &l);
    }
}

/// Breaks between words; a word longer than the line stands whole on a line of its own.
fn wrap(text: &str, first: &str, rest: &str, width: Option<usize>) -> Vec<String> {
    let Some(width) = width else { return vec![format!("{first}{text}")] };
    let mut lines = Vec::new();
    let mut current = first.to_owned();
    let mut empty = true;
    for word in unbroken(text) {
        if !empty && width_of(&current) + 1 + width_of(&word) > width {
            lines.push(std::mem::replace(&mut current, rest.to_owned()));
            empty = true;
        }
        if !empty {
            current.push(' ');
        }
        current.push_str(&word);
        empty = false;
    }
    lines.push(current);
    lines
}

/// The words of a text, a figure kept together with the unit behind it.
fn unbroken(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match words.last_mut() {
            Some(last) if is_unit(word) && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Records: the cells in columns as wide as the widest, the reasons indented beneath.
fn records(out: &mut String, entries: &[Entry], setting: Setting) {
    let columns = entries.iter().map(|e| e.cells.len()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..columns)
        .map(|c| entries.iter().filter_map(|e| e.cells.get(c)).map(|t| width_of(t)).max().unwrap_or(0))
        .collect();
    for entry in entries {
        record(out, entry, &widths, setting);
    }
}

fn record(out: &mut String, entry: &Entry, widths: &[usize], setting: Setting) {
    let mark = entry.mark.as_deref().unwrap_or("");
    let mut head = String::from("  ");
    for (cell, width) in entry.cells.iter().zip(widths) {
        let cell = for_terminal(cell);
        let pad = width.saturating_sub(width_of(&cell)) + 2;
        head.push_str(&cell);
        head.push_str(&" ".repeat(pad));
    }
    let head = head.trim_end().to_owned();
    let Some(width) = setting.width else {
        let mark = if mark.is_empty() { String::new() } else { format!("  {mark}") };
        let beneath = entry.beneath.iter().map(|b| for_terminal(b));
        let parts: Vec<String> = std::iter::once(format!("{head}{mark}")).chain(beneath).collect();
        return line(out, &parts.join("; "));
    };
    if width_of(&head) + 2 + width_of(mark) <= width {
        let gap = " ".repeat(width.saturating_sub(width_of(&head) + width_of(mark)));
        let shown = if mark.is_empty() { String::new() } else { format!("{gap}{}", bold(mark, setting)) };
        line(out, &format!("{head}{shown}"));
    } else {
        narrow(out, entry, widths, setting);
    }
    for text in &entry.beneath {
        wrapped(out, INDENT, INDENT, text, setting);
    }
}

/// An entry whose columns do not fit on the line: the last cell goes beneath, wrapped. What stays
/// keeps its columns where it still fits.
fn narrow(out: &mut String, entry: &Entry, widths: &[usize], setting: Setting) {
    let Some((last, before)) = entry.cells.split_last() else { return };
    let mut head = String::from("  ");
    for (cell, width) in before.iter().zip(widths) {
        let cell = for_terminal(cell);
        head.push_str(&cell);
        head.push_str(&" ".repeat(width.saturating_sub(width_of(&cell)) + 2));
    }
    let mark = entry.mark.as_deref().unwrap_or("");
    let head = head.trim_end();
    let width = setting.width.unwrap_or(usize::MAX);
    if width_of(head) + 2 + width_of(mark) <= width {
        let gap = " ".repeat(width.saturating_sub(width_of(head) + width_of(mark)));
        let shown = if mark.is_empty() { String::new() } else { format!("{gap}{}", bold(mark, setting)) };
        line(out, &format!("{head}{shown}"));
    } else {
        wrapped(out, "  ", INDENT, head.trim(), setting);
        if !mark.is_empty() {
            line(out, &format!("{INDENT}{}", bold(mark, setting)));
        }
    }
    wrapped(out, INDENT, INDENT, last, setting);
}

/// A table without rules: headings, then one record a line.
fn grid(out: &mut String, table: &Table, setting: Setting) {
    let mut grid = Grid::new();
    grid.load_style(comfy_table::presets::NOTHING);
    match setting.width {
        Some(width) => {
            grid.set_content_arrangement(ContentArrangement::Dynamic);
            grid.set_width(u16::try_from(width.saturating_sub(1)).unwrap_or(u16::MAX));
        }
        None => {
            grid.set_content_arrangement(ContentArrangement::Disabled);
        }
    }
    grid.set_header(table.columns.iter().map(|c| tied(&c.head)));
    for row in table.rows.iter().chain(&table.total) {
        grid.add_row(row.iter().map(|c| tied(c.shown())));
    }
    for (index, column) in table.columns.iter().enumerate() {
        let Some(shown) = grid.column_mut(index) else { continue };
        if column.align == Align::Right {
            shown.set_cell_alignment(CellAlignment::Right);
        }
    }
    keep_words_whole(&mut grid, table, setting);
    for l in grid.lines() {
        line(out, &format!(" {}", l.replace(TIE, " ")));
    }
}

/// Stands for the space between a figure and its unit while a table is set, so that it is not broken there.
const TIE: char = '\u{a0}';

/// A cell's text, made harmless, with every figure tied to its unit.
fn tied(text: &str) -> String {
    let safe = for_terminal(text);
    if safe.contains("  ") {
        safe
    } else {
        unbroken(&safe).iter().map(|w| w.replace(' ', "\u{a0}")).collect::<Vec<_>>().join(" ")
    }
}

/// Gives every column room for its longest word, where all of that fits: words are then broken between, not within.
fn keep_words_whole(grid: &mut Grid, table: &Table, setting: Setting) {
    let Some(width) = setting.width else { return };
    let longest = |index: usize| {
        let cells = table.rows.iter().chain(&table.total).filter_map(|r| r.get(index)).map(|c| tied(c.shown()));
        let head = table.columns.get(index).map(|c| tied(&c.head));
        cells.chain(head).flat_map(|t| t.split(' ').map(width_of).collect::<Vec<_>>()).max().unwrap_or(0)
    };
    // One space stands on either side of a column.
    let least: Vec<usize> = (0..table.columns.len()).map(|c| longest(c) + 2).collect();
    if least.iter().sum::<usize>() >= width {
        return;
    }
    for (index, least) in least.iter().enumerate() {
        if let Some(column) = grid.column_mut(index) {
            let least = u16::try_from(*least).unwrap_or(u16::MAX);
            column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(least)));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NARROW: Setting = Setting { width: Some(40), colour: false };
    const PIPE: Setting = Setting { width: None, colour: false };

    #[test]
    fn figures_stay_with_their_units() {
        let blocks = [Block::Text("the highest voltage that can be there is 548 V and more".to_owned())];
        let text = write(&blocks, NARROW);
        assert!(text.lines().all(|l| l.chars().count() <= 40), "{text}");
        assert!(text.contains("548 V"), "{text}");
    }

    #[test]
    fn a_pipe_gets_one_record_a_line() {
        let entry = Entry {
            cells: vec!["C1".to_owned(), "reservoir".to_owned()],
            mark: Some("URGENT".to_owned()),
            beneath: vec!["bulged".to_owned()],
        };
        assert_eq!(write(&[Block::Entries(vec![entry])], PIPE), "  C1  reservoir  URGENT; bulged\n");
    }

    #[test]
    fn what_people_wrote_is_escaped() {
        let blocks = [Block::List(vec!["\u{1b}[2J".to_owned()])];
        assert_eq!(write(&blocks, PIPE), "  \\u{1b}[2J\n");
    }
}
