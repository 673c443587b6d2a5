//! Whether a proven job's sheets say what the job says.

use std::collections::BTreeSet;
use std::sync::Arc;

use analysis::{Means, Missing, Source, Uncertain};
use checks::{
    Area as Trade, Caution, Change, Cost, Counts, Decider, Effect, Found, MeasureAgain, Remedy,
    Subject, Verdict,
};
use expect_test::expect_file;
use uncertainty_of::measured;
use units::Dimension;

use super::*;
use crate::{Content, texts};

/// A room that has one of each, a room of blanks, and one without a ceiling.
const SMALL: &str = include_str!("small.toml");

mod planned;

mod uncertainty_of {
    use super::*;

    /// A number with its expanded uncertainty.
    pub fn measured(value: f64, expanded: f64) -> Uncertain {
        Uncertain::measured(
            value,
            expanded / analysis::COVERAGE_FACTOR,
            ::uncertainty::SourceId(0),
        )
    }
}

fn read(text: &str) -> Arc<Job> {
    match model::read(text, &checks::limit_names()) {
        Ok(job) => Arc::new(job),
        Err(problems) => {
            let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
            panic!("the test's job does not read:\n{}", told.join("\n"))
        }
    }
}

fn finding(verdict: Verdict, subject: &str, because: &str) -> Found {
    Found {
        check: "made-up",
        area: Trade::Picture,
        subject: Subject::new(subject, subject),
        space: Some("den".to_owned()),
        value: None,
        limit: None,
        dimension: Dimension::Length,
        margin: None,
        verdict,
        because: because.to_owned(),
        source: Source::CommonPractice,
        needs: Vec::new(),
        remedies: Vec::new(),
        cautions: Vec::new(),
        deciders: Vec::new(),
    }
}

/// A proof by hand, so that the words of no check stand in a golden text.
fn proof() -> Proof {
    let change = |subject: &str| Change {
        check: "made-up",
        subject: subject.to_owned(),
        from: Some(Verdict::Fits),
        to: Some(Verdict::Tight),
        from_margin: None,
        to_margin: None,
    };
    let mut remedy =
        Remedy::new("Move screen 30 mm to the right", Vec::new()).caution(Caution::Lifting);
    remedy.cost = Cost {
        time_s: [600.0; 2],
        wire_m: 0.0,
        holes: [2; 2],
        money: Some(10.0),
    };
    remedy.effect = Some(Effect {
        verdict: Verdict::Fits,
        margin: None,
        better: Vec::new(),
        worse: ["one", "two", "three"].map(change).into(),
        refused: None,
    });
    let findings = vec![
        Found {
            value: Some(measured(0.37, 0.004)),
            limit: Some(0.4),
            margin: Some(measured(-0.03, 0.004)),
            remedies: vec![remedy],
            ..finding(
                Verdict::Fails,
                "screen+left",
                "Screen and left are 370 mm apart; 400 mm is the least.",
            )
        },
        Found {
            value: Some(measured(0.1, 0.006)),
            limit: Some(0.12),
            margin: Some(measured(0.02, 0.05)),
            deciders: vec![Decider {
                what: "length of wall west".to_owned(),
                path: "space.den.walls.west.length".to_owned(),
                share: 0.9,
            }],
            ..finding(
                Verdict::Tight,
                "top.edge",
                "Top is 100 mm from a joist; up to 120 mm is asked for.",
            )
        },
        Found {
            needs: vec![Missing::new("the depth", "kit.x", Means::SpecSheet)],
            ..finding(
                Verdict::Unknown,
                "amp",
                "Can't tell yet: needs the depth (maker's spec sheet).",
            )
        },
        finding(Verdict::Fits, "sofa", "All well at sofa."),
    ];
    let findings = findings.into_iter().map(Found::into).collect();
    Proof {
        findings,
        measure_again: vec![
            MeasureAgain {
                what: "length of wall west in den (4 m paced)".to_owned(),
                path: "space.den.walls.west.length".to_owned(),
                tool: Means::Tape.tool(),
                blank: false,
                settles: vec![("made-up", "top".to_owned())],
            },
            MeasureAgain {
                what: "the length of wall a".to_owned(),
                path: "space.attic.walls.a.length".to_owned(),
                tool: Means::Tape.tool(),
                blank: true,
                settles: vec![("made-up", "attic".to_owned())],
            },
        ],
        counts: Counts {
            fits: 1,
            tight: 1,
            fails: 1,
            unknown: 1,
        },
    }
}

/// Writes a set where a person can look at it.
fn keep(name: &str, bytes: &[u8]) {
    if let Ok(folder) = std::env::var("SHEETS_TO") {
        std::fs::write(format!("{folder}/{name}.pdf"), bytes)
            .expect("the folder can be written to");
    }
}

fn small(paper: Paper) -> Vec<Sheet> {
    house(&Analysis::new(read(SMALL)), &proof(), paper)
}

fn drawings(sheets: &[Sheet]) -> impl Iterator<Item = (&Sheet, &drawing::Drawing)> {
    sheets.iter().flat_map(|sheet| {
        sheet
            .contents
            .iter()
            .filter_map(move |content| match content {
                Content::Drawing { drawing, .. } => Some((sheet, drawing.as_ref())),
                _ => None,
            })
    })
}

fn drawing_of<'a>(sheets: &'a [Sheet], id: &str) -> &'a drawing::Drawing {
    drawings(sheets)
        .find(|(sheet, _)| sheet.id == id)
        .expect("the sheet has a drawing")
        .1
}

/// Left and right ends of an element on paper, mm.
fn ends(drawing: &drawing::Drawing, id: &str) -> (f64, f64) {
    let element = drawing
        .elements
        .iter()
        .find(|element| element.id == id)
        .expect("it is drawn");
    let drawing::Shape::Path { points, .. } = &element.shapes[0] else {
        panic!("{id} starts with its outline")
    };
    let bounds = drawing::Bounds::of(points.iter().copied()).expect("it has points");
    (bounds.min.x, bounds.max.x)
}

fn all_words(sheet: &Sheet) -> String {
    format!("{sheet:?}")
}

#[test]
fn the_set_says_what_the_job_says() {
    let sheets = small(Paper::A4);
    let job = read(SMALL);
    let pages = texts(&title_block(&job, ""), Paper::A4, &sheets).unwrap();
    // Thin, unbreakable and breaking blanks differ in nothing that a reader sees.
    let pages = pages.join("\n=====\n").replace(['\u{202f}', '\u{a0}'], " ");
    let pages = pages.replace('\u{200b}', "");
    keep(
        "small",
        &pdf(&title_block(&job, ""), Paper::A4, &sheets).unwrap(),
    );
    expect_file!["small.txt"].assert_eq(&pages);
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let print = || {
        house_pdf(
            &Analysis::new(read(SMALL)),
            &proof(),
            Paper::Letter,
            "2026-02-03",
        )
        .unwrap()
    };
    assert!(print() == print());
}

#[test]
fn a_room_of_blanks_says_what_to_measure() {
    let sheets = small(Paper::A4);
    let attic = sheets
        .iter()
        .find(|sheet| sheet.id == "attic-plan")
        .expect("no sheet is left out");
    assert!(drawings(std::slice::from_ref(attic)).next().is_none());
    assert!(
        all_words(attic).contains("the length of wall a (tape or laser)"),
        "{attic:?}"
    );
}

#[test]
fn a_room_without_a_ceiling_keeps_its_plan_and_says_so() {
    let sheets = small(Paper::A4);
    let hall = sheets
        .iter()
        .find(|sheet| sheet.id == "hall-plan")
        .expect("the hall closes");
    assert!(
        all_words(hall).contains("Walls and ceiling are not drawn: needs"),
        "{hall:?}"
    );
    assert!(!sheets.iter().any(|sheet| sheet.id.starts_with("hall-wall")));
}

#[test]
fn walls_that_enclose_nothing_are_a_sheet_of_words() {
    let mut inside_out = SMALL.to_owned();
    for wall in ["n", "e", "s", "w"] {
        let end = format!("id = \"{wall}\",");
        assert!(inside_out.contains(&end));
        inside_out = inside_out.replace(&end, &format!("{end} corner = \"270 deg\","));
    }
    let analysis = Analysis::new(read(&inside_out));
    let sheets = house(&analysis, &proof(), Paper::A4);
    let hall = sheets
        .iter()
        .find(|sheet| sheet.id == "hall-plan")
        .expect("no sheet is left out");
    assert_eq!(hall.title, "Hall, not drawn yet");
    assert!(pdf(&title_block(analysis.job(), ""), Paper::A4, &sheets).is_ok());
}

#[test]
fn any_blank_leaves_a_set_and_no_space_without_a_word() {
    let quoted: Vec<&str> = SMALL.split('"').collect();
    let is_length = |index: &usize| {
        index % 2 == 1
            && [" m", " cm", " mm", " m paced"]
                .iter()
                .any(|unit| quoted[*index].ends_with(unit))
    };
    let lengths: Vec<usize> = (0..quoted.len()).filter(is_length).collect();
    assert!(lengths.len() > 50, "{}", lengths.len());
    let proof = proof();
    for blank in lengths {
        let mut parts = quoted.clone();
        parts[blank] = "?";
        let Ok(job) = model::read(&parts.join("\""), &checks::limit_names()) else {
            // A file that may not have a blank there says so when it is read.
            continue;
        };
        let analysis = Analysis::new(Arc::new(job));
        let sheets = house(&analysis, &proof, Paper::A4);
        for space in &analysis.job().space {
            let id = format!("{}-plan", space.id);
            assert!(
                sheets.iter().any(|sheet| sheet.id == id),
                "{id} without {}",
                quoted[blank - 1]
            );
        }
        for (sheet, drawing) in drawings(&sheets) {
            assert_eq!(
                drawing::overlaps(drawing),
                [],
                "{} without {}",
                sheet.title,
                quoted[blank - 1]
            );
        }
    }
}

#[test]
fn left_is_left_when_facing_the_wall() {
    let sheets = small(Paper::A4);
    let wall = drawing_of(&sheets, "den-wall-north-wall");
    assert!(ends(wall, "left").1 < ends(wall, "screen").0 + 1e-9);
    // The door is at the left of the south wall, which is on the right of a plan with north above.
    let south = drawing_of(&sheets, "den-wall-south");
    assert!(ends(south, "door").1 < south.width_mm / 2.0);
    let plan = drawing_of(&sheets, "den-plan");
    assert!(ends(plan, "door").0 > plan.width_mm / 2.0);
}

#[test]
fn verdicts_are_the_worst_that_speak_of_a_thing() {
    let analysis = Analysis::new(read(SMALL));
    let proof = proof();
    let set = Set::new(&analysis, &proof, Paper::A4);
    let den = &analysis.job().space[0];
    assert_eq!(set.verdict(den, "left"), Some(drawing::Verdict::Fails));
    assert_eq!(set.verdict(den, "top"), Some(drawing::Verdict::Tight));
    assert_eq!(set.verdict(den, "to"), None);
    // The same name in another space is another thing.
    assert_eq!(set.verdict(&analysis.job().space[2], "sofa"), None);
}

#[test]
fn alike_findings_share_a_row_and_no_failing_sentence_is_lost() {
    let job = read(SMALL);
    let analysis = Analysis::new(job);
    let mut proof = proof();
    let findings = vec![
        finding(
            Verdict::Fails,
            "left+sofa",
            "Left is heard too low at sofa.",
        ),
        finding(
            Verdict::Fails,
            "left+stool",
            "Left is heard too low at stool.",
        ),
        finding(
            Verdict::Fails,
            "right+sofa",
            "Right is heard too low at sofa.",
        ),
        finding(Verdict::Tight, "left+bed", "Left is just heard at bed."),
        finding(Verdict::Tight, "left+bench", "Left is just heard at bench."),
    ];
    proof.findings = findings.into_iter().map(Found::into).collect();
    let sheets = house(&analysis, &proof, Paper::A4);
    let rows: Vec<&crate::FindingRow> = sheets[0]
        .contents
        .iter()
        .filter_map(|content| match content {
            Content::Findings(rows) => Some(rows),
            _ => None,
        })
        .flatten()
        .collect();
    let others: Vec<&[String]> = rows.iter().map(|row| row.others.as_slice()).collect();
    let lost = &["Left+stool: Left is heard too low at stool.".to_owned()];
    let named = &["So too: left+bench.".to_owned()];
    assert_eq!(others, [lost.as_slice(), &[], named.as_slice()]);
}

#[test]
fn what_is_planned_for_one_page_is_set_on_one() {
    for paper in [Paper::A4, Paper::Letter] {
        let sheets = small(paper);
        let alone = |sheet: &&Sheet| matches!(sheet.contents.as_slice(), [Content::Drawing { .. }]);
        let planned: Vec<&Sheet> = sheets.iter().filter(alone).collect();
        assert!(planned.len() > 2, "too few to prove anything");
        for sheet in planned {
            let pages = texts(&TitleBlock::default(), paper, std::slice::from_ref(sheet)).unwrap();
            assert_eq!(pages.len(), 1, "{}", sheet.id);
        }
    }
}

#[test]
fn cable_is_cut_long_enough() {
    // W1 goes round the room: from the amplifier before the door 0.5 m to the south wall, 0.6 m on to the door's
    // jamb, 8.2 m behind the baseboard to below the loudspeaker on the north wall and 1.4 m up the bay: 10.7 m. A
    // tenth more and two loops of 0.3 m make 12.37 m; the paced wall adds its uncertainty.
    let analysis = Analysis::new(read(SMALL));
    let proof = proof();
    let set = Set::new(&analysis, &proof, Paper::A4);
    let cable::Supply::Cut(length_m) = set.supply(&analysis.job().cable[0]) else {
        panic!("a new cable is cut")
    };
    let plain = analysis.cut_length(&analysis.job().cable[0]).unwrap();
    assert!((plain.value() - 12.37).abs() < 0.05, "{}", plain.value());
    assert!(length_m >= plain.value() + 2.0 * plain.standard_uncertainty());
    assert!(
        (length_m * 10.0 - (length_m * 10.0).round()).abs() < 1e-9,
        "{length_m}"
    );
}

#[test]
fn the_list_names_the_sheets_of_the_set() {
    let analysis = Analysis::new(read(SMALL));
    let proof = proof();
    let listed = ids(&analysis, &proof);
    let sheets = house(&analysis, &proof, Paper::A4);
    let named = |id: &str, title: &str| (id.to_owned(), title.to_owned());
    assert_eq!(
        listed
            .iter()
            .map(|one| named(&one.id, &one.title))
            .collect::<Vec<_>>(),
        sheets
            .iter()
            .map(|one| named(&one.id, &one.title))
            .collect::<Vec<_>>()
    );
    for (one, sheet) in listed.iter().zip(&sheets) {
        let is_drawn = drawings(std::slice::from_ref(sheet)).next().is_some();
        assert_eq!(one.kind.is_drawn(), is_drawn, "{}", one.id);
    }
}

#[test]
fn words_alone_draw_nothing() {
    let analysis = Analysis::new(read(SMALL));
    let proof = proof();
    let before = page::DRAWN.get();
    let listed = ids(&analysis, &proof);
    let of_words: Vec<&str> = (listed.iter())
        .filter(|one| !one.kind.is_drawn())
        .map(|one| one.id.as_str())
        .collect();
    assert!(of_words.len() > 4, "{of_words:?}");
    let sheets = contents(&analysis, &proof, Paper::A4, &of_words);
    assert_eq!(sheets.len(), of_words.len());
    assert_eq!(page::DRAWN.get(), before);
    assert_eq!(
        contents(&analysis, &proof, Paper::A4, &["den-plan"]).len(),
        1
    );
    assert_eq!(page::DRAWN.get(), before + 1);
}

#[test]
fn one_sheet_is_as_in_the_whole_set() {
    let analysis = Analysis::new(read(SMALL));
    let proof = proof();
    for sheet in house(&analysis, &proof, Paper::Letter) {
        let alone = contents(
            &analysis,
            &proof,
            Paper::Letter,
            &["no such sheet", &sheet.id],
        );
        assert_eq!(alone, std::slice::from_ref(&sheet));
        assert_eq!(
            sheet_svg(&analysis, &proof, Paper::Letter, &sheet.id),
            svg(&sheet)
        );
    }
    assert!(contents(&analysis, &proof, Paper::A4, &["no such sheet"]).is_empty());
    assert!(sheet_svg(&analysis, &proof, Paper::A4, "no such sheet").is_empty());
}

#[test]
fn a_watched_set_counts_its_sheets_and_keeps_its_bytes() {
    let analysis = Analysis::new(read(SMALL));
    let proof = proof();
    let all = ids(&analysis, &proof).len();
    let mut heard = Vec::new();
    let stop = AtomicBool::new(false);
    let printed = house_pdf_unless(&analysis, &proof, Paper::A4, "", &stop, |made, of| {
        heard.push((made, of));
    });
    assert_eq!(heard, (1..=all).map(|made| (made, all)).collect::<Vec<_>>());
    assert!(printed.unwrap().unwrap() == house_pdf(&analysis, &proof, Paper::A4, "").unwrap());
}

#[test]
fn a_stopped_set_makes_no_further_sheet() {
    let analysis = Analysis::new(read(SMALL));
    let proof = proof();
    let stop = AtomicBool::new(false);
    let mut heard = 0;
    let printed = house_pdf_unless(&analysis, &proof, Paper::A4, "", &stop, |made, _| {
        heard = made;
        stop.store(made == 2, Ordering::Relaxed);
    });
    assert_eq!((printed, heard), (Ok(None), 2));
    let sheets = small(Paper::A4);
    assert_eq!(
        crate::pdf_unless(&TitleBlock::default(), Paper::A4, &sheets, &stop),
        Ok(None)
    );
}

#[test]
fn cautions_head_their_sheet_and_a_drawing_tells_what_stands_elsewhere() {
    for paper in [Paper::A4, Paper::Letter] {
        for sheet in small(paper) {
            let is_drawing = |content: &Content| matches!(content, Content::Drawing { .. });
            let Some(at) = sheet.contents.iter().position(is_drawing) else {
                continue;
            };
            let Content::Drawing { notes, .. } = &sheet.contents[at] else {
                panic!("it is a drawing")
            };
            let says = |start: &str| notes.iter().any(|note| note.starts_with(start));
            let follows = sheet.contents.len() > 1;
            if sheet.id.contains("loudspeakers") || sheet.id.contains("sound") {
                continue;
            }
            assert_eq!(
                says("On the next page: "),
                follows && at == 0,
                "{}",
                sheet.id
            );
            assert_eq!(says("On the page before: "), at > 0, "{}", sheet.id);
            if sheet.cautions.is_empty() {
                continue;
            }
            let pages = texts(&TitleBlock::default(), paper, &[sheet]).unwrap();
            let cautioned = |page: &String| page.lines().any(|line| line.starts_with("Caution"));
            let heads: Vec<bool> = pages.iter().map(cautioned).collect();
            assert!(heads[0] && !heads[1..].contains(&true), "{heads:?}");
        }
    }
}

#[test]
fn all_drawings_are_black_on_white() {
    let sheets = small(Paper::Letter);
    let colours: BTreeSet<String> = sheets
        .iter()
        .flat_map(svg)
        .flat_map(|svg| {
            svg.split('"')
                .filter(|part| part.starts_with('#'))
                .map(str::to_owned)
                .collect::<Vec<_>>()
        })
        .collect();
    // The third is the soft ink of what is there already: a grey.
    assert!(
        colours
            .iter()
            .all(|colour| ["#000", "#fff", "#57554e"].contains(&colour.as_str())),
        "{colours:?}"
    );
}

#[test]
fn every_drawing_of_every_kept_job_can_be_read() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../jobs");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == "toml")
        })
        .collect();
    files.sort();
    assert!(!files.is_empty());
    for file in files {
        let job = read(&std::fs::read_to_string(&file).unwrap());
        let analysis = Analysis::new(Arc::clone(&job));
        let looked_at = std::env::var("SHEETS_TO").is_ok();
        let proof = match looked_at {
            true => checks::prove(job),
            false => checks::prove_without_remedies(&analysis),
        };
        let name = file
            .file_stem()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        for (paper, size) in [(Paper::A4, "a4"), (Paper::Letter, "letter")] {
            let sheets = house(&analysis, &proof, paper);
            for (sheet, drawing) in drawings(&sheets) {
                assert_eq!(
                    drawing::overlaps(drawing),
                    [],
                    "{name}: {} on {size}",
                    sheet.title
                );
            }
            if looked_at || size == "a4" {
                let title = title_block(analysis.job(), "2026-05-04");
                keep(
                    &format!("{name}-{size}"),
                    &pdf(&title, paper, &sheets).unwrap(),
                );
            }
        }
    }
}

#[test]
fn places_of_loudspeakers_come_with_their_cautions() {
    let job = read(include_str!("../../../../jobs/harbour-lane-settled.toml"));
    let analysis = Analysis::new(job);
    let proof = checks::prove_without_remedies(&analysis);
    let set = super::Set::new(&analysis, &proof, Paper::A4);
    let sheets: Vec<_> = (set.planned().into_iter())
        .filter(|one| one.listed.id.ends_with("loudspeakers"))
        .map(|one| set.made(one))
        .collect();
    assert!(!sheets.is_empty());
    for sheet in sheets {
        for danger in [Caution::Drilling, Caution::Ladder] {
            let is_told = sheet.cautions.iter().any(|words| words == danger.words());
            assert!(is_told, "{}: {:?}", sheet.id, sheet.cautions);
        }
    }
}
