//! The documents of a job of the sample: as they are, the same figures everywhere, and safe whatever people write.

#![expect(clippy::expect_used, reason = "a document that cannot be made has failed")]

use capjob::documents::block::Block;
use capjob::documents::machine::order::OrderDocument;
use capjob::documents::machine::quote::QuoteDocument;
use capjob::documents::machine::sheet::SheetDocument;
use capjob::documents::machine::verify::VerifyDocument;
use capjob::documents::{order_screen, parts_list, shopping_list};
use capjob::export::{csv, json, markdown, svg, text};
use serde_json::Value;

#[path = "support/papers.rs"]
mod papers;
#[path = "support/rows.rs"]
mod rows;
#[path = "support/sample.rs"]
mod sample;
use papers::{MADE_BY, Papers, hall};

const SCREEN: text::Setting = text::Setting { width: Some(80), colour: false };
const PIPE: text::Setting = text::Setting { width: None, colour: false };

fn page(papers: &Papers, name: &str) -> Vec<Block> {
    papers.pages().into_iter().find(|(n, ..)| *n == name).expect("a page").2
}

fn parsed<T: serde::Serialize>(document: &T) -> Value {
    serde_json::from_str(&json::write(document).expect("a document")).expect("JSON")
}

fn texts<'a>(value: &'a Value, list: &str, key: &str) -> Vec<&'a str> {
    value[list].as_array().expect("a list").iter().filter_map(|v| v[key].as_str()).collect()
}

#[test]
fn documents_as_text() {
    for (name, _, blocks) in hall().pages() {
        insta::assert_snapshot!(format!("{name}_text"), text::write(&blocks, SCREEN));
    }
    insta::assert_snapshot!("order_text", text::write(&order_screen::blocks(&hall().plan), SCREEN));
}

#[test]
fn documents_as_markdown() {
    let plan = &hall().plan;
    insta::assert_snapshot!("quote_markdown", markdown::write(MADE_BY, &page(hall(), "quote")));
    insta::assert_snapshot!("record_markdown", markdown::write(MADE_BY, &page(hall(), "record")));
    let parts = Block::Table(parts_list::table(std::slice::from_ref(&hall().job), plan));
    insta::assert_snapshot!("parts_markdown", markdown::write(MADE_BY, &[parts]));
    let first = plan.bills.first().expect("a supplier");
    insta::assert_snapshot!("order_markdown", markdown::write(MADE_BY, &order_screen::supplier_blocks(plan, first)));
    insta::assert_snapshot!("order_csv", csv::write(MADE_BY, &shopping_list::table(plan, first)).expect("a list"));
}

#[test]
fn documents_as_pages() {
    for (name, page) in hall().html() {
        insta::assert_snapshot!(format!("{name}_html"), page);
    }
}

#[test]
fn the_quote_says_what_its_machine_output_says() {
    let read = parsed(&QuoteDocument::new(&hall().plan, &hall().quote));
    let shown = text::write(&page(hall(), "quote"), PIPE);
    for key in [
        "labour",
        "parts",
        "carriage",
        "net",
        "tax",
        "total",
        "bench_fee",
        "to_pay",
        "allowance",
        "ceiling_to_authorise",
        "deposit",
        "valid_until",
        "date",
    ] {
        let figure = read[key].as_str().expect(key);
        assert!(shown.contains(figure), "{key} {figure}");
    }
    for reference in texts(&read, "findings", "ref") {
        assert!(shown.contains(reference), "{reference}");
    }
    let sum = |keys: &[&str]| -> i64 {
        keys.iter().map(|k| read[*k].as_str().expect(k).replace('.', "").parse::<i64>().expect("pennies")).sum()
    };
    assert_eq!(sum(&["labour", "parts", "carriage", "fees"]), sum(&["net"]));
    assert_eq!(sum(&["net", "tax"]), sum(&["total"]));
}

#[test]
fn the_sheet_says_what_its_machine_output_says() {
    let read = parsed(&SheetDocument::new(&hall().job, &hall().plan, &hall().sheet));
    let shown = text::write(&page(hall(), "sheet"), PIPE);
    let steps = read["steps"].as_array().expect("steps");
    assert!(20 < steps.len());
    for step in steps {
        let (reference, what) = (step["ref"].as_str().expect("a ref"), step["do"].as_str().expect("a step"));
        let line = shown.lines().find(|l| l.contains(&format!("[ ] {reference}  ")) && l.contains(what));
        let line = line.unwrap_or_else(|| panic!("{reference}: {what}"));
        assert!(step["polarity"].as_str().is_none_or(|p| line.contains(p)), "{line}");
    }
    for stored in read["stored"].as_array().expect("charges") {
        let (reference, joule) = (stored["ref"].as_str().expect("a ref"), stored["joule"].as_f64().expect("an energy"));
        let (farad, volts) = (stored["farad"].as_f64().expect("farads"), stored["volts"].as_f64().expect("volts"));
        assert!((joule - farad * volts * volts / 2.0).abs() <= 1e-9 * joule, "{stored}");
        let seconds = stored["discharge_s"].as_f64().expect("a time");
        // Marched through 100 k in steps of a thousandth of the time constant.
        let (mut left, mut marched, dt) = (volts, 0.0, 100e3 * farad / 1000.0);
        while left > 10.0 {
            left -= (left - left / 2000.0) / 1000.0;
            marched += dt;
        }
        assert!((seconds - marched).abs() <= 0.005 * marched.max(dt), "{stored}: {marched}");
        assert!(shown.contains(reference), "{reference}");
    }
}

#[test]
fn the_work_goes_bias_ht_coupling_rest() {
    let read = parsed(&SheetDocument::new(&hall().job, &hall().plan, &hall().sheet));
    let order = ["bias", "ht", "coupling", "rest", "readings"];
    let stages: Vec<usize> = texts(&read, "steps", "stage")
        .iter()
        .map(|s| order.iter().position(|o| o == s).expect("a known stage"))
        .collect();
    assert!(stages.is_sorted(), "{stages:?}");
    let refs = texts(&read, "steps", "ref");
    let place = |r: &str| refs.iter().position(|x| *x == r).unwrap_or_else(|| panic!("{r} is no step"));
    assert!(place("C30") < place("C12") && place("C12") < place("C1"), "{refs:?}");
}

#[test]
fn the_record_says_what_its_machine_output_says() {
    let read = parsed(&VerifyDocument::new(&hall().job, &hall().plan, &hall().verification));
    assert_eq!(read["answer"], "pass");
    let shown = text::write(&page(hall(), "record"), PIPE);
    assert!(shown.contains("PASS: "), "{shown}");
    let checks = read["checks"].as_array().expect("checks").len();
    let table = page(hall(), "record").into_iter().find_map(|b| match b {
        Block::Table(table) => Some(table.rows.len()),
        _ => None,
    });
    assert_eq!(table, Some(checks));
}

#[test]
fn the_order_says_what_its_machine_output_says() {
    let plan = &hall().plan;
    let read = parsed(&OrderDocument::new(plan));
    let shown = text::write(&order_screen::blocks(plan), PIPE);
    for supplier in read["suppliers"].as_array().expect("suppliers") {
        for key in ["goods", "carriage", "total"] {
            assert!(shown.contains(supplier[key].as_str().expect(key)), "{supplier}");
        }
        for line in supplier["lines"].as_array().expect("lines") {
            let (number, quantity) = (line["number"].as_str().expect("a number"), &line["quantity"]);
            assert!(shown.contains(&format!("{number},{quantity}\n")), "{line}");
            assert!(shown.contains(&format!("{quantity} x {}", line["each"].as_str().expect("a price"))), "{line}");
        }
    }
}

#[cfg(feature = "xlsx")]
#[test]
fn spreadsheets_add_up_to_the_order() {
    use calamine::{Data, Reader as _, Xlsx};
    use capjob::export::xlsx::{Sheet, write};

    let plan = &hall().plan;
    for bill in &plan.bills {
        let sheet = || vec![Sheet { name: bill.supplier.clone(), table: shopping_list::table(plan, bill) }];
        let bytes = write(MADE_BY, &sheet()).expect("a book");
        assert_eq!(bytes, write(MADE_BY, &sheet()).expect("a book"), "the same input gave other bytes");
        let mut book = Xlsx::new(std::io::Cursor::new(bytes)).expect("a book");
        let page = book.worksheet_range(&bill.supplier).expect("a sheet");
        let lines: f64 = page
            .rows()
            .skip(1)
            .filter(|r| r.first().is_some_and(|c| !matches!(c, Data::Empty)))
            .filter_map(|r| r.get(7))
            .map(|c| if let Data::Float(f) = c { *f } else { panic!("{c:?} is no number") })
            .sum();
        let goods: f64 = bill.goods.text(4).parse().expect("a number");
        assert!((lines - goods).abs() < 1e-6, "{}: {lines} {goods}", bill.supplier);
        let formulas = book.worksheet_formula(&bill.supplier).expect("formulas");
        assert!(formulas.used_cells().any(|(_, _, f)| f.starts_with("SUM(H2:H")), "{}", bill.supplier);
    }
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let again = Papers::new(hall().job.clone(), hall().shop.clone(), hall().plan.clone());
    assert_eq!(again.html(), hall().html());
}

/// Terminal control, a spreadsheet formula, HTML, Markdown and a turned reading direction in one note.
const HOSTILE: &str = "=HYPERLINK(\"http://x.invalid\")\u{1b}[2J\u{7}\u{202e}</td><script>alert(1)</script><img src=x onerror=y>--> [a](javascript:b) | **c** `d`";

/// The sample's job, with that written wherever a person or a supplier writes.
fn hostile() -> Papers {
    let Papers { mut job, shop, mut plan, .. } = hall().clone();
    let evil = || HOSTILE.to_owned();
    job.chassis.name = evil();
    for part in &mut job.parts {
        part.note = Some(evil());
        part.marked = evil();
    }
    for inspection in &mut plan.inspections {
        inspection.chassis = evil();
        inspection.assumed.push(evil());
        inspection.cautions.push(evil().into());
        inspection.judgements.iter_mut().for_each(|j| j.assumed.push(evil()));
    }
    for line in &mut plan.buy {
        line.number = evil();
        line.article.description = Some(evil());
    }
    plan.fits.iter_mut().for_each(|f| f.notes.push(evil()));
    Papers::new(job, shop, plan)
}

#[test]
fn whatever_people_write_is_quoted() {
    let papers = hostile();
    for (name, page) in papers.html() {
        assert!(page.contains("&lt;script&gt;alert(1)"), "{name}: the note is not there");
        for bad in ["<script", "<img", "\u{1b}", "\u{7}", "\u{202e}", "javascript:b\"", "href=\"http"] {
            assert!(!page.contains(bad), "{name}: {bad:?}");
        }
        assert_eq!(page.matches("-->").count(), 1, "{name}: a remark is ended early");
    }
    let mut written: Vec<String> = papers.pages().iter().map(|(_, _, b)| markdown::write(MADE_BY, b)).collect();
    let bill = papers.plan.bills.first().expect("a supplier");
    written.push(markdown::write(MADE_BY, &[Block::Table(shopping_list::table(&papers.plan, bill))]));
    for page in &written {
        assert!(page.contains("&lt;script&gt;"), "{page}");
        for bad in ["<script", "<img", "\u{1b}", "\u{202e}", " [a](", " | **c**"] {
            assert!(!page.contains(bad), "{bad:?}");
        }
    }
    for (_, _, blocks) in papers.pages() {
        let shown = text::write(&blocks, SCREEN);
        assert!(!shown.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{shown}");
    }
    let list = csv::write(MADE_BY, &shopping_list::table(&papers.plan, bill)).expect("a list");
    let mut reader = ::csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(list.as_bytes());
    for record in reader.records() {
        let record = record.expect("a record");
        assert!(record.iter().all(|f| !f.starts_with(['=', '+', '@'])), "{record:?}");
    }
    for drawing in capjob::documents::sheet::drawings(&papers.sheet) {
        let file = svg::file(MADE_BY, &drawing);
        assert!(!file.contains("<script") && !file.contains('\u{1b}'), "{file}");
    }
}

#[test]
fn every_file_says_who_wrote_it() {
    let plan = &hall().plan;
    let bill = plan.bills.first().expect("a supplier");
    let first = |text: &str| text.lines().next().unwrap_or_default().to_owned();
    assert!(first(&csv::write(MADE_BY, &shopping_list::table(plan, bill)).expect("a list")).contains(MADE_BY));
    assert!(first(&markdown::write(MADE_BY, &page(hall(), "quote"))).contains(MADE_BY));
    for (_, page) in hall().html() {
        assert!(first(&page).contains(MADE_BY));
    }
    for drawing in capjob::documents::sheet::drawings(&hall().sheet) {
        assert!(first(&svg::file(MADE_BY, &drawing)).contains(MADE_BY));
    }
    assert_eq!(parsed(&QuoteDocument::new(plan, &hall().quote))["schema"], "capjob.quote/1");
}
