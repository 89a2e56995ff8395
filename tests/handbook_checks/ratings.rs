//! Sections 2 and 3: shares of a rating, failure rates.

use capjob::limits::derating::{ELECTROLYTIC_WORKING, NAVSEA_POWER};
use capjob::physics::derating::{
    CapacitorStyle as Derated, ResistorStyle as DeratedResistor, bears, capacitor_voltage_share, capacitor_within,
    cathode_bypass_rating, navsea_voltage_by_power, no_load_peak, resistor_power, resistor_voltage, working_share,
};
use capjob::physics::failure_rate::{
    CapacitorAtWork, CapacitorStyle, Column, Environment, FailureRate, Quality, ResistorAtWork, ResistorStyle,
    StressColumn, capacitance_factor, capacitor, capacitor_temperature_factor, resistor, voltage_stress,
    voltage_stress_factor,
};
use capjob::units::{Celsius, Farad, Ohm, Volt, Watt};

use super::row::{Answer, Row, numbers};

/// The library's answer to a row of section 2 or 3.
pub(crate) fn answer(row: &Row, rows: &[Row]) -> Option<Answer> {
    match row.group() {
        "2.01" => military_resistor(row),
        "2.02" => military_capacitor(row),
        "2.03" => {
            // `0.5 W derated 50 %;R=1e6`
            let said = row.numbers();
            assert!((NAVSEA_POWER.value - said[1] / 100.0).abs() < 1e-12, "{row}");
            Some(Answer::number(navsea_voltage_by_power(Watt::new(said[0]), Ohm::new(row.num("R"))).value.get()))
        }
        "2.04" => bench(row),
        "3.01" | "3.06" => factor(row, rows),
        "3.02" => resistor_rate(&appendix_resistor(row)?, row),
        "3.05" => resistor_rate(&stated_resistor(row)?, row),
        "3.03" => capacitor_rate(&appendix_capacitor(row)?, row),
        "3.04" => capacitor_rate(&stated_capacitor(row)?, row),
        "3.07" => {
            let total: FailureRate = [numbers(&row.input)[0]].map(FailureRate::per_million_hours).into_iter().sum();
            Some(Answer::number(total.mean_time()?.get()))
        }
        _ => None,
    }
}

fn celsius(row: &Row) -> Celsius {
    Celsius::new(row.num("T"))
}

fn military_resistor(row: &Row) -> Option<Answer> {
    let style = match row.parts().next()? {
        "RCR" => DeratedResistor::Rcr,
        "RLR" => DeratedResistor::Rlr,
        "RNR" | "RNC" => DeratedResistor::Rnr,
        "RWR" => DeratedResistor::Rwr,
        _ => return None,
    };
    let power = resistor_power(style, Watt::new(row.num("P_rated")), celsius(row)).value;
    Some(match row.find("Vspec") {
        None => Answer::number(power.get()),
        Some(specified) => {
            Answer::number(resistor_voltage(power, Ohm::new(row.num("R")), Volt::new(specified)).value.get())
        }
    })
}

fn military_capacitor(row: &Row) -> Option<Answer> {
    let style = match row.input.split([' ', '/', ';']).next()? {
        "CSR" => Derated::TantalumSolid,
        "CLR79" => Derated::TantalumWet,
        "CYR" => Derated::Glass,
        "CKR" => Derated::Ceramic,
        "CRH" => Derated::MetallisedFilm,
        _ => return None,
    };
    if row.topic == "2 capacitor voltage factor" {
        return capacitor_voltage_share(style, celsius(row)).map(|share| Answer::number(share.value));
    }
    // `100 V;45 Vdc + 5 Vpk;T=70` or `35 V used at 20 V, 25 C (limit 0.50)`
    let said = row.numbers();
    let with_ac = row.input.contains("Vpk");
    let (ac_peak, at) = if with_ac { (said[2], said[3]) } else { (0.0, said[2]) };
    let within = capacitor_within(style, Volt::new(said[0]), Volt::new(said[1]), Volt::new(ac_peak), Celsius::new(at))?;
    Some(Answer::passes(within))
}

fn bench(row: &Row) -> Option<Answer> {
    let volt = |key| Volt::new(row.num(key));
    Some(match row.topic.as_str() {
        "2 no-load HT peak" => Answer::number(no_load_peak(volt("V_sec_rms"), row.num("mains factor")).get()),
        "2 rating >= no-load peak" => Answer::passes(bears(volt("V_rated"), volt("V_peak"))),
        "2 working ratio" => Answer::number(working_share(volt("V_work"), volt("V_rated"))?),
        "2 working ratio rule" => {
            assert!((ELECTROLYTIC_WORKING.value - row.num("limit")).abs() < 1e-12, "{row}");
            let share = working_share(volt("V_work"), volt("V_rated"))?;
            Answer::passes(share <= ELECTROLYTIC_WORKING.value).by(ELECTROLYTIC_WORKING.source)
        }
        "2 cathode bypass rating" => Answer::number(cathode_bypass_rating(volt("bias_V")).value.get()),
        "2 coupling capacitor rating" => {
            // The rating of 400 V stands in the row's answer only: `pass at 400`.
            let (rated, highest) = (Volt::new(400.0), volt("HT_V"));
            Answer::text(if bears(rated, highest) { "pass at 400" } else { "fail at 400" })
        }
        _ => return None,
    })
}

fn column(energy_ev: f64) -> Column {
    if energy_ev < 0.2 { Column::One } else { Column::Two }
}

fn factor(row: &Row, rows: &[Row]) -> Option<Answer> {
    if let Some(other) = row.same_as(rows) {
        return factor(other, rows);
    }
    Some(Answer::number(match row.topic.as_str() {
        "3 stress" => {
            let volt = |key| Volt::new(row.num(key));
            voltage_stress(volt("Vdc"), volt("Vac_rms"), volt("V_rated"))?
        }
        "3 pi_T" | "3 pi_T cap table" => capacitor_temperature_factor(column(row.num("Ea")), celsius(row)),
        "3 pi_C" => {
            let column = if row.num("exp") < 0.1 { Column::One } else { Column::Two };
            capacitance_factor(column, Farad::from_micro(row.num("C_uF")))
        }
        "3 pi_V" | "3 pi_V table" => {
            let column = match row.parts().next()? {
                "column 1" | "col 1" => StressColumn::One,
                "col 3" => StressColumn::Three,
                _ => return None,
            };
            voltage_stress_factor(column, row.num("S"))
        }
        "3 lambda_p example" => return example(row),
        _ => return None,
    }))
}

/// `CQ;C_uF=0.015;200Vdc+50Vrms;400 V;T=50;Q=3.0;E=GF 10`
fn example(row: &Row) -> Option<Answer> {
    let parts: Vec<&str> = row.parts().collect();
    let volts = numbers(parts[2]);
    let stress = voltage_stress(Volt::new(volts[0]), Volt::new(volts[1]), Volt::new(numbers(parts[3])[0]))?;
    let part = CapacitorAtWork {
        style: style(parts[0])?,
        capacitance: Farad::from_micro(row.num("C_uF")),
        stress,
        air: celsius(row),
        quality: quality(row)?,
    };
    capacitor(&part, Environment::GroundFixed).map(|rate| Answer::number(rate.in_million_hours()))
}

fn style(name: &str) -> Option<CapacitorStyle> {
    Some(match name {
        "CP" => CapacitorStyle::Paper,
        "CQ" => CapacitorStyle::Film,
        "CM" => CapacitorStyle::Mica,
        "CK" => CapacitorStyle::Ceramic,
        // The appendix takes a series resistance factor of 1, that of 0.6 to 0.8 Ω/V.
        "CSR" => CapacitorStyle::TantalumSolid { series_ohm_per_v: 0.7 },
        "CU" => CapacitorStyle::AluminiumOxide,
        "CE" => CapacitorStyle::AluminiumDry,
        _ => return None,
    })
}

fn quality(row: &Row) -> Option<Quality> {
    let all = [Quality::LevelM, Quality::NonEstablished, Quality::Commercial];
    all.into_iter().find(|quality| (quality.factor() - row.num("Q")).abs() < 1e-9)
}

fn environment(row: &Row) -> Option<Environment> {
    match row.input.split([';', '=']).next_back()? {
        "GB" => Some(Environment::GroundBenign),
        "GF" => Some(Environment::GroundFixed),
        _ => None,
    }
}

/// The appendix works at 30 °C where it is benign and at 40 °C where it is fixed.
fn appendix_celsius(row: &Row) -> Option<Celsius> {
    Some(Celsius::new(if environment(row)? == Environment::GroundBenign { 30.0 } else { 40.0 }))
}

fn appendix_capacitor(row: &Row) -> Option<CapacitorAtWork> {
    Some(CapacitorAtWork {
        style: style(row.parts().next()?)?,
        capacitance: Farad::from_micro(row.num("C_uF")),
        stress: 0.4,
        air: appendix_celsius(row)?,
        quality: Quality::LevelM,
    })
}

fn stated_capacitor(row: &Row) -> Option<CapacitorAtWork> {
    let capacitance =
        row.find("C_uF").map(Farad::from_micro).or_else(|| row.find("C_pF").map(|pf| Farad::new(pf * 1e-12)))?;
    let stress = match row.word("V") {
        Some(text) => {
            let volts = numbers(text);
            voltage_stress(Volt::new(volts[0]), Volt::ZERO, Volt::new(volts[1]))?
        }
        None => row.num("S"),
    };
    Some(CapacitorAtWork {
        style: style(row.topic.split(' ').next_back()?)?,
        capacitance,
        stress,
        air: celsius(row),
        quality: quality(row)?,
    })
}

fn capacitor_rate(part: &CapacitorAtWork, row: &Row) -> Option<Answer> {
    capacitor(part, environment(row)?).map(|rate| Answer::number(rate.in_million_hours()))
}

fn resistor_style(name: &str) -> Option<ResistorStyle> {
    match name {
        "RCR" | "RC" => Some(ResistorStyle::Composition),
        "RLR" | "RL" => Some(ResistorStyle::Film),
        "RBR" => Some(ResistorStyle::AccurateWirewound),
        "RWR" | "RW" => Some(ResistorStyle::PowerWirewound),
        _ => None,
    }
}

fn appendix_resistor(row: &Row) -> Option<ResistorAtWork> {
    Some(ResistorAtWork {
        style: resistor_style(row.parts().next()?)?,
        dissipated: Watt::new(row.num("P_for_piP")),
        stress: 0.5,
        case: appendix_celsius(row)?,
        quality: Quality::LevelM,
    })
}

/// `P=0.25 in 0.5 W;Tcase=50;Q=10;GB`
fn stated_resistor(row: &Row) -> Option<ResistorAtWork> {
    let watts = numbers(row.word("P")?);
    Some(ResistorAtWork {
        style: resistor_style(row.topic.split(' ').next_back()?)?,
        dissipated: Watt::new(watts[0]),
        stress: watts[0] / watts[1],
        case: Celsius::new(row.num("Tcase")),
        quality: quality(row)?,
    })
}

fn resistor_rate(part: &ResistorAtWork, row: &Row) -> Option<Answer> {
    resistor(part, environment(row)?).map(|rate| Answer::number(rate.in_million_hours()))
}
