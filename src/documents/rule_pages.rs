//! The rules for people and machines: the list, and one page for each.

use serde::Serialize;

use super::block::{Block, Cell, Column, Table};
use super::machine::DiagnosticRow;
use crate::rules::{FITTING, RuleMeta, pages};

/// The list of all rules.
pub fn list() -> Vec<Block> {
    let row = |m: &RuleMeta| vec![Cell::text(m.id), Cell::text(m.title)];
    let table = |head: &str, rows: Vec<Vec<Cell>>| {
        let columns = vec![Column::text(head), Column::text("What it is about")];
        Block::Table(Table { columns, rows, total: None })
    };
    vec![
        Block::Heading("JUDGING what is fitted".to_owned()),
        table("Rule", pages().map(row).collect()),
        Block::Heading("FITTING what is bought".to_owned()),
        table("Point", FITTING.iter().map(row).collect()),
        Block::Text("capjob rules RULE prints the page of one.".to_owned()),
    ]
}

/// The page of one rule.
pub fn page(meta: &RuleMeta) -> Vec<Block> {
    let mut blocks = vec![Block::Title(meta.id.to_owned(), meta.title.to_owned())];
    let mut part = |head: &str, text: &str| {
        if !text.is_empty() {
            blocks.push(Block::Heading(head.to_owned()));
            blocks.push(Block::Text(text.to_owned()));
        }
    };
    part("WHAT", meta.what);
    part("WHY", meta.why);
    part("WHERE IT DOES NOT APPLY", meta.not_where);
    part("WHAT TO DO", meta.remedy);
    part("CAUTION", meta.safety);
    if !meta.thresholds.is_empty() {
        blocks.push(Block::Heading("LIMITS (a shop sets its own under [margins])".to_owned()));
        let limits =
            meta.thresholds.iter().map(|t| format!("{} = {} {}: {} ({})", t.key, t.default, t.unit, t.what, t.source));
        blocks.push(Block::List(limits.collect()));
    }
    if !meta.sources.is_empty() {
        blocks.push(Block::Heading("SOURCES".to_owned()));
        blocks.push(Block::List(meta.sources.iter().map(ToString::to_string).collect()));
    }
    blocks
}

/// The machine output of `rules`.
#[derive(Debug, Clone, Serialize)]
pub struct RulesDocument {
    schema: &'static str,
    tool_version: &'static str,
    job: Option<String>,
    assumed: Vec<String>,
    cautions: Vec<String>,
    set_aside: usize,
    diagnostics: Vec<DiagnosticRow>,
    rules: Vec<RuleRow>,
}

#[derive(Debug, Clone, Serialize)]
struct RuleRow {
    id: &'static str,
    title: &'static str,
    what: &'static str,
    why: &'static str,
    not_where: &'static str,
    remedy: &'static str,
    safety: &'static str,
    limits: Vec<LimitRow>,
    sources: Vec<String>,
}

#[derive(Debug, Clone, Serialize)]
struct LimitRow {
    key: &'static str,
    default: f64,
    unit: &'static str,
    what: &'static str,
    source: String,
}

impl RulesDocument {
    /// From the pages wanted.
    pub fn new<'a>(metas: impl IntoIterator<Item = &'a RuleMeta>) -> Self {
        Self {
            schema: "capjob.rules/1",
            tool_version: env!("CARGO_PKG_VERSION"),
            job: None,
            assumed: Vec::new(),
            cautions: Vec::new(),
            set_aside: 0,
            diagnostics: Vec::new(),
            rules: metas.into_iter().map(RuleRow::new).collect(),
        }
    }
}

impl RuleRow {
    fn new(meta: &RuleMeta) -> Self {
        let limits = meta.thresholds.iter().map(|t| LimitRow {
            key: t.key,
            default: t.default,
            unit: t.unit,
            what: t.what,
            source: t.source.to_string(),
        });
        Self {
            id: meta.id,
            title: meta.title,
            what: meta.what,
            why: meta.why,
            not_where: meta.not_where,
            remedy: meta.remedy,
            safety: meta.safety,
            limits: limits.collect(),
            sources: meta.sources.iter().map(ToString::to_string).collect(),
        }
    }
}
