//! The page of a rule, written from the rule's own text.

use std::fmt::Write as _;

use super::RuleMeta;

/// The page as Markdown, one for each rule under `docs/rules/`.
pub fn page(meta: &RuleMeta) -> String {
    let mut text = format!("# {}: {}\n", meta.id, meta.title);
    section(&mut text, "What it finds", meta.what);
    section(&mut text, "Why", meta.why);
    section(&mut text, "Where it does not apply", meta.not_where);
    section(&mut text, "What to do", meta.remedy);
    section(&mut text, "Safety", meta.safety);
    if !meta.thresholds.is_empty() {
        text.push_str("\n## Limits\n\nSet under `[margins]` of `shop.toml`.\n\n");
        text.push_str("| key | default | what | source |\n|---|---|---|---|\n");
        for t in meta.thresholds {
            // Writing into a text cannot fail.
            let _ = writeln!(text, "| `{}` | {} {} | {} | {} |", t.key, t.default, t.unit, t.what, t.source);
        }
    }
    text.push_str("\n## Sources\n\n");
    for source in meta.sources {
        let _ = writeln!(text, "- {source}");
    }
    text
}

/// The list of all pages as Markdown.
pub fn index<'a>(pages: impl Iterator<Item = &'a RuleMeta>) -> String {
    let mut text = String::from(
        "# Rules of judging\n\nIn the order of reports. Each page is written from the rule's own text.\n\n\
         | rule | what it is about | limits |\n|---|---|---|\n",
    );
    for meta in pages {
        let limits: Vec<String> = meta.thresholds.iter().map(|t| format!("{} {}", t.default, t.unit)).collect();
        // Writing into a text cannot fail.
        let _ = writeln!(text, "| [{0}]({0}.md) | {1} | {2} |", meta.id, meta.title, limits.join(", "));
    }
    text
}

/// A section, unless it is empty.
fn section(text: &mut String, title: &str, body: &str) {
    if !body.is_empty() {
        let _ = write!(text, "\n## {title}\n\n{body}\n");
    }
}
