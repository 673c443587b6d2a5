//! Do the crates depend on each other in one direction, and on heavy libraries behind a fence?

use super::Breach;
use super::tree::{Manifest, Tree};

/// Every crate, and which crates it may use: only ones above it. ARCHITECTURE.md says why.
const CRATES: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("uncertainty", &["units"]),
    ("geometry", &["units", "uncertainty"]),
    // Engines: shapes and numbers in, numbers out. They never see a job, nor each other.
    ("survey", BASE),
    ("optics", BASE),
    ("light", BASE),
    ("acoustics", BASE),
    ("routing", BASE),
    ("wiring", BASE),
    ("power", BASE),
    ("structure", BASE),
    ("links", BASE),
    ("subwoofers", BASE),
    ("waves", BASE),
    ("drawing", BASE),
    ("model", BASE),
    ("photograph", &[]),
    ("sharing", &[]),
    ("catalogue", &["units", "model"]),
    ("store", &["model"]),
    (
        "analysis",
        &[
            "units",
            "uncertainty",
            "geometry",
            "survey",
            "optics",
            "light",
            "acoustics",
            "routing",
            "wiring",
            "power",
            "structure",
            "links",
            "model",
        ],
    ),
    // A check's published values call the engine's formula, so engines are in reach.
    (
        "checks",
        &[
            "units",
            "uncertainty",
            "geometry",
            "survey",
            "optics",
            "light",
            "acoustics",
            "routing",
            "wiring",
            "power",
            "structure",
            "links",
            "model",
            "analysis",
        ],
    ),
    // A solve takes a second: it is asked for on purpose, so nothing that proves may use it.
    (
        "bass",
        &[
            "units",
            "uncertainty",
            "geometry",
            "acoustics",
            "waves",
            "subwoofers",
            "model",
            "analysis",
        ],
    ),
    // The inverse questions rest on the numbers that the checks compare.
    (
        "finders",
        &[
            "units",
            "uncertainty",
            "geometry",
            "optics",
            "light",
            "model",
            "analysis",
            "checks",
        ],
    ),
    // A sheet prints what is proven: no engine, so nothing can be computed again there.
    (
        "sheets",
        &[
            "units",
            "uncertainty",
            "geometry",
            "drawing",
            "model",
            "analysis",
            "checks",
            "finders",
        ],
    ),
    // What every door shows: no engine either.
    (
        "view",
        &[
            "units",
            "uncertainty",
            "geometry",
            "drawing",
            "model",
            "analysis",
            "bass",
            "checks",
            "finders",
        ],
    ),
    // No engine and no analysis: what it answers is worked out above. Of bass it only has a space
    // solved, and keeps that.
    (
        "server",
        &[
            "units",
            "drawing",
            "model",
            "bass",
            "photograph",
            "sharing",
            "catalogue",
            "photograph",
            "sharing",
            "store",
            "checks",
            "finders",
            "sheets",
            "view",
        ],
    ),
    (
        "cli",
        &[
            "units",
            "uncertainty",
            "geometry",
            "drawing",
            "model",
            "sharing",
            "catalogue",
            "photograph",
            "sharing",
            "store",
            "analysis",
            "checks",
            "bass",
            "finders",
            "sheets",
            "view",
            "server",
        ],
    ),
    ("xtask", &[]),
];

const BASE: &[&str] = &["units", "uncertainty", "geometry"];

/// Libraries by the start of their name, and the only crates that may use them.
const FENCES: &[(&str, &[&str])] = &[
    // Three hundred crates and minutes of building: everything else is tested without it.
    ("typst", &["sheets"]),
    ("clap", &["cli"]),
    // One place speaks SQL, and no error of a database is told elsewhere.
    ("sqlx", &["store"]),
];

/// The table itself points upwards only.
pub fn table(_: &Tree) -> Vec<Breach> {
    breaches_of_table(CRATES)
}

fn breaches_of_table(crates: &[(&str, &[&str])]) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for (place, (name, allowed)) in crates.iter().enumerate() {
        for target in *allowed {
            if !crates[..place].iter().any(|(above, _)| above == target) {
                let message = format!("`{name}` may not use `{target}`: it isn't above it");
                breaches.push(Breach::file(file!().as_ref(), message));
            }
        }
    }
    breaches
}

/// Each crate is in the table and uses only what the table allows it.
pub fn direction(tree: &Tree) -> Vec<Breach> {
    tree.manifests
        .iter()
        .flat_map(breaches_of_manifest)
        .collect()
}

fn breaches_of_manifest(manifest: &Manifest) -> Vec<Breach> {
    let name = manifest
        .table
        .get("package")
        .and_then(|package| package.get("name"))
        .and_then(|name| name.as_str())
        .unwrap_or_default();
    if name != manifest.folder {
        let message = format!("package `{name}` must be called like its folder");
        return vec![Breach::file(&manifest.path, message)];
    }
    let Some((_, allowed)) = CRATES.iter().find(|(listed, _)| *listed == name) else {
        let message = format!(
            "add `{name}` to CRATES in {} and to ARCHITECTURE.md",
            file!()
        );
        return vec![Breach::file(&manifest.path, message)];
    };
    let ours = |used: &String| CRATES.iter().any(|(listed, _)| listed == used);
    used_crates(&manifest.table)
        .into_iter()
        .filter(|used| ours(used) && !allowed.contains(&used.as_str()))
        .map(|used| {
            let message = format!("`{name}` may not use `{used}`; it may use {allowed:?}");
            Breach::file(&manifest.path, message)
        })
        .collect()
}

/// Fenced libraries stay inside their fence.
pub fn fences(tree: &Tree) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for manifest in &tree.manifests {
        for used in used_crates(&manifest.table) {
            for (start, inside) in FENCES {
                if used.starts_with(start) && !inside.contains(&manifest.folder.as_str()) {
                    let message = format!("`{used}` is for {inside:?} only");
                    breaches.push(Breach::file(&manifest.path, message));
                }
            }
        }
    }
    breaches
}

/// Names of all dependencies: ordinary, for tests, for build scripts, and per platform.
fn used_crates(table: &toml::Table) -> Vec<String> {
    const KINDS: &[&str] = &["dependencies", "dev-dependencies", "build-dependencies"];
    let mut used = Vec::new();
    for (key, value) in table {
        let Some(inner) = value.as_table() else {
            continue;
        };
        if KINDS.contains(&key.as_str()) {
            for (name, details) in inner {
                // `short = { package = "long" }` renames a crate.
                let renamed = details.get("package").and_then(|package| package.as_str());
                used.push(renamed.unwrap_or(name).to_owned());
            }
        } else if key == "target" {
            used.extend(
                inner
                    .values()
                    .filter_map(|v| v.as_table())
                    .flat_map(used_crates),
            );
        }
    }
    used.sort();
    used
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::tree::tree_of;

    fn messages(rule: fn(&Tree) -> Vec<Breach>, name: &str, rest: &str) -> Vec<String> {
        let path = format!("crates/{name}/Cargo.toml");
        let text = format!("[package]\nname = \"{name}\"\n{rest}");
        rule(&tree_of(&[(&path, &text)]))
            .into_iter()
            .map(|breach| breach.message)
            .collect()
    }

    #[test]
    fn a_crate_may_use_what_is_allowed() {
        let rest = "[dependencies]\nunits.workspace = true\nserde = \"1\"";
        assert!(messages(direction, "optics", rest).is_empty());
    }

    #[test]
    fn an_engine_may_not_see_the_job() {
        let found = messages(
            direction,
            "optics",
            "[dependencies]\nmodel.workspace = true",
        );
        assert_eq!(found.len(), 1);
        assert!(
            found[0].starts_with("`optics` may not use `model`"),
            "{found:?}"
        );
    }

    #[test]
    fn nothing_but_the_doors_uses_sheets() {
        for (name, _) in CRATES {
            let rest = "[dependencies]\nsheets.workspace = true";
            assert_eq!(
                messages(direction, name, rest).is_empty(),
                ["cli", "server"].contains(name),
                "{name}"
            );
        }
    }

    #[test]
    fn no_engine_uses_another_or_the_model() {
        let engines = [
            "survey",
            "optics",
            "light",
            "acoustics",
            "routing",
            "wiring",
            "power",
            "structure",
        ];
        for name in engines {
            for target in engines
                .into_iter()
                .chain(["links", "drawing", "model", "analysis"])
            {
                let rest = format!("[dependencies]\n{target}.workspace = true");
                assert!(
                    !messages(direction, name, &rest).is_empty(),
                    "{name} uses {target}"
                );
            }
        }
    }

    #[test]
    fn a_renamed_test_or_platform_dependency_is_seen_too() {
        for rest in [
            "[dependencies]\njob = { package = \"model\", path = \"../model\" }",
            "[dev-dependencies]\nmodel.workspace = true",
            "[build-dependencies]\nmodel.workspace = true",
            "[target.'cfg(unix)'.dependencies]\nmodel.workspace = true",
        ] {
            assert_eq!(messages(direction, "optics", rest).len(), 1, "{rest}");
        }
    }

    #[test]
    fn an_unlisted_crate_or_a_crate_named_unlike_its_folder_is_found() {
        assert!(messages(direction, "gardening", "")[0].starts_with("add `gardening`"));
        let tree = tree_of(&[("crates/optics/Cargo.toml", "[package]\nname = \"lenses\"")]);
        assert!(direction(&tree)[0].message.contains("like its folder"));
    }

    #[test]
    fn typesetting_stays_in_sheets() {
        let rest = "[dependencies]\ntypst-pdf = \"0.15\"";
        assert_eq!(
            messages(fences, "checks", rest),
            ["`typst-pdf` is for [\"sheets\"] only"]
        );
        assert!(messages(fences, "sheets", rest).is_empty());
    }

    #[test]
    fn a_table_that_points_down_is_found() {
        assert!(breaches_of_table(CRATES).is_empty());
        let found = breaches_of_table(&[("optics", &["model"]), ("model", &[])]);
        assert_eq!(
            found[0].message,
            "`optics` may not use `model`: it isn't above it"
        );
    }
}
