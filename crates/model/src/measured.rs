//! A quantity as somebody wrote it down: its text, what it reads as, and how well it is known.

use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Error, MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use units::{Dimension, Method, Reading, System, Tolerance};

/// Which quantity a [`Measured`] holds.
pub trait Kind: 'static {
    /// What the reader expects.
    const DIMENSION: Dimension;
    /// The word in the schema's `x-kind`.
    const NAME: &'static str;
    /// The unit that a bare number means; empty where a bare number is refused.
    const BARE_UNIT: &'static str;
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $alias:ident, $marker:ident: $dimension:ident, $name:literal, $bare:literal;)*) => {
        $(
            #[doc(hidden)]
            #[derive(Clone, Debug, PartialEq)]
            pub enum $marker {}

            impl Kind for $marker {
                const DIMENSION: Dimension = Dimension::$dimension;
                const NAME: &'static str = $name;
                const BARE_UNIT: &'static str = $bare;
            }

            $(#[$doc])*
            pub type $alias = Measured<$marker>;
        )*

        /// Every kind's name, dimension and bare unit.
        pub(crate) const KINDS: &[(&str, Dimension, &str)] =
            &[$(($name, Dimension::$dimension, $bare)),*];
    };
}

kinds! {
    /// A length, m.
    Length, LengthKind: Length, "length", "";
    /// An angle, rad; a bare number is degrees.
    Angle, AngleKind: Angle, "angle", "deg";
    /// An area, m².
    Area, AreaKind: Area, "area", "";
    /// A volume, m³.
    Volume, VolumeKind: Volume, "volume", "";
    /// Illuminance, lx.
    Illuminance, IlluminanceKind: Illuminance, "illuminance", "lx";
    /// Luminous flux, lm.
    LuminousFlux, LuminousFluxKind: LuminousFlux, "luminous-flux", "lm";
    /// Luminance, cd/m².
    Luminance, LuminanceKind: Luminance, "luminance", "cd/m²";
    /// A level, dB.
    Level, LevelKind: Level, "level", "dB";
    /// Power, W.
    Power, PowerKind: Power, "power", "W";
    /// Voltage, V.
    Voltage, VoltageKind: Voltage, "voltage", "V";
    /// Current, A.
    Current, CurrentKind: Current, "current", "A";
    /// Impedance or resistance, Ω.
    Impedance, ImpedanceKind: Resistance, "impedance", "Ω";
    /// Mass, kg.
    Mass, MassKind: Mass, "mass", "";
    /// Temperature, °C.
    Temperature, TemperatureKind: Temperature, "temperature", "";
    /// Frequency, Hz.
    Frequency, FrequencyKind: Frequency, "frequency", "Hz";
    /// Time, s.
    Duration, DurationKind: Time, "duration", "";
    /// A ratio; percentages read as hundredths.
    Ratio, RatioKind: Ratio, "ratio", "1";
    /// A data rate, bit/s.
    DataRate, DataRateKind: DataRate, "data-rate", "";
    /// A conductor's cross-section, m².
    WireSize, WireSizeKind: WireArea, "wire-size", "";
    /// A force, N.
    Force, ForceKind: Force, "force", "";
}

/// The quantity behind an `x-kind` of the schema, and the unit that a bare number of it
/// means; empty where a bare number is refused.
pub fn quantity_kind(name: &str) -> Option<(Dimension, &'static str)> {
    (KINDS.iter())
        .find(|(kind, ..)| *kind == name)
        .map(|(_, dimension, bare_unit)| (*dimension, *bare_unit))
}

/// One quantity as it was written, with what it reads as.
///
/// `"?"` and a field left out both mean "still to measure"; the first keeps its place
/// in the file. The text is kept, so that writing a job back changes nothing.
#[derive(Clone, PartialEq)]
pub struct Measured<K> {
    text: String,
    reading: Reading,
    number: Option<MeasureNumber>,
    kind: PhantomData<K>,
}

/// A measurement's place in [`crate::Job::measurements`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MeasureNumber(pub u32);

impl<K: Kind> Measured<K> {
    /// Reads `text`; the error is the reader's own, with the place in `text`.
    pub fn read(text: &str) -> Result<Self, units::ReadError> {
        let reading = read_as(text, K::DIMENSION, K::BARE_UNIT)?;
        Ok(Self {
            text: text.to_owned(),
            reading,
            number: None,
            kind: PhantomData,
        })
    }

    /// The value in SI; `None` while still to measure.
    pub fn value(&self) -> Option<f64> {
        self.reading.value
    }

    /// Value, stated tolerance and method.
    pub fn reading(&self) -> &Reading {
        &self.reading
    }

    /// The text as written.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The measurement's identity within its job.
    pub fn number(&self) -> Option<MeasureNumber> {
        self.number
    }
}

/// Reads a text of a dimension; a bare number takes the kind's bare unit.
pub(crate) fn read_as(
    text: &str,
    dimension: Dimension,
    bare_unit: &str,
) -> Result<Reading, units::ReadError> {
    let bare = !bare_unit.is_empty() && text.trim().parse::<f64>().is_ok_and(f64::is_finite);
    if bare && bare_unit != "1" {
        units::read(&format!("{} {bare_unit}", text.trim()), dimension)
    } else {
        units::read(text, dimension)
    }
}

impl<K> fmt::Debug for Measured<K> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:?}", self.text)
    }
}

impl<K> Serialize for Measured<K> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.text)
    }
}

impl<'de, K: Kind> Deserialize<'de> for Measured<K> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(MeasuredVisitor(PhantomData))
    }
}

struct MeasuredVisitor<K>(PhantomData<K>);

impl<'de, K: Kind> Visitor<'de> for MeasuredVisitor<K> {
    type Value = Measured<K>;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "a {} such as people write it", K::NAME)
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Self::Value, E> {
        Measured::read(text)
            .map_err(|error| E::custom(format!("{}; {}", error.message, error.accepted)))
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<Self::Value, E> {
        self.visit_str(&number.to_string())
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<Self::Value, E> {
        self.visit_str(&number.to_string())
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<Self::Value, E> {
        self.visit_str(&number.to_string())
    }

    /// The form that the reader hands over: `{ text, number }` and what it has read the text as.
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let (mut text, mut number) = (None::<String>, None);
        let mut is_read = false;
        let mut reading = Reading {
            value: None,
            tolerance: None,
            method: None,
            system: None,
        };
        while let Some(part) = map.next_key()? {
            match part {
                Part::Text => text = Some(map.next_value()?),
                Part::Number => number = Some(MeasureNumber(map.next_value()?)),
                Part::Value => {
                    reading.value = map.next_value()?;
                    is_read = true;
                }
                Part::Within => reading.tolerance = Some(Tolerance::Absolute(map.next_value()?)),
                Part::Share => reading.tolerance = Some(Tolerance::Relative(map.next_value()?)),
                Part::Method => {
                    reading.method = Method::ALL.get(map.next_value::<usize>()?).copied()
                }
                Part::Imperial => {
                    let is_imperial: bool = map.next_value()?;
                    reading.system = Some(match is_imperial {
                        true => System::Imperial,
                        false => System::Metric,
                    });
                }
            }
        }
        let text = text.ok_or_else(|| A::Error::missing_field("text"))?;
        if !is_read {
            let measured: Measured<K> = self.visit_str(&text)?;
            return Ok(Measured { number, ..measured });
        }
        Ok(Measured {
            text,
            reading,
            number,
            kind: PhantomData,
        })
    }
}

/// A part of a quantity that the reader hands over.
#[derive(Deserialize)]
#[serde(field_identifier, rename_all = "lowercase")]
enum Part {
    Text,
    Number,
    Value,
    Within,
    Share,
    Method,
    Imperial,
}

impl<K: Kind> JsonSchema for Measured<K> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        K::NAME.into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        if K::BARE_UNIT.is_empty() {
            json_schema!({ "type": "string", "x-kind": K::NAME })
        } else {
            json_schema!({ "type": ["string", "number"], "x-kind": K::NAME, "x-bare-unit": K::BARE_UNIT })
        }
    }
}
