//! The voltage at the reservoir over two periods of the mains.

use super::{id, round_step};
use crate::documents::drawing::{Anchor, At, Drawing, Stroke};
use crate::model::supply::SupplyFigures;
use crate::units::Volt;

/// Where the curve's area begins and ends on the sheet.
const LEFT: f64 = 62.0;
const RIGHT: f64 = 590.0;
const TOP: f64 = 30.0;
const BOTTOM: f64 = 150.0;

/// Draws the ripple of one supply; nothing where it was not sampled.
pub fn drawing(figures: &SupplyFigures) -> Option<Drawing> {
    let wave = &figures.reservoir_wave;
    let node = figures.nodes.first()?;
    let hz = figures.hz.get();
    if wave.len() < 2 || !(hz > 0.0) || wave.iter().any(|v| !v.is_finite()) {
        return None;
    }
    let ms = 2000.0 / hz;
    let title = format!("{}: voltage at {} over two periods of the mains", figures.name, node.name);
    let mut drawing = Drawing::new(&id("wave", &figures.name), &title, At::new(680.0, 192.0));
    let least = wave.iter().copied().fold(Volt::new(f64::INFINITY), Volt::min).get();
    let most = wave.iter().copied().fold(Volt::new(f64::NEG_INFINITY), Volt::max).get();
    drawing.description = format!(
        "{ms:.0} ms at {hz:.0} Hz. Mean {}, from {least:.1} V to {most:.1} V, ripple {} peak to peak, {} rms.",
        node.volts, node.ripple_pp, node.ripple_rms
    );
    let (low, high, step) = span(least, most);
    let y = |volts: f64| BOTTOM - (volts - low) / (high - low) * (BOTTOM - TOP);
    volt_axis(&mut drawing, (low, high, step), y);
    time_axis(&mut drawing, ms);
    let last = f64::from(u32::try_from(wave.len() - 1).unwrap_or(u32::MAX));
    let points = (0_u32..).zip(wave).map(|(n, v)| At::new(LEFT + f64::from(n) / last * (RIGHT - LEFT), y(v.get())));
    drawing.shapes.push(crate::documents::drawing::Shape::Line(points.collect(), Stroke::Thick));
    let mean = y(node.volts.get());
    drawing.line(At::new(LEFT, mean), At::new(RIGHT, mean), Stroke::Dashed);
    drawing.text(At::new(RIGHT + 8.0, mean + 4.0), format!("mean {}", node.volts), Anchor::Start);
    Some(drawing)
}

/// The range of the volt axis, in whole steps around the curve.
fn span(least: f64, most: f64) -> (f64, f64, f64) {
    let step = round_step((most - least).max(0.1), 5.0);
    let (low, high) = ((least / step).floor() * step, (most / step).ceil() * step);
    if high > low { (low, high, step) } else { (low - step, high + step, step) }
}

fn volt_axis(drawing: &mut Drawing, (low, high, step): (f64, f64, f64), y: impl Fn(f64) -> f64) {
    drawing.line(At::new(LEFT, TOP), At::new(LEFT, BOTTOM), Stroke::Thin);
    drawing.text(At::new(LEFT - 6.0, TOP - 12.0), "V", Anchor::End);
    let decimals = if step < 1.0 { 1 } else { 0 };
    let marks = ((high - low) / step).round();
    let mut mark = 0.0;
    while mark <= marks {
        let volts = low + mark * step;
        drawing.line(At::new(LEFT - 4.0, y(volts)), At::new(RIGHT, y(volts)), Stroke::Faint);
        drawing.text(At::new(LEFT - 8.0, y(volts) + 4.0), format!("{volts:.decimals$}"), Anchor::End);
        mark += 1.0;
    }
}

fn time_axis(drawing: &mut Drawing, ms: f64) {
    let step = round_step(ms, 8.0);
    let mut time = 0.0;
    while time <= ms + 1e-9 {
        let x = LEFT + time / ms * (RIGHT - LEFT);
        drawing.line(At::new(x, BOTTOM), At::new(x, BOTTOM + 4.0), Stroke::Thin);
        drawing.text(At::new(x, BOTTOM + 18.0), format!("{time:.0}"), Anchor::Middle);
        time += step;
    }
    drawing.text(At::new(f64::midpoint(LEFT, RIGHT), BOTTOM + 36.0), "time, ms", Anchor::Middle);
}
