//! What the store refuses, as answers.

use axum::http::StatusCode;
use store::StoreError;

use crate::Error;

impl From<StoreError> for Error {
    fn from(error: StoreError) -> Self {
        let says = error.to_string();
        match error {
            StoreError::NoSuchJob(_)
            | StoreError::NoSuchRevision { .. }
            | StoreError::NoSuchPhotograph(_) => Self::not_found(says, ""),
            StoreError::NotContested { .. }
            | StoreError::NothingToUndo(_)
            | StoreError::NothingToRedo(_)
            | StoreError::NotUndoable { .. }
            | StoreError::OpReused(_) => Self::new(
                StatusCode::CONFLICT,
                says,
                "somebody else may have been quicker: load the page again",
            ),
            StoreError::Edit { at, message } => {
                Self::refused(message, "").at(at).kept("nothing was saved")
            }
            StoreError::Refused(problems) => {
                let mut told = crate::error::bad_document("", &problems);
                // The document is not the client's text, so lines would mislead.
                told.says.problems.clear();
                told.kept("nothing was saved")
            }
            StoreError::Argument { .. } | StoreError::Bundle(_) | StoreError::NewerJob { .. } => {
                Self::refused(says, "")
            }
            StoreError::Full { .. }
            | StoreError::Disk { .. }
            | StoreError::NotWritable { .. }
            | StoreError::Busy(_)
            | StoreError::Unreachable { .. } => {
                tracing::error!("{says}");
                Self::new(
                    StatusCode::SERVICE_UNAVAILABLE,
                    says,
                    "what you typed is still on this page; send it again once this is mended",
                )
            }
            StoreError::NewerStore { .. }
            | StoreError::Corrupt { .. }
            | StoreError::File { .. }
            | StoreError::Database(_) => {
                tracing::error!("{says}");
                Self::new(StatusCode::INTERNAL_SERVER_ERROR, says, "")
            }
        }
    }
}
