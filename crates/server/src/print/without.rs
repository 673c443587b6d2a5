//! A program that was built without the typesetter has no sheets.

use std::sync::Arc;

use model::Job;
use view::BassStudy;

use super::{Paper, Sheet, SheetLine};
use crate::solve::{Teller, Unsolved};

/// No set can be drawn.
pub enum Set {}

impl Set {
    /// Refuses.
    pub fn new(_: &Arc<Job>, _: Paper, _: &Teller) -> Result<Self, Unsolved> {
        Err(Unsolved::Refused(
            "this program was built without sheets; build it with the feature `sheets`".to_owned(),
        ))
    }

    /// Its lines.
    pub fn lines(&self) -> Vec<SheetLine> {
        match *self {}
    }

    /// One of its sheets.
    pub fn sheet(&self, _: &str, _: &str) -> Option<Sheet> {
        match *self {}
    }

    /// A sheet's drawing.
    pub fn svg(&self, _: &str, _: usize) -> Option<String> {
        match *self {}
    }

    /// All as pages.
    pub fn pdf(&self, _: &str, _: &[BassStudy], _: &Teller) -> Result<Vec<u8>, Unsolved> {
        match *self {}
    }
}
