//! The one place that chooses a solver, and what is asked of it.

use good_lp::solvers::SolutionStatus;
use good_lp::{
    Constraint, Expression, ProblemVariables, ResolutionError, Solution, SolverModel, Variable, WithTimeLimit,
};

/// Whether the solver that is built in makes cuts and copes with programmes of some thousand variables.
pub(super) const STRONG: bool = cfg!(feature = "highs");

/// An integer programme to be minimised.
pub(super) struct Programme {
    pub(super) variables: ProblemVariables,
    pub(super) objective: Expression,
    pub(super) constraints: Vec<Constraint>,
    /// Seconds after which to stop; none: when done.
    pub(super) seconds: Option<f64>,
}

/// The values of the variables of a solved programme.
pub(super) struct Values(Box<dyn Fn(Variable) -> f64>);

/// What came of it.
pub(super) enum Outcome {
    /// Solved to the end.
    Optimal(Values),
    /// Stopped early with a plan.
    Stopped(Values),
    /// The solver says that there is no plan.
    Infeasible,
    /// No plan for another reason: time, or numerical trouble.
    Nothing,
}

impl Programme {
    pub(super) fn new() -> Self {
        Self {
            variables: ProblemVariables::new(),
            objective: Expression::default(),
            constraints: Vec::new(),
            seconds: None,
        }
    }
}

impl Values {
    pub(super) fn get(&self, variable: Variable) -> f64 {
        (self.0)(variable)
    }

    pub(super) fn eval(&self, expression: &Expression) -> f64 {
        expression.eval_with(self)
    }
}

impl Solution for Values {
    fn status(&self) -> SolutionStatus {
        SolutionStatus::Optimal
    }

    fn value(&self, variable: Variable) -> f64 {
        self.get(variable)
    }
}

/// Most variables of a programme that microlp is asked for where HiGHS is built in: it is done with those before HiGHS
/// has begun.
#[cfg(feature = "highs")]
const SOON: usize = 300;

/// Solves with the solver that is built in.
#[cfg(not(feature = "highs"))]
pub(super) fn solve(programme: Programme) -> Outcome {
    microlp(programme)
}

fn microlp(programme: Programme) -> Outcome {
    let model = programme.variables.minimise(programme.objective).using(good_lp::solvers::microlp::microlp);
    finish(model, programme.constraints, programme.seconds)
}

/// Solves with HiGHS what is not small.
///
/// HiGHS 1.16 called 2 of 900 programmes without a plan that have one, and was right about both without
/// its presolve; so "no plan" is believed only when it says so both ways.
#[cfg(feature = "highs")]
pub(super) fn solve(programme: Programme) -> Outcome {
    if programme.variables.len() <= SOON {
        return microlp(programme);
    }
    let part = |part: f64| programme.seconds.map(|s| s * part);
    match highs(&programme, "choose", part(1.0 - AGAIN)) {
        Outcome::Infeasible => highs(&programme, "off", part(AGAIN)),
        outcome => outcome,
    }
}

/// The part of the seconds that is kept for asking again, so that both together keep the limit.
#[cfg(feature = "highs")]
const AGAIN: f64 = 0.2;

/// Nodes after which a programme is given up, so that it does not hang where no seconds are asked for.
#[cfg(feature = "highs")]
const NODES: i32 = 20_000;

#[cfg(feature = "highs")]
fn highs(programme: &Programme, presolve: &str, seconds: Option<f64>) -> Outcome {
    let model = programme
        .variables
        .clone()
        .minimise(programme.objective.clone())
        .using(good_lp::solvers::highs::highs)
        .set_option("presolve", presolve)
        .set_option("threads", 1)
        .set_option("mip_max_nodes", NODES)
        .set_option("mip_rel_gap", 0.0)
        // Costs are whole numbers: this is as good as no gap, and leaves room for the last rounding.
        .set_option("mip_abs_gap", 1e-7);
    finish(model, programme.constraints.clone(), seconds)
}

/// Adds what is left to say and solves.
fn finish<M>(mut model: M, constraints: Vec<Constraint>, seconds: Option<f64>) -> Outcome
where
    M: SolverModel<Error = ResolutionError> + WithTimeLimit,
    M::Solution: 'static,
{
    if let Some(seconds) = seconds {
        model = model.with_time_limit(seconds.max(0.01));
    }
    for constraint in constraints {
        model.add_constraint(constraint);
    }
    match model.solve() {
        Ok(solution) => {
            let stopped = matches!(solution.status(), SolutionStatus::TimeLimit);
            let values = Values(Box::new(move |v| solution.value(v)));
            if stopped { Outcome::Stopped(values) } else { Outcome::Optimal(values) }
        }
        Err(ResolutionError::Infeasible) => Outcome::Infeasible,
        Err(_) => Outcome::Nothing,
    }
}
