"""Starts a server, throws generated requests and junk at it, and tells what it answered badly.

Run by `./run`, which says how.
"""

import argparse
import json
import os
import pathlib
import subprocess
import sys
import tempfile
import time

from junk import Junk
from server import ROOT, Server, seeded

HERE = pathlib.Path(__file__).resolve().parent

# Signing everybody out would leave nothing to do for the requests behind it.
LEFT_OUT = "/api/sign-out-everywhere"

CHECKS = "not_a_server_error,status_code_conformance,content_type_conformance,response_schema_conformance"

# Calls of each route, by phase: values at the edges of what is described, and random ones.
QUICK = ["--phases", "fuzzing", "--max-examples", "2"]
USUAL = ["--phases", "fuzzing", "--max-examples", "8"]
LONG = ["--phases", "coverage,fuzzing", "--max-examples", "150"]

# Of the junk that takes long, a quick run throws one in so many; which, the seed says.
QUICK_ONE_IN = 8

# More than any answer needs; a file of some kilobytes that unpacks to this is one made to do harm.
MEMORY_MB_MAX = 1500


def main():
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("program", help="the dryfit command")
    size = words.add_mutually_exclusive_group()
    size.add_argument("--quick", action="store_true", help="a share of it, in less than a minute")
    size.add_argument("--long", action="store_true", help="many minutes instead of two")
    words.add_argument("--seed", type=int, default=1, help="what the random requests follow from")
    asked = words.parse_args()
    begun = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="dryfit-fuzz-") as folder:
        server = Server(asked.program, folder)
        try:
            bad = fuzzed(server, asked)
        finally:
            ended_well = server.close()
        bad += [f"the log tells of a panic: {panic}" for panic in server.panics()]
        if not ended_well:
            bad.append("the server did not end well when it was asked to")
        print(f"fuzz: {server.calls} calls by hand besides the generated ones, {time.monotonic() - begun:.1f} s")
        if bad:
            print(f"fuzz: {len(bad)} bad, with --seed {asked.seed}:")
            for one in bad:
                print(f"  {one[:600]}")
            print("the server said at last:\n" + server.said()[-2000:])
    return 1 if bad else 0


def fuzzed(server, asked):
    """What was answered badly, a line each."""
    bad = []
    description = server.get("/api/openapi.json")
    known = seeded(server)
    known_file = server.folder / "known.json"
    known_file.write_text(json.dumps(known), encoding="utf-8")
    description_file = server.folder / "openapi.json"
    description_file.write_text(json.dumps(description), encoding="utf-8")
    if generated(server, asked, description_file, known_file) != 0:
        bad.append("generated requests: see above")
    operations = [
        (method.upper(), path, operation)
        for path, methods in description["paths"].items()
        for method, operation in methods.items()
        if path != LEFT_OUT
    ]
    junk = Junk(server, known, operations, asked.long, QUICK_ONE_IN if asked.quick else 1, asked.seed)
    junk.run()
    slowest_s, slowest = junk.slowest
    memory_mb = server.memory_mb_max()
    print(f"junk: slowest answer {slowest_s:.1f} s ({slowest}); most memory {memory_mb} MB")
    bad += junk.bad
    if memory_mb is not None and memory_mb > MEMORY_MB_MAX:
        bad.append(f"the server held {memory_mb} MB; at most {MEMORY_MB_MAX} MB are right")
    if server.process.poll() is None and server.ask("GET", "/api/me")[0] != 200:
        bad.append("the server does not answer any more")
    return bad


def generated(server, asked, description, known):
    """Requests generated from the server's own description; zero when each was answered well."""
    command = [
        sys.executable, "-m", "schemathesis.cli", "run", str(description), "--url", server.url,
        "--seed", str(asked.seed), "--generation-database", "none", "--no-shrink", "--continue-on-failure",
        "--checks", CHECKS, "--request-timeout", "65", "--exclude-path", LEFT_OUT, "--warnings", "off",
        "--no-color", *(LONG if asked.long else QUICK if asked.quick else USUAL),
    ]
    env = {
        **os.environ,
        "SCHEMATHESIS_HOOKS": "hooks",
        "PYTHONPATH": str(HERE),
        "DRYFIT_FUZZ_KNOWN": str(known),
        "PYTHONDONTWRITEBYTECODE": "1",
    }
    # Its caches and reports belong to the scratch folder.
    return subprocess.run(command, env=env, cwd=server.folder, check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
