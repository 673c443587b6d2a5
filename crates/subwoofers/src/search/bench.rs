//! Sums and costs of candidates, laid out for speed.
//!
//! Real and imaginary parts stand apart, all seats of one frequency together, so
//! that adding a sub and weighing the sum run along plain arrays.

use crate::drive::Knobs;
use crate::score::Scale;
use crate::{Arrangement, Goal, Grid, Polarity, Transfers};

use super::pool::Candidate;

pub(crate) struct Bench<'a> {
    transfers: &'a Transfers,
    goal: &'a Goal,
    scale: Scale<'a>,
    grid: &'a Grid,
    /// All settings of one sub.
    pub(crate) knobs: Vec<Knobs>,
    places: Vec<Planes>,
    /// Factor of each setting by frequency.
    factors: Vec<Planes>,
    /// Each place's kind as a number.
    pub(crate) kinds: Vec<u16>,
}

/// Complex numbers as two arrays.
#[derive(Clone)]
pub(crate) struct Planes {
    re: Vec<f64>,
    im: Vec<f64>,
}

/// What a weighing writes into, one for each thread.
pub(crate) struct Scratch {
    sum: Planes,
    levels: Vec<f64>,
}

impl Planes {
    fn zero(count: usize) -> Self {
        Self {
            re: vec![0.0; count],
            im: vec![0.0; count],
        }
    }
}

impl<'a> Bench<'a> {
    pub(crate) fn new(transfers: &'a Transfers, goal: &'a Goal, grid: &'a Grid) -> Self {
        let seats = transfers.seats();
        let lines = transfers.frequencies_hz().len();
        let places = transfers.places().iter().map(|place| {
            let mut planes = Planes::zero(seats * lines);
            for (seat, pressures) in place.pressures.iter().enumerate() {
                for (line, pressure) in pressures.iter().enumerate() {
                    planes.re[line * seats + seat] = pressure.re;
                    planes.im[line * seats + seat] = pressure.im;
                }
            }
            planes
        });
        let knobs = grid.knobs();
        let factors = knobs.iter().map(|&knobs| {
            let mut planes = Planes::zero(lines);
            for (line, frequency) in transfers.frequencies().enumerate() {
                let factor = grid.setting(knobs).factor(frequency);
                (planes.re[line], planes.im[line]) = (factor.re, factor.im);
            }
            planes
        });
        let mut names: Vec<&str> = transfers
            .places()
            .iter()
            .map(|place| place.kind.as_str())
            .collect();
        names.sort_unstable();
        names.dedup();
        let number = |kind: &str| {
            let at = names
                .binary_search(&kind)
                .expect("each kind is among the names");
            u16::try_from(at).expect("there are fewer kinds than a cable has metres")
        };
        Self {
            scale: Scale::new(transfers, goal),
            kinds: transfers
                .places()
                .iter()
                .map(|place| number(&place.kind))
                .collect(),
            places: places.collect(),
            factors: factors.collect(),
            transfers,
            goal,
            grid,
            knobs,
        }
    }

    /// The same places with other settings to choose from.
    pub(crate) fn with_grid<'b>(&self, grid: &'b Grid) -> Bench<'b>
    where
        'a: 'b,
    {
        Bench::new(self.transfers, self.goal, grid)
    }

    pub(crate) fn places(&self) -> usize {
        self.places.len()
    }

    pub(crate) fn silence(&self) -> Planes {
        Planes::zero(self.transfers.seats() * self.transfers.frequencies_hz().len())
    }

    pub(crate) fn scratch(&self) -> Scratch {
        Scratch {
            sum: self.silence(),
            levels: Vec::new(),
        }
    }

    /// `out = base + the sub at `place` with setting number `knob``.
    pub(crate) fn add(&self, base: &Planes, place: usize, knob: usize, out: &mut Planes) {
        let seats = self.transfers.seats();
        let (sub, factor) = (&self.places[place], &self.factors[knob]);
        for (line, (&fr, &fi)) in factor.re.iter().zip(&factor.im).enumerate() {
            let cells = line * seats..(line + 1) * seats;
            let (re, im) = (&sub.re[cells.clone()], &sub.im[cells.clone()]);
            let from = base.re[cells.clone()].iter().zip(&base.im[cells.clone()]);
            let into = out.re[cells.clone()].iter_mut().zip(&mut out.im[cells]);
            for (((out_re, out_im), (base_re, base_im)), (re, im)) in
                into.zip(from).zip(re.iter().zip(im))
            {
                *out_re = base_re + fr * re - fi * im;
                *out_im = base_im + fr * im + fi * re;
            }
        }
    }

    /// The cost of `base` with one more sub.
    pub(crate) fn cost_with(
        &self,
        base: &Planes,
        place: usize,
        knob: usize,
        scratch: &mut Scratch,
    ) -> f64 {
        let Scratch { sum, levels } = scratch;
        self.add(base, place, knob, sum);
        self.scale.weigh(&sum.re, &sum.im, levels).cost
    }

    /// The sum of some subs.
    pub(crate) fn sum(&self, subs: impl Iterator<Item = (usize, usize)>) -> Planes {
        let mut sum = self.silence();
        for (place, knob) in subs {
            let base = sum.clone();
            self.add(&base, place, knob, &mut sum);
        }
        sum
    }

    pub(crate) fn knob(&self, knobs: Knobs) -> Option<usize> {
        // Settings are listed gain by gain, polarity by polarity, delay by delay.
        self.knobs
            .binary_search_by_key(&(knobs.gain, knobs.polarity, knobs.delay), |knobs| {
                (knobs.gain, knobs.polarity, knobs.delay)
            })
            .ok()
    }

    /// Whether settings differ in more than what all subs share: one has full gain,
    /// one no delay, and the first is not inverted.
    pub(crate) fn is_joint(&self, knobs: &[usize]) -> bool {
        let mut all = knobs.iter().map(|&knob| self.knobs[knob]);
        all.clone().any(|knobs| knobs.gain == 0)
            && all.clone().any(|knobs| knobs.delay == 0)
            && all.next().is_none_or(|first| first.polarity == 0)
    }

    /// In the words of the outside: places rising, the first not inverted.
    pub(crate) fn arrangement(&self, candidate: &Candidate) -> Arrangement {
        let mut subs: Vec<_> = candidate
            .subs
            .iter()
            .map(|&(place, knob)| (place, self.grid.setting(self.knobs[knob])))
            .collect();
        subs.sort_by_key(|&(place, _)| place);
        if subs
            .first()
            .is_some_and(|(_, first)| first.polarity == Polarity::Inverted)
        {
            for (_, setting) in &mut subs {
                setting.polarity = match setting.polarity {
                    Polarity::Normal => Polarity::Inverted,
                    Polarity::Inverted => Polarity::Normal,
                };
            }
        }
        Arrangement { subs }
    }
}
