//! Real jobs with seeded slips: whatever a hand does to a document, it is read or refused
//! at a place inside it, and a correction that is proposed can be made.

use model::{Edit, Job, LimitName, edited_text, read};

const JOBS: &[&str] = &[
    include_str!("../../../../jobs/crooked-room.toml"),
    include_str!("../../../../jobs/half-filled.toml"),
    include_str!("../../../../jobs/l-shaped.toml"),
];

const LIMITS: &[LimitName] = &[];

/// What breaks readers: quotes, brackets, numbers at the edge, and letters of many bytes.
const PIECES: &[&str] = &[
    "\"",
    "'",
    "\"\"\"",
    "'''",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "=",
    ".",
    ",",
    "#",
    "\n",
    "\r\n",
    "\r",
    "\t",
    "\\",
    "\\u00e9",
    "\0",
    "\u{7f}",
    "\u{feff}",
    "é",
    "漢字",
    "👩‍🔧",
    "′",
    "½",
    "nan",
    "inf",
    "-inf",
    "1e308",
    "-1e308",
    "1e999",
    "0",
    "-1",
    "99999999999999999999",
    "0x10",
    "true",
    "1979-05-27",
    "\"?\"",
    "\"0 m\"",
    "\"-3 m\"",
    "\"1e308 m\"",
    "\"10' 6 1/\"",
    "id = \"x\"\n",
    "[[space]]\n",
    "[rules]\n",
    "in = \"rack\"\n",
    "walls = []\n",
    "size = [\"1 m\"]\n",
];

/// SplitMix64: Steele, Lea and Flood 2014, OOPSLA, figure 17 (from memory; any fixed
/// sequence would do).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn below(&mut self, end: usize) -> usize {
        (self.next() % end.max(1) as u64) as usize
    }

    fn place(&mut self, text: &str) -> usize {
        text.floor_char_boundary(self.below(text.len() + 1))
    }

    fn line(&mut self, text: &str) -> std::ops::Range<usize> {
        let at = self.place(text);
        let start = text[..at].rfind('\n').map_or(0, |end| end + 1);
        let end = text[at..].find('\n').map_or(text.len(), |end| at + end + 1);
        start..end
    }
}

fn mutate(text: &mut String, random: &mut Random) {
    match random.below(7) {
        0 => text.truncate(random.place(text)),
        1 => {
            let start = random.place(text);
            let end = text.floor_char_boundary((start + random.below(12)).min(text.len()));
            text.replace_range(start..end.max(start), "");
        }
        2 => {
            let line = random.line(text);
            let copy = text[line.clone()].to_owned();
            text.insert_str(line.end, &copy);
        }
        3 => {
            let line = random.line(text);
            text.replace_range(line, "");
        }
        4 => {
            let line = random.line(text);
            let moved = text[line].to_owned();
            let to = random.line(text).start;
            text.insert_str(to, &moved);
        }
        5 => {
            // What stands behind one of the equals signs.
            let line = random.line(text);
            if let Some(equals) = text[line.clone()].find('=') {
                let piece = PIECES[random.below(PIECES.len())];
                text.replace_range(line.start + equals + 1..line.end, &format!(" {piece}\n"));
            }
        }
        _ => {
            let piece = PIECES[random.below(PIECES.len())];
            text.insert_str(random.place(text), piece);
        }
    }
}

/// Whether the document was read; panics on any breach of the reader's word.
fn holds(text: &str) -> bool {
    match read(text, LIMITS) {
        Ok(job) => {
            keeps_its_word(text, &job);
            true
        }
        Err(problems) => {
            assert!(!problems.is_empty());
            for problem in &problems {
                assert!(!problem.message.is_empty(), "{problem:?}");
                for span in [
                    problem.span.clone(),
                    problem.suggestion.as_ref().and_then(|s| s.span.clone()),
                ]
                .into_iter()
                .flatten()
                {
                    assert!(text.get(span).is_some(), "{problem:?}");
                }
            }
            false
        }
    }
}

/// A document that was read can be edited in both ways, and written out and read again.
fn keeps_its_word(text: &str, job: &Job) {
    let edits = [Edit::set("job.revision", 7)];
    let edited = edited_text(text, &edits).expect("a document that was read can be edited");
    let again = read(&edited, LIMITS).expect("an edited document can be read");
    assert_eq!(again.job.revision, Some(7));
    let in_memory = job.edited(&edits).expect("an edit that the text takes");
    assert_eq!(in_memory.job.revision, Some(7));
}

#[test]
fn slips_of_the_hand_are_read_or_refused_at_their_place() {
    let mut read = 0;
    for seed in 0..1_500 {
        let random = &mut Random(seed);
        let mut text = JOBS[random.below(JOBS.len())].to_owned();
        for _ in 0..=random.below(3) {
            mutate(&mut text, random);
        }
        let outcome = std::panic::catch_unwind(|| holds(&text));
        match outcome {
            Ok(was_read) => read += usize::from(was_read),
            Err(_) => panic!("seed {seed} breaks the reader:\n{text}"),
        }
    }
    // Otherwise the slips say nothing about documents that are nearly right.
    assert!((100..1_400).contains(&read), "{read} of 1500 were read");
}

#[test]
fn a_job_cut_at_any_place_is_read_or_refused() {
    let text = JOBS[1];
    for end in (0..=text.len())
        .filter(|end| text.is_char_boundary(*end))
        .step_by(5)
    {
        holds(&text[..end]);
    }
}

#[test]
fn noise_is_read_or_refused() {
    for seed in 0..500 {
        let random = &mut Random(seed);
        let count = random.below(60);
        let text: String = (0..count)
            .map(|_| PIECES[random.below(PIECES.len())])
            .collect();
        holds(&text);
    }
}
