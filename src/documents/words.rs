//! UK or US words: what our own labels say, with whatever the user wrote left as it is.

use super::block::{Block, Cell, Column, Entry, Field, Table, Tick};
use super::drawing::{Drawing, Shape};
use crate::model::chassis::Job;
use crate::model::part::Value;
use crate::model::plan::{Piece, Plan};
use crate::model::shop::{Article, Shop, WordSet};

/// Our labels and their US form, longer ones before those that they hold. The fixed safety words in capitals
/// are the same on both sides.
const US: &[(&str, &str)] = &[
    ("mains transformer", "power transformer"),
    ("mains leads", "line cords"),
    ("mains lead", "line cord"),
    ("line to line", "across the line"),
    ("line-to-line", "across-the-line"),
    ("moulded-paper", "molded-paper"),
    ("moulded", "molded"),
    ("reservoir", "first filter"),
    ("smoothing", "filter"),
    ("tag strips", "terminal strips"),
    ("tag-strip", "terminal-strip"),
    ("tag strip", "terminal strip"),
    ("droppers", "dropping resistors"),
    ("dropper", "dropping resistor"),
    ("earthed", "grounded"),
    ("heaters", "filaments"),
    ("heater", "filament"),
    ("valves", "tubes"),
    ("valve", "tube"),
    ("anodes", "plates"),
    ("anode", "plate"),
    ("aerials", "antennas"),
    ("aerial", "antenna"),
    ("earth", "ground"),
    ("equivalents", "substitutes"),
    ("equivalent", "substitute"),
    ("HT", "B+"),
    // Spellings.
    ("non-polarised", "non-polarized"),
    ("polarised", "polarized"),
    ("authorised", "authorized"),
    ("authorise", "authorize"),
    ("neighbour", "neighbor"),
    ("labour", "labor"),
    ("colours", "colors"),
    ("colour", "color"),
];

/// The words of a shop, and the user's own texts that they leave alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    set: WordSet,
    kept: Vec<String>,
}

impl Words {
    /// One side's words where nothing of the user's is in the text.
    pub const fn ours(set: WordSet) -> Self {
        Self { set, kept: Vec::new() }
    }

    /// For documents about these jobs of this shop.
    #[must_use]
    pub fn new(shop: &Shop, jobs: &[Job]) -> Self {
        let own = shop.suppliers.iter().map(|s| s.name.as_str());
        let own = own.chain(shop.equivalents.iter().flat_map(|e| [e.designation.as_str(), e.equivalent.as_str()]));
        let words = Self::ours(shop.words).keep(own).keep_articles(shop.shelf.iter().map(|s| (&*s.number, &s.article)));
        let of_job = |job: &Job| -> Vec<String> {
            let nodes = job.chassis.supplies.iter().flat_map(|s| s.nodes.iter().map(|n| n.name.to_string()));
            let parts = job.parts.iter().flat_map(|p| [Some(&p.reference), Some(&p.marked), p.note.as_ref()]);
            let named = [job.name.clone(), job.chassis.name.clone()].into_iter().chain(nodes);
            named.chain(parts.flatten().cloned()).collect()
        };
        let own: Vec<String> = jobs.iter().flat_map(of_job).collect();
        words.keep(own.iter().map(String::as_str))
    }

    /// What a plan brings from the catalog is the suppliers' own too.
    #[must_use]
    pub fn with_plan(self, plan: &Plan) -> Self {
        let piece = |p: &Piece| (p.number.clone(), p.article.clone());
        let fitted = plan.fits.iter().flat_map(|f| f.parts.iter().chain(f.extras.iter().map(|e| &e.piece))).map(piece);
        let bought = plan.buy.iter().map(|b| (b.number.clone(), b.article.clone()));
        let told = plan.story.iter().flat_map(|s| s.best.iter().map(|b| (b.number.clone(), b.article.clone())));
        let all: Vec<(String, Article)> = fitted.chain(bought).chain(told).collect();
        let refused = plan.fits.iter().flat_map(|f| &f.refused).chain(plan.unmet.iter().flat_map(|u| &u.nearest));
        let refused = refused.chain(plan.story.iter().flat_map(|s| &s.missed));
        let refused = refused.flat_map(|r| [r.number.as_str(), r.description.as_str()]);
        self.keep(refused).keep_articles(all.iter().map(|(n, a)| (n.as_str(), a)))
    }

    /// Texts of the user's or a supplier's, to be left as they are.
    #[must_use]
    pub fn keep<'a>(mut self, texts: impl IntoIterator<Item = &'a str>) -> Self {
        // A text that is nothing but one of our labels cannot be told from ours, and gives way.
        let label = |text: &str| US.iter().any(|(uk, _)| uk.eq_ignore_ascii_case(text));
        let texts = texts.into_iter().map(str::trim).filter(|t| !t.is_empty() && !label(t));
        let more: Vec<String> = texts.filter(|t| self.plain(t) != *t).map(str::to_owned).collect();
        self.kept.extend(more);
        // The longest first, so that a name within a longer one does not take it apart.
        self.kept.sort_by(|a, b| b.len().cmp(&a.len()).then_with(|| a.cmp(b)));
        self.kept.dedup();
        self
    }

    fn keep_articles<'a>(self, articles: impl Iterator<Item = (&'a str, &'a Article)>) -> Self {
        let named = articles.flat_map(|(number, article)| {
            let designation = match &article.value {
                Some(Value::Designation(text)) => Some(text.as_str()),
                _ => None,
            };
            [Some(number), designation].into_iter().flatten()
        });
        self.keep(named)
    }

    /// The blocks with our labels in the shop's words, the user's own texts left as they are. Of an entry the
    /// marked value and what is fitted instead (from the third cell on) stay as well.
    pub fn of(&self, blocks: Vec<Block>) -> Vec<Block> {
        if self.set == WordSet::Uk {
            return blocks;
        }
        blocks.into_iter().map(|block| self.block(block)).collect()
    }

    fn block(&self, block: Block) -> Block {
        match block {
            Block::Title(left, right) => Block::Title(self.text(&left), self.text(&right)),
            Block::Heading(text) => Block::Heading(self.text(&text)),
            Block::Text(text) => Block::Text(self.text(&text)),
            Block::Line(text) => Block::Line(self.text(&text)),
            Block::List(items) => Block::List(self.texts(&items)),
            Block::Alert(items) => Block::Alert(self.texts(&items)),
            Block::Entries(entries) => Block::Entries(entries.iter().map(|e| self.entry(e)).collect()),
            Block::Table(table) => Block::Table(self.table(table)),
            Block::Ticks(ticks) => Block::Ticks(ticks.into_iter().map(|t| self.tick(t)).collect()),
            Block::Fields(fields) => Block::Fields(fields.into_iter().map(|f| self.field(f)).collect()),
            Block::Drawing(drawing) => Block::Drawing(self.drawing(drawing)),
            Block::CutOut(inner) => Block::CutOut(self.of(inner)),
            Block::Verbatim(_) | Block::NewPage => block,
        }
    }

    /// A table with our words.
    pub fn table(&self, table: Table) -> Table {
        let columns = table.columns.into_iter().map(|c| Column { head: self.text(&c.head), ..c }).collect();
        let rows = table.rows.into_iter().map(|row| self.row(row)).collect();
        Table { columns, rows, total: table.total.map(|row| self.row(row)) }
    }

    fn row(&self, row: Vec<Cell>) -> Vec<Cell> {
        let cell = |cell| match cell {
            Cell::Text(text) => Cell::Text(self.text(&text)),
            Cell::Tick(text) => Cell::Tick(self.text(&text)),
            other => other,
        };
        row.into_iter().map(cell).collect()
    }

    fn entry(&self, entry: &Entry) -> Entry {
        let cell = |(i, c): (usize, &String)| if i == 1 { self.text(c) } else { c.clone() };
        Entry {
            cells: entry.cells.iter().enumerate().map(cell).collect(),
            mark: entry.mark.as_deref().map(|m| self.text(m)),
            beneath: entry.beneath.iter().map(|b| self.text(b)).collect(),
        }
    }

    fn tick(&self, tick: Tick) -> Tick {
        Tick {
            about: tick.about,
            what: self.text(&tick.what),
            mark: tick.mark.map(|m| self.text(&m)),
            beneath: self.texts(&tick.beneath),
            margin: self.texts(&tick.margin),
        }
    }

    fn field(&self, field: Field) -> Field {
        Field { label: self.text(&field.label), value: field.value.map(|v| self.text(&v)) }
    }

    /// A drawing with our words.
    pub fn drawing(&self, drawing: Drawing) -> Drawing {
        let shape = |shape| match shape {
            Shape::Text(at, text, anchor) => Shape::Text(at, self.text(&text), anchor),
            Shape::Strong(at, text, anchor) => Shape::Strong(at, self.text(&text), anchor),
            other => other,
        };
        Drawing {
            title: self.text(&drawing.title),
            description: self.text(&drawing.description),
            shapes: drawing.shapes.into_iter().map(shape).collect(),
            ..drawing
        }
    }

    fn texts(&self, texts: &[String]) -> Vec<String> {
        texts.iter().map(|t| self.text(t)).collect()
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
