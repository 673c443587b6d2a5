//! Is music in the background about as loud wherever somebody stands?

use acoustics::coverage::{self, Grid, Overlap};
use acoustics::octave::OctaveBand;
use analysis::{Analysis, Limit, Parts, Sounding, Source};
use model::{Edit, Item, LoudspeakerForm, LoudspeakerKit, Space, SpaceKind, Zone};
use serde_json::json;
use uncertainty::Vector3;
use units::{Dimension, Metres, Radians};

use crate::listening::zone_label;
use crate::moves::{Round, written_length};
use crate::room_sound::room_sound;
use crate::seat_sound::{Playing, loudspeaker_energy};
use crate::{
    Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject, Uncertain,
};

pub(super) static BACKGROUND_SPREAD_MAX: Limit = Limit {
    name: "background_spread_max",
    meaning: "the most that background music may differ from place to place in a room, 2 kHz, at the ears of somebody who sits",
    dimension: Dimension::Level,
    value: 6.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "background-evenness",
    area: Area::Sound,
    proves: "Background music from the ceiling is about as loud all over the room.",
    matters: "Where it is loud under one loudspeaker and gone two steps on, it is turned up until nobody can talk below it.",
    formula: "At each point of a grid over the plan, 1.1 m up and 0.6 m off the walls: L = 10 log Σ(q Q/4πr² + 4/R) at 2 kHz over all loudspeakers of the zone; q: off-axis loss as a share of energy, Q: directivity factor, r: distance, m, R = A/(1 − ᾱ), m². Told is the loudest place less the quietest. Count and spacing: D = 2(h − e) tan(φ/2), circles edge to edge, N = area/D²; h: ceiling, e: ear, m; φ: coverage angle. A coverage angle holds for the band that it is printed for.",
    source: Source::CommonPractice,
    when_it_fails: "Add loudspeakers or spread them evenly by the computed spacing, and turn each one's tap down in step.",
    limits: &[&BACKGROUND_SPREAD_MAX],
    published: &[
        Published {
            cite: "ceiling 2.70 m, ear 1.10 m, 90° coverage: diameter (computed)",
            computed: || {
                let angle = Radians::from_degrees(90.0);
                coverage::covered_diameter(Metres(2.7), Metres(1.1), angle)
                    .map_or(f64::NAN, |diameter| diameter.0)
            },
            expected: 3.2,
            tolerance: 1e-9,
            unit: "m",
        },
        Published {
            cite: "hexagonal minimum overlap of 3.20 m: spacing (computed)",
            computed: || coverage::spacing(Metres(3.2), Grid::Hexagonal, Overlap::Minimum).0,
            expected: 2.771_281_292,
            tolerance: 1e-9,
            unit: "m",
        },
    ],
    run: Run::EachSpaceIn(Parts::OPENINGS.and(Parts::COVERINGS), run),
};

/// Ear height of somebody who sits, and how far off the walls anybody is, m (common practice).
const EAR_M: f64 = 1.1;
const OFF_WALL_M: f64 = 0.6;

/// Points along the longer side of the plan.
const POINTS: usize = 12;

type Speaker<'a> = (&'a Item, &'a LoudspeakerKit);

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    if space.kind == Some(SpaceKind::Outdoor) {
        return Vec::new();
    }
    let zones =
        (analysis.zones_in(space)).filter(|zone| zone.layout.is_none() && zone.faces.is_none());
    zones
        .filter_map(|zone| {
            let speakers: Vec<Speaker<'_>> = (analysis.loudspeakers_of(zone))
                .filter(|(item, kit)| {
                    analysis.is_in(item, space) && kit.form != Some(LoudspeakerForm::Subwoofer)
                })
                .collect();
            if speakers.is_empty() {
                return None;
            }
            let subject = Subject::new(&zone.id, zone_label(zone));
            Some(CHECK.about(space, subject, || decide(analysis, space, zone, &speakers)))
        })
        .collect()
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    zone: &Zone,
    speakers: &[Speaker<'_>],
) -> Known<Outcome> {
    let room = room_sound(analysis, space)?;
    let points = points(analysis, space)?;
    let towards = points[points.len() / 2];
    let sources = (speakers.iter())
        .map(|(item, kit)| analysis.sounding(space, item, kit, towards))
        .collect::<Known<Vec<Sounding<'_>>>>()?;
    // Told are two of many points: which, best estimates decide.
    let playing = (sources.iter())
        .map(|source| Playing::new(&room, source, &[OctaveBand::Hz2000]))
        .collect::<Known<Vec<Playing<'_>>>>()?;
    let energy = |at: &[f64; 3]| -> f64 {
        let each = playing.iter().flat_map(|source| source.energies(*at));
        each.map(|[direct, reverberant]| direct + reverberant).sum()
    };
    let level = |at: [f64; 3]| -> Known<Uncertain> {
        let ear = Vector3::new(at[0], at[1], at[2]);
        let mut energy = Uncertain::exact(0.0);
        for source in &sources {
            let (direct, reverberant) =
                loudspeaker_energy(&room, source, &ear, OctaveBand::Hz2000)?;
            energy = energy + direct + reverberant;
        }
        Ok(energy.log10() * 10.0)
    };
    let by_energy = |a: &(f64, [f64; 3]), b: &(f64, [f64; 3])| a.0.total_cmp(&b.0);
    let at = || points.iter().map(|point| (energy(point), *point));
    let (_, loudest) = at().max_by(by_energy).expect("a plan has points");
    let (_, quietest) = at().min_by(by_energy).expect("a plan has points");
    let spread = level(loudest)? - level(quietest)?;
    let limit = analysis.limit(&BACKGROUND_SPREAD_MAX);
    let outcome = Outcome::at_most(spread.clone(), &limit, Dimension::Level);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let grid = grid(analysis, space, speakers);
    let words = grid.as_ref().map_or(String::new(), |grid| {
        format!(
            " Circles edge to edge take {} of them, {} apart.",
            grid.places.len(),
            analysis.exact(grid.spacing_m, Dimension::Length)
        )
    });
    let outcome = outcome.because(format!(
        "{} is {} louder where it is loudest in {} than where it is quietest, with {}; at most {} is asked for.{words}",
        zone_label(zone),
        analysis.print(&spread, Dimension::Level),
        space.label(),
        match speakers.len() {
            1 => "one loudspeaker".to_owned(),
            count => format!("{count} loudspeakers"),
        },
        analysis.exact(limit.value, Dimension::Level),
    ));
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    Ok(outcome.remedy(grid.and_then(|grid| spread_out(analysis, space, zone, speakers, &grid))))
}

/// Where people may be.
pub(super) fn points(analysis: &Analysis, space: &Space) -> Known<Vec<[f64; 3]>> {
    let outline = analysis.shape(space).outline()?;
    let ends = |axis: fn(&geometry::Point2) -> f64| {
        let along = || outline.iter().map(axis);
        (
            along().fold(f64::INFINITY, f64::min),
            along().fold(f64::NEG_INFINITY, f64::max),
        )
    };
    let ((left, right), (low, high)) = (ends(|p| p.x), ends(|p| p.y));
    let step = (right - left).max(high - low) / POINTS as f64;
    let mut points = Vec::new();
    for row in 0..POINTS {
        for column in 0..POINTS {
            let x = left + (column as f64 + 0.5) * step;
            let y = low + (row as f64 + 0.5) * step;
            let point = geometry::Point2::new(x, y);
            let off = geometry::plan::nearest_wall(&outline, point);
            let is_free = off.is_some_and(|near| near.distance_m >= OFF_WALL_M);
            if is_free && geometry::plan::contains(&outline, point) {
                points.push([x, y, EAR_M]);
            }
        }
    }
    if points.is_empty() {
        let middle = geometry::plan::centroid(&outline);
        points.push([middle.x, middle.y, EAR_M]);
    }
    Ok(points)
}

/// Places in a rectangle of four walls: distances from the first and from the second.
struct Places {
    spacing_m: f64,
    places: Vec<[f64; 2]>,
}

/// An even grid edge to edge; none but in rectangles with a level ceiling.
fn grid(analysis: &Analysis, space: &Space, speakers: &[Speaker<'_>]) -> Option<Places> {
    let shape = analysis.shape(space);
    if space.walls.len() != 4 || !shape.has_level_ceiling().ok()? {
        return None;
    }
    let sides = [0, 1].map(|wall| Some(shape.wall_length(wall).ok()?.value()));
    let [along, across] = [sides[0]?, sides[1]?];
    let coverage = (speakers.iter())
        .find_map(|(_, kit)| kit.coverage.as_ref()?.value())
        .unwrap_or(std::f64::consts::FRAC_PI_2);
    let outline = shape.outline().ok()?;
    let middle = geometry::plan::centroid(&outline);
    let height = shape.ceiling().ok()?.height_at(middle);
    let diameter = coverage::covered_diameter(height, Metres(EAR_M), Radians(coverage))?;
    let spacing = coverage::spacing(diameter, Grid::Square, Overlap::EdgeToEdge).0;
    let count = |side: f64| (side / spacing - 1e-6).ceil().max(1.0);
    // From the first wall runs across it, from the second along it.
    let (rows, columns) = (count(across), count(along));
    let places = (0..rows as usize).flat_map(|row| {
        (0..columns as usize).map(move |column| {
            [
                across * (row as f64 + 0.5) / rows,
                along * (column as f64 + 0.5) / columns,
            ]
        })
    });
    Some(Places {
        spacing_m: (across / rows).max(along / columns),
        places: places.collect(),
    })
}

/// The zone's loudspeakers on the grid, with as many more as it takes.
fn spread_out(
    analysis: &Analysis,
    space: &Space,
    zone: &Zone,
    speakers: &[Speaker<'_>],
    grid: &Places,
) -> Option<Remedy> {
    let (first, second) = (&space.walls[0].id, &space.walls[1].id);
    let movable: Vec<&Item> = (speakers.iter())
        .map(|(item, _)| *item)
        .filter(|item| item.hung.is_some() && !item.existing)
        .collect();
    let model = movable.first()?;
    if movable.len() != speakers.len() || movable.len() > grid.places.len() {
        return None;
    }
    let written = |length: f64| written_length(analysis, length, Round::Nearest);
    let mut edits = Vec::new();
    for (index, [from, and]) in grid.places.iter().enumerate() {
        let hung = json!({ "from": [first, written(*from)], "and": [second, written(*and)] });
        match movable.get(index) {
            Some(item) => edits.push(Edit::set(format!("item.{}.hung", item.id), hung)),
            None => {
                let id = format!("{}-{}", zone.id, index + 1);
                if analysis.item(&id).is_some() {
                    return None;
                }
                let mut table = json!({ "id": id, "is": model.is, "space": space.id, "zone": zone.id, "hung": hung });
                if let Some(amplifier) = &model.driven_by {
                    table["driven_by"] = json!(amplifier);
                }
                edits.push(Edit::set(format!("item.{id}"), table));
            }
        }
    }
    let says = format!(
        "Spread {} loudspeakers evenly, {} apart at most, the outer ones half of that off the walls.",
        grid.places.len(),
        analysis.exact(grid.spacing_m, Dimension::Length),
    );
    let remedy = Remedy::new(says, edits);
    Some(remedy.caution(Caution::Ladder).caution(Caution::Drilling))
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    const FINISHES: &str = "finishes = { walls = \"porous_50_sigma10k\", floor = \"carpet-on-pad\", ceiling = \"porous_50_sigma10k\" }\n";

    /// Ceiling loudspeakers of 90° at distances from the west and the north wall.
    fn text(places: &[(f64, f64)], more: &str) -> String {
        let items: String = (places.iter().enumerate())
            .map(|(index, (west, north))| format!("[[item]]\nid = \"c{index}\"\nis = \"in-ceiling-c1\"\nspace = \"den\"\nzone = \"music\"\nhung = {{ from = [\"west\", \"{west} m\"], and = [\"north\", \"{north} m\"] }}\n"))
            .collect();
        format!(
            "{FINISHES}[[kit.loudspeaker]]\nid = \"in-ceiling-c1\"\nform = \"in-ceiling\"\ncoverage = \"90 deg\"\n[[zone]]\nid = \"music\"\nspace = \"den\"\n{items}{more}"
        )
    }

    fn spread(text: &str) -> f64 {
        findings(&CHECK, text)[0].value.as_ref().unwrap().value()
    }

    #[test]
    fn one_in_a_corner_fails_and_a_grid_mends_it() {
        let text = text(&[(1.0, 1.0)], "");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        // D = 2 · 1.3 · tan 45° = 2.6 m: 6/2.6 and 4/2.6, so 3 × 2.
        assert!(
            found[0].because.contains("take 6 of them"),
            "{}",
            told(&found)
        );
        let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
        assert_ne!(after[0].verdict, Verdict::Fails, "{}", told(&after));
    }

    #[test]
    fn more_of_them_are_more_even() {
        let two = spread(&text(&[(1.5, 2.0), (4.5, 2.0)], ""));
        let six = [1.0, 3.0, 5.0]
            .into_iter()
            .flat_map(|x| [(x, 1.0), (x, 3.0)]);
        let six = spread(&text(&six.collect::<Vec<_>>(), ""));
        assert!(six < two, "{six} {two}");
    }

    #[test]
    fn both_sides_of_the_limit_decide() {
        let places = [(1.5, 2.0), (4.5, 2.0)];
        let now = spread(&text(&places, ""));
        let verdict = |limit: f64| {
            let rules = format!("[rules]\nbackground_spread_max = \"{limit:.3} dB\"\n");
            findings(&CHECK, &text(&places, &rules))[0].verdict
        };
        assert_eq!(verdict(now - 0.01), Verdict::Fails);
        assert_ne!(verdict(now + 3.0), Verdict::Fails);
    }

    #[test]
    fn layouts_are_left_alone_and_finishes_asked_for() {
        let film = text(&[(1.0, 1.0)], "")
            .replace("id = \"music\"\n", "id = \"music\"\nlayout = \"2.0\"\n");
        assert!(findings(&CHECK, &film).is_empty());
        let bare = text(&[(1.0, 1.0)], "").replace(FINISHES, "");
        assert_eq!(findings(&CHECK, &bare)[0].verdict, Verdict::Unknown);
    }
}
