//! Which of the numbers on a capacitor are values and which are voltages.

use super::capacitance::{Bare, MarkedFarad, code, farad};
use super::codes::{self, is_plain_code};
use super::error::Problem;
use super::items::{Amount, Item};
use super::voltage::VoltKind;
use crate::units::Volt;

/// Values that share voltages: `40-40/450`.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Group {
    /// The values with the sign before each (a blank before the first).
    list: Vec<(char, Amount)>,
    /// Working voltage of all of them.
    dc: Option<Volt>,
    /// Working voltage of each, where written so: `40/20 @ 450/25`.
    each: Vec<Volt>,
    /// Alternating voltage.
    pub(super) ac: Option<Volt>,
}

/// Signs between the sections of one can.
const BETWEEN: [char; 6] = ['+', '-', 'x', '/', '&', ','];

/// Reads the values and voltages of a mark into groups; other items were taken out before.
pub(super) fn groups(core: &[Item]) -> Result<Vec<Group>, Problem> {
    let mut groups: Vec<Group> = Vec::new();
    let mut rest = core;
    let mut parted = false;
    while !rest.is_empty() {
        let (mut group, more) = one_group(rest)?;
        group.decide()?;
        // A stray number must not become a section: without a sign both groups need a voltage.
        if let Some(before) = groups.last()
            && !(before.has_volts() && group.has_volts())
            && !parted
        {
            return Err(Problem::LeftOver { text: group.shown() });
        }
        parted = matches!(more, [Item::Sign(_), ..]);
        groups.push(group);
        rest = match more {
            [Item::Sign('+' | ',' | ';' | '&' | '/'), after @ ..] if !after.is_empty() => after,
            other => other,
        };
        if rest.len() == core.len() {
            return Err(Problem::NoNumber);
        }
    }
    Ok(groups)
}

/// The next values and the voltages written after them.
fn one_group(core: &[Item]) -> Result<(Group, &[Item]), Problem> {
    let mut group = Group::default();
    let mut rest = core;
    // A voltage may stand before the value: `450V 16uF`, or the code of `2A104J`.
    while let [Item::Volts(kind, volts), more @ ..] = rest {
        group.put(*kind, *volts)?;
        rest = more;
    }
    let mut sign = ' ';
    while let [Item::Amount(amount), more @ ..] = rest {
        group.list.push((sign, amount.clone()));
        rest = more;
        let [Item::Sign(next), Item::Amount(after), ..] = rest else { break };
        // `40/450 + 20/25`: what follows the voltage begins another group.
        let new_group = (sign == '/' && matches!(next, '+' | '&' | ',')) || *next == ',' && !after.is_bare();
        if !BETWEEN.contains(next) || new_group {
            break;
        }
        sign = *next;
        rest = rest.get(1..).unwrap_or_default();
    }
    if group.list.is_empty() {
        return Err(Problem::NoNumber);
    }
    loop {
        rest = match rest {
            [Item::Volts(kind, volts), more @ ..] => {
                group.put(*kind, *volts)?;
                more
            }
            [Item::Sign('@'), more @ ..]
                if matches!(more, [Item::Amount(_) | Item::Volts(VoltKind::Working, _), ..]) =>
            {
                group.put_each(more)?
            }
            [Item::Sign('/' | '-' | ',' | '@'), more @ ..] if matches!(more, [Item::Volts(..), ..]) => more,
            [Item::Amount(amount), more @ ..] if group.takes_number(amount) => {
                group.put(VoltKind::Working, Volt::new(amount.value))?;
                more
            }
            other => return Ok((group, other)),
        };
    }
}

impl Group {
    /// Notes a voltage; a surge voltage says nothing about the working one.
    fn put(&mut self, kind: VoltKind, volts: Volt) -> Result<(), Problem> {
        let place = match kind {
            VoltKind::Working => &mut self.dc,
            VoltKind::Alternating => &mut self.ac,
            VoltKind::Surge => return Ok(()),
        };
        if place.replace(volts).is_some() { Err(Problem::Twice { what: "voltage" }) } else { Ok(()) }
    }

    /// Notes the voltages after `@`: one for all, or as many as there are values.
    fn put_each<'a>(&mut self, mut rest: &'a [Item]) -> Result<&'a [Item], Problem> {
        let mut voltages = Vec::new();
        loop {
            rest = match rest {
                [Item::Amount(amount), more @ ..] if amount.is_bare() => {
                    voltages.push(Volt::new(amount.value));
                    more
                }
                [Item::Volts(VoltKind::Working, volts), more @ ..] => {
                    voltages.push(*volts);
                    more
                }
                _ => return Err(Problem::NoNumber),
            };
            match rest {
                [Item::Sign('/' | '-' | '+'), more @ ..] if !more.is_empty() => rest = more,
                _ => break,
            }
        }
        match voltages.as_slice() {
            [one] => self.put(VoltKind::Working, *one)?,
            several if several.len() == self.list.len() && !self.has_volts() => self.each = voltages,
            _ => return Err(Problem::Twice { what: "voltage" }),
        }
        Ok(rest)
    }

    /// The DC voltage of a section.
    pub(super) fn dc_of(&self, section: usize) -> Option<Volt> {
        self.dc.or_else(|| self.each.get(section).copied())
    }

    /// The values as text.
    fn shown(&self) -> String {
        let texts: Vec<&str> = self.list.iter().map(|(_, amount)| amount.raw.as_str()).collect();
        texts.join(" ")
    }

    /// Whether a voltage is known.
    fn has_volts(&self) -> bool {
        self.dc.is_some() || self.ac.is_some() || !self.each.is_empty()
    }

    /// Whether a number after a blank is the voltage: the value before it is complete (`104K 250`,
    /// `.1 400`). `4 700` is not, since it may be one number.
    fn takes_number(&self, amount: &Amount) -> bool {
        let complete = |a: &Amount| !a.is_bare() || a.letter.is_some() || a.value < 1.0 || is_plain_code(&a.raw);
        let plain = amount.is_bare() && amount.letter.is_none() && 3.0 <= amount.value;
        plain && !self.has_volts() && self.list.last().is_some_and(|(_, last)| complete(last))
    }

    /// Settles what the signs mean: a last number without unit may be the voltage.
    fn decide(&mut self) -> Result<(), Problem> {
        let [.., (_, before), (sign, last)] = self.list.as_slice() else { return Ok(()) };
        let plain = last.is_bare() && last.letter.is_none();
        let shown = |sign: char| {
            let texts: Vec<&str> = self.list.iter().map(|(_, a)| a.raw.as_str()).collect();
            texts.join(&sign.to_string())
        };
        if *sign == '/' && plain && !self.has_volts() {
            if self.list.iter().filter(|(sign, _)| *sign == '/').count() > 1 && last.value < 100.0 {
                return Err(Problem::ambiguous(format!("sections {}", shown('+')), format!("{}V", last.raw)));
            }
            let twins = before.raw == last.raw && before.is_bare();
            if twins && ["8", "16", "20", "32", "40"].contains(&last.raw.as_str()) {
                return Err(Problem::ambiguous(shown('+'), format!("{}uF {}V", before.raw, last.raw)));
            }
            self.pop_volts();
        } else if *sign == '-' && plain && !self.has_volts() {
            let value_done = !before.is_bare() || before.value < 1.0 || before.letter.is_some();
            if value_done && 25.0 <= last.value {
                self.pop_volts();
            } else if before.is_bare() && before.value * 5.0 <= last.value {
                return Err(Problem::ambiguous(shown('+'), format!("{}uF {}V", before.raw, last.raw)));
            }
        }
        self.check_range()?;
        self.check_times()
    }

    /// Takes the last number for the voltage.
    fn pop_volts(&mut self) {
        if let Some((_, last)) = self.list.pop() {
            self.dc = Some(Volt::new(last.value));
        }
    }

    /// `40-60` may be the range of one capacitor; with a DC voltage it is two sections.
    fn check_range(&self) -> Result<(), Problem> {
        match self.list.as_slice() {
            [(_, low), ('-', high)] if low.value < high.value && self.dc.is_none() && self.each.is_empty() => Err(
                Problem::ambiguous(format!("a range {}..{}", low.raw, high.raw), format!("{}+{}", low.raw, high.raw)),
            ),
            _ => Ok(()),
        }
    }

    /// `8x8` is two sections; `2x16` may be two of 16.
    fn check_times(&self) -> Result<(), Problem> {
        match self.list.as_slice() {
            [(_, first), ('x', second), ..]
                if first.is_bare() && ["2", "3", "4"].contains(&first.raw.as_str()) && second.raw != "2" =>
            {
                let count = usize::from(first.raw.as_bytes().first().map_or(0, |b| b - b'0'));
                let many = vec![second.raw.as_str(); count].join("+");
                Err(Problem::ambiguous(many, format!("{}+{}", first.raw, second.raw)))
            }
            _ => Ok(()),
        }
    }

    /// The values in farads. A unit written once is that of all.
    pub(super) fn values(&self, bare: Bare) -> Result<Vec<MarkedFarad>, Problem> {
        let volts = self.has_volts();
        let mut values = Vec::new();
        for (at, (_, amount)) in self.list.iter().enumerate() {
            let with_unit = |(_, a): &&(char, Amount)| !a.is_bare();
            let after = self.list.iter().skip(at).find(with_unit);
            let giver = after.or_else(|| self.list.iter().take(at).rfind(with_unit));
            let shared = giver.and_then(|(_, a)| a.size).filter(|_| !amount.thousands);
            let amount = Amount { size: amount.size.or(shared), ..amount.clone() };
            values.push(resolve(&amount, bare, volts)?);
        }
        Ok(values)
    }
}

/// The value of an amount: by its unit, as a code, or by the rules for bare numbers, which ask
/// whether a voltage follows.
pub(super) fn resolve(amount: &Amount, bare: Bare, volts: bool) -> Result<MarkedFarad, Problem> {
    if amount.thousands {
        return match bare {
            Bare::Picofarad => with_letter(farad(amount.value, -1e9)?, amount.letter),
            _ => Err(Problem::ambiguous(format!("{}n", amount.value), "a resistor")),
        };
    }
    if let Some(size) = amount.size {
        thousands_point(amount, size)?;
        return with_letter(farad(amount.value, size)?, amount.letter);
    }
    let raw = amount.raw.as_str();
    let three = raw.len() == 3 && raw.bytes().all(|b| b.is_ascii_digit());
    if let (true, Some(letter)) = (three, amount.letter) {
        // `220K` is 22 pF by the code and 220 of something by the eye.
        if raw.ends_with('0') {
            return Err(Problem::ambiguous(format!("{}pF", raw.strip_suffix('0').unwrap_or(raw)), format!("{raw}pF")));
        }
        return code(raw, Some(letter))
            .filter(|_| codes::starts_preferred(raw))
            .ok_or_else(|| Problem::UnknownUnit { unit: letter.to_string() });
    }
    if is_plain_code(raw) {
        if bare != Bare::Refuse && !volts {
            let unit = if bare == Bare::Picofarad { "pF" } else { "uF" };
            let coded = codes::three_digits(raw).map_or_else(String::new, |f| f.to_string());
            return Err(Problem::ambiguous(coded, format!("{raw}{unit}")));
        }
        return code(raw, None).ok_or(Problem::NoNumber);
    }
    let small = amount.value < 1.0;
    let size = match bare {
        _ if small || volts => -1e6,
        Bare::Refuse => return Err(Problem::Bare { value: amount.raw.clone() }),
        Bare::Microfarad => -1e6,
        Bare::Picofarad => -1e12,
    };
    thousands_point(amount, size)?;
    match amount.letter {
        // `5K` may be 5 within 10 % or, on continental parts, 5000 pF.
        Some('K') if !small => Err(Problem::ambiguous(format!("{raw}uF 10%"), format!("{raw}nF"))),
        // `2.2M` is µF whichever way, but M may be the unit and no tolerance.
        Some('M') if !small => with_letter(farad(amount.value, size)?, None),
        letter => with_letter(farad(amount.value, size)?, letter),
    }
}

/// Refuses `5.000pF`: continental makers part thousands by a point, and no part is marked to a thousandth
/// of a picofarad, so that it may be 5000 pF (common practice, no source) as well as 5 pF.
fn thousands_point(amount: &Amount, size: f64) -> Result<(), Problem> {
    let Some((whole, rest)) = amount.raw.split_once('.') else { return Ok(()) };
    let parted = size <= -1e12 && rest.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
    if parted { Err(Problem::ambiguous(format!("{whole}{rest}pF"), format!("{}pF", amount.value))) } else { Ok(()) }
}

/// A value with the tolerance of its letter.
fn with_letter(farad: crate::units::Farad, letter: Option<char>) -> Result<MarkedFarad, Problem> {
    let tolerance = match letter {
        None => None,
        Some(letter) => {
            let unknown = || Problem::UnknownUnit { unit: letter.to_string() };
            Some(codes::capacitor_letter(letter, farad).ok_or_else(unknown)?)
        }
    };
    Ok(MarkedFarad { farad, tolerance })
}
