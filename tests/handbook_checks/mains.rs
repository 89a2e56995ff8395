//! Section 5: the mains side and stored charge.

use capjob::limits::mains::{ES1_AC, ES1_CURRENT_AC, ES1_DC, ES2_DC};
use capjob::physics::discharge::{HazardTable, at_most, is_hazardous, resistor_for, time_to, volts_for_energy};
use capjob::physics::mains::{
    MainsClass, MainsPlace, Plug, class_letter, discharges_in_time, es1_charged, es1_combined, impulse_test,
    touch_current,
};
use capjob::units::{Farad, Hertz, Joule, Ohm, Second, Volt};

use super::row::{Answer, Row, numbers};

/// The library's answer to a row of section 5.
pub(crate) fn answer(row: &Row) -> Option<Answer> {
    match row.group() {
        "5.01" => charged(row),
        "5.02" => touch_limit(row),
        "5.03" => bleeder(row),
        "5.04" => Some(Answer::number(micro(row).energy_at(Volt::new(row.num("V"))).get())),
        "5.05" => hazard(row),
        "5.06" => {
            let resistor = row.find("R").map(Ohm::new);
            Some(Answer::passes(discharges_in_time(micro(row), resistor, Plug::TypeA)))
        }
        "5.07" => {
            let c = Farad::new(row.num("C_nF") * 1e-9);
            Some(Answer::number(touch_current(c, Volt::new(row.num("V_rms")), Hertz::new(row.num("f"))).milli()))
        }
        "5.08" => impulse(row),
        "5.09" => {
            let place = match row.input.as_str() {
                "mains line to chassis" => MainsPlace::LineToChassis,
                "line to neutral" => MainsPlace::AcrossLine,
                _ => return None,
            };
            Some(Answer::text(class_letter(place).value))
        }
        _ => None,
    }
}

fn micro(row: &Row) -> Farad {
    Farad::from_micro(row.num("C_uF"))
}

fn charged(row: &Row) -> Option<Answer> {
    let nano = row.find("C_nF").or_else(|| row.find("C_nom_nF")).map(|nf| Farad::new(nf * 1e-9));
    let nominal = nano.unwrap_or_else(|| micro(row));
    let tolerance = row.find("tol").map_or(0.0, |percent| percent / 100.0);
    let limit = es1_charged(nominal, tolerance)?;
    Some(Answer::number(limit.value.get()).by(limit.source))
}

fn touch_limit(row: &Row) -> Option<Answer> {
    Some(Answer::number(match (row.topic.as_str(), row.input.as_str()) {
        ("5 ES1 dc / ac", "dc limit") => ES1_DC.value.get(),
        ("5 ES1 dc / ac", "ac limit rms") => ES1_AC.value.get(),
        ("5 ES1 current", "ac rms") => ES1_CURRENT_AC.value.milli(),
        ("5 ES2 dc / ac", "dc limit") => ES2_DC.value.get(),
        ("5 ES1 combined", _) => es1_combined(Volt::new(row.num("Udc")), Volt::new(row.num("Uac_rms"))),
        _ => return None,
    }))
}

fn bleeder(row: &Row) -> Option<Answer> {
    let volt = |key| Volt::new(row.num(key));
    Some(Answer::number(match row.topic.as_str() {
        "5 bleeder time" => time_to(volt("Vsafe"), volt("V0"), micro(row), Ohm::new(row.num("R")))?.get(),
        "5 bleeder resistor for time" => {
            resistor_for(Second::new(row.num("t_s")), volt("Vsafe"), volt("V0"), micro(row))?.get()
        }
        "5 bleeder power" => volt("V").heat_in(Ohm::new(row.num("R"))).get(),
        "5 bleeder time worst case" => {
            // `R=220k +5 %;C=47 uF +20 %`
            let (r, c) = (numbers(row.word("R")?), numbers(row.word("C")?));
            let resistor = at_most(Ohm::new(r[0]), r[1] / 100.0);
            let capacitor = at_most(Farad::from_micro(c[0]), c[1] / 100.0);
            time_to(volt("Vs"), volt("V0"), capacitor, resistor)?.get()
        }
        _ => return None,
    }))
}

fn hazard(row: &Row) -> Option<Answer> {
    if row.topic == "5 voltage for 1 J" {
        return volts_for_energy(Joule::new(1.0), micro(row)).map(|volts| Answer::number(volts.get()));
    }
    let tables: &[HazardTable] = match row.topic.as_str() {
        "5 hazard class DOE" => &[HazardTable::Doe],
        "5 hazard class NFPA" => &[HazardTable::Nfpa],
        "5 hazard class" => &[HazardTable::Doe, HazardTable::Nfpa],
        _ => return None,
    };
    // `47 uF @ 450 V = 4.76 J (...)`
    let said = row.numbers();
    let (c, v) = (Farad::from_micro(said[0]), Volt::new(said[1]));
    let answers: Vec<bool> = tables.iter().map(|table| is_hazardous(*table, c, v)).collect();
    assert!(answers.iter().all(|a| *a == answers[0]), "{row}: the tables disagree");
    Some(Answer::text(if answers[0] { "above threshold" } else { "below threshold" }))
}

fn impulse(row: &Row) -> Option<Answer> {
    let class = match row.word("class")? {
        "X1" => MainsClass::X1,
        "X2" => MainsClass::X2,
        "Y1" => MainsClass::Y1,
        "Y2" => MainsClass::Y2,
        "Y4" => MainsClass::Y4,
        _ => return None,
    };
    let sizes = row.find("C_uF").map_or_else(|| vec![0.001, 1.0, 22.0], |uf| vec![uf]);
    let tests: Vec<f64> =
        sizes.iter().map(|uf| impulse_test(class, Farad::from_micro(*uf)).value.get() / 1000.0).collect();
    assert!(tests.iter().all(|kv| (kv - tests[0]).abs() < 1e-12), "{row}: depends on the capacitance");
    Some(Answer::number(tests[0]))
}
