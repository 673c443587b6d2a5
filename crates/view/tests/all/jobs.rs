//! The golden jobs, read and proved.

use std::path::Path;
use std::sync::Arc;

use checks::Proved;
use model::Job;

/// Every golden job with its name.
pub fn golden() -> Vec<(String, Arc<Job>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../jobs");
    let mut jobs: Vec<(String, Arc<Job>)> = std::fs::read_dir(folder)
        .expect("the folder of golden jobs")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .map(|path| {
            let name = path
                .file_stem()
                .expect("a name")
                .to_string_lossy()
                .into_owned();
            let text = std::fs::read_to_string(&path).expect("a golden job");
            (name, read(&text))
        })
        .collect();
    jobs.sort_by(|a, b| a.0.cmp(&b.0));
    assert!(jobs.len() >= 6);
    jobs
}

/// A job that reads.
pub fn read(text: &str) -> Arc<Job> {
    let job = model::read(text, &checks::limit_names());
    Arc::new(job.unwrap_or_else(|problems| panic!("{}", problems[0])))
}

/// It, proved.
pub fn proved(job: &Arc<Job>) -> Proved {
    Proved::new(Arc::clone(job))
}
