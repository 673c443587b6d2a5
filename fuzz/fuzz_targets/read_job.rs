//! Any text is read, or refused at places inside it.
#![no_main]

use libfuzzer_sys::fuzz_target;
use model::{Edit, edited_text, read};

fuzz_target!(|text: &str| match read(text, &[]) {
    Ok(_) => {
        let edited = edited_text(text, &[Edit::set("job.revision", 7)])
            .expect("a document that was read can be edited");
        let job = read(&edited, &[]).expect("an edited document can be read");
        assert_eq!(job.job.revision, Some(7));
    }
    Err(problems) => {
        assert!(!problems.is_empty());
        for problem in &problems {
            let correction = problem.suggestion.as_ref();
            let spans = [
                &problem.span,
                &correction.and_then(|found| found.span.clone()),
            ];
            for span in spans.into_iter().flatten() {
                assert!(text.get(span.clone()).is_some(), "{problem:?}");
            }
        }
    }
});
