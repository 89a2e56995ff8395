//! The plan of the sample is the same, byte for byte, from every dialect of its files, and whatever
//! the order of their rows and columns. The dialects are made here from the sample itself.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "support of tests: a test that cannot go on has failed"
)]

use std::fs;
use std::path::Path;

use capjob::documents::machine::plan::PlanDocument;
use capjob::export::json;
use capjob::input::{Catalog, FILES, Form, NamedBytes, ShopFiles, read_job, read_shop};
use capjob::model::kind::PartKind;
use capjob::workflow::{self, Choices, PlanError};

#[cfg(feature = "xlsx")]
#[path = "support/zip.rs"]
#[expect(
    unreachable_pub,
    clippy::expect_used,
    reason = "shared by the fuzz package; a test that cannot go on has failed"
)]
mod zip;

const JOB: &str = "jobs/corran-radiogram";
const CATALOG: [&str; 4] = ["brindlecote", "quillmarsh", "sandvarp", "tarrowby"];

/// A table as its cells, decimals with points.
#[derive(Clone)]
struct Cells {
    /// As in the table of columns, `parts.csv`.
    file: &'static str,
    rows: Vec<Vec<String>>,
}

/// All files of the sample that bear on the plan of the job.
struct Sample {
    chassis: String,
    settings: String,
    /// Parts, suppliers, shelf, equivalents, rectifiers, and the catalog's files.
    tables: Vec<Cells>,
}

fn text(path: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("catalog-sample").join(path)).unwrap()
}

/// How a column of a file is written.
fn form(file: &str, column: &str) -> Form {
    let sets = FILES.iter().filter(|f| f.file == file || (file == "shelf.csv" && f.file == "catalog/*.csv"));
    sets.flat_map(|f| f.fields).find(|f| f.name == column).map_or(Form::Text, |f| f.form)
}

impl Cells {
    fn read(file: &'static str, path: &str) -> Self {
        let text = text(path);
        let heading = text.lines().find(|l| !l.starts_with('#') && !l.is_empty()).unwrap();
        let delimiter = if heading.contains(';') { b';' } else { b',' };
        let mut reader = csv::ReaderBuilder::new();
        reader.comment(Some(b'#')).delimiter(delimiter).has_headers(false);
        let rows = reader.from_reader(text.as_bytes()).into_records();
        let rows = rows.map(|r| r.unwrap().iter().map(str::to_owned).collect()).collect();
        Self { file, rows }.map(|_, cell| marks(cell, ',', '.'))
    }

    /// Whether a cell holds a quantity, whose spelling may vary; a designation is a text.
    fn is_quantity(&self, row: &[String], at: usize) -> bool {
        let heading = &self.rows[0];
        let kind = heading.iter().position(|h| h == "part").and_then(|part| PartKind::from_word(&row[part]));
        match form(self.file, &heading[at]) {
            Form::Number | Form::List | Form::Money => true,
            Form::Mark => kind.is_none_or(|kind| !kind.is_designated()),
            _ => false,
        }
    }

    /// Every quantity below the headings made anew.
    fn map(&self, change: impl Fn(&str, &str) -> String) -> Self {
        let one = |row: &Vec<String>| {
            let cells = row.iter().enumerate();
            let heading = |at: usize| self.rows[0][at].as_str();
            cells.map(|(at, c)| if self.is_quantity(row, at) { change(heading(at), c) } else { c.clone() }).collect()
        };
        let rows = self.rows.iter().take(1).cloned().chain(self.rows.iter().skip(1).map(one)).collect();
        Self { file: self.file, rows }
    }

    fn headings(&self, change: impl Fn(&str) -> String) -> Self {
        let mut changed = self.clone();
        changed.rows[0] = self.rows[0].iter().map(|h| change(h)).collect();
        changed
    }

    /// One more column, which is none of ours.
    fn with_column(&self, heading: &str, cell: &str) -> Self {
        let mut changed = self.clone();
        for (at, row) in changed.rows.iter_mut().enumerate() {
            row.push(if at == 0 { heading } else { cell }.to_owned());
        }
        changed
    }

    fn is_catalog(&self) -> bool {
        self.file == "catalog/*.csv"
    }
}

/// One mark between or before digits as another.
fn marks(cell: &str, from: char, to: char) -> String {
    let chars: Vec<char> = cell.chars().collect();
    let digit = |at: usize| chars.get(at).is_some_and(char::is_ascii_digit);
    chars.iter().enumerate().map(|(at, c)| if *c == from && digit(at + 1) { to } else { *c }).collect()
}

fn sample() -> Sample {
    let table = |file: &'static str, path: &str| Cells::read(file, path);
    let mut tables = vec![
        table("parts.csv", &format!("{JOB}/parts.csv")),
        table("suppliers.csv", "suppliers.csv"),
        table("shelf.csv", "shelf.csv"),
        table("equivalents.csv", "equivalents.csv"),
        table("rectifiers.csv", "rectifiers.csv"),
    ];
    tables.extend(CATALOG.map(|name| table("catalog/*.csv", &format!("catalog/{name}.csv"))));
    Sample { chassis: text(&format!("{JOB}/chassis.toml")), settings: text("shop.toml"), tables }
}

/// The bytes of the files and how the tables are named.
struct Files {
    chassis: Vec<u8>,
    settings: Vec<u8>,
    tables: Vec<Vec<u8>>,
    extension: &'static str,
}

/// The plan as the machine's document.
fn plan(files: &Files) -> String {
    let name = |stem: &str| format!("{stem}.{}", files.extension);
    let names = ["parts", "suppliers", "shelf", "equivalents", "rectifiers"].map(name);
    let of = |at: usize| NamedBytes { name: &names[at], bytes: &files.tables[at] };
    let sheet = NamedBytes { name: "chassis.toml", bytes: &files.chassis };
    let mut job = read_job("corran-radiogram", sheet, of(0)).unwrap_or_else(|f| panic!("{f}")).value;
    let keys = workflow::margin_keys();
    let shop = read_shop(&ShopFiles {
        settings: NamedBytes { name: "shop.toml", bytes: &files.settings },
        suppliers: of(1),
        shelf: Some(of(2)),
        equivalents: Some(of(3)),
        rectifiers: Some(of(4)),
        margin_keys: &keys,
    });
    let shop = shop.unwrap_or_else(|f| panic!("{f}")).value;
    workflow::complete(&mut job, &shop.shop);
    let choices = Choices { max_suppliers: shop.shop.choose.max_suppliers, ..Choices::default() };
    let plan = workflow::plan(&[job], &shop.shop, &choices, |take| -> Result<usize, PlanError> {
        let mut aside = 0;
        for (stem, bytes) in CATALOG.iter().zip(&files.tables[5..]) {
            let file = name(stem);
            let opened = Catalog::open(&file, bytes.as_slice(), &shop.shop.suppliers, shop.columns.of(&file));
            let mut catalog = opened.unwrap_or_else(|f| panic!("{f}"));
            while let Some(offer) = catalog.next_offer() {
                take(&offer);
            }
            assert!(catalog.set_aside().is_empty(), "{}", catalog.set_aside());
            aside += catalog.set_aside().len();
        }
        Ok(aside)
    });
    json::write(&PlanDocument::new(&plan.unwrap())).unwrap()
}

/// How text becomes bytes.
#[derive(Clone, Copy)]
enum Encoding {
    Plain,
    Marked,
    Utf16Little,
    Utf16Big,
    Windows1252,
}

impl Encoding {
    fn bytes(self, text: &str) -> Vec<u8> {
        let wide = |order: fn(u16) -> [u8; 2]| {
            std::iter::once(0xfeff).chain(text.encode_utf16()).flat_map(order).collect::<Vec<u8>>()
        };
        match self {
            Self::Plain => text.as_bytes().to_vec(),
            Self::Marked => [b"\xef\xbb\xbf", text.as_bytes()].concat(),
            Self::Utf16Little => wide(u16::to_le_bytes),
            Self::Utf16Big => wide(u16::to_be_bytes),
            // The characters of the sample that this encoding has beyond ASCII are those of Latin-1.
            Self::Windows1252 => text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect(),
        }
    }
}

/// A way to write the tables.
struct Dialect {
    name: &'static str,
    delimiter: u8,
    decimal: char,
    end: &'static str,
    encoding: Encoding,
    change: fn(&Cells) -> Cells,
}

impl Dialect {
    const fn of(name: &'static str, delimiter: u8, decimal: char, end: &'static str, encoding: Encoding) -> Self {
        Self { name, delimiter, decimal, end, encoding, change: Cells::clone }
    }

    /// The usual dialect with something changed.
    const fn with(name: &'static str, change: fn(&Cells) -> Cells) -> Self {
        Self { change, ..Self::of(name, b',', '.', "\n", Encoding::Plain) }
    }

    fn files(&self, sample: &Sample) -> Files {
        let sheet = |text: &str| match self.encoding {
            // TOML is UTF-8 by its definition; marks and UTF-16 are read all the same, CR alone is no line end there.
            Encoding::Windows1252 => text.as_bytes().to_vec(),
            other => other.bytes(&text.replace('\n', if self.end == "\r" { "\n" } else { self.end })),
        };
        let table = |cells: &Cells| self.encoding.bytes(&self.text(&(self.change)(cells)));
        Files {
            chassis: sheet(&sample.chassis),
            settings: sheet(&sample.settings),
            tables: sample.tables.iter().map(table).collect(),
            extension: "csv",
        }
    }

    fn text(&self, cells: &Cells) -> String {
        let mut writer = csv::WriterBuilder::new().delimiter(self.delimiter).from_writer(Vec::new());
        for row in &cells.map(|_, cell| marks(cell, '.', self.decimal)).rows {
            writer.write_record(row).unwrap();
        }
        String::from_utf8(writer.into_inner().unwrap()).unwrap().replace('\n', self.end)
    }
}

/// `22uF` as `22 µF` and the like.
fn spelt(cells: &Cells, micro: &str, ohm: &str) -> Cells {
    let spelt = cells.map(|column, cell| match column {
        "marked" | "reads" | "value" | "sections" => cell.replace("uF", &format!(" {micro}F")).replace("1/2W", "½W"),
        "esr_ohm" if !cell.is_empty() => format!("{cell} {ohm}"),
        _ => cell.to_owned(),
    });
    // Somewhere in each table is a character beyond ASCII, so that the encoding counts.
    spelt.with_column("remark", micro)
}

fn dialects() -> Vec<Dialect> {
    use Encoding::{Marked, Plain, Utf16Big, Utf16Little, Windows1252};
    vec![
        Dialect::of("UTF-8 with its mark, CR LF", b',', '.', "\r\n", Marked),
        Dialect::of("CR alone", b',', '.', "\r", Plain),
        Dialect::of("semicolon, decimal comma", b';', ',', "\r\n", Plain),
        Dialect::of("semicolon, decimal point", b';', '.', "\n", Plain),
        Dialect::of("tab, decimal comma", b'\t', ',', "\n", Plain),
        Dialect::of("UTF-16 little end first, tab", b'\t', ',', "\r\n", Utf16Little),
        Dialect::of("UTF-16 big end first, semicolon", b';', ',', "\r\n", Utf16Big),
        Dialect {
            change: |cells| spelt(cells, "\u{b5}", "ohm"),
            ..Dialect::of("Windows-1252, semicolon", b';', ',', "\r\n", Windows1252)
        },
        Dialect::with("micro sign and ohm sign", |cells| spelt(cells, "\u{b5}", "\u{2126}")),
        Dialect::with("Greek mu and Omega", |cells| spelt(cells, "\u{3bc}", "\u{3a9}")),
        Dialect::with("blanks that do not break", |cells| {
            let padded = |text: &str| if text.is_empty() { String::new() } else { format!("\u{a0}{text} \u{a0}") };
            cells.map(|_, cell| padded(&cell.replace(' ', "\u{a0}"))).headings(padded)
        }),
        Dialect::with("line breaks in quotes", |cells| cells.with_column("remark", "one\nline, \"and\"\nmore")),
        Dialect::with("empty columns at the end", |cells| cells.with_column("", "").with_column("", "")),
        Dialect::with("headings in capitals with blanks and hyphens", |cells| {
            cells.headings(|h| format!(" {} ", h.replacen('_', " ", 1).replacen('_', "-", 1).to_uppercase()))
        }),
        Dialect::with("columns the other way round", |cells| {
            let mut turned = cells.clone();
            turned.rows.iter_mut().for_each(|row| row.reverse());
            turned
        }),
        Dialect::with("rows the other way round", |cells| {
            let mut turned = cells.clone();
            turned.rows[1..].reverse();
            turned
        }),
        Dialect::with("rows shuffled", |cells| {
            let mut shuffled = cells.clone();
            // A multiplier without a common factor with the count visits every row once.
            let count = cells.rows.len() - 1;
            let step = [7, 11, 13].into_iter().find(|step| count % step != 0).unwrap();
            for (at, row) in shuffled.rows[1..].iter_mut().enumerate() {
                row.clone_from(&cells.rows[1 + at * step % count]);
            }
            shuffled
        }),
        Dialect::with("one column for each price", |cells| {
            let prices = cells.rows[0].iter().position(|h| h == "prices").filter(|_| cells.is_catalog());
            prices.map_or_else(|| cells.clone(), |prices| in_columns(cells, prices))
        }),
    ]
}

/// `1:0.42;10:0.36` as columns `price1`, `qty1`, and a second and third pair.
fn in_columns(cells: &Cells, prices: usize) -> Cells {
    let mut wide = cells.clone();
    for (at, row) in wide.rows.iter_mut().enumerate() {
        let text = row.remove(prices);
        if at == 0 {
            row.extend((1..=3).flat_map(|n| [format!("Price {n}"), format!("qty_{n}")]));
            continue;
        }
        let mut tiers = text.split(';').map(|tier| tier.split_once(':').unwrap_or(("1", tier)));
        for _ in 1..=3 {
            let (from, each) = tiers.next().unwrap_or_default();
            row.extend([each.to_owned(), from.to_owned()]);
        }
        assert_eq!(tiers.next(), None);
    }
    wide
}

#[test]
fn every_dialect_gives_the_same_plan() {
    let sample = sample();
    let expected = plan(&Dialect::with("usual", Cells::clone).files(&sample));
    assert!(expected.contains("\"proven\": true") && expected.len() > 10_000);
    for dialect in dialects() {
        let found = plan(&dialect.files(&sample));
        same(dialect.name, &found, &expected);
    }
    // A line that names the delimiter.
    let mut files = dialects().remove(2).files(&sample);
    files.tables.iter_mut().for_each(|table| *table = [b"sep=;\r\n", table.as_slice()].concat());
    same("sep= line", &plan(&files), &expected);
}

/// Shows the first line that differs, not two whole documents.
fn same(name: &str, found: &str, expected: &str) {
    let first = found.lines().zip(expected.lines()).find(|(a, b)| a != b);
    assert!(found == expected, "{name}: {first:?}");
}

/// A supplier's own headings, units in them, and several figures in one cell.
#[test]
fn a_suppliers_own_headings_give_the_same_plan() {
    let mut sample = sample();
    let expected = plan(&Dialect::with("usual", Cells::clone).files(&sample));
    let theirs = [
        ("number", "Order code"),
        ("value", "Capacitance"),
        ("rated_v", "Voltage (kV)"),
        ("ripple_ma", "Ripple (A)"),
        ("life_h", "Endurance [h]"),
        ("style", "Mounting"),
    ];
    sample.settings.push_str("\n[columns.\"*.csv\"]\n");
    sample.settings.extend(theirs.iter().map(|(ours, theirs)| format!("\"{theirs}\" = \"{ours}\"\n")));
    for table in sample.tables.iter_mut().filter(|t| t.is_catalog()) {
        let thousandth = |cell: &str| {
            let number = cell.parse::<u64>();
            number.map_or_else(|_| cell.to_owned(), |n| format!("{}.{:03}", n / 1000, n % 1000))
        };
        *table = table.map(|column, cell| match column {
            "ripple_ma" | "rated_v" => thousandth(cell),
            "value" => cell.replace("uF", " \u{b5}F"),
            _ => cell.to_owned(),
        });
        let heading = table.rows[0].clone();
        let at = |name: &str| heading.iter().position(|h| h == name).unwrap();
        for row in table.rows.iter_mut().skip(1).filter(|row| !row[at("value")].is_empty()) {
            let tolerance = std::mem::take(&mut row[at("tolerance")]);
            if !tolerance.is_empty() {
                row[at("value")] += &[" \u{b1}", &tolerance].concat();
            }
        }
        *table = table.headings(|h| theirs.iter().find(|(ours, _)| *ours == h).map_or(h, |(_, t)| t).to_owned());
    }
    same("own headings", &plan(&Dialect::with("usual", Cells::clone).files(&sample)), &expected);
}

#[cfg(feature = "xlsx")]
#[test]
fn spreadsheets_give_the_same_plan() {
    let sample = sample();
    let usual = Dialect::with("usual", Cells::clone).files(&sample);
    let expected = plan(&usual);
    let all = |made: fn(&Cells) -> Vec<u8>, extension| Files {
        chassis: usual.chassis.clone(),
        settings: usual.settings.clone(),
        tables: sample.tables.iter().map(made).collect(),
        extension,
    };
    same("xlsx", &plan(&all(xlsx, "xlsx")), &expected);
    same("ods", &plan(&all(ods, "ods")), &expected);
}

/// The cells as a spreadsheet has them: numbers as numbers, all else as text.
#[cfg(feature = "xlsx")]
fn xlsx(cells: &Cells) -> Vec<u8> {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for (row, texts) in (0..).zip(&cells.rows) {
        for (column, text) in (0..).zip(texts) {
            let quantity = row > 0 && cells.is_quantity(texts, usize::from(column));
            match text.parse::<f64>().ok().filter(|_| quantity) {
                Some(number) => sheet.write_number(row, column, number).unwrap(),
                None => sheet.write_string(row, column, text).unwrap(),
            };
        }
    }
    book.save_to_buffer().unwrap()
}

/// The same as OpenDocument, of which only the content is needed (OpenDocument 1.3, part 3, 3.1.3 and 9.1).
#[cfg(feature = "xlsx")]
fn ods(cells: &Cells) -> Vec<u8> {
    use std::fmt::Write as _;
    let mut rows = String::new();
    for (at, texts) in cells.rows.iter().enumerate() {
        rows.push_str("<table:table-row>");
        for (column, text) in texts.iter().enumerate() {
            let number = text.parse::<f64>().ok().filter(|_| at > 0 && cells.is_quantity(texts, column));
            let escaped = text.replace('&', "&amp;").replace('<', "&lt;");
            let kind = number.map_or_else(
                || "office:value-type=\"string\"".to_owned(),
                |n| format!("office:value-type=\"float\" office:value=\"{n}\""),
            );
            write!(rows, "<table:table-cell {kind}><text:p>{escaped}</text:p></table:table-cell>").unwrap();
        }
        rows.push_str("</table:table-row>");
    }
    let names = ["office", "table", "text"];
    let spaces = names.map(|n| format!("xmlns:{n}=\"urn:oasis:names:tc:opendocument:xmlns:{n}:1.0\"")).join(" ");
    let content = format!(
        "<?xml version=\"1.0\"?><office:document-content {spaces}><office:body><office:spreadsheet>\
         <table:table table:name=\"S\">{rows}</table:table></office:spreadsheet></office:body></office:document-content>"
    );
    let manifest = "<?xml version=\"1.0\"?><manifest:manifest \
        xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\"></manifest:manifest>";
    zip::stored(&[
        ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
        ("META-INF/manifest.xml", manifest.as_bytes()),
        ("content.xml", content.as_bytes()),
    ])
}
