//! Made-up articles of every kind that the trade buys: values of the preferred series, usual ratings
//! and bodies, and prices that rise with both. No maker's part is meant by any of them.

use crate::dice::Dice;

/// The cells of one line that say what the article is, in the words of the catalog's columns.
#[derive(Default)]
pub(crate) struct Article {
    pub(crate) part: &'static str,
    pub(crate) value: String,
    pub(crate) tolerance: &'static str,
    pub(crate) rated_v: String,
    pub(crate) rated_vac: &'static str,
    pub(crate) class: &'static str,
    pub(crate) watts: &'static str,
    pub(crate) temp_c: &'static str,
    pub(crate) life_h: &'static str,
    pub(crate) ripple_ma: String,
    pub(crate) ripple_hz: &'static str,
    pub(crate) ripple_factors: &'static str,
    pub(crate) loss_factor: &'static str,
    pub(crate) leakage_ua: String,
    pub(crate) style: &'static str,
    pub(crate) diameter_mm: String,
    pub(crate) length_mm: String,
    pub(crate) polarised: &'static str,
    pub(crate) flameproof: &'static str,
    pub(crate) designation: &'static str,
    pub(crate) sections: String,
    pub(crate) common: &'static str,
    pub(crate) made: &'static str,
    /// Price of one, in the shop's currency.
    pub(crate) price: f64,
}

const E6: &[f64] = &[10.0, 15.0, 22.0, 33.0, 47.0, 68.0];
const E12: &[f64] = &[10.0, 12.0, 15.0, 18.0, 22.0, 27.0, 33.0, 39.0, 47.0, 56.0, 68.0, 82.0];
const E24: &[f64] = &[
    10.0, 11.0, 12.0, 13.0, 15.0, 16.0, 18.0, 20.0, 22.0, 24.0, 27.0, 30.0, 33.0, 36.0, 39.0, 43.0, 47.0, 51.0, 56.0,
    62.0, 68.0, 75.0, 82.0, 91.0,
];

/// The next article.
pub(crate) fn any(dice: &mut Dice) -> Article {
    match dice.below(100) {
        0..24 => electrolytic(dice),
        24..48 => film(dice),
        48..54 => ceramic(dice),
        54..57 => mica(dice),
        57..60 => suppressor(dice),
        60..61 => can(dice),
        61..89 => resistor(dice),
        89..94 => valve(dice),
        94..96 => named(dice, "lamp", LAMPS, 0.7),
        96..98 => named(dice, "fuse", FUSES, 0.3),
        _ => hardware(dice),
    }
}

/// `2.2`: the shortest decimal text of three figures.
fn text(value: f64) -> String {
    let digits = if value < 1.0 { 4 } else { 2 };
    let rounded = format!("{value:.digits$}");
    rounded.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A capacitance in the unit that it is usually written in.
fn farad(micro: f64) -> String {
    if micro < 0.000_999 {
        return format!("{}pF", text(micro * 1e6));
    }
    if micro < 0.009_99 { format!("{}nF", text(micro * 1e3)) } else { format!("{}uF", text(micro)) }
}

fn electrolytic(dice: &mut Dice) -> Article {
    let micro = dice.of(E12) * dice.of(&[0.1, 1.0, 1.0, 10.0]);
    let volts: f64 = dice.of(&[16.0, 25.0, 35.0, 50.0, 63.0, 100.0, 160.0, 250.0, 350.0, 400.0, 450.0, 450.0, 500.0]);
    let charge = (micro * volts).sqrt();
    let style = dice.of(&["axial", "axial", "radial", "radial", "radial", "snap-in"]);
    Article {
        part: "electrolytic",
        value: farad(micro),
        tolerance: dice.of(&["20%", "20%", "20%", "-10/+50%"]),
        rated_v: text(volts),
        temp_c: dice.of(&["85", "105", "105"]),
        life_h: dice.of(&["1000", "2000", "5000", "8000"]),
        ripple_ma: text((charge * 2.2 * dice.spread()).round().max(10.0)),
        ripple_hz: dice.of(&["100", "120"]),
        ripple_factors: dice.of(&["", "", "50:0.8;100:1;1k:1.3;10k:1.4"]),
        loss_factor: dice.of(&["0.15", "0.2", "0.25"]),
        leakage_ua: text((micro * volts / 100.0).round().max(3.0)),
        style,
        diameter_mm: text((4.0 + charge / 8.0).round()),
        length_mm: text((10.0 + charge / 4.0).round()),
        polarised: "yes",
        made: dice.of(&["", "", "", "2024", "2025"]),
        price: 0.10 + charge * 0.02,
        ..Article::default()
    }
}

fn film(dice: &mut Dice) -> Article {
    let micro = dice.of(E6) * dice.of(&[0.0001, 0.001, 0.001, 0.01, 0.1]);
    let volts: f64 = dice.of(&[63.0, 100.0, 250.0, 400.0, 630.0, 630.0, 1000.0, 1600.0]);
    let size = (micro * volts).sqrt();
    Article {
        part: "film",
        value: farad(micro),
        tolerance: dice.of(&["5%", "10%", "10%", "20%"]),
        rated_v: text(volts),
        rated_vac: dice.of(&["", "", "160", "250"]),
        temp_c: dice.of(&["85", "100", "105"]),
        style: dice.of(&["axial", "axial", "radial"]),
        diameter_mm: text((4.0 + size).round()),
        length_mm: text((11.0 + size * 1.5).round()),
        polarised: "no",
        price: 0.12 + size * 0.09,
        ..Article::default()
    }
}

fn ceramic(dice: &mut Dice) -> Article {
    let micro = dice.of(E12) * dice.of(&[0.000_001, 0.000_01, 0.000_1]);
    Article {
        part: "ceramic",
        value: farad(micro),
        tolerance: dice.of(&["5%", "10%", "20%"]),
        rated_v: (dice.of(&["50", "100", "500", "1000"])).to_owned(),
        style: "radial",
        diameter_mm: "6".to_owned(),
        length_mm: "9".to_owned(),
        price: 0.08,
        ..Article::default()
    }
}

fn mica(dice: &mut Dice) -> Article {
    let micro = dice.of(E12) * dice.of(&[0.000_001, 0.000_01, 0.000_1]);
    Article {
        part: "mica",
        value: farad(micro),
        tolerance: dice.of(&["1%", "2%", "5%"]),
        rated_v: (dice.of(&["300", "350", "500"])).to_owned(),
        style: "radial",
        price: 0.60,
        ..Article::default()
    }
}

fn suppressor(dice: &mut Dice) -> Article {
    let micro = dice.of(E6) * dice.of(&[0.000_1, 0.001, 0.01]);
    Article {
        part: "suppressor",
        value: farad(micro),
        tolerance: dice.of(&["10%", "20%"]),
        rated_vac: dice.of(&["250", "275", "300"]),
        class: dice.of(&["X1", "X2", "X2", "Y1", "Y2", "Y2"]),
        style: "radial",
        diameter_mm: "8".to_owned(),
        length_mm: "13".to_owned(),
        price: 0.35,
        ..Article::default()
    }
}

fn can(dice: &mut Dice) -> Article {
    let micro: f64 = dice.of(&[8.0, 16.0, 32.0, 40.0, 50.0]);
    let each = farad(micro);
    Article {
        part: "electrolytic",
        rated_v: (dice.of(&["350", "450", "500"])).to_owned(),
        temp_c: "85",
        life_h: "2000",
        style: "can",
        diameter_mm: "35".to_owned(),
        length_mm: "60".to_owned(),
        polarised: "yes",
        sections: if dice.one_in(3) { format!("{each}+{each}+{each}") } else { format!("{each}+{each}") },
        common: "negative",
        price: 9.0 + micro / 8.0,
        ..Article::default()
    }
}

fn resistor(dice: &mut Dice) -> Article {
    let ohm = dice.of(E24) * dice.of(&[0.1, 1.0, 10.0, 100.0, 1000.0, 10_000.0, 100_000.0]);
    let part = dice.of(&["carbon-film", "metal-film", "metal-film", "carbon-composition", "wirewound"]);
    let wound = part == "wirewound";
    let watts = if wound { dice.of(&["3", "5", "10"]) } else { dice.of(&["0.25", "0.5", "0.6", "1", "2", "3"]) };
    let value = match ohm {
        o if o < 999.0 => format!("{}R", text(o)),
        o if o < 999_000.0 => format!("{}k", text(o / 1e3)),
        o => format!("{}M", text(o / 1e6)),
    };
    Article {
        part,
        value,
        tolerance: dice.of(&["1%", "2%", "5%", "10%"]),
        rated_v: (dice.of(&["", "250", "350", "500"])).to_owned(),
        watts,
        style: "axial",
        diameter_mm: text(2.0 + watts.parse::<f64>().unwrap_or(1.0)),
        length_mm: "12".to_owned(),
        flameproof: if wound || part == "metal-film" { "yes" } else { "no" },
        price: 0.03 + watts.parse::<f64>().unwrap_or(1.0) * 0.08,
        ..Article::default()
    }
}

const VALVES: &[&str] = &[
    "6SN7", "6SL7", "6SN7GT", "6J5", "6V6", "6L6G", "6X5", "5U4G", "5Y3GT", "EF86", "EF91", "EL34", "EL41", "EL84",
    "ECC33", "ECC35", "GZ32", "GZ34", "GZ37", "EZ40", "EZ80", "KT61", "KT66", "KT88", "L63", "U50", "U52", "Z729",
];
const LAMPS: &[&str] = &["6.3V 0.15A MES", "6.3V 0.3A MES", "6.3V 0.3A MBC", "6.5V 0.3A MES", "12V 0.1A MES"];
const FUSES: &[&str] = &[
    "T500mA 20mm LBC",
    "T1A 20mm HBC",
    "T1A 20mm LBC",
    "T2A 20mm HBC",
    "F1A 20mm LBC",
    "F500mA 32mm LBC",
    "T3.15A 20mm HBC",
];
const HARDWARE: &[(&str, &str, f64)] = &[
    ("hardware", "tag strip 5-way", 0.8),
    ("hardware", "tag strip 3-way", 0.6),
    ("hardware", "sleeving 2 mm x 5 m", 2.2),
    ("hardware", "cable clamp 8 mm", 0.9),
    ("hardware", "grommet 9.5 mm", 0.2),
    ("hardware", "earth tag M4", 0.2),
    ("lead", "mains lead 3-core 3 m", 4.0),
    ("lead", "mains lead 2-core 2 m", 3.0),
    ("socket", "octal chassis", 2.4),
    ("socket", "B9A chassis", 1.9),
];

fn valve(dice: &mut Dice) -> Article {
    named(dice, "valve", VALVES, 12.0)
}

fn named(dice: &mut Dice, part: &'static str, of: &[&'static str], price: f64) -> Article {
    Article { part, designation: dice.of(of), price, ..Article::default() }
}

fn hardware(dice: &mut Dice) -> Article {
    let (part, designation, price) = dice.of(HARDWARE);
    Article { part, designation, price, ..Article::default() }
}
