//! What ordering together saves and what giving up a wish would cost, on orders small enough to be added
//! up by hand. Parts, prices and suppliers are invented; every figure is worked out beside its test.

#![expect(clippy::expect_used, clippy::panic, reason = "a case that cannot be read has failed")]

use capjob::documents::block::Block;
use capjob::documents::together;
use capjob::export::text;
use capjob::input::{Catalog, NamedBytes, ShopFiles, read_job, read_shop};
use capjob::model::chassis::Job;
use capjob::model::plan::{Plan, Together, WishCost};
use capjob::model::shop::{Offer, Shop};
use capjob::money::Money;
use capjob::workflow::{self, Choices, PlanError};

fn bytes<'a>(name: &'a str, text: &'a str) -> NamedBytes<'a> {
    NamedBytes { name, bytes: text.as_bytes() }
}

const CHASSIS: &str = "[chassis]\nname = \"Case\"\nyear = 1958\nsupply = \"transformer\"\ninspected = 2026-11-20\n\
    [iron]\nmains_transformer = \"ok\"\noutput_transformer = \"ok\"\nchoke = \"ok\"\n\
    [mains]\ntapping_v = 240\nmeasured_v = 240\nhz = 50\n";

fn job(name: &str, parts: &str) -> Job {
    let read = read_job(name, bytes("chassis.toml", CHASSIS), bytes("parts.csv", parts));
    read.unwrap_or_else(|faults| panic!("{faults}")).value
}

/// A shop with these suppliers (without their heading), settings and shelf.
fn shop(suppliers: &str, settings: &str, shelf: Option<&str>) -> Shop {
    let suppliers =
        format!("supplier,currency,carriage,free_over,minimum_order,small_order_fee,lead_days\n{suppliers}");
    let settings = format!("currency = \"EUR\"\n{settings}");
    let files = ShopFiles {
        settings: bytes("shop.toml", &settings),
        suppliers: bytes("suppliers.csv", &suppliers),
        shelf: shelf.map(|text| bytes("shelf.csv", text)),
        equivalents: None,
        rectifiers: None,
        margin_keys: &[],
    };
    read_shop(&files).unwrap_or_else(|faults| panic!("{faults}")).value.shop
}

fn plan(jobs: &[Job], shop: &Shop, catalog: &str, choices: &Choices) -> Plan {
    let mut read = Catalog::open("all.csv", catalog.as_bytes(), &shop.suppliers, None).expect("a catalog");
    let mut offers: Vec<Offer> = Vec::new();
    while let Some(offer) = read.next_offer() {
        offers.push(offer);
    }
    assert!(read.set_aside().is_empty(), "{}", read.set_aside());
    let feed = |take: &mut dyn FnMut(&Offer)| -> Result<usize, PlanError> {
        offers.iter().for_each(take);
        Ok(0)
    };
    workflow::plan(jobs, shop, choices, feed).expect("a plan")
}

/// A job of so many lamps of a type, to be replaced because the technician says so.
fn lamps(name: &str, count: u32, lamp: &str) -> Job {
    let lines = (1..=count).map(|n| format!("LP{n},lamp,{lamp},replace\n"));
    job(name, &format!("ref,part,marked,wish\n{}", lines.collect::<String>()))
}

const SMALL: &str = "6.3V 0.3A MES";
const LARGE: &str = "6.3V 0.5A MES";

fn held_together(jobs: &[Job], shop: &Shop, catalog: &str) -> Together {
    plan(jobs, shop, catalog, &Choices::default()).together.expect("several jobs")
}

/// What each job costs alone, and what ordering together saves.
fn figures(together: &Together) -> (Vec<String>, String) {
    (together.jobs.iter().map(|j| j.landed.text(2)).collect(), together.saves.text(2))
}

fn strings(texts: &[&str]) -> Vec<String> {
    texts.iter().map(|t| (*t).to_owned()).collect()
}

// Five cost 2.50 + 3.00, six 3.00 + 3.00; eleven reach the price of 0.40: 4.40 + 3.00. Saved: 11.50 - 7.40.
#[test]
fn one_carriage_and_the_lower_price() {
    let catalog = "number,supplier,part,designation,prices\nL-1,Some,lamp,6.3V 0.3A MES,1:0.50;10:0.40\n";
    let shop = shop("Some,EUR,3.00,,,,3\n", "", None);
    let together = held_together(&[lamps("one", 5, SMALL), lamps("two", 6, SMALL)], &shop, catalog);
    assert_eq!(figures(&together), (strings(&["5.50", "6.00"]), "4.10".to_owned()));
    assert!(together.proven());
}

#[test]
fn one_job_is_not_compared_with_itself() {
    let catalog = "number,supplier,part,designation,prices\nL-1,Some,lamp,6.3V 0.3A MES,1:0.50\n";
    let shop = shop("Some,EUR,3.00,,,,3\n", "", None);
    assert!(plan(&[lamps("one", 5, SMALL)], &shop, catalog, &Choices::default()).together.is_none());
}

/// So many lamps of one supplier, each number a little dearer than the one before and one piece of each.
fn single_pieces(count: u32) -> String {
    let lines = (0..count).map(|n| format!("L-{n:03},Some,lamp,6.3V 0.3A MES,{}.{:02},1\n", n / 100 + 1, n % 100));
    format!("number,supplier,part,designation,prices,stock\n{}", lines.collect::<String>())
}

// A hundred single pieces at 1.00 to 1.99 come to 149.50, so the least order of 30.00 can be reached. Of a larger crowd those
// that a cheaper one beats are not kept, and what is kept does not reach it: that is said, not that nothing could.
#[test]
fn what_was_left_aside_could_fill_a_least_order() {
    let shop = shop("Some,EUR,3.00,,30.00,,3\n", "", None);
    let few = plan(&[lamps("one", 1, SMALL)], &shop, &single_pieces(100), &Choices::default());
    assert!(few.unmet.is_empty(), "{:?}", few.unmet);
    let crowd = plan(&[lamps("one", 1, SMALL)], &shop, &single_pieces(300), &Choices::default());
    let said = crowd.assumed.iter().any(|a| a.contains("could fill the least order"));
    assert_eq!(crowd.unmet.len(), 1);
    assert!(said, "{:?}", crowd.assumed);
}

// The two of the shelf serve the first job; the second buys two for 1.00 + 3.00, as both together do.
#[test]
fn the_shelf_serves_once() {
    let catalog = "number,supplier,part,designation,prices\nL-1,Some,lamp,6.3V 0.3A MES,1:0.50\n";
    let shelf = "number,part,designation,quantity\nS-1,lamp,6.3V 0.3A MES,2\n";
    let shop = shop("Some,EUR,3.00,,,,3\n", "", Some(shelf));
    let together = held_together(&[lamps("one", 2, SMALL), lamps("two", 2, SMALL)], &shop, catalog);
    assert_eq!(figures(&together), (strings(&["0.00", "4.00"]), "0.00".to_owned()));
    assert!(together.proven());
}

// The first job buys a pack of ten for its six, 0.60 + 3.00; three of the four left over serve the second.
#[test]
fn what_is_left_over_serves_the_next_job() {
    let catalog = "number,supplier,part,designation,pack,prices\nL-1,Some,lamp,6.3V 0.3A MES,10,1:0.06\n";
    let shop = shop("Some,EUR,3.00,,,,3\n", "", None);
    let together = held_together(&[lamps("one", 6, SMALL), lamps("two", 3, SMALL)], &shop, catalog);
    assert_eq!(figures(&together), (strings(&["3.60", "0.00"]), "0.00".to_owned()));
}

// Three at 0.40 in stock, others 0.55: the first job takes the three, 1.20 + 3.00, the second pays
// 1.10 + 3.00; together 1.20 + 1.10 + 3.00 = 5.30, saved: one carriage.
#[test]
fn the_stock_serves_once() {
    let catalog = "number,supplier,part,designation,stock,prices\nL-1,Some,lamp,6.3V 0.3A MES,3,1:0.40\n\
                   L-2,Some,lamp,6.3V 0.3A MES,,1:0.55\n";
    let shop = shop("Some,EUR,3.00,,,,3\n", "", None);
    let together = held_together(&[lamps("one", 3, SMALL), lamps("two", 2, SMALL)], &shop, catalog);
    assert_eq!(figures(&together), (strings(&["4.20", "4.10"]), "3.00".to_owned()));
}

// No order under 4.00 is taken. Two of either lamp are in stock at 1.00: alone neither job can order, and
// neither may fill its order up with the other's lamps; together they can, for 4.00 + 3.00.
#[test]
fn a_least_order_that_only_both_reach() {
    let catalog = "number,supplier,part,designation,stock,prices\nL-1,Some,lamp,6.3V 0.3A MES,2,1:1.00\n\
                   L-2,Some,lamp,6.3V 0.5A MES,2,1:1.00\n";
    let shop = shop("Some,EUR,3.00,,4.00,,3\n", "", None);
    let together = held_together(&[lamps("one", 2, SMALL), lamps("two", 2, LARGE)], &shop, catalog);
    assert_eq!(together.lacks().collect::<Vec<_>>(), ["one/LP1", "one/LP2", "two/LP1", "two/LP2"]);
    assert!(!together.proven() && together.comparable());
}

// At most one supplier: each job alone has its own cheap one, 1.00 + 1.00 each; together both lamps have to
// come from the dear one, 4.00 + 1.00. Ordering together then costs 1.00 more, and that is said.
#[test]
fn ordering_together_can_cost_more() {
    let catalog = "number,supplier,part,designation,prices\nA-1,A,lamp,6.3V 0.3A MES,1:1.00\n\
                   B-1,B,lamp,6.3V 0.5A MES,1:1.00\nC-1,C,lamp,6.3V 0.3A MES,1:2.00\nC-2,C,lamp,6.3V 0.5A MES,1:2.00\n";
    let shop = shop("A,EUR,1.00,,,,3\nB,EUR,1.00,,,,3\nC,EUR,1.00,,,,3\n", "", None);
    let choices = Choices { max_suppliers: Some(1), ..Choices::default() };
    let plan = plan(&[lamps("one", 1, SMALL), lamps("two", 1, LARGE)], &shop, catalog, &choices);
    let together = plan.together.expect("several jobs");
    assert_eq!(figures(&together), (strings(&["2.00", "2.00"]), "-1.00".to_owned()));
}

/// The story of C1 on this line of a parts list, from these offers.
struct Asked {
    columns: &'static str,
    line: &'static str,
    settings: &'static str,
    choices: Choices,
}

impl Asked {
    fn new(columns: &'static str, line: &'static str) -> Self {
        let choices = Choices { why: Some("C1".to_owned()), ..Choices::default() };
        Self { columns, line, settings: "", choices }
    }

    fn plan(&self, catalog: &str) -> Plan {
        let job = job("case", &format!("ref,part,marked,place,plus,minus,sight,{}\n{}\n", self.columns, self.line));
        let shop = shop("Some,EUR,0.00,,,,3\nOther,EUR,0.00,,,,3\n", self.settings, None);
        plan(&[job], &shop, &format!("{HEADS}{catalog}"), &self.choices)
    }
}

const HEADS: &str =
    "number,supplier,part,value,rated_v,rated_vac,class,temp_c,life_h,style,diameter_mm,length_mm,lead_days,prices\n";
const TEN: &str = "E-10-450,Some,electrolytic,10uF,450,,,105,8000,axial,12,20,,1:0.55\n\
                   E-10-500,Some,electrolytic,10uF,500,,,105,8000,axial,12,20,,1:0.70\n";

/// The cost of the change whose words begin so.
fn cost<'p>(plan: &'p Plan, begins: &str) -> &'p WishCost {
    let costs = &plan.story.as_ref().expect("a story").costs;
    costs.iter().find(|c| c.what.starts_with(begins)).unwrap_or_else(|| panic!("no `{begins}` in {costs:#?}"))
}

/// Its difference, and the numbers fitted then where they are others.
fn change(plan: &Plan, begins: &str) -> (Option<String>, Vec<String>) {
    let cost = cost(plan, begins);
    assert!(cost.proven, "{cost:?}");
    let numbers = cost.instead.iter().flat_map(|f| &f.parts).map(|p| format!("{} x {}", p.count, p.number)).collect();
    (cost.difference.map(|d| d.text(2)), numbers)
}

fn changed(difference: &str, number: &str) -> (Option<String>, Vec<String>) {
    (Some(difference.to_owned()), vec![number.to_owned()])
}

// 0.55 is the least; the next best costs 0.70. One more for it makes 1.55, so the next best is taken.
#[test]
fn the_choice_itself_and_one_more_for_it() {
    let plan = Asked::new("working_v", "C1,electrolytic,8/450,decoupling,HT2,CH,crusted,300").plan(TEN);
    assert_eq!(change(&plan, "anything else"), changed("0.15", "1 x E-10-500"));
    assert_eq!(change(&plan, "Some:E-10-450 at 1.00 EUR more"), changed("0.15", "1 x E-10-500"));
}

// 10 µF of 8 µF is within the rules' -20 to +100 %; the technician wants 16: 0.90 instead of 0.55.
#[test]
fn a_demanded_value() {
    let catalog = format!("{TEN}E-16-450,Some,electrolytic,16uF,450,,,105,8000,axial,12,20,,1:0.90\n");
    let asked = Asked::new("working_v,accept", "C1,electrolytic,8/450,decoupling,HT2,CH,crusted,300,16uF");
    let plan = asked.plan(&catalog);
    assert_eq!(
        change(&plan, "by the rules, not as `accept` has it (16 µF demanded)"),
        changed("-0.35", "1 x E-10-450")
    );
}

// The technician wants 500 V; the original has 450 V, below which nothing is ever offered: the part of 350 V
// for 0.10 stays out.
#[test]
fn a_demanded_voltage_is_given_up_to_the_original_and_no_further() {
    let catalog = format!("{TEN}E-10-350,Some,electrolytic,10uF,350,,,105,8000,axial,12,20,,1:0.10\n");
    let asked = Asked::new("working_v,accept_v", "C1,electrolytic,8/450,decoupling,HT2,CH,crusted,300,500");
    let plan = asked.plan(&catalog);
    assert_eq!(change(&plan, "voltage by the rules, not as `accept_v` has it"), changed("-0.15", "1 x E-10-450"));
    let story = plan.story.as_ref().expect("a story");
    let numbers = story.costs.iter().filter_map(|c| c.instead.as_ref()).flat_map(|f| &f.parts).map(|p| &p.number);
    assert!(numbers.clone().count() > 0 && !numbers.clone().any(|n| n == "E-10-350"), "{story:#?}");
    assert!(story.firm.iter().any(|f| f.contains("never below the original's 450 V")), "{:?}", story.firm);
}

// 1.25 x 30 V = 37.5 V asks for the 50 V part; for the 30 V alone the one of 35 V would do, never the one of
// 16 V: the original has 25 V.
#[test]
fn the_margin_over_a_cathodes_voltage() {
    let catalog = "K-50,Some,electrolytic,47uF,50,,,105,8000,axial,6,12,,1:0.35\n\
                   K-35,Some,electrolytic,47uF,35,,,105,8000,axial,6,12,,1:0.20\n\
                   K-16,Some,electrolytic,47uF,16,,,105,8000,axial,6,12,,1:0.05\n";
    let plan = Asked::new("working_v", "C1,electrolytic,50/25,cathode,K1,CH,crusted,30").plan(catalog);
    assert_eq!(change(&plan, "rated for the 30 V there alone"), changed("-0.15", "1 x K-35"));
}

// The cheap one comes in thirty days; fourteen are promised.
#[test]
fn delivery_time_is_solved_again() {
    let catalog = "E-10-450,Some,electrolytic,10uF,450,,,105,8000,axial,12,20,30,1:0.55\n\
                   E-10-500,Some,electrolytic,10uF,500,,,105,8000,axial,12,20,,1:0.70\n";
    let mut asked = Asked::new("working_v", "C1,electrolytic,8/450,decoupling,HT2,CH,crusted,300");
    asked.choices.within_days = Some(14);
    assert_eq!(change(&asked.plan(catalog), "delivery later than the 14 days"), changed("-0.15", "1 x E-10-450"));
    assert_eq!(change(&asked.plan(TEN), "delivery later than the 14 days"), (Some("0.00".to_owned()), Vec::new()));
}

// A snap-in part for 0.40, and one of 45 mm for 0.30 where 25 mm are free.
#[test]
fn mounting_and_space() {
    let catalog = format!(
        "{TEN}E-SNAP,Some,electrolytic,10uF,450,,,105,8000,snap-in,12,20,,1:0.40\n\
         E-LONG,Some,electrolytic,10uF,450,,,105,8000,axial,12,45,,1:0.30\n"
    );
    let line = "C1,electrolytic,8/450,decoupling,HT2,CH,crusted,300,25";
    let plan = Asked::new("working_v,max_length_mm", line).plan(&catalog);
    assert_eq!(change(&plan, "with snap-in parts allowed"), changed("-0.15", "1 x E-SNAP"));
    assert_eq!(change(&plan, "with more room than 25 mm of length"), changed("-0.25", "1 x E-LONG"));
}

// 32 µF, -20 to +100 %: only 16 µF parts are for sale, two of them in parallel do for 1.60.
#[test]
fn a_place_that_only_a_pair_meets() {
    let mut asked = Asked::new("working_v", "C1,electrolytic,32/450,decoupling,HT2,CH,crusted,300");
    asked.settings = "[choose]\nparallel_pairs = false\n";
    let plan = asked.plan("E-16-450,Some,electrolytic,16uF,450,,,105,8000,axial,12,20,,1:0.80\n");
    assert_eq!(plan.unmet.len(), 1);
    assert_eq!(change(&plan, "with pairs in parallel allowed"), changed("1.60", "2 x E-16-450"));
    assert_eq!(cost(&plan, "with pairs in parallel allowed").meets, ["C1"]);
}

// At the cheaper of two suppliers alone, and at one supplier for two parts: 0.20 + 0.90 instead of 0.20 + 0.55.
#[test]
fn suppliers() {
    let job = job(
        "case",
        "ref,part,marked,place,plus,minus,sight,working_v,wish\n\
         C1,electrolytic,8/450,decoupling,HT2,CH,crusted,300,\nLP1,lamp,6.3V 0.3A MES,,,,,,replace\n",
    );
    let shop = shop("Some,EUR,0.00,,,,3\nOther,EUR,0.00,,,,3\n", "", None);
    let catalog = "number,supplier,part,value,designation,rated_v,temp_c,life_h,style,prices\n\
                   E-1,Some,electrolytic,10uF,,450,105,8000,axial,1:0.55\n\
                   E-2,Other,electrolytic,10uF,,450,105,8000,axial,1:0.90\nL-1,Other,lamp,,6.3V 0.3A MES,,,,,1:0.20\n";
    let choices = Choices { why: Some("C1".to_owned()), ..Choices::default() };
    let plan = plan(&[job], &shop, catalog, &choices);
    assert_eq!(plan.totals.landed.text(2), "0.75");
    assert_eq!(change(&plan, "from at most 1 supplier"), changed("0.35", "1 x E-2"));
}

// A lamp for 0.50 + 3.00 of carriage that only the technician wants changed.
#[test]
fn a_wish_to_replace() {
    let catalog = "number,supplier,part,designation,prices\nL-1,Some,lamp,6.3V 0.3A MES,1:0.50\n";
    let shop = shop("Some,EUR,3.00,,,,3\n", "", None);
    let choices = Choices { why: Some("LP1".to_owned()), ..Choices::default() };
    let plan = plan(&[lamps("one", 1, SMALL)], &shop, catalog, &choices);
    assert_eq!(
        change(&plan, "nothing bought here (wish replace, over keep by the rules)"),
        (Some("-3.50".to_owned()), Vec::new())
    );
}

// A demanded class is for safety and is never offered for money; nor is anything of a lower class.
#[test]
fn a_class_is_never_given_up() {
    let catalog = "Y-1,Some,suppressor,4.7nF,,300,Y1,125,,radial,8,5,,1:0.80\n\
                   Y-2,Some,suppressor,4.7nF,,300,Y2,125,,radial,8,5,,1:0.30\n\
                   X-2,Some,suppressor,4.7nF,,300,X2,125,,radial,8,5,,1:0.10\n";
    let line = "C1,paper,.005/1000,line-to-chassis,LINE,CH,wax-run,Y1";
    let plan = Asked::new("accept_class", line).plan(catalog);
    let story = plan.story.as_ref().expect("a story");
    assert!(plan.fits.iter().flat_map(|f| &f.parts).any(|p| p.number == "Y-1"), "{:#?}", plan.unmet);
    for cost in &story.costs {
        assert!(!cost.what.contains("class"), "{cost:?}");
        assert!(cost.instead.iter().flat_map(|f| &f.parts).all(|p| p.number == "Y-1"), "{cost:?}");
    }
    assert!(story.firm.iter().any(|f| f.contains("class")), "{:?}", story.firm);
}

/// The line and the table that a person reads, at 80 columns.
fn told(plan: &Plan) -> String {
    let mut blocks: Vec<Block> = together::line(plan).map(Block::Line).into_iter().collect();
    blocks.extend(together::blocks(plan));
    text::write(&blocks, text::Setting { width: Some(80), colour: false })
}

fn two_jobs() -> Plan {
    let catalog = "number,supplier,part,designation,prices\nL-1,Some,lamp,6.3V 0.3A MES,1:0.50;10:0.40\n";
    let shop = shop("Some,EUR,3.00,,,,3\n", "", None);
    plan(&[lamps("one", 5, SMALL), lamps("two", 6, SMALL)], &shop, catalog, &Choices::default())
}

// Goods at the order's price: 5 x 0.40 and 6 x 0.40; the carriage of 3.00 as 5 to 6: 1.3636 and 1.6364.
#[test]
fn the_saving_is_told_with_its_parts() {
    let told = told(&two_jobs());
    assert!(told.starts_with("  ordering together saves 4.10: each job alone 11.50\n"), "{told}");
    let rows: Vec<Vec<&str>> = told.lines().map(|l| l.split_whitespace().collect()).collect();
    for row in [["one", "3.36", "5.50", "2.14"], ["two", "4.04", "6.00", "1.96"], ["all", "7.40", "11.50", "4.10"]] {
        assert!(rows.iter().any(|r| r == &row), "{row:?}{told}");
    }
    assert!(told.lines().all(|l| l.chars().count() <= 80), "{told}");
}

// What is not proven is not claimed: of 5.50 for the first job only 5.20 are certain.
#[test]
fn a_saving_that_is_not_proven_is_told_so() {
    let mut plan = two_jobs();
    let together = plan.together.as_mut().expect("several jobs");
    let less = Money::parse("0.30").expect("an amount");
    together.jobs[0].bound = together.jobs[0].bound - less;
    together.bound = together.bound - less;
    together.saves_least = together.saves_least - less;
    let said = told(&plan);
    assert!(said.contains("ordering together saves at least 3.80: each job alone at least 11.20\n"), "{said}");
    assert!(said.contains("5.20 to 5.50"), "{said}");
    let together = plan.together.as_mut().expect("several jobs");
    together.saves_least = Money::ZERO;
    assert!(told(&plan).contains("whether ordering together saves is not proven"), "{}", told(&plan));
}

// Parts that only one of the two ways gets make a difference that money does not tell.
#[test]
fn what_only_one_way_meets_is_named() {
    let mut plan = two_jobs();
    let together = plan.together.as_mut().expect("several jobs");
    together.jobs[1].lacks = vec!["two/LP6".to_owned()];
    let said = told(&plan);
    assert!(said.contains("saves at least 4.10: each job alone at least 11.50, without\n  two/LP6"), "{said}");
    assert!(said.contains("met only together: two/LP6"), "{said}");
    let together = plan.together.as_mut().expect("several jobs");
    together.jobs[1].gains = vec!["two/LP5".to_owned()];
    assert!(told(&plan).contains("with two/LP5: not to be compared"), "{}", told(&plan));
}

// A part whose marking cannot be read: without the demand there is nothing to state a need from.
#[test]
fn a_demand_that_everything_hangs_on_is_not_given_up() {
    let asked = Asked::new("working_v,accept,rated_v", "C1,electrolytic,,decoupling,HT2,CH,crusted,300,10uF,450");
    let plan = asked.plan(TEN);
    let story = plan.story.as_ref().expect("a story");
    assert!(story.costs.iter().all(|c| !c.what.contains("`accept`")), "{:#?}", story.costs);
}
