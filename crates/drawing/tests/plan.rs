//! Whether plans and ceilings can be read.

use drawing::{
    Area, CeilingPiece, CeilingPlan, Chain, Distance, Drawing, Figure, Hatch, Joists, Loudspeaker,
    Piece, Plan, PlanOpening, PlanOpeningKind, PlanWall, Route, RouteDash, Scales, Seat, Shape,
    Side, Verdict, ViewArrow, ceiling, overlaps, plan, point, svg,
};

const A4: Area = Area {
    width_mm: 186.0,
    height_mm: 225.0,
    scales: Scales::Metric,
    smallest: None,
};

fn metres(stops: &[f64]) -> Chain {
    let figures = stops
        .windows(2)
        .map(|w| Figure::from(format!("{:.2}\u{a0}m", w[1] - w[0])))
        .collect();
    Chain {
        stops_m: stops.to_vec(),
        figures,
    }
}

fn boxed(x: f64, y: f64, w: f64, h: f64) -> Vec<[f64; 2]> {
    vec![[x, y], [x + w, y], [x + w, y + h], [x, y + h]]
}

fn piece(id: &str, outline_m: Vec<[f64; 2]>, label: &str, verdict: Option<Verdict>) -> Piece {
    Piece {
        id: id.into(),
        outline_m,
        label: label.into(),
        verdict,
    }
}

fn wall(name: &str, stops: &[f64], openings: Vec<PlanOpening>) -> PlanWall {
    let whole = [stops[0], stops[stops.len() - 1]];
    let chains = if stops.len() > 2 {
        vec![metres(stops), metres(&whole)]
    } else {
        vec![metres(stops)]
    };
    PlanWall {
        name: name.into(),
        thickness_m: 0.14,
        hatch: Some(Hatch::Insulation),
        openings,
        chains,
    }
}

fn opening(
    id: &str,
    kind: PlanOpeningKind,
    from_left_m: f64,
    width_m: f64,
    label: &str,
) -> PlanOpening {
    PlanOpening {
        id: id.into(),
        kind,
        from_left_m,
        width_m,
        label: label.into(),
    }
}

/// A room of 4.98 × 6.46 m, clockwise from the upper left corner.
fn loft() -> Plan {
    let speaker = |id: &str, at_m: [f64; 2], aim: [f64; 2], label: &str, verdict| Loudspeaker {
        id: id.into(),
        at_m,
        aim,
        width_m: 0.22,
        outline_m: Vec::new(),
        label: label.into(),
        verdict: Some(verdict),
    };
    Plan {
        title: "Loft, plan".into(),
        corners_m: vec![[0.0, 6.46], [4.98, 6.46], [4.98, 0.0], [0.0, 0.0]],
        walls: vec![
            wall("Street", &[0.0, 4.98], vec![]),
            wall(
                "Chimney",
                &[0.0, 2.16, 3.38, 6.46],
                vec![opening("w1", PlanOpeningKind::Window, 2.16, 1.22, "Dormer")],
            ),
            wall(
                "Yard",
                &[0.0, 1.8, 2.9, 4.98],
                vec![opening(
                    "a1",
                    PlanOpeningKind::Archway,
                    1.8,
                    1.1,
                    "Archway to landing",
                )],
            ),
            wall(
                "Stairs",
                &[0.0, 0.35, 1.2, 6.46],
                vec![opening(
                    "d1",
                    PlanOpeningKind::Door {
                        hinges: Side::Left,
                        into_room: true,
                        opens_rad: std::f64::consts::FRAC_PI_2,
                    },
                    0.35,
                    0.85,
                    "Door",
                )],
            ),
        ],
        seats: (0..3)
            .map(|i| Seat {
                id: format!("s{i}"),
                at_m: [1.74 + 0.75 * i as f64, 2.6],
                facing: [0.0, 1.0],
                width_m: 0.62,
                label: ["Left", "Middle", "Right"][i].into(),
            })
            .collect(),
        furniture: vec![piece("cab", boxed(4.5, 4.6, 0.48, 1.2), "Cabinet", None)],
        kit: vec![
            piece(
                "screen",
                boxed(1.29, 6.38, 2.4, 0.06),
                "Screen S1",
                Some(Verdict::Tight),
            ),
            piece(
                "proj",
                boxed(2.26, 0.36, 0.46, 0.44),
                "Projector P3",
                Some(Verdict::Fits),
            ),
            piece(
                "rack",
                boxed(0.05, 0.1, 0.6, 0.6),
                "Rack",
                Some(Verdict::Unknown),
            ),
        ],
        loudspeakers: vec![
            speaker("l", [0.8, 6.2], [0.5, -1.0], "Left", Verdict::Fits),
            speaker("r", [4.18, 6.2], [-0.5, -1.0], "Right", Verdict::Fits),
            speaker("sl", [0.15, 2.7], [1.0, 0.0], "Side left", Verdict::Fails),
            speaker("sr", [4.83, 2.7], [-1.0, 0.0], "Side right", Verdict::Tight),
        ],
        beams: vec![piece(
            "throw",
            vec![[2.49, 0.7], [1.36, 6.38], [3.62, 6.38]],
            "",
            None,
        )],
        routes: vec![
            Route {
                id: "W07".into(),
                points_m: vec![[0.35, 0.7], [0.35, 2.5], [0.2, 2.7]],
                dash: RouteDash::Solid,
                label: "W07".into(),
            },
            Route {
                id: "W01".into(),
                points_m: vec![[0.5, 0.7], [0.5, 3.9], [0.5, 6.3], [0.7, 6.3]],
                dash: RouteDash::Long,
                label: "W01".into(),
            },
            Route {
                id: "W08".into(),
                points_m: vec![[0.65, 0.35], [4.75, 0.35], [4.75, 2.6]],
                dash: RouteDash::Short,
                label: "W08".into(),
            },
        ],
        north_rad: Some(0.4),
        views: vec![
            ViewArrow {
                at_m: [2.49, 4.6],
                towards: [0.0, 1.0],
                label: "A".into(),
            },
            ViewArrow {
                at_m: [3.7, 3.4],
                towards: [1.0, 0.0],
                label: "B".into(),
            },
        ],
    }
}

#[test]
fn a_picture_smaller_than_is_worth_drawing_is_refused() {
    let low = Area {
        height_mm: 120.0,
        ..A4
    };
    let drawn = plan(&loft(), low).unwrap();
    let held = |smallest| {
        plan(
            &loft(),
            Area {
                smallest: Some(smallest),
                ..low
            },
        )
    };
    assert_eq!(held(drawn.scale), Ok(drawn.clone()));
    let larger = drawing::Scale(drawn.scale.0 - 1);
    assert!(matches!(
        held(larger),
        Err(drawing::DrawingError::TooLarge { .. })
    ));
}

fn check(drawing: Drawing, area: Area) -> Drawing {
    if let Ok(folder) = std::env::var("DRAWINGS_TO") {
        let name: String = drawing
            .title
            .chars()
            .map(|c| if c.is_alphanumeric() { c } else { '_' })
            .collect();
        std::fs::write(format!("{folder}/{name}.svg"), svg(&drawing.with_key()))
            .expect("the folder can be written to");
    }
    assert_eq!(overlaps(&drawing), []);
    assert_eq!(overlaps(&drawing.with_key()), []);
    assert!(drawing.width_mm <= area.width_mm && drawing.height_mm <= area.height_mm);
    drawing
}

fn has(drawing: &Drawing, words: &str) -> bool {
    drawing.texts.iter().any(|t| t.content == words)
        || drawing.key.iter().any(|k| k.text.contains(words))
}

#[test]
fn a_furnished_room_can_be_read() {
    let drawing = check(plan(&loft(), A4).unwrap(), A4);
    for words in [
        "Street",
        "Chimney",
        "Yard",
        "Stairs",
        "W07",
        "W08",
        "N",
        "A",
        "6.46\u{a0}m",
        "Middle",
    ] {
        assert!(has(&drawing, words), "{words}");
    }
}

#[test]
fn twelve_corners_keep_all_their_figures() {
    let corners_m = vec![
        [0.0, 5.0],
        [2.0, 5.0],
        [2.0, 6.2],
        [4.0, 6.2],
        [4.0, 5.0],
        [6.5, 5.0],
        [6.5, 2.0],
        [7.5, 2.0],
        [7.5, 0.5],
        [3.0, 0.5],
        [3.0, 0.0],
        [0.0, 0.0],
    ];
    let n = corners_m.len();
    let walls = (0..n)
        .map(|i| {
            let ([x0, y0], [x1, y1]): ([f64; 2], [f64; 2]) = (corners_m[i], corners_m[(i + 1) % n]);
            wall(
                &format!("Wall {}", i + 1),
                &[0.0, (x1 - x0).hypot(y1 - y0)],
                vec![],
            )
        })
        .collect();
    let room = Plan {
        title: "Twelve corners".into(),
        corners_m,
        walls,
        north_rad: Some(0.0),
        ..Plan::default()
    };
    let drawing = check(plan(&room, A4).unwrap(), A4);
    let told: Vec<String> = drawing
        .texts
        .iter()
        .map(|t| t.content.clone())
        .chain(drawing.key.iter().map(|k| k.text.clone()))
        .collect();
    for i in 1..=12 {
        assert!(told.iter().any(|t| t.contains(&format!("Wall {i}"))), "{i}");
    }
    let figures = told
        .iter()
        .map(|t| t.matches("\u{a0}m").count())
        .sum::<usize>();
    assert_eq!(figures, 12);
}

#[test]
fn slanted_walls_carry_turned_figures() {
    let corners_m = vec![[0.0, 3.0], [2.0, 5.0], [5.0, 4.0], [5.5, 0.5], [0.5, 0.0]];
    let walls = (0..5)
        .map(|i| {
            let ([x0, y0], [x1, y1]): ([f64; 2], [f64; 2]) = (corners_m[i], corners_m[(i + 1) % 5]);
            let length = (x1 - x0).hypot(y1 - y0);
            wall(
                &format!("Slant {i}"),
                &[0.0, 0.3, 0.5, 0.9, length],
                vec![opening("w", PlanOpeningKind::Window, 0.3, 0.6, "")],
            )
        })
        .collect();
    let room = Plan {
        title: "Five slants".into(),
        corners_m,
        walls,
        ..Plan::default()
    };
    check(plan(&room, A4).unwrap(), A4);
}

#[test]
fn a_counter_clockwise_room_is_the_same_room() {
    let mut reversed = loft();
    // Walls follow their corners: the wall from corner i to i + 1 becomes the one from the later corner back.
    reversed.corners_m.reverse();
    reversed.walls.reverse();
    reversed.walls.rotate_left(1);
    let (a, b) = (plan(&loft(), A4).unwrap(), plan(&reversed, A4).unwrap());
    let sorted = |d: &Drawing| {
        let mut t: Vec<String> = d
            .texts
            .iter()
            .filter(|t| t.content.contains("\u{a0}m"))
            .map(|t| format!("{} {:.2} {:.2}", t.content, t.at.x, t.at.y))
            .collect();
        t.sort();
        t
    };
    assert_eq!(sorted(&a), sorted(&b));
}

/// The free end of the loft's door leaf from its hinges, in leaf lengths: along the wall, and into the room.
fn leaf_end(opens_deg: f64, into_room: bool) -> [f64; 2] {
    let mut plan = loft();
    plan.walls[3].openings[0].kind = PlanOpeningKind::Door {
        hinges: Side::Left,
        into_room,
        opens_rad: opens_deg.to_radians(),
    };
    let drawing = drawing::plan(&plan, A4).expect("the loft fits the paper");
    let mut elements = drawing.elements.iter();
    let door = elements.find(|e| e.id == "d1").expect("it is drawn");
    let Shape::Path { points, .. } = &door.shapes[0] else {
        panic!("the leaf is a line");
    };
    let leaf = drawing.scale.paper_mm(0.85);
    let to = point(points[1].x - points[0].x, points[1].y - points[0].y);
    // "Stairs" is the left wall, walked from its foot upwards: along it is up on paper, and the room is on the right.
    [-to.y / leaf, to.x / leaf]
}

#[test]
fn a_door_opens_as_far_as_it_is_said_to() {
    for (opens_deg, into_room) in [(90.0, true), (120.0, true), (45.0, true), (170.0, false)] {
        let [along, inward] = leaf_end(opens_deg, into_room);
        let (sin, cos) = f64::to_radians(opens_deg).sin_cos();
        let side = if into_room { 1.0 } else { -1.0 };
        assert!(
            (along - cos).abs() < 1e-6 && (inward - side * sin).abs() < 1e-6,
            "{opens_deg}°: {along}, {inward}"
        );
    }
}

#[test]
fn a_long_word_is_not_cut_where_a_number_can_hold_it() {
    let mut plan = loft();
    plan.kit[0].label = "Unterflurlautsprecherabdeckungsrahmenhalterung".into();
    let drawing = drawing::plan(&plan, A4).unwrap();
    let in_key = |e: &drawing::KeyEntry| e.text.starts_with(plan.kit[0].label.as_str());
    assert!(drawing.key.iter().any(in_key));
    assert!(!drawing.texts.iter().any(|t| t.content.starts_with("Unter")));
}

fn loft_ceiling() -> CeilingPlan {
    let lamp = |id: &str, x: f64, y: f64, label: &str| CeilingPiece {
        piece: piece(id, boxed(x - 0.1, y - 0.1, 0.2, 0.2), label, None),
        round: true,
        existing: true,
        distances: vec![],
    };
    let speaker = |id: &str, x: f64, y: f64, label: &str, verdict| CeilingPiece {
        piece: piece(
            id,
            boxed(x - 0.11, y - 0.11, 0.22, 0.22),
            label,
            Some(verdict),
        ),
        round: true,
        existing: false,
        distances: vec![
            Distance {
                foot_m: [if x < 2.5 { 0.0 } else { 4.98 }, y],
                figure: format!("{:.2}\u{a0}m", x.min(4.98 - x)).into(),
            },
            Distance {
                foot_m: [x, if y < 3.2 { 0.0 } else { 6.46 }],
                figure: format!("{:.2}\u{a0}m", y.min(6.46 - y)).into(),
            },
        ],
    };
    CeilingPlan {
        title: "Loft, reflected ceiling plan".into(),
        corners_m: loft().corners_m,
        wall_names: ["Street", "Chimney", "Yard", "Stairs"]
            .map(String::from)
            .into(),
        chains: vec![
            vec![metres(&[0.0, 4.98])],
            vec![metres(&[0.0, 6.46])],
            vec![],
            vec![],
        ],
        ridges_m: vec![[[2.49, 0.0], [2.49, 6.46]]],
        joists: Some(Joists {
            along_rad: 0.0,
            spacing_m: 0.4064,
            through_m: [0.0, 0.2],
        }),
        pieces: vec![
            lamp("c1", 1.2, 3.2, "Pendant"),
            lamp("c2", 3.8, 3.2, "Smoke alarm"),
            speaker("tfl", 1.5, 4.6, "Top front left", Verdict::Fits),
            speaker("tfr", 3.48, 4.6, "Top front right", Verdict::Fits),
            speaker("trl", 1.5, 1.3, "Top rear left", Verdict::Tight),
            speaker("trr", 3.48, 1.3, "Top rear right", Verdict::Fails),
        ],
        north_rad: Some(0.4),
    }
}

#[test]
fn a_ceiling_with_kit_can_be_read() {
    let drawing = check(ceiling(&loft_ceiling(), A4).unwrap(), A4);
    for words in ["1.50\u{a0}m", "1.86\u{a0}m", "1.30\u{a0}m", "Pendant"] {
        assert!(has(&drawing, words), "{words}");
    }
}

#[test]
fn an_open_outline_is_refused() {
    let room = Plan {
        title: "Flat".into(),
        corners_m: vec![[0.0, 0.0], [1.0, 0.0], [2.0, 0.0]],
        walls: vec![PlanWall::default(); 3],
        ..Plan::default()
    };
    assert_eq!(
        plan(&room, A4).unwrap_err().to_string(),
        "the outline of \"Flat\" encloses no area or repeats a corner"
    );
}

/// The points of a thing's first shape.
fn points(drawing: &Drawing, id: &str) -> Vec<drawing::Point> {
    let element = drawing.elements.iter().find(|element| element.id == id);
    match element.map(|element| &element.shapes[0]) {
        Some(Shape::Path { points, .. }) => points.clone(),
        other => panic!("{id} starts with its outline, not with {other:?}"),
    }
}

fn bounds(drawing: &Drawing, id: &str) -> drawing::Bounds {
    drawing::Bounds::of(points(drawing, id)).expect("it has points")
}

#[test]
fn a_loudspeaker_of_known_size_is_drawn_where_it_is() {
    let mut room = loft();
    // 15 cm deep on the upper wall.
    room.loudspeakers[0].outline_m = boxed(0.7, 6.31, 0.2, 0.15);
    room.loudspeakers[0].aim = [0.0, -1.0];
    let drawing = check(plan(&room, A4).unwrap(), A4);
    let body = bounds(&drawing, "l");
    let mm = |length_m: f64| drawing.scale.paper_mm(length_m);
    let size = [body.max.x - body.min.x, body.max.y - body.min.y];
    assert!((size[0] - mm(0.2)).abs() < 1e-6 && (size[1] - mm(0.15)).abs() < 1e-6);
    let screen = bounds(&drawing, "screen");
    assert!(
        (screen.max.y - body.max.y + mm(0.07)).abs() < 1e-6,
        "its front"
    );
    // Its axis starts at its front.
    let element = drawing.elements.iter().find(|element| element.id == "l");
    let Shape::Path { points, .. } = &element.unwrap().shapes[1] else {
        panic!("an axis is a line")
    };
    assert!(
        (points[0].y - body.max.y).abs() < 1e-6,
        "{points:?} {body:?}"
    );
}
