//! How loud is the sound of this room in the one behind its wall?

use acoustics::isolation::{self, Part};
use analysis::{Analysis, COVERAGE_FACTOR, Limit, Means, Missing, Parts, Source};
use model::{Construction, Edit, Level, LoudspeakerForm, OpeningKind, Space};
use units::{Decibels, Dimension, SquareMetres};

use crate::cut_out::construction_path;
use crate::room_sound::room_sound;
use crate::{Area, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject, Uncertain};

pub(super) static NEIGHBOUR_LEVEL_MAX: Limit = Limit {
    name: "neighbour_level_max",
    meaning: "the A-weighted level that a film at its usual level may make in the room behind a wall",
    dimension: Dimension::Level,
    value: 30.0,
    source: Source::FromMemory {
        work: "WHO Guidelines for Community Noise (1999), table 4.1, inside bedrooms",
    },
    regional: &[],
};

pub(super) static FILM_LEVEL: Limit = Limit {
    name: "film_level",
    meaning: "the A-weighted level of a film in the room that it plays in, mean over its loud scenes",
    dimension: Dimension::Level,
    value: 80.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "wall-isolation",
    area: Area::Sound,
    proves: "What wall, door and built-in loudspeakers together let through stays quiet enough in the room behind.",
    matters: "A film heard in the bedroom next door is a complaint on the first evening, and nothing short of building cures it afterwards.",
    formula: "R = −10 log(Σ S_i 10^(−R_i/10)/Σ S_i) in each octave from 125 Hz to 4 kHz over bare wall, doors, windows and the holes of built-in loudspeakers; L2 = L1 − R + 10 log(S/A), A-weighted over pink sound; R_i: sound reduction index, by octave where stated, else the ISO 717-1 reference curve at the stated R_w (± 5 dB); A: absorption area of the room behind, 10 m² ± half where its finishes are not known. A gap or an archway counts as a hole with R = 0. Bass below 125 Hz passes more easily and is not in it. Flanking decides in houses: floors, ducts and side walls commonly make it 3 to 8 dB worse (from memory).",
    source: Source::Derived {
        from: "transmission through the parts of a wall by their areas; ISO 717-1 reference curve as kept in python-acoustics",
    },
    when_it_fails: "Seal the door all round, hang a heavier one, put back boxes behind the loudspeakers, then think of the wall: the weakest part decides. Have flanking ways looked at by somebody who measures them before money goes into the wall.",
    limits: &[&NEIGHBOUR_LEVEL_MAX, &FILM_LEVEL],
    published: &[
        Published {
            cite: "wall 10.0 m² R 50 with door 1.8 m² R 25 in it: composite (computed)",
            computed: || {
                let part = |area, reduction| Part {
                    area: SquareMetres(area),
                    reduction: Decibels(reduction),
                };
                isolation::composite(&[part(8.2, 50.0), part(1.8, 25.0)]).map_or(f64::NAN, |r| r.0)
            },
            expected: 32.385_157_15,
            tolerance: 1e-6,
            unit: "dB",
        },
        Published {
            cite: "receive level: source 95 dB, R 45, S 10 m², A 15 m² (computed)",
            computed: || {
                let [area, absorption] = [10.0, 15.0].map(SquareMetres);
                isolation::received(Decibels(95.0), Decibels(45.0), area, absorption).0
            },
            expected: 48.239_087_41,
            tolerance: 1e-6,
            unit: "dB",
        },
        Published {
            cite: "R 10 … 30 dB, 100 Hz to 3.15 kHz: Rw (confirmed: python-acoustics tests/test_building.py)",
            computed: || {
                let wall = [
                    10.0, 11.0, 12.0, 13.0, 15.0, 18.0, 20.0, 20.0, 25.0, 22.0, 18.0, 15.0, 20.0,
                    25.0, 28.0, 30.0,
                ];
                isolation::weighted(&wall.map(Decibels)).index
            },
            expected: 22.0,
            tolerance: 0.0,
            unit: "dB",
        },
    ],
    run: Run::EachSpaceIn(Parts::OPENINGS.and(Parts::COVERINGS), run),
};

/// How far a real wall's octaves lie from the reference curve, 95 %: common practice.
const CURVE_SPREAD_DB: f64 = 5.0;

/// Absorption of a furnished bedroom where nobody noted its finishes, m²: common practice.
const USUAL_ABSORPTION_M2: f64 = 10.0;

/// A-weights of the octaves, and pink sound's equal share in each, dB.
const WEIGHTS_DB: [f64; 6] = [-16.1, -8.6, -3.2, 0.0, 1.2, 1.0];

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    if analysis.zones_in(space).next().is_none() {
        return Vec::new();
    }
    let walls = space.construction.iter().filter(|construction| {
        let plays_here = construction.behind.is_some();
        plays_here && (space.wall(&construction.of).is_some() || is_level(&construction.of))
    });
    walls
        .map(|construction| {
            let id = format!("{}+{}", space.id, construction.of);
            let label = format!("{} of {}", construction.of, space.label());
            CHECK.about(space, Subject::new(id, label), || {
                decide(analysis, space, construction)
            })
        })
        .collect()
}

fn is_level(of: &str) -> bool {
    matches!(of, "floor" | "ceiling")
}

/// A part of the wall.
struct Piece {
    label: String,
    area: Uncertain,
    octaves: [Uncertain; 6],
    /// Where the job states its reduction; nothing for a hole that nobody closes.
    at: Option<String>,
    /// Whether it is stated by octave.
    by_octave: bool,
    /// What is done about it, before its figure.
    words: &'static str,
}

fn decide(analysis: &Analysis, space: &Space, wall: &Construction) -> Known<Outcome> {
    let behind = wall.behind.as_deref().unwrap_or_default();
    let pieces = pieces(analysis, space, wall)?;
    let whole: Uncertain = pieces.iter().map(|piece| piece.area.clone()).sum();
    let to_power = std::f64::consts::LN_10 / 10.0;
    let absorption = absorption_behind(analysis, space, wall, behind);
    let mut received = Uncertain::exact(0.0);
    let mut sent = 0.0;
    for (octave, weight) in WEIGHTS_DB.into_iter().enumerate() {
        let through: Uncertain = (pieces.iter())
            .map(|piece| &piece.area * (&piece.octaves[octave] * -to_power).exp())
            .sum();
        received = received + through * 10_f64.powf(weight / 10.0);
        sent += 10_f64.powf(weight / 10.0);
    }
    let film = analysis.limit(&FILM_LEVEL).value;
    let level = (received / sent / &absorption).log10() * 10.0 + film;
    let limit = analysis.limit(&NEIGHBOUR_LEVEL_MAX);
    let outcome = Outcome::at_most(level.clone(), &limit, Dimension::Level);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let passes = |piece: &Piece| piece.area.value() * 10_f64.powf(-piece.octaves[2].value() / 10.0);
    let weakest = (pieces.iter())
        .max_by(|a, b| passes(a).total_cmp(&passes(b)))
        .expect("a wall is a piece");
    let share = passes(weakest) / pieces.iter().map(passes).sum::<f64>();
    let outcome = outcome.because(format!(
        "With {} in {}, {} arrive in {} through the {} and what is in it, {} of wall and all; at most {} is asked for. Of that {} pass through {}. Ways round it (floor, ceiling, ducts) come on top and often decide.",
        analysis.exact(film, Dimension::Level),
        space.label(),
        analysis.print(&level, Dimension::Level),
        analysis.space(behind).map_or(behind, |space| space.label()),
        wall.of,
        analysis.print(&whole, Dimension::Area),
        analysis.exact(limit.value, Dimension::Level),
        analysis.exact(share, Dimension::Ratio),
        weakest.label,
    ));
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let wanted = limit.value - 1.02 * COVERAGE_FACTOR * outcome.margin().standard_uncertainty();
    let with = |more_db: &[f64]| -> f64 {
        let mut received = 0.0;
        for (octave, weight) in WEIGHTS_DB.into_iter().enumerate() {
            let through: f64 = (pieces.iter().zip(more_db))
                .map(|(piece, more)| {
                    let reduction = piece.octaves[octave].value() + more;
                    piece.area.value() * 10_f64.powf(-reduction / 10.0)
                })
                .sum();
            received += through * 10_f64.powf(weight / 10.0);
        }
        10.0 * (received / sent / absorption.value()).log10() + film
    };
    let remedy = better(&pieces, &passes, &with, wanted);
    Ok(outcome.remedy(remedy))
}

/// A part can be made better by no more than this, dB: common practice.
const BETTER_MOST_DB: f64 = 30.0;

/// The weakest parts better, as few of them as serve, each to pass as little as the others.
fn better(
    pieces: &[Piece],
    passes: &dyn Fn(&Piece) -> f64,
    with: &dyn Fn(&[f64]) -> f64,
    wanted: f64,
) -> Option<Remedy> {
    let mut order: Vec<usize> = (0..pieces.len())
        .filter(|at| pieces[*at].at.is_some())
        .collect();
    order.sort_by(|a, b| passes(&pieces[*b]).total_cmp(&passes(&pieces[*a])));
    let (most, which) = (1..=order.len()).find_map(|count| {
        let which = &order[..count];
        let least = (1..=BETTER_MOST_DB as u32).map(f64::from).find(|more| {
            let mut all = vec![0.0; pieces.len()];
            which.iter().for_each(|at| all[*at] = *more);
            with(&all) <= wanted
        });
        least.map(|least| (least, which))
    })?;
    let mut edits = Vec::new();
    let mut words = Vec::new();
    for at in which {
        let piece = &pieces[*at];
        let path = piece.at.as_ref()?;
        let levels = piece.octaves.each_ref().map(|level| level.value() + most);
        if piece.by_octave {
            let texts = levels.map(|level| format!("{level:.0} dB"));
            edits.extend((texts.iter().enumerate()).map(|(octave, text)| {
                Edit::set(format!("{path}_octaves.{octave}"), text.as_str())
            }));
        }
        // The reference curve at 500 Hz is R_w.
        let index = format!("{:.0} dB", levels[2]);
        if !piece.by_octave {
            edits.push(Edit::set(path.clone(), index.as_str()));
        }
        words.push(format!(
            "{} {} with R_w {index} as fitted",
            piece.words, piece.label
        ));
    }
    let says = format!(
        "Have {}, all joints sealed; ways round it are to be looked at first.",
        words.join(" and ")
    );
    Some(Remedy::new(says, edits))
}

fn pieces(analysis: &Analysis, space: &Space, wall: &Construction) -> Known<Vec<Piece>> {
    let at = format!("space.{}.construction.{}", space.id, wall.of);
    let index = space.wall(&wall.of);
    let mut bare = surface_area(analysis, space, wall)?;
    let mut pieces = Vec::new();
    let openings = (space.opening.iter()).filter(|opening| opening.on.wall == wall.of);
    for opening in openings.filter(|_| index.is_some()) {
        let label = opening.id.replace('-', " ");
        let octaves = match opening.kind {
            OpeningKind::Recess => continue,
            OpeningKind::Archway => [(); 6].map(|()| Uncertain::exact(0.0)),
            OpeningKind::Door | OpeningKind::Window => octaves(
                analysis,
                (
                    opening.reduction.as_ref(),
                    opening.reduction_octaves.as_ref(),
                ),
                &label,
                &format!("space.{}.opening.{}.reduction", space.id, opening.id),
            )?,
        };
        let rect = analysis.opening_rect(space, opening)?;
        let area = rect.width() * rect.height();
        bare = bare - &area;
        let is_hole = opening.kind == OpeningKind::Archway;
        let at = format!("space.{}.opening.{}.reduction", space.id, opening.id);
        pieces.push(Piece {
            label,
            area,
            octaves,
            at: (!is_hole).then_some(at),
            by_octave: opening.reduction_octaves.is_some(),
            words: "a heavier leaf or pane for",
        });
    }
    for (item, kit) in analysis.loudspeakers_in(space) {
        let is_here = match (kit.form, &item.on) {
            (Some(LoudspeakerForm::InWall), Some(on)) => on.wall == wall.of,
            (Some(LoudspeakerForm::InCeiling), None) => wall.of == "ceiling",
            _ => false,
        };
        if !is_here {
            continue;
        }
        let label = analysis::item_label(item).to_owned();
        let path = format!("kit.loudspeaker.{}", kit.common.id);
        let cutout = kit.cutout.as_ref().and_then(|[across, up]| {
            Some(analysis.number(Some(across))? * analysis.number(Some(up))?)
        });
        let area = cutout.ok_or_else(|| {
            let what = format!("the cut-out of {}", item.is);
            Missing::new(what, format!("{path}.cutout"), Means::SpecSheet)
        })?;
        let of_mount = octaves(
            analysis,
            (kit.reduction.as_ref(), None),
            &format!("the hole of {label} with its back box"),
            &format!("{path}.reduction"),
        )?;
        bare = bare - &area;
        pieces.push(Piece {
            label,
            area,
            octaves: of_mount,
            at: Some(format!("{path}.reduction")),
            by_octave: false,
            words: "a back box behind",
        });
    }
    let octaves = octaves(
        analysis,
        (wall.reduction.as_ref(), wall.reduction_octaves.as_ref()),
        &format!("the bare {}", wall.of),
        &format!("{at}.reduction"),
    )?;
    pieces.push(Piece {
        label: format!("the bare {}", wall.of),
        area: bare.max(&Uncertain::exact(1e-3)),
        octaves,
        at: Some(format!("{}.reduction", construction_path(space, &wall.of))),
        by_octave: wall.reduction_octaves.is_some(),
        words: "a heavier build-up of",
    });
    Ok(pieces)
}

fn surface_area(analysis: &Analysis, space: &Space, wall: &Construction) -> Known<Uncertain> {
    use geometry::Surface;
    let index = space.wall(&wall.of);
    let areas = analysis.shape(space).areas()?.iter();
    let is_here = |surface: &Surface| match surface {
        Surface::Wall(at) => Some(*at) == index,
        Surface::Floor => wall.of == "floor",
        Surface::Ceiling(_) | Surface::Box(..) => wall.of == "ceiling",
    };
    let here = areas.filter(|(surface, _)| is_here(surface));
    Ok(here.map(|(_, area)| area.clone()).sum())
}

/// A reduction by octave: as stated, else the reference curve at the stated R_w.
fn octaves(
    analysis: &Analysis,
    (weighted, octaves): (Option<&Level>, Option<&[Level; 6]>),
    what: &str,
    at: &str,
) -> Known<[Uncertain; 6]> {
    let stated: Option<Vec<Uncertain>> = octaves.and_then(|octaves| {
        (octaves.iter())
            .map(|level| analysis.number(Some(level)))
            .collect()
    });
    if let Some(Ok(stated)) = stated.map(<[Uncertain; 6]>::try_from) {
        return Ok(stated);
    }
    let index = analysis.number(weighted).ok_or_else(|| {
        let what = format!("the sound reduction of {what} (R_w, as fitted)");
        Missing::new(what, at, Means::SpecSheet)
    })?;
    let off = analysis.assumed(
        &format!("how far the octaves of {what} lie from the reference curve"),
        at,
        0.0,
        CURVE_SPREAD_DB,
    );
    Ok(isolation::octaves_of_weighted(0.0).map(|shape| &index + shape.0 + &off))
}

fn absorption_behind(
    analysis: &Analysis,
    space: &Space,
    wall: &Construction,
    behind: &str,
) -> Uncertain {
    let known = analysis.space(behind).and_then(|other| {
        let sound = room_sound(analysis, other).ok()?;
        Some(sound.bands[2].as_ref()?.absorption.clone())
    });
    known.unwrap_or_else(|| {
        analysis.assumed(
            &format!("what {behind} absorbs, taken as that of a furnished bedroom"),
            &format!("space.{}.construction.{}.behind", space.id, wall.of),
            USUAL_ABSORPTION_M2,
            USUAL_ABSORPTION_M2 / 2.0,
        )
    })
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::Verdict;
    use crate::listening::{cinema, in_wall};
    use crate::testing::{findings, findings_after, told};

    /// The test cinema, whose items say which of two rooms they are in.
    fn film(items: &str) -> String {
        let mut film = cinema("5.1", items);
        for kit in ["screen-s1", "in-wall-w1"] {
            let is = format!("is = \"{kit}\"\n");
            film = film.replace(&is, &format!("{is}space = \"den\"\n"));
        }
        film
    }

    /// The north wall (6 × 2.4 m) to a bedroom, with a door of 2 m² in it.
    fn text(wall: &str, door: &str, more: &str) -> String {
        format!(
            "[[space.construction]]\nof = \"north\"\nframing = \"stud\"\nbehind = \"bedroom\"\n{wall}[[space.opening]]\nid = \"door\"\nkind = \"door\"\non = {{ wall = \"north\", from_left = \"1 m\", height = \"0 m\" }}\nsize = [\"1 m\", \"2 m\"]\n{door}{}[[space]]\nid = \"bedroom\"\nwalls = [{{ id = \"a\" }}, {{ id = \"b\" }}, {{ id = \"c\" }}]\n{more}",
            film(""),
        )
    }

    const OCTAVES: &str = "reduction_octaves = [50, 50, 50, 50, 50, 50]\n";
    const DOOR: &str = "reduction_octaves = [25, 25, 25, 25, 25, 25]\n";

    #[test]
    fn a_door_decides_as_by_hand() {
        // 12.4 m² of 50 dB and 2 m² of 25 dB: −10 lg((12.4e-5 + 2·10^−2.5)/14.4) = 33.5 dB;
        // 80 − 33.49 + 10 lg(14.4/10) = 48.1 dB.
        let found = findings(&CHECK, &text(OCTAVES, DOOR, ""));
        assert_eq!(found.len(), 1, "{}", told(&found));
        let level = found[0].value.as_ref().unwrap().value();
        assert!((level - 48.1).abs() < 0.05, "{}", told(&found));
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert!(
            found[0].because.contains("pass through door"),
            "{}",
            told(&found)
        );
    }

    #[test]
    fn the_weakest_part_is_told_how_good_it_has_to_be() {
        for (wall, door) in [
            (OCTAVES, DOOR),
            ("reduction = \"58 dB\"\n", "reduction = \"30 dB\"\n"),
        ] {
            let text = text(wall, door, "");
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
            let [remedy] = &found[0].remedies[..] else {
                panic!("{}", told(&found))
            };
            assert!(remedy.says.contains("door"), "{}", remedy.says);
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_eq!(
                after[0].verdict,
                Verdict::Fits,
                "{} {}",
                remedy.says,
                told(&after)
            );
        }
    }

    #[test]
    fn both_sides_of_the_limit_decide() {
        let verdict = |film: &str| {
            let rules = format!("[rules]\nfilm_level = \"{film} dB\"\n");
            findings(&CHECK, &text(OCTAVES, DOOR, &rules))[0].verdict
        };
        assert_eq!(verdict("62.2"), Verdict::Fails);
        assert_eq!(verdict("61.5"), Verdict::Tight);
        assert_eq!(verdict("50"), Verdict::Fits);
    }

    #[test]
    fn a_rating_alone_follows_the_reference_curve() {
        let found = findings(&CHECK, &text("reduction = \"50 dB\"\n", DOOR, ""));
        assert!(found[0].value.is_some(), "{}", told(&found));
        let found = findings(&CHECK, &text("", DOOR, ""));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(
            found[0].needs[0].at,
            "space.den.construction.north.reduction"
        );
    }

    #[test]
    fn a_built_in_loudspeaker_is_a_hole_in_it() {
        let kit = "form = \"in-wall\"\n";
        let text = |facts: &str| {
            let items = in_wall("left-surround", "north", "4 m", "1.1 m");
            let film = film(&items).replacen(kit, &format!("{kit}{facts}"), 1);
            let plain = text(OCTAVES, OCTAVES, "");
            plain.replacen(&self::film(""), &film, 1)
        };
        let cutout = "cutout = [\"20 cm\", \"30 cm\"]\n";
        let bare = findings(&CHECK, &text(cutout));
        assert_eq!(bare[0].verdict, Verdict::Unknown, "{}", told(&bare));
        let level = |rating: u32| {
            let found = findings(
                &CHECK,
                &text(&format!("{cutout}reduction = \"{rating} dB\"\n")),
            );
            found[0].value.as_ref().unwrap().value()
        };
        assert!(level(20) > level(40) + 3.0);
    }

    #[test]
    fn a_wall_that_names_no_room_behind_is_left_alone() {
        let text = text(OCTAVES, DOOR, "").replace("behind = \"bedroom\"\n", "");
        assert!(findings(&CHECK, &text).is_empty());
    }
}
