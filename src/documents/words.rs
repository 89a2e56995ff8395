//! UK or US words: what our own labels say, with whatever the user wrote left as it is.

use super::block::{Block, Column, Entry, Field, Table, Tick};
use crate::model::chassis::Job;
use crate::model::shop::{Shop, WordSet};

/// Our labels and their US form, longer ones first. The fixed safety words in capitals are the same on both sides.
const US: &[(&str, &str)] = &[
    ("mains transformer", "power transformer"),
    ("mains lead", "line cord"),
    ("line to line", "across the line"),
    ("moulded paper", "molded paper"),
    ("reservoir", "first filter"),
    ("smoothing", "filter"),
    ("earthed", "grounded"),
    ("heaters", "filaments"),
    ("heater", "filament"),
    ("valves", "tubes"),
    ("valve", "tube"),
    ("anodes", "plates"),
    ("anode", "plate"),
    ("aerial", "antenna"),
    ("earth", "ground"),
    ("HT", "B+"),
];

/// The words of a shop, and the user's own texts that they leave alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    set: WordSet,
    kept: Vec<String>,
}

impl Words {
    /// For documents about these jobs of this shop.
    pub fn new(shop: &Shop, jobs: &[Job]) -> Self {
        let mut words = Self { set: shop.words, kept: Vec::new() };
        let mut kept: Vec<String> = shop.suppliers.iter().map(|s| s.name.clone()).collect();
        kept.extend(shop.shelf.iter().map(|s| s.number.clone()));
        for job in jobs {
            kept.extend([job.name.clone(), job.chassis.name.clone()]);
            kept.extend(job.parts.iter().flat_map(|p| [p.reference.clone(), p.marked.clone()]));
            kept.extend(job.parts.iter().filter_map(|p| p.note.clone()));
        }
        kept.retain(|text| !text.trim().is_empty() && words.plain(text) != *text);
        // The longest first, so that a name within a longer one does not take it apart.
        kept.sort_by(|a, b| b.len().cmp(&a.len()).then_with(|| a.cmp(b)));
        kept.dedup();
        words.kept = kept;
        words
    }

    /// The blocks with our labels in the shop's words. Titles and the cells of tables hold the user's own
    /// texts and stay; of an entry the place (its second cell) and the reasons are ours.
    pub fn of(&self, blocks: Vec<Block>) -> Vec<Block> {
        if self.set == WordSet::Uk {
            return blocks;
        }
        blocks.into_iter().map(|block| self.block(block)).collect()
    }

    fn block(&self, block: Block) -> Block {
        match block {
            Block::Heading(text) => Block::Heading(self.text(&text)),
            Block::Text(text) => Block::Text(self.text(&text)),
            Block::Line(text) => Block::Line(self.text(&text)),
            Block::List(items) => Block::List(items.iter().map(|i| self.text(i)).collect()),
            Block::Alert(items) => Block::Alert(items.iter().map(|i| self.text(i)).collect()),
            Block::Ticks(ticks) => Block::Ticks(ticks.iter().map(|t| self.tick(t)).collect()),
            Block::Fields(fields) => Block::Fields(fields.iter().map(|f| self.field(f)).collect()),
            Block::CutOut(inner) => Block::CutOut(self.of(inner)),
            Block::Entries(entries) => Block::Entries(entries.iter().map(|e| self.entry(e)).collect()),
            Block::Table(table) => Block::Table(Table { columns: self.columns(table.columns), ..table }),
            other => other,
        }
    }

    fn field(&self, field: &Field) -> Field {
        Field { label: self.text(&field.label), value: field.value.as_deref().map(|v| self.text(v)) }
    }

    fn tick(&self, tick: &Tick) -> Tick {
        let texts = |list: &[String]| list.iter().map(|t| self.text(t)).collect();
        Tick {
            about: tick.about.clone(),
            what: self.text(&tick.what),
            mark: tick.mark.as_deref().map(|m| self.text(m)),
            beneath: texts(&tick.beneath),
            margin: texts(&tick.margin),
        }
    }

    fn columns(&self, columns: Vec<Column>) -> Vec<Column> {
        columns.into_iter().map(|c| Column { head: self.text(&c.head), ..c }).collect()
    }

    fn entry(&self, entry: &Entry) -> Entry {
        let cell = |(i, c): (usize, &String)| if i == 1 { self.text(c) } else { c.clone() };
        Entry {
            cells: entry.cells.iter().enumerate().map(cell).collect(),
            mark: entry.mark.clone(),
            beneath: entry.beneath.iter().map(|b| self.text(b)).collect(),
        }
    }

    /// One text, the user's own pieces of it left as they are.
    fn text(&self, text: &str) -> String {
        let found =
            self.kept.iter().find_map(|k| text.split_once(k.as_str()).map(|(before, after)| (before, k, after)));
        match found {
            Some((before, kept, after)) => format!("{}{kept}{}", self.text(before), self.text(after)),
            None => self.plain(text),
        }
    }

    /// One text that is ours.
    fn plain(&self, text: &str) -> String {
        match self.set {
            WordSet::Uk => text.to_owned(),
            WordSet::Us => US.iter().fold(text.to_owned(), |text, (uk, us)| replaced(&text, uk, us)),
        }
    }
}

/// Replaces whole words, with a capital where there was one. `HT:` is the name of a supply.
fn replaced(text: &str, uk: &str, us: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.to_ascii_lowercase().find(&uk.to_ascii_lowercase()) {
        let (before, from) = rest.split_at(at);
        let (word, after) = from.split_at(uk.len());
        out.push_str(before);
        let supply = uk == "HT" && after.starts_with(':');
        let whole = !(supply || out.ends_with(belongs) || after.starts_with(belongs));
        let capital = capitalised(us);
        let new = match word {
            _ if !whole => word,
            _ if word == uk => us,
            _ if word == capitalised(uk) => capital.as_str(),
            _ => word,
        };
        out.push_str(new);
        rest = after;
    }
    out.push_str(rest);
    out
}

fn capitalised(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// What makes a word part of a longer one, of a file's word or of a name.
fn belongs(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, '-' | '_' | '/' | '`' | '\'' | '"')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn us(kept: &[&str]) -> Words {
        Words { set: WordSet::Us, kept: kept.iter().map(|k| (*k).to_owned()).collect() }
    }

    #[test]
    fn labels_change_and_names_stay() {
        let words = us(&["Valve Depot"]);
        for (uk, due) in [
            ("HT up to 403 V", "B+ up to 403 V"),
            ("HT1 and HT: 5 k", "HT1 and HT: 5 k"),
            ("Valves from Valve Depot", "Tubes from Valve Depot"),
            ("two-core lead: the chassis is not earthed", "two-core lead: the chassis is not grounded"),
            ("valve-indirect, see `anode`", "valve-indirect, see `anode`"),
            ("OUTPUT VALVES OUT", "OUTPUT VALVES OUT"),
            ("the mains lead, the mains transformer", "the line cord, the power transformer"),
        ] {
            assert_eq!(words.text(uk), due);
        }
    }

    #[test]
    fn of_an_entry_the_mark_of_the_user_stays() {
        let cells = ["R1", "anode", "valve 220K"].map(str::to_owned).to_vec();
        let entry = Entry { cells, mark: None, beneath: vec!["at the anode".to_owned()] };
        let due = Entry {
            cells: ["R1", "plate", "valve 220K"].map(str::to_owned).to_vec(),
            mark: None,
            beneath: vec!["at the plate".to_owned()],
        };
        assert_eq!(us(&[]).of(vec![Block::Entries(vec![entry])]), [Block::Entries(vec![due])]);
    }
}
