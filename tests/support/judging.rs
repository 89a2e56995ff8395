//! Jobs from small tables: one line a part, its set's conditions and what it sees on the same line.
//!
//! Columns are plain numbers in the unit of their names, so that these tests do not lean on the
//! reading of markings. Lines with the same `job` are parts of one set; its conditions are taken
//! from the first of them.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use capjob::model::chassis::{
    Chassis, Circuit, Conditions, Earth, Feed, HtNode, HtSupply, IronChecks, Job, Mains, OwnerWish, Polarity, Policy,
    RectifierKind, SupplyKind,
};
use capjob::model::finding::{Basis, Judgement, Known, RippleStress, Stress};
use capjob::model::kind::{MainsClass, PartKind, Place, Sight, Wish};
use capjob::model::part::{Accept, AsFound, EsrReading, LeakageReading, NodeName, Part, Rating, Reading, Space, Value};
use capjob::model::shop::Margins;
use capjob::model::supply::{
    CapacitorFigures, Conducting, NodeFigures, RectifierFigures, SupplyFigures, SupplyOutcome, SupplyUnproved,
    SupplyWarning,
};
use capjob::rules::judge;
use capjob::units::{Ampere, Celsius, Farad, Hertz, Ohm, Second, Tolerance, Volt, Watt};

/// One line of a table by column.
#[derive(Debug, Clone)]
pub(crate) struct Row(BTreeMap<String, String>);

impl Row {
    /// The text of a column; `None` when it is empty or not there.
    pub(crate) fn text(&self, column: &str) -> Option<&str> {
        self.0.get(column).map(String::as_str).filter(|t| !t.is_empty())
    }

    fn number(&self, column: &str) -> Option<f64> {
        let text = self.text(column)?;
        Some(text.parse().unwrap_or_else(|_| panic!("column {column}: `{text}` is no number")))
    }

    fn year(&self, column: &str) -> Option<i32> {
        let text = self.text(column)?;
        Some(text.parse().unwrap_or_else(|_| panic!("column {column}: `{text}` is no year")))
    }

    fn word<T>(&self, column: &str, from_word: impl Fn(&str) -> Option<T>) -> Option<T> {
        let text = self.text(column)?;
        Some(from_word(text).unwrap_or_else(|| panic!("column {column}: `{text}` is no word of the list")))
    }

    fn node(&self, column: &str) -> Option<NodeName> {
        self.text(column).map(NodeName::new)
    }
}

/// The lines of a table below `tests/data`.
pub(crate) fn table(path: &Path) -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_path(path)
        .unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let rows = reader.deserialize::<BTreeMap<String, String>>();
    rows.map(|row| Row(row.unwrap_or_else(|e| panic!("{}: {e}", path.display())))).collect()
}

/// A file below `tests/data`.
pub(crate) fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name)
}

/// Lines grouped by their `job`; lines without one are jobs of one part.
pub(crate) fn jobs(rows: &[Row]) -> Vec<Vec<&Row>> {
    let mut groups: Vec<(Option<&str>, Vec<&Row>)> = Vec::new();
    for row in rows {
        match groups.iter_mut().find(|(name, _)| name.is_some() && *name == row.text("job")) {
            Some((_, group)) => group.push(row),
            None => groups.push((row.text("job"), vec![row])),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

/// Judges the parts of one job.
pub(crate) fn judged(rows: &[&Row]) -> Vec<Judgement> {
    let (job, stresses, margins) = set(rows);
    let outcome = rows.first().and_then(|first| outcome(first, &job));
    judge(&job, &stresses, &margins, outcome.as_slice())
}

/// What the computation of the supply hands over: `not_computed`, or what it warns of (`warns`:
/// `id=figure/limit/unit`, with `@NODE` where it is about one) and the most that its rectifier may be
/// given (`max_first_uf`). Its first node is `HT1`, with every capacitor on it.
fn outcome(row: &Row, job: &Job) -> Option<SupplyOutcome> {
    if let Some(says) = row.text("not_computed") {
        return Some(Err(SupplyUnproved { name: "HT".to_owned(), says: says.to_owned(), fault: false }));
    }
    let warns: Vec<SupplyWarning> = row.text("warns").into_iter().flat_map(|t| t.split(';')).map(warning).collect();
    let max_first = row.number("max_first_uf").map(Farad::from_micro);
    if warns.is_empty() && max_first.is_none() {
        return None;
    }
    let first = NodeName::new("HT1");
    let held = job.parts.iter().filter(|p| p.kind.is_capacitor() && p.touches(&first));
    let (volt, ampere) = (Volt::new(300.0), Ampere::from_milli(50.0));
    let ripple = RippleStress { total: ampere, at_f: ampere, at_2f: ampere, rest: ampere, f: Hertz::new(50.0) };
    let capacitor =
        |p: &Part| CapacitorFigures { reference: p.reference.clone(), ripple, esr_assumed: true, esr: Ohm::new(1.0) };
    let node = NodeFigures {
        name: first.clone(),
        volts: volt,
        crest: volt,
        ripple_pp: volt,
        ripple_rms: volt,
        series: None,
        series_watts: None,
        no_load: volt,
        highest: volt,
        measured: None,
        capacitors: held.map(capacitor).collect(),
    };
    Some(Ok(SupplyFigures {
        name: "HT".to_owned(),
        circuit: Circuit::CentreTap,
        polarity: Polarity::Positive,
        hz: Hertz::new(50.0),
        conducting: Conducting::Pulsed,
        rectifier: RectifierFigures {
            peak: ampere,
            average: ampere,
            rms: ampere,
            watts: Watt::new(1.0),
            winding_rms: ampere,
            surge: ampere,
            inverse: volt,
            max_first,
            warnings: warns,
        },
        nodes: vec![node],
        reservoir_wave: Vec::new(),
        assumed: Vec::new(),
    }))
}

/// One warning from `id=figure/limit/unit@NODE`.
fn warning(text: &str) -> SupplyWarning {
    let (text, node) = text.split_once('@').map_or((text, None), |(t, n)| (t, Some(NodeName::new(n))));
    let (id, figures) = text.split_once('=').expect("a warning is id=figure/limit/unit");
    let mut parts = figures.split('/');
    let mut next = || parts.next().expect("a warning is id=figure/limit/unit");
    let (value, limit, unit) = (next(), next(), next());
    SupplyWarning {
        id: id.to_owned().leak(),
        says: format!("{id} {value} {unit} (limit {limit} {unit})"),
        near: false,
        node,
        value: value.parse().expect("a figure"),
        limit: limit.parse().expect("a figure"),
        unit: unit.to_owned().leak(),
    }
}

/// One job, what its parts see, and the shop's thresholds.
pub(crate) fn set(rows: &[&Row]) -> (Job, Vec<Stress>, Margins) {
    let first = rows.first().expect("a job has a line");
    let parts = rows.iter().enumerate().map(|(at, row)| part(row, at)).collect();
    let job = Job { name: "job".to_owned(), chassis: chassis(first), parts };
    let mut margins = Margins::default();
    for setting in first.text("shop").into_iter().flat_map(|t| t.split(';')) {
        let (key, figure) = setting.split_once('=').expect("a setting is key=figure");
        margins.0.insert(key.trim().to_owned(), figure.trim().parse().expect("a figure"));
    }
    (job, rows.iter().map(|row| stress(row)).collect(), margins)
}

fn chassis(row: &Row) -> Chassis {
    let supplies = row.text("rectifier").map(|_| supply(row)).into_iter().collect();
    Chassis {
        name: "Test set".to_owned(),
        year: row.year("year"),
        supply: row.word("supply", SupplyKind::from_word).unwrap_or(SupplyKind::Transformer),
        wish: row.word("owner", OwnerWish::from_word).unwrap_or(OwnerWish::Working),
        policy: row.word("policy", Policy::from_word).unwrap_or(Policy::Suspect),
        inspected: row.text("inspected").map(|t| t.parse().expect("a date")),
        promised_days: None,
        ceiling: None,
        value: None,
        iron: IronChecks::default(),
        conditions: Conditions::default(),
        mains: Mains {
            tapping: row.number("mains_v").map(Volt::new),
            hz: row.number("hz").map(Hertz::new),
            earth: row.word("earth", Earth::from_word),
            ..Mains::default()
        },
        supplies,
        assumed: Vec::new(),
    }
}

/// A supply with one node, `HT1` or, negative, `BIAS1`.
fn supply(row: &Row) -> HtSupply {
    let polarity = row.word("polarity", Polarity::from_word).unwrap_or(Polarity::Positive);
    let name = if polarity == Polarity::Positive { "HT1" } else { "BIAS1" };
    HtSupply {
        name: "HT".to_owned(),
        circuit: Circuit::CentreTap,
        winding: None,
        source: None,
        rectifier: row.word("rectifier", RectifierKind::from_word).unwrap_or(RectifierKind::Unknown),
        designation: row.text("rectifier_type").map(str::to_owned),
        perveance: None,
        diode: None,
        middle: None,
        series: None,
        return_to: NodeName::chassis(),
        max_first: None,
        max_peak: None,
        warm_up_max: None,
        polarity,
        nodes: vec![HtNode {
            name: NodeName::new(name),
            feed: Feed::Direct,
            load: None,
            load_ohm: None,
            measured: None,
            sheet: None,
        }],
    }
}

fn part(row: &Row, at: usize) -> Part {
    let value = row
        .number("uf")
        .map(|uf| Value::Farad(Farad::from_micro(uf)))
        .or_else(|| row.number("ohm").map(|ohm| Value::Ohm(Ohm::new(ohm))))
        .or_else(|| row.text("type").map(|t| Value::Designation(t.to_owned())));
    Part {
        reference: row.text("ref").map_or_else(|| format!("P{}", at + 1), str::to_owned),
        kind: row.word("part", PartKind::from_word).expect("a kind of part"),
        marked: row.text("marked").or(row.text("type")).unwrap_or_default().to_owned(),
        value,
        rating: Rating {
            volts: row.number("rated_v").map(Volt::new),
            vac: row.number("rated_vac").map(Volt::new),
            watts: row.number("watts").map(Watt::new),
            tolerance: row.number("tolerance").map(Tolerance::symmetric),
            class: row.word("class", MainsClass::from_word),
        },
        place: row.word("place", Place::from_word),
        plus: row.node("plus"),
        minus: row.node("minus"),
        can: row.text("can").map(str::to_owned),
        pair: row.text("pair").map(str::to_owned),
        fitted: row.year("fitted"),
        found: found(row),
        space: Space::default(),
        accept: Accept {
            farad: row.number("accept_uf").map(|uf| (Farad::from_micro(uf), Farad::from_micro(uf))),
            designation: row.text("accept_type").map(str::to_owned),
            volts: row.number("accept_v").map(Volt::new),
            ..Accept::default()
        },
        wish: row.word("wish", Wish::from_word),
        note: row.text("note").map(str::to_owned),
        line: at + 2,
    }
}

fn found(row: &Row) -> AsFound {
    let reads = row.text("reads").map(|text| match text {
        "open" => Reading::Open,
        "short" => Reading::Short,
        other => panic!("column reads: `{other}`"),
    });
    let reads = reads
        .or_else(|| row.number("reads_uf").map(|uf| Reading::Farad(Farad::from_micro(uf))))
        .or_else(|| row.number("reads_ohm").map(|ohm| Reading::Ohm(Ohm::new(ohm))));
    AsFound {
        reads,
        in_circuit: row.text("in_circuit").map(|t| t == "yes"),
        esr: row
            .number("esr_ohm")
            .map(|ohm| EsrReading { ohm: Ohm::new(ohm), at: row.number("esr_hz").map(Hertz::new) }),
        leakage: row.number("leakage_ma").map(|ma| LeakageReading {
            current: Ampere::from_milli(ma),
            at: row.number("leakage_v").map(Volt::new),
            after: row.number("leakage_min").map(|min| Second::new(min * 60.0)),
        }),
        grid: row.number("grid_v").map(Volt::new),
        bias: row.number("bias_v").map(Volt::new),
        ripple: row.number("ripple_ma").map(Ampere::from_milli),
        sight: row
            .text("sight")
            .into_iter()
            .flat_map(|t| t.split('+'))
            .map(|t| Sight::from_word(t).unwrap_or_else(|| panic!("sight `{t}`")))
            .collect(),
        ..AsFound::default()
    }
}

/// What the part sees, as the computation of the supply would hand it over.
fn stress(row: &Row) -> Stress {
    let basis = row.word("basis", Basis::from_word).unwrap_or(Basis::Computed);
    Stress {
        working: row.number("working_v").map(|v| Known::new(Volt::new(v), basis)),
        highest: row.number("highest_v").map(|v| Known::new(Volt::new(v), basis)),
        highest_proved: row.number("highest_v").is_some() && matches!(basis, Basis::Measured | Basis::Computed),
        ripple: None,
        heat: row.number("heat_c").map(|c| Known::new(Celsius::new(c), Basis::Measured)),
        assumed: Vec::new(),
    }
}
