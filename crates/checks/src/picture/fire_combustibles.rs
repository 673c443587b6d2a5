//! Is what can burn far enough from a fireplace's opening?

use analysis::{
    Analysis, Known, Limit, LimitValue, Means, Missing, Parts, Source, Uncertain, WallRect,
};
use model::{Edit, FireBuilt, Fixture, FixtureKind, Item, Kit, Space};
use power::fireplace::{Combustible, FireplaceRule, distance_needed};
use units::{Dimension, Metres};

use crate::moves::{Round, raised_together, text_of, to_spare, written_length};
use crate::obstacles::Thing;
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "fire-combustibles",
    area: Area::Picture,
    proves: "Mantel, display, bar and screen near a fireplace's opening keep the distance from it that the rule of the house's code asks of what can burn and stands out as far as they do.",
    matters: "A shelf or a plastic case too near the opening chars slowly, behind its own face: it is how houses burn. A licensed hearth trade and the local code decide; this check only finds what to ask them about.",
    formula: "needed = p / k, at least b and at most n; p: how far the thing stands out of the wall, m; k: the projection allowed for each metre of distance; b: within which nothing that can burn is allowed; n: beyond which the rule asks nothing. Distance: the least between the opening's outline and the thing's, on the wall. For a masonry fireplace; a factory-built one follows its label (label_clearance), which then holds for everything. A display counts as parked. Pages that turn the ratio round (one inch more for each eighth) give other numbers.",
    source: Source::Published {
        work: "IRC 2018 R1001.11 exception 4, as quoted in a builder's article; local code and the fire's label come first",
    },
    when_it_fails: "Have a licensed hearth trade look at it before anything is fitted: another shelf, of what does not burn or less deep, or everything hung higher.",
    limits: &[&BARE, &NEAR, &RATIO],
    published: &[
        Published {
            cite: "IRC R1001.11 exception 4 (2018 text quoted in a builder's article): a board 8 in above the opening may stand out 1.0 in, one of 1 1/4 in by 1/4 in too far",
            computed: || margin_in(8.0, 1.25),
            expected: -0.25,
            tolerance: 1e-9, // Exact inches.
            unit: "in",
        },
        Published {
            cite: "the same: 1 1/4 in asks for 10 in (exact)",
            computed: || {
                let out = Metres::from_inches(1.25);
                distance_needed(out, &FireplaceRule::IRC).map_or(f64::NAN, Metres::inches)
            },
            expected: 10.0,
            tolerance: 1e-9, // Exact inches.
            unit: "in",
        },
    ],
    run: Run::EachSpaceIn(Parts::FIXTURES, run),
};

const WORK: Source = Source::Published {
    work: "IRC 2018 R1001.11 exception 4, as quoted in a builder's article",
};

static BARE: Limit = Limit {
    name: "fire_bare_min",
    meaning: "from a masonry fireplace's opening, within which nothing that can burn is allowed",
    dimension: Dimension::Length,
    value: FireplaceRule::IRC.bare.0,
    source: WORK,
    regional: &[],
};

static NEAR: Limit = Limit {
    name: "fire_near",
    meaning: "from a masonry fireplace's opening, beyond which what can burn may stand out freely",
    dimension: Dimension::Length,
    value: FireplaceRule::IRC.near.0,
    source: WORK,
    regional: &[],
};

static RATIO: Limit = Limit {
    name: "fire_projection_ratio",
    meaning: "how far what can burn may stand out for each length of its distance from a masonry fireplace's opening",
    dimension: Dimension::Ratio,
    value: FireplaceRule::IRC.ratio,
    source: WORK,
    regional: &[],
};

/// Things farther from the opening than this are not told of, m.
const TOLD_M: f64 = 0.6;

fn margin_in(distance_in: f64, projection_in: f64) -> f64 {
    let thing = Combustible {
        distance: Metres::from_inches(distance_in),
        projection: Metres::from_inches(projection_in),
    };
    thing
        .margin(&FireplaceRule::IRC)
        .flatten()
        .map_or(f64::NAN, Metres::inches)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let fires = (space.fixture.iter()).filter(|fixture| fixture.kind == FixtureKind::Fireplace);
    let mut findings: Vec<Finding> = fires
        .flat_map(|fire| about(analysis, space, fire))
        .collect();
    for finding in &mut findings {
        finding.cautions = vec![Caution::HotFlue];
    }
    findings
}

fn about(analysis: &Analysis, space: &Space, fire: &Fixture) -> Vec<Finding> {
    let Some(on) = &fire.on else {
        return Vec::new();
    };
    let opening = match analysis.fixture_rect(space, fire) {
        Some(Ok(opening)) => opening,
        // What is missing of the opening itself is asked for once.
        Some(Err(missing)) => {
            return vec![CHECK.about(space, Subject::fixture(fire), || Err(missing))];
        }
        None => return Vec::new(),
    };
    let shelves = (space.fixture.iter())
        .filter(|fixture| fixture.kind == FixtureKind::Mantel && fixture.combustible != Some(false))
        .map(Thing::Fixture);
    let fitted = analysis
        .items_in(space)
        .filter(|item| {
            matches!(
                analysis.kit_of(item),
                Some(Kit::Display(_) | Kit::Screen(_) | Kit::Loudspeaker(_))
            )
        })
        .map(Thing::Item);
    let mut findings = Vec::new();
    for thing in shelves.chain(fitted) {
        if thing.wall() != Some(on.wall.as_str()) {
            continue;
        }
        let subject = thing.subject().with(&Subject::fixture(fire), "near");
        let found = match thing.wall_rect(analysis, space) {
            Some(Ok(rect)) => Near::of(analysis, space, (fire, &opening), thing, rect),
            Some(Err(missing)) => Err(missing),
            None => continue,
        };
        match found {
            Ok(near) if near.distance.value() > TOLD_M => {}
            Ok(near) => findings.push(CHECK.about(space, subject, || near.decide())),
            Err(missing) => findings.push(CHECK.about(space, subject, || Err(missing))),
        }
    }
    findings
}

/// A thing near an opening.
struct Near<'a> {
    analysis: &'a Analysis,
    space: &'a Space,
    fire: &'a Fixture,
    thing: Thing<'a>,
    /// From the opening's outline to the thing's, m.
    distance: Uncertain,
    /// How far it stands out, m.
    out: Uncertain,
    /// Above the opening, so that it can be raised.
    is_above: bool,
}

impl<'a> Near<'a> {
    fn of(
        analysis: &'a Analysis,
        space: &'a Space,
        (fire, opening): (&'a Fixture, &WallRect),
        thing: Thing<'a>,
        rect: WallRect,
    ) -> Known<Self> {
        let apart = |a: [&Uncertain; 2], b: [&Uncertain; 2]| crate::before_wall::apart(a, b);
        let along = apart([&rect.left, &rect.right], [&opening.left, &opening.right]);
        let up = apart([&rect.bottom, &rect.top], [&opening.bottom, &opening.top]);
        let distance = if along.value() > 0.0 && up.value() > 0.0 {
            along.hypot(&up)
        } else {
            along.max(&up).max(&Uncertain::exact(0.0))
        };
        let standoff = match thing {
            Thing::Item(item) => (analysis.mount_of(item))
                .and_then(|(_, mount)| analysis.number(mount.standoff.as_ref()))
                .filter(|_| !is_picture(analysis, item)),
            _ => None,
        };
        let out = rect.out.clone().ok_or_else(|| {
            let what = format!("how far {} stands out of the wall", thing.subject().label);
            let at = match thing {
                Thing::Fixture(fixture) => {
                    format!("space.{}.fixture.{}.size.2", space.id, fixture.id)
                }
                _ => format!("item.{}", thing.subject().id),
            };
            Missing::new(what, at, Means::Tape)
        })?;
        Ok(Self {
            analysis,
            space,
            fire,
            thing,
            distance,
            out: out + standoff.unwrap_or_default(),
            is_above: rect.bottom >= opening.top,
        })
    }

    /// The distance that its label or the code asks for, and where that stands.
    fn needed(&self) -> Known<(Uncertain, Source)> {
        let (analysis, fire) = (self.analysis, self.fire);
        let name = Subject::fixture(fire).label;
        let at = |fact: &str| format!("space.{}.fixture.{}.{fact}", self.space.id, fire.id);
        if let Some(clearance) = analysis.number(fire.label_clearance.as_ref()) {
            let label = Source::Agreed {
                reason: Some(format!("what the label of {name} or the local code says")),
            };
            return Ok((clearance, label));
        }
        let own = [&BARE, &NEAR, &RATIO].map(|limit| analysis.limit(limit));
        let ask_label = |why: &str| {
            let what = format!(
                "the clearance of what can burn from the opening of {name}, by its label or the local code ({why}); a licensed hearth trade knows"
            );
            Err(Missing::new(what, at("label_clearance"), Means::Look))
        };
        match fire.built {
            Some(FireBuilt::Factory) => return ask_label("it is factory-built"),
            Some(FireBuilt::Masonry) => {}
            None => {
                let what = format!("whether {name} is built of masonry or in a factory");
                return Err(Missing::new(what, at("built"), Means::Look));
            }
        }
        // The rule that ships is that of one region; elsewhere a house brings its own.
        let is_own = |limit: &LimitValue| matches!(limit.source, Source::Agreed { .. });
        if analysis.region() != model::Region::Us && !own.iter().all(is_own) {
            return ask_label("no rule of this region is known here");
        }
        let [bare, near, ratio] = own.each_ref().map(|limit| limit.value);
        let rule = FireplaceRule {
            bare: Metres(bare),
            near: Metres(near),
            ratio,
        };
        let needed = uncertainty::through([&self.out], |[out]| {
            distance_needed(Metres(out.max(0.0)), &rule).map_or(f64::NAN, |needed| needed.0)
        });
        let [_, _, ratio] = own;
        Ok((needed, ratio.source))
    }

    fn decide(&self) -> Known<Outcome> {
        let analysis = self.analysis;
        let (needed, source) = self.needed()?;
        let name = self.thing.subject().label;
        let fire_name = Subject::fixture(self.fire).label;
        let margin = &self.distance - &needed;
        let sentence = format!(
            "{name} stands out {} and is {} from the opening of {fire_name}; {} is the least for what can burn, and local code decides.",
            analysis.length(&self.out),
            analysis.length(&self.distance),
            analysis.length(&needed),
        );
        let outcome = Outcome::with_margin(
            self.distance.clone(),
            needed.value(),
            margin.clone(),
            Dimension::Length,
            source,
        )
        .because(sentence);
        if !outcome.asks_for_remedies(analysis) {
            return Ok(outcome);
        }
        let short_m = -to_spare(&margin, 0.0);
        Ok(match self.thing {
            Thing::Fixture(fixture) => outcome
                .remedy(self.does_not_burn(fixture))
                .remedy(self.less_deep(fixture)),
            Thing::Item(item) => outcome.remedy(self.raised(item, short_m)),
            Thing::Soffit(_) => outcome,
        })
    }

    fn does_not_burn(&self, fixture: &Fixture) -> Option<Remedy> {
        let name = Subject::fixture(fixture).label;
        let says = format!(
            "Have a licensed hearth trade put a {name} of stone or steel in its place, which does not burn."
        );
        let at = format!("space.{}.fixture.{}.combustible", self.space.id, fixture.id);
        Some(Remedy::new(says, vec![Edit::set(at, false)]).caution(Caution::HotFlue))
    }

    /// A shelf that stands out no more than its distance allows.
    fn less_deep(&self, fixture: &Fixture) -> Option<Remedy> {
        let analysis = self.analysis;
        if self.fire.label_clearance.is_some() {
            return None;
        }
        let [bare, near, ratio] = [&BARE, &NEAR, &RATIO].map(|limit| analysis.limit(limit).value);
        // What is known of the distance for certain.
        let sure_m = to_spare(&self.distance, 0.0);
        if sure_m < bare || sure_m > near {
            return None;
        }
        /// A tape's step and what it does not know of the new shelf.
        const RESERVE_M: f64 = 0.003;
        let text = written_length(analysis, sure_m * ratio - RESERVE_M, Round::Down);
        let says = format!(
            "Have {} cut back to {text}, or a shallower one fitted.",
            Subject::fixture(fixture).label
        );
        let at = format!("space.{}.fixture.{}.size.2", self.space.id, fixture.id);
        Some(Remedy::new(says, vec![Edit::set(at, text)]).caution(Caution::HotFlue))
    }

    fn raised(&self, item: &Item, by_m: f64) -> Option<Remedy> {
        if !self.is_above {
            return None;
        }
        let edits = raised_together(self.analysis, item, by_m, None)?;
        let says = format!(
            "Hang {} {} higher, at {}.",
            analysis::item_label(item),
            written_length(self.analysis, by_m, Round::Up),
            text_of(edits.first()?),
        );
        Some(
            Remedy::new(says, edits)
                .caution(Caution::Lifting)
                .caution(Caution::Drilling),
        )
    }
}

/// Pictures count their mount's stand-off already.
fn is_picture(analysis: &Analysis, item: &Item) -> bool {
    analysis
        .kit_of(item)
        .is_some_and(|kit| matches!(kit, Kit::Screen(_)) || kit.common().size.is_none())
}

#[cfg(test)]
mod tests {
    //! A shelf over a masonry fireplace whose opening ends 1 m up.

    use expect_test::expect;

    use super::CHECK;
    use crate::testing::{findings, findings_after, told};
    use crate::{Caution, Means, Verdict};

    /// The shelf's underside this high, and this deep.
    fn room(fire: &str, underside: &str, depth: &str) -> String {
        format!(
            r#"
[survey]
by = "laser"
[[space.fixture]]
id = "fireplace"
kind = "fireplace"
{fire}
on = {{ wall = "west", from_left = "2 m", height = "0.6 m" }}
size = ["0.9 m", "0.8 m", "0 m"]
[[space.fixture]]
id = "mantel"
kind = "mantel"
on = {{ wall = "west", from_left = "2 m", height = "{underside}", to = "bottom-centre" }}
size = ["1.5 m", "60 mm", "{depth}"]
"#
        )
    }

    const MASONRY: &str = "built = \"masonry\"";

    #[test]
    fn a_shelf_far_above_fits() {
        // 400 mm over the opening; 200 mm deep asks for 12 in = 304.8 mm.
        let found = findings(&CHECK, &room(MASONRY, "1.4 m", "200 mm"));
        expect![[r#"
            mantel near fireplace: fits +0.095: mantel stands out 200 mm and is 400 mm from the opening of fireplace; 305 mm is the least for what can burn, and local code decides.
        "#]].assert_eq(&told(&found));
        assert_eq!(found[0].cautions, [Caution::HotFlue]);
    }

    #[test]
    fn the_rule_holds_from_both_sides() {
        let verdict = |underside: &str, depth: &str| {
            findings(&CHECK, &room(MASONRY, underside, depth))[0].verdict
        };
        // 25 mm deep asks for 200 mm; a laser knows both to some 26 mm (8 × 3 mm).
        assert_eq!(verdict("1.23 m", "25 mm"), Verdict::Fits);
        assert_eq!(verdict("1.21 m", "25 mm"), Verdict::Tight);
        assert_eq!(verdict("1.19 m", "25 mm"), Verdict::Fails);
        // Within 6 in = 152.4 mm nothing; 12 in = 304.8 mm for anything deep.
        assert_eq!(verdict("1.15 m", "5 mm"), Verdict::Fails);
        assert_eq!(verdict("1.16 m", "5 mm"), Verdict::Fits);
        assert_eq!(verdict("1.30 m", "0.2 m"), Verdict::Fails);
        assert_eq!(verdict("1.31 m", "0.2 m"), Verdict::Fits);
    }

    #[test]
    fn a_label_or_the_local_code_comes_first() {
        let label = "built = \"factory\"\nlabel_clearance = \"420 mm\"";
        let found = findings(&CHECK, &room(label, "1.4 m", "200 mm"));
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        let asked = |fire: &str, region: &str| {
            let text = room(fire, "1.4 m", "200 mm");
            let room = crate::testing::ROOM.replace("units = ", &format!("{region}\nunits = "));
            let found = crate::testing::findings_of(&CHECK, &format!("{room}{text}"));
            assert_eq!(found[0].verdict, Verdict::Unknown, "{}", told(&found));
            assert_eq!(found[0].needs[0].means, Means::Look);
            found[0].needs[0].at.clone()
        };
        let fact = |name: &str| format!("space.den.fixture.fireplace.{name}");
        assert_eq!(asked("built = \"factory\"", ""), fact("label_clearance"));
        assert_eq!(asked("", ""), fact("built"));
        assert_eq!(asked(MASONRY, "rules = \"eu\""), fact("label_clearance"));
    }

    #[test]
    fn stone_and_what_hangs_far_away_are_no_question() {
        let stone = room(MASONRY, "1.1 m", "200 mm").replace(
            "kind = \"mantel\"",
            "kind = \"mantel\"\ncombustible = false",
        );
        assert!(findings(&CHECK, &stone).is_empty());
        assert!(findings(&CHECK, &room(MASONRY, "1.7 m", "200 mm")).is_empty());
    }

    #[test]
    fn a_bar_over_the_opening_counts() {
        let bar = r#"
[[kit.loudspeaker]]
id = "bar-b1"
form = "bar"
size = ["1 m", "100 mm", "100 mm"]
[[item]]
id = "bar"
is = "bar-b1"
on = { wall = "west", from_left = "2 m", height = "1.25 m" }
"#;
        let text = format!("{}{bar}", room(MASONRY, "1.7 m", "200 mm"));
        let found = findings(&CHECK, &text);
        // Its underside is 200 mm over the opening, and 304.8 are asked.
        assert_eq!(found[0].subject.id, "bar+fireplace");
        assert_eq!(found[0].verdict, Verdict::Fails);
        let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
        assert_eq!(after[0].verdict, Verdict::Fits, "{}", told(&after));
    }

    #[test]
    fn each_remedy_mends_it() {
        let text = room(MASONRY, "1.25 m", "60 mm");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert_eq!(found[0].remedies.len(), 2, "{}", told(&found));
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            let open = after.iter().filter(|one| one.verdict != Verdict::Fits);
            assert_eq!(open.count(), 0, "{} {}", remedy.says, told(&after));
        }
    }
}
