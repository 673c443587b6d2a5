//! A document that was held against the schema, as serde takes it without complaint.

use std::borrow::Cow;

use serde::Deserializer;
use serde::de::value::{MapDeserializer, SeqDeserializer};
use serde::de::{Error, IntoDeserializer, Visitor};
use serde::forward_to_deserialize_any;
use units::{Method, Reading, System, Tolerance};

use crate::MeasureNumber;

/// A part of a document. A quantity goes along with what it was read as: no text is read twice.
pub(crate) enum Conformed<'t> {
    /// Stands where something was wrong, and for what is left out.
    Nothing,
    Flag(bool),
    Whole(i64),
    Number(f64),
    Text(Cow<'t, str>),
    Quantity(Cow<'t, str>, MeasureNumber, Reading),
    List(Vec<Self>),
    Table(Vec<(&'t str, Self)>),
}

impl Conformed<'_> {
    /// The text of a text.
    pub fn as_str(&self) -> Option<&str> {
        match self {
            Self::Text(text) => Some(text),
            _ => None,
        }
    }
}

/// A quantity as a table of plain values; [`crate::Measured`] puts it together again.
fn parts<'t>(
    text: Cow<'t, str>,
    MeasureNumber(number): MeasureNumber,
    reading: &Reading,
) -> impl Iterator<Item = (Conformed<'t>, Conformed<'t>)> {
    let tolerance = reading.tolerance.map(|tolerance| match tolerance {
        Tolerance::Absolute(within) => ("within", Conformed::Number(within)),
        Tolerance::Relative(share) => ("share", Conformed::Number(share)),
    });
    let method = reading.method.map(|method| {
        let at = Method::ALL.iter().position(|known| *known == method);
        let at = at.expect("one of all methods");
        ("method", Conformed::Whole(at as i64))
    });
    let system = reading.system.map(|system| {
        let is_imperial = system == System::Imperial;
        ("imperial", Conformed::Flag(is_imperial))
    });
    let parts = [
        Some(("text", Conformed::Text(text))),
        Some(("number", Conformed::Whole(number.into()))),
        // Told even where there is none: it says that the text was read.
        Some((
            "value",
            reading.value.map_or(Conformed::Nothing, Conformed::Number),
        )),
        tolerance,
        method,
        system,
    ];
    let named = |(name, part)| (Conformed::Text(Cow::Borrowed(name)), part);
    parts.into_iter().flatten().map(named)
}

impl<'de> IntoDeserializer<'de, serde_json::Error> for Conformed<'de> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

impl<'de> Deserializer<'de> for Conformed<'de> {
    type Error = serde_json::Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Self::Error> {
        match self {
            Self::Nothing => visitor.visit_unit(),
            Self::Flag(flag) => visitor.visit_bool(flag),
            Self::Whole(whole) => match u64::try_from(whole) {
                Ok(whole) => visitor.visit_u64(whole),
                Err(_) => visitor.visit_i64(whole),
            },
            Self::Number(number) => visitor.visit_f64(number),
            Self::Text(Cow::Borrowed(text)) => visitor.visit_borrowed_str(text),
            Self::Text(Cow::Owned(text)) => visitor.visit_string(text),
            Self::Quantity(text, number, reading) => {
                visitor.visit_map(MapDeserializer::new(parts(text, number, &reading)))
            }
            Self::List(parts) => {
                let mut parts = SeqDeserializer::new(parts.into_iter());
                let list = visitor.visit_seq(&mut parts)?;
                parts.end()?;
                Ok(list)
            }
            Self::Table(entries) => {
                let entry = |(key, part)| (Self::Text(Cow::Borrowed(key)), part);
                let mut entries = MapDeserializer::new(entries.into_iter().map(entry));
                let table = visitor.visit_map(&mut entries)?;
                entries.end()?;
                Ok(table)
            }
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Self::Error> {
        match self {
            Self::Nothing => visitor.visit_none(),
            some => visitor.visit_some(some),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Self::Error> {
        visitor.visit_newtype_struct(self)
    }

    /// Words are all that a job has to choose from.
    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Self::Error> {
        match self.as_str() {
            Some(word) => visitor.visit_enum(word.into_deserializer()),
            None => Err(Self::Error::custom("a word belongs here")),
        }
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit
        unit_struct seq tuple tuple_struct map struct identifier ignored_any
    }
}

#[cfg(test)]
mod tests {
    //! What goes along with a text is what the text reads as.

    use std::borrow::Cow;

    use serde::Deserialize;

    use super::Conformed;
    use crate::{MeasureNumber, Measured};

    fn handed_over<K: crate::Kind>(text: &str) {
        let plain = Measured::<K>::read(text).expect("it reads");
        let number = MeasureNumber(7);
        let reading = plain.reading().clone();
        let quantity = Conformed::Quantity(Cow::Borrowed(text), number, reading);
        let over = Measured::<K>::deserialize(quantity).expect("it can be handed over");
        assert_eq!(over.reading(), plain.reading(), "{text}");
        assert_eq!((over.text(), over.number()), (text, Some(number)));
    }

    #[test]
    fn a_quantity_is_handed_over_as_it_was_read() {
        for text in [
            "?",
            "3.1 m",
            "10' 4 1/2\"",
            "2.4 m ± 3 mm",
            "2.4 m ± 3 %",
            "3 m (tape)",
            "3 m ± 1 cm (paced)",
        ] {
            handed_over::<crate::measured::LengthKind>(text);
        }
        handed_over::<crate::measured::AngleKind>("12");
        handed_over::<crate::measured::RatioKind>("30 %");
    }
}
