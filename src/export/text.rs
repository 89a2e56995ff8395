//! Plain text for the terminal and for pipes.
//!
//! With a width, lines are wrapped to it between words; without one (a pipe) every record stands
//! on one line of its own. Where there is room, the reasons of a record stand beside it instead of beneath,
//! and running text keeps to a measure that can be read. Colour adds to the words and never replaces them.

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
/// Running text is no wider than this: longer lines are hard to follow back.
const MEASURE: usize = 110;
/// Reasons stand beside their record where they have at least this much room.
const ROOM_BESIDE: usize = 60;
/// Tables that would need this many tenths of the line are set as records instead: columns squeezed
/// further break every cell.
const SQUEEZE_TENTHS: usize = 13;
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
    let (used, width) = (width_of(left) + width_of(right), setting.width.unwrap_or(80).min(MEASURE));
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
    let width = width.min(width_of(rest) + MEASURE);
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

/// Whether a table of many columns asks for far more than the line.
fn too_wide(table: &Table, setting: Setting) -> bool {
    let widest = |index: usize| {
        let cells = table.rows.iter().chain(&table.total).filter_map(|r| r.get(index)).map(|c| width_of(c.shown()));
        cells.chain(table.columns.get(index).map(|c| width_of(&c.head))).max().unwrap_or(0)
    };
    let asked: usize = (0..table.columns.len()).map(|c| widest(c) + 2).sum();
    table.columns.len() > 4 && setting.width.is_some_and(|w| asked * 10 > w * SQUEEZE_TENTHS)
}

/// A table as records: the first cell, and beneath it the others with their headings.
fn stacked(out: &mut String, table: &Table, setting: Setting) {
    for row in table.rows.iter().chain(&table.total) {
        let Some((first, others)) = row.split_first() else { continue };
        wrapped(out, "  ", INDENT, first.shown(), setting);
        let told = table.columns.iter().skip(1).zip(others).filter(|(_, cell)| !cell.shown().is_empty());
        let told: Vec<String> = told.map(|(c, cell)| format!("{}: {}", c.head, cell.shown())).collect();
        if !told.is_empty() {
            wrapped(out, INDENT, INDENT, &told.join("; "), setting);
        }
    }
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
    use crate::documents::block::{Cell, Column};

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
    fn reasons_stand_beside_their_record_where_there_is_room() {
        let entry = |reference: &str, mark: Option<&str>| Entry {
            cells: vec![reference.to_owned(), "reservoir".to_owned()],
            mark: mark.map(str::to_owned),
            beneath: vec!["bulged".to_owned(), "plus to HT1".to_owned()],
        };
        let blocks = [Block::Entries(vec![entry("C1", Some("URGENT")), entry("C10", None)])];
        let wide = write(&blocks, Setting { width: Some(100), colour: false });
        let due = [
            "  C1   reservoir  URGENT  bulged",
            "                          plus to HT1",
            "  C10  reservoir          bulged",
            "                          plus to HT1",
        ];
        assert_eq!(wide.lines().collect::<Vec<_>>(), due);
        let narrow = write(&blocks, Setting { width: Some(80), colour: false });
        assert_eq!(narrow.lines().next().map(|l| l.chars().count()), Some(80));
        assert_eq!(narrow.lines().nth(1), Some("       bulged"));
    }

    #[test]
    fn running_text_keeps_to_a_measure() {
        let blocks = [Block::Text("word ".repeat(60))];
        let text = write(&blocks, Setting { width: Some(200), colour: false });
        assert!(text.lines().all(|l| l.chars().count() <= MEASURE + 2), "{text}");
    }

    #[test]
    fn a_table_far_too_wide_becomes_records() {
        let columns = ["What", "As found", "Limits", "As left", "Remark"].map(Column::text).to_vec();
        let row = ["hum at the output", "", "at most 20 mV", "4 mV", "input shorted, into 15 ohm"].map(Cell::text);
        let table = Table { columns, rows: vec![row.to_vec()], total: None };
        let text = write(&[Block::Table(table.clone())], Setting { width: Some(60), colour: false });
        let due = [
            "  hum at the output",
            "       Limits: at most 20 mV; As left: 4 mV; Remark: input",
            "       shorted, into 15 ohm",
        ];
        assert_eq!(text.lines().collect::<Vec<_>>(), due);
        assert!(write(&[Block::Table(table)], PIPE).starts_with("  What "));
    }

    #[test]
    fn what_people_wrote_is_escaped() {
        let blocks = [Block::List(vec!["\u{1b}[2J".to_owned()])];
        assert_eq!(write(&blocks, PIPE), "  \\u{1b}[2J\n");
    }
}
