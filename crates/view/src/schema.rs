//! The shape of a job document, asked by path: what stands there, and what does it mean?

use std::sync::OnceLock;

use serde_json::Value;

use crate::{Choice, FieldKind};

/// A place of the document as its schema describes it.
#[derive(Clone, Copy)]
pub(crate) struct Node {
    /// References and the null of optional facts followed.
    shape: &'static Value,
    /// What it is, from the type's own documentation.
    help: &'static str,
}

fn root() -> &'static Value {
    static SCHEMA: OnceLock<Value> = OnceLock::new();
    SCHEMA.get_or_init(model::schema)
}

/// The place at a path; none where the document has no such place.
pub(crate) fn node(path: &str) -> Option<Node> {
    let mut here = root();
    let mut help = "";
    for segment in path.split('.') {
        here = child(resolved(here)?, segment)?;
        help = here
            .get("description")
            .and_then(Value::as_str)
            .unwrap_or(help);
    }
    Some(Node {
        shape: resolved(here)?,
        help,
    })
}

/// Follows references, and of an optional fact the way that is not null.
fn resolved(node: &'static Value) -> Option<&'static Value> {
    if let Some(name) = node.get("$ref").and_then(Value::as_str) {
        let name = name.strip_prefix("#/$defs/")?;
        return resolved(root().get("$defs")?.get(name)?);
    }
    match node.get("anyOf").and_then(Value::as_array) {
        Some(ways) => {
            let is_null = |way: &&Value| way.get("type").and_then(Value::as_str) == Some("null");
            resolved(ways.iter().find(|way| !is_null(way))?)
        }
        None => Some(node),
    }
}

fn child(node: &'static Value, segment: &str) -> Option<&'static Value> {
    if let Some(fields) = node.get("properties") {
        let more = || {
            node.get("additionalProperties")
                .filter(|more| more.is_object())
        };
        return fields.get(segment).or_else(more);
    }
    if let Some(parts) = node.get("prefixItems").and_then(Value::as_array) {
        return parts.get(segment.parse::<usize>().ok()?);
    }
    (node.get("items")).or_else(|| {
        node.get("additionalProperties")
            .filter(|more| more.is_object())
    })
}

impl Node {
    /// One sentence or two on what it is.
    pub fn help(self) -> String {
        self.help.replace('\n', " ")
    }

    /// Whether it is a list or a table, which has no text of its own.
    pub fn has_parts(self) -> bool {
        let is = |name: &str| match self.shape.get("type") {
            Some(Value::Array(types)) => types.iter().any(|one| one.as_str() == Some(name)),
            Some(one) => one.as_str() == Some(name),
            None => false,
        };
        is("object") || is("array")
    }

    /// What is written there.
    pub fn kind(self) -> FieldKind {
        if let Some(kind) = self.quantity() {
            return kind;
        }
        if self.choices().is_some() {
            return FieldKind::Choice;
        }
        let types = match self.shape.get("type") {
            Some(Value::Array(types)) => types.iter().filter_map(Value::as_str).collect(),
            Some(one) => one.as_str().into_iter().collect(),
            None => Vec::new(),
        };
        if types.contains(&"boolean") {
            FieldKind::Flag
        } else if types.contains(&"integer") || types.contains(&"number") {
            FieldKind::Number
        } else {
            FieldKind::Text
        }
    }

    /// The kind of a quantity that is written with its unit.
    pub fn quantity(self) -> Option<FieldKind> {
        let name = self.shape.get("x-kind")?;
        serde_json::from_value(name.clone()).ok()
    }

    /// The unit that a bare number means.
    pub fn bare_unit(self) -> Option<&'static str> {
        let unit = self.shape.get("x-bare-unit").and_then(Value::as_str);
        unit.filter(|unit| *unit != "1")
    }

    /// Whether only whole numbers are accepted.
    pub fn is_whole_number(self) -> bool {
        let types = self.shape.get("type");
        types.is_some_and(|types| types.to_string().contains("integer"))
    }

    /// The words that may be written, where nothing else may.
    pub fn choices(self) -> Option<Vec<Choice>> {
        let choice = |value: &str| Choice {
            value: value.to_owned(),
            label: crate::words::words(value),
        };
        let ways = self.shape.get("oneOf").and_then(Value::as_array);
        let of_ways = ways.map(|ways| {
            let constant = |way: &Value| way.get("const").and_then(Value::as_str).map(choice);
            let several = |way: &Value| {
                let list = way.get("enum").and_then(Value::as_array);
                let list = list.into_iter().flatten().filter_map(Value::as_str);
                list.map(choice).collect::<Vec<_>>()
            };
            (ways.iter())
                .flat_map(|way| match constant(way) {
                    Some(one) => vec![one],
                    None => several(way),
                })
                .collect()
        });
        let list = self.shape.get("enum").and_then(Value::as_array);
        let listed = || Some(list?.iter().filter_map(Value::as_str).map(choice).collect());
        of_ways.or_else(listed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_leads_to_its_kind_and_words() {
        let length = node("space.loft.walls.street.length").unwrap();
        assert_eq!(length.kind(), FieldKind::Length);
        assert_eq!(length.help(), "Corner to corner along the wall.");
        let corner = node("space.loft.walls.street.corner").unwrap();
        assert_eq!(
            (corner.kind(), corner.bare_unit()),
            (FieldKind::Angle, Some("deg"))
        );
        let from = node("item.sub.at.from.1").unwrap();
        assert_eq!(from.kind(), FieldKind::Length);
        assert_eq!(
            node("space.loft.fixture.lamp.size.2").unwrap().kind(),
            FieldKind::Length
        );
        assert_eq!(
            node("space.loft.walls.street.open").unwrap().kind(),
            FieldKind::Flag
        );
        assert_eq!(
            node("space.loft.seat.sofa.row").unwrap().kind(),
            FieldKind::Number
        );
        let kind = node("space.loft.fixture.lamp.kind").unwrap();
        assert_eq!(kind.kind(), FieldKind::Choice);
        assert_eq!(kind.choices().unwrap()[0].label, "Wall light");
        let finish = node("space.loft.finishes.wall.street").unwrap();
        assert_eq!(finish.kind(), FieldKind::Text);
        assert!(node("space.loft.walls").unwrap().has_parts());
        assert!(node("space.loft.colour").is_none());
        assert!(node("").is_none());
    }
}
