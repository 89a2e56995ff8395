//! Sections 6 and 7: ESR limits, resistors, paper capacitors.

use capjob::physics::electrolytic::{esr_ratio, in_parallel, worst_esr};
use capjob::physics::leakage::{coupling_least_resistance, grid_shift, paper_least_resistance};
use capjob::physics::resistor::{
    Body, allowed_voltage, critical_resistance, drift, drift_standing, judge_drift, overload_voltage_limit, power_at,
    working_voltage_limit,
};
use capjob::units::{Celsius, Farad, Hertz, Ohm, Volt, Watt};

use super::row::{Answer, Row, numbers};

/// The library's answer to a row of section 6 or 7.
pub(crate) fn answer(row: &Row) -> Option<Answer> {
    match row.group() {
        "6.01" => esr(row, 120.0),
        "6.02" if row.find("C_uF").is_some() => esr(row, 100e3),
        "6.02" => {
            let at_both_ends = row.band_volts().map(|v| esr_ratio(Volt::new(v), Hertz::new(100.0), Hertz::new(10e3)));
            assert_eq!(at_both_ends[0], at_both_ends[1], "{row}: the band is not one");
            at_both_ends[0].map(Answer::number)
        }
        "6.03" => {
            let said = row.numbers();
            Some(Answer::number(in_parallel(Ohm::new(said[0]), Ohm::new(said[1])).get()))
        }
        "7.01" | "7.02" | "7.03" | "7.04" | "7.05" => rating(row),
        "7.06" | "7.08" => drifted(row),
        "7.07" => leaky(row),
        _ => None,
    }
}

fn esr(row: &Row, hertz: f64) -> Option<Answer> {
    let limit = worst_esr(Volt::new(row.num("V_rated")), Farad::from_micro(row.num("C_uF")), Hertz::new(hertz))?;
    Some(Answer::number(limit.value.get()).by(limit.source))
}

fn body(row: &Row) -> Option<Body> {
    let text = row.parts().next()?;
    if text.contains("carbon composition") || text.ends_with("CC") {
        Some(Body::Composition)
    } else if text.contains("metal film") {
        Some(Body::MetalFilm)
    } else {
        None
    }
}

fn rating(row: &Row) -> Option<Answer> {
    let watts = Watt::new(row.numbers()[0]);
    Some(Answer::number(match row.topic.as_str() {
        "7 max working voltage" => working_voltage_limit(body(row)?, watts)?.value.get(),
        "7 max overload voltage" => overload_voltage_limit(body(row)?, watts)?.value.get(),
        "7 allowed voltage" => {
            let limit = working_voltage_limit(body(row)?, watts)?.value;
            allowed_voltage(watts, Ohm::new(row.num("R")), limit).value.get()
        }
        "7 critical resistance" => critical_resistance(Volt::new(row.numbers()[1]), watts)?.get(),
        "7 power at temperature" => power_at(body(row)?, watts, Celsius::new(row.num("T"))).value.get(),
        _ => return None,
    }))
}

fn drifted(row: &Row) -> Option<Answer> {
    let percent = row.find("drift").or_else(|| row.find("drift_pct"));
    let share = match percent {
        Some(percent) => percent / 100.0,
        None => drift(Ohm::new(row.num("marked")), Ohm::new(row.num("measured")))?,
    };
    Some(match row.topic.as_str() {
        "7 drift" => Answer::number(share * 100.0),
        "7 proposed drift rule" => Answer::verdict(judge_drift(share, row.num("tol_pct") / 100.0)),
        "7 drift rule" => {
            let standing = drift_standing(share, row.num("tol") / 100.0);
            Answer::text(match (standing.in_tolerance, standing.in_life_test) {
                (true, _) => "in tolerance",
                (false, true) => "out of tolerance; inside the 15 % life limit",
                (false, false) => "out of tolerance and beyond 15 %",
            })
        }
        _ => return None,
    })
}

fn leaky(row: &Row) -> Option<Answer> {
    let megohms = |ohms: Ohm| Answer::number(ohms.get() / 1e6);
    Some(match row.topic.as_str() {
        "7 paper capacitor leakage" => {
            // `behind 1 Mohm + 1 Mohm`
            let behind = row.input.split(" behind ").nth(1)?;
            let ohms = numbers(&behind.replace(" k", "k").replace(" M", "M")).into_iter().map(Ohm::new).sum();
            megohms(paper_least_resistance(ohms).value)
        }
        "7 coupling capacitor grid shift" => {
            let leak = Ohm::new(row.num("R_leak"));
            Answer::number(grid_shift(Volt::new(row.num("V")), Ohm::new(row.num("Rg")), leak).get())
        }
        "7 coupling capacitor leakage limit" => {
            let allowed = Volt::new(row.num("dVg_max"));
            megohms(coupling_least_resistance(Volt::new(row.num("V")), Ohm::new(row.num("Rg")), allowed)?)
        }
        _ => return None,
    })
}
