//! A catalog of any length: made-up offers of the sample shop's suppliers, the same on every machine.

use std::io::{self, Write};

use crate::article::{self, Article};
use crate::dice::Dice;

/// Suppliers of the sample shop, with a letter for their numbers and what a price of 1 is with them.
const SUPPLIERS: &[(&str, char, f64)] =
    &[("Quillmarsh", 'Q', 1.0), ("Brindlecote", 'B', 0.96), ("Tarrowby", 'T', 1.05), ("Sandvarp", 'S', 11.4)];

/// Every column of a catalog.
const COLUMNS: &str = "number,supplier,part,value,tolerance,rated_v,rated_vac,class,watts,temp_c,life_h,ripple_ma,\
                       ripple_hz,ripple_factors,loss_factor,leakage_ua,esr_ohm,style,diameter_mm,length_mm,lead_mm,\
                       polarised,flameproof,designation,sections,common,made,prices,pack,minimum,stock,lead_days,\
                       description";

/// Writes a catalog of so many lines. Of a thousand lines some five spell a value as people do, twenty
/// have a comma or a quote in their description, and two in ten thousand cannot be used.
///
/// # Errors
/// It cannot be written.
pub(crate) fn write(out: &mut impl Write, rows: u64) -> io::Result<()> {
    writeln!(out, "# {rows} invented offers. Every number, price and stock figure is made up.\n{COLUMNS}")?;
    let mut dice = Dice::new(1956);
    for row in 0..rows {
        line(out, row, &mut dice)?;
    }
    out.flush()
}

fn line(out: &mut impl Write, row: u64, dice: &mut Dice) -> io::Result<()> {
    let (supplier, letter, rate) = dice.of(SUPPLIERS);
    let mut a = article::any(dice);
    let shown = if a.designation.is_empty() { a.value.clone() } else { a.designation.to_owned() };
    let mut description = format!("{} {shown}{} {}", a.part, a.sections, a.style);
    if dice.one_in(50) {
        description = format!("\"{}, 3\"\" reel\"", description.trim());
    }
    if dice.one_in(200) {
        a.value = a.value.replace("uF", " µF").replace('k', " k");
    }
    if dice.one_in(5000) {
        a.part = dice.of(&["elco", "condenser", ""]);
    }
    let Article { part, value, tolerance, rated_v, rated_vac, class, watts, .. } = &a;
    write!(out, "{letter}{row:07},{supplier},{part},{value},{tolerance},{rated_v},{rated_vac},{class},{watts},")?;
    let Article { temp_c, life_h, ripple_ma, ripple_hz, ripple_factors, loss_factor, leakage_ua, style, .. } = &a;
    write!(out, "{temp_c},{life_h},{ripple_ma},{ripple_hz},{ripple_factors},{loss_factor},{leakage_ua},,{style},")?;
    let Article { diameter_mm, length_mm, polarised, flameproof, designation, sections, common, made, .. } = &a;
    write!(out, "{diameter_mm},{length_mm},,{polarised},{flameproof},{designation},{sections},{common},{made},")?;
    terms(out, a.price * rate * dice.spread(), dice)?;
    writeln!(out, ",{}", description.trim())
}

/// Prices, pack, least quantity, stock and days.
fn terms(out: &mut impl Write, price: f64, dice: &mut Dice) -> io::Result<()> {
    write!(out, "1:{price:.2}")?;
    if !dice.one_in(4) {
        write!(out, ";10:{:.2};100:{:.2}", price * 0.9, price * 0.75)?;
    }
    let pack = if dice.one_in(12) { "5" } else { "" };
    let minimum = if dice.one_in(20) { "10" } else { "" };
    let stock = if dice.one_in(6) { String::new() } else { dice.below(400).to_string() };
    let days = if dice.one_in(10) { "12" } else { "" };
    write!(out, ",{pack},{minimum},{stock},{days}")
}
