//! Which names a bundle may hold.

use super::limit_of;

#[test]
fn only_the_names_of_a_bundle_have_a_length() {
    let hash = "0123456789abcdef".repeat(4);
    for name in ["manifest.json", "job.toml", "history.json"] {
        assert!(limit_of(name).is_some());
    }
    assert!(limit_of(&format!("photographs/{hash}")).is_some());
    for name in [
        "",
        "job.toml/",
        "./job.toml",
        "../job.toml",
        "/job.toml",
        "JOB.TOML",
        "photographs/",
        "photographs/0123",
        &format!("photographs/../{hash}"),
        &format!("photographs/{}", hash.to_uppercase()),
        &format!("photographs/{hash}/{hash}"),
    ] {
        assert_eq!(limit_of(name), None, "{name}");
    }
}
