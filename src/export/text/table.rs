//! Tables: in columns, or as records where they are far too wide.

use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Table as Grid, Width};

use super::wrap::{line, unbroken, width_of, wrapped};
use super::{INDENT, Setting};
use crate::documents::block::{Align, Table};
use crate::export::safe::for_terminal;

/// Tables that would need this many tenths of the line are set as records instead: columns squeezed
/// further break every cell.
const SQUEEZE_TENTHS: usize = 13;

/// Whether a table of many columns asks for far more than the line.
pub(super) fn too_wide(table: &Table, setting: Setting) -> bool {
    let widest = |index: usize| {
        let cells = table.rows.iter().chain(&table.total).filter_map(|r| r.get(index)).map(|c| width_of(c.shown()));
        cells.chain(table.columns.get(index).map(|c| width_of(&c.head))).max().unwrap_or(0)
    };
    let asked: usize = (0..table.columns.len()).map(|c| widest(c) + 2).sum();
    table.columns.len() > 4 && setting.width.is_some_and(|w| asked * 10 > w * SQUEEZE_TENTHS)
}

/// A table as records: the first cell, and beneath it the others with their headings.
pub(super) fn stacked(out: &mut String, table: &Table, setting: Setting) {
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
pub(super) fn grid(out: &mut String, table: &Table, setting: Setting) {
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
