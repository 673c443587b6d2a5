//! Prints the sheets of a job into a folder: one PDF, and each drawing as SVG.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use checks::{Analysis, prove};
use clap::{Args, ValueEnum};
use model::Job;

use crate::data::Data;
use crate::failure::Failure;
use crate::{Outcome, command, files};

#[derive(Args)]
pub struct Arguments {
    /// The job file; `-` reads standard input.
    file: String,
    /// The folder to write to; made when missing, sheets of the same name replaced.
    #[arg(long, short, value_name = "DIR", default_value = "out")]
    output: String,
    /// The paper.
    #[arg(long, default_value = "a4")]
    paper: Paper,
    /// The date that the sheets carry; the job's own when left out.
    #[arg(long, default_value = "", hide_default_value = true)]
    date: String,
    /// Print each cinema's bass too: where subs stand, how each is set, what should be heard.
    /// Solves what was not solved before, some seconds for each.
    #[arg(long)]
    bass: bool,
    #[command(flatten)]
    data: Data,
}

#[derive(Clone, Copy, ValueEnum)]
pub enum Paper {
    /// 210 × 297 mm.
    A4,
    /// 8.5 × 11 in.
    Letter,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let job = command::prove::read(&files::read(&arguments.file)?)?;
    let Arguments {
        output,
        paper,
        date,
        ..
    } = arguments;
    let extra = match arguments.bass {
        true => command::bass::sheets(&job, &arguments.data.solves()?, paper.size())?,
        false => Vec::new(),
    };
    files::print(&write(&job, output, *paper, date, extra)?)?;
    Ok(Outcome::NothingFails)
}

impl Paper {
    fn size(self) -> sheets::Paper {
        match self {
            Self::A4 => sheets::Paper::A4,
            Self::Letter => sheets::Paper::Letter,
        }
    }
}

/// Writes the sheets, `extra` ones behind them, and says which.
pub fn write(
    job: &Arc<Job>,
    folder: &str,
    paper: Paper,
    date: &str,
    extra: Vec<sheets::Sheet>,
) -> Result<String, Failure> {
    let paper = paper.size();
    let proof = prove(Arc::clone(job));
    let analysis = Analysis::new(Arc::clone(job));
    let mut set = sheets::house(&analysis, &proof, paper);
    set.extend(extra);
    let pdf = sheets::pdf(&sheets::title_block(job, date), paper, &set)?;

    let folder = Path::new(folder);
    let failed = |path: &Path, error| Failure::writing(&path.to_string_lossy(), &error);
    fs::create_dir_all(folder).map_err(|error| failed(folder, error))?;
    let save = |name: &str, bytes: &[u8]| {
        let path = folder.join(name);
        fs::write(&path, bytes).map_err(|error| failed(&path, error))
    };
    save("sheets.pdf", &pdf)?;
    let mut drawings = 0;
    for sheet in &set {
        let svgs = sheets::svg(sheet);
        for (index, svg) in svgs.iter().enumerate() {
            let number = if svgs.len() == 1 {
                String::new()
            } else {
                format!("-{}", index + 1)
            };
            save(
                &format!("{}{number}.svg", file_stem(&sheet.id)),
                svg.as_bytes(),
            )?;
            drawings += 1;
        }
    }
    Ok(format!(
        "wrote {}: {} sheets; and {drawings} drawings as SVG beside it\n",
        folder.join("sheets.pdf").display(),
        set.len(),
    ))
}

/// A sheet's id as a file's name: an id of the job may hold a slash.
fn file_stem(id: &str) -> String {
    let plain = |letter: char| letter.is_alphanumeric() || matches!(letter, '-' | '_');
    id.chars()
        .map(|letter| if plain(letter) { letter } else { '_' })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::file_stem;

    #[test]
    fn a_sheet_can_not_leave_its_folder() {
        assert_eq!(file_stem("wall-../../etc"), "wall-______etc");
        assert_eq!(file_stem("plan-wohnküche"), "plan-wohnküche");
    }
}
