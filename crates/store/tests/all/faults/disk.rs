//! A disk that is full, a file that may not grow, a folder that can't be written.

use std::env;
use std::fs::{self, Permissions};
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::path::Path;
use std::process::Command;

use store::{Place, Store, StoreError};

use super::child::{Said, Server, command, copied_program};
use crate::scratch::{Scratch, run};

/// Runs a server until its disk gives up, and looks at the store with room again.
fn starved(scratch: &Scratch, through: &[&str]) -> String {
    run(async { scratch.with_job().await.close().await });
    let program = env::current_exe().unwrap();
    let place = scratch.parsable();
    let place = [place[0].as_str(), place[1].as_str()];
    let mut server = Server::start(command(through, &program, &place, "full", 100_000));
    let said = server.rest();
    server.wait();
    let Some(Said::Failed(told)) = said.last() else {
        panic!("it never ran out: {:?}", said.last());
    };
    run(async {
        let store = scratch.open().await;
        let history = store.history("mill-lane").await.unwrap();
        assert_eq!(store.prove().await.unwrap(), history.len() as u64);
        let mut acknowledged = 0;
        for one in &said {
            if let Said::Saved { op, revision } = one {
                acknowledged += 1;
                assert_eq!(history[*revision as usize - 1].summary, *op);
            }
        }
        assert!(acknowledged > 0, "it saved nothing before: {said:?}");
        // What was refused is not there, and goes in now.
        let refused = super::child::change(&format!("full-{acknowledged}"), history.len() as u64);
        assert!(history.iter().all(|entry| entry.summary != refused.summary));
        store.save("mill-lane", &refused).await.unwrap();
    });
    told.clone()
}

#[test]
fn a_file_that_may_not_grow_loses_nothing_acknowledged() {
    // 512-byte blocks: enough for the store and for some saves.
    let limited = r#"trap "" XFSZ; ulimit -f 900; exec "$@""#;
    let scratch = Scratch::file();
    let told = starved(&scratch, &["sh", "-c", limited, "limited"]);
    assert!(
        told.contains("failed") || told.contains("is full"),
        "{told}"
    );
    assert!(
        told.contains("everything acknowledged before is kept"),
        "{told}"
    );
}

#[test]
fn a_full_disk_loses_nothing_acknowledged() {
    let scratch = Scratch::file();
    let folder = scratch.folder().to_str().unwrap().to_owned();
    // A disk of a megabyte that only this shell sees; what is left on it is copied out.
    let small = format!(
        r#"mkdir /tmp/full.$$ && mount -t tmpfs -o size=1m none /tmp/full.$$ && cp {folder}/jobs.db /tmp/full.$$/ &&
        {{ STORE_CHILD_PLACE=/tmp/full.$$/jobs.db "$@"; cp /tmp/full.$$/jobs.db* {folder}/; umount /tmp/full.$$; rmdir /tmp/full.$$; }}"#
    );
    let try_mount = r#"mount -t tmpfs -o size=1m none /mnt"#;
    let may = Command::new("unshare")
        .args(["-m", "sh", "-c", try_mount])
        .stderr(std::process::Stdio::null())
        .status()
        .is_ok_and(|status| status.success());
    if !may {
        eprintln!("skipped: no small disk can be mounted by this user");
        return;
    }
    let told = starved(&scratch, &["unshare", "-m", "sh", "-c", &small, "small"]);
    assert!(told.contains("is full"), "{told}");
    assert!(told.contains("make space and send it again"), "{told}");
}

#[test]
fn a_folder_that_can_not_be_written_is_told_before_any_work() {
    // Not even root may make a file there.
    let nowhere = Path::new("/sys/kernel/jobs.db");
    let error = run(Store::open(&Place::file(nowhere), Vec::new())).unwrap_err();
    assert!(matches!(error, StoreError::NotWritable { .. }), "{error:?}");
    assert!(
        error
            .to_string()
            .contains("/sys/kernel/jobs.db can't be written"),
        "{error}"
    );
}

#[test]
fn a_store_that_can_not_be_written_is_told_and_left_as_it_is() {
    let scratch = Scratch::file();
    run(async { scratch.with_job().await.close().await });
    let path = scratch.folder().join("jobs.db");
    let before = fs::read(&path).unwrap();
    let elsewhere = tempfile::TempDir::new().unwrap();
    let program = copied_program(elsewhere.path());
    let open_to_all = Permissions::from_mode(0o755);
    fs::set_permissions(elsewhere.path(), open_to_all.clone()).unwrap();
    fs::set_permissions(&program, open_to_all).unwrap();
    fs::set_permissions(&path, Permissions::from_mode(0o444)).unwrap();
    fs::set_permissions(scratch.folder(), Permissions::from_mode(0o555)).unwrap();
    // Root may write anything; somebody without rights runs the server then.
    let root = fs::metadata("/proc/self").unwrap().uid() == 0;
    let nobody = [
        "setpriv",
        "--reuid=65534",
        "--regid=65534",
        "--clear-groups",
        "--",
    ];
    let through = if root { &nobody[..] } else { &[] };
    let place = scratch.parsable();
    let place = [place[0].as_str(), place[1].as_str()];
    let mut server = Server::start(command(through, &program, &place, "reader", 5));
    let said = server.rest();
    server.wait();
    fs::set_permissions(scratch.folder(), Permissions::from_mode(0o755)).unwrap();
    let [Said::Failed(told)] = said.as_slice() else {
        panic!("{said:?}");
    };
    assert!(told.contains("jobs.db can't be written"), "{told}");
    assert_eq!(fs::read(&path).unwrap(), before);
}
