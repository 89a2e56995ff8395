//! Section 1: electrolytics.

use capjob::limits::electrolytic::{END_GENERAL, END_IEC, END_USEFUL_HIGH};
use capjob::physics::discharge::rebound_at;
use capjob::physics::electrolytic::{
    LossGrade, esr_from_loss, judge_capacitance, judge_esr, loss_from_esr, loss_limit, surge_voltage,
};
use capjob::physics::end_of_life::{holds_capacitance, holds_esr, holds_loss};
use capjob::physics::leakage::{
    LeakageLimit, at_temperature, at_voltage, generic_limit, long_life_limit, modern_limit, vintage_limit,
};
use capjob::physics::life::{
    RatedLife, RippleHeating, TopTemperature, air_from_case, capped, equivalent_temperature, jianghai,
    jianghai_ripple_factor, jianghai_voltage_factor, mixed_duty, rubycon, ten_kelvin, voltage_and_core,
};
use capjob::physics::reform::{
    Method, current_limit, drop_passes, hold_time, series_resistance, short_circuit_current, short_circuit_heat,
};
use capjob::physics::ripple::{
    TemperatureSeries, equivalent_current, frequency_factor, temperature_factor, utilisation,
};
use capjob::physics::series_string::{balancing_resistance, balancing_resistance_of_two, capacitance, switch_on_volts};
use capjob::units::{Ampere, Celsius, Farad, Hertz, Hour, Millimetre, Ohm, Volt};

use super::row::{Answer, Row, numbers};

/// The library's answer to a row of section 1.
pub(crate) fn answer(row: &Row, rows: &[Row]) -> Option<Answer> {
    match row.group() {
        "1.01" | "1.02" | "1.03" | "1.16" | "1.17" | "1.18" => loss(row),
        "1.04" | "1.05" => leakage(row),
        "1.06" | "1.07" | "1.08" | "1.09" => life(row, rows),
        "1.10" | "1.11" => ripple(row),
        "1.12" => Some(Answer::number(surge_voltage(volt(row, "V_rated")).value.get())),
        "1.13" => reform(row),
        "1.14" => string(row),
        "1.15" => Some(Answer::number(rebound_at(volt(row, "V0"), row.num("fraction")).get())),
        _ => None,
    }
}

fn volt(row: &Row, key: &str) -> Volt {
    Volt::new(row.num(key))
}

fn micro(row: &Row, key: &str) -> Farad {
    Farad::from_micro(row.num(key))
}

fn loss(row: &Row) -> Option<Answer> {
    let frequency = || Hertz::new(row.find("f_Hz").unwrap_or_else(|| row.num("f")));
    Some(match row.topic.as_str() {
        "1 DF limit" => {
            let snap_in = row.word("grade").is_some_and(|grade| grade.ends_with("B43505"));
            let grade = if snap_in { LossGrade::SnapInB43505 } else { LossGrade::General };
            // The snap-in rows give no capacitance, since their limit does not depend on it.
            let nominal = Farad::from_micro(row.find("C_uF").unwrap_or(100.0));
            let found = loss_limit(grade, volt(row, "V_rated"), nominal)?;
            if let Some(stated) = row.find("f") {
                assert!((found.frequency.get() - stated).abs() < 1e-9, "{row}: stated at another frequency");
            }
            Answer::number(found.limit.value).by(found.limit.source)
        }
        "1 ESR from DF" => Answer::number(esr_from_loss(row.num("tan_delta"), micro(row, "C_uF"), frequency()).get()),
        "1 DF from ESR" => Answer::number(loss_from_esr(Ohm::new(row.num("ESR_ohm")), micro(row, "C_uF"), frequency())),
        "1 end of life" => end_of_life(row)?,
        "1 proposed capacitance rule" => Answer::verdict(judge_capacitance(micro(row, "C_meas"), micro(row, "C_nom"))?),
        "1 proposed ESR rule" => {
            let esr = Ohm::new(row.num("ESR_ohm"));
            Answer::verdict(judge_esr(esr, frequency(), volt(row, "V_rated"), micro(row, "C_uF"))?)
        }
        _ => return None,
    })
}

fn end_of_life(row: &Row) -> Option<Answer> {
    if let Some(reading) = row.find("C_meas") {
        let criterion = if row.input.contains("60384-4-1") { END_IEC } else { END_GENERAL };
        let holds = holds_capacitance(&criterion.value, Farad::from_micro(reading), micro(row, "C_nom"))?;
        return Some(Answer::passes(holds));
    }
    if let Some(reading) = row.find("tan_delta_meas") {
        return Some(Answer::passes(holds_loss(&END_GENERAL.value, reading, row.num("tan_delta_limit"))));
    }
    let (reading, limit) = (Ohm::new(row.num("ESR_meas")), Ohm::new(row.num("ESR_limit")));
    Some(Answer::passes(holds_esr(&END_USEFUL_HIGH.value, reading, limit)))
}

fn leakage(row: &Row) -> Option<Answer> {
    let in_micro = |found: LeakageLimit| {
        if let Some(minutes) = row.find("t") {
            assert!((found.after.get() - minutes * 60.0).abs() < 1e-9, "{row}: read after another time");
        }
        Answer::number(found.limit.value.get() * 1e6).by(found.limit.source)
    };
    Some(match row.topic.as_str() {
        "1 leakage vs temperature" => {
            let cool = Ampere::new(row.num("I_20C_uA"));
            Answer::number(at_temperature(cool, Celsius::new(row.num("T"))).get())
        }
        "1 leakage vs voltage" => Answer::number(at_voltage(Ampere::new(row.num("I_at_VR_uA")), row.num("V/VR")).get()),
        "1 leakage limit vintage" => {
            let limit = vintage_limit(micro(row, "C_uF"), volt(row, "V"))?.limit;
            Answer::number(limit.value.milli()).by(limit.source)
        }
        _ => match row.word("rule")? {
            "RGA" => in_micro(modern_limit(micro(row, "C_uF"), volt(row, "V"))),
            "0.01CV+3" => in_micro(generic_limit(micro(row, "C_uF"), volt(row, "V"))),
            "0.3*(CV)^0.7+4" => in_micro(long_life_limit(micro(row, "C_uF"), volt(row, "V"))),
            _ => return None,
        },
    })
}

fn rated(row: &Row, hours: &str, at: &str) -> RatedLife {
    RatedLife { hours: Hour::new(row.num(hours)), at: Celsius::new(row.num(at)) }
}

fn life(row: &Row, rows: &[Row]) -> Option<Answer> {
    let celsius = |key| Celsius::new(row.num(key));
    let hours = match row.topic.as_str() {
        "1 life 10 K rule" => ten_kelvin(rated(row, "L0_h", "T0"), celsius("T")),
        "1 life mixed duty" => mixed(row)?,
        "1 life equivalent temperature" => {
            let other = row.same_as(rows)?;
            return equivalent_temperature(rated(other, "L0_h", "T0"), mixed(other)?).map(|t| Answer::number(t.get()));
        }
        "1 life voltage+temperature" => {
            voltage_and_core(rated(row, "Lb_h", "Tm_C"), row.num("Va/Vr"), celsius("Tcore_C"))?
        }
        "1 life KV" => return jianghai_voltage_factor(row.num("UA/UR")).map(Answer::number),
        "1 life KR" => return jianghai_ripple_factor(heating(row)).map(Answer::number),
        "1 life full" => jianghai(rated(row, "L0_h", "T0"), celsius("TA"), heating(row), row.num("UA/UR"))?,
        "1 life cap" => capped(Hour::new(1e9)).hours,
        "1 life ripple term" => {
            rubycon(rated(row, "Lb_h", "Tmax"), celsius("Ta"), celsius("dTj0"), row.num("I/(F*I0)"))?
        }
        "1 ambient from case" => {
            let diameter = Millimetre::new(row.num("case_dia_mm"));
            return air_from_case(celsius("Tc_C"), celsius("dTj"), diameter).map(|t| Answer::number(t.get()));
        }
        _ => return None,
    };
    Some(Answer::number(hours.get()))
}

/// `8h@45C+8h@55C`: time and temperature of each part of the duty.
fn mixed(row: &Row) -> Option<Hour> {
    let rated = rated(row, "L0_h", "T0");
    let parts: Vec<_> = row.parts().next()?.split('+').map(numbers).collect();
    let duty: Vec<_> = parts.iter().map(|p| (Hour::new(p[0]), ten_kelvin(rated, Celsius::new(p[1])))).collect();
    mixed_duty(&duty)
}

fn heating(row: &Row) -> RippleHeating {
    RippleHeating {
        share_of_rated: row.num("IA/IR"),
        rated_rise: Celsius::new(row.num("dT0")),
        // The rows are of 105 °C parts; the base follows from the current.
        top: TopTemperature::C105,
    }
}

fn ripple(row: &Row) -> Option<Answer> {
    if row.group() == "1.11" {
        let series = match row.parts().next()? {
            "85 C series 23A" => TemperatureSeries::ComputerGrade85,
            "105 C type" => TemperatureSeries::Rated105,
            "85 C type (other)" => TemperatureSeries::Other85,
            _ => return None,
        };
        let factor = temperature_factor(series, Celsius::new(row.num("T")))?;
        return Some(Answer::number(factor.value).by(factor.source));
    }
    let at_both_ends = row.band_volts().map(|volts| ripple_at(row, Volt::new(volts)));
    let [Some(first), Some(second)] = at_both_ends else { return None };
    assert!((first - second).abs() < 1e-12, "{row}: the band is not one");
    Some(Answer::number(first))
}

fn ripple_at(row: &Row, rated: Volt) -> Option<f64> {
    match row.topic.as_str() {
        "1 equivalent ripple" => {
            // `0.30A@100Hz + 0.20A@1kHz`
            let components: Vec<_> = row.parts().next()?.split(" + ").map(numbers).collect();
            let components: Vec<_> = components.iter().map(|c| (Ampere::new(c[0]), Hertz::new(c[1]))).collect();
            equivalent_current(rated, &components).map(Ampere::get)
        }
        "1 ripple check" => {
            let actual = row.parts().find_map(|part| part.strip_prefix("actual "))?;
            let seen = numbers(actual);
            let component = (Ampere::new(seen[0]), Hertz::new(seen[1]));
            utilisation(Ampere::new(row.num("I_rated_100Hz_A")), rated, &[component])
        }
        _ => frequency_factor(rated, Hertz::new(row.num("f"))).map(|factor| factor.value),
    }
}

fn reform(row: &Row) -> Option<Answer> {
    let method = row.word("method").and_then(|method| match method.split(' ').next()? {
        "EIA-815" => Some(Method::Eia815),
        "CDE" => Some(Method::Cde),
        "5" => Some(Method::Surplus),
        _ => None,
    });
    Some(match row.topic.as_str() {
        "1 reform series R" => {
            let (least, most) = series_resistance(method?, volt(row, "V")).value;
            assert!((least.get() - most.get()).abs() < 1e-9, "{row}: a range where one value is stated");
            Answer::number(least.get())
        }
        "1 reform current limit" => Answer::number(current_limit(method?)?.value.milli()),
        "1 reform hold time" => match row.word("months") {
            Some(months) => Answer::number(hold_time(method?, months.parse().ok())?.value.get() / 60.0),
            None => Answer::number(hold_time(method?, None)?.value.get() / 3600.0),
        },
        "1 reform short-circuit current" => {
            Answer::number(short_circuit_current(volt(row, "V"), Ohm::new(row.num("R_ohm"))).milli())
        }
        "1 reform resistor power" => {
            Answer::number(short_circuit_heat(volt(row, "V"), Ohm::new(row.num("R_ohm"))).get())
        }
        "1 reform pass/fail" => Answer::passes(drop_passes(volt(row, "V_supply"), volt(row, "V_across_R"))?),
        _ => return None,
    })
}

fn string(row: &Row) -> Option<Answer> {
    Some(match row.topic.as_str() {
        "1 series voltage split" => {
            let parts = [micro(row, "C1"), micro(row, "C2")];
            Answer::number(switch_on_volts(volt(row, "Vbus"), &parts)?[0].get())
        }
        "1 series capacitance" => {
            // `2 x 100 uF in series`
            let said = row.numbers();
            let each = Farad::from_micro(said[1]);
            Answer::number(capacitance(&[each, each])?.micro())
        }
        _ if row.find("C_uF").is_some() => {
            let limit = balancing_resistance_of_two(micro(row, "C_uF"), volt(row, "Vm"), volt(row, "Vb"))?;
            Answer::number(limit.value.get()).by(limit.source)
        }
        _ => {
            let parts = row.word("N")?.parse().ok()?;
            let spread = Ampere::new(row.num("dI_uA") * 1e-6);
            let limit = balancing_resistance(parts, volt(row, "Vrate"), volt(row, "Vbus"), spread)?;
            Answer::number(limit.value.get()).by(limit.source)
        }
    })
}
