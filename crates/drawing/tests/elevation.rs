//! Whether walls can be read, from an ordinary gable to the absurd.

use drawing::{
    Area, Chain, CutOut, Drawing, Elevation, Figure, Fitted, Fixture, FixtureKind, Hatch, Opening,
    OpeningKind, Patch, RouteDash, Scale, Scales, Side, Stud, Verdict, WallRoute, elevation,
    overlaps, svg,
};

const A4: Area = Area {
    width_mm: 270.0,
    height_mm: 158.0,
    scales: Scales::Metric,
    smallest: None,
};

fn patch(from_left_m: f64, bottom_m: f64, width_m: f64, height_m: f64) -> Patch {
    Patch {
        from_left_m,
        bottom_m,
        width_m,
        height_m,
    }
}

fn fixture(id: &str, kind: FixtureKind, patch: Patch, label: &str) -> Fixture {
    Fixture {
        id: id.into(),
        kind,
        patch,
        label: label.into(),
    }
}

fn metres(stops: &[f64]) -> Chain {
    let figures = stops
        .windows(2)
        .map(|w| Figure::from(format!("{:.0} mm", (w[1] - w[0]) * 1000.0)))
        .collect();
    Chain {
        stops_m: stops.to_vec(),
        figures,
    }
}

fn gable() -> Elevation {
    let studs: Vec<Stud> = (0..13)
        .map(|i| Stud {
            centre_m: 0.37 + 0.4064 * i as f64,
            width_m: 0.038,
        })
        .take_while(|s| s.centre_m < 4.97)
        .collect();
    let mut stud_stops = vec![0.0];
    stud_stops.extend(studs.iter().map(|s| s.centre_m));
    Elevation {
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
            fixture(
                "l1",
                FixtureKind::Light,
                patch(0.6, 1.45, 0.13, 0.28),
                "Left sconce",
            ),
            fixture(
                "l2",
                FixtureKind::Light,
                patch(3.45, 1.45, 0.13, 0.28),
                "Right sconce",
            ),
            fixture(
                "s1",
                FixtureKind::Socket,
                patch(0.42, 0.3, 0.08, 0.08),
                "Socket",
            ),
            fixture(
                "s2",
                FixtureKind::Socket,
                patch(4.5, 0.3, 0.08, 0.08),
                "Socket",
            ),
            fixture(
                "v1",
                FixtureKind::Vent,
                patch(2.0, 0.05, 0.35, 0.12),
                "Vent",
            ),
        ],
        fitted: vec![
            Fitted {
                id: "screen".into(),
                patch: patch(0.95, 0.72, 2.4, 1.4),
                inner: Some(patch(1.02, 0.79, 2.26, 1.26)),
                label: "Screen S1, 2.26 × 1.26 m".into(),
                verdict: Some(Verdict::Tight),
            },
            Fitted {
                id: "centre".into(),
                patch: patch(1.9, 0.45, 0.5, 0.18),
                inner: None,
                label: "Centre".into(),
                verdict: Some(Verdict::Fits),
            },
            Fitted {
                id: "bar".into(),
                patch: patch(3.5, 1.82, 0.3, 0.2),
                inner: None,
                label: "Right height".into(),
                verdict: Some(Verdict::Fails),
            },
        ],
        shadows: Vec::new(),
        routes: Vec::new(),
        cut_outs: vec![CutOut {
            id: "plate".into(),
            patch: patch(0.5, 0.62, 0.1, 0.16),
            label: "Plate 100 × 160 mm".into(),
        }],
        across: vec![
            metres(&stud_stops),
            metres(&[0.0, 0.95, 3.35, 3.75, 4.65, 4.98]),
            metres(&[0.0, 4.98]),
        ],
        up: vec![
            metres(&[0.0, 0.45, 0.63, 0.72, 2.12]),
            metres(&[0.0, 1.88, 3.23]),
        ],
    }
}

fn check(wall: &Elevation, area: Area) -> Drawing {
    let drawing = elevation(wall, area).expect("the wall fits the paper");
    if let Ok(folder) = std::env::var("DRAWINGS_TO") {
        let name: String = wall
            .title
            .chars()
            .map(|c| if c.is_alphanumeric() { c } else { '_' })
            .take(40)
            .collect();
        std::fs::write(format!("{folder}/{name}.svg"), svg(&drawing.with_key()))
            .expect("the folder can be written to");
    }
    assert_eq!(overlaps(&drawing), []);
    assert_eq!(overlaps(&drawing.with_key()), []);
    assert!(drawing.width_mm <= area.width_mm && drawing.height_mm <= area.height_mm);
    drawing
}

/// Every label is on the drawing or in the key, whole.
fn told(drawing: &Drawing) -> String {
    let mut words: Vec<&str> = drawing.texts.iter().map(|t| t.content.as_str()).collect();
    words.extend(drawing.key.iter().map(|k| k.text.as_str()));
    words.join(" ")
}

#[test]
fn a_gable_with_everything_can_be_read() {
    let drawing = check(&gable(), A4);
    assert_eq!(drawing.scale, Scale(50));
}

#[test]
fn a_cable_inside_the_wall_is_drawn_with_its_name() {
    let mut wall = gable();
    wall.routes = vec![WallRoute {
        id: "W10".into(),
        points_m: vec![[3.2, 0.0], [3.2, 0.4], [3.9, 0.4], [3.9, 0.8]],
        dash: RouteDash::Solid,
        label: "W10".into(),
    }];
    let drawing = check(&wall, A4);
    assert!(told(&drawing).contains("W10"), "{}", told(&drawing));
    wall.routes[0].points_m[1][0] = f64::NAN;
    assert!(elevation(&wall, A4).is_err());
}

#[test]
fn a_rough_figure_is_bracketed_a_deciding_one_has_a_star_and_both_are_told() {
    let mut wall = gable();
    wall.across = vec![Chain {
        stops_m: vec![0.0, 4.98],
        figures: vec![Figure {
            text: "4.98 m".into(),
            rough: true,
            decides: true,
        }],
    }];
    let drawing = check(&wall, A4);
    assert!(drawing.texts.iter().any(|t| t.content == "(4.98 m)*"));
    let signs = |drawing: &drawing::Drawing| -> Vec<&str> {
        let told = drawing.signs.explained();
        told.into_iter().map(|(sign, _)| sign).collect()
    };
    assert_eq!(signs(&drawing), ["( )", "*"]);
    let alone = svg(&drawing.with_key());
    assert!(
        alone.contains("tight finding"),
        "what stands alone tells it too"
    );
    wall.across[0].figures[0] = "4.98 m".into();
    wall.up = Vec::new();
    assert!(signs(&check(&wall, A4)).is_empty());
}

#[test]
fn forty_fixtures_on_one_wall_all_keep_their_names() {
    let fixtures = (0..40)
        .map(|i| {
            fixture(
                &format!("f{i}"),
                FixtureKind::Socket,
                patch(
                    0.1 + 0.12 * (i % 20) as f64,
                    0.3 + 0.14 * (i / 20) as f64,
                    0.08,
                    0.08,
                ),
                &format!("Socket number {i}"),
            )
        })
        .collect();
    let wall = Elevation {
        title: "Forty".into(),
        length_m: 3.0,
        top_m: vec![[0.0, 2.4], [3.0, 2.4]],
        fixtures,
        ..Elevation::default()
    };
    let told = told(&check(&wall, A4));
    for i in 0..40 {
        assert!(told.contains(&format!("number {i}")), "{i}: {told}");
    }
}

#[test]
fn forty_scattered_fixtures_with_verdicts_can_be_read() {
    let verdicts = [
        Verdict::Fits,
        Verdict::Tight,
        Verdict::Fails,
        Verdict::Unknown,
    ];
    let fitted = (0..40)
        .map(|i| Fitted {
            id: format!("f{i}"),
            patch: patch(
                0.1 + 0.113 * ((i * 17) % 41) as f64,
                0.1 + 0.055 * ((i * 23) % 37) as f64,
                0.1 + 0.01 * (i % 7) as f64,
                0.12,
            ),
            inner: None,
            label: format!("Thing {i}"),
            verdict: Some(verdicts[i % 4]),
        })
        .collect();
    let wall = Elevation {
        title: "Scattered".into(),
        length_m: 5.0,
        top_m: vec![[0.0, 2.4], [5.0, 2.4]],
        fitted,
        ..Elevation::default()
    };
    check(&wall, A4);
}

#[test]
fn very_long_labels_go_into_the_key() {
    let long = "The customer's own picture light with a brass arm that must stay where it is because the plaster behind it is from 1890 and cannot be mended by anybody";
    let mut wall = gable();
    wall.fixtures[0].label = long.into();
    let drawing = check(&wall, A4);
    assert!(drawing.key.iter().any(|k| k.text == long));
}

#[test]
fn a_tiny_wall_takes_the_largest_scale() {
    let wall = Elevation {
        title: "Tiny".into(),
        length_m: 0.3,
        top_m: vec![[0.0, 0.5], [0.3, 0.5]],
        fixtures: vec![fixture(
            "s",
            FixtureKind::Switch,
            patch(0.1, 0.2, 0.08, 0.08),
            "Light switch by the door",
        )],
        across: vec![metres(&[0.0, 0.1, 0.18, 0.3]), metres(&[0.0, 0.3])],
        up: vec![metres(&[0.0, 0.2, 0.28, 0.5])],
        ..Elevation::default()
    };
    assert_eq!(check(&wall, A4).scale, Scale(10));
}

#[test]
fn a_thirty_metre_wall_with_seventy_studs_fits_the_paper() {
    let studs: Vec<Stud> = (0..74)
        .map(|i| Stud {
            centre_m: 0.4 + 0.4 * i as f64,
            width_m: 0.038,
        })
        .collect();
    let stops: Vec<f64> = std::iter::once(0.0)
        .chain(studs.iter().map(|s| s.centre_m))
        .chain([30.0])
        .collect();
    let wall = Elevation {
        title: "Long".into(),
        length_m: 30.0,
        top_m: vec![[0.0, 3.0], [30.0, 3.0]],
        studs,
        across: vec![metres(&stops), metres(&[0.0, 30.0])],
        up: vec![metres(&[0.0, 3.0])],
        openings: vec![Opening {
            id: "d".into(),
            kind: OpeningKind::Door(Side::Left),
            patch: patch(2.0, 0.0, 0.9, 2.05),
            label: "Door".into(),
        }],
        ..Elevation::default()
    };
    check(&wall, A4);
}

#[test]
fn imperial_walls_take_architects_scales() {
    let area = Area {
        scales: Scales::Imperial,
        ..A4
    };
    assert_eq!(check(&gable(), area).scale, Scale(32));
}

#[test]
fn the_same_wall_gives_the_same_bytes() {
    assert_eq!(
        svg(&elevation(&gable(), A4).unwrap()),
        svg(&elevation(&gable(), A4).unwrap())
    );
}

#[test]
fn bad_lengths_are_refused_with_their_name() {
    let mut wall = gable();
    wall.fixtures[0].patch.width_m = f64::NAN;
    assert_eq!(
        elevation(&wall, A4).unwrap_err().to_string(),
        "a length of \"Left sconce\" is not a finite number; measure it again"
    );
    let mut wall = gable();
    wall.across[0].figures.pop();
    assert!(
        elevation(&wall, A4)
            .unwrap_err()
            .to_string()
            .starts_with("a dimension chain has 13 stops and 11 figures")
    );
}

#[test]
fn a_hostile_label_stays_a_label() {
    let mut wall = gable();
    wall.fixtures[0].label = "<script>\"&'</script>".into();
    let text = svg(&elevation(&wall, A4).unwrap());
    assert!(!text.contains("<script>"));
    assert!(text.contains("&lt;script&gt;"));
}

/// Numbers in 0..1 from a fixed seed (the multiplier is Knuth's MMIX).
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 40) as f64 / (1u64 << 24) as f64
    }
}

#[test]
fn any_wall_can_be_read() {
    let verdicts = [
        None,
        Some(Verdict::Fits),
        Some(Verdict::Tight),
        Some(Verdict::Fails),
        Some(Verdict::Unknown),
    ];
    for seed in 0..60 {
        let mut dice = Dice(seed);
        let (length_m, height_m) = (0.5 + 11.5 * dice.roll().powi(2), 2.0 + 1.5 * dice.roll());
        let count = (25.0 * dice.roll()) as usize;
        let mut any = |scale: f64| {
            let (w, h) = (0.05 + scale * dice.roll(), 0.05 + scale * dice.roll());
            patch(
                (length_m - w) * dice.roll(),
                (height_m - h) * dice.roll(),
                w,
                h,
            )
        };
        let fixtures = (0..count)
            .map(|i| {
                fixture(
                    &format!("f{i}"),
                    FixtureKind::Plain,
                    any(0.3),
                    &"fixture ".repeat(1 + i % 4),
                )
            })
            .collect();
        let fitted = (0..count / 3)
            .map(|i| Fitted {
                id: format!("k{i}"),
                patch: any(1.2),
                inner: None,
                label: format!("Kit {i}"),
                verdict: verdicts[i % 5],
            })
            .collect();
        let mut stops: Vec<f64> = (0..count)
            .map(|_| (length_m * dice.roll() * 1000.0).round() / 1000.0)
            .chain([0.0, length_m])
            .collect();
        stops.sort_by(f64::total_cmp);
        stops.dedup_by(|a, b| *a - *b < 0.002);
        let wall = Elevation {
            title: format!("Wall of seed {seed}"),
            length_m,
            top_m: vec![[0.0, height_m], [length_m, height_m]],
            cut: Some(Hatch::Masonry),
            fixtures,
            fitted,
            across: vec![metres(&stops), metres(&[0.0, length_m])],
            up: vec![metres(&[0.0, 0.3, 0.35, 0.4, height_m])],
            ..Elevation::default()
        };
        check(&wall, A4);
    }
}
