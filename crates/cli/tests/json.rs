//! Does `prove --json` print what `schema findings` says?

use std::process::Command;

use serde_json::Value;

fn dryfit(arguments: &[&str]) -> Value {
    let output = Command::new(env!("CARGO_BIN_EXE_dryfit"))
        .args(arguments)
        .output()
        .expect("the command starts");
    serde_json::from_slice(&output.stdout).expect("JSON")
}

/// What breaks the schema, as paths. Knows the words of JSON Schema that ours uses, and
/// refuses any other.
fn breaches(value: &Value, schema: &Value, root: &Value, at: &str) -> Vec<String> {
    let Value::Object(words) = schema else {
        assert_eq!(*schema, Value::Bool(true), "{at}");
        return vec![];
    };
    let mut found = Vec::new();
    for (word, said) in words {
        match word.as_str() {
            "$defs" | "$schema" | "title" | "description" | "format" => {}
            "$ref" => {
                let name = said.as_str().and_then(|path| path.strip_prefix("#/$defs/"));
                let schema = &root["$defs"][name.expect("a definition of this schema")];
                found.extend(breaches(value, schema, root, at));
            }
            "type" => {
                let types: Vec<&str> = match said {
                    Value::Array(types) => types.iter().filter_map(Value::as_str).collect(),
                    one => one.as_str().into_iter().collect(),
                };
                if !types.iter().any(|name| is(value, name)) {
                    found.push(format!("{at}: {value} is not {types:?}"));
                }
            }
            "minimum" => {
                if value.as_f64() < said.as_f64() && value.is_number() {
                    found.push(format!("{at}: {value} is below {said}"));
                }
            }
            "maximum" => {
                if value.as_f64() > said.as_f64() && value.is_number() {
                    found.push(format!("{at}: {value} is above {said}"));
                }
            }
            "minItems" | "maxItems" => {
                let (count, bound) = (value.as_array().map(Vec::len), said.as_u64());
                if let (Some(count), Some(bound)) = (count, bound)
                    && (if word == "minItems" {
                        (count as u64) < bound
                    } else {
                        count as u64 > bound
                    })
                {
                    found.push(format!("{at}: {count} parts and not {bound}"));
                }
            }
            "const" => {
                if value != said {
                    found.push(format!("{at}: {value} is not {said}"));
                }
            }
            "enum" => {
                if !said.as_array().expect("a list").contains(value) {
                    found.push(format!("{at}: {value} is not one of {said}"));
                }
            }
            "anyOf" | "oneOf" => {
                let mut ways = said.as_array().expect("a list").iter();
                if !ways.any(|schema| breaches(value, schema, root, at).is_empty()) {
                    found.push(format!("{at}: {value} is none of {said}"));
                }
            }
            "items" => {
                for (index, part) in value.as_array().into_iter().flatten().enumerate() {
                    found.extend(breaches(part, said, root, &format!("{at}/{index}")));
                }
            }
            "properties" => {
                for (key, part) in value.as_object().into_iter().flatten() {
                    let at = format!("{at}/{key}");
                    match said.get(key) {
                        Some(schema) => found.extend(breaches(part, schema, root, &at)),
                        None => found.push(format!("{at} is not in the schema")),
                    }
                }
            }
            "required" => {
                for key in said
                    .as_array()
                    .expect("a list")
                    .iter()
                    .filter_map(Value::as_str)
                {
                    if value.is_object() && value.get(key).is_none() {
                        found.push(format!("{at}/{key} is missing"));
                    }
                }
            }
            other => panic!("{at}: this test does not know the word `{other}`"),
        }
    }
    found
}

fn is(value: &Value, name: &str) -> bool {
    match name {
        "null" => value.is_null(),
        "boolean" => value.is_boolean(),
        "integer" => value.is_i64() || value.is_u64(),
        "number" => value.is_number(),
        "string" => value.is_string(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        other => panic!("`{other}` is no type"),
    }
}

#[test]
fn every_job_proves_as_the_schema_says() {
    let schema = dryfit(&["schema", "findings"]);
    let jobs = format!("{}/../../jobs", env!("CARGO_MANIFEST_DIR"));
    for job in [
        "cellar-cinema",
        "crooked-room",
        "half-filled",
        "l-shaped",
        "metric-flat",
    ] {
        let proof = dryfit(&["prove", "--json", &format!("{jobs}/{job}.toml")]);
        assert!(!proof["findings"].as_array().expect("a list").is_empty());
        assert_eq!(breaches(&proof, &schema, &schema, job), [""; 0]);
    }
}

#[test]
fn a_proof_of_another_shape_breaks_the_schema() {
    let schema = dryfit(&["schema", "findings"]);
    let jobs = format!("{}/../../jobs", env!("CARGO_MANIFEST_DIR"));
    let good = dryfit(&["prove", "--json", &format!("{jobs}/half-filled.toml")]);
    let spoil = |change: fn(&mut Value)| {
        let mut proof = good.clone();
        change(&mut proof);
        breaches(&proof, &schema, &schema, "").len()
    };
    assert_eq!(spoil(|_| ()), 0);
    assert_eq!(
        spoil(|proof| proof["findings"][0]["verdict"] = "perhaps".into()),
        1
    );
    assert_eq!(spoil(|proof| proof["counts"]["fits"] = (-1).into()), 1);
    assert_eq!(spoil(|proof| proof["more"] = Value::Null), 1);
    let without = |proof: &mut Value| drop(proof.as_object_mut().expect("a table").remove("job"));
    assert_eq!(spoil(without), 1);
}

#[test]
fn numbers_come_with_their_unit_and_agree() {
    let jobs = format!("{}/../../jobs", env!("CARGO_MANIFEST_DIR"));
    let proof = dryfit(&["prove", "--json", &format!("{jobs}/metric-flat.toml")]);
    for finding in proof["findings"].as_array().expect("a list") {
        let decided = finding["verdict"] != "unknown";
        for fact in ["value", "limit", "margin", "uncertainty"] {
            assert_eq!(finding[fact].is_number(), decided, "{fact}: {finding}");
        }
        assert_eq!(
            finding["needs"] == serde_json::json!([]),
            decided,
            "{finding}"
        );
        if finding["verdict"] == "fails" {
            assert!(finding["margin"].as_f64() < Some(0.0), "{finding}");
        }
    }
}

#[test]
fn the_schema_of_a_job_names_every_part_of_one() {
    let schema = dryfit(&["schema", "job"]);
    let parts = schema["properties"].as_object().expect("a table");
    for part in ["format", "job", "space", "kit", "item", "cable", "rules"] {
        assert!(parts.contains_key(part), "{part}");
    }
}

#[test]
fn a_scene_and_a_comparison_are_what_their_schemas_say() {
    let jobs = format!("{}/../../jobs", env!("CARGO_MANIFEST_DIR"));
    let (house, settled) = (
        format!("{jobs}/harbour-lane-surveyed.toml"),
        format!("{jobs}/harbour-lane-settled.toml"),
    );
    let schema = dryfit(&["schema", "scene"]);
    for (job, space) in [
        (&house, "loft"),
        (&house, "terrace"),
        (&format!("{jobs}/half-filled.toml"), "snug"),
    ] {
        let scene = dryfit(&["scene", job, "--space", space]);
        assert_eq!(scene["space"], space);
        assert_eq!(breaches(&scene, &schema, &schema, space), [""; 0]);
    }
    let schema = dryfit(&["schema", "comparison"]);
    let comparison = dryfit(&["compare", &house, &settled, "--json"]);
    assert!(
        !comparison["findings"]
            .as_array()
            .expect("a list")
            .is_empty()
    );
    assert_eq!(
        breaches(&comparison, &schema, &schema, "comparison"),
        [""; 0]
    );
}

#[test]
fn the_light_of_a_year_and_what_finders_find_are_what_their_schemas_say() {
    let jobs = format!("{}/../../jobs", env!("CARGO_MANIFEST_DIR"));
    let house = format!("{jobs}/harbour-lane-settled.toml");
    let schema = dryfit(&["schema", "light"]);
    for space in ["loft", "living", "terrace"] {
        let light = dryfit(&["light", &house, "--space", space, "--json"]);
        assert_eq!(light["space"], space);
        assert_eq!(breaches(&light, &schema, &schema, space), [""; 0]);
    }
    let light = dryfit(&["light", &house, "--space", "loft", "--json"]);
    let year = &light["pictures"][0]["year"];
    let months = year["months"].as_array().expect("twelve months");
    assert_eq!(months.len(), 12);
    for month in months {
        assert_eq!(month["hours"].as_array().expect("hours").len(), 24);
        assert_eq!(month["from"].as_array().expect("classes").len(), 4);
    }
    // Noon in June is brighter than the evening, and each seat has its gain.
    let lux = |hour: usize| months[5]["hours"][hour]["clear_lux"].as_f64().expect("lux");
    assert!(lux(12) > lux(23));
    assert_eq!(year["seats"].as_array().expect("seats").len(), 5);
    for (what, space) in [
        ("projector-place", "loft"),
        ("largest-picture", "loft"),
        ("display-place", "living"),
    ] {
        let schema = dryfit(&["schema", what]);
        let found = dryfit(&["find", what, &house, "--space", space, "--json"]);
        assert_eq!(breaches(&found, &schema, &schema, what), [""; 0]);
    }
    // A loudspeaker on a wall and one in the ceiling, where somebody points.
    let schema = dryfit(&["schema", "loudspeaker-at"]);
    let on_wall = [
        "--item",
        "front-l",
        "--on",
        "screen-wall",
        "--from-left",
        "6' 9\"",
        "--height",
        "4'",
    ];
    let in_plan = [
        "--item",
        "top-fl",
        "--on",
        "ceiling",
        "--from",
        "screen-wall",
        "7'",
        "--from",
        "west-eave",
        "4'",
    ];
    for place in [&on_wall[..], &in_plan[..]] {
        let mut asked = vec![
            "find",
            "loudspeaker-at",
            &house,
            "--space",
            "loft",
            "--json",
        ];
        asked.extend(place);
        let found = dryfit(&asked);
        assert_eq!(
            breaches(&found, &schema, &schema, "loudspeaker-at"),
            [""; 0]
        );
        assert_eq!(found["item"], place[1]);
    }
}
