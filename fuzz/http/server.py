"""A server of our own to throw things at: started, filled with jobs, asked what it holds."""

import http.client
import io
import json
import pathlib
import re
import signal
import socket
import struct
import subprocess
import time
import urllib.parse
import zipfile
import zlib

ROOT = pathlib.Path(__file__).resolve().parents[2]

# The server gives up after 60 s, and says so; a longer silence is a hang too.
ANSWERS_WITHIN_S = 65

VALUES = [
    None, "", " ", "?", "0", "-1 m", "3.2 m", "12' 6\"", "1e308", "1e308 m", "NaN", "inf", "-inf m",
    "0.000000001 mm", "99999999999999999999 m", "45 deg", "1/0", "π m", "a\u0000b", "\ud7ff", "x" * 5000,
    0, -1, 0.5, 1e308, -1e308, 5e-324, 2**63, 2**64 - 1, True, [], {}, [[]], ["1 m", "2 m"],
    ["1 m", "2 m", "-3 m"], {"wall": "party"}, {"shape": "flat", "height": "-2 m"}, "imperial", "masonry",
]


class Server:
    """`dryfit serve` on a free port, over a folder of its own."""

    def __init__(self, program, folder):
        self.folder = pathlib.Path(folder)
        self.log = self.folder / "serve.log"
        self.calls = 0
        with open(self.log, "wb") as log:
            words = [program, "serve", "--port", "0", "--data", str(self.folder / "data")]
            self.process = subprocess.Popen(words, stdout=log, stderr=subprocess.STDOUT)
        self.port = self._port()
        self.url = f"http://localhost:{self.port}"

    def _port(self):
        for _ in range(300):
            found = re.search(r"http://127\.0\.0\.1:(\d+)/", self.said())
            if found:
                return int(found[1])
            if self.process.poll() is not None:
                break
            time.sleep(0.1)
        raise SystemExit(f"the server did not start:\n{self.said()}")

    def said(self):
        return self.log.read_text(encoding="utf-8", errors="replace")

    def panics(self):
        """Lines by which the program tells that it panicked, each with the words that follow."""
        lines = self.said().splitlines()
        return [" ".join(lines[at : at + 2]) for at, line in enumerate(lines) if "panicked at" in line]

    def ask(self, method, path, body=None, kind="application/json", headers=()):
        """Status, content type and bytes of an answer; an exception when there is none in time."""
        if isinstance(body, (dict, list)):
            body = json.dumps(body).encode()
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=ANSWERS_WITHIN_S)
        self.calls += 1
        try:
            line.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            line.putheader("Host", f"localhost:{self.port}")
            if body is not None:
                line.putheader("Content-Length", str(len(body)))
                if kind is not None:
                    line.putheader("Content-Type", kind)
            for name, value in headers:
                line.putheader(name, value)
            line.endheaders()
            try:
                if body is not None:
                    line.send(body)
            except (BrokenPipeError, ConnectionResetError):
                pass  # It has refused before the whole of it was sent, and its answer waits.
            answer = line.getresponse()
            return answer.status, answer.headers.get("content-type", ""), answer.read()
        finally:
            line.close()

    def send(self, raw):
        """What comes back for bytes that need not be HTTP; nothing when the server hangs up."""
        self.calls += 1
        with socket.create_connection(("127.0.0.1", self.port), timeout=ANSWERS_WITHIN_S) as line:
            try:
                line.sendall(raw)
                line.shutdown(socket.SHUT_WR)
                parts = []
                while part := line.recv(65536):
                    parts.append(part)
                return b"".join(parts)
            except OSError as error:
                if isinstance(error, TimeoutError):
                    raise
                return b""  # It hung up.

    def get(self, path):
        status, _, body = self.ask("GET", path)
        if status != 200:
            raise SystemExit(f"GET {path} answers {status}: {body[:300]!r}")
        return json.loads(body)

    def post(self, path, body, kind="application/json"):
        status, _, answer = self.ask("POST", path, body, kind)
        if not 200 <= status < 300:
            raise SystemExit(f"POST {path} answers {status}: {answer[:300]!r}")
        return json.loads(answer) if answer else None

    def memory_mb_max(self):
        """The most memory that it held so far; none where the system does not tell."""
        try:
            status = pathlib.Path(f"/proc/{self.process.pid}/status").read_text(encoding="ascii")
        except OSError:
            return None
        return int(re.search(r"VmHWM:\s+(\d+) kB", status)[1]) // 1024

    def close(self):
        """Asks it to end; false when it has to be made to."""
        if self.process.poll() is not None:
            return False
        self.process.send_signal(signal.SIGINT)
        try:
            return self.process.wait(20) == 0
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
            return False


def seeded(server):
    """Begins jobs of several shapes; returns what requests may name, for `hooks.py`."""
    texts = {name: (ROOT / "jobs" / f"{name}.toml").read_text("utf-8") for name in ("metric-flat", "half-filled")}
    flat, half = [server.post("/api/jobs", {"from": "text", "text": text})["id"] for text in texts.values()]
    demo = server.post("/api/jobs", {"from": "demo"})["id"]
    for number in (1, 2):
        edit = {"at": "space.main.noise", "set": f"{29 + number} dB"}
        server.post(f"/api/jobs/{flat}/edits", {"op": f"seed-{number}", "base": number, "edits": [edit]})
    picture = server.post(f"/api/jobs/{flat}/photographs?op=seed", png(8, 8), "application/octet-stream")
    table = b"id,name,width\none,One,300 mm\ntwo,Two,-5 mm\n"
    read = server.post("/api/catalogue/read?kind=display&name=t.csv", table, "text/csv")
    solve = server.post(f"/api/jobs/{half}/print", {"paper": "a4"})["key"]
    jobs = {job: contents(server, job) for job in (flat, half, demo)}
    def every(name):
        return sorted({one for job in jobs.values() for one in job[name]})

    return {
        "jobs": jobs,
        # The demo house is the slowest to prove.
        "weighted_jobs": [flat] * 3 + [half] * 3 + [demo],
        "spaces": every("spaces"),
        "places": every("places"),
        "bodies": every("bodies"),
        "walls": every("walls"),
        "values": VALUES,
        "documents": list(texts.values()),
        "checks": [check["id"] for check in server.get("/api/checks")][:12],
        "kinds": [kind["kind"] for kind in server.get("/api/catalogue")],
        "photographs": [picture["hash"]],
        "tables": [read["key"]],
        "solves": [solve],
    }


def contents(server, job):
    """Ids and paths of a job."""
    path = f"/api/jobs/{urllib.parse.quote(job)}"
    document = server.get(path)["document"]
    spaces = [space["id"] for space in document.get("space", [])]
    scenes = [server.get(f"{path}/spaces/{space}/scene") for space in spaces]
    findings = server.get(f"{path}/findings")["findings"]
    return {
        "spaces": spaces,
        "places": sorted(places(document)),
        "bodies": sorted({body["id"] for scene in scenes for body in scene["bodies"]}),
        "walls": sorted({wall["id"] for scene in scenes for wall in scene["walls"]}),
        "findings": [finding["key"] for finding in findings][:40],
        "sheets": [sheet["id"] for sheet in server.get(f"{path}/sheets")],
    }


def places(value, path=""):
    """Every path of a document; things with an id stand under it."""
    if path:
        yield path
    dot = f"{path}." if path else ""
    if isinstance(value, dict):
        for name, one in value.items():
            yield from places(one, f"{dot}{name}")
    elif isinstance(value, list):
        for index, one in enumerate(value):
            name = one.get("id", index) if isinstance(one, dict) else index
            yield from places(one, f"{dot}{name}")


def png(width, height, rows=None):
    """A grey picture that says it has that size. With `rows`, it holds no more than so many."""

    def chunk(name, data):
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    packer = zlib.compressobj(9)
    line = bytes(1 + width)
    data = b"".join(packer.compress(line) for _ in range(height if rows is None else rows)) + packer.flush()
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def zipped(entries):
    """An archive of names and bytes."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in entries:
            archive.writestr(name, data)
    return file.getvalue()
