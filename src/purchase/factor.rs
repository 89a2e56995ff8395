//! What a source or a class can do for the rows next to it, as a list of choices with their costs.

use super::model::{Class, Model, Seg};
use super::node::Node;
use super::oracle;
use super::paid::{Paid, Terms};
use super::plan::Plan;
use super::table::Table;

/// Most choices that are looked at for one factor.
const MOST: usize = 40_000;

/// Where a factor comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Origin {
    /// A source, which serves chunks.
    Source(usize),
    /// A class with several ways: the ways that its members do not go give their chunks back. Of each choice, how
    /// many go each way.
    Class(usize, Vec<Vec<u32>>),
    /// Other factors, put together.
    Bucket,
}

/// So many chunks of each row, and what is paid for them.
#[derive(Debug, Clone)]
pub(super) struct Choice {
    pub(super) chunks: Vec<u32>,
    pub(super) paid: Paid,
    /// The entry of the table that it stands for.
    pub(super) entry: usize,
}

/// Choices over some rows.
#[derive(Debug, Clone)]
pub(super) struct Factor {
    pub(super) origin: Origin,
    /// Places of its rows, ascending.
    pub(super) rows: Vec<usize>,
    pub(super) choices: Vec<Choice>,
    /// What it adds to the bound, ten-thousandths: [`least`](Self::least) at the prices that hold.
    pub(super) base: f64,
}

/// What prices say: of a chunk of each row, ten-thousandths, and the discount on what is watched.
#[derive(Debug, Clone)]
pub(super) struct Prices {
    pub(super) row: Table<f64>,
    pub(super) discount: f64,
}

/// What is asked of some rows of the model.
#[derive(Debug, Clone)]
pub(super) struct Asked {
    /// The rows; everything here names them by their places in this list.
    pub(super) rows: Vec<usize>,
    /// Chunks of each at most.
    pub(super) most: Table<u32>,
}

impl Asked {
    /// How many places a table over some rows has; none where they are beyond counting.
    pub(super) fn places(&self, scope: &[usize]) -> Option<usize> {
        scope.iter().try_fold(1usize, |n, r| n.checked_mul(self.most[*r] as usize + 1))
    }
}

impl Factor {
    /// The least of cost minus worth, ten-thousandths.
    pub(super) fn least(&self, prices: &Prices) -> f64 {
        self.choices.iter().map(|c| self.spared(c, prices)).fold(f64::INFINITY, f64::min)
    }

    /// Cost minus worth of a choice.
    pub(super) fn spared(&self, choice: &Choice, prices: &Prices) -> f64 {
        let worth: f64 = self.rows.iter().zip(&choice.chunks).map(|(r, k)| prices.row[*r] * f64::from(*k)).sum();
        choice.paid.at(prices.discount) - worth
    }

    /// The choices by how far they are above the bound, the nearest first, each with its number.
    pub(super) fn ranked(&self, prices: &Prices) -> Vec<(f64, usize, &Choice)> {
        let choices = self.choices.iter().enumerate();
        let mut ranked: Vec<_> = choices.map(|(n, c)| (self.spared(c, prices) - self.base, n, c)).collect();
        ranked.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        ranked
    }
}

/// What is asked in a node, and the factors; none where one has too many choices.
pub(super) fn factors(model: &Model, node: &Node, terms: &Terms) -> Option<(Asked, Table<Factor>)> {
    let (rows, place) = oracle::rows(model, node);
    let mut asked = Asked { most: Table::filled(0, rows.len()), rows };
    for class in node.classes.iter().map(|c| &model.classes[*c]) {
        for (r, most) in most(class) {
            asked.most[place[r]] += most * class.count();
        }
    }
    let mut factors = Table::new();
    let sold = node.suppliers.iter().flat_map(|v| node.live(model, *v).map(|s| (s, Some(*v))));
    let plain = node.plain.iter().copied().filter(|s| !node.segs[*s].is_empty()).map(|s| (s, None));
    for (s, v) in plain.chain(sold) {
        let here: Vec<usize> = node.rows[s].iter().copied().filter(|r| place[*r] < usize::MAX).collect();
        if !here.is_empty() {
            let seller = Seller { model, node, s, here: &here };
            let rows = here.iter().map(|r| place[*r]).collect();
            factors.push(seller.factor(rows, &asked, |cost| terms.paid(v, cost))?);
        }
    }
    for c in node.classes.iter().filter(|c| model.classes[**c].ways.len() > 1) {
        factors.push(class(*c, &model.classes[*c], &place)?);
    }
    Some((asked, factors))
}

/// What a member of a class asks of each row at most.
fn most(class: &Class) -> Vec<(usize, u32)> {
    let mut all: Vec<(usize, u32)> = class.ways.iter().flat_map(|w| w.uses.iter().copied()).collect();
    all.sort_unstable_by_key(|(r, n)| (*r, std::cmp::Reverse(*n)));
    all.dedup_by_key(|(r, _)| *r);
    all
}

/// A source and the rows that it serves here.
struct Seller<'a> {
    model: &'a Model,
    node: &'a Node,
    s: usize,
    here: &'a [usize],
}

impl Seller<'_> {
    /// Pieces bought for these chunks, spares included; none for none.
    fn pieces(&self, chunks: &[u32]) -> u32 {
        let (mut pieces, mut taken) = (0, 0);
        for (k, r) in chunks.iter().zip(self.here) {
            pieces += k * self.model.rows[*r].weight();
            taken += k * self.model.rows[*r].take;
        }
        if pieces > 0 { pieces + self.model.rules.spare(self.model.sources[self.s].class, taken) } else { 0 }
    }

    /// The cheapest lawful purchase for these chunks: cost and quantity.
    fn purchase(&self, chunks: &[u32]) -> Option<(i64, u32)> {
        let pieces = self.pieces(chunks);
        if pieces == 0 && !self.node.must[self.s] {
            return Some((0, 0));
        }
        let pack = self.model.sources[self.s].pack;
        let at = |g: &Seg| {
            let quantity = pieces.div_ceil(pack).saturating_mul(pack).max(g.lo);
            (quantity <= g.hi).then(|| (g.each * i64::from(quantity), quantity))
        };
        self.node.segs[self.s].iter().filter_map(at).min()
    }

    /// Every number of chunks that it can serve. What serves more for the same is enough.
    fn factor(&self, rows: Vec<usize>, asked: &Asked, paid: impl Fn(i64) -> Paid) -> Option<Factor> {
        asked.places(&rows).filter(|n| *n <= MOST)?;
        let most: Vec<u32> = rows.iter().map(|r| asked.most[*r]).collect();
        let mut costs: Vec<Option<i64>> = Vec::new();
        counted(&most, |chunks| costs.push(self.purchase(chunks).map(|p| p.0)));
        let mut choices = Vec::new();
        let mut at = 0;
        counted(&most, |chunks| {
            let here = at;
            at += 1;
            let Some(cost) = costs.get(here).copied().flatten() else { return };
            // One chunk more of a row is so many places on, where there is one.
            let mut stride = 1;
            let as_cheap = chunks.iter().zip(&most).any(|(k, most)| {
                let more = here + stride;
                stride *= *most as usize + 1;
                k < most && costs.get(more).copied().flatten() == Some(cost)
            });
            if !as_cheap {
                choices.push(Choice { chunks: chunks.to_vec(), paid: paid(cost), entry: 0 });
            }
        });
        Some(Factor { origin: Origin::Source(self.s), rows, choices, base: 0.0 })
    }
}

/// Goes through all numbers up to `most`, each digit by itself, the first one fastest.
fn counted(most: &[u32], mut each: impl FnMut(&[u32])) {
    let mut digits = vec![0; most.len()];
    loop {
        each(&digits);
        let Some(turn) = digits.iter().zip(most).position(|(digit, most)| digit < most) else { return };
        for (i, digit) in digits.iter_mut().enumerate().take(turn + 1) {
            *digit = if i < turn { 0 } else { *digit + 1 };
        }
    }
}

/// What a class gives back of the most that it could ask.
fn class(c: usize, class: &Class, place: &Table<usize>) -> Option<Factor> {
    let mut most = most(class);
    most.sort_unstable_by_key(|(r, _)| place[*r]);
    let count = class.count();
    class.ways.iter().try_fold(1usize, |n, _| n.checked_mul(count as usize + 1)).filter(|n| *n <= MOST)?;
    let (mut choices, mut ways) = (Vec::new(), Vec::new());
    counted(&vec![count; class.ways.len()], |members| {
        if members.iter().sum::<u32>() != count {
            return;
        }
        let asks = |r: usize| -> u32 {
            let uses = class.ways.iter().zip(members).flat_map(|(w, n)| w.uses.iter().map(move |u| (u, n)));
            uses.filter(|(u, _)| u.0 == r).map(|(u, n)| u.1 * n).sum()
        };
        let chunks = most.iter().map(|(r, most)| most * count - asks(*r)).collect();
        choices.push(Choice { chunks, paid: Paid::default(), entry: 0 });
        ways.push(members.to_vec());
    });
    let rows = most.iter().map(|(r, _)| place[*r]).collect();
    Some(Factor { origin: Origin::Class(c, ways), rows, choices, base: 0.0 })
}

/// The plan of what was chosen of each factor.
pub(super) fn plan(
    model: &Model,
    node: &Node,
    asked: &Asked,
    factors: &Table<Factor>,
    chosen: &Table<Option<usize>>,
) -> Plan {
    let mut plan = Plan::empty(model);
    for c in &node.classes {
        if let Some(all) = plan.ways[*c].first_mut() {
            *all = model.classes[*c].count();
        }
    }
    let mut left = asked.most.clone();
    let taken = || {
        let pairs = factors.iter().zip(chosen.iter());
        pairs.filter_map(|(f, n)| Some((f, n.as_ref()?, f.choices.get((*n)?)?)))
    };
    for (factor, n, choice) in taken() {
        if let Origin::Class(c, ways) = &factor.origin {
            if let Some(ways) = ways.get(*n) {
                plan.ways[*c].clone_from(ways);
            }
            for (r, k) in factor.rows.iter().zip(&choice.chunks) {
                left[*r] -= k;
            }
        }
    }
    for (factor, _, choice) in taken() {
        let Origin::Source(s) = factor.origin else { continue };
        let (mut here, mut chunks) = (Vec::new(), Vec::new());
        for (r, k) in factor.rows.iter().zip(&choice.chunks) {
            // Sources together may serve more than is asked.
            let k = (*k).min(left[*r]);
            left[*r] -= k;
            if let Some(row) = asked.rows.get(*r).copied().filter(|_| k > 0) {
                plan.flow[row].push((s, k));
                here.push(row);
                chunks.push(k);
            }
        }
        let seller = Seller { model, node, s, here: &here };
        plan.quantity[s] = seller.purchase(&chunks).map_or(0, |(_, quantity)| quantity);
    }
    for flow in plan.flow.iter_mut() {
        flow.sort_unstable();
    }
    plan
}
