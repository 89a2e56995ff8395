//! Drawings as SVG: black and white, no script, nothing loaded, a title and a description for screen readers.

use std::fmt::Write as _;

use super::safe::for_markup;
use crate::documents::drawing::{Anchor, At, Drawing, Fill, Shape, Stroke};

/// Writes a file of its own, with a first remark that says who wrote it.
pub fn file(made_by: &str, drawing: &Drawing) -> String {
    let made_by = made_by.replace("--", "- -");
    let svg = inline(drawing).replacen("<svg ", "<svg xmlns=\"http://www.w3.org/2000/svg\" ", 1);
    format!("<!-- {} -->\n{svg}\n", for_markup(&made_by))
}

/// Writes the drawing as an element to stand in a page.
pub fn inline(drawing: &Drawing) -> String {
    let id = for_markup(&drawing.id);
    let At { x: width, y: height } = drawing.size;
    let mut out = format!(
        "<svg viewBox=\"0 0 {} {}\" role=\"img\" aria-labelledby=\"{id}-title {id}-desc\" \
         font-family=\"sans-serif\" font-size=\"11\" fill=\"#000\">\n<title id=\"{id}-title\">{}</title>\n\
         <desc id=\"{id}-desc\">{}</desc>\n",
        number(width),
        number(height),
        for_markup(&drawing.title),
        for_markup(&drawing.description)
    );
    for shape in &drawing.shapes {
        element(&mut out, shape);
    }
    out.push_str("</svg>");
    out
}

fn element(out: &mut String, shape: &Shape) {
    // Writing to a String cannot fail.
    let _always = match shape {
        Shape::Line(points, stroke) => {
            let points: Vec<String> = points.iter().map(|p| format!("{},{}", number(p.x), number(p.y))).collect();
            let (colour, width, dash) = look(*stroke);
            writeln!(
                out,
                "<polyline points=\"{}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\"{dash}/>",
                points.join(" ")
            )
        }
        Shape::Box(at, size, fill) => writeln!(
            out,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{}\" stroke=\"#000\" stroke-width=\"0.8\"/>",
            number(at.x),
            number(at.y),
            number(size.x),
            number(size.y),
            shade(*fill)
        ),
        Shape::Text(at, text, anchor) => words(out, *at, text, *anchor, ""),
        Shape::Strong(at, text, anchor) => words(out, *at, text, *anchor, " font-weight=\"bold\""),
    };
}

fn words(out: &mut String, at: At, text: &str, anchor: Anchor, weight: &str) -> std::fmt::Result {
    let anchor = match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    writeln!(
        out,
        "<text x=\"{}\" y=\"{}\" text-anchor=\"{anchor}\"{weight}>{}</text>",
        number(at.x),
        number(at.y),
        for_markup(text)
    )
}

const fn look(stroke: Stroke) -> (&'static str, &'static str, &'static str) {
    match stroke {
        Stroke::Faint => ("#aaa", "0.5", ""),
        Stroke::Thin => ("#000", "0.7", ""),
        Stroke::Thick => ("#000", "1.6", ""),
        Stroke::Dashed => ("#000", "1.4", " stroke-dasharray=\"4 3\""),
    }
}

const fn shade(fill: Fill) -> &'static str {
    match fill {
        Fill::Open => "#fff",
        Fill::Light => "#ddd",
        Fill::Dark => "#777",
    }
}

/// One decimal at most, so that the same input gives the same bytes everywhere; zero for what is no number.
fn number(value: f64) -> String {
    let value = if value.is_finite() { value } else { 0.0 };
    let text = format!("{value:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn says_what_it_shows_and_quotes_what_people_wrote() {
        let mut drawing = Drawing::new("d", "<Ladder>", At::new(100.0, 50.0));
        drawing.description = "HT1 & HT2".to_owned();
        drawing.text(At::new(1.25, 2.0), "</svg><script>alert(1)</script>\u{1b}", Anchor::Middle);
        drawing.line(At::new(0.0, f64::NAN), At::new(-0.01, 2.0), Stroke::Dashed);
        let svg = file("capjob -- 1", &drawing);
        assert!(svg.starts_with("<!-- capjob - - 1 -->\n<svg xmlns="), "{svg}");
        assert!(svg.contains("<title id=\"d-title\">&lt;Ladder&gt;</title>"), "{svg}");
        assert!(svg.contains("HT1 &amp; HT2") && svg.contains("points=\"0,0 0,2\""), "{svg}");
        assert!(!svg.contains("<script") && !svg.contains('\u{1b}'), "{svg}");
    }
}
