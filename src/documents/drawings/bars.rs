//! A bar for each capacitor: the most that can be across it, against the ratings of the old part and the new.

use super::{round_step, short};
use crate::documents::drawing::{Anchor, At, Drawing, Fill, Stroke};
use crate::sheet::Bar;
use crate::units::Volt;

const LEFT: f64 = 70.0;
const RIGHT: f64 = 500.0;
const TOP: f64 = 44.0;
const ROW: f64 = 19.0;

/// Draws the bars; nothing where no highest voltage is known.
pub fn drawing(bars: &[Bar]) -> Option<Drawing> {
    let ratings = bars.iter().flat_map(|b| [Some(b.highest), b.old, b.new]).flatten();
    let most = ratings.filter(|v| v.is_finite()).fold(Volt::ZERO, Volt::max);
    if bars.is_empty() || most <= Volt::ZERO {
        return None;
    }
    let rows = f64::from(u32::try_from(bars.len()).unwrap_or(u32::MAX));
    let height = TOP + rows * ROW + 34.0;
    let title = "Highest voltage against rating, old and new";
    let mut drawing = Drawing::new("ratings", title, At::new(680.0, height));
    drawing.description = bars.iter().map(words).collect::<Vec<_>>().join("; ");
    let step = round_step(most.get(), 8.0);
    let end = (most.get() / step).ceil() * step;
    let x = |volts: f64| LEFT + volts / end * (RIGHT - LEFT);
    key(&mut drawing);
    axis(&mut drawing, (end, step), TOP + rows * ROW, x);
    for (n, bar) in (0_u32..).zip(bars) {
        row(&mut drawing, bar, TOP + f64::from(n) * ROW, x);
    }
    Some(drawing)
}

fn row(drawing: &mut Drawing, bar: &Bar, top: f64, x: impl Fn(f64) -> f64) {
    drawing.strong(At::new(LEFT - 8.0, top + 13.0), short(&bar.reference, 9), Anchor::End);
    let highest = x(bar.highest.get());
    drawing.area(At::new(LEFT, top + 3.0), At::new(highest - LEFT, 12.0), Fill::Light);
    if let Some(old) = bar.old {
        let x = x(old.get());
        drawing.line(At::new(x, top + 1.0), At::new(x, top + 17.0), Stroke::Dashed);
    }
    if let Some(new) = bar.new {
        let x = x(new.get());
        drawing.line(At::new(x, top + 1.0), At::new(x, top + 17.0), Stroke::Thick);
        drawing.line(At::new(x - 3.0, top + 1.0), At::new(x + 3.0, top + 1.0), Stroke::Thick);
        drawing.line(At::new(x - 3.0, top + 17.0), At::new(x + 3.0, top + 17.0), Stroke::Thick);
    }
    drawing.text(At::new(RIGHT + 12.0, top + 13.0), figures(bar), Anchor::Start);
}

/// `548 V: old 450, new 700`.
fn figures(bar: &Bar) -> String {
    let plain = |v: Option<Volt>| v.map_or_else(|| "?".to_owned(), |v| format!("{:.0}", v.get()));
    let new = if bar.replaced { format!(", new {}", plain(bar.new)) } else { ", kept".to_owned() };
    format!("{:.0} V: old {}{new}", bar.highest.get(), plain(bar.old))
}

/// The bar in words, with what it comes to.
fn words(bar: &Bar) -> String {
    let rated = |v: Option<Volt>| v.map_or_else(|| "rating not known".to_owned(), |v| format!("rated {v}"));
    let old = format!("{}: up to {}, old part {}", bar.reference, bar.highest, rated(bar.old));
    if bar.replaced { format!("{old}, new part {}", rated(bar.new)) } else { format!("{old}, kept") }
}

fn key(drawing: &mut Drawing) {
    drawing.area(At::new(LEFT, 8.0), At::new(24.0, 13.0), Fill::Light);
    drawing.text(At::new(LEFT + 30.0, 19.0), "highest that can be there", Anchor::Start);
    drawing.line(At::new(LEFT + 200.0, 4.0), At::new(LEFT + 200.0, 25.0), Stroke::Dashed);
    drawing.text(At::new(LEFT + 208.0, 19.0), "rating, old part", Anchor::Start);
    drawing.line(At::new(LEFT + 330.0, 4.0), At::new(LEFT + 330.0, 25.0), Stroke::Thick);
    drawing.line(At::new(LEFT + 326.0, 4.0), At::new(LEFT + 334.0, 4.0), Stroke::Thick);
    drawing.line(At::new(LEFT + 326.0, 25.0), At::new(LEFT + 334.0, 25.0), Stroke::Thick);
    drawing.text(At::new(LEFT + 340.0, 19.0), "rating, new part", Anchor::Start);
}

fn axis(drawing: &mut Drawing, (end, step): (f64, f64), bottom: f64, x: impl Fn(f64) -> f64) {
    drawing.line(At::new(LEFT, bottom), At::new(RIGHT, bottom), Stroke::Thin);
    drawing.line(At::new(LEFT, TOP), At::new(LEFT, bottom), Stroke::Thin);
    let mut volts = 0.0;
    while volts <= end + 1e-9 {
        drawing.line(At::new(x(volts), bottom), At::new(x(volts), bottom + 4.0), Stroke::Thin);
        drawing.text(At::new(x(volts), bottom + 17.0), format!("{volts:.0}"), Anchor::Middle);
        volts += step;
    }
    drawing.text(At::new(RIGHT + 24.0, bottom + 17.0), "V", Anchor::Start);
}
