//! Which studs does a plate cross, and does a cut-out live between them?
//!
//! Bars (studs along a wall, joists along a ceiling, fire blocks up a bay) lie
//! at known centres with a known face; the bays are what is free between
//! them and the ends. All places are measured from the left end, or from the
//! floor for fire blocks. The ends count as solid: what stands in a corner is
//! not known.

use units::Metres;

use units::guard::positive;

/// Width of the edge of common sawn framing, 1 1/2 in (from memory).
pub const FACE_WIDTH: Metres = Metres(1.5 * 0.0254);
/// Usual distances between the centres of studs, 16 and 24 in (from memory).
pub const SPACINGS: [Metres; 2] = [Metres(16.0 * 0.0254), Metres(24.0 * 0.0254)];

/// Bars at equal distances.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Framing {
    /// From the left end to the centre of the first bar.
    pub first: Metres,
    /// From centre to centre.
    pub spacing: Metres,
    /// Width of each bar's face.
    pub face: Metres,
    /// From end to end.
    pub length: Metres,
}

/// Bars at any places.
#[derive(Clone, Debug, PartialEq)]
pub struct Bars {
    centres: Vec<f64>,
    face: f64,
    length: f64,
}

/// A plate or a cut-out along the bars' direction of counting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Its left (or lower) end.
    pub start: Metres,
    /// Its width (or height).
    pub width: Metres,
}

/// A bar that a plate crosses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// Centre of the bar.
    pub centre: Metres,
    /// From the start of the plate to that centre: where its hole goes.
    pub from_start: Metres,
}

/// How a cut-out lies in its bay.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// Free space before it, up to the face of the bar; negative when it cuts the bar.
    pub before: Metres,
    /// Free space after it.
    pub after: Metres,
    /// Least move that gives the clearance asked for on both sides, 0 when it has it already;
    /// `None` when no bay is wide enough.
    pub shift: Option<Metres>,
}

/// Bars beyond this are a mistyped spacing, not a wall.
const BARS_MAX: f64 = 10_000.0;

impl Framing {
    /// The bars within the length; `None` for a length or spacing that is not above zero, a face
    /// as wide as the spacing, or a first centre outside the length.
    pub fn bars(&self) -> Option<Bars> {
        let (length, spacing) = (positive(self.length.0)?, positive(self.spacing.0)?);
        let first = self.first.0;
        if !(0.0..=length).contains(&first) || length / spacing > BARS_MAX {
            return None;
        }
        // A bar drawn exactly at the end must not be lost to the last bit of a float.
        let count = ((length - first) / spacing + 1e-9).floor() as usize + 1;
        let centres: Vec<Metres> = (0..count)
            .map(|k| Metres(first + k as f64 * spacing))
            .collect();
        if self.face.0 >= spacing {
            return None;
        }
        Bars::new(&centres, self.face, self.length)
    }

    /// The bars of a row that goes on to both ends, by any one of them: also those whose faces
    /// only reach into the length, so that no bar comes or goes at once when the row is shifted.
    /// `None` as for [`Framing::bars`], and for a first centre that is no number.
    pub fn bars_throughout(&self) -> Option<Bars> {
        let (length, spacing) = (positive(self.length.0)?, positive(self.spacing.0)?);
        let face = positive(self.face.0).filter(|face| *face < spacing)?;
        let first = self.first.0;
        if !first.is_finite() || length / spacing > BARS_MAX {
            return None;
        }
        let reach = face / 2.0;
        let nearest = first - spacing * ((first + reach) / spacing).floor();
        let count = ((length + reach - nearest) / spacing).floor() as usize + 1;
        Some(Bars {
            centres: (0..count).map(|k| nearest + k as f64 * spacing).collect(),
            face,
            length,
        })
    }
}

impl Bars {
    /// Bars at these centres, in any order; `None` for a face or length that is not above zero, or
    /// a centre outside the length. No bars at all leaves one bay from end to end.
    pub fn new(centres: &[Metres], face: Metres, length: Metres) -> Option<Self> {
        let length = positive(length.0)?;
        let face = positive(face.0)?;
        let inside = |centre: &Metres| (0.0..=length + 1e-9).contains(&centre.0);
        if !centres.iter().all(inside) {
            return None;
        }
        let mut centres: Vec<f64> = centres.iter().map(|centre| centre.0).collect();
        centres.sort_by(f64::total_cmp);
        Some(Self {
            centres,
            face,
            length,
        })
    }

    /// Centres from start to end.
    pub fn centres(&self) -> Vec<Metres> {
        self.centres.iter().copied().map(Metres).collect()
    }

    /// Free intervals between faces and ends, start and end of each.
    fn bays(&self) -> Vec<(f64, f64)> {
        let half = self.face / 2.0;
        let mut bays = Vec::new();
        let mut from = 0.0_f64;
        for centre in &self.centres {
            bays.push((from, centre - half));
            from = centre + half;
        }
        bays.push((from, self.length));
        bays.retain(|bay| bay.1 > bay.0);
        bays
    }

    /// The bars whose centres lie under the plate with at least `edge` of plate on both sides.
    pub fn crossed(&self, plate: Span, edge: Metres) -> Option<Vec<Crossing>> {
        let (start, width) = span(plate)?;
        let edge = units::guard::non_negative(edge.0)?;
        // A bar drawn exactly at the limit counts.
        let under = |c: &&f64| **c >= start + edge - 1e-9 && **c <= start + width - edge + 1e-9;
        let crossing = |c: &f64| Crossing {
            centre: Metres(*c),
            from_start: Metres(c - start),
        };
        Some(self.centres.iter().filter(under).map(crossing).collect())
    }

    /// The least move after which the plate crosses at least `count` bars with `edge` on both
    /// sides and stays between the ends; of two equal moves the one back towards the start.
    /// `None` when no place does it.
    pub fn plate_shift(&self, plate: Span, edge: Metres, count: usize) -> Option<Metres> {
        let (start, width) = span(plate)?;
        let edge = units::guard::non_negative(edge.0)?;
        let last_start = self.length - width;
        if count == 0 || last_start < 0.0 {
            return None;
        }
        let moves = self.centres.windows(count).filter_map(|bars| {
            let (first, last) = (bars[0], bars[count - 1]);
            let low = (last + edge - width).max(0.0);
            let high = (first - edge).min(last_start);
            (low <= high + 1e-9).then(|| start.clamp(low, high.max(low)) - start)
        });
        moves
            .min_by(|a, b| a.abs().total_cmp(&b.abs()).then(a.total_cmp(b)))
            .map(Metres)
    }

    /// How a cut-out lies in the bay that suits it best, and the least move to a clear place.
    pub fn fit(&self, cut_out: Span, clearance: Metres) -> Option<Fit> {
        let (start, width) = span(cut_out)?;
        let clear = units::guard::non_negative(clearance.0)?;
        let bays = self.bays();
        let room = |bay: &(f64, f64)| (start - bay.0, bay.1 - start - width);
        let least = |bay: &(f64, f64)| {
            let (before, after) = room(bay);
            before.min(after)
        };
        let bay = bays.iter().max_by(|a, b| least(a).total_cmp(&least(b)))?;
        let (before, after) = room(bay);
        let moves = bays.iter().filter_map(|bay| {
            let (low, high) = (bay.0 + clear, bay.1 - clear - width);
            // A bay exactly as wide as asked still fits, by the last bit of a float or not.
            (low <= high + 1e-9).then(|| start.clamp(low, high.max(low)) - start)
        });
        let shift = moves.min_by(|a, b| a.abs().total_cmp(&b.abs()).then(a.total_cmp(b)));
        Some(Fit {
            before: Metres(before),
            after: Metres(after),
            shift: shift.map(Metres),
        })
    }
}

fn span(span: Span) -> Option<(f64, f64)> {
    let start = span.start.0.is_finite().then_some(span.start.0)?;
    Some((start, positive(span.width.0)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(x: f64) -> Metres {
        Metres::from_inches(x)
    }

    fn wall() -> Bars {
        let framing = Framing {
            first: inches(14.5),
            spacing: SPACINGS[0],
            face: FACE_WIDTH,
            length: inches(144.0),
        };
        framing.bars().unwrap()
    }

    fn at(start_in: f64, width_in: f64) -> Span {
        Span {
            start: inches(start_in),
            width: inches(width_in),
        }
    }

    #[test]
    fn centres_follow_the_first() {
        let centres: Vec<f64> = wall().centres().into_iter().map(Metres::inches).collect();
        let want = [14.5, 30.5, 46.5, 62.5, 78.5, 94.5, 110.5, 126.5, 142.5];
        assert_eq!(centres.len(), want.len());
        for (got, want) in centres.iter().zip(want) {
            assert!((got - want).abs() < 1e-9);
        }
    }

    #[test]
    fn plate_of_18_in_crosses_two_studs_or_one_by_its_place() {
        let crossed = wall().crossed(at(45.5, 18.0), inches(0.5)).unwrap();
        assert_eq!(crossed.len(), 2);
        assert!((crossed[0].from_start.inches() - 1.0).abs() < 1e-9);
        assert!((crossed[1].from_start.inches() - 17.0).abs() < 1e-9);
        assert_eq!(
            wall().crossed(at(48.0, 18.0), inches(0.5)).unwrap().len(),
            1
        );
        assert_eq!(
            wall().crossed(at(47.0, 10.0), inches(0.5)).unwrap().len(),
            0
        );
    }

    #[test]
    fn plate_moves_least_to_catch_two() {
        let shift = wall().plate_shift(at(48.0, 18.0), inches(0.5), 2).unwrap();
        // It may start from 45 to 46 in.
        assert!((shift.inches() + 2.0).abs() < 1e-9);
        assert_eq!(wall().plate_shift(at(48.0, 12.0), inches(0.5), 2), None);
        assert_eq!(
            wall().plate_shift(at(45.5, 18.0), inches(0.5), 2),
            Some(Metres(0.0))
        );
    }

    #[test]
    fn cut_out_between_studs_has_room_on_both_sides() {
        // The bay from 31.25 to 45.75 in is 14.5 in wide.
        let fit = wall().fit(at(33.0, 10.0), inches(0.5)).unwrap();
        assert!((fit.before.inches() - 1.75).abs() < 1e-9);
        assert!((fit.after.inches() - 2.75).abs() < 1e-9);
        assert_eq!(fit.shift, Some(Metres(0.0)));
    }

    #[test]
    fn cut_out_on_a_stud_moves_to_the_nearer_bay() {
        let fit = wall().fit(at(40.0, 10.0), inches(0.5)).unwrap();
        assert!(fit.before.0.min(fit.after.0) < 0.0);
        // Left bay: starts at most at 35.25 in. Right bay: at least at 47.75 in.
        assert!((fit.shift.unwrap().inches() + 4.75).abs() < 1e-9);
        let moved = wall().fit(at(35.25, 10.0), inches(0.5)).unwrap();
        assert!((moved.after.inches() - 0.5).abs() < 1e-9);
    }

    #[test]
    fn a_cut_out_wider_than_any_bay_has_no_place() {
        let fit = wall().fit(at(33.0, 14.0), inches(0.5)).unwrap();
        assert_eq!(fit.shift, None);
        let tight = wall().fit(at(31.5, 13.5), inches(0.5)).unwrap();
        assert!((tight.shift.unwrap().inches() - 0.25).abs() < 1e-6);
    }

    #[test]
    fn fire_block_pushes_a_cut_out_up_or_down() {
        let blocks = Bars::new(&[inches(48.0)], FACE_WIDTH, inches(96.0)).unwrap();
        let fit = blocks.fit(at(46.0, 8.0), Metres(0.0)).unwrap();
        assert!(fit.before.0 < 0.0);
        assert!((fit.shift.unwrap().inches() - 2.75).abs() < 1e-9);
        let free = Bars::new(&[], FACE_WIDTH, inches(96.0)).unwrap();
        assert_eq!(
            free.fit(at(46.0, 8.0), Metres(0.0)).unwrap().shift,
            Some(Metres(0.0))
        );
    }

    #[test]
    fn the_shift_always_leads_to_a_clear_place() {
        let wall = wall();
        for step in 0..500 {
            let start = f64::from(step) * 0.25;
            for width in [3.0, 7.5, 12.0] {
                let cut_out = at(start, width);
                let shift = wall.fit(cut_out, inches(0.25)).unwrap().shift.unwrap();
                let moved = Span {
                    start: cut_out.start + shift,
                    ..cut_out
                };
                let fit = wall.fit(moved, inches(0.25)).unwrap();
                let least = fit.before.inches().min(fit.after.inches());
                assert!(least >= 0.25 - 1e-6, "{start} {width}: {fit:?}");
            }
        }
    }

    #[test]
    fn any_bar_tells_where_all_are_without_a_jump() {
        // Free before and after a hole, in, by where one bar is: 3 1/4 and 3 1/4 in with bars at
        // 32 and 48 in, whichever of them is named, and no jump beside it.
        let free = |first: f64, start: f64| {
            let framing = Framing {
                first: inches(first),
                spacing: inches(16.0),
                face: FACE_WIDTH,
                length: inches(168.0),
            };
            let fit = framing
                .bars_throughout()
                .unwrap()
                .fit(at(start, 8.0), Metres(0.0));
            fit.map(|fit| [fit.before.inches(), fit.after.inches()])
                .unwrap()
        };
        for first in [0.0, 16.0, 48.0, 160.0, -32.0] {
            let [before, after] = free(first, 36.0);
            assert!(
                (before - 3.25).abs() < 1e-9 && (after - 3.25).abs() < 1e-9,
                "{first}"
            );
        }
        // A bar at the very corner leaves half its face; one that ends there leaves all.
        for (first, expected) in [(0.0, 1.25), (-0.75, 2.0), (-0.7, 1.95), (-0.8, 2.0)] {
            let [before, _] = free(first, 2.0);
            assert!((before - expected).abs() < 1e-9, "{first}: {before}");
        }
        // The wall's right end is 8 in past a bar: the same there.
        for (first, expected) in [(8.0, 1.25), (8.75, 2.0), (8.7, 1.95)] {
            let [_, after] = free(first, 158.0);
            assert!((after - expected).abs() < 1e-9, "{first}: {after}");
        }
        for step in 0..400 {
            let first = f64::from(step) * 0.1 - 20.0;
            let [a, b] = [free(first, 70.0), free(first + 1e-6, 70.0)];
            assert!(a[0].min(a[1]) - b[0].min(b[1]) < 2e-6, "{first}");
        }
    }

    #[test]
    fn nonsense_gives_no_answer() {
        let framing = Framing {
            first: inches(14.5),
            spacing: Metres(0.0),
            face: FACE_WIDTH,
            length: inches(144.0),
        };
        assert_eq!(framing.bars(), None);
        assert_eq!(
            Framing {
                spacing: Metres(1e-9),
                ..framing
            }
            .bars(),
            None
        );
        assert_eq!(
            Framing {
                spacing: FACE_WIDTH,
                ..framing
            }
            .bars(),
            None
        );
        assert_eq!(
            Framing {
                first: Metres(f64::NAN),
                spacing: SPACINGS[0],
                ..framing
            }
            .bars(),
            None
        );
        assert_eq!(wall().fit(at(f64::NAN, 1.0), Metres(0.0)), None);
        assert_eq!(wall().crossed(at(0.0, -1.0), Metres(0.0)), None);
    }
}
