//! The relaxed problem where every supplier's way of being charged is decided.
//!
//! Two things are bounded more closely then. The sources that serve one row only are taken
//! together: what so many chunks cost of them all is found exactly, pack by pack, so that a row
//! of three pieces pays for the pack of five. And the discounts on the goods that reach a
//! threshold are prices like the others, moved with them.

use std::rc::Rc;

use super::model::{Model, Seg};
use super::node::Node;
use super::offer::Offer;
use super::oracle::{Answer, Asked, Bought, Relaxed, asked, rows};
use super::reduce::source;
use super::table::{Table, real};

/// Most chunks of a row whose sources are taken together.
const MOST: u32 = 60;

/// A supplier whose goods must reach a sum: grains.
#[derive(Debug, Clone, Copy)]
struct Threshold {
    v: usize,
    band: usize,
    least: f64,
}

/// A source that serves one row only: what it asks for so many chunks, grains.
#[derive(Debug, Clone)]
struct Line {
    s: usize,
    threshold: Option<usize>,
    costs: Vec<f64>,
    quantities: Vec<u32>,
    /// The numbers of chunks after which one more costs more, and the last: to want any other saves nothing.
    steps: Vec<usize>,
    must: bool,
}

/// The sources of one row that serve nothing else.
#[derive(Debug, Clone)]
struct Block {
    row: usize,
    most: usize,
    lines: Vec<Line>,
}

/// A node, ready to be asked.
#[derive(Debug, Clone)]
pub(super) struct Decided {
    fixed: f64,
    rows: Vec<usize>,
    classes: Vec<Asked>,
    thresholds: Vec<Threshold>,
    shared: Vec<(Offer, usize, Option<usize>)>,
    blocks: Vec<Block>,
    sources: usize,
}

impl Decided {
    /// Lays out a node of which [`Node::decided`] is true.
    pub(super) fn new(model: &Model, node: &Node) -> Self {
        let (list, place) = rows(model, node);
        let grain = real(model.grain);
        let mut this = Self {
            fixed: 0.0,
            classes: asked(model, node, &place),
            blocks: Vec::new(),
            rows: list,
            thresholds: Vec::new(),
            shared: Vec::new(),
            sources: 0,
        };
        let mut live: Vec<(usize, Option<usize>)> = node.plain.iter().map(|s| (*s, None)).collect();
        for v in &node.suppliers {
            let option = node.options[*v].first().copied().flatten();
            let Some((band, terms)) = option.and_then(|b| Some((b, model.suppliers[*v].bands.get(b)?))) else {
                continue;
            };
            this.fixed += real(terms.fixed) / grain;
            let threshold = (terms.least > 0).then(|| {
                this.thresholds.push(Threshold { v: *v, band, least: real(terms.least) / grain });
                this.thresholds.len() - 1
            });
            live.extend(node.live(model, *v).map(|s| (s, threshold)));
        }
        let mut blocks: Table<Vec<Line>> = Table::filled(Vec::new(), this.rows.len());
        for (s, threshold) in live {
            this.sources += 1;
            match node.rows[s].as_slice() {
                [r] if place[*r] < usize::MAX && model.rows[*r].most <= MOST && !node.segs[s].is_empty() => {
                    blocks[place[*r]].push(Line::new(model, node, (s, *r), threshold));
                }
                _ => this.shared.extend(Offer::new(model, node, s, &place).map(|o| (o, s, threshold))),
            }
        }
        let most = |n: usize| this.rows.get(n).map_or(0, |r| model.rows[*r].most as usize);
        let block = |(row, lines): (usize, &Vec<Line>)| Block { row, most: most(row), lines: lines.clone() };
        this.blocks = blocks.iter().enumerate().filter(|b| !b.1.is_empty()).map(block).collect();
        this
    }

    /// The discounts at which the node stands.
    pub(super) fn discounts(&self, node: &Node) -> Vec<f64> {
        let at = |t: &Threshold| node.discount[t.v].get(t.band).copied().unwrap_or(0.0).clamp(0.0, 1.0);
        self.thresholds.iter().map(at).collect()
    }

    /// Writes the discounts of a point into the node.
    pub(super) fn settle(&self, node: &mut Node, point: &Table<f64>) {
        for (n, t) in self.thresholds.iter().enumerate() {
            if let Some(discount) = node.discount[t.v].get_mut(t.band) {
                *discount = point[self.rows.len() + n].clamp(0.0, 1.0);
            }
        }
    }

    /// What a unit of money spent under a threshold counts for.
    fn rate(&self, point: &Table<f64>, threshold: Option<usize>) -> f64 {
        threshold.map_or(1.0, |t| 1.0 - point[self.rows.len() + t].clamp(0.0, 1.0))
    }

    /// Drops what no plan at or below `target` (grains) can have; false where nothing is left.
    pub(super) fn reduce(&mut self, model: &Model, node: &mut Node, target: f64) -> bool {
        let mut point: Table<f64> = self.rows.iter().map(|r| node.price[*r]).collect();
        for discount in self.discounts(node) {
            point.push(discount);
        }
        let room = target - self.ask(&point).bound;
        if room < 0.0 {
            return false;
        }
        for (_, s, threshold) in &self.shared {
            source(model, node, *s, room, &[(0.0, self.rate(&point, *threshold))]);
        }
        for block in &self.blocks {
            let rates: Vec<f64> = block.lines.iter().map(|l| self.rate(&point, l.threshold)).collect();
            let least = block.best(point[block.row], &rates, None).0;
            for (n, line) in block.lines.iter().enumerate() {
                if block.best(point[block.row], &rates, Some(n)).0 - least > room {
                    node.segs[line.s] = Rc::default();
                    node.rows[line.s] = Rc::default();
                }
            }
        }
        let barren = |s: &usize| node.must[*s] && node.segs[*s].is_empty();
        !(0..model.sources.len()).any(|s| barren(&s))
    }
}

impl Relaxed for Decided {
    fn ask(&mut self, point: &Table<f64>) -> Answer {
        let mut answer = Answer::new(point.len(), self.sources);
        answer.bound = self.fixed;
        let at = self.rows.len();
        for (n, threshold) in self.thresholds.iter().enumerate() {
            // Beyond 0 and 1 a discount says nothing, and its slope leads back.
            let discount = point[at + n].clamp(0.0, 1.0);
            answer.bound += discount * threshold.least;
            answer.slope[at + n] = threshold.least;
        }
        for class in &self.classes {
            class.ask(point, &mut answer);
        }
        let rates: Vec<f64> = (0..self.thresholds.len()).map(|t| self.rate(point, Some(t))).collect();
        let rate = |t: Option<usize>| t.and_then(|t| rates.get(t)).copied().unwrap_or(1.0);
        for (offer, _, threshold) in &mut self.shared {
            offer.value_at(point);
            let (value, quantity) = offer.best(rate(*threshold));
            answer.bound += value;
            offer.give(quantity, 1.0, &mut answer);
            if let Some(t) = threshold {
                answer.slope[at + *t] -= offer.goods(quantity);
            }
        }
        for block in &self.blocks {
            let rates: Vec<f64> = block.lines.iter().map(|l| rate(l.threshold)).collect();
            let (value, (served, chunks)) = block.best(point[block.row], &rates, None);
            answer.bound += value;
            answer.slope[block.row] -= real(i64::try_from(served).unwrap_or(0));
            for (line, k) in block.lines.iter().zip(chunks) {
                if k == 0 && !line.must {
                    continue;
                }
                let quantity = line.quantities.get(k).copied().unwrap_or(0);
                answer.bought.push(Bought { s: line.s, part: 1.0, quantity });
                if let Some(t) = line.threshold {
                    answer.slope[at + t] -= line.costs.get(k).copied().unwrap_or(0.0);
                }
            }
        }
        for (n, _) in self.thresholds.iter().enumerate() {
            let slope = &mut answer.slope[at + n];
            if point[at + n] >= 1.0 {
                *slope = slope.min(0.0);
            }
        }
        answer
    }

    fn rows(&self) -> &[usize] {
        &self.rows
    }

    fn size(&self) -> u64 {
        self.sources as u64
    }
}

impl Line {
    /// What the source asks for none, one, two and more chunks of its row.
    fn new(model: &Model, node: &Node, (s, r): (usize, usize), threshold: Option<usize>) -> Self {
        let src = &model.sources[s];
        let row = &model.rows[r];
        let least = |n: u32, g: &Seg| {
            let quantity = n.div_ceil(src.pack).saturating_mul(src.pack).max(g.lo);
            (quantity <= g.hi).then(|| (g.each * i64::from(quantity), quantity))
        };
        let cheapest = |k: u32| {
            let need = k * row.weight() + model.rules.spare(src.class, k * row.take);
            let least = node.segs[s].iter().filter_map(|g| least(need, g)).min()?;
            Some((real(least.0) / real(model.grain), least.1))
        };
        let none = if node.must[s] { cheapest(0).unwrap_or((f64::INFINITY, 0)) } else { (0.0, 0) };
        let (costs, quantities): (Vec<f64>, Vec<u32>) =
            std::iter::once(none).chain((1..=row.most).map_while(cheapest)).unzip();
        let next = costs.iter().skip(1).copied().chain(std::iter::once(f64::INFINITY));
        let steps = costs.iter().zip(next).enumerate().filter(|(k, (a, b))| *k == 0 || *a < b).map(|(k, _)| k);
        Self { s, threshold, steps: steps.collect(), costs, quantities, must: node.must[s] }
    }
}

impl Block {
    /// The least of cost minus value; the chunks served, and those that each line gives, together perhaps more.
    /// `forced`: a line that gives some.
    fn best(&self, price: f64, rates: &[f64], forced: Option<usize>) -> (f64, (usize, Vec<usize>)) {
        let mut least: Vec<f64> = vec![f64::INFINITY; self.most + 1];
        if let Some(none) = least.first_mut() {
            *none = 0.0;
        }
        // Of each line and number of chunks after it: how many it gives, and how many were there before it.
        let mut taken: Vec<Vec<(usize, usize)>> = Vec::with_capacity(self.lines.len());
        for (n, (line, rate)) in self.lines.iter().zip(rates).enumerate() {
            let mut after = vec![f64::INFINITY; self.most + 1];
            let mut chosen = vec![(0, 0); self.most + 1];
            for k in line.steps.iter().copied().filter(|k| *k > 0 || forced != Some(n)) {
                let Some(more) = line.costs.get(k).map(|c| rate * c) else { continue };
                let (exact, over) = least.split_at(self.most + 1 - k.min(self.most + 1));
                let to = after.iter_mut().zip(&mut chosen).enumerate().skip(k);
                for ((m, (after, chosen)), before) in to.zip(exact) {
                    if before + more < *after {
                        (*after, *chosen) = (before + more, (k, m - k));
                    }
                }
                // More than the row asks for is as good as all that it asks for.
                for (b, before) in over.iter().enumerate() {
                    let from = exact.len() + b;
                    if let (Some(after), Some(chosen)) = (after.last_mut(), chosen.last_mut())
                        && before + more < *after
                    {
                        (*after, *chosen) = (before + more, (k, from));
                    }
                }
            }
            least = after;
            taken.push(chosen);
        }
        let value = |(m, c): (usize, &f64)| (c - price * real(i64::try_from(m).unwrap_or(0)), m);
        let best = least.iter().enumerate().map(value).min_by(|a, b| a.0.total_cmp(&b.0));
        let (value, served) = best.unwrap_or((f64::INFINITY, 0));
        let mut m = served;
        let mut chunks = vec![0; self.lines.len()];
        for (chunk, chosen) in chunks.iter_mut().zip(&taken).rev() {
            let (given, before) = chosen.get(m).copied().unwrap_or((0, 0));
            *chunk = given;
            m = before;
        }
        (value, (served, chunks))
    }
}
