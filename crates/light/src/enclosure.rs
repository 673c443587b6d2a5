//! How does light go round in a room?
//!
//! Radiosity of matt surfaces: M_i = M₀_i + ρ_i Σ_j F_ij M_j, E_i = E₀_i + Σ_j F_ij M_j
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | M, M₀ | light that leaves a patch, and of it what is its own | lm/m² |
//! | E, E₀ | light on a patch, and of it what comes straight from lamps, sun and sky | lx |
//! | ρ | share of the light that a patch gives back | 1 |
//! | F_ij | view factor from patch i to patch j | 1 |
//!
//! F is Lambert's formula over the larger patch, averaged over points of the smaller one:
//! more of them the nearer. What sampling misses of closure (Σ_j F_ij = 1) is restored by a
//! symmetric scaling, which keeps reciprocity (A_i F_ij = A_j F_ji) exact;
//! [`Enclosure::misfit`] tells how much it was. In a room with corners that jut in, a point
//! sees a patch when it sees its middle. Furniture is left out.
//!
//! The room answers a question about one target, such as a picture's mean illuminance, by
//! the adjoint: E_target = Σ_j y_j E₀_j with y_j = w_j + ρ_j Σ_i F_ij y_i, solved once.

mod closure;

use std::cell::OnceCell;

use geometry::{Point3, Vec3};

use self::closure::Closure;
use crate::domain::fraction;
use crate::mesh::{Facet, Patch};
use crate::view_factor;

/// A closed room of matt patches.
#[derive(Clone, Debug)]
pub struct Enclosure {
    patches: Vec<Patch>,
    facets: Vec<Facet>,
    facet_edges: Vec<Vec<Edge>>,
    patch_edges: Vec<Vec<Edge>>,
    /// The patches of each facet.
    on_facet: Vec<Vec<usize>>,
    /// Facets that jut into the room: the others stand behind everything.
    blocking: Vec<usize>,
    /// Of each patch by how finely it is cut.
    points: Vec<[OnceCell<Points>; 3]>,
    /// A_i F_ij as sampled, j below i, row after row. Each is worked out when it is first asked
    /// for: of a room that is only cut anew, those of the wall that is cut never are.
    sampled: Vec<OnceCell<f64>>,
    /// Worked out when they are first asked for: a room that is only cut anew never is.
    closed: OnceCell<Closed>,
}

/// View factors that each patch's row of makes one, and how far they were from that.
#[derive(Clone, Debug)]
struct Closed {
    factors: Vec<f64>,
    misfit: f64,
}

/// How each patch counts for a target's mean illuminance.
#[derive(Clone, Debug, PartialEq)]
pub struct Importance {
    per_illuminance: Vec<f64>,
}

impl Importance {
    /// y_j: the target's illuminance for each lux that patch j gets straight.
    pub fn of(&self, patch: usize) -> f64 {
        self.per_illuminance[patch]
    }

    /// All of them, in the patches' order.
    pub fn all(&self) -> &[f64] {
        &self.per_illuminance
    }
}

/// A patch's points with their shares of its area.
type Points = Vec<(Point3, f64)>;

/// More rounds than the palest room needs.
const ROUNDS_MAX: usize = 500;

impl Enclosure {
    /// The view factors among a room's patches. `None` without patches or facets.
    pub fn new(patches: Vec<Patch>, facets: Vec<Facet>) -> Option<Self> {
        if patches.is_empty() || facets.is_empty() {
            return None;
        }
        Some(Self {
            facet_edges: facets.iter().map(|f| edges(&f.corners, f.normal)).collect(),
            patch_edges: patch_edges(&patches),
            on_facet: by_facet(&patches, facets.len())?,
            points: vec![Default::default(); patches.len()],
            sampled: vec![OnceCell::new(); pair(patches.len(), 0)],
            closed: OnceCell::new(),
            blocking: blocking(&facets),
            patches,
            facets,
        })
    }

    /// The same room cut into other patches, as [`Enclosure::new`] would have it: what passes
    /// between patches that both have is not worked out again.
    pub fn with_patches(&self, patches: Vec<Patch>) -> Option<Self> {
        if patches.is_empty() {
            return None;
        }
        let kept = self.kept(&patches);
        let sampled = (0..patches.len()).flat_map(|i| {
            let kept = &kept;
            (0..i).map(move |j| match (kept[i], kept[j]) {
                (Some(i), Some(j)) => OnceCell::from(self.sampled(i, j)),
                _ => OnceCell::new(),
            })
        });
        Some(Self {
            facet_edges: self.facet_edges.clone(),
            patch_edges: patch_edges(&patches),
            on_facet: by_facet(&patches, self.facets.len())?,
            points: vec![Default::default(); patches.len()],
            sampled: sampled.collect(),
            closed: OnceCell::new(),
            blocking: self.blocking.clone(),
            facets: self.facets.clone(),
            patches,
        })
    }

    /// Of each patch, which of this room's it is; none where it is cut otherwise.
    pub fn kept(&self, patches: &[Patch]) -> Vec<Option<usize>> {
        let same = |patch: &Patch| {
            let on_facet = self.on_facet.get(patch.facet)?;
            on_facet
                .iter()
                .copied()
                .find(|at| self.patches[*at] == *patch)
        };
        patches.iter().map(same).collect()
    }

    /// Its patches.
    pub fn patches(&self) -> &[Patch] {
        &self.patches
    }

    /// The facets that its patches are cut from.
    pub fn facets(&self) -> &[Facet] {
        &self.facets
    }

    /// The largest share by which sampling had missed closure before it was restored.
    pub fn misfit(&self) -> f64 {
        self.closed().misfit
    }

    /// F from patch `i` to patch `j`.
    pub fn factor(&self, i: usize, j: usize) -> f64 {
        self.factors()[i * self.patches.len() + j]
    }

    fn factors(&self) -> &[f64] {
        &self.closed().factors
    }

    fn closed(&self) -> &Closed {
        self.closed.get_or_init(|| self.close())
    }

    /// A_i F_ij of two patches, worked out once; of a patch and itself nothing.
    fn sampled(&self, i: usize, j: usize) -> f64 {
        if i == j {
            return 0.0;
        }
        let (i, j) = (i.max(j), i.min(j));
        *self.sampled[pair(i, j)].get_or_init(|| self.sample(i, j))
    }

    /// A_i F_ij by points of the smaller patch, of alike ones the later.
    fn sample(&self, i: usize, j: usize) -> f64 {
        let (a, b) = (&self.patches[i], &self.patches[j]);
        if !faces(a, b) || !faces(b, a) {
            return 0.0;
        }
        let (small, large, points) = if a.area_m2 <= b.area_m2 {
            (a, b, &self.points[i])
        } else {
            (b, a, &self.points[j])
        };
        let sizes = small.centre.distance(large.centre) / large.area_m2.sqrt();
        let level = if sizes > 3.0 {
            0
        } else if sizes > 1.5 {
            1
        } else {
            2
        };
        let seen = |point: Point3| self.sees(point, large.centre);
        let points =
            points[usize::from(level)].get_or_init(|| view_factor::points(&small.corners, level));
        let factor: f64 = (points.iter())
            .filter(|(point, _)| seen(*point))
            .map(|(point, share)| {
                share * view_factor::at_point(*point, small.normal, &large.corners)
            })
            .sum();
        small.area_m2 * factor
    }

    /// Scales rows and columns alike so that each row sums to its patch's area: s_i G_ij s_j.
    fn close(&self) -> Closed {
        let n = self.patches.len();
        let pairs = (0..n).flat_map(|i| (0..n).map(move |j| (i, j)));
        let mut exchange: Vec<f64> = pairs.map(|(i, j)| self.sampled(i, j)).collect();
        let areas: Vec<f64> = self.patches.iter().map(|patch| patch.area_m2).collect();
        let Closure { scales, misfit } = Closure::of(&exchange, &areas);
        for i in 0..n {
            let of_row = scales[i] / areas[i];
            let row = exchange[i * n..(i + 1) * n].iter_mut().zip(&scales);
            row.for_each(|(g, scale)| *g *= of_row * scale);
        }
        Closed {
            factors: exchange,
            misfit,
        }
    }

    /// Whether nothing of the room stands between two of its points.
    pub fn sees(&self, from: Point3, to: Point3) -> bool {
        !(self.blocking.iter())
            .any(|facet| crosses(&self.facets[*facet], &self.facet_edges[*facet], from, to))
    }

    /// M of every patch by its reflectance and its own light. `None` unless there is one of
    /// each for every patch, each reflectance from 0 to below 1.
    pub fn exitance(&self, reflectance: &[f64], own: &[f64]) -> Option<Vec<f64>> {
        self.check(reflectance)?;
        (own.len() == self.patches.len()).then_some(())?;
        let mut leaving = own.to_vec();
        self.settle(&mut leaving, |i, arriving| {
            own[i] + reflectance[i] * arriving
        });
        Some(leaving)
    }

    /// E of every patch from light that leaves patches.
    pub fn illuminance(&self, leaving: &[f64]) -> Vec<f64> {
        let rows = self.factors().chunks(self.patches.len());
        rows.map(|row| dot(row, leaving)).collect()
    }

    /// How each patch counts for the mean illuminance of the patches that `target` picks.
    /// `None` when it picks none, or as in [`Enclosure::exitance`].
    pub fn importance(
        &self,
        reflectance: &[f64],
        target: impl Fn(&Patch) -> bool,
    ) -> Option<Importance> {
        self.check(reflectance)?;
        let area = |patch: &Patch| if target(patch) { patch.area_m2 } else { 0.0 };
        let whole: f64 = self.patches.iter().map(area).sum();
        (whole > 0.0).then_some(())?;
        // z = y/A follows the same rule as the light itself, by reciprocity.
        let own: Vec<f64> = self
            .patches
            .iter()
            .map(|p| area(p) / p.area_m2 / whole)
            .collect();
        let mut z = own.clone();
        self.settle(&mut z, |i, arriving| own[i] + reflectance[i] * arriving);
        let per_illuminance = z.iter().zip(&self.patches).map(|(z, p)| z * p.area_m2);
        Some(Importance {
            per_illuminance: per_illuminance.collect(),
        })
    }

    /// Light that comes back to the target for each lm/m² that leaves every patch of it.
    pub fn returned(&self, importance: &Importance, target: impl Fn(&Patch) -> bool) -> f64 {
        let own: Vec<f64> = self
            .patches
            .iter()
            .map(|p| if target(p) { 1.0 } else { 0.0 })
            .collect();
        let first = self.illuminance(&own);
        first.iter().zip(importance.all()).map(|(e, y)| e * y).sum()
    }

    fn check(&self, reflectance: &[f64]) -> Option<()> {
        let possible = |rho: &f64| fraction(*rho).is_some_and(|rho| rho < 1.0);
        (reflectance.len() == self.patches.len() && reflectance.iter().all(possible)).then_some(())
    }

    /// Gauss and Seidel's rounds: each takes the newest value of every other patch.
    fn settle(&self, values: &mut [f64], next: impl Fn(usize, f64) -> f64) {
        let (n, factors) = (self.patches.len(), self.factors());
        for _ in 0..ROUNDS_MAX {
            let (mut change, mut size) = (0.0_f64, 0.0_f64);
            for i in 0..n {
                let arriving = dot(&factors[i * n..(i + 1) * n], values);
                let new = next(i, arriving);
                change = change.max((new - values[i]).abs());
                size = size.max(new.abs());
                values[i] = new;
            }
            if change <= 1e-11 * size {
                break;
            }
        }
    }

    /// The patch that a ray from inside first meets.
    pub fn hit(&self, from: Point3, direction: Vec3) -> Option<usize> {
        let mut nearest: Option<(f64, usize)> = None;
        for (index, facet) in self.facets.iter().enumerate() {
            let least = nearest.map_or(f64::INFINITY, |(least, _)| least);
            if let Some(way) = way_to(facet, &self.facet_edges[index], from, direction, least) {
                nearest = Some((way, index));
            }
        }
        let (way, facet) = nearest?;
        let point = from + direction * way;
        // Rounding at an edge between patches: the one least missed.
        let mut best: Option<(f64, usize)> = None;
        for index in &self.on_facet[facet] {
            let missed = outside(&self.patch_edges[*index], point);
            if missed <= 0.0 {
                return Some(*index);
            }
            if best.is_none_or(|(least, _)| missed < least) {
                best = Some((missed, *index));
            }
        }
        best.map(|(_, index)| index)
    }
}

/// Σ a_k b_k in eight sums side by side: one after the other waits for each to end.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (a, a_rest) = a.as_chunks::<8>();
    let (b, b_rest) = b.as_chunks::<8>();
    let mut sums = [0.0; 8];
    for (a, b) in a.iter().zip(b) {
        for ((sum, a), b) in sums.iter_mut().zip(a).zip(b) {
            *sum += a * b;
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(a, b)| a * b).sum();
    sums.iter().sum::<f64>() + rest
}

/// Where the pair of `i` and a `j` below it stands, pairs row after row.
fn pair(i: usize, j: usize) -> usize {
    i * i.saturating_sub(1) / 2 + j
}

fn patch_edges(patches: &[Patch]) -> Vec<Vec<Edge>> {
    let of = |patch: &Patch| edges(&patch.corners, patch.normal);
    patches.iter().map(of).collect()
}

/// The patches of each facet; none where one names a facet that is not there.
fn by_facet(patches: &[Patch], facets: usize) -> Option<Vec<Vec<usize>>> {
    let mut on_facet = vec![Vec::new(); facets];
    for (index, patch) in patches.iter().enumerate() {
        on_facet.get_mut(patch.facet)?.push(index);
    }
    Some(on_facet)
}

/// Whether part of `other` lies before `patch`.
fn faces(patch: &Patch, other: &Patch) -> bool {
    let before = |corner: &Point3| (*corner - patch.centre).dot(patch.normal) > 1e-9;
    other.corners.iter().any(before)
}

/// Facets with some of the room behind their plane.
fn blocking(facets: &[Facet]) -> Vec<usize> {
    let corners = || facets.iter().flat_map(|facet| &facet.corners);
    let juts_in = |facet: &Facet| {
        let on_it = facet.corners[0];
        corners().any(|corner| (*corner - on_it).dot(facet.normal) <= -1e-6)
    };
    (0..facets.len())
        .filter(|facet| juts_in(&facets[*facet]))
        .collect()
}

/// A point of an edge, and the unit vector out of the polygon in its plane.
type Edge = (Point3, Vec3);

fn edges(corners: &[Point3], normal: Vec3) -> Vec<Edge> {
    let n = corners.len();
    let turn: f64 = (1..n - 1)
        .map(|k| {
            let (a, b) = (corners[k] - corners[0], corners[k + 1] - corners[0]);
            a.cross(b).dot(normal)
        })
        .sum::<f64>()
        .signum();
    let edge = |k: usize| {
        let (a, b) = (corners[k], corners[(k + 1) % n]);
        Some((a, ((b - a).cross(normal) * turn).unit()?))
    };
    (0..n).filter_map(edge).collect()
}

/// How far a point of a polygon's plane is outside it, m; zero or below inside.
fn outside(edges: &[Edge], point: Point3) -> f64 {
    let beyond = edges.iter().map(|(a, out)| (point - *a).dot(*out));
    beyond.fold(f64::NEG_INFINITY, f64::max)
}

/// Lengths of the direction to where a ray meets a facet from its front, if below `least`.
fn way_to(facet: &Facet, edges: &[Edge], from: Point3, direction: Vec3, least: f64) -> Option<f64> {
    let towards = -direction.dot(facet.normal);
    if towards < 1e-12 {
        return None;
    }
    let way = (from - facet.corners[0]).dot(facet.normal) / towards;
    let hits = way > 1e-6 && way < least && outside(edges, from + direction * way) <= 1e-6;
    hits.then_some(way)
}

/// Whether a facet stands between two points, from whichever side.
fn crosses(facet: &Facet, edges: &[Edge], from: Point3, to: Point3) -> bool {
    let on_it = facet.corners[0];
    let (a, b) = (
        (from - on_it).dot(facet.normal),
        (to - on_it).dot(facet.normal),
    );
    // Ends on the facet itself do not hide each other.
    if a.min(b) > -1e-6 || a.max(b) < 1e-6 {
        return false;
    }
    outside(edges, from.towards(to, a / (a - b))) < -1e-6
}

#[cfg(test)]
mod tests;
