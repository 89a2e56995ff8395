//! Markdown (`CommonMark` with tables): what people wrote is quoted, so that nothing of it turns into markup.

use super::safe::{for_markdown, for_terminal};
use crate::documents::block::{Align, Block, Cell, Entry, Field, Table, Tick};

/// Writes the blocks under a first remark that says who wrote the file.
pub fn write(made_by: &str, blocks: &[Block]) -> String {
    let mut out = format!("<!-- {} -->\n", for_markdown(&made_by.replace("--", "- -")));
    pieces(&mut out, blocks);
    out
}

fn pieces(out: &mut String, blocks: &[Block]) {
    for block in blocks {
        out.push('\n');
        match block {
            Block::Title(left, right) => {
                line(out, &format!("# {}", for_markdown(left)));
                if !right.is_empty() {
                    line(out, &format!("\n{}", for_markdown(right)));
                }
            }
            Block::Heading(text) => line(out, &format!("## {}", for_markdown(text))),
            Block::Text(text) | Block::Line(text) => line(out, &for_markdown(text)),
            Block::Table(table) => self::table(out, table),
            Block::Entries(entries) => entries.iter().for_each(|e| entry(out, e)),
            Block::List(items) => items.iter().for_each(|i| line(out, &format!("- {}", for_markdown(i)))),
            Block::Verbatim(lines) => verbatim(out, lines),
            Block::Ticks(ticks) => ticks.iter().for_each(|t| tick(out, t)),
            Block::Fields(fields) => fields.iter().for_each(|f| field(out, f)),
            Block::Alert(texts) => alert(out, texts),
            Block::Drawing(drawing) => {
                line(out, &format!("*{}*: {}", for_markdown(&drawing.title), for_markdown(&drawing.description)));
            }
            Block::NewPage => line(out, "---"),
            Block::CutOut(inner) => {
                line(out, "---");
                pieces(out, inner);
                line(out, "\n---");
            }
        }
    }
}

fn line(out: &mut String, text: &str) {
    out.push_str(text.trim_end());
    out.push('\n');
}

/// A fence longer than any run of backticks within.
fn verbatim(out: &mut String, lines: &[String]) {
    let lines: Vec<String> = lines.iter().map(|l| for_terminal(l)).collect();
    let run = |l: &String| l.split(|c| c != '`').map(str::len).max().unwrap_or(0);
    let fence = "`".repeat(lines.iter().map(run).max().unwrap_or(0).max(2) + 1);
    line(out, &fence);
    for l in &lines {
        line(out, l);
    }
    line(out, &fence);
}

fn alert(out: &mut String, texts: &[String]) {
    for (place, text) in texts.iter().enumerate() {
        if place > 0 {
            line(out, ">");
        }
        line(out, &format!("> **{}**", for_markdown(text.trim())));
    }
}

fn table(out: &mut String, table: &Table) {
    let row = |cells: Vec<String>| format!("| {} |", cells.join(" | "));
    line(out, &row(table.columns.iter().map(|c| for_markdown(&c.head)).collect()));
    let rule = table.columns.iter().map(|c| if c.align == Align::Right { "---:" } else { "---" }.to_owned());
    line(out, &row(rule.collect()));
    for cells in &table.rows {
        line(out, &row(cells.iter().map(cell).collect()));
    }
    if let Some(total) = &table.total {
        let strong = |c: &Cell| if c.shown().is_empty() { String::new() } else { format!("**{}**", cell(c)) };
        line(out, &row(total.iter().map(strong).collect()));
    }
}

fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Tick(_) => "☐".to_owned(),
        Cell::Fill => String::new(),
        other => for_markdown(other.shown()),
    }
}

fn entry(out: &mut String, entry: &Entry) {
    let cells: Vec<String> = entry.cells.iter().filter(|c| !c.is_empty()).map(|c| for_markdown(c)).collect();
    let mark = entry.mark.as_deref().map(|m| format!(" **{}**", for_markdown(m))).unwrap_or_default();
    line(out, &format!("- {}{mark}", cells.join(", ")));
    entry.beneath.iter().for_each(|b| line(out, &format!("  - {}", for_markdown(b))));
}

fn tick(out: &mut String, tick: &Tick) {
    let about = if tick.about.is_empty() { String::new() } else { format!("**{}** ", for_markdown(&tick.about)) };
    let mark = tick.mark.as_deref().map(|m| format!(" **{}**", for_markdown(m))).unwrap_or_default();
    line(out, &format!("- [ ] {about}{}{mark}", for_markdown(&tick.what)));
    tick.beneath.iter().for_each(|b| line(out, &format!("  - {}", for_markdown(b))));
    tick.margin.iter().for_each(|m| line(out, &format!("  - {}", for_markdown(m))));
}

fn field(out: &mut String, field: &Field) {
    let value = field.value.as_deref().map_or_else(|| "…………".to_owned(), for_markdown);
    line(out, &format!("- {}: {value}", for_markdown(&field.label)));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::block::Column;

    #[test]
    fn tables_keep_their_cells_apart() {
        let table = Table {
            columns: vec![Column::text("what"), Column::figures("each")],
            rows: vec![vec![Cell::text("a|b\n# c"), Cell::Money("0.40".to_owned())]],
            total: Some(vec![Cell::text("total"), Cell::Money("0.40".to_owned())]),
        };
        assert_eq!(
            write("capjob", &[Block::Table(table)]),
            "<!-- capjob -->\n\n| what | each |\n| --- | ---: |\n| a\\|b\\\\u\\{a\\}\\# c | 0.40 |\n| **total** | **0.40** |\n"
        );
    }

    #[test]
    fn a_hostile_note_stays_text() {
        let tick = Tick { what: "</li><script>x</script>".to_owned(), ..Tick::default() };
        let text = write("x --> <b>", &[Block::Ticks(vec![tick]), Block::List(vec!["- [x](javascript:y)".to_owned()])]);
        assert!(text.starts_with("<!-- x - -&gt; &lt;b&gt; -->\n"), "{text}");
        assert!(
            text.contains("- [ ] &lt;/li&gt;&lt;script&gt;") && text.contains("- \\- \\[x\\](javascript"),
            "{text}"
        );
    }
}
