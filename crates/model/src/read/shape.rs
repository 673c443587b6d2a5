//! The job's schema as shapes that refer to each other by their places.
//!
//! Names, references and alternatives are followed once. Holding a document against a schema
//! would otherwise look each of them up again at every fact.

use std::ptr;
use std::sync::OnceLock;

use rustc_hash::FxHashMap;
use serde_json::{Value, json};
use units::Dimension;

use crate::measured::quantity_kind;
use crate::read::schema_value;

/// Every shape of the job's schema.
pub(crate) struct Shapes {
    all: Vec<Shape>,
    root: ShapeAt,
    definitions: FxHashMap<&'static str, ShapeAt>,
}

/// A shape's place among them.
#[derive(Clone, Copy)]
pub(crate) struct ShapeAt(usize);

/// What a fact looks like.
pub(crate) enum Shape {
    Quantity(QuantityShape),
    /// One of these words.
    Choice(Vec<&'static str>),
    Table(TableShape),
    List(ListShape),
    Text,
    Flag,
    Whole,
    Number,
}

/// Which quantity a fact is.
#[derive(Clone, Copy)]
pub(crate) struct QuantityShape {
    pub kind: &'static str,
    pub dimension: Dimension,
    /// Empty where a bare number is refused.
    pub bare_unit: &'static str,
}

#[derive(Default)]
pub(crate) struct TableShape {
    /// In the order in which people are told them.
    pub keys: Vec<&'static str>,
    by_key: FxHashMap<&'static str, ShapeAt>,
    /// What stands under any other key.
    others: Option<ShapeAt>,
    pub required: Vec<RequiredKey>,
}

/// A key that a table can't do without.
pub(crate) struct RequiredKey {
    pub name: &'static str,
    /// What the fact is, for people.
    pub meaning: &'static str,
}

pub(crate) struct ListShape {
    /// How many parts there have to be.
    pub exact_count: Option<usize>,
    /// What stands at the first places.
    places: Vec<ShapeAt>,
    /// What stands at all others.
    others: Option<ShapeAt>,
}

impl TableShape {
    /// What stands under a key; none where there can be no such key.
    pub fn under(&self, key: &str) -> Option<ShapeAt> {
        self.by_key.get(key).copied().or(self.others)
    }

    /// What stands under a key that is named.
    pub fn named(&self, key: &str) -> Option<ShapeAt> {
        self.by_key.get(key).copied()
    }
}

impl ListShape {
    pub fn part(&self, index: usize) -> ShapeAt {
        let place = self.places.get(index).copied().or(self.others);
        place.expect("a list of the schema says what it holds")
    }
}

impl Shapes {
    /// Those of the job's schema.
    pub fn of_job() -> &'static Self {
        static SHAPES: OnceLock<Shapes> = OnceLock::new();
        SHAPES.get_or_init(|| {
            let schema = schema_value();
            let mut builder = Builder {
                schema,
                all: Vec::new(),
                known: FxHashMap::default(),
            };
            let root = builder.shape(schema);
            let definitions = (schema["$defs"].as_object().into_iter().flatten())
                .map(|(name, definition)| (name.as_str(), builder.shape(definition)))
                .collect();
            Self {
                all: builder.all,
                root,
                definitions,
            }
        })
    }

    pub fn root(&self) -> ShapeAt {
        self.root
    }

    pub fn definition(&self, name: &str) -> ShapeAt {
        self.definitions[name]
    }

    pub fn get(&self, at: ShapeAt) -> &Shape {
        &self.all[at.0]
    }

    /// Whether a key of a definition holds a list.
    pub fn is_list(&self, definition: &str, key: &str) -> bool {
        let Shape::Table(table) = self.get(self.definition(definition)) else {
            return false;
        };
        (table.named(key)).is_some_and(|at| matches!(self.get(at), Shape::List(_)))
    }
}

struct Builder {
    schema: &'static Value,
    all: Vec<Shape>,
    known: FxHashMap<*const Value, ShapeAt>,
}

impl Builder {
    fn shape(&mut self, schema: &'static Value) -> ShapeAt {
        let schema = self.resolved(schema);
        if let Some(at) = self.known.get(&ptr::from_ref(schema)) {
            return *at;
        }
        let at = ShapeAt(self.all.len());
        self.known.insert(ptr::from_ref(schema), at);
        // Holds the place: what a shape is made of may refer to it.
        self.all.push(Shape::Flag);
        self.all[at.0] = self.built(schema);
        at
    }

    /// Follows `$ref`, and takes the one alternative that is not null.
    fn resolved(&self, mut schema: &'static Value) -> &'static Value {
        loop {
            if let Some(reference) = schema.get("$ref").and_then(Value::as_str) {
                let name = reference.trim_start_matches("#/$defs/");
                schema = &self.schema["$defs"][name];
            } else if let Some(alternatives) = schema.get("anyOf").and_then(Value::as_array) {
                let real = alternatives
                    .iter()
                    .find(|alternative| alternative.get("type") != Some(&json!("null")));
                schema = real.expect("an optional fact has a type");
            } else {
                return schema;
            }
        }
    }

    fn built(&mut self, schema: &'static Value) -> Shape {
        if let Some(kind) = schema.get("x-kind").and_then(Value::as_str) {
            let known = quantity_kind(kind);
            let (dimension, bare_unit) = known.expect("every x-kind of the schema is known");
            return Shape::Quantity(QuantityShape {
                kind,
                dimension,
                bare_unit,
            });
        }
        if let Some(choices) = choices(schema) {
            return Shape::Choice(choices);
        }
        match type_of(schema) {
            "object" => Shape::Table(self.table(schema)),
            "array" => Shape::List(self.list(schema)),
            "string" => Shape::Text,
            "boolean" => Shape::Flag,
            "integer" => Shape::Whole,
            "number" => Shape::Number,
            other => unreachable!("the job's schema has no type `{other}`"),
        }
    }

    fn table(&mut self, schema: &'static Value) -> TableShape {
        let properties = schema.get("properties").and_then(Value::as_object);
        let mut table = TableShape::default();
        for (key, property) in properties.into_iter().flatten() {
            table.keys.push(key);
            table.by_key.insert(key, self.shape(property));
        }
        table.others = schema
            .get("additionalProperties")
            .filter(|schema| schema.is_object())
            .map(|others| self.shape(others));
        let required = schema.get("required").and_then(Value::as_array);
        let names = required.into_iter().flatten().filter_map(Value::as_str);
        table.required = names
            .map(|name| {
                let property = properties.and_then(|properties| properties.get(name));
                let meaning = property
                    .and_then(|property| property.get("description")?.as_str())
                    .unwrap_or_default()
                    .trim_end_matches('.');
                RequiredKey { name, meaning }
            })
            .collect();
        table
    }

    fn list(&mut self, schema: &'static Value) -> ListShape {
        let places = schema.get("prefixItems").and_then(Value::as_array);
        let count = places
            .map(Vec::len)
            .or_else(|| schema.get("minItems")?.as_u64().map(|count| count as usize));
        let is_exact = places.is_some() || schema.get("minItems") == schema.get("maxItems");
        ListShape {
            exact_count: count.filter(|_| is_exact),
            places: (places.into_iter().flatten())
                .map(|place| self.shape(place))
                .collect(),
            others: schema.get("items").map(|others| self.shape(others)),
        }
    }
}

/// The words of an enumeration, with or without a description of each.
fn choices(schema: &Value) -> Option<Vec<&str>> {
    if let Some(words) = schema.get("enum").and_then(Value::as_array) {
        return Some(words.iter().filter_map(Value::as_str).collect());
    }
    let mut words = Vec::new();
    for alternative in schema.get("oneOf").and_then(Value::as_array)? {
        match alternative.get("const").and_then(Value::as_str) {
            Some(word) => words.push(word),
            None => words.extend(
                alternative
                    .get("enum")
                    .and_then(Value::as_array)?
                    .iter()
                    .filter_map(Value::as_str),
            ),
        }
    }
    Some(words)
}

fn type_of(schema: &Value) -> &str {
    match schema.get("type") {
        Some(Value::String(name)) => name,
        Some(Value::Array(names)) => names
            .iter()
            .filter_map(Value::as_str)
            .find(|name| *name != "null")
            .unwrap_or(""),
        _ => "",
    }
}

#[cfg(test)]
mod tests {
    //! Shapes say what the schema says that they were made from.

    use serde_json::Value;

    use super::{Shape, Shapes};
    use crate::read::schema_value;

    /// What a schema is about, found by its names.
    fn told(schema: &Value) -> String {
        let text = |key: &str| schema[key].as_str();
        if let Some(name) = text("$ref") {
            return told(&schema_value()["$defs"][name.trim_start_matches("#/$defs/")]);
        }
        if let Some(alternatives) = schema["anyOf"].as_array() {
            let real = alternatives.iter().find(|schema| schema["type"] != "null");
            return told(real.expect("an optional fact has a type"));
        }
        if let Some(kind) = text("x-kind") {
            return kind.to_owned();
        }
        if schema.get("enum").or(schema.get("oneOf")).is_some() {
            return "choice".to_owned();
        }
        let name = text("type").or_else(|| schema["type"][0].as_str());
        name.expect("every fact has a type").to_owned()
    }

    fn of_shape(shape: &Shape) -> &'static str {
        match shape {
            Shape::Quantity(quantity) => quantity.kind,
            Shape::Choice(_) => "choice",
            Shape::Table(_) => "object",
            Shape::List(_) => "array",
            Shape::Text => "string",
            Shape::Flag => "boolean",
            Shape::Whole => "integer",
            Shape::Number => "number",
        }
    }

    #[test]
    fn every_definition_keeps_its_keys() {
        let shapes = Shapes::of_job();
        let definitions = schema_value()["$defs"].as_object().expect("a table");
        let mut facts = 0;
        for (name, definition) in definitions {
            let shape = shapes.get(shapes.definition(name));
            assert_eq!(of_shape(shape), told(definition), "{name}");
            let Shape::Table(table) = shape else {
                continue;
            };
            let properties = definition["properties"].as_object();
            for (key, property) in properties.into_iter().flatten() {
                let at = table.named(key).expect("a key of the schema");
                assert_eq!(of_shape(shapes.get(at)), told(property), "{name}.{key}");
                facts += 1;
            }
            let keys = properties
                .into_iter()
                .flatten()
                .map(|(key, _)| key.as_str());
            assert!(keys.eq(table.keys.iter().copied()), "{name}");
            let required = definition["required"].as_array().into_iter().flatten();
            let names = table.required.iter().map(|required| required.name);
            assert!(required.filter_map(Value::as_str).eq(names), "{name}");
            let is_open = definition["additionalProperties"].is_object();
            assert_eq!(table.under("no such key").is_some(), is_open, "{name}");
        }
        assert!(facts > 300, "{facts}");
    }
}
