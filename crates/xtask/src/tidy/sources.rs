//! Is each file short, finished, explained, in order, and as pure as its crate promises?

use super::Breach;
use super::tree::{RustFile, Token, Tree, starts_with};

const LINES_MAX: usize = 1000;
const LINES_NOTED: usize = 600;

/// The only crates that touch files, network, time or environment.
const TOUCHING_THE_WORLD: &[&str] = &["cli", "server", "sharing", "store", "xtask"];

/// Modules and types of `std` that reach the world outside.
const WORLD: &[&str] = &["env", "fs", "net", "process", "Instant", "SystemTime"];

/// No Rust file is longer than 1000 lines.
pub fn length(tree: &Tree) -> Vec<Breach> {
    let too_long = |(file, lines): (&RustFile, usize)| {
        let message = format!("{lines} lines; past {LINES_MAX}, look for the seam");
        Breach::file(&file.path, message)
    };
    lengths(tree)
        .filter(|(_, lines)| *lines > LINES_MAX)
        .map(too_long)
        .collect()
}

/// Files that are growing long, to look at before they break the rule.
pub fn long_files(tree: &Tree) -> Vec<String> {
    lengths(tree)
        .filter(|(_, lines)| (LINES_NOTED + 1..=LINES_MAX).contains(lines))
        .map(|(file, lines)| format!("{} has {lines} lines", file.path.display()))
        .collect()
}

fn lengths(tree: &Tree) -> impl Iterator<Item = (&RustFile, usize)> {
    tree.rust
        .iter()
        .map(|file| (file, file.text.lines().count()))
}

/// Each Rust file starts with what question it answers.
pub fn module_docs(tree: &Tree) -> Vec<Breach> {
    let silent = |file: &&RustFile| !file.text.starts_with("//! ");
    let breach = |file: &RustFile| {
        Breach::file(
            &file.path,
            "start with `//! ` and the question that this file answers",
        )
    };
    tree.rust.iter().filter(silent).map(breach).collect()
}

/// `mod` lines are alphabetical, the private and the `pub` ones each, so that two people's
/// additions merge.
pub fn module_order(tree: &Tree) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for file in &tree.rust {
        for public in [false, true] {
            // A module with an attribute (`#[cfg(test)]`, `#[macro_use]`) stands where it must.
            let listed = |module: &Module| module.public == public && !module.has_attribute;
            let modules: Vec<Module> = declared_modules(file).filter(listed).collect();
            for pair in modules
                .windows(2)
                .filter(|pair| pair[0].name > pair[1].name)
            {
                let (before, after) = (&pair[0].name, &pair[1].name);
                let message = format!("`mod {after}` must stand before `mod {before}`");
                breaches.push(Breach::line(&file.path, pair[1].line, message));
            }
        }
    }
    breaches
}

/// A `mod name;` at the file's top level.
pub struct Module {
    pub name: String,
    line: usize,
    /// Anything but private: `pub`, `pub(crate)`.
    public: bool,
    has_attribute: bool,
}

pub fn declared_modules(file: &RustFile) -> impl Iterator<Item = Module> {
    let top: Vec<&Token> = file
        .tokens
        .iter()
        .filter(|token| token.depth == 0)
        .collect();
    let mut modules = Vec::new();
    for (place, tokens) in top.windows(3).enumerate() {
        if tokens[0].text != "mod" || tokens[2].text != ";" {
            continue;
        }
        // Behind the `;` or `}` that ends the item before, `#` can only open an attribute;
        // `#!` belongs to the file.
        let item = top[..place]
            .iter()
            .rposition(|token| [";", "}"].contains(&token.text.as_str()));
        let before = &top[item.map_or(0, |end| end + 1)..place];
        let opens = |(place, token): (usize, &&Token)| {
            token.text == "#" && before.get(place + 1).is_some_and(|next| next.text == "[")
        };
        modules.push(Module {
            name: tokens[1].text.clone(),
            line: tokens[1].line,
            public: before.iter().any(|token| token.text == "pub"),
            has_attribute: before.iter().enumerate().any(opens),
        });
    }
    modules.into_iter()
}

/// Outside their tests, library crates reach no file, network, clock, process or environment.
pub fn purity(tree: &Tree) -> Vec<Breach> {
    let mut breaches = Vec::new();
    for file in &tree.rust {
        if TOUCHING_THE_WORLD.contains(&file.crate_folder()) || !file.ships() {
            continue;
        }
        let tokens = file.tokens_without_tests();
        for (place, token) in tokens.iter().enumerate() {
            if token.text == "std" {
                breaches.extend(world_in_path(&tokens[place + 1..]).map(|found| {
                    let message =
                        format!("`std::…{}`: only {TOUCHING_THE_WORLD:?} may", found.text);
                    Breach::line(&file.path, found.line, message)
                }));
            }
        }
    }
    breaches
}

/// The first name of the world outside in what follows `std`: `::fs`, `::time::Instant`, `::{io, fs}`.
fn world_in_path<'a>(after_std: &[&'a Token]) -> Option<&'a Token> {
    let depth = after_std.first().filter(|token| token.text == ":")?.depth;
    let mut words = after_std.iter().take_while(|token| {
        let of_path = [":", "{", "}"].contains(&token.text.as_str());
        let name = token
            .text
            .starts_with(|c: char| c.is_alphabetic() || c == '_');
        token.depth > depth || of_path || name
    });
    words
        .find(|token| WORLD.contains(&token.text.as_str()))
        .copied()
}

/// Each table says where its numbers are from, on line one.
pub fn table_sources(tree: &Tree) -> Vec<Breach> {
    const START: &str = "# source: ";
    let sourced = |text: &str| {
        let first = text.lines().next().unwrap_or_default();
        first
            .strip_prefix(START)
            .is_some_and(|source| !source.trim().is_empty())
    };
    let breach = |path| Breach::file(path, "line one must be `# source: ` and the source");
    tree.tables
        .iter()
        .filter(|table| !sourced(&table.text))
        .map(|table| breach(&table.path))
        .collect()
}

/// Nothing is left to do in code that is called done, and no test is switched off.
pub fn unfinished(tree: &Tree) -> Vec<Breach> {
    const MACROS: &[&str] = &["dbg", "todo", "unimplemented"];
    let mut breaches = Vec::new();
    for file in &tree.rust {
        for (place, token) in file.tokens.iter().enumerate() {
            let rest = &file.tokens[place + 1..];
            if MACROS.contains(&token.text.as_str())
                && starts_with(rest, &["!"])
                && rest
                    .get(1)
                    .is_some_and(|next| ["(", "{", "["].contains(&next.text.as_str()))
            {
                let message = format!("`{}!` is unfinished work", token.text);
                breaches.push(Breach::line(&file.path, token.line, message));
            }
            if token.text == "#" && starts_with(rest, &["[", "ignore"]) {
                breaches.push(Breach::line(
                    &file.path,
                    token.line,
                    "a test that never runs proves nothing",
                ));
            }
        }
    }
    breaches
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::tree::tree_of;

    fn found(rule: fn(&Tree) -> Vec<Breach>, path: &str, text: &str) -> Vec<Breach> {
        rule(&tree_of(&[(path, text)]))
    }

    const ENGINE: &str = "crates/optics/src/lib.rs";

    #[test]
    fn the_thousandth_line_is_the_last() {
        let lines = |count: usize| "//\n".repeat(count);
        assert!(found(length, ENGINE, &lines(1000)).is_empty());
        assert_eq!(found(length, ENGINE, &lines(1001)).len(), 1);
    }

    #[test]
    fn a_file_past_six_hundred_lines_is_noted() {
        let noted = |count: usize| long_files(&tree_of(&[(ENGINE, &"//\n".repeat(count))])).len();
        assert_eq!(
            [noted(600), noted(601), noted(1000), noted(1001)],
            [0, 1, 1, 0]
        );
    }

    #[test]
    fn a_file_without_its_question_is_found() {
        assert!(found(module_docs, ENGINE, "//! Where is the screen?\n").is_empty());
        for text in ["", "fn f() {}", "// Where?\n", "//!\n", "\n//! Late\n"] {
            assert_eq!(found(module_docs, ENGINE, text).len(), 1, "{text:?}");
        }
    }

    #[test]
    fn modules_out_of_order_are_found() {
        let sorted = "mod beam;\nmod throw;\n\npub mod aim;\npub mod lens;\n";
        assert!(found(module_order, ENGINE, sorted).is_empty());
        let breaches = found(module_order, ENGINE, "mod lens;\n\nmod beam;\n");
        assert_eq!(
            found(module_order, ENGINE, "pub mod lens;\npub mod beam;").len(),
            1
        );
        assert_eq!(
            breaches[0].to_string(),
            "crates/optics/src/lib.rs:3: `mod beam` must stand before `mod lens`"
        );
    }

    #[test]
    fn modules_with_attributes_and_inline_modules_stand_where_they_must() {
        let text =
            "#![allow(x)]\nmod lens;\n#[cfg(test)]\nmod cases;\nmod inline { mod a; }\nmod throw;";
        assert!(found(module_order, ENGINE, text).is_empty());
        assert_eq!(
            found(module_order, ENGINE, "#![allow(x)]\nmod lens;\nmod beam;").len(),
            1
        );
    }

    #[test]
    fn an_engine_that_reaches_outside_is_found() {
        for text in [
            "use std::fs;",
            "use std::{fmt, fs};",
            "use std::time::{Duration, Instant};",
            "fn f() { std::env::var(\"X\"); }",
            "fn f() -> std::time::SystemTime { g() }",
        ] {
            assert_eq!(found(purity, ENGINE, text).len(), 1, "{text}");
            assert!(
                found(purity, "crates/cli/src/main.rs", text).is_empty(),
                "{text}"
            );
            assert!(
                found(purity, "crates/optics/tests/all.rs", text).is_empty(),
                "{text}"
            );
        }
    }

    #[test]
    fn an_engine_may_use_the_rest_of_std_and_its_tests_may_read_files() {
        for text in [
            "use std::fmt;\nuse own::fs;",
            "use std::time::Duration;",
            "fn f(x: std::fmt::Result, net: u8) {}",
            "#[cfg(test)] mod tests { use std::fs; }",
        ] {
            assert!(found(purity, ENGINE, text).is_empty(), "{text}");
        }
    }

    #[test]
    fn a_table_without_its_source_is_found() {
        let path = "crates/acoustics/src/absorption.csv";
        assert!(found(table_sources, path, "# source: handbook, table 3\na,b\n").is_empty());
        for text in [
            "",
            "a,b\n",
            "# source:\n",
            "# source: \na",
            "a\n# source: late",
        ] {
            assert_eq!(found(table_sources, path, text).len(), 1, "{text:?}");
        }
    }

    #[test]
    fn unfinished_work_is_found_in_code_and_not_in_words() {
        for text in [
            "fn f() { todo!() }",
            "fn f() { unimplemented!(\"x\") }",
            "fn f() { dbg!(1); }",
        ] {
            assert_eq!(found(unfinished, ENGINE, text).len(), 1, "{text}");
        }
        assert_eq!(
            found(
                unfinished,
                ENGINE,
                "#[test]\n#[ignore = \"slow\"]\nfn t() {}"
            )
            .len(),
            1
        );
        let words = "// todo!()\nfn f() { g(\"todo!()\"); let todo = 1; h(todo != 2) }";
        assert!(found(unfinished, ENGINE, words).is_empty());
    }
}
