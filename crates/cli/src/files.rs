//! Where texts come from and go to: files, standard input and standard output.

use std::fs::{self, File};
use std::io::{self, IsTerminal, Read, Write};
use std::path::Path;

use crate::failure::Failure;
use crate::style::Style;

/// The name that stands for standard input or output.
pub const STANDARD: &str = "-";

/// A document and the name under which messages speak of it.
pub struct Document {
    pub name: String,
    pub text: String,
}

/// Reads a document from a file, or from standard input for `-`.
pub fn read(path: &str) -> Result<Document, Failure> {
    let name = match path {
        STANDARD => "standard input",
        _ => path,
    };
    let bytes = match path {
        STANDARD => {
            let mut bytes = Vec::new();
            io::stdin().lock().read_to_end(&mut bytes).map(|_| bytes)
        }
        _ => fs::read(path),
    }
    .map_err(|error| Failure::opening(name, &error))?;
    let text = String::from_utf8(bytes).map_err(|error| Failure::NotText {
        path: name.to_owned(),
        at: error.utf8_error().valid_up_to() + 1,
    })?;
    let name = name.to_owned();
    Ok(Document { name, text })
}

/// Writes to standard output. A reader that has seen enough (`| head`) is no failure.
pub fn print(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(Failure::writing("standard output", &error))
        }
        _ => Ok(()),
    }
}

/// Writes to standard error, where a lost message can't be reported any more.
pub fn print_aside(text: &str) {
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

/// Prints why a command failed.
pub fn print_error(failure: &Failure) {
    let style = Style::for_stream(io::stderr().is_terminal());
    print_aside(&match failure {
        Failure::BadJob(report) => report.clone(),
        other => format!("{} {other}\n", style.error("error:")),
    });
}

/// How results on standard output are set.
pub fn output_style() -> Style {
    Style::for_stream(io::stdout().is_terminal())
}

/// How messages on standard error are set.
pub fn error_style() -> Style {
    Style::for_stream(io::stderr().is_terminal())
}

/// Writes a file that must not be there yet.
pub fn create(path: &str, bytes: &[u8], cure: &'static str) -> Result<(), Failure> {
    let mut file = match File::create_new(path) {
        Ok(file) => file,
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
            let path = path.to_owned();
            return Err(Failure::Exists { path, cure });
        }
        Err(error) => return Err(Failure::writing(path, &error)),
    };
    file.write_all(bytes)
        .map_err(|error| Failure::writing(path, &error))
}

/// Replaces a file as a whole: whatever happens on the way, it holds either text.
pub fn replace(path: &str, text: &str) -> Result<(), Failure> {
    let failed = |error: io::Error| Failure::writing(path, &error);
    let target = fs::canonicalize(path).map_err(failed)?;
    let beside = beside(&target);
    let written = (|| {
        let mut file = File::create_new(&beside)?;
        file.write_all(text.as_bytes())?;
        file.sync_all()?;
        fs::set_permissions(&beside, fs::metadata(&target)?.permissions())?;
        fs::rename(&beside, &target)
    })();
    written.map_err(|error| {
        let _ = fs::remove_file(&beside);
        failed(error)
    })
}

fn beside(target: &Path) -> std::path::PathBuf {
    let mut name = target.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{}.part", std::process::id()));
    target.with_file_name(name)
}
