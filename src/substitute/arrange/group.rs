//! Single parts, matched groups and pairs in series or parallel, as alternatives.

use super::balance::{self, Balance};
use super::position::{Alternative, Choice, Demand};
use super::{made_up, notes, pair};
use crate::model::kind::PartKind;
use crate::model::need::{Answer, Need};
use crate::model::plan::ArrangementKind;
use crate::model::shop::Article;
use crate::substitute::candidates::{Ask, Found, Source, Target};
use crate::substitute::verdict::{check, expected_life};

/// Asks that are filled alike from one source; one ask alone, or a matched group.
#[derive(Debug, Clone)]
pub(super) struct Group<'f, 'a> {
    /// What has been found.
    pub(super) found: &'f Found<'a>,
    /// Indices of the asks.
    pub(super) members: Vec<usize>,
}

impl<'a> Group<'_, 'a> {
    /// The first ask; the others are alike.
    pub(super) fn lead(&self) -> Option<&Ask<'a>> {
        self.members.first().and_then(|i| self.found.asks.get(*i))
    }

    /// The references.
    pub(super) fn refs(&self) -> Vec<String> {
        self.members.iter().filter_map(|i| self.found.asks.get(*i)).map(|a| a.name.clone()).collect()
    }

    /// Every alternative: single parts; pairs where no single part does, and two class Y2 parts
    /// beside one of class Y1.
    pub(super) fn alternatives(&self) -> Vec<Alternative> {
        let mut all: Vec<Alternative> = self.single().into_iter().collect();
        if all.is_empty() || self.lead().is_some_and(Ask::pair_beside_single) {
            all.extend(self.series());
        }
        if all.is_empty() {
            all.extend(self.parallel());
            all.extend(made_up::of_two(self));
        }
        all
    }

    /// Sources that serve every member in one way, second choices only where nothing else does.
    pub(super) fn serving(&self, target: impl Fn(usize) -> Target) -> Vec<&Source> {
        let uses = |source: &Source| {
            let of = |m: &usize| source.uses.iter().find(|u| u.target == target(*m));
            let all: Option<Vec<_>> = self.members.iter().map(of).collect();
            all.map(|uses| uses.iter().any(|u| u.second_choice))
        };
        let serving: Vec<(&Source, bool)> = self.found.sources.iter().filter_map(|s| Some((s, uses(s)?))).collect();
        let first_choice = serving.iter().any(|(_, second_choice)| !second_choice);
        serving.into_iter().filter(|(_, second_choice)| !(first_choice && *second_choice)).map(|(s, _)| s).collect()
    }

    /// The demand for the parts themselves.
    pub(super) fn demand(&self, any_of: Vec<Choice>, each: u32) -> Demand {
        let members = u32::try_from(self.members.len()).unwrap_or(u32::MAX);
        let select = if self.is_selected() { self.lead().map_or(0, |a| a.context.shop.spares.to_select) } else { 0 };
        let pieces = members.saturating_mul(each);
        Demand {
            same_source: 1 < pieces,
            select_extra: if 1 < members { select } else { 0 },
            ..Demand::of(self.refs(), any_of, pieces)
        }
    }

    /// Whether a match is selected from extra pieces: cheap parts with leads, not valves or cans.
    fn is_selected(&self) -> bool {
        let cheap = |kind: PartKind| kind.is_resistor() || (kind.is_capacitor() && kind != PartKind::Electrolytic);
        self.lead().is_some_and(|a| cheap(a.context.part.kind))
    }

    /// A source as a choice, judged as `article` (itself, or the pair as one).
    pub(super) fn choice(&self, source: &Source, article: &Article) -> Choice {
        let mut choice = Choice {
            source: source.key.clone(),
            hours: None,
            notes: self.lead().map(|ask| notes::of_article(ask, &source.article)).unwrap_or_default(),
        };
        for ask in self.members.iter().filter_map(|i| self.found.asks.get(*i)) {
            for note in cautions(&ask.need, article, ask) {
                if !choice.notes.contains(&note) {
                    choice.notes.push(note);
                }
            }
            let hours = expected_life(&ask.need, article);
            choice.hours = match (choice.hours, hours) {
                (Some(a), Some(b)) => Some(a.min(b)),
                (a, b) => a.or(b),
            };
        }
        choice
    }

    /// Notes of every member's place.
    pub(super) fn place_notes(&self) -> Vec<String> {
        let asks: Vec<&Ask<'_>> = self.members.iter().filter_map(|i| self.found.asks.get(*i)).collect();
        let several = 1 < asks.len();
        let named = |ask: &&Ask<'_>| {
            let name = ask.name.clone();
            notes::of_place(ask).into_iter().map(move |n| if several { format!("{name}: {n}") } else { n })
        };
        let mut all: Vec<String> = asks.iter().flat_map(named).collect();
        if several {
            let how =
                if self.is_selected() { "measure and select pieces that match" } else { "order them as a matched set" };
            all.push(how.to_owned());
        }
        all
    }

    /// One part in each place.
    fn single(&self) -> Option<Alternative> {
        let choices: Vec<Choice> =
            self.serving(Target::Single).into_iter().map(|s| self.choice(s, &s.article)).collect();
        let alternative = |choices| Alternative {
            kind: ArrangementKind::Single,
            demands: vec![self.demand(choices, 1)],
            notes: self.place_notes(),
            way: None,
        };
        (!choices.is_empty()).then(|| alternative(choices))
    }

    /// Two in series in each place; one alternative for each kind of part, since its balancing
    /// resistors follow from it.
    fn series(&self) -> Vec<Alternative> {
        let Some(ask) = self.lead() else {
            return Vec::new();
        };
        let bus = ask.bus().or(ask.need.vac_min);
        let mut rest = self.serving(Target::Series);
        let mut all = Vec::new();
        while let Some(first) = rest.first().copied() {
            let (same, others): (Vec<_>, Vec<_>) = rest.into_iter().partition(|s| alike(&s.article, &first.article));
            rest = others;
            let both = |s: &Source| bus.and_then(|bus| pair::in_series(&ask.need, &s.article, bus, &ask.rules));
            let choices: Vec<Choice> = same.iter().filter_map(|s| Some(self.choice(s, &both(s)?))).collect();
            let balance = bus.and_then(|bus| balance::resistor(&first.article, bus));
            let string = first.article.kind == PartKind::Electrolytic;
            all.extend(self.string(choices, balance.filter(|_| string), string));
        }
        all
    }

    /// A series pair with its resistors; `None` where it needs some and there are none.
    fn string(&self, choices: Vec<Choice>, balance: Option<Balance>, electrolytic: bool) -> Option<Alternative> {
        let ask = self.lead()?;
        if choices.is_empty() {
            return None;
        }
        let mut alternative = Alternative {
            kind: ArrangementKind::Series,
            demands: vec![self.demand(choices, 2)],
            notes: self.place_notes(),
            way: None,
        };
        if electrolytic {
            let (demand, says) = self.balancing(&balance?)?;
            alternative.demands.push(demand);
            alternative.notes.extend(notes::of_string(ask.context.part));
            alternative.notes.push(says);
        } else {
            alternative.notes.push("two equal parts in series".to_owned());
        }
        Some(alternative)
    }

    /// The balancing resistors of each string.
    fn balancing(&self, balance: &Balance) -> Option<(Demand, String)> {
        let ask = self.lead()?;
        let needs = balance.needs(&ask.name);
        let mut choices = Vec::new();
        for (source, _) in self.found.serving(Target::Balancing) {
            let met = needs.iter().find(|n| check(n, &source.article, &ask.rules).usable());
            if let Some(need) = met {
                let ohm = source.article.ohm().unwrap_or(balance.most);
                let mut notes = cautions(need, &source.article, ask);
                notes.push(format!("{ohm} across each, {} of heat in each", balance.heat(ohm)));
                choices.push(Choice { source: source.key.clone(), hours: None, notes });
            }
        }
        let says = format!(
            "balancing: at most {} for {} on both and {} of leakage between them",
            balance.most, balance.bus, balance.spread
        );
        let mut demand = self.demand(choices, 2);
        demand.select_extra = 0;
        "balancing".clone_into(&mut demand.extra_for);
        (!demand.any_of.is_empty()).then_some((demand, says))
    }

    /// Two in parallel in each place.
    fn parallel(&self) -> Option<Alternative> {
        let ask = self.lead()?;
        let both = |s: &Source| pair::in_parallel(&ask.need, &s.article);
        let sources = self.serving(Target::Parallel);
        let choices: Vec<Choice> = sources.into_iter().filter_map(|s| Some(self.choice(s, &both(s)?))).collect();
        let mut notes = self.place_notes();
        notes.push("two equal parts in parallel: check the space for both".to_owned());
        (!choices.is_empty()).then(|| Alternative {
            kind: ArrangementKind::Parallel,
            demands: vec![self.demand(choices, 2)],
            notes,
            way: None,
        })
    }
}

/// Whether two articles make the same string.
fn alike(a: &Article, b: &Article) -> bool {
    a.kind == b.kind && a.value == b.value && a.volts == b.volts && a.tolerance == b.tolerance && a.leakage == b.leakage
}

/// What to be careful about with this article.
fn cautions(need: &Need, article: &Article, ask: &Ask<'_>) -> Vec<String> {
    let verdict = check(need, article, &ask.rules);
    let own = verdict.points.into_iter().filter(|p| p.answer == Answer::Caution && !notes::of_the_place(p));
    own.map(|p| p.says).collect()
}
