//! Does the room ring as long as it should, octave by octave?

use acoustics::listening_room::{reverberation_nominal, reverberation_tolerance};
use acoustics::octave::OctaveBand;
use acoustics::reverberation::{BandRoom, Surface};
use acoustics::{finishes, layout};
use analysis::{Analysis, Limit, LimitValue, Source};
use model::{Edit, Space, SpaceKind};
use serde_json::json;
use units::{CubicMetres, Dimension, Seconds, SquareMetres};

use crate::room_sound::{BandSound, Covered, RoomSound, room_sound};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject, Uncertain};

/// Living rooms that sound neither dead nor loud.
pub(super) static REVERBERATION_MIN: Limit = Limit {
    name: "reverberation_min",
    meaning: "the shortest reverberation time at 500 Hz and 1 kHz of a room with a picture or fewer than five channels",
    dimension: Dimension::Time,
    value: 0.3,
    source: Source::CommonPractice,
    regional: &[],
};

/// The longest of them.
pub(super) static REVERBERATION_MAX: Limit = Limit {
    name: "reverberation_max",
    meaning: "the longest reverberation time at 500 Hz and 1 kHz of a room with a picture or fewer than five channels",
    dimension: Dimension::Time,
    value: 0.6,
    source: Source::CommonPractice,
    regional: &[],
};

/// How much longer than a listening room a lived-in cinema may ring.
pub(super) static CINEMA_REVERBERATION_EXCESS: Limit = Limit {
    name: "cinema_reverberation_excess",
    meaning: "how much longer than the nominal time of a listening room a home cinema may ring from 250 Hz up",
    dimension: Dimension::Time,
    value: 0.15,
    source: Source::CommonPractice,
    regional: &[],
};

const LISTENING_ROOM: Source = Source::FromMemory {
    work: "ITU-R BS.1116-3, annex 1, reverberation time and its tolerance mask",
};

pub(crate) static CHECK: Check = Check {
    id: "reverberation",
    area: Area::Sound,
    proves: "In each octave from 125 Hz to 4 kHz the room rings as long as a listening room of its volume should.",
    matters: "A room that rings too long smears speech and the places of sounds; one that is dead at the top and booms below tires the ear.",
    formula: "Sabine T = K V/(A + 4mV) for ᾱ ≤ 0.2, else Norris–Eyring T = K V/(−S ln(1 − ᾱ) + 4mV); K = 24 ln 10/c; V: volume, m³; S: surfaces, m²; A = Σ S_i α_i, m²; ᾱ = A/S; m: energy lost to the air, 1/m. Doors, windows, rugs, curtains and panels hide what they cover; an archway absorbs all; furniture adds to A. Rooms with a layout of five or more channels: T_m = 0.25 s (V/100 m³)^(1/3); not more than 0.05 s below it, as in a listening room, and not more than the house's excess above it, below 200 Hz as much more as the listening room's mask rises there. Other rooms with a picture or a layout: 0.3 s to 0.6 s at 500 Hz and 1 kHz. Valid above the Schroeder frequency 2000 √(T/V) Hz; tables of α alone leave ±20 % on T.",
    source: LISTENING_ROOM,
    when_it_fails: "Add carpet, curtains or panels by the computed area, or take some away; spread them over opposite walls.",
    limits: &[
        &REVERBERATION_MIN,
        &REVERBERATION_MAX,
        &CINEMA_REVERBERATION_EXCESS,
    ],
    published: &[
        Published {
            cite: "three surface pairs 240, 600, 500 m², α 0.1, 0.25, 0.45, 3000 m³, c 343 m/s: Norris–Eyring (confirmed in python-acoustics tests/test_room.py; c here 343.2 m/s)",
            computed: || law(3000.0, &[(240.0, 0.1), (600.0, 0.25), (500.0, 0.45)]) * 343.2 / 343.0,
            expected: 1.020_427_763,
            tolerance: 1e-6, // Printed digits.
            unit: "s",
        },
        Published {
            cite: "BS.1116-3 nominal time at 50 m³: 0.25 (V/100)^(1/3) (from memory, computed)",
            computed: || reverberation_nominal(CubicMetres(50.0)).0,
            expected: 0.198_425_131_5,
            tolerance: 1e-9,
            unit: "s",
        },
        Published {
            cite: "6.0 × 4.5 × 2.6 m, floor 0.69, one short wall 0.72, the rest 0.04: Norris–Eyring (computed)",
            computed: || law(70.2, &[(27.0, 0.69), (11.7, 0.72), (69.9, 0.04)]),
            expected: 0.323_854_808_1,
            tolerance: 1e-6, // Printed digits of the computed value.
            unit: "s",
        },
    ],
    run: Run::EachSpace(run),
};

/// The law's time for a volume and pairs of area and absorption.
fn law(volume_m3: f64, surfaces: &[(f64, f64)]) -> f64 {
    let surfaces = surfaces.iter().map(|&(area, alpha)| Surface {
        area: SquareMetres(area),
        alpha,
    });
    BandRoom::new(CubicMetres(volume_m3), surfaces.collect())
        .map_or(f64::NAN, |room| room.reverberation_time().time.0)
}

/// The octaves that are judged; what lies above is known too badly.
const BANDS: [OctaveBand; 6] = [
    OctaveBand::Hz125,
    OctaveBand::Hz250,
    OctaveBand::Hz500,
    OctaveBand::Hz1000,
    OctaveBand::Hz2000,
    OctaveBand::Hz4000,
];

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    // Where music plays in the background, nobody asks how long the room rings.
    let zones = analysis
        .zones_in(space)
        .filter(|zone| zone.layout.is_some() || zone.faces.is_some());
    let layouts: Vec<Option<&str>> = zones.map(|zone| zone.layout.as_deref()).collect();
    if layouts.is_empty() || space.kind == Some(SpaceKind::Outdoor) {
        return Vec::new();
    }
    let listening_room = layouts.iter().flatten().any(|name| has_five_channels(name));
    let sound = match room_sound(analysis, space) {
        Ok(sound) => sound,
        Err(missing) => return vec![CHECK.about(space, Subject::space(space), || Err(missing))],
    };
    let judged = |band: &OctaveBand| {
        listening_room || matches!(band, OctaveBand::Hz500 | OctaveBand::Hz1000)
    };
    (BANDS.into_iter().filter(judged))
        .filter_map(|band| {
            let here = sound.bands[band.index()].as_ref()?;
            let limits = limits(analysis, &sound.volume, band, listening_room)?;
            let hertz = band.nominal().0;
            let subject = Subject::new(
                format!("{}+{hertz:.0}Hz", space.id),
                format!(
                    "{} {}",
                    space.label(),
                    (analysis.printer()).print(hertz, Dimension::Frequency, None)
                ),
            );
            Some(CHECK.about(space, subject, || {
                Ok(decide(analysis, space, &sound, here, band, &limits))
            }))
        })
        .collect()
}

fn has_five_channels(layout: &str) -> bool {
    layout::system(layout).is_ok_and(|system| {
        let main = (system.channels.iter()).filter(|channel| !channel.low_frequency);
        main.count() >= 5
    })
}

/// The shortest and the longest time, with where they come from.
struct Limits {
    low: Uncertain,
    high: Uncertain,
    low_source: Source,
    high_source: Source,
}

fn limits(
    analysis: &Analysis,
    volume: &Uncertain,
    band: OctaveBand,
    listening_room: bool,
) -> Option<Limits> {
    if listening_room {
        let (lower, upper) = reverberation_tolerance(band.nominal())?;
        let nominal = uncertainty::through([volume], |[volume]| {
            reverberation_nominal(CubicMetres(volume)).0
        });
        // The mask is for rooms built to listen in; its rise below 200 Hz is kept.
        let excess = analysis.limit(&CINEMA_REVERBERATION_EXCESS);
        let rise = upper.0 + lower.0;
        return Some(Limits {
            low: &nominal + lower.0,
            high: &nominal + excess.value + rise,
            low_source: LISTENING_ROOM,
            high_source: excess.source,
        });
    }
    let end = |limit: &Limit| {
        let LimitValue { value, source } = analysis.limit(limit);
        (Uncertain::exact(value), source)
    };
    let ((low, low_source), (high, high_source)) =
        (end(&REVERBERATION_MIN), end(&REVERBERATION_MAX));
    Some(Limits {
        low,
        high,
        low_source,
        high_source,
    })
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    sound: &RoomSound,
    here: &BandSound,
    band: OctaveBand,
    limits: &Limits,
) -> Outcome {
    let (above, below) = (&here.time - &limits.low, &limits.high - &here.time);
    let too_dead = above.value() <= below.value();
    let (margin, limit, source) = if too_dead {
        (above, limits.low.value(), limits.low_source.clone())
    } else {
        (below, limits.high.value(), limits.high_source.clone())
    };
    let sentence = format!(
        "{} rings for {} at {} ({}, absorption area {}, volume {}); it should be between {} and {}.",
        space.label(),
        seconds_text(here.time.value()),
        analysis.exact(band.nominal().0, Dimension::Frequency),
        here.method.name(),
        analysis.print(&here.absorption, Dimension::Area),
        analysis.print(&sound.volume, Dimension::Volume),
        seconds_text(limits.low.value()),
        seconds_text(limits.high.value()),
    );
    let outcome = Outcome::with_margin(here.time.clone(), limit, margin, Dimension::Time, source)
        .because(sentence);
    if !outcome.asks_for_remedies(analysis) {
        return outcome;
    }
    // The middle is aimed at, since every octave of the room has to find its place; where
    // that takes more than there is, a place just inside the limit that is broken.
    let (low, high) = (limits.low.value(), limits.high.value());
    let near = if too_dead { low } else { high };
    let goals = [0.5 * (low + high), 0.9 * near + 0.05 * (low + high)];
    let remedies = goals.into_iter().find_map(|goal| {
        let needed = here.room.absorption_for(Seconds(goal))?;
        let more = needed.0 - here.room.absorption().0;
        let found = if more > 0.0 {
            additions(analysis, space, sound, band, more)
        } else {
            removals(analysis, space, band, -more)
        };
        (!found.is_empty()).then_some(found)
    });
    (remedies.into_iter().flatten()).fold(outcome, |outcome, remedy| outcome.remedy(Some(remedy)))
}

/// Two decimals, as reverberation times are stated.
fn seconds_text(time_s: f64) -> String {
    format!("{time_s:.2}\u{202F}s")
}

/// A covering that can be bought or taken away.
struct Offer {
    /// m² of absorption that each m² of it changes.
    gain: f64,
    /// m² that there is room for, or that hang there.
    most_m2: f64,
    change: Change,
}

enum Change {
    Add {
        id: &'static str,
        finish: &'static str,
        words: &'static str,
        surface: String,
    },
    Shrink {
        id: String,
        area_m2: f64,
    },
}

/// Carpet, panels and curtains that add an absorption area, m².
fn additions(
    analysis: &Analysis,
    space: &Space,
    sound: &RoomSound,
    band: OctaveBand,
    more_m2: f64,
) -> Vec<Remedy> {
    let is_wall = |name: &str| space.wall(name).is_some();
    let largest_wall = (sound.pieces.iter())
        .filter(|piece| piece.surface.as_deref().is_some_and(is_wall))
        .max_by(|a, b| a.amount.value().total_cmp(&b.amount.value()));
    let of = |name: &str| {
        let named = |piece: &&Covered| piece.surface.as_deref() == Some(name);
        sound.pieces.iter().find(named)
    };
    const PANELS: (&str, &str) = ("porous_50_sigma10k", "porous panels 50 mm thick");
    const CARPET: (&str, &str) = ("carpet_1.35_kg_m2", "carpet on a pad");
    const CURTAIN: (&str, &str) = (
        "curtain_heavy_half",
        "a heavy curtain draped to half its width",
    );
    let offers = [
        ("carpet", CARPET, of("floor")),
        ("panels", PANELS, largest_wall),
        ("ceiling-panels", PANELS, of("ceiling")),
        ("curtain", CURTAIN, largest_wall),
    ];
    let offer = |(id, (finish, words), over): (
        &'static str,
        (&'static str, &'static str),
        Option<&Covered>,
    )| {
        let over = over?;
        let alpha = finishes::finish(finish).ok()?.absorption[band.index()]?;
        Some(Offer {
            gain: alpha.min(1.0) - over.absorbs.alpha(band)?,
            most_m2: over.amount.value(),
            change: Change::Add {
                id,
                finish,
                words,
                surface: over.surface.clone()?,
            },
        })
    };
    let offers: Vec<Offer> = offers.into_iter().filter_map(offer).collect();
    // A curtain and panels can't share one wall, so a joint remedy leaves the curtain out.
    remedies(analysis, space, &offers, more_m2, offers.len().min(3))
}

/// Coverings made smaller by an absorption area, m².
fn removals(analysis: &Analysis, space: &Space, band: OctaveBand, less_m2: f64) -> Vec<Remedy> {
    let offer = |covering: &model::Covering| {
        let over = covering.over.as_deref()?;
        let finishes_here = space.finishes.as_ref()?;
        let under = match over {
            "floor" => finishes_here.floor.as_deref(),
            "ceiling" => finishes_here.ceiling.as_deref(),
            wall => (finishes_here.wall.get(wall).map(String::as_str))
                .or(finishes_here.walls.as_deref()),
        };
        let alpha = |name: &str| finishes::finish(name).ok()?.absorption[band.index()];
        let area_m2 = covering.area.as_ref()?.value()?;
        Some(Offer {
            gain: alpha(&covering.finish)?.min(1.0) - alpha(under?)?,
            // Something stays, so that the covering keeps its place in the job.
            most_m2: area_m2 - 0.1,
            change: Change::Shrink {
                id: covering.id.clone(),
                area_m2,
            },
        })
    };
    let offers: Vec<Offer> = space.covering.iter().filter_map(offer).collect();
    remedies(analysis, space, &offers, less_m2, offers.len())
}

/// Each offer that does alone; where none does, the first `joint` of them together.
fn remedies(
    analysis: &Analysis,
    space: &Space,
    offers: &[Offer],
    change_m2: f64,
    joint: usize,
) -> Vec<Remedy> {
    let single = offers.iter().filter_map(|offer| {
        let area = change_m2 / offer.gain;
        (offer.gain > 0.05 && area <= offer.most_m2)
            .then(|| remedy(analysis, space, &[(offer, area)]))
    });
    let single: Vec<Remedy> = single.collect();
    if !single.is_empty() {
        return single;
    }
    let mut left_m2 = change_m2;
    let mut taken: Vec<(&Offer, f64)> = Vec::new();
    for offer in offers[..joint].iter().filter(|offer| offer.gain > 0.05) {
        let area = (left_m2 / offer.gain).min(offer.most_m2);
        if left_m2 > 0.0 && area > 0.0 {
            left_m2 -= area * offer.gain;
            taken.push((offer, area));
        }
    }
    if left_m2 <= 1e-9 {
        vec![remedy(analysis, space, &taken)]
    } else {
        Vec::new()
    }
}

/// All of these changes in one.
fn remedy(analysis: &Analysis, space: &Space, changes: &[(&Offer, f64)]) -> Remedy {
    let mut words: Vec<String> = Vec::new();
    let mut edits: Vec<Edit> = Vec::new();
    let mut high = false;
    for (offer, area_m2) in changes {
        match &offer.change {
            Change::Add {
                id,
                finish,
                words: covering,
                surface,
            } => {
                let text = area_text(analysis, *area_m2, offer.most_m2);
                let place = match surface.as_str() {
                    "floor" | "ceiling" => format!("the {surface}"),
                    wall => format!("wall {wall}"),
                };
                high |= surface != "floor";
                words.push(format!("cover {text} of {place} with {covering}"));
                let id = free_id(space, id);
                let table = json!({ "id": id, "finish": finish, "over": surface, "area": text });
                let at = format!("space.{}.covering.{id}", space.id);
                edits.push(Edit::set(at, table));
            }
            Change::Shrink { id, area_m2: now } => {
                let left = now - area_m2;
                let text = area_text(analysis, left, *now);
                words.push(format!("leave only {text} of {}", id.replace('-', " ")));
                let at = format!("space.{}.covering.{id}.area", space.id);
                edits.push(Edit::set(at, text));
            }
        }
    }
    let says = words.join(" and ");
    let says = format!("{}{}.", says[..1].to_uppercase(), &says[1..]);
    let remedy = Remedy::new(says, edits);
    if high {
        remedy.caution(Caution::Ladder)
    } else {
        remedy
    }
}

/// An area that a shop can cut: a tenth of a square metre or a square foot, rounded up
/// where there is room for it.
fn area_text(analysis: &Analysis, area_m2: f64, most_m2: f64) -> String {
    let step = match analysis.units() {
        model::Units::Metric => 0.1,
        model::Units::Imperial => 0.3048 * 0.3048,
    };
    let whole = (area_m2 / step).ceil() * step;
    let area = if whole <= most_m2 { whole } else { most_m2 };
    analysis.exact(area, Dimension::Area)
}

/// A name that no covering of the space has.
fn free_id(space: &Space, id: &str) -> String {
    let taken = |id: &str| space.covering.iter().any(|covering| covering.id == id);
    let numbered = (2..).map(|number| format!("{id}-{number}"));
    std::iter::once(id.to_owned())
        .chain(numbered)
        .find(|id| !taken(id))
        .expect("the numbers do not end")
}

#[cfg(test)]
mod tests {
    //! The test room (57.6 m³, 96 m²) with one finish everywhere and with carpets.

    use super::CHECK;
    use crate::testing::{findings, findings_after, told};
    use crate::{Finding, Verdict};

    /// A background zone, whose times are judged at 500 Hz and 1 kHz.
    fn lounge(finishes: &str) -> String {
        format!("{finishes}[[zone]]\nid = \"music\"\nspace = \"den\"\nlayout = \"2.0\"\n")
    }

    fn cinema(finishes: &str) -> String {
        format!("{finishes}[[zone]]\nid = \"film\"\nspace = \"den\"\nlayout = \"5.1\"\n")
    }

    fn finishes(walls: &str, floor: &str, ceiling: &str) -> String {
        format!(
            "finishes = {{ walls = \"{walls}\", floor = \"{floor}\", ceiling = \"{ceiling}\" }}\n"
        )
    }

    fn seconds(finding: &Finding) -> f64 {
        finding.value.as_ref().unwrap().value()
    }

    #[test]
    fn a_room_of_one_finish_is_told_by_hand() {
        // Gypsum on studs, 500 Hz: α 0.05, A = 4.8 m²; K V = 0.16102 · 57.6 = 9.2748 s m²;
        // air at 500 Hz about 2.7 dB/km = 0.00063/m, 4mV = 0.145 m²: T = 1.876 s.
        let found = findings(
            &CHECK,
            &lounge(&finishes(
                "gypsum-on-studs",
                "gypsum-on-studs",
                "gypsum-on-studs",
            )),
        );
        assert_eq!(found.len(), 2, "{}", told(&found));
        assert!(
            (seconds(&found[0]) - 1.876).abs() < 0.005,
            "{}",
            told(&found)
        );
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert_eq!(found[0].subject.label, "den 500\u{202f}Hz");
    }

    #[test]
    fn a_rug_hides_the_floor_below_it_and_a_window_the_wall() {
        let bare = finishes("gypsum-on-studs", "wood-on-joists", "gypsum-on-studs");
        let rug = "[[space.covering]]\nid = \"rug\"\nfinish = \"carpet-on-pad\"\nover = \"floor\"\narea = \"10 m²\"\n";
        let window = "[[space.opening]]\nid = \"bay\"\nkind = \"window\"\non = { wall = \"north\", from_left = \"1 m\", height = \"1 m\" }\nsize = [\"2 m\", \"1 m\"]\n";
        // 500 Hz: wood 0.10, carpet 0.57, gypsum 0.05, double glazing 0.03.
        // Bare: 24 · 0.10 + 72 · 0.05 = 6.0 m². Rug: + 10 · 0.47. Window: − 2 · 0.02.
        let time = |extra: &str| seconds(&findings(&CHECK, &lounge(&format!("{bare}{extra}")))[0]);
        let air = 0.145;
        let law = |a: f64| 9.2748 / (a + air);
        assert!(
            (time("") - law(6.0)).abs() < 0.01,
            "{} {}",
            time(""),
            law(6.0)
        );
        assert!((time(rug) - law(10.7)).abs() < 0.01);
        let glass = acoustics::finishes::finish("window").unwrap().absorption[2].unwrap();
        assert!((time(window) - law(6.0 - 2.0 * (0.05 - glass))).abs() < 0.01);
    }

    #[test]
    fn the_domestic_band_decides_on_both_sides() {
        // Limits set right beside the room's own time, 1.876 s.
        let bare = finishes("gypsum-on-studs", "gypsum-on-studs", "gypsum-on-studs");
        let verdict = |rule: &str| {
            let text = lounge(&bare) + &format!("[rules]\n{rule}\n");
            findings(&CHECK, &text)[0].verdict
        };
        assert_eq!(verdict("reverberation_max = \"1.87 s\""), Verdict::Fails);
        assert_eq!(verdict("reverberation_max = \"1.89 s\""), Verdict::Tight);
        assert_eq!(verdict("reverberation_max = \"3 s\""), Verdict::Fits);
        assert_eq!(
            verdict("reverberation_min = \"1.89 s\"\nreverberation_max = \"4 s\""),
            Verdict::Fails
        );
    }

    #[test]
    fn a_listening_room_is_judged_in_every_octave() {
        let text = cinema(&finishes(
            "gypsum-on-studs",
            "carpet-on-pad",
            "gypsum-on-studs",
        ));
        let found = findings(&CHECK, &text);
        assert_eq!(found.len(), 6);
        // T_m = 0.25 · 0.576^(1/3) = 0.2080 s; up to 0.358 s at 500 Hz.
        assert!((found[2].limit.unwrap() - 0.358).abs() < 1e-3);
    }

    #[test]
    fn a_finish_that_nobody_noted_is_asked_for_by_surface() {
        let found = findings(
            &CHECK,
            &cinema("finishes = { walls = \"gypsum-on-studs\" }\n"),
        );
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert!(
            ["space.den.finishes.floor", "space.den.finishes.ceiling"]
                .contains(&found[0].needs[0].at.as_str())
        );
        let found = findings(&CHECK, &cinema(&finishes("gypsum-on-stud", "tile", "tile")));
        assert!(
            found[0].because.contains("gypsum-on-studs"),
            "{}",
            told(&found)
        );
    }

    #[test]
    fn a_room_without_a_zone_is_left_alone() {
        assert!(findings(&CHECK, "").is_empty());
    }

    #[test]
    fn each_covering_brings_its_octave_within_limits() {
        let text = lounge(&finishes(
            "gypsum-on-studs",
            "wood-on-joists",
            "gypsum-on-studs",
        ));
        let found = findings(&CHECK, &text);
        assert!(!found[0].remedies.is_empty(), "{}", told(&found));
        for (index, finding) in found.iter().enumerate() {
            for remedy in &finding.remedies {
                let after = findings_after(&CHECK, &text, &remedy.edits);
                assert_ne!(after[index].verdict, Verdict::Fails, "{}", remedy.says);
                // The middle of the band is aimed at, or the step from Sabine's law down
                // to Eyring's: 9.27 / (96 · 0.2231) = 0.43 s.
                assert!(
                    (seconds(&after[index]) - 0.45).abs() < 0.025,
                    "{}",
                    told(&after)
                );
            }
        }
    }

    #[test]
    fn one_covering_is_enough_for_a_little() {
        // Carpeted, 500 Hz: 24 · 0.57 + 72 · 0.05 = 17.3 m², 0.53 s; with a limit of 0.5 s the
        // middle, 0.4 s, takes some 6 m² more.
        let text = lounge(&finishes(
            "gypsum-on-studs",
            "carpet-on-pad",
            "gypsum-on-studs",
        )) + "[rules]\nreverberation_max = \"0.5 s\"\n";
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert!(found[0].remedies.len() >= 2, "{:?}", found[0].remedies);
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_ne!(after[0].verdict, Verdict::Fails, "{}", remedy.says);
        }
    }

    #[test]
    fn too_much_carpet_is_cut_down() {
        let dead = "[[space.covering]]\nid = \"drapes\"\nfinish = \"porous_100_sigma10k\"\nover = \"north\"\narea = \"14 m²\"\n[[space.covering]]\nid = \"more-drapes\"\nfinish = \"porous_100_sigma10k\"\nover = \"south\"\narea = \"14 m²\"\n";
        let text = lounge(&format!(
            "{}{dead}",
            finishes("gypsum-on-studs", "carpet-on-pad", "gypsum-on-studs")
        ));
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert!(!found[0].remedies.is_empty(), "{}", told(&found));
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_ne!(after[0].verdict, Verdict::Fails, "{}", remedy.says);
        }
    }
}
