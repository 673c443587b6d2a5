//! Why a command could not do what it was asked.

use std::io;

use thiserror::Error;

/// Why a command could not do what it was asked; each is printed once, by `main`.
#[derive(Debug, Error)]
pub enum Failure {
    #[error("failed to open job \"{path}\": {reason}")]
    Open { path: String, reason: String },
    #[error("job \"{path}\" is not text: byte {at} is no UTF-8; a job is a plain TOML file")]
    NotText { path: String, at: usize },
    /// The whole report, as `diagnose` sets it.
    #[error("{0}")]
    BadJob(String),
    #[error("failed to write \"{path}\": {reason}")]
    Write { path: String, reason: String },
    #[error("\"{path}\" exists already and stays as it is; {cure}")]
    Exists { path: String, cure: &'static str },
    #[error("a job from standard input can't be changed in place; use `--output FILE` instead")]
    NoPlace,
    #[error("`{written}` is no length; write it as `350 mm` or `14\"`")]
    Length { written: String },
    #[error("that place can't be looked at: {reason}")]
    Place { reason: String },
    #[error("there is no {what} `{written}`; {known}")]
    Unknown {
        what: &'static str,
        written: String,
        /// What there is, or what was meant.
        known: String,
    },
    #[cfg(feature = "sheets")]
    #[error("failed to print the sheets: {0}")]
    Sheets(#[from] sheets::SheetError),
    #[error("there is no data folder for this user; name one with `--data FOLDER`")]
    NoDataFolder,
    #[error(
        "port {port} can't be opened: {reason}; use another with `--port`, or `--port 0` for any"
    )]
    Port { port: u16, reason: String },
    #[error(transparent)]
    Store(#[from] store::StoreError),
    #[error(transparent)]
    Certificate(#[from] sharing::CertificateError),
    #[error(transparent)]
    Bass(#[from] bass::SolveFault),
    #[error("{0}")]
    Table(String),
    #[error("the remedy `{remedy}` can't be applied: {reason}")]
    Remedy { remedy: String, reason: String },
}

impl Failure {
    pub fn opening(path: &str, error: &io::Error) -> Self {
        let path = path.to_owned();
        let reason = reason(error);
        Self::Open { path, reason }
    }

    pub fn writing(path: &str, error: &io::Error) -> Self {
        let path = path.to_owned();
        let reason = reason(error);
        Self::Write { path, reason }
    }
}

/// What the system says, in words that need no number.
fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "no such file or folder".to_owned(),
        io::ErrorKind::PermissionDenied => "permission denied".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::NotADirectory => "a part of its path is not a folder".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read".to_owned(),
        _ => error.to_string(),
    }
}
