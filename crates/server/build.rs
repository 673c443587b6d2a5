//! Tells the compiler where the built page lies.

use std::env;
use std::path::Path;

fn main() {
    let own = env::var("CARGO_MANIFEST_DIR").expect("cargo names the crate's folder");
    let root = Path::new(&own)
        .ancestors()
        .nth(2)
        .expect("crates/server has two folders above it");
    let page = root.join("web/dist");
    println!("cargo:rustc-env=DRYFIT_PAGE={}", page.display());
    println!("cargo:rerun-if-changed=build.rs");
    // A release carries the page inside, and has to notice that it was built anew; other
    // builds read it where it lies, so that a page that is not there yet costs no rebuild.
    if env::var("PROFILE").is_ok_and(|profile| profile == "release") {
        println!("cargo:rerun-if-changed={}", page.display());
    }
}
