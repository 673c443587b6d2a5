# shellcheck shell=bash
# What does this machine lack, and how does it get it? Read by ./run and ./test.
# Cheap to call again: nothing is installed that is there.

say() { printf 'dryfit: %s\n' "$*"; }

die() {
    printf 'dryfit: %s\n' "$*" >&2
    exit 1
}

# A clone in another folder then finds its dependencies built.
use_shared_target() {
    export CARGO_TARGET_DIR="${CARGO_TARGET_DIR:-$HOME/.cache/dryfit-target}"
}

# need_rust CARGO_TOML: the compiler, at least as new as the manifest's rust-version.
need_rust() {
    local manifest=$1 wanted found
    local cure='get it from https://rustup.rs, or if you have rustup: rustup update stable'
    wanted=$(sed -n 's/^rust-version *= *"\(.*\)".*/\1/p' "$manifest")
    [[ -n $wanted ]] || die "no rust-version in $manifest"
    # rustup puts the tools here, and a fresh shell may not know yet.
    [[ -d $HOME/.cargo/bin ]] && PATH="$PATH:$HOME/.cargo/bin"
    if ! command -v cargo >/dev/null || ! command -v rustc >/dev/null; then
        die "Rust is missing (need $wanted or later); $cure"
    fi
    # "rustc 1.95.0 (59807616e 2026-04-14)"
    found=$(rustc --version | cut -d' ' -f2)
    found=${found%%-*}
    if [[ $(printf '%s\n' "$wanted" "$found" | sort -V | head -n1) != "$wanted" ]]; then
        die "Rust $found is too old (need $wanted or later); $cure"
    fi
}

# need_rust_tool NAME: formatter or linter of the toolchain.
need_rust_tool() {
    cargo "$1" --version >/dev/null 2>&1 ||
        die "cargo $1 is missing; if you have rustup: rustup component add rustfmt clippy"
}

# need_program PROGRAM PACKAGE WHY: by apt, and only if missing.
need_program() {
    local program=$1 package=$2 why=$3 as_root=()
    command -v "$program" >/dev/null && return
    command -v apt-get >/dev/null ||
        die "$program is missing ($why), and so is apt-get; install $package by hand"
    if [[ $(id -u) != 0 ]]; then
        command -v sudo >/dev/null ||
            die "$program is missing ($why); as root: apt-get install $package"
        as_root=(sudo)
    fi
    say "installing $package ($why)"
    # A stale list of one source needn't stop the install; the install itself decides.
    "${as_root[@]}" apt-get update -q >/dev/null || say "apt-get update had trouble; going on"
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
        apt-get install -q -y --no-install-recommends "$package" >/dev/null ||
        die "apt-get could not install $package; see its message above"
    command -v "$program" >/dev/null || die "$package is installed, but $program is still missing"
}

# Rust hands its objects to the system's C linker.
need_linker() { need_program cc build-essential 'Rust links with it'; }

# need_node PACKAGE_JSON: node with npm, at least as new as the manifest's engines say.
need_node() {
    local manifest=$1 wanted found
    local cure='get it from https://nodejs.org'
    wanted=$(sed -n 's/^ *"node": *">=\([0-9.]*\)".*/\1/p' "$manifest")
    [[ -n $wanted ]] || die "no engines.node in $manifest"
    if ! command -v node >/dev/null || ! command -v npm >/dev/null; then
        die "node with npm is missing (need $wanted or later, to build the page); $cure"
    fi
    # "v20.20.2"
    found=$(node --version)
    found=${found#v}
    if [[ $(printf '%s\n' "$wanted" "$found" | sort -V | head -n1) != "$wanted" ]]; then
        die "node $found is too old (need $wanted or later, to build the page); $cure"
    fi
}

# need_page_packages: what the page is built with, as its lock file names it.
need_page_packages() {
    local installed=web/node_modules/.package-lock.json
    [[ -e $installed && ! web/package-lock.json -nt $installed ]] && return
    say "fetching the packages that the page is built with"
    npm ci --prefix web --no-audit --no-fund --loglevel=error >/dev/null ||
        die "npm could not fetch the page's packages; see its message above"
    touch "$installed"
}

# build_page: into web/dist, from where the server takes it.
build_page() {
    need_page_packages
    npm run build --prefix web --silent -- --logLevel warn ||
        die "the page could not be built; see the message above"
}

# Debian keeps the server's programs out of the path.
has_postgres() {
    command -v initdb >/dev/null || compgen -G '/usr/lib/postgresql/*/bin/initdb' >/dev/null
}

# need_postgres: the database that the store's tests start for themselves, beside SQLite.
need_postgres() {
    has_postgres && return
    need_program pg_ctlcluster postgresql 'the store is tested on it too'
    has_postgres || die 'postgresql is installed, but initdb is still missing'
}

# need_fuzz_http: Python with the library that makes up requests, in a folder of its own. Without
# Python, or the library's registry, the fuzzing is skipped at a desk and fails in CI.
need_fuzz_http() {
    local folder=$HOME/.cache/dryfit-fuzz-http wanted=fuzz/http/requirements.txt
    FUZZ_HTTP_PYTHON=$folder/venv/bin/python
    cmp -s "$wanted" "$folder/installed" && [[ -x $FUZZ_HTTP_PYTHON ]] && return
    say "fetching what makes up requests to the server"
    mkdir -p "$folder"
    if python3 -m venv "$folder/venv" >"$folder/log" 2>&1 &&
        "$FUZZ_HTTP_PYTHON" -m pip install -q --disable-pip-version-check -r "$wanted" \
            >>"$folder/log" 2>&1; then
        cp "$wanted" "$folder/installed"
        return
    fi
    [[ ${CI:-} != true ]] || die "python3 with venv and pip is needed in CI; see $folder/log"
    say "the server is not fuzzed: that needs python3 with venv and pip; see $folder/log"
    return 1
}
