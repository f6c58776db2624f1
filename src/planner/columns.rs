//! From candidate strings to the solver's columns, rows and gates.

use std::rc::Rc;

use super::charging::pushed_by;
use super::gates::{FaultGate, FloatGate};
use super::season::Season;
use super::strings_known::StringsKnown;
use super::terms::{CountRow, Question, Terms, spares_of};
use crate::model::{ArrayWiring, PanelString};
use crate::patterns::{
    Bench, Pattern, Screening, Stock, base_pattern, describe_pattern, extended_patterns,
    keeps_own_limits,
};
use crate::plan::Touch;
use crate::solve::{Choice, Column, Gate, Problem, Rate, Row, Sense};

/// Candidates of one touch level on one input.
#[derive(Clone)]
pub(super) struct Candidates {
    pub patterns: Vec<Pattern>,
    /// Their rates, as the solver takes them.
    rates: Vec<Rate>,
    /// Lowest and highest level of the rates.
    levels: (f64, f64),
    /// Joints that each needs at least.
    least_moves: Vec<usize>,
    /// For each pattern, the group of installed strings it stands for, if any.
    groups: Vec<Option<usize>>,
    /// Strings that stand today though they lie outside the search space, and how many of each:
    /// as many may stay, no more.
    outside: Vec<(PanelString, usize)>,
    /// How many installed strings each group has.
    group_sizes: Vec<usize>,
    /// Installed panels that patterns of each group contain anyway.
    group_counts: Vec<Vec<usize>>,
    pub screening: Screening,
    pub narrowed: Option<String>,
}

/// Today's wiring on the input that is planned.
pub(super) fn installed_array<'a>(bench: &'a Bench) -> &'a ArrayWiring {
    &bench
        .installation
        .installed
        .iter()
        .find(|w| w.at == bench.at)
        .expect("every input has its wiring, be it empty")
        .array
}

/// Lists the candidates of a question.
pub(super) fn list_candidates(bench: &Bench, question: &Question) -> Candidates {
    let installation = bench.installation;
    let today = installed_array(bench);
    let n_kinds = installation.kinds.len();
    let installed = today.count_by_kind(n_kinds);
    let spares = spares_of(installation);
    // Where installed strings are taken apart, their panels are there as well.
    let free = match question.touch {
        Touch::Free => installed.clone(),
        Touch::None | Touch::Extend => vec![0; n_kinds],
    };
    let panels = spares.iter().zip(&free).map(|(spare, own)| spare + own).collect();
    let stock = Stock::new(panels, installation.panel_limits(&free));
    // Taken off the shelf if nobody else needs it.
    let set = Rc::unwrap_or_clone(bench.free_patterns(&stock, question.arithmetic));
    let mut all = Candidates {
        groups: vec![None; set.patterns.len()],
        patterns: set.patterns,
        rates: Vec::new(),
        levels: (0.0, 0.0),
        least_moves: Vec::new(),
        outside: Vec::new(),
        group_sizes: Vec::new(),
        group_counts: Vec::new(),
        screening: set.screening,
        narrowed: set.narrowed.map(str::to_owned),
    };
    match question.touch {
        Touch::None => all.keep_as_it_is(bench, question),
        Touch::Extend => all.keep_together(bench, question, &stock),
        Touch::Free => all.put_today_first(bench, question),
    }
    all.drop_unusable();
    all.rate(bench, question, &StringsKnown::default());
    let sorts = sorts_of_strings(today);
    all.least_moves = all.patterns.iter().map(|p| least_moves(p, &sorts, &installed)).collect();
    all
}

impl Candidates {
    /// What each pattern gives over the level: amperes over volts, or what it brings over a season.
    pub(super) fn rate(&mut self, bench: &Bench, question: &Question, known: &StringsKnown) {
        self.rates.clear();
        let Some(season) = question.season else {
            let (lo, hi) = bench.controller().hold_range();
            self.levels = (lo.volts(), hi.volts());
            self.rates = self.patterns.iter().map(|p| Rate::new(p.rate.clone())).collect();
            return;
        };
        let describer = season.describer(bench);
        self.levels = describer.levels();
        self.rates = self.patterns.iter().map(|p| known.rate(p, &describer)).collect();
    }

    /// The installed array as one pattern that is taken once; none if a string of it breaches a limit.
    fn keep_as_it_is(&mut self, bench: &Bench, question: &Question) {
        let today = installed_array(bench);
        if let Some(base) = base_pattern(today, bench, question.arithmetic) {
            let sound = today.strings.iter().all(|s| keeps_own_limits(s, bench));
            let counts = base.counts.clone();
            self.add_group(counts, 1, sound.then_some(base).into_iter().collect());
        }
    }

    /// For every sort of installed string, its extensions.
    fn keep_together(&mut self, bench: &Bench, question: &Question, spares: &Stock) {
        for (string, n) in sorts_of_strings(installed_array(bench)) {
            let (patterns, screening, whole) =
                extended_patterns(&string, bench, spares, question.arithmetic);
            let mut counts = vec![0; bench.installation.kinds.len()];
            string.panels().for_each(|k| counts[k.0] += 1);
            if !whole {
                self.narrowed.get_or_insert_with(|| "not every way to extend a string".to_owned());
            }
            self.screening.merge(screening);
            self.add_group(counts, n, patterns);
        }
    }

    /// Today's strings before all others, so that of equals they are seen first; those outside the
    /// search space (a larger block, say) are candidates all the same.
    fn put_today_first(&mut self, bench: &Bench, question: &Question) {
        for (string, n) in sorts_of_strings(installed_array(bench)).into_iter().rev() {
            let listed = self.patterns.iter().position(|p| p.strings[0] == string);
            let pattern = match listed {
                Some(at) => self.patterns.remove(at),
                None if keeps_own_limits(&string, bench) => {
                    self.outside.push((string.clone(), n));
                    describe_pattern(string, bench, question.arithmetic)
                }
                None => continue,
            };
            self.patterns.insert(0, pattern);
        }
        self.groups = vec![None; self.patterns.len()];
    }

    /// By the nameplate rule a string below the window cannot be used at all.
    fn drop_unusable(&mut self) {
        let usable: Vec<bool> = self.patterns.iter().map(|p| !p.rate.is_empty()).collect();
        let mut keep = usable.iter();
        self.patterns.retain(|_| *keep.next().expect("one flag a pattern"));
        let mut keep = usable.iter();
        self.groups.retain(|_| *keep.next().expect("one flag a pattern"));
    }

    fn add_group(&mut self, counts: Vec<usize>, n: usize, patterns: Vec<Pattern>) {
        let group = self.group_sizes.len();
        self.group_sizes.push(n);
        self.group_counts.push(counts);
        self.groups.splice(0..0, patterns.iter().map(|_| Some(group)));
        self.patterns.splice(0..0, patterns);
    }

    /// How many installed strings each group has; none where anything may be rewired.
    pub(super) fn group_sizes(&self) -> &[usize] {
        &self.group_sizes
    }

    /// The group of installed strings that a pattern stands for, if any.
    pub(super) fn group(&self, pattern: usize) -> Option<usize> {
        self.groups[pattern]
    }

    /// Does a string stand today that is no candidate anywhere else?
    pub(super) fn holds_outside(&self) -> bool {
        !self.outside.is_empty()
    }

    /// The solver's problem.
    pub(super) fn problem<'a>(
        &'a self,
        bench: &'a Bench,
        question: &Question,
        terms: &Terms,
    ) -> Problem<'a> {
        let (rows, fill) = self.rows(bench, question, terms);
        let columns = self
            .patterns
            .iter()
            .zip(&self.groups)
            .zip(self.rates.iter().zip(&self.least_moves))
            .map(|((p, group), (rate, least_moves))| Column {
                uses: fill(p, *group),
                rate: rate.clone(),
                cost: question.charge_of(bench, &p.counts)
                    + terms.price_of(&p.counts)
                    + terms.charging.map_or(0.0, |c| c.price * pushed_by(p, bench))
                    + terms.beyond.map_or(0.0, |b| b.price * p.label),
                size: p.counts.iter().sum(),
                least_moves: *least_moves,
            })
            .collect();
        Problem {
            columns,
            rows,
            gates: self.gates(bench),
            levels: self.levels,
            most_columns: terms.ports + installed_array(bench).strings.len(),
            most_gross: None,
        }
    }

    /// Rates each pattern by what it brings at most over the season, whatever else is wired, so that
    /// no level matters. What is known is known of the season before this factor.
    pub(super) fn take_ceilings(
        &mut self,
        bench: &Bench,
        (season, factor): (&Season, f64),
        known: &StringsKnown,
    ) {
        let describer = season.describer(bench);
        self.levels = (1.0, 1.0);
        let ceiling = |p: &Pattern| Rate::new([(1.0, known.ceiling(p, &describer, factor))]);
        self.rates = self.patterns.iter().map(ceiling).collect();
    }

    /// The rows, and how a pattern fills them.
    #[allow(clippy::type_complexity, reason = "one closure, used at once")]
    fn rows<'a>(
        &'a self,
        bench: &'a Bench,
        question: &Question,
        terms: &Terms,
    ) -> (Vec<Row>, impl Fn(&Pattern, Option<usize>) -> Vec<(usize, f64)> + 'a) {
        let installed = installed_array(bench).count_by_kind(terms.spares.len());
        let free = question.touch == Touch::Free;
        let mut rows = Vec::new();
        let mut row = |name, sense, rhs: f64| {
            rows.push(Row { name, sense, rhs });
            rows.len() - 1
        };
        let stock_rows: Vec<usize> = terms
            .spares
            .iter()
            .zip(&installed)
            .map(|(spare, own)| {
                let own = if free { *own } else { 0 };
                row("stock", Sense::AtMost, (spare + own) as f64)
            })
            .collect();
        let ports = row("string_ports", Sense::AtMost, terms.ports as f64);
        let current = terms.current.map(|limit| row("input_current", Sense::AtMost, limit));
        let power = terms.power.map(|limit| row("input_power", Sense::AtMost, limit));
        let beyond = terms.beyond.map(|b| row("beyond the output", Sense::AtMost, -b.least));
        let mut charging: Vec<(usize, f64)> = Vec::new();
        if let Some(span) = terms.charging {
            if span.most.is_finite() {
                charging.push((row("battery_charge", Sense::AtMost, span.most), 1.0));
            }
            if span.least.is_finite() {
                charging.push((row("battery_charge", Sense::AtMost, -span.least), -1.0));
            }
        }
        let group_rows: Vec<usize> = self
            .group_sizes
            .iter()
            .map(|n| row("installed string kept", Sense::Exactly, *n as f64))
            .collect();
        let outside: Vec<(&PanelString, usize)> = self
            .outside
            .iter()
            .map(|(string, n)| (string, row("stands today", Sense::AtMost, *n as f64)))
            .collect();
        let forced = terms
            .forced
            .clone()
            .map(|f| (row("must be wired", Sense::AtMost, -(f.count as f64)), f));
        let capped =
            terms.capped.clone().map(|c| (row("may be wired", Sense::AtMost, c.count as f64), c));
        let counted: Vec<(usize, CountRow)> = terms
            .counted
            .iter()
            .map(|count| (row("panels shared", Sense::AtMost, count.most), count.clone()))
            .collect();
        let fill = move |p: &Pattern, group: Option<usize>| {
            let mut uses = Vec::with_capacity(stock_rows.len() + counted.len() + 4);
            uses.push((ports, p.strings.len() as f64));
            for (k, row) in stock_rows.iter().enumerate() {
                let own = group.map_or(0, |g| self.group_counts[g][k]);
                if p.counts[k] > own {
                    uses.push((*row, (p.counts[k] - own) as f64));
                }
            }
            uses.extend(current.map(|row| (row, p.i_sc)));
            uses.extend(power.map(|row| (row, p.label)));
            uses.extend(beyond.map(|row| (row, -p.label)));
            if !charging.is_empty() {
                let amps = pushed_by(p, bench);
                uses.extend(charging.iter().map(|(row, a)| (*row, a * amps)));
            }
            uses.extend(group.map(|g| (group_rows[g], 1.0)));
            let stands = outside.iter().find(|(string, _)| p.strings == [(*string).clone()]);
            uses.extend(stands.map(|(_, row)| (*row, 1.0)));
            for (sign, label) in [(-1.0, &forced), (1.0, &capped)] {
                let Some((row, label)) = label else { continue };
                let n: usize = label.kinds.iter().map(|k| p.counts[k.0]).sum();
                uses.extend((n > 0).then_some((*row, sign * n as f64)));
            }
            let shared = counted.iter().map(|(row, count)| (*row, count.used(&p.counts)));
            uses.extend(shared.filter(|(_, used)| *used != 0.0));
            uses
        };
        (rows, fill)
    }

    fn gates<'a>(&'a self, bench: &'a Bench) -> Vec<Box<dyn Gate + 'a>> {
        let patterns = self.patterns.as_slice();
        let mut gates: Vec<Box<dyn Gate + 'a>> = Vec::new();
        for sky in 0..bench.skies().len() {
            if patterns.iter().any(|p| p.float_limit[sky].is_finite()) {
                gates.push(Box::new(FloatGate::new(patterns, bench, sky)));
            }
        }
        if patterns.iter().any(|p| p.most_array_i_sc.is_finite()) {
            gates.push(Box::new(FaultGate { patterns }));
        }
        gates
    }

    /// The choice that stands for a wiring, if every string of it is a candidate.
    pub(super) fn choice_of(&self, array: &ArrayWiring) -> Option<Choice> {
        let mut choice = Choice::new();
        for (string, n) in sorts_of_strings(array) {
            let at = self.patterns.iter().position(|p| p.strings == [string.clone()])?;
            choice.push((at, n));
        }
        choice.sort_unstable();
        Some(choice)
    }

    /// The wiring that a choice stands for.
    pub(super) fn wiring_of(&self, choice: &[(usize, usize)]) -> ArrayWiring {
        let strings = choice
            .iter()
            .flat_map(|&(j, n)| std::iter::repeat_n(&self.patterns[j].strings, n))
            .flatten()
            .cloned()
            .collect();
        ArrayWiring { strings }
    }
}

/// Strings that are electrically alike, with how many there are, in ascending order.
pub(super) fn sorts_of_strings(array: &ArrayWiring) -> Vec<(PanelString, usize)> {
    let mut sorts: Vec<(PanelString, usize)> = Vec::new();
    for string in array.canonical().strings {
        match sorts.last_mut() {
            Some((last, n)) if *last == string => *n += 1,
            _ => sorts.push((string, 1)),
        }
    }
    sorts
}

/// Joints that a string needs at least: none if it stands today, else one, and one for every panel
/// of it that cannot be an installed one.
fn least_moves(pattern: &Pattern, today: &[(PanelString, usize)], installed: &[usize]) -> usize {
    let stands = pattern.strings.iter().all(|s| today.iter().any(|(t, _)| t == &s.canonical()));
    if stands {
        return 0;
    }
    let fresh: usize =
        pattern.counts.iter().zip(installed).map(|(n, own)| n.saturating_sub(*own)).sum();
    fresh.max(1)
}
