//! Where does a label go so that it can be read?
//!
//! Candidates are tried from the nearest to the farthest: inside the thing, beside it, away from it with a leader, and as
//! a number in a circle whose words stand in the key. A place that would cover another text, or be run through by a
//! leader, is never taken; lines under a text only cost. A number always finds a place, because rows above the drawing
//! are opened for it when nothing else is free.

use crate::block::{Block, MARK_GAP_MM, WORDS_APART, evened};
use crate::canvas::Canvas;
use crate::font::{LETTERING_MM, text_width, wrap};
use crate::model::{Fill, KeyEntry, Pen, Role, Shape};
use crate::paper::{Bounds, Point, point, segments_cross};
use crate::verdict::{MARK_MM, Verdict};

/// A text that belongs to a thing on the drawing.
pub(crate) struct Label {
    /// The thing's rectangle on paper; a point has no extent.
    pub to: Bounds,
    pub words: String,
    pub verdict: Option<Verdict>,
}

impl Label {
    pub fn told(words: &str, verdict: Option<Verdict>) -> String {
        match (verdict, words.is_empty()) {
            (None, _) => words.to_string(),
            (Some(v), true) => v.word().to_string(),
            (Some(v), false) => format!("{words}: {}", v.word()),
        }
    }
}

/// Labels wider than this are wrapped.
const WIDTH_MM: f64 = 40.0;
/// A label of more lines goes into the key.
const LINES: usize = 3;
/// Among more than this many labels …
const CROWD: usize = 5;
/// … within this distance, numbers alone find places.
const CROWD_MM: f64 = 14.0;
/// How often labels are placed again with the stuck ones first.
const ATTEMPTS: usize = 10;
/// As many rows above the drawing are tried: more would leave any paper.
const ROWS: u32 = 40;
/// Extra cost of a number: a reader's trip to the key.
const NUMBER_COST: f64 = 8.0;
/// Cost of each other thing that a label lies on: more than a number's, so that only a drawing without room pays it.
const COVERS_COST: f64 = 12.0;
/// Cost of standing nearer to another thing than to its own without a leader: more than that of a leader.
const STRAY_COST: f64 = 6.0;
/// A thing smaller than this either way is a point or a line on paper, mm.
const BODY_MM: f64 = 0.5;

/// Labels to be placed together, from left to right.
struct Crowd<'a> {
    labels: &'a [Label],
    /// Which of them stand so close that only numbers find places.
    crowded: &'a [bool],
    region: Bounds,
}

/// How a label came onto the drawing.
enum Placed {
    Written,
    Numbered,
    /// As a number whose leader runs through a text.
    Struck,
}

struct Place {
    at: Bounds,
    leader: Option<(Point, Point)>,
    cost: f64,
}

impl Canvas {
    /// Places all labels within `region`; things that hold their words come first, then from left to right.
    pub fn place_labels(&mut self, labels: Vec<Label>, region: Bounds) {
        let is_told = |label: &&Label| !label.words.is_empty() || label.verdict.is_some();
        let bodies = labels.iter().filter(is_told).map(|label| label.to);
        let is_body = |to: &Bounds| to.width() > BODY_MM && to.height() > BODY_MM;
        self.bodies.extend(bodies.filter(is_body));
        let mut rest = Vec::new();
        for label in labels {
            if label.words.is_empty() && label.verdict.is_none() {
                continue;
            }
            match self.place_inside(&label, region) {
                Some((block, place)) => block.put(self, place.at),
                None => rest.push(label),
            }
        }
        rest.sort_by(|a, b| {
            let key = |l: &Label| l.to.centre();
            key(a)
                .x
                .total_cmp(&key(b).x)
                .then(key(a).y.total_cmp(&key(b).y))
        });
        let crowded: Vec<bool> = rest
            .iter()
            .map(|label| {
                let near =
                    |other: &&Label| (other.to.centre() - label.to.centre()).length() < CROWD_MM;
                rest.iter().filter(near).count() > CROWD
            })
            .collect();
        // Their neighbours too, or the first long text would take the room of a dozen numbers.
        let crowded: Vec<bool> = (0..rest.len())
            .map(|i| {
                (0..rest.len()).any(|j| {
                    crowded[j] && (rest[i].to.centre() - rest[j].to.centre()).length() < CROWD_MM
                })
            })
            .collect();
        let crowd = Crowd {
            labels: &rest,
            crowded: &crowded,
            region,
        };
        // A label that finds no place is moved to the front and all are placed again: it then takes what blocked it.
        let mut first: Vec<usize> = Vec::new();
        let start = self.mark();
        let mut fewest = (usize::MAX, first.clone());
        for _ in 0..ATTEMPTS {
            let (stuck, rings) = self.place_all(&crowd, &first);
            if stuck.is_empty() {
                return self.renumber(rings);
            }
            if stuck.len() < fewest.0 {
                fewest = (stuck.len(), first.clone());
            }
            first.retain(|i| !stuck.contains(i));
            first.splice(0..0, stuck);
            self.back_to(&start);
        }
        let (_, rings) = self.place_all(&crowd, &fewest.1);
        self.renumber(rings);
    }

    /// Places the labels of `first`, then numbers that find room right beside crowded things, then the rest from left to
    /// right. Returns the labels whose leaders run through a text, and the rings as (label, index of the ring's text).
    fn place_all(
        &mut self,
        crowd: &Crowd<'_>,
        first: &[usize],
    ) -> (Vec<usize>, Vec<(usize, usize)>) {
        let (mut stuck, mut rings) = (Vec::new(), Vec::new());
        let others = (0..crowd.labels.len()).filter(|i| !first.contains(i));
        let mut later = Vec::new();
        let order = first
            .iter()
            .copied()
            .map(|i| (i, false))
            .chain(others.map(|i| (i, crowd.crowded[i])));
        for (i, only_beside) in order {
            if only_beside {
                later.push(i);
                if let Some(text) = self.place_beside(&crowd.labels[i], crowd.region) {
                    later.pop();
                    rings.push((i, text));
                }
            } else if first.contains(&i) {
                self.place_counted(crowd, i, &mut stuck, &mut rings);
            } else {
                later.push(i);
            }
        }
        for i in later {
            self.place_counted(crowd, i, &mut stuck, &mut rings);
        }
        (stuck, rings)
    }

    fn place_counted(
        &mut self,
        crowd: &Crowd<'_>,
        i: usize,
        stuck: &mut Vec<usize>,
        rings: &mut Vec<(usize, usize)>,
    ) {
        let before = self.texts.len();
        match self.place_one(&crowd.labels[i], crowd.crowded[i], crowd.region) {
            Placed::Written => {}
            Placed::Numbered => rings.push((i, before)),
            Placed::Struck => {
                rings.push((i, before));
                stuck.push(i);
            }
        }
    }

    /// A number that touches its thing, if there is room; returns the index of its text.
    fn place_beside(&mut self, label: &Label, region: Bounds) -> Option<usize> {
        let (ring, known) = self.ring(label);
        let place = self
            .best(label, &ring, region)
            .filter(|p| p.leader.is_none() && p.cost < 0.65)?;
        let before = self.texts.len();
        self.commit_ring(label, &ring, &place, known);
        Some(before)
    }

    /// Numbers the rings from left to right, whatever the order in which they found their places.
    fn renumber(&mut self, mut rings: Vec<(usize, usize)>) {
        rings.sort_unstable();
        // From a hundred on, another number may need a wider ring.
        if self.key.len() > 99 {
            return;
        }
        let mut key: Vec<KeyEntry> = Vec::new();
        for (_, text) in rings {
            let content = &self.texts[text].content;
            let old = self
                .key
                .iter()
                .find(|e| e.number.to_string() == *content)
                .expect("each ring has its row in the key");
            let number = key
                .iter()
                .find(|e| e.text == old.text)
                .map_or(key.len() + 1, |e| e.number);
            if number > key.len() {
                key.push(KeyEntry {
                    number,
                    text: old.text.clone(),
                });
            }
            self.texts[text].content = number.to_string();
        }
        self.key = key;
    }

    /// The ring for a label, and whether its words stand in the key already.
    fn ring(&self, label: &Label) -> (Block, bool) {
        let words = Label::told(&label.words, label.verdict);
        let known = self.key.iter().find(|e| e.text == words).map(|e| e.number);
        let number = known.unwrap_or(self.key.len() + 1);
        (
            Block {
                lines: vec![number.to_string()],
                verdict: label.verdict,
                ring: true,
            },
            known.is_some(),
        )
    }

    fn commit_ring(&mut self, label: &Label, ring: &Block, place: &Place, known: bool) {
        self.commit(ring, place);
        if !known {
            self.key.push(KeyEntry {
                number: self.key.len() + 1,
                text: Label::told(&label.words, label.verdict),
            });
        }
    }

    fn mark(&self) -> [usize; 6] {
        [
            self.elements.len(),
            self.texts.len(),
            self.key.len(),
            self.reserved.len(),
            self.obstacles.len(),
            self.leaders.len(),
        ]
    }

    fn back_to(&mut self, mark: &[usize; 6]) {
        self.elements.truncate(mark[0]);
        self.texts.truncate(mark[1]);
        self.key.truncate(mark[2]);
        self.reserved.truncate(mark[3]);
        self.obstacles.truncate(mark[4]);
        self.leaders.truncate(mark[5]);
    }

    fn place_inside(&self, label: &Label, region: Bounds) -> Option<(Block, Place)> {
        let indent = if label.verdict.is_some() {
            MARK_MM + MARK_GAP_MM
        } else {
            0.0
        };
        let room = label.to.width() - 2.0 - indent;
        if room < 4.0 {
            return None;
        }
        let words = Label::told(&label.words, label.verdict);
        let longest_word = words
            .split(' ')
            .map(|w| text_width(w, LETTERING_MM, false))
            .fold(0.0, f64::max);
        if longest_word > room {
            return None;
        }
        let block = Block {
            lines: wrap(&words, LETTERING_MM, false, room.min(60.0)),
            verdict: label.verdict,
            ring: false,
        };
        let (w, h) = block.size();
        if h + 1.6 > label.to.height() {
            return None;
        }
        let slack = (label.to.height() - h) / 2.0 - 0.8;
        let place = [0.0, -0.5, 0.5, -0.9, 0.9]
            .into_iter()
            .filter_map(|part| {
                let centre = label.to.centre() + point(0.0, slack * part);
                self.judged(
                    label,
                    Bounds::centred(centre, w, h),
                    WORDS_APART,
                    None,
                    part.abs(),
                    region,
                )
            })
            .min_by(|a, b| a.cost.total_cmp(&b.cost))?;
        (place.cost < 4.0).then_some((block, place))
    }

    fn place_one(&mut self, label: &Label, crowded: bool, region: Bounds) -> Placed {
        let words = Label::told(&label.words, label.verdict);
        // A text that is wrapped narrower may stand where a long line finds no room.
        let mut written: Option<(Block, Place)> = None;
        let mut tried = 0;
        for width in [WIDTH_MM, WIDTH_MM * 0.6, WIDTH_MM * 0.4] {
            let lines = wrap(&words, LETTERING_MM, false, width);
            // A cut word is not read on a ladder: a number holds it.
            if crowded || lines.len() > LINES || lines.len() <= tried || cuts_word(&words, &lines) {
                continue;
            }
            tried = lines.len();
            let block = Block {
                lines: evened(&words, lines, width),
                verdict: label.verdict,
                ring: false,
            };
            if let Some(place) = self.best(label, &block, region)
                && written
                    .as_ref()
                    .is_none_or(|(_, w)| place.cost + 1.0 < w.cost)
            {
                written = Some((block, place));
            }
        }
        if let Some((block, place)) = &written
            && place.cost < NUMBER_COST
        {
            self.commit(block, place);
            return Placed::Written;
        }
        let (ring, known) = self.ring(label);
        let numbered = self.best(label, &ring, region);
        if let Some((block, place)) = written
            && numbered
                .as_ref()
                .is_none_or(|n| place.cost <= n.cost + NUMBER_COST)
        {
            self.commit(&block, &place);
            return Placed::Written;
        }
        let (place, free) = numbered.map_or_else(
            || self.row_above(label, &ring, region),
            |place| (place, true),
        );
        self.commit_ring(label, &ring, &place, known);
        if free {
            Placed::Numbered
        } else {
            Placed::Struck
        }
    }

    fn commit(&mut self, block: &Block, place: &Place) {
        if let Some((from, to)) = place.leader {
            let dot = Shape::Circle {
                centre: from,
                radius_mm: 0.35,
                pen: Pen::Thin,
                fill: Fill::Ink,
            };
            self.draw(Role::Leader, vec![Shape::line(from, to, Pen::Thin), dot]);
        }
        block.put(self, place.at);
    }

    /// The cheapest free place, if there is one.
    fn best(&self, label: &Label, block: &Block, region: Bounds) -> Option<Place> {
        let (w, h) = block.size();
        let mut candidates: Vec<(Bounds, bool, f64)> = Vec::new();
        let beside = |candidates: &mut Vec<_>, dx: f64, dy: f64, cost: f64| {
            candidates.push((
                Bounds::centred(label.to.centre() + point(dx, dy), w, h),
                false,
                cost,
            ));
        };
        let (reach_x, reach_y) = (
            (label.to.width() + w) / 2.0 + 0.9,
            (label.to.height() + h) / 2.0 + 0.7,
        );
        let (slide_x, slide_y) = ((label.to.width() - w) / 2.0, (label.to.height() - h) / 2.0);
        for (part, cost) in [(0.0, 0.0), (-1.0, 0.3), (1.0, 0.3), (-0.5, 0.3), (0.5, 0.3)] {
            beside(&mut candidates, reach_x, slide_y * part, 0.4 + cost);
            beside(&mut candidates, -reach_x, slide_y * part, 0.6 + cost);
            beside(&mut candidates, slide_x * part, -reach_y, 0.5 + cost);
            beside(&mut candidates, slide_x * part, reach_y, 0.5 + cost);
        }
        for (sx, sy) in [(1.0, -1.0), (1.0, 1.0), (-1.0, -1.0), (-1.0, 1.0)] {
            beside(&mut candidates, sx * reach_x, sy * reach_y, 1.0);
        }
        for gap in [
            3.0, 5.0, 7.5, 10.5, 14.0, 18.0, 23.0, 29.0, 36.0, 44.0, 54.0, 66.0,
        ] {
            for step in 0..24 {
                let angle = f64::from(step) * std::f64::consts::TAU / 24.0;
                let (sin, cos) = angle.sin_cos();
                // As far along the ray as parts the two rectangles by the gap.
                let reach = |half: f64, part: f64| {
                    if part.abs() < 1e-6 {
                        f64::INFINITY
                    } else {
                        (half + gap) / part.abs()
                    }
                };
                let along = reach((label.to.width() + w) / 2.0, cos)
                    .min(reach((label.to.height() + h) / 2.0, sin));
                let centre = label.to.centre() + point(cos, sin) * along;
                candidates.push((Bounds::centred(centre, w, h), true, 2.5 + 0.12 * gap));
            }
        }
        candidates.sort_by(|a, b| a.2.total_cmp(&b.2));
        let mut best: Option<Place> = None;
        for (at, led, base) in candidates {
            if best.as_ref().is_some_and(|b| b.cost <= base) {
                break;
            }
            let leader = led.then(|| leader(label.to, at));
            if let Some(place) = self.judged(label, at, block.apart(), leader, base, region)
                && best.as_ref().is_none_or(|b| place.cost < b.cost)
            {
                best = Some(place);
            }
        }
        best
    }

    /// The cost of a place; `None` when it may not be taken.
    fn judged(
        &self,
        label: &Label,
        at: Bounds,
        apart: Point,
        leader: Option<(Point, Point)>,
        base: f64,
        region: Bounds,
    ) -> Option<Place> {
        if !region.covers(&at) {
            return None;
        }
        let quad = Bounds {
            min: at.min - apart,
            max: at.max + apart,
        }
        .quad();
        if self.is_taken(&quad) {
            return None;
        }
        let mut cost = base + self.weights_under(&quad).sum::<f64>();
        cost += self.misplaced(label, at, leader.is_some());
        if let Some((from, to)) = leader {
            if self.strikes(from, to) {
                return None;
            }
            let along = Bounds::new(from, to);
            cost += 6.0
                * self
                    .leaders
                    .near(along)
                    .filter(|(a, b)| segments_cross(*a, *b, from, to))
                    .count() as f64;
            // Through another thing a leader seems to start there.
            let crossed = self
                .obstacles
                .near(along)
                .filter(|o| segments_cross(o.from, o.to, from, to));
            cost += crossed
                .map(|o| if o.weight > 2.0 { 3.0 } else { 0.1 })
                .sum::<f64>();
            cost += 0.08 * (to - from).length();
        }
        Some(Place { at, leader, cost })
    }

    /// What a label costs by lying on other things, or by seeming to belong to one.
    fn misplaced(&self, label: &Label, at: Bounds, is_led: bool) -> f64 {
        let away = |body: &Bounds| (body.nearest(at.centre()) - at.centre()).length();
        let own = away(&label.to);
        // What a thing stands in or on does not mislead.
        let others = (self.bodies.iter()).filter(|body| !body.covers(&label.to));
        others
            .map(|body| match body.meets(&at) {
                true => COVERS_COST,
                false if !is_led && away(body) < own => STRAY_COST,
                false => 0.0,
            })
            .sum()
    }

    /// A place in a row above the region, and whether its leader is free of texts; rows go on upwards, so one is always
    /// found.
    fn row_above(&self, label: &Label, block: &Block, region: Bounds) -> (Place, bool) {
        let (w, h) = block.size();
        let open = region.grown(1e6);
        for strict in [true, false] {
            for row in 0..ROWS {
                let y = region.min.y - (f64::from(row) + 0.5) * (h + 1.2);
                for step in 0..80 {
                    let aside = f64::from((step + 1) / 2)
                        * (w / 2.0)
                        * if step % 2 == 0 { 1.0 } else { -1.0 };
                    let at = Bounds::centred(point(label.to.centre().x + aside, y), w, h);
                    if at.min.x < region.min.x || at.max.x > region.max.x {
                        continue;
                    }
                    let line = leader(label.to, at);
                    // When every straight leader would strike a text, the text's ground covers the leader instead.
                    if let Some(mut place) =
                        self.judged(label, at, block.apart(), strict.then_some(line), 0.0, open)
                    {
                        place.leader = Some(line);
                        return (place, strict);
                    }
                }
            }
        }
        // A region narrower than the number itself: stack above everything drawn so far.
        let top = self.bounds().min.y - h;
        let at = Bounds::centred(point(label.to.centre().x, top), w, h);
        (
            Place {
                at,
                leader: Some(leader(label.to, at)),
                cost: 0.0,
            },
            false,
        )
    }
}

/// Whether a wrap had to end a line within a word.
fn cuts_word(words: &str, lines: &[String]) -> bool {
    let whole = words
        .split([' ', '\t', '\n'])
        .filter(|word| !word.is_empty());
    !whole.eq(lines.iter().flat_map(|line| line.split(' ')))
}

/// From a dot in the thing to the near side of the label's box.
fn leader(to: Bounds, at: Bounds) -> (Point, Point) {
    let inner = to.grown(-(to.width().min(to.height()) / 2.0).min(0.9));
    let from = inner.nearest(at.centre());
    let x = from
        .x
        .max(at.min.x.min(at.centre().x - 0.1) + 0.05)
        .min(at.max.x - 0.05);
    let middle = at.centre().y;
    let ends = [
        point(at.min.x - 0.5, middle),
        point(at.max.x + 0.5, middle),
        point(x, at.min.y - 0.5),
        point(x, at.max.y + 0.5),
    ];
    let nearest = ends
        .into_iter()
        .min_by(|a, b| (*a - from).length().total_cmp(&(*b - from).length()));
    (from, nearest.expect("four ends"))
}

#[cfg(test)]
mod tests;
