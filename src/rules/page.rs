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

/// How the findings of one part come to one decision.
const ORDER_OF_WEIGHT: &str = "\
## How findings come to one decision

Each rule states what it finds with its figure, limit and source; then the findings of a part are weighed, first \
match wins:

1. a finding about safety that asks for leaving out, finding out or replacing: nothing overrides it, and a wish \
against it is printed as refused;
2. the technician's wish for the part, printed as a finding of its own beside the one that it overrides;
3. leave out, then find out (what has no value or place cannot be ordered), then replace;
4. replacing advised by age or kind, unless the policy `faulty` or a museum piece sets it aside, which is printed; it \
outweighs a missing reading, which could not change it;
5. test, then reform, then keep.

A part that nothing speaks for is to be tested: what was not measured is not good. Then matched pairs and the \
sections of a can are looked at together.
";

/// The list of all pages as Markdown.
pub fn index<'a>(pages: impl Iterator<Item = &'a RuleMeta>) -> String {
    let mut text = String::from(
        "# Rules of judging\n\nIn the order of reports. Each page is written from the rule's own text.\n\n",
    );
    text.push_str(ORDER_OF_WEIGHT);
    text.push_str(
        "\n## The rules\n\n\
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
