//! A PostgreSQL cluster of the tests' own, on a socket in a scratch folder.

use std::env;
use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU32, Ordering};

/// Makes a cluster, tells its folder, and ends it when the tests' end of the pipe is closed:
/// also when they are killed. Nothing of it need outlive the machine: nothing is flushed.
const CLUSTER: &str = r#"
set -eu
folder=$(mktemp -d /tmp/store-postgres.XXXXXX)
server=
trap '[ -z "$server" ] || kill -QUIT "$server" || true; wait; rm -rf "$folder"' EXIT
trap 'exit 1' HUP INT TERM
"$1/initdb" -A trust --no-sync -U postgres -E UTF8 --locale=C "$folder/data" >"$folder/log" 2>&1 ||
    { cat "$folder/log" >&2; exit 1; }
"$1/postgres" -D "$folder/data" -c listen_addresses= -c unix_socket_directories="$folder" \
    -c max_connections=200 -c fsync=off >>"$folder/log" 2>&1 &
server=$!
tries=0
until "$1/pg_isready" -q -h "$folder"; do
    tries=$((tries + 1))
    { kill -0 $server && [ $tries -lt 600 ]; } || { cat "$folder/log" >&2; exit 1; }
    sleep 0.1
done
echo "$folder"
exec 2>/dev/null
cat >/dev/null
"#;

struct Cluster {
    folder: String,
    programs: PathBuf,
    /// Its input is closed when this process ends, whatever ends it.
    _process: Child,
}

/// The address of an empty database; nothing where there is no PostgreSQL.
pub fn database() -> Option<String> {
    static CLUSTER: OnceLock<Option<Cluster>> = OnceLock::new();
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let cluster = CLUSTER.get_or_init(start).as_ref()?;
    let name = format!("t{}", COUNT.fetch_add(1, Ordering::Relaxed));
    let folder = &cluster.folder;
    let made = Command::new(cluster.programs.join("createdb"))
        .args(["-h", folder, "-U", "postgres", "-T", "template0", &name])
        .status()
        .unwrap();
    assert!(made.success(), "no database {name} was made, see above");
    Some(format!(
        "postgres://postgres@localhost/{name}?host={folder}"
    ))
}

fn start() -> Option<Cluster> {
    let Some(programs) = programs() else {
        let in_ci = env::var("CI").is_ok_and(|ci| ci == "true");
        assert!(!in_ci, "no PostgreSQL on this machine: ./test installs it");
        eprintln!("skipped on PostgreSQL: it is not on this machine");
        return None;
    };
    let mut command = as_somebody();
    let mut child = command
        .args(["sh", "-c", CLUSTER, "cluster"])
        .arg(&programs)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .current_dir("/")
        .spawn()
        .unwrap();
    let mut folder = String::new();
    let mut told = BufReader::new(child.stdout.take().unwrap());
    told.read_line(&mut folder).unwrap();
    if folder.is_empty() {
        told.read_to_string(&mut folder).unwrap();
        panic!("the PostgreSQL of the tests did not start, see above");
    }
    Some(Cluster {
        folder: folder.trim().to_owned(),
        programs,
        _process: child,
    })
}

/// The folder with `initdb`: in the path, or where Debian puts it, the latest.
fn programs() -> Option<PathBuf> {
    let path = env::var_os("PATH").unwrap_or_default();
    let in_path = env::split_paths(&path).map(|folder| folder.join("initdb"));
    // A link in the path leads to the folder that has all the programs.
    let in_path = in_path
        .filter_map(|initdb| initdb.canonicalize().ok())
        .next();
    in_path
        .and_then(|initdb| initdb.parent().map(Path::to_path_buf))
        .or_else(|| {
            let mut versions: Vec<(u32, PathBuf)> = fs::read_dir("/usr/lib/postgresql")
                .ok()?
                .filter_map(|entry| {
                    let path = entry.ok()?.path();
                    let version = path.file_name()?.to_str()?.parse().ok()?;
                    Some((version, path.join("bin")))
                })
                .filter(|(_, folder)| folder.join("initdb").is_file())
                .collect();
            versions.sort();
            versions.pop().map(|(_, folder)| folder)
        })
}

/// The server refuses to run as root; Debian's package brings a user for it.
fn as_somebody() -> Command {
    let root = Path::new("/proc/self").exists() && {
        use std::os::unix::fs::MetadataExt;
        fs::metadata("/proc/self").unwrap().uid() == 0
    };
    if root {
        let mut command = Command::new("setpriv");
        command.args([
            "--reuid=postgres",
            "--regid=postgres",
            "--clear-groups",
            "--",
        ]);
        command
    } else {
        Command::new("env")
    }
}
