//! Makes every generated file anew: what the server's routes say, and the page's types from it.

use std::path::Path;

use crate::ci::{cargo, npm, succeed};

pub fn run(root: &Path) -> Result<(), String> {
    let mut description = cargo(root);
    description
        .args(["test", "-p", "server", "--lib", "--quiet"])
        .arg("the_description_is_as_it_stands_in_its_file")
        .env("UPDATE_EXPECT", "1");
    succeed(&mut description, "the server does not build")?;
    succeed(
        npm(root).args(["run", "codegen"]),
        "the page's types can't be made: run ./test once, which fetches what that needs",
    )
}
