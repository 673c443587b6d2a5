//! Whether a set prints as meant: words, pages, bytes.

use drawing::{
    Area, Chain, CutOut, Drawing, Elevation, Figure, Fitted, Fixture, FixtureKind, Hatch, Opening,
    OpeningKind, Patch, Scales, Stud, Verdict, elevation, on_best,
};
use expect_test::expect;
use sheets::{
    Column, ColumnKind, Content, FindingRow, Paper, Sheet, SheetError, Table, TitleBlock, Units,
    drawing_areas, pdf, svg, texts,
};

fn title() -> TitleBlock {
    TitleBlock {
        job: "Ferry Street loft".into(),
        customer: "The customer at number 7".into(),
        revision: "C".into(),
        date: "2026-03-14".into(),
        prepared_by: "The fitters".into(),
        units: Units::Metric,
    }
}

fn patch(from_left_m: f64, bottom_m: f64, width_m: f64, height_m: f64) -> Patch {
    Patch {
        from_left_m,
        bottom_m,
        width_m,
        height_m,
    }
}

fn metres(stops: &[f64]) -> Chain {
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
fn gable(paper: Paper) -> Drawing {
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
        up: vec![
            metres(&[0.0, 0.45, 0.63, 0.72, 2.12]),
            metres(&[0.0, 1.88, 3.23]),
        ],
    };
    on_best(&drawing_areas(paper, Scales::Metric), |area: Area| {
        elevation(&wall, area)
    })
    .unwrap()
}

fn wall_sheet(paper: Paper) -> Sheet {
    Sheet {
        id: "wall-street".into(),
        title: "Street wall".into(),
        contents: vec![Content::Drawing {
            drawing: Box::new(gable(paper)),
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

fn schedule() -> Sheet {
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
                "734.0\u{a0}m".into(),
            ],
        })],
        cautions: vec!["Pull no cable through a hole without a smooth edge.".into()],
    }
}

fn findings() -> Sheet {
    let row = |verdict, check: &str, subject: &str, margin: &str, remedies: &[&str]| {
        FindingRow {
        verdict,
        check: check.into(),
        subject: subject.into(),
        value: "412 mm".into(),
        limit: "≤ 400 mm".into(),
        margin: margin.into(),
        because: "The frame's upper edge ends 2120 mm above the floor, and the light needs 90 mm of free wall below its arm, so both meet.".into(),
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

fn day() -> Sheet {
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

fn set(paper: Paper) -> Vec<Sheet> {
    vec![wall_sheet(paper), schedule(), findings(), day()]
}

fn fnv(bytes: &[u8]) -> String {
    let hash = bytes.iter().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
        (h ^ u64::from(*b)).wrapping_mul(0x0100_0000_01b3)
    });
    format!("{hash:016x}, {} bytes", bytes.len())
}

/// Writes the set where a person can look at it.
fn keep(name: &str, bytes: &[u8]) {
    if let Ok(folder) = std::env::var("SHEETS_TO") {
        std::fs::write(format!("{folder}/{name}.pdf"), bytes).unwrap();
    }
}

#[test]
fn the_set_says_what_it_should() {
    let pages = texts(&title(), Paper::A4, &set(Paper::A4)).unwrap();
    expect![[r#"
        Caution
        Mains cables may run up or down from each light 
        and socket: test before drilling.
        Two people lift the screen.
        Notes
        – Studs from the survey, ±6 mm; find the first one 
        before drilling.
        – Heights from the finished floor.
        Lines
        behind or above
        middle line
        there already
        100 mm. Check with a rule; if it differs, do not measure off this sheet: print it again at 100 %.
        Ferry Street loft Street wall Sheet 1 of 4
        The customer at number 7 Revision C Scale 1 : 50
        Prepared by The fitters 2026-03-14 A4
        | 11 × 406 mm
        | 370 mm
        | 950 mm
        | 2400 mm
        | 900 mm
        | 400 mm
        | 330 mm
        | 4980 mm
        | 1400 mm
        | 450 mm
        | 180 mm
        | 90 mm
        | 1880 mm
        | 1350 mm
        | Window
        | Screen S1,
        | 2.26 × 1.26 m: tight
        | Plate 100 × 160 mm
        | Left
        | sconce
        | Centre: fits
        | Right sconce
        | Street wall, seen from inside
        | 0
        | 1
        | 2 m
        | 1 : 50
        =====
        Cable schedule
        Caution
        Pull no cable through a hole without a smooth edge.
        Do​
        ne Label Cable From To Cut
        W01 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 4.7 m
        mm² channel 1
        W02 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  5.4 m
        mm² channel 2 down the second bay
        W03 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 6.1 m
        mm² channel 3
        W04 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  6.8 m
        mm² channel 4 down the second bay
        W05 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 7.5 m
        mm² channel 5
        W06 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  8.2 m
        mm² channel 6 down the second bay
        W07 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 8.9 m
        mm² channel 7
        W08 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  9.6 m
        mm² channel 8 down the second bay
        W09 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 10.3 m
        mm² channel 9
        W10 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  11.0 m
        mm² channel 10 down the second bay
        W11 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 11.7 m
        mm² channel 11
        W12 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  12.4 m
        mm² channel 12 down the second bay
        W13 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 13.1 m
        mm² channel 13
        W14 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  13.8 m
        mm² channel 14 down the second bay
        W15 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 14.5 m
        mm² channel 15
        W16 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  15.2 m
        mm² channel 16 down the second bay
        W17 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 15.9 m
        mm² channel 17
        W18 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  16.6 m
        mm² channel 18 down the second bay
        W19 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 17.3 m
        mm² channel 19
        W20 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  18.0 m
        mm² channel 20 down the second bay
        W21 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 18.7 m
        mm² channel 21
        W22 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  19.4 m
        mm² channel 22 down the second bay
        Ferry Street loft Cable schedule Sheet 2 of 4
        The customer at number 7 Revision C Not to scale
        Prepared by The fitters 2026-03-14 A4 , page 1 of 2
        =====
        Do​
        ne Label Cable From To Cut
        W23 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 20.1 m
        mm² channel 23
        W24 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  20.8 m
        mm² channel 24 down the second bay
        W25 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 21.5 m
        mm² channel 25
        W26 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  22.2 m
        mm² channel 26 down the second bay
        W27 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 22.9 m
        mm² channel 27
        W28 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  23.6 m
        mm² channel 28 down the second bay
        W29 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 24.3 m
        mm² channel 29
        W30 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  25.0 m
        mm² channel 30 down the second bay
        W31 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 25.7 m
        mm² channel 31
        W32 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  26.4 m
        mm² channel 32 down the second bay
        W33 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 27.1 m
        mm² channel 33
        W34 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  27.8 m
        mm² channel 34 down the second bay
        W35 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 28.5 m
        mm² channel 35
        W36 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  29.2 m
        mm² channel 36 down the second bay
        W37 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 29.9 m
        mm² channel 37
        W38 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  30.6 m
        mm² channel 38 down the second bay
        W39 Loudspeaker 2 × 2.1  Rack, amplifier,  Centre 31.3 m
        mm² channel 39
        W40 Loudspeaker 2 × 2.1  Rack, amplifier,  Left surround, through the attic and  32.0 m
        mm² channel 40 down the second bay
        All cuts 734.0 m
        Ferry Street loft Cable schedule Sheet 2 of 4
        The customer at number 7 Revision C Not to scale
        Prepared by The fitters 2026-03-14 A4 , page 2 of 2
        =====
        What was proved
        Verdict Check Value Limit Margin Why, and what would cure it
        frame-against-fixtures 412 mm ≤ 400 mm −12 ± 6 mm The frame's upper edge ends 2120 mm above the floor, and the light needs 90 mm 
         fails
        Screen S1 and left sconce of free wall below its arm, so both meet.
        – Move the screen 15 mm to the right.
        – Lower the screen to 640 mm; the sight lines still hold.
        Limit: common practice, no source
        throw-distance 412 mm ≤ 400 mm +4 ± 6 mm The frame's upper edge ends 2120 mm above the floor, and the light needs 90 mm 
         tight
        Projector P3 of free wall below its arm, so both meet.
        – Measure the distance from lens to wall again, by laser.
        Limit: common practice, no source
         fits stud-under-bracket 412 mm ≤ 400 mm +35 ± 6 mm The frame's upper edge ends 2120 mm above the floor, and the light needs 90 mm 
        Centre of free wall below its arm, so both meet.
        Limit: common practice, no source
        cavity-depth 412 mm ≤ 400 mm The frame's upper edge ends 2120 mm above the floor, and the light needs 90 mm 
         unknown
        Plate by the door of free wall below its arm, so both meet.
        – Measure the cavity with a wire through a 3 mm hole.
        Limit: common practice, no source
        Ferry Street loft What was proved Sheet 3 of 4
        The customer at number 7 Revision C Not to scale
        Prepared by The fitters 2026-03-14 A4
        =====
        The day
        Before you start
        Park in the yard; the street has no stopping before nine.
        The customer's dog is friendly.
        Tools
        – Ladder, 2.4 m
        – Hole saw, 68 mm
        Ferry Street loft The day Sheet 4 of 4
        The customer at number 7 Revision C Not to scale
        Prepared by The fitters 2026-03-14 A4"#]].assert_eq(&pages.join("\n=====\n"));
}

#[test]
fn the_drawing_keeps_its_shape() {
    expect!["ef7805863fcfbc52, 29404 bytes"]
        .assert_eq(&fnv(svg(&wall_sheet(Paper::A4))[0].as_bytes()));
}

#[test]
fn the_same_set_gives_the_same_bytes() {
    for (paper, name) in [(Paper::A4, "a4"), (Paper::Letter, "letter")] {
        let units = if paper == Paper::Letter {
            Units::Imperial
        } else {
            Units::Metric
        };
        let title = TitleBlock { units, ..title() };
        let first = pdf(&title, paper, &set(paper)).unwrap();
        assert!(first == pdf(&title, paper, &set(paper)).unwrap());
        keep(name, &first);
    }
}

#[test]
fn markup_in_names_prints_literally() {
    let hostile = r##"#panic("x") $a_1$ *b* _c_ `d` <e> @f \ "g" [h] // i = j"##;
    let mut sheet = schedule();
    sheet.title = hostile.into();
    if let Content::Table(table) = &mut sheet.contents[0] {
        table.rows = vec![vec![
            hostile.into(),
            hostile.into(),
            hostile.into(),
            hostile.into(),
            hostile.into(),
        ]];
    }
    sheet.cautions = vec![hostile.into()];
    let title = TitleBlock {
        job: "#1 $ * \"q\" <b>".into(),
        ..title()
    };
    let page = texts(&title, Paper::A4, &[sheet]).unwrap().join("\n");
    assert!(page.contains(hostile), "{page}");
    assert!(page.contains("#1 $ * \"q\" <b>"), "{page}");
}

#[test]
fn endless_words_and_rows_stay_on_the_paper() {
    let mut sheet = schedule();
    let endless = "x".repeat(400);
    if let Content::Table(table) = &mut sheet.contents[0] {
        table.rows[3] = vec![
            endless.clone(),
            endless.clone(),
            "words ".repeat(300),
            endless.clone(),
            "1 m".into(),
        ];
    }
    let title = TitleBlock {
        job: endless.clone(),
        customer: endless.clone(),
        ..title()
    };
    keep(
        "endless",
        &pdf(&title, Paper::A4, &[sheet, findings()]).unwrap(),
    );
}

#[test]
fn long_notes_run_on_to_a_second_page() {
    let mut sheet = wall_sheet(Paper::A4);
    if let Content::Drawing { notes, .. } = &mut sheet.contents[0] {
        *notes = (0..60)
            .map(|i| {
                format!("Note {i}: keep the dust sheet on the stairs until the plaster is dry.")
            })
            .collect();
    }
    let pages = texts(&title(), Paper::A4, std::slice::from_ref(&sheet)).unwrap();
    assert!(pages.len() > 1);
    assert!(pages[0].contains("page 1 of"), "{}", pages[0]);
    assert!(pages.join("\n").contains("Note 59:"));
    keep("notes", &pdf(&title(), Paper::A4, &[sheet]).unwrap());
}

#[test]
fn a_drawing_larger_than_the_paper_is_refused() {
    let mut drawing = gable(Paper::A4);
    drawing.width_mm = 400.0;
    let sheet = Sheet {
        contents: vec![Content::Drawing {
            drawing: Box::new(drawing),
            notes: vec![],
        }],
        ..wall_sheet(Paper::A4)
    };
    assert!(matches!(
        pdf(&title(), Paper::A4, &[sheet]),
        Err(SheetError::DrawingTooLarge { width_mm: 400, .. })
    ));
}

#[test]
fn a_ragged_table_is_refused() {
    let mut sheet = schedule();
    if let Content::Table(table) = &mut sheet.contents[0] {
        table.rows[1].pop();
    }
    assert_eq!(
        pdf(&title(), Paper::A4, &[sheet]).unwrap_err().to_string(),
        "sheet \"cables\": row 2 of a table has 4 texts for 5 columns"
    );
}
