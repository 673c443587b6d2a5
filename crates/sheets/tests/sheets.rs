//! Whether a set prints as meant: words, pages, bytes.

mod samples;

use expect_test::expect;
use samples::{findings, gable, schedule, set, title, wall_sheet};
use sheets::{Content, Paper, Sheet, SheetError, TitleBlock, Units, pdf, svg, texts};

fn fnv(bytes: &[u8]) -> String {
    let hash = bytes.iter().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
        (h ^ u64::from(*b)).wrapping_mul(0x0100_0000_01b3)
    });
    format!("{hash:016x}, {} bytes", bytes.len())
}

/// Writes the set where a person can look at it.
fn keep(name: &str, bytes: &[u8]) {
    if let Ok(folder) = std::env::var("SHEETS_TO") {
        std::fs::write(format!("{folder}/{name}.pdf"), bytes)
            .expect("the folder can be written to");
    }
}

#[test]
fn the_set_says_what_it_should() {
    let pages = texts(&title(), Paper::A4, &set(Paper::A4)).unwrap();
    expect![[r#"
        Notes Cable W08
        throw, view or coverage
        – View A is sheet 2.
        Lines
        behind or above
        there already
        Cable W07
        Cable W01
        100 mm. Check with a rule; if it differs, do not 
        measure off this sheet: print it again at 100 %.
        Ferry Street loft Plan Sheet 1 of 6
        The customer at number 7 Revision C Scale 1 : 32
        Prepared by The fitters 2026-03-14 A4
        | A
        | W07
        | W01
        | W08
        | 13′ 9″
        | Street
        | 6′ 3″
        | 3′ 11″
        | 6′ 11″
        | 17′ 1″
        | Garden
        | 8′ 6″
        | 3′ 7″
        | 1′ 8″
        | 13′ 9″
        | Yard
        | 1′ 0″
        | 2′ 9″
        | 13′ 3″
        | Stairs
        | Rack:
        | fits
        | Door
        | Side left: fails
        | Left: fits
        | Archway
        | Screen
        | S1: tight
        | Right: fits
        | Sideboard
        | Side right: unknown
        | Window
        | N
        | Loft, plan
        | 0
        | 3
        | 6 ft
        | 1 : 32
        =====
        Caution
        Mains cables may run up or down from each light and socket: 
        test before drilling.
        Two people lift the screen.
        Notes
        – Studs from the survey, ±6 mm; find the first one before drilling.
        – Heights from the finished floor.
        Lines
        behind or above
        middle line
        there already
        100 mm. Check with a rule; if it differs, do not measure off this sheet: print it again at 100 %.
        Ferry Street loft Street wall Sheet 2 of 6
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
        | Plate
        | 100 × 160 mm
        | Left
        | sconce
        | Centre: fits
        | Right
        | sconce
        | Street wall, seen from inside
        | 0
        | 1
        | 2 m
        | 1 : 50
        =====
        Caution
        Work from a platform, not from the top of a ladder.
        Find pipes and cables above the board before cutting.
        Lines Notes
        behind or above – Seen in a mirror on the floor: left and right as on the 
        there already
        plan.
        100 mm. Check with a rule; if it differs, do not 
        measure off this sheet: print it again at 100 %.
        Ferry Street loft Reflected ceiling plan Sheet 3 of 6
        The customer at number 7 Revision C Scale 1 : 32
        Prepared by The fitters 2026-03-14 A4
        | 3′ 11″
        | 4′ 3″
        | 3′ 11″
        | 4′ 3″
        | 3′ 11″
        | 3′ 7″
        | 3′ 11″
        | 3′ 7″
        | 13′ 9″
        | Street
        | 17′ 1″
        | Garden
        | Yard
        | Stairs
        | Pendant
        | Top front left: fits
        | Top rear left: tight
        | Top front right: fits
        | Top rear right: fails
        | Smoke alarm
        | N
        | Loft, reflected ceiling plan
        | 0
        | 3
        | 6 ft
        | 1 : 32
        =====
        Cable schedule
        Caution
        Pull no cable through a hole without a smooth edge.
        Done Label Cable From To Cut
        W01 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 1 Centre 4.7 m
        W02 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 2 Left surround, through the attic and down the second bay 5.4 m
        W03 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 3 Centre 6.1 m
        W04 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 4 Left surround, through the attic and down the second bay 6.8 m
        W05 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 5 Centre 7.5 m
        W06 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 6 Left surround, through the attic and down the second bay 8.2 m
        W07 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 7 Centre 8.9 m
        W08 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 8 Left surround, through the attic and down the second bay 9.6 m
        W09 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 9 Centre 10.3 m
        W10 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 10 Left surround, through the attic and down the second bay 11.0 m
        W11 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 11 Centre 11.7 m
        W12 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 12 Left surround, through the attic and down the second bay 12.4 m
        W13 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 13 Centre 13.1 m
        W14 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 14 Left surround, through the attic and down the second bay 13.8 m
        W15 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 15 Centre 14.5 m
        W16 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 16 Left surround, through the attic and down the second bay 15.2 m
        W17 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 17 Centre 15.9 m
        W18 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 18 Left surround, through the attic and down the second bay 16.6 m
        W19 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 19 Centre 17.3 m
        W20 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 20 Left surround, through the attic and down the second bay 18.0 m
        W21 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 21 Centre 18.7 m
        Ferry Street loft Cable schedule
        Sheet 4 of 6
        The customer at number 7 Revision C
        A4 , page 1 of 2
        Prepared by The fitters 2026-03-14
        =====
        Done Label Cable From To Cut
        W22 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 22 Left surround, through the attic and down the second bay 19.4 m
        W23 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 23 Centre 20.1 m
        W24 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 24 Left surround, through the attic and down the second bay 20.8 m
        W25 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 25 Centre 21.5 m
        W26 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 26 Left surround, through the attic and down the second bay 22.2 m
        W27 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 27 Centre 22.9 m
        W28 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 28 Left surround, through the attic and down the second bay 23.6 m
        W29 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 29 Centre 24.3 m
        W30 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 30 Left surround, through the attic and down the second bay 25.0 m
        W31 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 31 Centre 25.7 m
        W32 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 32 Left surround, through the attic and down the second bay 26.4 m
        W33 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 33 Centre 27.1 m
        W34 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 34 Left surround, through the attic and down the second bay 27.8 m
        W35 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 35 Centre 28.5 m
        W36 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 36 Left surround, through the attic and down the second bay 29.2 m
        W37 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 37 Centre 29.9 m
        W38 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 38 Left surround, through the attic and down the second bay 30.6 m
        W39 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 39 Centre 31.3 m
        W40 Loudspeaker 2 × 2.1 mm² Rack, amplifier, channel 40 Left surround, through the attic and down the second bay 32.0 m
        All cuts 734.5 m
        Ferry Street loft Cable schedule
        Sheet 4 of 6
        The customer at number 7 Revision C
        A4 , page 2 of 2
        Prepared by The fitters 2026-03-14
        =====
        What was proved
        Verdict Check Value, limit, margin Why, and what would cure it
        fails frame-against-fixtures 412 mm The frame's upper edge ends 2120 mm above the floor, and the light needs 90 mm of free wall 
        Screen S1 and left sconce ≤ 400 mm below its arm, so both meet.
        −12 ± 6 mm – Move the screen 15 mm to the right.
        – Lower the screen to 640 mm; the sight lines still hold.
        Limit: common practice, no source
        tight throw-distance 412 mm The frame's upper edge ends 2120 mm above the floor, and the light needs 90 mm of free wall 
        Projector P3 ≤ 400 mm below its arm, so both meet.
        +4 ± 6 mm – Measure the distance from lens to wall again, by laser.
        Limit: common practice, no source
        fits stud-under-bracket 412 mm The frame's upper edge ends 2120 mm above the floor, and the light needs 90 mm of free wall 
        Centre ≤ 400 mm below its arm, so both meet.
        +35 ± 6 mm Limit: common practice, no source
        unknown cavity-depth 412 mm The frame's upper edge ends 2120 mm above the floor, and the light needs 90 mm of free wall 
        Plate by the door ≤ 400 mm below its arm, so both meet.
        – Measure the cavity with a wire through a 3 mm hole.
        Limit: common practice, no source
        Ferry Street loft What was proved
        Sheet 5 of 6
        The customer at number 7 Revision C
        A4
        Prepared by The fitters 2026-03-14
        =====
        The day
        Before you start
        Park in the yard; the street has no stopping before nine.
        The customer's dog is friendly.
        Tools
        – Ladder, 2.4 m
        – Hole saw, 68 mm
        Ferry Street loft The day
        Sheet 6 of 6
        The customer at number 7 Revision C
        A4
        Prepared by The fitters 2026-03-14"#]].assert_eq(&pages.join("\n=====\n"));
}

#[test]
fn the_drawing_keeps_its_shape() {
    expect!["3a98e066ca3d6f6a, 29933 bytes"]
        .assert_eq(&fnv(svg(&wall_sheet(Paper::A4))[0].as_bytes()));
}

#[test]
fn the_same_set_gives_the_same_bytes() {
    let mut hashes = Vec::new();
    for (paper, name) in [(Paper::A4, "a4"), (Paper::Letter, "letter")] {
        let units = if paper == Paper::Letter {
            Units::Imperial
        } else {
            Units::Metric
        };
        let title = TitleBlock { units, ..title() };
        let first = pdf(&title, paper, &set(paper)).unwrap();
        assert!(first == pdf(&title, paper, &set(paper)).unwrap());
        // Each test run is another process, so the kept hash proves that too.
        hashes.push(format!("{name} {}\n", fnv(&first)));
        keep(name, &first);
    }
    expect![[r#"
        a4 ce11b0e46fc19b06, 126648 bytes
        letter 5f989bf0ab409586, 127911 bytes
    "#]]
    .assert_eq(&hashes.concat());
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
            tables: vec![],
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

#[test]
fn letters_beyond_the_family_and_empty_parts_still_print() {
    let mut sheet = schedule();
    sheet.title = "日本 🎬 \u{202e}\u{0}\u{7f} شارع".into();
    sheet.contents.push(Content::Findings(vec![]));
    sheet.contents.push(Content::List {
        heading: String::new(),
        items: vec![],
    });
    if let Content::Table(table) = &mut sheet.contents[0] {
        table.rows.clear();
        table.total.clear();
    }
    let empty = Sheet::default();
    assert!(
        pdf(&TitleBlock::default(), Paper::Letter, &[sheet, empty])
            .unwrap()
            .starts_with(b"%PDF")
    );
    assert_eq!(
        pdf(&title(), Paper::A4, &[]).unwrap_err(),
        SheetError::Empty
    );
}
