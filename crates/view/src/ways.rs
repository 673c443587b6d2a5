//! Which way each cable takes, what else there would be, and from which spool it is cut.

use analysis::{Analysis, ExistingUse, ExistingUseCost, PathPiece, WhyNot};
use model::{Cable, Units};
use schemars::JsonSchema;
use serde::Serialize;
use units::Dimension;

use crate::Edit;

/// The ways of a job's cables.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Ways {
    /// Each cable, in the order of the document.
    pub cables: Vec<CableWay>,
    /// Holes that several cables share when all are pulled.
    pub shared: Vec<SharedHole>,
    /// Cables to pull in one go, longest first.
    pub pulls: Vec<Vec<String>>,
    /// What all cables take one by one and together, by the shop's weights, s.
    pub alone_s: f64,
    /// As `alone_s`, with shared holes drilled once, s.
    pub together_s: f64,
    /// What other ways would save for the holes of others, in a sentence.
    pub joint: Option<String>,
    /// The spools of each kind and what is cut from them.
    pub spools: Vec<SpoolCuts>,
}

/// One cable's way.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CableWay {
    /// The cable's label in the document.
    pub cable: String,
    /// Its legs in words, each with its length; empty where the way is not known.
    pub legs: Vec<String>,
    /// What is missing where the way is not known.
    pub missing: Option<String>,
    /// Length without slack and loops, m.
    pub length_m: Option<f64>,
    /// The 95 % interval of the length, m, unknown facts of the construction included.
    pub tolerance_m: Option<f64>,
    /// Length to cut, m; none where it comes ready-made or lies there already.
    pub cut_m: Option<f64>,
    /// Holes at least and at most.
    pub holes: Option<[u32; 2]>,
    /// Time at least and at most, s.
    pub time_s: Option<[f64; 2]>,
    /// Holes, time and what is not known, in words.
    pub work_text: Option<String>,
    /// Unknown facts that it rests on.
    pub doubts: Vec<String>,
    /// What it keeps out of because somebody chose so, in words.
    pub keeps_out_of: Vec<String>,
    /// Single parts of the house that it goes round because somebody chose so, in words.
    pub goes_round: Vec<String>,
    /// What lets it take the cheapest way again, where it keeps out of something or goes round it.
    pub back: Vec<Edit>,
    /// The best way of another kind.
    pub other: Option<OtherWay>,
    /// What the dearest hole costs, and going round it.
    pub dear_text: Option<String>,
    /// The way round that hole alone, where it is not the other way.
    pub round: Option<OtherWay>,
    /// What may be done with the old cable that it takes over, the cheapest first.
    pub existing: Vec<ExistingWay>,
    /// Where it runs, space by space, m.
    pub path: Vec<WayPiece>,
}

/// A part of a way inside one space.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WayPiece {
    /// The space.
    pub space: String,
    /// Its corners in the space's frame, m.
    pub points: Vec<[f64; 3]>,
}

/// Another way for the same cable.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OtherWay {
    /// Its legs in words.
    pub legs: Vec<String>,
    /// What it leaves out, in words; empty where it goes round one part of the house alone.
    pub leaves_out: Vec<String>,
    /// Length at least and at most, m.
    pub length_m: [f64; 2],
    /// Time at least and at most, s.
    pub time_s: [f64; 2],
    /// Holes at least and at most.
    pub holes: [u32; 2],
    /// Holes and time, in words.
    pub work_text: String,
    /// What it is longer or shorter and quicker or slower by, in words.
    pub against_text: String,
    /// Where it runs, space by space, m.
    pub path: Vec<WayPiece>,
    /// What takes it.
    pub edits: Vec<Edit>,
}

/// A use of an old cable.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ExistingWay {
    /// What is done, in words.
    pub says: String,
    /// New cable at least and at most, m.
    pub length_m: [f64; 2],
    /// Time at least and at most, s.
    pub time_s: [f64; 2],
    /// Holes at least and at most.
    pub holes: [u32; 2],
    /// Holes and time, in words.
    pub work_text: String,
    /// Why it is not open, in words.
    pub not_open: Option<String>,
}

/// A hole that several cables share.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SharedHole {
    /// What it goes through.
    pub through: String,
    /// The cables.
    pub cables: Vec<String>,
}

/// The cuts of one kind of cable.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SpoolCuts {
    /// The cable's catalogue entry.
    pub kind: String,
    /// Spools that are opened.
    pub opened: Vec<SpoolCut>,
    /// Ends that are scrap, m.
    pub scrap_m: f64,
    /// How much less length of spool another plan might open at most, m.
    pub gap_m: f64,
    /// Spools too short for any cable of their kind.
    pub useless: Vec<String>,
    /// Why there is no plan.
    pub fault: Option<String>,
}

/// A spool and its cuts.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SpoolCut {
    /// The spool.
    pub spool: String,
    /// Cables in the order of cutting, each with its length, m.
    pub cuts: Vec<(String, f64)>,
    /// What stays on it, m.
    pub left_m: f64,
    /// Whether that is scrap.
    pub is_scrap: bool,
}

/// The ways of every cable, or of one; none where no cable has that label.
pub fn ways(analysis: &Analysis, only: Option<&str>) -> Option<Ways> {
    let wanted = |cable: &&Cable| only.is_none_or(|id| cable.id == id);
    let cables: Vec<CableWay> = (analysis.cables().filter(wanted))
        .map(|cable| cable_way(analysis, cable))
        .collect();
    if only.is_some() && cables.is_empty() {
        return None;
    }
    let together = analysis.ways_together();
    let touches = |cables: &[String]| only.is_none_or(|id| cables.iter().any(|cable| cable == id));
    let (plans, _) = analysis.spool_plans();
    let spools = plans.into_iter().map(|plan| SpoolCuts {
        kind: plan.kind,
        opened: (plan.opened.into_iter())
            .map(|opened| SpoolCut {
                spool: opened.spool,
                cuts: opened.cuts,
                left_m: opened.left_m,
                is_scrap: opened.is_scrap,
            })
            .collect(),
        scrap_m: plan.scrap_m,
        gap_m: plan.gap_m,
        useless: plan.useless,
        fault: plan.fault,
    });
    let joint = match only {
        None => analysis.joint_ways(&together),
        Some(_) => None,
    };
    Some(Ways {
        cables,
        shared: (together.shared.into_iter())
            .filter(|hole| touches(&hole.cables))
            .map(|hole| SharedHole {
                through: hole.through,
                cables: hole.cables,
            })
            .collect(),
        pulls: together
            .pulls
            .into_iter()
            .filter(|pull| touches(pull))
            .collect(),
        alone_s: together.alone_s,
        together_s: together.together_s,
        joint,
        spools: spools.collect(),
    })
}

/// One cable's way with what else there would be.
pub fn cable_way(analysis: &Analysis, cable: &Cable) -> CableWay {
    let existing = match analysis.existing_uses(cable) {
        Some(Ok(uses)) => uses.uses.iter().map(existing_way).collect(),
        _ => Vec::new(),
    };
    let mut way = CableWay {
        cable: cable.id.clone(),
        legs: Vec::new(),
        missing: None,
        length_m: None,
        tolerance_m: None,
        cut_m: analysis.cut_to(cable).ok().filter(|_| cable.is_cut()),
        holes: None,
        time_s: None,
        work_text: None,
        doubts: Vec::new(),
        keeps_out_of: (cable.keeps_out_of.iter())
            .map(|one| one.words().to_owned())
            .collect(),
        goes_round: (cable.goes_round.iter())
            .map(|one| analysis.round_words(one))
            .collect(),
        back: [
            ("keeps_out_of", cable.keeps_out_of.is_empty()),
            ("goes_round", cable.goes_round.is_empty()),
        ]
        .into_iter()
        .filter(|(_, is_empty)| !is_empty)
        .map(|(fact, _)| Edit {
            at: format!("cable.{}.{fact}", cable.id),
            set: None,
        })
        .collect(),
        other: None,
        dear_text: None,
        round: None,
        existing,
        path: Vec::new(),
    };
    let told = match analysis.way_told(cable) {
        Ok(told) => told,
        Err(missing) => {
            way.missing = Some(missing.to_string());
            return way;
        }
    };
    way.legs = analysis.leg_words(&told.route);
    way.length_m = Some(told.route.length.value());
    let spread_m = told.route.length.standard_uncertainty();
    way.tolerance_m = Some(analysis::COVERAGE_FACTOR * spread_m);
    if let Some(work) = &told.route.work {
        way.holes = Some(work.holes);
        way.time_s = Some(work.time_s);
        way.work_text = Some(work.words());
        way.doubts = work.doubts.clone();
    }
    let own = told.route.work.as_ref();
    let shown = |other: analysis::OtherWay| OtherWay {
        against_text: own.map_or_else(String::new, |own| against(analysis, &other, own)),
        work_text: analysis::work_words(other.holes, other.time_s),
        legs: other.legs,
        leaves_out: (other.leaves_out.iter())
            .map(|one| one.words().to_owned())
            .collect(),
        length_m: other.length_m,
        time_s: other.time_s,
        holes: other.holes,
        path: other.path.into_iter().map(piece).collect(),
        edits: other.edits.iter().map(Edit::from).collect(),
    };
    way.other = told.other.map(shown);
    if let Some(dear) = told.dear {
        way.dear_text = Some(dear.sentence);
        way.round = dear.round.map(shown);
    }
    way.path = told.route.path.into_iter().map(piece).collect();
    way
}

fn piece(piece: PathPiece) -> WayPiece {
    WayPiece {
        space: piece.space,
        points: piece.points,
    }
}

/// "6 ft more cable, 25 min less": halfway between the least and the most of each.
fn against(analysis: &Analysis, other: &analysis::OtherWay, own: &analysis::Work) -> String {
    let middle = |[least, most]: [f64; 2]| (least + most) / 2.0;
    let more_m = middle(other.length_m) - middle(own.length_m);
    let more_min = ((middle(other.time_s) - middle(own.time_s)) / 60.0).round();
    let way = |more: f64| if more > 0.0 { "more" } else { "less" };
    // Nobody lays a cable to the millimetre.
    let step_m = match analysis.units() {
        Units::Imperial => 0.0254,
        Units::Metric => 0.01,
    };
    let length = match more_m.abs() < step_m {
        true => "as much cable".to_owned(),
        false => format!(
            "{} {} cable",
            length_text(analysis, (more_m.abs() / step_m).round() * step_m),
            way(more_m)
        ),
    };
    match more_min.abs() < 1.0 {
        true => format!("{length}, the same time"),
        false => format!(
            "{length}, {} {}",
            analysis::minutes(more_min.abs() * 60.0),
            way(more_min)
        ),
    }
}

fn existing_way(cost: &ExistingUseCost) -> ExistingWay {
    let says = match cost.is {
        ExistingUse::AsIs => "use it as it is",
        ExistingUse::DropInBay => "move its end within the bay",
        ExistingUse::Extend => "join a further length to it, in a box that stays in reach",
        ExistingUse::PullString => "pull the new cable in by it",
        ExistingUse::Abandon => "leave it and pull a new one",
    };
    let not_open = cost.not_open.map(|why| match why {
        WhyNot::EndElsewhere => "its end is elsewhere",
        WhyNot::OtherBay => "the place is not in the same stud bay",
        WhyNot::TooShort => "it has too little spare",
        WhyNot::OtherKind => "it is of another kind",
        WhyNot::NeverCut => "a cable of its kind is never cut",
        WhyNot::Licensed => "only a licensed electrician may",
        WhyNot::Fixed => "it is fixed inside the wall",
        WhyNot::NoWay => "no way was found",
    });
    ExistingWay {
        says: says.to_owned(),
        length_m: [cost.length_m.low, cost.length_m.high],
        time_s: [cost.time_s.low, cost.time_s.high],
        holes: [cost.holes.low as u32, cost.holes.high as u32],
        work_text: analysis::work_words(
            [cost.holes.low as u32, cost.holes.high as u32],
            [cost.time_s.low, cost.time_s.high],
        ),
        not_open: not_open.map(str::to_owned),
    }
}

/// A length as the job prints it.
pub fn length_text(analysis: &Analysis, length_m: f64) -> String {
    analysis.exact(length_m, Dimension::Length)
}
