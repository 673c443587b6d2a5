//! Is every check listed, named after its file, and known by name nowhere else?

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::Breach;
use super::sources::declared_modules;
use super::tree::{RustFile, Token, Tree, starts_with};

const AREAS: &[&str] = &[
    "bass",
    "cables",
    "picture",
    "power",
    "signal",
    "sound",
    "structure",
    "survey",
];

/// Folders beside the areas: how checks are run, and what several of them ask first.
const BESIDE: &[&str] = &["prove", "shared"];

/// Crates that show findings: they know checks by their manual alone.
const SHOWING: &[&str] = &["cli", "server", "sheets", "view"];

/// The file of one check, `crates/checks/src/<area>/<id>.rs`.
struct CheckFile<'a> {
    area: &'a str,
    /// The id with underscores.
    name: &'a str,
    file: &'a RustFile,
}

fn check_files(tree: &Tree) -> impl Iterator<Item = CheckFile<'_>> {
    tree.rust.iter().filter_map(|file| {
        let ["src", area, name] = file.path_in_crate()[..] else {
            return None;
        };
        let name = name.strip_suffix(".rs")?;
        let listed = file.crate_folder() == "checks"
            && file.ships()
            && name != "mod"
            && !BESIDE.contains(&area);
        listed.then_some(CheckFile { area, name, file })
    })
}

/// Each folder of checks is a known area, and `lib.rs` takes it in.
pub fn areas(tree: &Tree) -> Vec<Breach> {
    let lib_path = Path::new("crates/checks/src/lib.rs");
    let lib = tree.rust.iter().find(|file| file.path == lib_path);
    let declared: Vec<String> = lib.map_or_else(Vec::new, |file| {
        declared_modules(file)
            .map(|module| module.name.clone())
            .collect()
    });
    let mut folders = BTreeMap::new();
    for check in check_files(tree) {
        folders.entry(check.area).or_insert(check.file);
    }
    let mut breaches = Vec::new();
    for (area, file) in folders {
        if !AREAS.contains(&area) {
            let message = format!("`{area}` is no area of checks; the areas are {AREAS:?}");
            breaches.push(Breach::file(&file.path, message));
        } else if !declared.iter().any(|name| name == area) {
            breaches.push(Breach::file(lib_path, format!("add `mod {area};`")));
        }
    }
    breaches
}

/// Each check has its `mod` line and its list line in its area, the list in alphabetical order.
pub fn lists(tree: &Tree) -> Vec<Breach> {
    let mut breaches = Vec::new();
    let mut areas: BTreeMap<&str, Vec<CheckFile>> = BTreeMap::new();
    for check in check_files(tree) {
        areas.entry(check.area).or_default().push(check);
    }
    for (area, checks) in areas {
        let path: PathBuf = ["crates", "checks", "src", area, "mod.rs"].iter().collect();
        let Some(file) = tree.rust.iter().find(|file| file.path == path) else {
            breaches.push(Breach::file(
                &path,
                "the list of this area's checks is missing",
            ));
            continue;
        };
        let listed = listed_checks(file);
        for check in &checks {
            let name = check.name;
            if !declared_modules(file).any(|module| module.name == name) {
                breaches.push(Breach::file(&path, format!("add `mod {name};`")));
            }
            if !listed.iter().any(|(listed, _)| listed == name) {
                breaches.push(Breach::file(
                    &path,
                    format!("add `&{name}::CHECK,` to the list"),
                ));
            }
        }
        for pair in listed.windows(2) {
            let ((before, _), (after, line)) = (&pair[0], &pair[1]);
            if before >= after {
                let message = format!("`{after}` must stand before `{before}` in the list, once");
                breaches.push(Breach::line(&path, *line, message));
            }
        }
    }
    breaches
}

/// The names in `&name::CHECK`, in the order of the list, with their lines.
fn listed_checks(file: &RustFile) -> Vec<(String, usize)> {
    file.tokens
        .windows(5)
        .filter(|tokens| starts_with(&tokens[..1], &["&"]))
        .filter(|tokens| starts_with(&tokens[2..], &[":", ":", "CHECK"]))
        .map(|tokens| (tokens[1].text.clone(), tokens[1].line))
        .collect()
}

/// Each check's `id` is its file's name with hyphens, and no two checks share one.
pub fn ids(tree: &Tree) -> Vec<Breach> {
    let mut breaches = Vec::new();
    let mut seen: BTreeMap<&str, &Path> = BTreeMap::new();
    for check in check_files(tree) {
        let path = &check.file.path;
        let expected = check.name.replace('_', "-");
        match declared_id(check.file) {
            None => {
                let message = format!("no `static CHECK` with `id: \"{expected}\"`");
                breaches.push(Breach::file(path, message));
            }
            Some((id, line)) if id != expected => {
                let message = format!("id \"{id}\" must be \"{expected}\", like its file");
                breaches.push(Breach::line(path, line, message));
            }
            Some((_, line)) => {
                if let Some(first) = seen.insert(check.name, path) {
                    let message = format!("id \"{expected}\" is taken by {}", first.display());
                    breaches.push(Breach::line(path, line, message));
                }
            }
        }
    }
    breaches
}

/// The id in `static CHECK: Check = Check { id: "…", … }`, and its line.
fn declared_id(file: &RustFile) -> Option<(&str, usize)> {
    let tokens = &file.tokens;
    let start = tokens
        .windows(2)
        .position(|pair| starts_with(pair, &["static", "CHECK"]))?;
    let field = |tokens: &&[Token]| starts_with(tokens, &["id", ":"]);
    let value = &tokens[start..].windows(3).find(field)?[2];
    Some((value.string()?, value.line))
}

/// No crate that shows findings knows a check by its id; its tests may.
pub fn ids_elsewhere(tree: &Tree) -> Vec<Breach> {
    let ids: Vec<String> = check_files(tree)
        .map(|check| check.name.replace('_', "-"))
        .collect();
    let mut breaches = Vec::new();
    for file in &tree.rust {
        if !SHOWING.contains(&file.crate_folder()) || !file.ships() {
            continue;
        }
        for token in file.tokens_without_tests() {
            if let Some(id) = token
                .string()
                .filter(|value| ids.iter().any(|id| id == value))
            {
                let message = format!("\"{id}\" is a check's id; use the check's own fields");
                breaches.push(Breach::line(&file.path, token.line, message));
            }
        }
    }
    breaches
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::tree::tree_of;

    const LIB: (&str, &str) = ("crates/checks/src/lib.rs", "//! x\nmod picture;\n");
    const LIST: (&str, &str) = (
        "crates/checks/src/picture/mod.rs",
        "//! x\nmod throw_distance;\nmod white_point;\n\
         pub static CHECKS: &[&Check] = &[\n&throw_distance::CHECK,\n&white_point::CHECK,\n];\n",
    );
    const THROW: (&str, &str) = (
        "crates/checks/src/picture/throw_distance.rs",
        "//! x\npub(crate) static CHECK: Check = Check { id: \"throw-distance\", run };\n",
    );
    const WHITE: (&str, &str) = (
        "crates/checks/src/picture/white_point.rs",
        "//! x\npub(crate) static CHECK: Check = Check {\n    id: \"white-point\",\n run };\n",
    );

    fn found(rule: fn(&Tree) -> Vec<Breach>, files: &[(&str, &str)]) -> Vec<String> {
        rule(&tree_of(files))
            .iter()
            .map(ToString::to_string)
            .collect()
    }

    #[test]
    fn listed_and_named_checks_pass_every_rule() {
        for rule in [areas, lists, ids, ids_elsewhere] {
            assert_eq!(found(rule, &[LIB, LIST, THROW, WHITE]), [""; 0]);
        }
    }

    #[test]
    fn a_folder_that_is_no_area_is_found() {
        let stray = ("crates/checks/src/garden/lawn.rs", WHITE.1);
        let found = found(areas, &[LIB, stray]);
        assert!(found[0].contains("`garden` is no area"), "{found:?}");
    }

    #[test]
    fn an_area_that_the_crate_leaves_out_is_found() {
        let lib = (LIB.0, "//! x\nmod sound;\n");
        assert_eq!(
            found(areas, &[lib, LIST, WHITE]),
            ["crates/checks/src/lib.rs: add `mod picture;`"]
        );
    }

    #[test]
    fn a_check_that_is_not_listed_is_found() {
        let list = (
            LIST.0,
            "//! x\nmod throw_distance;\nstatic C: A = &[&throw_distance::CHECK];",
        );
        let path = LIST.0;
        let expected = [
            format!("{path}: add `mod white_point;`"),
            format!("{path}: add `&white_point::CHECK,` to the list"),
        ];
        assert_eq!(found(lists, &[LIB, list, THROW, WHITE]), expected);
        assert_eq!(
            found(lists, &[WHITE]),
            [format!("{path}: the list of this area's checks is missing")]
        );
    }

    #[test]
    fn a_list_out_of_order_or_with_a_check_twice_is_found() {
        let mods = "//! x\nmod throw_distance;\nmod white_point;\n";
        let text = format!("{mods}static C: A = &[&white_point::CHECK,\n&throw_distance::CHECK];");
        let found_order = found(lists, &[LIB, (LIST.0, &text), THROW, WHITE]);
        assert!(
            found_order[0].contains("mod.rs:5: `throw_distance` must stand before"),
            "{found_order:?}"
        );
        let text = format!(
            "{mods}static C: A = &[&throw_distance::CHECK, &white_point::CHECK, &white_point::CHECK];"
        );
        assert_eq!(found(lists, &[LIB, (LIST.0, &text), THROW, WHITE]).len(), 1);
    }

    #[test]
    fn an_id_unlike_its_file_is_found() {
        let wrong = ("crates/checks/src/picture/white_balance.rs", WHITE.1);
        let expected = "crates/checks/src/picture/white_balance.rs:3: \
            id \"white-point\" must be \"white-balance\", like its file";
        assert_eq!(found(ids, &[wrong]), [expected]);
    }

    #[test]
    fn a_file_without_a_check_is_found() {
        let empty = (
            "crates/checks/src/picture/white_point.rs",
            "//! x\nstruct Id { id: u8 }",
        );
        assert!(found(ids, &[empty])[0].contains("no `static CHECK`"));
    }

    #[test]
    fn an_id_used_in_two_areas_is_found() {
        let other = ("crates/checks/src/sound/white_point.rs", WHITE.1);
        let found = found(ids, &[WHITE, other]);
        assert!(
            found[0].contains("is taken by crates/checks/src/picture/white_point.rs"),
            "{found:?}"
        );
    }

    #[test]
    fn an_id_in_a_sheet_is_found_and_in_a_test_is_not() {
        let text = "//! x\nfn f() { g(\"white-point\") }\n\
            #[cfg(test)] mod tests { fn t() { g(\"white-point\") } }";
        let found_in = |path| found(ids_elsewhere, &[WHITE, (path, text)]);
        assert_eq!(found_in("crates/sheets/src/lib.rs").len(), 1);
        assert_eq!(found_in("crates/cli/src/main.rs").len(), 1);
        assert_eq!(found_in("crates/cli/tests/cli.rs").len(), 0);
        assert_eq!(found_in("crates/checks/src/lib.rs").len(), 0);
    }
}
