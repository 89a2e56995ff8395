//! Decides, part by part, what to do with the capacitors and resistors of a valve chassis,
//! finds what will do in their places, and buys it at the least landed cost.
//!
//! The program `capjob` is a thin shell around this library: `cli` reads the files and prints, everything else is
//! pure. The library does no I/O, never prints, never reads the clock, and holds no state. Whoever calls it reads the
//! files and hands in their bytes.
//!
//! # From text to plan
//!
//! [`input`] turns text into the plain data of [`model`]; [`workflow`] puts the rooms together; a
//! [`Plan`](model::plan::Plan) holds everything that was decided, with its reasons; [`documents`] and [`export`] write
//! it down.
//!
//! ```
//! use capjob::documents::plan_screen;
//! use capjob::export::text::{self, Setting};
//! use capjob::input::{Catalog, NamedBytes, ShopFiles, read_job, read_shop};
//! use capjob::model::finding::Decision;
//! use capjob::model::shop::Offer;
//! use capjob::workflow::{self, Choices, PlanError};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let file = |name, text: &'static str| NamedBytes { name, bytes: text.as_bytes() };
//!
//! // The job: a chassis sheet and a parts list. Blank is "not known", never zero.
//! let chassis = r#"
//!     [chassis]
//!     name = "Kitchen radio"
//!     year = 1955
//!     supply = "transformer"
//!     inspected = 2026-11-20
//!     [iron]
//!     mains_transformer = "ok"
//!     output_transformer = "ok"
//!     choke = "ok"
//! "#;
//! let parts = "ref,part,marked,place,reads,in_circuit\n\
//!              C4,paper,.05/400,coupling,,\n\
//!              R7,carbon-composition,220K 1/2W 10%,anode,287k,no\n";
//! let job = read_job("kitchen-radio", file("chassis.toml", chassis), file("parts.csv", parts))?.value;
//!
//! // The shop: its settings, its suppliers' terms, and a catalog, which is read as a stream.
//! let read = read_shop(&ShopFiles {
//!     settings: file("shop.toml", "currency = \"EUR\"\n"),
//!     suppliers: file("suppliers.csv", "supplier,currency,carriage\nInvented Parts,EUR,4.50\n"),
//!     shelf: None,
//!     equivalents: None,
//!     rectifiers: None,
//!     margin_keys: &workflow::margin_keys(),
//! })?;
//! let shop = read.value.shop;
//! let catalog = "number,supplier,part,value,rated_v,watts,flameproof,prices\n\
//!                F47,Invented Parts,film,47nF,630,,,1:0.40\n\
//!                F47L,Invented Parts,film,47nF,250,,,1:0.20\n\
//!                R220,Invented Parts,metal-film,220k,500,1,yes,1:0.10\n";
//! let mut lines = Catalog::open("catalog.csv", catalog.as_bytes(), &shop.suppliers, None)?;
//! let offers: Vec<Offer> = std::iter::from_fn(|| lines.next_offer()).collect();
//!
//! // The plan. The catalog is handed over offer by offer; what cannot serve is not kept.
//! let feed = |take: &mut dyn FnMut(&Offer)| -> Result<usize, PlanError> {
//!     offers.iter().for_each(take);
//!     Ok(lines.set_aside().len())
//! };
//! let jobs = [job];
//! let plan = workflow::plan(&jobs, &shop, &Choices::default(), feed)?;
//!
//! // Every part is decided upon, with the rule, the figure, the limit and its source.
//! let judged = &plan.inspections[0].judgements;
//! assert!(judged.iter().all(|j| j.decision == Decision::Replace));
//! assert_eq!(judged[1].findings[0].rule, "resistor-drift");
//! // The part that is too low in voltage is refused with the point where it fails, though it costs less.
//! assert_eq!(plan.fits[0].parts[0].number, "F47");
//! // 0.40 + 0.10 + carriage 4.50, and nothing is cheaper.
//! assert_eq!((plan.totals.landed.text(2).as_str(), plan.totals.proven), ("5.00", true));
//!
//! let page = text::write(&plan_screen::blocks(&jobs, &plan), Setting { width: Some(80), colour: false });
//! assert!(page.contains("order 5.00 EUR from 1 supplier, proven least"));
//! # Ok(())
//! # }
//! ```
//!
//! # One room alone
//!
//! The rooms are of use by themselves. A supply, computed ([`physics::supply`]):
//!
//! ```
//! use capjob::physics::supply::{Capacitor, Circuit, Node, Rectifier, Series, Supply, solve_cold, solve_loaded};
//! use capjob::units::{Ampere, Farad, Hertz, Ohm, Volt};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let node = |series, micro, load_ma| Node {
//!     series,
//!     capacitor: Some(Capacitor { farad: Farad::from_micro(micro), esr: Ohm::new(5.0) }),
//!     load: Ampere::new(load_ma / 1000.0),
//!     load_ohm: None,
//! };
//! let supply = Supply {
//!     circuit: Circuit::CentreTap,
//!     mains: Hertz::new(50.0),
//!     winding: Volt::new(280.0),
//!     source: Ohm::new(180.0),
//!     rectifier: Rectifier::Valve { perveance_a_per_v15: 0.002 },
//!     nodes: vec![node(Series::Direct, 16.0, 50.0), node(Series::Resistor(Ohm::new(2200.0)), 32.0, 10.0)],
//! };
//! let (loaded, cold) = (solve_loaded(&supply)?, solve_cold(&supply, 1.0)?);
//! // Without load both stand at the crest, 280 V times the root of two; loaded lower, and the second lower still.
//! assert!(cold.nodes.iter().all(|n| (n.highest.get() - 396.0).abs() < 0.1));
//! assert!(loaded.nodes[1].mean < loaded.nodes[0].mean && loaded.nodes[0].mean < Volt::new(396.0));
//! # Ok(())
//! # }
//! ```
//!
//! A marking, read ([`marking`]), and money that adds up ([`money`]):
//!
//! ```
//! use capjob::marking::decode;
//! use capjob::money::Money;
//!
//! let readings = decode("brown black orange gold", None);
//! assert_eq!(readings[0].value.map(|v| v.to_string()).as_deref(), Some("10 k"));
//! let carriage = Money::parse("4.95").expect("an amount");
//! assert_eq!((carriage + Money::parse("0.05").expect("an amount")).text(2), "5.00");
//! ```
//!
//! # What holds everywhere
//!
//! - What is not known is `None` and stays so to the end; it is never zero, never good.
//! - Physical values are newtypes of [`units`] in SI units; a bare `f64` names its unit (`esr_ohm`).
//! - Same input, same bytes out: no clock, no hash order, no locale.
//! - Errors are values. Reading collects every fault of a file ([`input::Faults`]) instead of the first.
//!
//! **Valve gear can kill.** What is computed here is advice to persons trained in high-voltage work; local codes and
//! licensed practice come first.

pub mod cli;
pub mod documents;
pub mod export;
pub mod input;
pub mod limits;
pub mod marking;
pub mod model;
pub mod money;
pub mod physics;
pub mod purchase;
pub mod quote;
pub mod rules;
pub mod sheet;
pub mod sources;
pub mod stress;
pub mod substitute;
pub mod units;
pub mod verify;
pub mod workflow;
