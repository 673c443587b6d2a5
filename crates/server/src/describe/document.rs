//! The routes as an OpenAPI 3.1 document, which takes JSON Schema as it is.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use schemars::SchemaGenerator;
use schemars::generate::SchemaSettings;
use serde_json::{Map, Value, json};

use super::{Content, Endpoint, Operation, Parameter, Shapes};
use crate::caller::Needs;
use crate::error::Says;

/// The whole description.
pub fn document(endpoints: &[Endpoint]) -> Value {
    let mut shapes = Shapes {
        read: generator(SchemaSettings::draft2020_12().for_deserialize()),
        written: generator(SchemaSettings::draft2020_12().for_serialize()),
    };
    let error = shapes.written::<Says>();
    let mut paths = Map::new();
    for endpoint in endpoints {
        let operation = operation(endpoint, &mut shapes, error.as_value());
        let path = paths.entry(endpoint.path).or_insert_with(|| json!({}));
        path[endpoint.method.word()] = operation;
    }
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "dryfit",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "Lengths in metres, angles in radians, all else in SI units. Every error has the shape `Error`.",
        },
        "paths": paths,
        "components": { "schemas": schemas(shapes) },
    })
}

fn generator(settings: SchemaSettings) -> SchemaGenerator {
    let settings = settings.with(|settings| {
        settings.definitions_path = "/components/schemas".into();
        settings.meta_schema = None;
    });
    settings.into_generator()
}

/// Every named shape, in order of names. One that is both read and written may leave out
/// whatever either may.
fn schemas(mut shapes: Shapes) -> Map<String, Value> {
    let mut all: BTreeMap<String, Value> = shapes.read.take_definitions(true).into_iter().collect();
    for (name, written) in shapes.written.take_definitions(true) {
        match all.entry(name) {
            Entry::Vacant(place) => {
                place.insert(written);
            }
            Entry::Occupied(mut place) => {
                let name = place.key().clone();
                let both = lenient(place.get(), &written);
                place.insert(both.unwrap_or_else(|| {
                    panic!("`{name}` reads otherwise than it is written: give one another name")
                }));
            }
        }
    }
    all.into_iter().collect()
}

/// Two schemas that differ in what is required only, as one that requires what both do.
fn lenient(one: &Value, other: &Value) -> Option<Value> {
    match (one, other) {
        (Value::Object(one), Value::Object(other)) => {
            let mut both = Map::new();
            for (key, value) in one {
                match other.get(key) {
                    Some(same) if key == "required" => {
                        both.insert(key.clone(), in_both(value, same));
                    }
                    Some(same) => {
                        both.insert(key.clone(), lenient(value, same)?);
                    }
                    None if key == "required" || key == "default" => {}
                    None => return None,
                }
            }
            let more = other.keys().find(|key| !one.contains_key(*key));
            match more.map(String::as_str) {
                None | Some("required" | "default") => Some(Value::Object(both)),
                Some(_) => None,
            }
        }
        (Value::Array(one), Value::Array(other)) if one.len() == other.len() => {
            let parts = one
                .iter()
                .zip(other)
                .map(|(one, other)| lenient(one, other));
            parts.collect::<Option<Vec<_>>>().map(Value::Array)
        }
        _ => (one == other).then(|| one.clone()),
    }
}

fn in_both(one: &Value, other: &Value) -> Value {
    let (Value::Array(one), Value::Array(other)) = (one, other) else {
        return Value::Array(Vec::new());
    };
    one.iter()
        .filter(|name| other.contains(name))
        .cloned()
        .collect()
}

fn operation(endpoint: &Endpoint, shapes: &mut Shapes, error: &Value) -> Value {
    let mut operation = Operation::default();
    (endpoint.describe)(&mut operation, shapes);
    operation.refuses(endpoint.refuses);
    match endpoint.needs {
        Needs::Nobody => {}
        Needs::View => operation.refuses(&[401]),
        Needs::Crew => operation.refuses(&[401, 403]),
        Needs::Here => operation.refuses(&[403]),
    }
    operation.refuses(&[500]);
    let mut responses = Map::new();
    match &operation.answer {
        Some((status, contents)) => {
            let answer = json!({ "description": "done", "content": media(contents) });
            responses.insert(status.to_string(), answer);
        }
        None => {
            responses.insert("204".to_owned(), json!({ "description": "done" }));
        }
    }
    operation.refuses.sort_unstable();
    operation.refuses.dedup();
    for status in &operation.refuses {
        let refusal = json!({
            "description": refusal(*status),
            "content": { "application/json": { "schema": error } },
        });
        responses.insert(status.to_string(), refusal);
    }
    let mut described = json!({
        "summary": endpoint.says,
        "x-needs": match endpoint.needs {
            Needs::Nobody => "nobody",
            Needs::View => "view",
            Needs::Crew => "crew",
            Needs::Here => "here",
        },
    });
    let parameters: Vec<Value> = (path_parameters(endpoint.path).iter())
        .chain(&operation.parameters)
        .map(parameter)
        .collect();
    if !parameters.is_empty() {
        described["parameters"] = parameters.into();
    }
    if let Some(content) = &operation.body {
        described["requestBody"] =
            json!({ "required": true, "content": media(std::slice::from_ref(content)) });
    }
    described["responses"] = responses.into();
    described
}

fn path_parameters(path: &str) -> Vec<Parameter> {
    let names = path.split('/').filter_map(|part| {
        let name = part.strip_prefix('{')?.strip_suffix('}')?;
        Some(name.to_owned())
    });
    names
        .map(|name| Parameter {
            name,
            in_path: true,
            required: true,
            description: None,
            schema: schemars::json_schema!({ "type": "string" }),
        })
        .collect()
}

fn parameter(parameter: &Parameter) -> Value {
    let mut described = json!({
        "name": parameter.name,
        "in": if parameter.in_path { "path" } else { "query" },
        "required": parameter.required,
        "schema": parameter.schema,
    });
    if let Some(words) = &parameter.description {
        described["description"] = words.as_str().into();
    }
    described
}

fn media(contents: &[Content]) -> Value {
    let described = contents.iter().map(|content| {
        let described = match &content.schema {
            Some(schema) => json!({ "schema": schema }),
            None => json!({}),
        };
        (content.media.to_owned(), described)
    });
    Value::Object(described.collect())
}

fn refusal(status: u16) -> &'static str {
    match status {
        400 => "the request can't be read",
        401 => "the device is not paired",
        403 => "the device may not do this",
        404 => "it is not there",
        409 => "something else came between",
        413 => "what was sent is too large",
        415 => "what was sent is of another kind",
        422 => "it reads, but can't be done",
        429 => "too much at once",
        500 => "the program made a mistake",
        503 => "it can't be done now",
        _ => "refused",
    }
}
