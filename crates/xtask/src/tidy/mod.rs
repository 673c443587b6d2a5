//! Does the tree keep the house rules that the compiler can't see?
//!
//! A rule is one function from the tree to the places that break it, with a test below it that
//! shows it can fail. To add one: write the function, add one line to `RULES`.

mod check_files;
mod dependencies;
mod sources;
mod tree;

use std::fmt;
use std::path::{Path, PathBuf};

use tree::Tree;

type Rule = fn(&Tree) -> Vec<Breach>;

const RULES: &[(&str, Rule)] = &[
    ("areas", check_files::areas),
    ("check ids", check_files::ids),
    ("check ids elsewhere", check_files::ids_elsewhere),
    ("check lists", check_files::lists),
    ("dependency direction", dependencies::direction),
    ("dependency fences", dependencies::fences),
    ("dependency table", dependencies::table),
    ("file length", sources::length),
    ("module docs", sources::module_docs),
    ("module order", sources::module_order),
    ("pure crates", sources::purity),
    ("table sources", sources::table_sources),
    ("unfinished work", sources::unfinished),
];

/// A place that breaks a rule, and what to do about it.
#[derive(Debug, PartialEq)]
struct Breach {
    path: PathBuf,
    /// Counted from one; `None` if the whole file is meant.
    line: Option<usize>,
    message: String,
}

impl Breach {
    fn file(path: &Path, message: impl Into<String>) -> Self {
        Self {
            path: path.to_path_buf(),
            line: None,
            message: message.into(),
        }
    }

    fn line(path: &Path, line: usize, message: impl Into<String>) -> Self {
        Self {
            path: path.to_path_buf(),
            line: Some(line),
            message: message.into(),
        }
    }
}

impl fmt::Display for Breach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "{}:{line}: {}", self.path.display(), self.message),
            None => write!(f, "{}: {}", self.path.display(), self.message),
        }
    }
}

/// Prints each breach and each note; an error if a rule is broken.
pub fn run(root: &Path) -> Result<(), String> {
    let tree = Tree::read(root)?;
    for note in sources::long_files(&tree) {
        println!("note: {note}");
    }
    let breaches = breaches(&tree);
    for (rule, breach) in &breaches {
        println!("{breach} [{rule}]");
    }
    match breaches.len() {
        0 => {
            println!(
                "{} house rules kept in {} files",
                RULES.len(),
                tree.rust.len()
            );
            Ok(())
        }
        1 => Err("one place breaks a house rule, listed above".to_owned()),
        count => Err(format!("{count} places break house rules, listed above")),
    }
}

fn breaches(tree: &Tree) -> Vec<(&'static str, Breach)> {
    let of_rule = |(name, rule): &(&'static str, Rule)| {
        let name = *name;
        rule(tree)
            .into_iter()
            .map(move |breach| (name, breach))
            .collect::<Vec<_>>()
    };
    RULES.iter().flat_map(of_rule).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tree_keeps_every_house_rule() {
        let tree = Tree::read(&crate::root()).unwrap();
        assert!(
            tree.rust.len() > 10,
            "found only {} Rust files",
            tree.rust.len()
        );
        let breaches: Vec<String> = breaches(&tree)
            .iter()
            .map(|(rule, breach)| format!("{breach} [{rule}]"))
            .collect();
        assert!(breaches.is_empty(), "\n{}", breaches.join("\n"));
    }

    #[test]
    fn the_list_of_rules_is_alphabetical() {
        assert!(RULES.is_sorted_by_key(|(name, _)| *name));
    }

    #[test]
    fn a_breach_names_its_place() {
        let breach = Breach::line(Path::new("a.rs"), 3, "why");
        assert_eq!(breach.to_string(), "a.rs:3: why");
        assert_eq!(
            Breach::file(Path::new("a.rs"), "why").to_string(),
            "a.rs: why"
        );
    }
}
