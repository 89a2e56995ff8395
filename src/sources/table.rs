//! The table of sources: name, key, how far read, document, clause or edition.

use super::{Source, Status};

/// Defines the identifiers and their records in one list, so that neither can lack the other.
macro_rules! sources {
    ($($id:ident = $status:ident, $key:literal, $document:literal, $part:literal;)+) => {
        /// One entry of the table of sources.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum SourceId {
            $(#[doc = concat!($document, ", ", $part, ".")] $id,)+
        }

        impl SourceId {
            /// Every source, in the order of the table.
            pub const ALL: &'static [Self] = &[$(Self::$id,)+];

            /// The record of this source.
            pub const fn source(self) -> &'static Source {
                match self {
                    $(Self::$id => &Source {
                        key: $key,
                        status: Status::$status,
                        document: $document,
                        part: $part,
                    },)+
                }
            }
        }
    };
}

sources! {
    // Aluminium electrolytics.
    RgaSheet = Read, "rga-sheet",
        "Data sheet of the general-purpose 105 °C radial series RGA", "loss factor, leakage and load life tables";
    B43505Sheet = Read, "b43505-sheet",
        "TDK/EPCOS data sheet B41505/B43505, 2008", "loss factor at 100 Hz";
    B43516Sheet = Read, "b43516-sheet",
        "TDK/EPCOS data sheet B43516", "loss factor at 120 Hz";
    B43641Sheet = Read, "b43641-sheet",
        "TDK/EPCOS data sheet B43641", "loss factor at 120 Hz, load life";
    TdkSingleEndedSheet = Read, "tdk-single-ended-sheet",
        "TDK data sheet of single-ended electrolytics", "useful life limits";
    TdkAxialSheet = Read, "tdk-axial-sheet",
        "TDK data sheet of axial 125 °C electrolytics", "endurance limits";
    ElectrolyticArticle = Read, "electrolytic-article",
        "Encyclopaedia article on aluminium electrolytic capacitors", "loss factor, leakage, surge, absorption";
    Iec60384Part4 = SecondHand, "iec-60384-4-1",
        "IEC 60384-4-1", "endurance test, degradation failure";
    Vishay28340 = Read, "vishay-28340",
        "Vishay BCcomponents data sheet 28340, series 056/057 PSM-SI", "tables 4 and 5";
    JanC62 = SecondHand, "jan-c-62",
        "JAN-C-62 and EIA leakage rule for electrolytics", "I(mA) = K·C(µF) + 0.3, at most 10 mA";
    LongLifeLeakage = Memory, "long-life-leakage",
        "TDK/EPCOS long-life grade data sheets", "leakage formula 0.3·(CV)^0.7 + 4 µA";
    RetronicsPage = Read, "retronics-page",
        "Workshop page on old electrolytics, retronics.no", "a leaky 20 µF part that read above 30 µF";
    OurElectrolyticRule = Ours, "our-electrolytic-rule",
        "Rule of this program for used electrolytics", "flag and replace limits built on the makers' limits";
    OurInterpolation = Ours, "our-interpolation",
        "Interpolation between published points", "linear, or linear in the logarithm of frequency";
    TenKelvinRule = Read, "ten-kelvin-rule",
        "The 10 K rule as several makers print it", "life doubles for each 10 K cooler";
    CdeLife = SecondHand, "cde-life",
        "Life by voltage and core temperature, attributed from memory to the CDE application guide",
        "the formula was read in a public script";
    JianghaiLife = SecondHand, "jianghai-life",
        "Jianghai life model", "L = L0·KT·KR·KV, as quoted at circuitlover.com";
    RubyconLife = Read, "rubycon-life",
        "Rubycon life formula sheet", "ripple heating, case ratio and temperature multipliers";
    CoselDuty = Read, "cosel-duty",
        "Cosel questions and answers a0057", "mixed duty and its printed example";
    LifeCeiling = Read, "life-ceiling",
        "Nichicon life calculator note and Beckhoff note", "15 years, 131,400 h, as the most to be claimed";
    RippleSum = Read, "ripple-sum",
        "Life of Aluminium Capacitors, a maker's note", "equation 4.6, ripple of several frequencies";
    GeRippleTemperature = Read, "ge-ripple-temperature",
        "GE Capacitor application data, series 23A/B/D", "ripple by ambient temperature, columns partly run together";
    // Reforming and series strings.
    Eia815 = SecondHand, "eia-815",
        "EIA-815", "preconditioning, from a public summary";
    CdeReforming = Read, "cde-reforming",
        "CDE note on re-ageing electrolytics, October 1993", "series resistor, 1 mA, 4 h";
    PanasonicReforming = SecondHand, "panasonic-reforming",
        "Panasonic advice on stored electrolytics", "1 kΩ, rated voltage, 30 min";
    SurplusReforming = Read, "surplus-reforming",
        "Note of the surplus trade on reforming", "20 to 50 kΩ, 5 min and 1 min more for each stored month";
    AmateurReforming = Read, "amateur-reforming",
        "Amateur radio list, message 21215", "90 kΩ at a regulated 450 V until the leakage limit is met";
    OurReforming = Ours, "our-reforming",
        "Rule of this program for reforming old electrolytics", "100 kΩ, 5 W, with stop rules";
    RectifierDuty = Ours, "rectifier-duty",
        "What the computed supply puts on its rectifier", "inverse voltage cold, currents with the loads of the sheet";
    OurBalancing = Ours, "our-balancing",
        "Worst case of a series string", "one part without leakage, the others with the whole spread";
    CdeBalancing = Memory, "cde-balancing",
        "CDE application guide", "balancing resistors of two parts in series";
    BalancingPractice = CommonPractice, "balancing-practice",
        "220 kΩ across each can of a series string", "as builders do";
    // Derating and failure rates.
    MilStd975 = SecondHand, "mil-std-975m",
        "MIL-STD-975M (NASA), 5 August 1994, cancelled 1998", "appendix A, from a reviewed copy";
    NavseaResistors = Read, "navsea-te000",
        "NAVSEA TE000-AB-GTP-010", "resistor chapter, beginning only";
    BenchProfile = Ours, "bench-profile",
        "Rule of this program for working conditions", "share of the rating that a part may see";
    BenchShares = CommonPractice, "bench-shares",
        "80 to 90 % of an electrolytic's voltage, half of a resistor's watts", "as the trade does it";
    HighestVoltage = CommonPractice, "highest-voltage",
        "Rate a capacitor for the highest voltage that can be there", "builders' forum and pages agree";
    CathodeBypassPractice = CommonPractice, "cathode-bypass-practice",
        "A cathode bypass is rated for twice the bias", "one builder's page";
    MainsTolerance = Memory, "en-50160",
        "EN 50160", "mains within 10 % of nominal";
    MilHdbk217 = SecondHand, "mil-hdbk-217f-n2",
        "MIL-HDBK-217F Notice 2, 28 February 1995", "sections 9.1 and 10.1, from two copies; for ranking only";
    // Mains and stored charge.
    Iec60384Part14 = SecondHand, "iec-60384-14",
        "IEC 60384-14", "impulse tests of class X and Y capacitors";
    MainsClassRanges = Memory, "iec-60384-14-ranges",
        "IEC 60384-14", "working voltage ranges of class X and Y capacitors";
    MainsClasses = SecondHand, "mains-classes",
        "Definition of class X and Y capacitors", "a draft quoted on the product safety list, message 09293";
    Iec62368 = SecondHand, "iec-62368-1",
        "IEC 62368-1", "tables 4 and 5 and 5.5.2.2, from a translated reproduction";
    Iec60950 = SecondHand, "iec-60950-1",
        "IEC 60950-1", "2.1.1.7, discharge of capacitors in the primary circuit";
    Iec60204 = SecondHand, "iec-60204-1",
        "IEC 60204-1", "60 V within 5 s, plugs within 1 s";
    Iec61010 = SecondHand, "iec-61010-1",
        "IEC 61010-1", "6.10.3, 60 V or 45 µC within 5 s";
    Iec60065 = Memory, "iec-60065",
        "IEC 60065", "mains plug safe after 2 s";
    DoeHazard = Read, "doe-hazard",
        "DOE electrical hazard thresholds, Berkeley Lab electrical safety page", "stored energy";
    Nfpa70e = SecondHand, "nfpa-70e-360",
        "NFPA 70E, article 360", "stored energy thresholds, quoted in public code";
    ShockThreshold = SecondHand, "nfpa-70e-50v",
        "OSHA and NFPA 70E shock threshold", "50 V ac, quoted on the Berkeley Lab page";
    OurChassisCapacitance = Ours, "our-chassis-capacitance",
        "Rule of this program for a chassis without an earth", "4.7 nF in all from the mains";
    CircuitLaw = Ours, "circuit-law",
        "Derived from circuit laws", "divider, charge balance, RC discharge";
    // Choosing substitutes.
    OriginalRating = CommonPractice, "original-rating",
        "A new part is never rated below the original", "restorers' pages agree";
    SmoothingLatitude = CommonPractice, "smoothing-latitude",
        "Smoothing and decoupling capacitors take -20 to +100 %", "restorers' pages; old values step to today's";
    FirstCapacitor = Ours, "first-capacitor",
        "Rule of this program for the first capacitor after a rectifier",
        "-10 % up to the data sheet's limit by nominal value, +40 % where none is known";
    CathodeRating = Ours, "cathode-rating",
        "Rule of this program for cathode bypass capacitors", "1.25 times the cathode voltage, larger values allowed";
    CouplingAtHt = CommonPractice, "coupling-at-ht",
        "A coupling capacitor is rated for the whole HT", "builders' pages: cold start puts the HT across it";
    OutputAnodeRating = Ours, "output-anode-rating",
        "Rule of this program for capacitors at an output anode", "three times the HT, for the transients";
    FilmLatitude = CommonPractice, "film-latitude",
        "Film for paper within 20 %", "restorers' pages; .05 becomes .047 and so on";
    SignalValues = CommonPractice, "signal-values",
        "Equalisation, tone and tuned circuits take the nearest value", "tolerance as the circuit asks";
    SubstituteKinds = CommonPractice, "substitute-kinds",
        "Film for paper, mica for mica", "no high-K ceramic in a signal path, temperature-coefficient parts like for like";
    SignalPolarity = CommonPractice, "signal-polarity",
        "Non-polarised electrolytics where there is no DC", "loudspeaker crossovers and signal paths";
    MotorValues = CommonPractice, "motor-values",
        "Motor capacitors are AC rated and within 10 %", "never an electrolytic or a DC film part";
    FlameproofPlaces = CommonPractice, "flameproof-places",
        "Screens, HT droppers and anode stoppers take flameproof or wirewound resistors", "as careful repairers do";
    FusibleSheet = Read, "fusible-sheet",
        "Data sheet of fusible resistors HTR FRS", "made for one application and not interchangeable";
    ResistorValues = Ours, "resistor-values",
        "Rule of this program for new resistors", "within 5 % of the marked value, or the nearest of series E24";
    HotPlace = Ours, "hot-place",
        "Rule of this program for hot places", "a 105 °C part over 60 °C";
    OldStock = SecondHand, "old-stock",
        "Makers' shelf life of electrolytics, 2 to 3 years", "as quoted on two pages";
    LeadStyles = CommonPractice, "lead-styles",
        "Axial parts for tag strips, radial with sleeved leads, snap-in for boards", "as the trade does it";
    OwnDemand = CommonPractice, "own-demand",
        "The technician's own entry in the parts list", "followed before the rules, safety excepted";
    PairLeakage = SecondHand, "pair-leakage",
        "Maker's leakage line 0.06·C·V + 10 µA", "read from a flattened copy of a data sheet";
    UsersEquivalents = CommonPractice, "users-equivalents",
        "The technician's own list of equivalents", "each holds in the direction written";
    LampCurrent = CommonPractice, "lamp-current",
        "A lamp in a series heater chain is part of it", "its current must match";
    FuseRatings = CommonPractice, "fuse-ratings",
        "Fuses by rating, speed, size and breaking capacity", "mains 1.5 to 2 times the primary current";
    FuseSteps = Memory, "fuse-steps",
        "Preferred ratings of miniature fuses", "ten steps to a decade, 32 mA to 8 A";
    MatchedPairs = CommonPractice, "matched-pairs",
        "Both halves of a pair are replaced together and matched", "restorers' pages: buy extra and select";
    CanNegatives = Ours, "can-negatives",
        "A common-negative can serves sections with one negative node", "follows from the circuit";
    // Resistors and leaky paper capacitors.
    CompositionSheet = Read, "composition-sheet",
        "Multicomp data sheet of carbon composition resistors", "working and overload voltage, power by temperature";
    CarbonFilmSheet = Read, "carbon-film-sheet",
        "Data sheet of carbon film resistors, RS series", "working voltage, power by temperature";
    MetalFilmSheet = Read, "metal-film-sheet",
        "Data sheet of metal film resistors, MF series", "working voltage, power by temperature";
    MilPrf39005 = Read, "mil-prf-39005",
        "MIL-PRF-39005", "3.5.8, voltage from power and resistance, never above the limit";
    MilR39007 = Read, "mil-r-39007",
        "MIL-R-39007 and MIL-R-39009", "scope, power wirewound from 25 to 275 °C";
    MilR39008 = Read, "mil-r-39008",
        "MIL-R-39008", "scope, composition life test fails beyond 15 %";
    OurDriftRule = Ours, "our-drift-rule",
        "Rule of this program for drifted resistors", "tolerance, then the larger of 15 % and twice the tolerance";
    PaperKept = CommonPractice, "paper-kept",
        "Restorers who keep paper for looks", "under 3 µA at working voltage";
    CouplingShift = CommonPractice, "coupling-shift",
        "Restorers on coupling capacitors", "a tenth of the bias condemns, a hundredth or 20 mV is the aim";
    AgePolicy = CommonPractice, "age-policy",
        "Restorers on age alone, from 20 years to never", "our choice: 30 years";
    // Checks on the bench.
    TouchCheck = Read, "touch-check",
        "Service manuals of home audio and television makers", "0.75 V across 1.5 kΩ beside 0.15 µF, both plug ways";
    TouchCheckStrict = Read, "touch-check-strict",
        "Harman Kardon service manual TU-940", "0.35 V in the same check";
    BeforeTouching = CommonPractice, "before-touching",
        "Workshop pages on discharging", "through about 100 kΩ, then measured under 10 V before touching";
    PaperLeakage = Read, "paper-leakage",
        "Silicon Chip, vintage radio column", "leakage resistance at least 20 times the resistance it shunts";
    // Judging parts as found.
    PaperPractice = Read, "paper-practice",
        "Restorers' pages on paper capacitors", "vintage-radio.com valve_capacitors, vintage-radio.net t=157011, w140.com";
    MouldedPaper = Read, "moulded-paper",
        "Restorers' pages on flat moulded parts, philcoradio.com", "marked in microfarads they are paper inside";
    StableKinds = Read, "stable-kinds",
        "Restorers' pages on mica and ceramic", "capacitor-supplier.com tips, philcoradio.com pid=13366";
    SilverMigration = Ours, "silver-migration",
        "Rule of this program for mica under DC", "leakage read from 25 V on, up to 1 µA kept";
    FilmPractice = Read, "film-practice",
        "Restorers' pages on early plastic-film parts", "polyester tubulars of the 1960s have a good name";
    NearVoltageRule = Ours, "near-voltage-rule",
        "Rule of this program for leakage readings", "they count near the rated or working voltage, keith-snook.info in mind";
    MotorPractice = Read, "motor-practice",
        "Pages on motor capacitors", "AC rated, within 10 % of the value; techsupportforum.com, shenmaoec.net";
    ValueRule = Ours, "value-rule",
        "Rule of this program for film, mica and ceramic values", "20 %, or 10 % where the value sets a frequency";
    MainsPaperPractice = Read, "mains-paper-practice",
        "Restorers' pages on line capacitors", "vintage-radio.net p=1133300, philcoradio.com pid=180576, dairiki.org";
    MainsResistors = CommonPractice, "mains-resistors",
        "Resistors that bridge mains insulation", "only those that their makers rate for it, else none";
    MainsSuspected = Ours, "mains-suspected",
        "Rule of this program for parts of unknown place", "what could be a mains part is treated as one until denied";
    CrackedSuppressor = Read, "cracked-suppressor",
        "Pages on resin-cased mains suppressors", "vintage-radio.net t=69128, epanorama.net 2023/04/14";
    SightPractice = Read, "sight-practice",
        "Pages on what failing capacitors look like", "radioworld.com, diyaudio.com 343809";
    AgeRule = Ours, "age-rule",
        "Rule of this program for the age of parts", "over 30 years the leakage limit of old parts, and an end to suppressors";
    ReformPractice = Read, "reform-practice",
        "Pages on reforming, qsl.net/g3oou and scribd.com 670397261", "only sound cans, current limited, out of circuit";
    CapacitanceEnd = Read, "capacitance-end",
        "Makers' load life limits, as in data sheet SU at dtsheet.com/model/1530872", "capacitance within 20 % of nominal";
    ShelfLife = SecondHand, "shelf-life",
        "Shelf life of electrolytics as three makers give it", "2, 2 and 3 years, quoted at newbedev.com";
    EarlierRepair = Read, "earlier-repair",
        "Pages on sets repaired before", "vintage-radio.net valve sets, philcoradio.com pid=207090";
    DeadSection = Read, "dead-section",
        "Radio Experimenter, March 1993 (scan)", "a dead section is disconnected, never bridged";
    DriftByPlace = Ours, "drift-by-place",
        "Rule of this program for drifted resistors by place", "20, 10 and 5 %, from pages that say 5, 10, 20 and 30 %";
    LiftOneEnd = CommonPractice, "lift-one-end",
        "A resistor that reads low in circuit has one end lifted", "parallel paths pull the reading down";
    RectifierSheet = Ours, "rectifier-sheet",
        "Written in the chassis sheet or in rectifiers.csv", "the shop's own entry of the maker's limits";
    PairPractice = Read, "pair-practice",
        "Page on resistors, hhscott.com/cc/resistors.htm", "pairs are matched, buy extra and select";
    ScreenResistor = Read, "screen-resistor",
        "Page on output valves, geofex.com/ampdbug/pwrtubes.htm", "a dead output valve takes its screen resistor along";
    LikeForLike = Read, "like-for-like",
        "Posts on isolating and fusible resistors", "qth.net r-390 2007-January/040395, diyaudio.com 287754";
    SeleniumPractice = Read, "selenium-practice",
        "Pages on selenium rectifiers", "w140.com Selenium_rectifiers, ab1dq.com 2020/04/19";
    LeadPractice = Read, "lead-practice",
        "Pages on mains leads", "merwinmusic.com 2019/01/26, ozvalveamps.org/mains.html";
    FusePractice = Read, "fuse-practice",
        "Page on fuses, valvewizard.co.uk/fuses.html", "mains fuse 1.5 to 2 times the primary current, time-delay";
    IronFirst = Read, "iron-first",
        "Repair shops' own terms", "radiorepairguy.net: what cannot be bought is checked before parts are ordered";
    DischargePractice = Read, "discharge-practice",
        "Pages on discharging", "mercurymagnetics.com, toptubeamplifier.com: under 10 V before touching";
    IsolationPractice = Read, "isolation-practice",
        "Pages on live chassis", "diyparadiso.com, industrialmonitordirect.com: a variable transformer does not isolate";
    HazardPractice = Read, "hazard-practice",
        "Pages on old materials", "stanwatkins.com/asbestos.htm, bvws.org.uk/405alive/tech/safety.html";
    TechniciansWish = Ours, "technicians-wish",
        "Written in the parts list", "the technician's own decision";
    OwnersChoice = Ours, "owners-choice",
        "Written in the chassis sheet", "what the owner wants and how far to renew";
    MissingIsNotGood = Ours, "missing-is-not-good",
        "Rule of this program for missing readings", "what was not measured is not taken as sound";
    WorkshopHabit = CommonPractice, "workshop-habit",
        "Habit of valve workshops", "nobody's document";
}
