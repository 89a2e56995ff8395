//! HTML: one file that needs nothing else, reads without a script and prints in black and white on A4 and Letter.
//!
//! The page is a template with automatic quoting and strict about what is missing; drawings stand in it as SVG.

mod view;

use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use minijinja::{AutoEscape, Environment, UndefinedBehavior, Value, context};

use super::safe::for_terminal;
use crate::documents::block::Block;

/// The page's template.
const PAGE: &str = include_str!("html/page.html");
/// How the page looks, on the screen and on paper.
const STYLE: &str = include_str!("html/page.css");

/// Writes a whole page with this title.
///
/// # Errors
/// What the template engine reports; with the template that the program carries this is an internal fault.
pub fn write(made_by: &str, title: &str, blocks: &[Block]) -> Result<String, minijinja::Error> {
    let mut environment = Environment::new();
    // A tag on a line of its own leaves no trace in the page.
    environment
        .set_syntax(SyntaxConfig::builder().trim_blocks(true).lstrip_blocks(true).keep_trailing_newline(true).build()?);
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_auto_escape_callback(|_name| AutoEscape::Html);
    environment.add_template("page", PAGE)?;
    let made_by = for_terminal(made_by);
    environment.get_template("page")?.render(context! {
        remark => made_by.replace("--", "- -"),
        made_by => made_by,
        title => for_terminal(title),
        style => STYLE,
        pieces => Value::from(Serde(view::pieces(blocks))),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::block::{Cell, Column, Field, Table, Tick};

    #[test]
    fn what_people_wrote_never_becomes_markup() {
        let evil = "</td><script>alert('x')</script><img src=http://x onerror=y>\u{202e}\" --> {{ 7*7 }}";
        let table = Table { columns: vec![Column::text(evil)], rows: vec![vec![Cell::text(evil)]], total: None };
        let blocks = [
            Block::Title(evil.to_owned(), evil.to_owned()),
            Block::Table(table),
            Block::Ticks(vec![Tick { about: evil.to_owned(), what: evil.to_owned(), ..Tick::default() }]),
            Block::Fields(vec![Field::known(evil, evil)]),
            Block::Alert(vec![evil.to_owned()]),
            Block::CutOut(vec![Block::List(vec![evil.to_owned()])]),
        ];
        let page = write(evil, evil, &blocks).unwrap();
        assert!(page.starts_with("<!DOCTYPE html>"), "{page}");
        assert!(!page.contains("<script") && !page.contains("<img") && !page.contains('\u{202e}'), "{page}");
        assert!(page.contains("{{ 7*7 }}") && !page.contains("49"), "{page}");
        assert_eq!(page.matches("-->").count(), 1, "{page}");
    }

    #[test]
    fn a_page_says_who_wrote_it() {
        let page = write("written by capjob 9", "T", &[]).unwrap();
        assert!(page.lines().next().unwrap().contains("<!-- written by capjob 9 -->"), "{page}");
        assert!(page.contains("<meta name=\"generator\" content=\"written by capjob 9\">"), "{page}");
    }
}
