//! An invented job's sheets.

use drawing::{
    Area, CeilingPiece, CeilingPlan, Chain, CutOut, Distance, Drawing, Elevation, Figure, Fitted,
    Fixture, FixtureKind, Hatch, Joists, Loudspeaker, Opening, OpeningKind, Patch, Piece, Plan,
    PlanOpening, PlanOpeningKind, PlanWall, Route, RouteDash, Scales, Seat, Side, Stud, Verdict,
    ViewArrow, ceiling, elevation, on_best, plan,
};
use sheets::{
    Column, ColumnKind, Content, FindingRow, Paper, Sheet, Table, TitleBlock, Units, drawing_areas,
};

pub fn title() -> TitleBlock {
    TitleBlock {
        job: "Ferry Street loft".into(),
        customer: "The customer at number 7".into(),
        revision: "C".into(),
        date: "2026-03-14".into(),
        prepared_by: "The fitters".into(),
        units: Units::Metric,
    }
}

pub fn patch(from_left_m: f64, bottom_m: f64, width_m: f64, height_m: f64) -> Patch {
    Patch {
        from_left_m,
        bottom_m,
        width_m,
        height_m,
    }
}

pub fn metres(stops: &[f64]) -> Chain {
    let figures = stops
        .windows(2)
        .map(|w| Figure::from(format!("{:.0}\u{a0}mm", (w[1] - w[0]) * 1000.0)))
        .collect();
    Chain {
        stops_m: stops.to_vec(),
        figures,
    }
}

/// A gable wall with a window, two lights, a screen and studs.
pub fn gable(paper: Paper) -> Drawing {
    let studs: Vec<Stud> = (0..12)
        .map(|i| Stud {
            centre_m: 0.37 + 0.4064 * i as f64,
            width_m: 0.038,
        })
        .collect();
    let mut stud_stops = vec![0.0];
    stud_stops.extend(studs.iter().map(|s| s.centre_m));
    let light = |id: &str, from_left, label: &str| Fixture {
        id: id.into(),
        kind: FixtureKind::Light,
        patch: patch(from_left, 1.45, 0.13, 0.28),
        label: label.into(),
    };
    let wall = Elevation {
        title: "Street wall, seen from inside".into(),
        length_m: 4.98,
        top_m: vec![[0.0, 1.88], [2.49, 3.23], [4.98, 1.88]],
        cut: Some(Hatch::Wood),
        openings: vec![Opening {
            id: "w1".into(),
            kind: OpeningKind::Window,
            patch: patch(3.75, 0.9, 0.9, 0.85),
            label: "Window".into(),
        }],
        studs,
        fire_blocks_m: vec![1.22],
        fixtures: vec![
            light("l1", 0.6, "Left sconce"),
            light("l2", 3.45, "Right sconce"),
        ],
        fitted: vec![
            Fitted {
                id: "screen".into(),
                patch: patch(0.95, 0.72, 2.4, 1.4),
                inner: Some(patch(1.02, 0.79, 2.26, 1.26)),
                label: "Screen S1, 2.26\u{a0}×\u{a0}1.26\u{a0}m".into(),
                verdict: Some(Verdict::Tight),
            },
            Fitted {
                id: "centre".into(),
                patch: patch(1.9, 0.45, 0.5, 0.18),
                inner: None,
                label: "Centre".into(),
                verdict: Some(Verdict::Fits),
            },
        ],
        cut_outs: vec![CutOut {
            id: "plate".into(),
            patch: patch(0.5, 0.62, 0.1, 0.16),
            label: "Plate 100\u{a0}×\u{a0}160\u{a0}mm".into(),
        }],
        across: vec![
            metres(&stud_stops),
            metres(&[0.0, 0.95, 3.35, 3.75, 4.65, 4.98]),
            metres(&[0.0, 4.98]),
        ],
        shadows: Vec::new(),
        routes: Vec::new(),
        up: vec![
            metres(&[0.0, 0.45, 0.63, 0.72, 2.12]),
            metres(&[0.0, 1.88, 3.23]),
        ],
    };
    on_best(&drawing_areas(paper, Scales::Metric), |area: Area| {
        elevation(&wall, area)
    })
    .expect("the sample fits the paper")
}

pub fn wall_sheet(paper: Paper) -> Sheet {
    Sheet {
        id: "wall-street".into(),
        title: "Street wall".into(),
        contents: vec![Content::Drawing {
            drawing: Box::new(gable(paper)),
            tables: vec![],
            notes: vec![
                "Studs from the survey, ±6 mm; find the first one before drilling.".into(),
                "Heights from the finished floor.".into(),
            ],
        }],
        cautions: vec![
            "Mains cables may run up or down from each light and socket: test before drilling."
                .into(),
            "Two people lift the screen.".into(),
        ],
    }
}

pub fn schedule() -> Sheet {
    let column = |head: &str, kind| Column {
        head: head.into(),
        kind,
    };
    let row = |i: usize| -> Vec<String> {
        vec![
            format!("W{i:02}"),
            "Loudspeaker 2 × 2.1 mm²".into(),
            format!("Rack, amplifier, channel {i}"),
            [
                "Left surround, through the attic and down the second bay",
                "Centre",
            ][i % 2]
                .into(),
            format!("{:.1}\u{a0}m", 4.0 + 0.7 * i as f64),
        ]
    };
    Sheet {
        id: "cables".into(),
        title: "Cable schedule".into(),
        contents: vec![Content::Table(Table {
            heading: String::new(),
            columns: vec![
                column("Done", ColumnKind::Tick),
                column("Label", ColumnKind::Text),
                column("Cable", ColumnKind::Text),
                column("From", ColumnKind::Text),
                column("To", ColumnKind::Text),
                column("Cut", ColumnKind::Number),
            ],
            rows: (1..=40).map(row).collect(),
            total: vec![
                "".into(),
                "".into(),
                "".into(),
                "All cuts".into(),
                "734.5\u{a0}m".into(),
            ],
        })],
        cautions: vec!["Pull no cable through a hole without a smooth edge.".into()],
    }
}

pub fn findings() -> Sheet {
    let row = |verdict, check: &str, subject: &str, margin: &str, remedies: &[&str]| {
        FindingRow {
        verdict,
        check: check.into(),
        subject: subject.into(),
        value: "412 mm".into(),
        limit: "≤ 400 mm".into(),
        margin: margin.into(),
        because: "The frame's upper edge ends 2120 mm above the floor, and the light needs 90 mm of free wall below its arm, so both meet.".into(),
        others: Vec::new(),
        source: "common practice, no source".into(),
        remedies: remedies.iter().map(|r| r.to_string()).collect(),
    }
    };
    Sheet {
        id: "findings".into(),
        title: "What was proved".into(),
        contents: vec![Content::Findings(vec![
            row(
                Verdict::Fails,
                "frame-against-fixtures",
                "Screen S1 and left sconce",
                "−12 ± 6 mm",
                &[
                    "Move the screen 15 mm to the right.",
                    "Lower the screen to 640 mm; the sight lines still hold.",
                ],
            ),
            row(
                Verdict::Tight,
                "throw-distance",
                "Projector P3",
                "+4 ± 6 mm",
                &["Measure the distance from lens to wall again, by laser."],
            ),
            row(
                Verdict::Fits,
                "stud-under-bracket",
                "Centre",
                "+35 ± 6 mm",
                &[],
            ),
            row(
                Verdict::Unknown,
                "cavity-depth",
                "Plate by the door",
                "",
                &["Measure the cavity with a wire through a 3 mm hole."],
            ),
        ])],
        cautions: vec![],
    }
}

pub fn day() -> Sheet {
    Sheet {
        id: "day".into(),
        title: "The day".into(),
        contents: vec![
            Content::Text {
                heading: "Before you start".into(),
                paragraphs: vec![
                    "Park in the yard; the street has no stopping before nine.".into(),
                    "The customer's dog is friendly.".into(),
                ],
            },
            Content::List {
                heading: "Tools".into(),
                items: vec!["Ladder, 2.4 m".into(), "Hole saw, 68 mm".into()],
            },
        ],
        cautions: vec![],
    }
}

pub fn set(paper: Paper) -> Vec<Sheet> {
    vec![
        plan_sheet(paper),
        wall_sheet(paper),
        ceiling_sheet(paper),
        schedule(),
        findings(),
        day(),
    ]
}

fn boxed(x: f64, y: f64, w: f64, h: f64) -> Vec<[f64; 2]> {
    vec![[x, y], [x + w, y], [x + w, y + h], [x, y + h]]
}

const CORNERS: [[f64; 2]; 4] = [[0.0, 5.2], [4.2, 5.2], [4.2, 0.0], [0.0, 0.0]];
const NAMES: [&str; 4] = ["Street", "Garden", "Yard", "Stairs"];

/// Feet and inches to the nearest inch: enough for a sample.
fn feet(length_m: f64) -> Figure {
    let inches = (length_m / 0.0254).round() as i64;
    format!("{}′\u{a0}{}″", inches / 12, inches % 12).into()
}

fn chain(stops: &[f64]) -> Chain {
    Chain {
        stops_m: stops.to_vec(),
        figures: stops.windows(2).map(|w| feet(w[1] - w[0])).collect(),
    }
}

pub fn plan_sheet(paper: Paper) -> Sheet {
    let piece = |id: &str, outline_m, label: &str, verdict| Piece {
        id: id.into(),
        outline_m,
        label: label.into(),
        verdict,
    };
    let speaker = |id: &str, at_m, aim, verdict| Loudspeaker {
        id: id.into(),
        at_m,
        aim,
        width_m: 0.22,
        outline_m: Vec::new(),
        label: id.into(),
        verdict: Some(verdict),
    };
    let opening = |id: &str, kind, from_left_m, width_m, label: &str| PlanOpening {
        id: id.into(),
        kind,
        from_left_m,
        width_m,
        label: label.into(),
    };
    let openings = [
        vec![],
        vec![opening("w", PlanOpeningKind::Window, 1.9, 1.2, "Window")],
        vec![opening("a", PlanOpeningKind::Archway, 2.6, 1.1, "Archway")],
        vec![opening(
            "d",
            PlanOpeningKind::Door {
                hinges: Side::Right,
                into_room: true,
                opens_rad: std::f64::consts::FRAC_PI_2,
            },
            0.3,
            0.85,
            "Door",
        )],
    ];
    let chains = [
        vec![chain(&[0.0, 4.2])],
        vec![chain(&[0.0, 1.9, 3.1, 5.2]), chain(&[0.0, 5.2])],
        vec![chain(&[0.0, 2.6, 3.7, 4.2]), chain(&[0.0, 4.2])],
        vec![chain(&[0.0, 0.3, 1.15, 5.2])],
    ];
    let wall = |(i, (openings, chains)): (usize, (Vec<PlanOpening>, Vec<Chain>))| PlanWall {
        name: NAMES[i].into(),
        thickness_m: 0.14,
        hatch: Some(Hatch::Insulation),
        openings,
        chains,
    };
    let seat = |i: usize| Seat {
        id: format!("s{i}"),
        at_m: [1.4 + 0.7 * i as f64, 2.0],
        facing: [0.0, 1.0],
        width_m: 0.6,
        label: String::new(),
    };
    let route = |id: &str, points_m, dash| Route {
        id: id.into(),
        points_m,
        dash,
        label: id.into(),
    };
    let room = Plan {
        title: "Loft, plan".into(),
        corners_m: CORNERS.to_vec(),
        walls: openings
            .into_iter()
            .zip(chains)
            .enumerate()
            .map(wall)
            .collect(),
        seats: (0..3).map(seat).collect(),
        furniture: vec![piece(
            "sideboard",
            boxed(3.75, 0.6, 0.45, 1.2),
            "Sideboard",
            None,
        )],
        kit: vec![
            piece(
                "screen",
                boxed(1.0, 5.12, 2.2, 0.06),
                "Screen S1",
                Some(Verdict::Tight),
            ),
            piece(
                "rack",
                boxed(0.02, 0.02, 0.6, 0.6),
                "Rack",
                Some(Verdict::Fits),
            ),
        ],
        loudspeakers: vec![
            speaker("Left", [0.6, 5.0], [0.5, -1.0], Verdict::Fits),
            speaker("Right", [3.6, 5.0], [-0.5, -1.0], Verdict::Fits),
            speaker("Side left", [0.12, 2.2], [1.0, 0.0], Verdict::Fails),
            speaker("Side right", [4.08, 2.4], [-1.0, 0.0], Verdict::Unknown),
        ],
        beams: vec![piece(
            "throw",
            vec![[2.1, 0.5], [1.06, 5.12], [3.16, 5.12]],
            "",
            None,
        )],
        routes: vec![
            route(
                "W07",
                vec![[0.3, 0.62], [0.3, 2.1], [0.2, 2.2]],
                RouteDash::Solid,
            ),
            route("W01", vec![[0.45, 0.62], [0.45, 4.9]], RouteDash::Long),
            route(
                "W08",
                vec![[0.62, 0.25], [3.6, 0.25], [3.6, 2.4], [4.0, 2.4]],
                RouteDash::Short,
            ),
        ],
        north_rad: Some(0.6),
        views: vec![ViewArrow {
            at_m: [2.1, 3.6],
            towards: [0.0, 1.0],
            label: "A".into(),
        }],
    };
    let drawing = on_best(&drawing_areas(paper, Scales::Imperial), |area: Area| {
        plan(&room, area)
    })
    .expect("the sample fits the paper");
    let contents = vec![Content::Drawing {
        drawing: Box::new(drawing),
        tables: vec![],
        notes: vec!["View A is sheet 2.".into()],
    }];
    Sheet {
        id: "plan".into(),
        title: "Plan".into(),
        contents,
        cautions: vec![],
    }
}

pub fn ceiling_sheet(paper: Paper) -> Sheet {
    let item = |label: &str, x: f64, y: f64, verdict| CeilingPiece {
        piece: Piece {
            id: label.into(),
            outline_m: boxed(x - 0.11, y - 0.11, 0.22, 0.22),
            label: label.into(),
            verdict,
        },
        round: true,
        existing: verdict.is_none(),
        distances: if verdict.is_none() {
            vec![]
        } else {
            vec![
                Distance {
                    foot_m: [if x < 2.1 { 0.0 } else { 4.2 }, y],
                    figure: feet(x.min(4.2 - x)),
                },
                Distance {
                    foot_m: [x, if y < 2.6 { 0.0 } else { 5.2 }],
                    figure: feet(y.min(5.2 - y)),
                },
            ]
        },
    };
    let room = CeilingPlan {
        title: "Loft, reflected ceiling plan".into(),
        corners_m: CORNERS.to_vec(),
        wall_names: NAMES.map(String::from).into(),
        chains: vec![
            vec![chain(&[0.0, 4.2])],
            vec![chain(&[0.0, 5.2])],
            vec![],
            vec![],
        ],
        ridges_m: vec![[[2.1, 0.0], [2.1, 5.2]]],
        joists: Some(Joists {
            along_rad: 0.0,
            spacing_m: 0.4064,
            through_m: [0.0, 0.2],
        }),
        pieces: vec![
            item("Pendant", 1.0, 2.7, None),
            item("Smoke alarm", 3.2, 2.7, None),
            item("Top front left", 1.2, 3.9, Some(Verdict::Fits)),
            item("Top front right", 3.0, 3.9, Some(Verdict::Fits)),
            item("Top rear left", 1.2, 1.1, Some(Verdict::Tight)),
            item("Top rear right", 3.0, 1.1, Some(Verdict::Fails)),
        ],
        north_rad: Some(0.6),
    };
    let drawing = on_best(&drawing_areas(paper, Scales::Imperial), |area: Area| {
        ceiling(&room, area)
    })
    .expect("the sample fits the paper");
    let cautions = vec![
        "Work from a platform, not from the top of a ladder.".into(),
        "Find pipes and cables above the board before cutting.".into(),
    ];
    let contents = vec![Content::Drawing {
        drawing: Box::new(drawing),
        tables: vec![],
        notes: vec!["Seen in a mirror on the floor: left and right as on the plan.".into()],
    }];
    Sheet {
        id: "ceiling".into(),
        title: "Reflected ceiling plan".into(),
        contents,
        cautions,
    }
}
