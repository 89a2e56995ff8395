//! The strong integer programme over a part of the problem, for whichever solver is built in.
//!
//! Per offer and price tier a 0/1 and a number of packs; per supplier a 0/1 for each way of being
//! charged; chunks flow from sources to rows. A chunk may only flow out of a source that is bought
//! (each row against each tier), and a tier may only be bought of a supplier that is ordered from.

use good_lp::{Expression, Variable, variable};

pub(super) use super::aim::{Aim, NoPlan};
use super::backend::{self, Outcome, Programme, Values};
use super::model::{Band, Model, Seg};
use super::plan::Plan;
use super::single;
use super::table::{Table, real, whole};

/// The part of the problem to be solved.
#[derive(Debug, Clone)]
pub(super) struct Scope {
    /// Sources still allowed, by row.
    pub(super) allowed: Table<Vec<usize>>,
    /// Quantities still allowed, by source.
    pub(super) segs: Table<Vec<Seg>>,
    /// Ways of being charged still allowed, by supplier; none: nothing is ordered there.
    pub(super) bands: Table<Vec<Band>>,
    /// Classes and rows in it.
    pub(super) classes: Vec<usize>,
    pub(super) rows: Vec<usize>,
    /// Whether a threshold may be reached by paying for nothing. That is a relaxation.
    pub(super) waste: bool,
}

/// The outcome in canonical numbers.
pub(super) struct Solved {
    pub(super) plan: Plan,
    /// Members of each class that are not met.
    pub(super) unmet: Table<u32>,
    pub(super) optimal: bool,
    /// Value of the objective, in grains.
    pub(super) value: f64,
}

impl Scope {
    /// The whole problem.
    pub(super) fn all(model: &Model) -> Self {
        Self {
            allowed: model.rows.iter().map(|r| r.any_of.clone()).collect(),
            segs: model.sources.iter().map(|s| s.segs.clone()).collect(),
            bands: model.suppliers.iter().map(|v| v.bands.clone()).collect(),
            classes: (0..model.classes.len()).collect(),
            rows: (0..model.rows.len()).collect(),
            waste: false,
        }
    }

    /// Solves it. `None`: no plan, or none in time.
    pub(super) fn solve(&self, model: &Model, aim: Aim, held: &[usize], seconds: Option<f64>) -> Option<Solved> {
        self.attempt(model, aim, held, seconds).ok()
    }

    /// Solves it, and tells a programme without a plan from one that the solver came to nothing with. Only the first
    /// proves anything.
    pub(super) fn attempt(
        &self,
        model: &Model,
        aim: Aim,
        held: &[usize],
        seconds: Option<f64>,
    ) -> Result<Solved, NoPlan> {
        let mut build = Build::new(self, model, aim);
        for s in held {
            build.hold(*s);
        }
        build.finish(seconds)
    }
}

/// A quantity of one source: the 0/1, the pieces as an expression, the price.
struct Bought {
    on: Variable,
    pieces: Expression,
    most: u32,
    each: i64,
}

/// What is taken of one source: pieces bought, pieces fitted, and the flows with their most.
type Taken = (Expression, Expression, Vec<(Variable, u32)>);

struct Build<'a> {
    scope: &'a Scope,
    model: &'a Model,
    aim: Aim,
    programme: Programme,
    ways: Table<Vec<Option<Variable>>>,
    missed: Table<Option<Variable>>,
    flow: Table<Vec<(usize, Variable)>>,
    bought: Table<Vec<Bought>>,
    cost: Expression,
    ties: Expression,
    life: Expression,
    /// A row asks for something and has no source: said here, since not every solver looks at a line without a variable.
    barren: bool,
}

impl<'a> Build<'a> {
    fn new(scope: &'a Scope, model: &'a Model, aim: Aim) -> Self {
        let programme = Programme::new();
        let mut build = Self {
            scope,
            model,
            aim,
            programme,
            ways: Table::filled(Vec::new(), model.classes.len()),
            missed: Table::filled(None, model.classes.len()),
            flow: Table::filled(Vec::new(), model.rows.len()),
            bought: Table::new(),
            cost: Expression::default(),
            ties: Expression::default(),
            life: Expression::default(),
            barren: false,
        };
        build.suppliers();
        build.rows();
        build.quantities();
        build
    }

    fn integer(&mut self, most: u32) -> Variable {
        self.programme.variables.add(variable().integer().min(0).max(f64::from(most)))
    }

    fn need(&mut self, constraint: good_lp::Constraint) {
        self.programme.constraints.push(constraint);
    }

    fn grains(&self, amount: i64) -> f64 {
        real(amount) / real(self.model.grain)
    }

    /// The sources of every supplier, the quantities of each, and the supplier's terms.
    fn suppliers(&mut self) {
        let model = self.model;
        let mut bought: Table<Vec<Bought>> = (0..model.sources.len()).map(|_| Vec::new()).collect();
        let mut orders = Expression::default();
        for s in 0..model.sources.len() {
            if model.sources[s].sup.is_none() {
                bought[s] = self.source(s, None);
            }
        }
        for (v, sup) in model.suppliers.iter().enumerate() {
            let bands = self.scope.bands[v].clone();
            if bands.is_empty() {
                continue;
            }
            let ways: Vec<Variable> = bands.iter().map(|_| self.integer(1)).collect();
            let open: Expression = ways.iter().sum();
            let mut goods = Expression::default();
            for s in &sup.sources {
                bought[*s] = self.source(*s, Some(&open));
                for b in &bought[*s] {
                    goods += b.pieces.clone() * self.grains(b.each);
                }
            }
            self.need(open.clone().leq(1));
            for (way, band) in ways.iter().zip(&bands) {
                self.cost += *way * self.grains(band.fixed);
            }
            let least: Expression = ways.iter().zip(&bands).map(|(w, b)| *w * self.grains(b.least)).sum();
            if self.scope.waste {
                let top = bands.iter().map(|b| b.least).max().unwrap_or(0);
                let waste = self.programme.variables.add(variable().min(0).max(self.grains(top)));
                self.cost += waste;
                goods += waste;
            }
            if bands.iter().any(|b| b.least > 0) {
                self.need(goods.geq(least));
            }
            self.ties += open.clone() * real(i64::try_from(model.sources.len()).unwrap_or(0) + 1);
            orders += open;
        }
        if let Some(most) = model.max_suppliers {
            self.need(orders.leq(most));
        }
        self.bought = bought;
    }

    /// The quantities of one source, one price each.
    fn source(&mut self, s: usize, open: Option<&Expression>) -> Vec<Bought> {
        let src = &self.model.sources[s];
        let mut bought = Vec::new();
        for seg in single::cut(&self.scope.segs[s], src.pack) {
            let on = self.integer(1);
            let (lo, hi) = (f64::from(seg.lo / src.pack), seg.hi / src.pack);
            let pack = f64::from(src.pack);
            let pieces = if seg.lo == seg.hi {
                on * f64::from(seg.lo)
            } else {
                let packs = self.integer(hi);
                self.need((packs - on * lo).geq(0));
                self.need((packs - on * f64::from(hi)).leq(0));
                packs * pack
            };
            if let Some(open) = open {
                self.need((on - open.clone()).leq(0));
            }
            self.cost += pieces.clone() * self.grains(seg.each);
            self.ties += on;
            bought.push(Bought { on, pieces, most: seg.hi, each: seg.each });
        }
        if bought.len() > 1 {
            let on: Expression = bought.iter().map(|b| b.on).sum();
            self.need(on.leq(1));
        }
        bought
    }

    /// The ways of the classes and the flows that serve them.
    fn rows(&mut self) {
        let model = self.model;
        let mut asked: Table<Expression> = (0..model.rows.len()).map(|_| Expression::default()).collect();
        let mut sure = Table::filled(false, model.rows.len());
        for c in &self.scope.classes {
            let class = &model.classes[*c];
            let fixed = class.ways.len() == 1 && self.aim != Aim::Meet;
            let mut all = Expression::default();
            for way in &class.ways {
                let times: Expression = if fixed {
                    self.ways[*c].push(None);
                    f64::from(class.count()).into()
                } else {
                    let var = self.integer(class.count());
                    self.ways[*c].push(Some(var));
                    var.into()
                };
                all += times.clone();
                for (r, n) in &way.uses {
                    asked[*r] += times.clone() * f64::from(*n);
                    sure[*r] |= fixed && class.count() > 0 && *n > 0;
                }
                self.life += times * f64::from(way.life);
            }
            if self.aim == Aim::Meet {
                let missed = self.integer(class.count());
                self.missed[*c] = Some(missed);
                all += missed;
            }
            if !fixed {
                self.need(all.eq(f64::from(class.count())));
            }
        }
        for r in self.scope.rows.clone() {
            self.row(r, std::mem::take(&mut asked[r]));
            self.barren |= sure[r] && self.flow[r].is_empty();
        }
    }

    fn row(&mut self, r: usize, asked: Expression) {
        let row = &self.model.rows[r];
        let mut sum = Expression::default();
        for s in self.scope.allowed[r].clone() {
            if self.bought[s].is_empty() {
                continue;
            }
            let chunks = self.integer(row.most);
            let mut least = Expression::from(chunks);
            for b in &self.bought[s] {
                least -= b.on * f64::from(row.most.min(b.most / row.weight()));
            }
            self.need(least.leq(0));
            sum += chunks;
            self.life += chunks * (f64::from(row.take) * f64::from(self.model.sources[s].life));
            self.flow[r].push((s, chunks));
        }
        self.need((sum - asked).eq(0));
    }

    /// What is bought covers what is used, what is selected from, and the spares.
    fn quantities(&mut self) {
        let mut taken: Table<Taken> = (0..self.model.sources.len()).map(|_| Default::default()).collect();
        for r in &self.scope.rows {
            let row = &self.model.rows[*r];
            for (s, chunks) in &self.flow[*r] {
                taken[*s].0 += *chunks * f64::from(row.weight());
                taken[*s].1 += *chunks * f64::from(row.take);
                taken[*s].2.push((*chunks, row.most));
            }
        }
        for s in 0..taken.len() {
            let (mut weight, used, chunks) = std::mem::take(&mut taken[s]);
            if chunks.is_empty() {
                continue;
            }
            weight += self.spares(s, &used, &chunks);
            for b in &self.bought[s] {
                weight -= b.pieces.clone();
            }
            self.need(weight.leq(0));
        }
    }

    /// The spares that a source asks: a number if it is used at all, a share beyond ten pieces.
    fn spares(&mut self, s: usize, used: &Expression, chunks: &[(Variable, u32)]) -> Expression {
        let class = self.model.sources[s].class;
        let flat = self.model.rules.spare(class, 1);
        let mut each = Expression::default();
        if flat > 0 {
            let any = self.integer(1);
            for (chunk, most) in chunks {
                self.need((*chunk - any * f64::from(*most)).leq(0));
            }
            each += any * f64::from(flat);
        }
        let useful = self.model.sources[s].useful;
        if class.is_none() || useful <= 10 || self.model.rules.over_ten <= crate::money::Percent::default() {
            return each;
        }
        let part = self.model.rules.over_ten.get() / 100.0;
        let many = self.integer(1);
        self.need((used.clone() - many * f64::from(useful)).leq(10));
        let spare = self.integer(useful + flat);
        self.need((each - spare).leq(0));
        self.need((used.clone() * part + many * (part * 10.0) - spare).leq(part * 10.0));
        spare.into()
    }

    /// At least this many different numbers (0 or 1) bought of source `s`.
    fn hold(&mut self, s: usize) {
        let on: Expression = self.bought[s].iter().map(|b| b.on).sum();
        self.need(on.geq(1));
    }

    /// Sets the objective and solves.
    fn finish(mut self, seconds: Option<f64>) -> Result<Solved, NoPlan> {
        self.programme.objective = match self.aim {
            Aim::Meet => self.missed.iter().flatten().sum(),
            Aim::Cost | Aim::Under(_) => self.cost.clone(),
            Aim::Few(_) | Aim::Any(..) => self.ties.clone(),
            Aim::Life(..) => self.life.clone() * -1.0,
        };
        if let Aim::Few(cost) | Aim::Life(cost, _) | Aim::Any(cost, _, _) = self.aim {
            // Amounts are whole grains, so half a grain of slack lets nothing dearer in.
            self.need(self.cost.clone().leq(cost + 0.4));
        }
        if let Aim::Under(limit) = self.aim {
            self.need(self.cost.clone().leq(limit));
        }
        if let Aim::Life(_, few) | Aim::Any(_, few, _) = self.aim {
            self.need(self.ties.clone().leq(few + 0.4));
        }
        if let Aim::Any(_, _, life) = self.aim {
            self.need(self.life.clone().geq(life - 0.4));
        }
        if self.barren {
            return Err(NoPlan::Infeasible);
        }
        self.programme.seconds = seconds;
        let objective = self.programme.objective.clone();
        let programme = std::mem::replace(&mut self.programme, Programme::new());
        let (value_of, optimal) = match backend::solve(programme) {
            Outcome::Optimal(values) => (values, true),
            Outcome::Stopped(values) => (values, false),
            Outcome::Infeasible => return Err(NoPlan::Infeasible),
            Outcome::Nothing => return Err(NoPlan::Unknown),
        };
        let value = value_of.eval(&objective);
        Ok(self.read(&value_of, optimal, value))
    }

    fn read(&self, value_of: &Values, optimal: bool, value: f64) -> Solved {
        let mut plan = Plan::empty(self.model);
        for c in &self.scope.classes {
            let class = &self.model.classes[*c];
            let count = |w: &Option<Variable>| w.map_or(class.count(), |w| whole(value_of.get(w)));
            plan.ways[*c] = self.ways[*c].iter().map(count).collect();
        }
        for r in &self.scope.rows {
            let chunks = self.flow[*r].iter().map(|(s, x)| (*s, whole(value_of.get(*x))));
            plan.flow[*r] = chunks.filter(|c| c.1 > 0).collect();
        }
        for (s, bought) in self.bought.iter().enumerate() {
            plan.quantity[s] = bought.iter().map(|b| whole(value_of.eval(&b.pieces))).sum();
        }
        let missed = |v: &Option<Variable>| v.map_or(0, |v| whole(value_of.get(v)));
        Solved { plan, unmet: self.missed.iter().map(missed).collect(), optimal, value }
    }
}
