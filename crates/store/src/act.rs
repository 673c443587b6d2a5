//! Who does something, when, and under which operation number?

use std::fmt;

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use crate::StoreError;

/// Longest operation number, name of a person or summary, in characters.
const LINE_MAX: usize = 200;

/// A moment, kept as RFC 3339 text in UTC with whole seconds: `2026-11-25T16:20:00Z`.
///
/// Texts of this one shape sort as the moments do, in both databases.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct When(String);

impl When {
    /// Reads RFC 3339 text with any offset; fractions of a second are dropped.
    pub fn parse(text: &str) -> Result<Self, StoreError> {
        let moment: Timestamp = text.parse().map_err(|_| StoreError::Argument {
            what: "the time",
            message: format!("`{}` is no RFC 3339 time", shown(text)),
        })?;
        Ok(Self::from_timestamp(moment))
    }

    /// The moment of a timestamp, without its fraction of a second.
    pub fn from_timestamp(moment: Timestamp) -> Self {
        let whole = Timestamp::from_second(moment.as_second())
            .expect("a timestamp without its fraction is a timestamp");
        Self(whole.to_string())
    }

    /// The text: `2026-11-25T16:20:00Z`.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for When {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.0)
    }
}

impl TryFrom<String> for When {
    type Error = StoreError;

    fn try_from(text: String) -> Result<Self, StoreError> {
        Self::parse(&text)
    }
}

impl From<When> for String {
    fn from(when: When) -> Self {
        when.0
    }
}

/// One act of a person: the store does each at most once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Act {
    /// The operation's number, a UUID that the caller made when the person acted. The same
    /// number again gives the same answer again and changes nothing.
    pub op: String,
    /// Who acts, as it will be shown in the history.
    pub who: String,
    /// When the person acted.
    pub when: When,
}

impl Act {
    /// An act from its parts.
    pub fn new(op: impl Into<String>, who: impl Into<String>, when: When) -> Self {
        Self {
            op: op.into(),
            who: who.into(),
            when,
        }
    }

    pub(crate) fn check(&self) -> Result<(), StoreError> {
        line("the operation number", &self.op)?;
        line("the person's name", &self.who)?;
        if self.op.is_empty() {
            return Err(StoreError::Argument {
                what: "the operation number",
                message: "it is empty".to_owned(),
            });
        }
        Ok(())
    }
}

/// Refuses what does not fit on one line of a history.
pub(crate) fn line(what: &'static str, text: &str) -> Result<(), StoreError> {
    let refuse = |message: String| Err(StoreError::Argument { what, message });
    if text.chars().count() > LINE_MAX {
        return refuse(format!(
            "`{}` is longer than {LINE_MAX} characters",
            shown(text)
        ));
    }
    if text.chars().any(char::is_control) {
        return refuse(format!("`{}` holds a control character", shown(text)));
    }
    Ok(())
}

/// The beginning of a text, with control characters spelled out.
pub(crate) fn shown(text: &str) -> String {
    let start: String = text.chars().take(60).collect();
    let more = if start.len() < text.len() { "…" } else { "" };
    format!("{}{more}", start.escape_debug())
}

#[cfg(test)]
mod tests {
    use super::{Act, When};

    #[test]
    fn a_time_of_any_offset_becomes_one_shape() {
        let shape = |text| When::parse(text).unwrap().to_string();
        assert_eq!(shape("2026-11-25T16:20:00Z"), "2026-11-25T16:20:00Z");
        assert_eq!(
            shape("2026-11-25T17:20:00.75+01:00"),
            "2026-11-25T16:20:00Z"
        );
        assert!(When::parse("yesterday").is_err());
    }

    #[test]
    fn an_act_has_a_number_and_one_line_names() {
        let when = When::parse("2026-11-25T16:20:00Z").unwrap();
        assert!(Act::new("7f", "Ada", when.clone()).check().is_ok());
        assert!(Act::new("", "Ada", when.clone()).check().is_err());
        assert!(Act::new("7f", "Ada\nBob", when.clone()).check().is_err());
        assert!(Act::new("7f", "A".repeat(201), when).check().is_err());
    }
}
