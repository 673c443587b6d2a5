//! Does the description say what the routes do?

use expect_test::expect_file;

use super::*;

/// The page's types are made from this file: `UPDATE_EXPECT=1 cargo test -p server description`.
#[test]
fn the_description_is_as_it_stands_in_its_file() {
    let text = serde_json::to_string_pretty(&crate::description()).unwrap() + "\n";
    expect_file!["../../openapi.json"].assert_eq(&text);
}

#[test]
fn every_reference_of_the_description_leads_somewhere() {
    fn references(value: &Value, found: &mut Vec<String>) {
        match value {
            Value::Object(fields) => {
                if let Some(Value::String(to)) = fields.get("$ref") {
                    found.push(to.clone());
                }
                fields.values().for_each(|field| references(field, found));
            }
            Value::Array(parts) => parts.iter().for_each(|part| references(part, found)),
            _ => {}
        }
    }
    let description = crate::description();
    let mut found = Vec::new();
    references(&description, &mut found);
    assert!(found.len() > 20);
    for to in found {
        let pointer = to.strip_prefix('#').unwrap();
        assert!(description.pointer(pointer).is_some(), "{to}");
    }
}

#[test]
fn every_route_says_what_it_answers_and_that_changes_need_the_crew() {
    let description = crate::description();
    for (path, operations) in description["paths"].as_object().unwrap() {
        for (method, operation) in operations.as_object().unwrap() {
            assert!(
                !operation["summary"].as_str().unwrap().is_empty(),
                "{method} {path}"
            );
            assert!(
                operation["responses"].as_object().unwrap().len() > 1,
                "{method} {path}"
            );
            if method != "get" {
                assert_ne!(operation["x-needs"], json!("view"), "{method} {path}");
            }
        }
    }
}

#[test]
fn an_answer_of_which_the_request_chooses_the_kind_says_each() {
    let description = crate::description();
    let export = &description["paths"]["/api/catalogue/export"]["get"]["responses"]["200"];
    let mut kinds: Vec<&String> = export["content"].as_object().unwrap().keys().collect();
    kinds.sort();
    assert_eq!(
        kinds,
        ["application/octet-stream", "text/csv; charset=utf-8"]
    );
}
