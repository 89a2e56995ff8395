//! `docs/formulas.md` says what the list of formulas says; set `CAPJOB_WRITE_DOCS=1` to write it.

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;
    use std::fmt::Write;
    use std::path::Path;

    use capjob::limits::formulas::FORMULAS;
    use capjob::sources::SourceId;

    const HEAD: &str = "\
# Formulas, limits and their sources

Made from the list in `src/limits/formulas.rs`; the figures themselves stand in `src/limits/`.
The last column says how far the document behind a line was read. A line from memory, from common
practice or of our own is no authority: where a maker's sheet or a local code says otherwise, that
comes first.

High voltage, stored charge and the mains can kill. These lines help a qualified person to judge
parts; they replace neither measuring before touching nor local codes and licensed practice.
";

    /// The page as the list makes it.
    fn page() -> String {
        let mut text = HEAD.to_owned();
        let mut about = "";
        for formula in FORMULAS {
            if formula.about != about {
                about = formula.about;
                write!(
                    text,
                    "\n## {about}\n\n| gives | formula or rule | units and range | source |\n|---|---|---|---|\n"
                )
                .expect("a string takes text");
            }
            writeln!(text, "| {} | {} | {} | {} |", formula.gives, formula.form, formula.range, formula.source)
                .expect("a string takes text");
        }
        text.push_str("\n## All sources\n\n| name | document | part | how far read |\n|---|---|---|---|\n");
        for id in SourceId::ALL {
            let source = id.source();
            writeln!(text, "| `{}` | {} | {} | {} |", source.key, source.document, source.part, source.status.note())
                .expect("a string takes text");
        }
        text
    }

    #[test]
    fn the_page_is_the_list() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/formulas.md");
        if std::env::var_os("CAPJOB_WRITE_DOCS").is_some() {
            std::fs::write(&path, page()).expect("the page can be written");
        }
        let written = std::fs::read_to_string(&path).expect("the page is there");
        assert!(written == page(), "docs/formulas.md is not what the list says; run with CAPJOB_WRITE_DOCS=1");
    }

    #[test]
    fn no_cell_breaks_its_table() {
        let lines: BTreeSet<usize> =
            page().lines().filter(|line| line.starts_with("| ")).map(|line| line.matches('|').count()).collect();
        assert_eq!(lines, BTreeSet::from([5]));
    }
}
