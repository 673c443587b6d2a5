//! Any edit of a job is made alike in text and in memory, or refused.
#![no_main]

use libfuzzer_sys::fuzz_target;
use model::{Edit, edited_text, read};

const JOB: &str = include_str!("../../jobs/half-filled.toml");

fuzz_target!(|parts: (&str, &str, bool)| {
    let (at, value, removed) = parts;
    let edit = if removed {
        Edit::remove(at)
    } else {
        Edit::set(at, value)
    };
    let edits = [edit];
    let job = read(JOB, &[]).expect("the job is sound");
    let in_memory = job.edited(&edits);
    let in_text = edited_text(JOB, &edits);
    if let (Ok(job), Ok(text)) = (in_memory, in_text)
        && let Ok(again) = read(&text, &[])
    {
        assert_eq!(job.job, again.job, "{text}");
        assert_eq!(job.space.len(), again.space.len(), "{text}");
        assert_eq!(job.item.len(), again.item.len(), "{text}");
    }
});
