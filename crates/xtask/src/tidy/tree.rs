//! What is in the tree? Every Rust file as tokens, every manifest, every table, read once.

use std::fs;
use std::path::{Path, PathBuf};

use proc_macro2::{Delimiter, TokenStream, TokenTree};

/// Files below `crates/`, each list sorted by path; paths are relative to the top folder.
pub struct Tree {
    pub rust: Vec<RustFile>,
    pub manifests: Vec<Manifest>,
    pub tables: Vec<TextFile>,
}

pub struct RustFile {
    pub path: PathBuf,
    pub text: String,
    pub tokens: Vec<Token>,
}

/// One `crates/<folder>/Cargo.toml`.
pub struct Manifest {
    pub path: PathBuf,
    pub folder: String,
    pub table: toml::Table,
}

pub struct TextFile {
    pub path: PathBuf,
    pub text: String,
}

/// A token of Rust in reading order; comments are gone, doc comments are `#[doc = "…"]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Token {
    /// As written; `{`, `(`, `[` and their ends are tokens of their own.
    pub text: String,
    pub line: usize,
    /// How many brackets are open around it; a bracket counts as outside itself.
    pub depth: usize,
}

impl Token {
    /// The value of a plain or raw string literal, with escapes left as written.
    pub fn string(&self) -> Option<&str> {
        self.text
            .trim_start_matches('r')
            .trim_matches('#')
            .strip_prefix('"')?
            .strip_suffix('"')
    }
}

impl Tree {
    pub fn read(root: &Path) -> Result<Self, String> {
        let mut paths = Vec::new();
        walk(&root.join("crates"), &mut paths)?;
        paths.sort();
        let mut tree = Self {
            rust: Vec::new(),
            manifests: Vec::new(),
            tables: Vec::new(),
        };
        for full in paths {
            let path = full
                .strip_prefix(root)
                .expect("walk starts below root")
                .to_path_buf();
            let extension = path.extension().and_then(|extension| extension.to_str());
            match extension {
                Some("rs") => tree.rust.push(rust_file(path, read(&full)?)?),
                Some("csv") => tree.tables.push(TextFile {
                    path,
                    text: read(&full)?,
                }),
                Some("toml") if path.ends_with("Cargo.toml") && path.components().count() == 3 => {
                    tree.manifests.push(manifest(path, &read(&full)?)?);
                }
                _ => {}
            }
        }
        Ok(tree)
    }
}

impl RustFile {
    /// `checks` for `crates/checks/src/lib.rs`.
    pub fn crate_folder(&self) -> &str {
        self.parts().nth(1).unwrap_or_default()
    }

    /// `src/sound/level.rs` for `crates/checks/src/sound/level.rs`.
    pub fn path_in_crate(&self) -> Vec<&str> {
        self.parts().skip(2).collect()
    }

    fn parts(&self) -> impl Iterator<Item = &str> {
        self.path.iter().filter_map(|part| part.to_str())
    }

    /// Is it code that ships? Not below `tests/` or `benches/`, nor a module's `tests.rs`.
    pub fn ships(&self) -> bool {
        let path = self.path_in_crate();
        path.first() == Some(&"src")
            && !path.iter().any(|part| ["tests", "tests.rs"].contains(part))
    }

    /// The tokens outside `#[cfg(test)] mod … { … }`.
    pub fn tokens_without_tests(&self) -> Vec<&Token> {
        let mut kept = Vec::new();
        let mut rest = self.tokens.as_slice();
        while let [first, after @ ..] = rest {
            if starts_with(rest, &["#", "[", "cfg", "(", "test", ")", "]", "mod"]) {
                let ends = |token: &Token| {
                    token.depth == first.depth && (token.text == "}" || token.text == ";")
                };
                let end = rest.iter().position(ends).unwrap_or(rest.len() - 1);
                rest = &rest[end + 1..];
            } else {
                kept.push(first);
                rest = after;
            }
        }
        kept
    }
}

/// Do the tokens begin with these words?
pub fn starts_with(tokens: &[Token], words: &[&str]) -> bool {
    tokens.len() >= words.len()
        && tokens
            .iter()
            .zip(words)
            .all(|(token, word)| token.text == *word)
}

fn walk(folder: &Path, paths: &mut Vec<PathBuf>) -> Result<(), String> {
    let failed = |error| format!("can't list {}: {error}", folder.display());
    for entry in fs::read_dir(folder).map_err(failed)? {
        let path = entry.map_err(failed)?.path();
        let name = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        if path.is_dir() {
            // A target folder inside the tree holds generated Rust.
            if name != "target" && !name.starts_with('.') {
                walk(&path, paths)?;
            }
        } else {
            paths.push(path);
        }
    }
    Ok(())
}

fn read(path: &Path) -> Result<String, String> {
    fs::read_to_string(path).map_err(|error| format!("can't read {}: {error}", path.display()))
}

fn manifest(path: PathBuf, text: &str) -> Result<Manifest, String> {
    let table = text
        .parse()
        .map_err(|error| format!("{} is not TOML: {error}", path.display()))?;
    let folder = path
        .iter()
        .nth(1)
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    Ok(Manifest {
        path,
        folder,
        table,
    })
}

fn rust_file(path: PathBuf, text: String) -> Result<RustFile, String> {
    let stream: TokenStream = text.parse().map_err(|error: proc_macro2::LexError| {
        format!(
            "{}:{}: not Rust: {error}",
            path.display(),
            error.span().start().line
        )
    })?;
    let mut tokens = Vec::new();
    flatten(stream, 0, &mut tokens);
    Ok(RustFile { path, text, tokens })
}

fn flatten(stream: TokenStream, depth: usize, tokens: &mut Vec<Token>) {
    for tree in stream {
        let line = tree.span().start().line;
        let mut push = |text: String, line| tokens.push(Token { text, line, depth });
        match tree {
            TokenTree::Group(group) => {
                let (open, close) = match group.delimiter() {
                    Delimiter::Parenthesis => ("(", ")"),
                    Delimiter::Brace => ("{", "}"),
                    Delimiter::Bracket => ("[", "]"),
                    Delimiter::None => ("", ""),
                };
                push(open.to_owned(), line);
                flatten(group.stream(), depth + 1, tokens);
                let line = group.span_close().start().line;
                tokens.push(Token {
                    text: close.to_owned(),
                    line,
                    depth,
                });
            }
            other => push(other.to_string(), line),
        }
    }
}

/// A tree of the given files, in a folder that goes away at once.
#[cfg(test)]
pub fn tree_of(files: &[(&str, &str)]) -> Tree {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("crates")).unwrap();
    for (path, text) in files {
        let path = folder.path().join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    Tree::read(folder.path()).unwrap()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_are_read_from_the_disk_in_order_and_built_ones_left_out() {
        let tree = tree_of(&[
            ("crates/units/src/lib.rs", ""),
            ("crates/units/Cargo.toml", "[package]\nname = \"units\""),
            ("crates/units/target/debug/made.rs", ""),
            ("crates/acoustics/src/lib.rs", ""),
            ("crates/acoustics/src/table.csv", "# source: x"),
        ]);
        let crates: Vec<_> = tree.rust.iter().map(RustFile::crate_folder).collect();
        assert_eq!(crates, ["acoustics", "units"]);
        assert_eq!(tree.manifests[0].folder, "units");
        assert_eq!(tree.tables[0].text, "# source: x");
    }

    #[test]
    fn tests_do_not_ship() {
        let ships = |path: &str| tree_of(&[(path, "")]).rust[0].ships();
        assert!(ships("crates/a/src/beam.rs"));
        for path in [
            "src/beam/tests.rs",
            "src/tests/mod.rs",
            "tests/all.rs",
            "benches/b.rs",
        ] {
            assert!(!ships(&format!("crates/a/{path}")), "{path}");
        }
    }

    #[test]
    fn tokens_know_their_line_and_depth() {
        let tree = tree_of(&[("crates/a/src/lib.rs", "// no\nfn f() {\n    g(\"x\");\n}\n")]);
        let find = |text: &str| tree.rust[0].tokens.iter().find(|token| token.text == text);
        let literal = find("\"x\"").unwrap();
        assert_eq!(
            (literal.line, literal.depth, literal.string()),
            (3, 2, Some("x"))
        );
        let close = find("}").unwrap();
        assert_eq!((close.line, close.depth), (4, 0));
        assert_eq!(find("no"), None);
    }

    #[test]
    fn raw_strings_have_a_value_and_names_have_none() {
        let value = |text: &str| {
            let token = Token {
                text: text.to_owned(),
                line: 1,
                depth: 0,
            };
            token.string().map(str::to_owned)
        };
        assert_eq!(value("r#\"room\"#").as_deref(), Some("room"));
        assert_eq!(value("room"), None);
    }

    #[test]
    fn test_modules_are_left_out_and_what_follows_is_kept() {
        let text =
            "fn a() {}\n#[cfg(test)]\nmod tests { fn b() {} }\n#[cfg(test)] mod t;\nfn c() {}";
        let tree = tree_of(&[("crates/a/src/lib.rs", text)]);
        let kept = tree.rust[0].tokens_without_tests();
        let has = |text: &str| kept.iter().any(|token| token.text == text);
        assert!(has("a") && has("c"));
        assert!(!has("b") && !has("t"));
    }

    #[test]
    fn broken_rust_is_named_with_its_line() {
        let error = rust_file("crates/a/src/lib.rs".into(), "fn f() {\n".to_owned())
            .err()
            .unwrap();
        assert!(error.starts_with("crates/a/src/lib.rs:"), "{error}");
    }
}
