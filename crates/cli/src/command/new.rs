//! Writes a job file to fill in.

use std::path::Path;

use clap::Args;
use model::{Edit, edited_text};

use crate::Outcome;
use crate::failure::Failure;
use crate::files::{self, STANDARD};

const TEMPLATE: &str = include_str!("new.toml");

#[derive(Args)]
pub struct Arguments {
    /// The file to write; an existing one stays as it is. `-` prints it.
    #[arg(default_value = "job.toml")]
    file: String,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let path = arguments.file.as_str();
    if path == STANDARD {
        files::print(TEMPLATE)?;
        return Ok(Outcome::NothingFails);
    }
    let cure = "choose another name";
    files::create(path, named_after(path).as_bytes(), cure)?;
    files::print(&format!(
        "wrote {path}: fill in what you know, leave the rest at \"?\", then `dryfit prove {path}`\n"
    ))?;
    Ok(Outcome::NothingFails)
}

/// The template with the file's name as the job's.
fn named_after(path: &str) -> String {
    let stem = Path::new(path)
        .file_stem()
        .map(|stem| stem.to_string_lossy().replace(['-', '_'], " "));
    let Some(name) = stem.filter(|name| !name.chars().any(char::is_control)) else {
        return TEMPLATE.to_owned();
    };
    edited_text(TEMPLATE, &[Edit::set("job.name", name)]).expect("the template has a name to set")
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use checks::Verdict;

    #[test]
    fn a_fresh_job_proves_and_all_is_unknown() {
        let job = model::read(TEMPLATE, &checks::limit_names())
            .unwrap_or_else(|problems| panic!("{problems:#?}"));
        let proof = checks::prove(Arc::new(job));
        assert!(
            proof.findings.len() > 10,
            "{} findings",
            proof.findings.len()
        );
        for finding in &proof.findings {
            assert_eq!(
                finding.verdict,
                Verdict::Unknown,
                "{} {}: {}",
                finding.check,
                finding.subject.id,
                finding.because
            );
        }
    }

    #[test]
    fn the_job_is_called_like_its_file() {
        assert!(named_after("jobs/mill-lane_4.toml").contains("\nname = \"mill lane 4\""));
        assert!(named_after("a\"b\\.toml").contains("\nname = "));
        model::read(&named_after("a\"b\\.toml"), &[]).unwrap();
    }
}
