"""What no description generates: broken HTTP, broken texts, and files made to do harm."""

import json
import struct
import threading
import time
import zlib

from server import png, zipped

BYTES = "application/octet-stream"
DEEP = 100_000

# Looking for the mistyped wall is bounded; this leaves room for a debug build on a busy machine.
SURVEY_WITHIN_S = 30
XLSX_SHEET = "xl/worksheets/sheet1.xml"
SHEET_SPACE = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
NAMES_SPACE = 'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"'


class Junk:
    """Throws, and notes what was answered badly."""

    def __init__(self, server, known, operations, long, one_in=1, seed=1):
        self.server, self.known, self.operations, self.long = server, known, operations, long
        self.one_in, self.seed = one_in, seed
        self.flat, self.half, self.demo = known["jobs"]
        self.bad = []
        self.slowest = (0.0, "")

    def some(self, of):
        """All of a list or of named things; in a quick run a share, which the seed chooses."""
        if isinstance(of, dict):
            return dict(self.some(list(of.items())))
        return [one for at, one in enumerate(of) if (at + self.seed) % self.one_in == 0]

    def throw(self, name, method, path, body=None, kind="application/json", headers=(), accept=None,
              within_s=None):
        """One request. It has to be answered in time, without a fault, and in words if refused."""
        begun = time.monotonic()
        try:
            status, media, answer = self.server.ask(method, path, body, kind, headers)
        except OSError as error:
            return self.note(name, f"{method} {path[:120]}: no answer: {error!r}")
        except Exception as error:  # What is no HTTP is a fault too.
            return self.note(name, f"{method} {path[:120]}: {error!r}")
        finally:
            self.slowest = max(self.slowest, (time.monotonic() - begun, name))
        took_s = time.monotonic() - begun
        if within_s and took_s > within_s:
            self.note(name, f"{method} {path[:120]} takes {took_s:.1f} s, not {within_s} s")
        if status >= 500 or status == 408:
            return self.note(name, f"{method} {path[:120]} answers {status}: {answer[:300]!r}")
        if accept and status not in accept:
            return self.note(name, f"{method} {path[:120]} answers {status}, not {accept}: {answer[:300]!r}")
        if status >= 400 and path.startswith("/api/"):
            self.in_words(name, f"{method} {path[:120]} answers {status}", media, answer)
        return status, answer

    def in_words(self, name, what, media, answer):
        try:
            says = json.loads(answer)
            if not media.startswith("application/json") or not says["message"] or "hint" not in says:
                raise ValueError("it has no message or no hint")
        except (ValueError, KeyError, TypeError) as error:
            self.note(name, f"{what}, but not in words ({error}): {answer[:200]!r}")

    def note(self, name, what):
        self.bad.append(f"{name}: {what}")

    def run(self, only=()):
        for part in (
            self.broken_http, self.odd_paths, self.broken_json, self.odd_edits, self.many_edits,
            self.surveys, self.documents, self.tables, self.bundles, self.pictures, self.entries, self.sharing,
            self.crowd,
        ):
            if only and part.__name__ not in only:
                continue
            begun = time.monotonic()
            calls, bad = self.server.calls, len(self.bad)
            try:
                part()
            except (OSError, SystemExit) as error:
                self.note(part.__name__, f"went no further: {error}")
            if self.server.process.poll() is not None:
                self.note(part.__name__, f"the server ended with {self.server.process.returncode}")
            print(
                f"junk {part.__name__}: {self.server.calls - calls} calls, {len(self.bad) - bad} bad, "
                f"{time.monotonic() - begun:.1f} s",
                flush=True,
            )
            if self.server.process.poll() is not None:
                return

    def broken_http(self):
        host = f"Host: localhost:{self.server.port}\r\n".encode()
        get = b"GET /api/me HTTP/1.1\r\n" + host
        post = b"POST /api/jobs HTTP/1.1\r\n" + host + b"Content-Type: application/json\r\n"
        for name, raw in {
            "nothing": b"",
            "noise": bytes(range(256)) * 40,
            "zeros": bytes(5000),
            "an encrypted greeting": b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + bytes(500),
            "HTTP/2": b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n" + bytes(100),
            "HTTP/0.9": b"GET /api/me\r\n",
            "HTTP/9.9": b"GET /api/me HTTP/9.9\r\n" + host + b"\r\n",
            "no host": b"GET /api/me HTTP/1.1\r\n\r\n",
            "two hosts": get + host + b"\r\n",
            "another host": b"GET /api/me HTTP/1.1\r\nHost: \xff\xfe\r\n\r\n",
            "another machine": b"GET http://elsewhere.example/api/me HTTP/1.1\r\n" + host + b"\r\n",
            "bytes in the path": b"GET /api/jobs/\xff\xfe\xfd HTTP/1.1\r\n" + host + b"\r\n",
            "a long path": b"GET /" + b"a" * 200_000 + b" HTTP/1.1\r\n" + host + b"\r\n",
            "a long header": get + b"X: " + b"a" * 1_000_000 + b"\r\n\r\n",
            "many headers": get + b"X: a\r\n" * 5000 + b"\r\n",
            "a long cookie": get + b"Cookie: " + b"dryfit=a; " * 5000 + b"\r\n\r\n",
            "bytes in a cookie": get + b"Cookie: \xff\x80=\xfe\r\nOrigin: \xff\r\n\r\n",
            "a path that is a star": b"OPTIONS * HTTP/1.1\r\n" + host + b"\r\n",
            "a tunnel": b"CONNECT localhost:1 HTTP/1.1\r\n" + host + b"\r\n",
            "a method of junk": b"\xc3\xbc /api/me HTTP/1.1\r\n" + host + b"\r\n",
            "a length below nothing": post + b"Content-Length: -1\r\n\r\n{}",
            "a huge length": post + b"Content-Length: 99999999999999999999\r\n\r\n{}",
            "two lengths": post + b"Content-Length: 2\r\nContent-Length: 3\r\n\r\n{}}",
            "a body cut short": post + b"Content-Length: 500\r\n\r\n{}",
            "a length and chunks": post + b"Content-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
            "chunks of no size": post + b"Transfer-Encoding: chunked\r\n\r\nzz\r\n{}\r\n0\r\n\r\n",
            "a chunk of all sizes": post + b"Transfer-Encoding: chunked\r\n\r\nffffffffffffffff\r\n{}",
            "chunks cut short": post + b"Transfer-Encoding: chunked\r\n\r\n5\r\n{}",
            "packed": post + b"Content-Encoding: gzip\r\nContent-Length: 2\r\n\r\n\x1f\x8b",
            "waiting to go on": post + b"Expect: 100-continue\r\nContent-Length: 2\r\n\r\n{}",
        }.items():
            try:
                answer = self.server.send(raw)
            except OSError as error:
                self.note(name, f"{error!r}")
                continue
            if answer[9:10] == b"5":
                self.note(name, f"answers {answer[:200]!r}")

    def odd_paths(self):
        odd = [
            "%00", "%ff", "%c3%28", "..", "%2e%2e%2f%2e%2e%2fetc%2fpasswd", "..%2f..%2fdryfit.db", "%0d%0aX:%20a",
            "a%2fb", "%25", "%", "%zz", "%F0%9F%8F%A0", "%e2%80%ae", "'%20OR%201=1--", "~~", "-1", "0",
            "18446744073709551615", "18446744073709551616", "1e3", "NaN", "a" * 6000, "%20",
        ]
        for number, (method, path, operation) in enumerate(self.operations):
            names = [one["name"] for one in operation.get("parameters", []) if one["in"] == "path"]
            # Each on each in a long run; a third, each time another, in a short one.
            for place, value in enumerate(odd):
                if not names or (not self.long and (number + place) % 3):
                    continue
                for name in names:
                    filled = path.replace(f"{{{name}}}", value)
                    filled = filled.replace("{job}", self.flat).replace("{space}", "main")
                    filled = filled.replace("{kind}", "display").replace("{", "").replace("}", "")
                    body = {} if "requestBody" in operation else None
                    self.throw(f"odd path {value[:30]}", method, filled, body)
        for job in ["%00", "a%00b"]:
            self.throw("a job of nothing", "GET", f"/api/jobs/{job}/findings?revision=1", accept={404})
            self.throw("a job of nothing", "POST", f"/api/jobs/{job}/prove",
                       {"base": 1, "client": "a", "seq": 1}, accept={404})
        for query in ["?", "?&&&=", "?revision=%ff", "?revision=1&revision=2", "?revision=-1", "?revision=1e3",
                      "?revision=18446744073709551616", "?revision[]=1", "?" + "a=b&" * 5000, "?revision=%"]:
            self.throw(f"query {query[:30]}", "GET", f"/api/jobs/{self.flat}/findings{query}")

    def broken_json(self):
        bodies = {
            "empty": b"",
            "no UTF-8": b'{"op":"\xff\xfe"}',
            "a mark before it": b"\xef\xbb\xbf{}",
            "UTF-16": '{"op":"a"}'.encode("utf-16"),
            "arrays in arrays": b"[" * DEEP,
            "closed arrays in arrays": b"[" * DEEP + b"]" * DEEP,
            "objects in objects": b'{"edits":' * DEEP,
            "a huge number": b'{"base":1e999999,"seq":1e999999,"op":"a","client":"a"}',
            "a long number": b'{"base":' + b"9" * DEEP + b',"op":"a"}',
            "no number": b'{"base":NaN,"op":"a"}',
            "no end": b'{"base":Infinity,"op":"a"}',
            "less than nothing": b'{"base":-1,"op":"a","client":"a","seq":-1}',
            "more than there are": b'{"base":18446744073709551616,"op":"a","client":"a","seq":1}',
            "the last number": b'{"base":18446744073709551615,"op":"a","client":"a","seq":18446744073709551615}',
            "half a letter": b'{"op":"\\ud800","base":1,"client":"\\ud800","seq":1}',
            "a letter of nothing": b'{"op":"\\u0000","base":1,"client":"\\u0000","seq":1,"tick":"\\u0000","done":true}',
            "a key twice": b'{"op":"a","op":"b","base":1,"base":2}',
            "a list": b"[]",
            "nothing": b"null",
            "much behind it": b"{}" + b" " * 100_000 + b"}",
        }
        kinds = [None, "", "text/plain", "application/xml", "multipart/form-data; boundary=x", "a" * 3000,
                 "application/json; charset=utf-16", "application/x-www-form-urlencoded", "application/json;;;="]
        for method, path, operation in self.operations:
            if "application/json" not in operation.get("requestBody", {}).get("content", {}):
                continue
            filled = self.filled(path)
            for name, body in bodies.items():
                self.throw(name, method, filled, body, accept={400, 404, 409, 413, 415, 422, 401, 204, 200, 201})
            for kind in kinds:
                self.throw(f"marked {kind}"[:40], method, filled, b"{}", kind)

    def filled(self, path):
        for name, value in {"job": self.flat, "space": "main", "contested": "1", "revision": "1",
                            "kind": "display", "id": "one", "key": "none", "hash": "none"}.items():
            path = path.replace(f"{{{name}}}", value)
        return path

    def tried(self, name, edits=(), moves=(), job=None, accept=None):
        """Edits and moves, to be proved and to be drawn; nothing is saved."""
        job = job or self.flat
        asked = {"base": 1, "edits": list(edits), "moves": list(moves), "client": "junk", "seq": time.monotonic_ns()}
        self.throw(f"prove {name}", "POST", f"/api/jobs/{job}/prove", asked, accept=accept)
        self.throw(f"scene {name}", "POST", f"/api/jobs/{job}/spaces/main/scene", asked, accept=accept)

    def odd_edits(self):
        nested = "x"
        for _ in range(100):
            nested = [nested]
        keyed = {"a": 1}
        for _ in range(100):
            keyed = {"a": keyed}
        values = self.known["values"] + [
            nested, keyed, ["1 m"] * 20_000, {str(key): key for key in range(5000)}, "1 m " * 100_000,
            "9" * 5000 + " m", "1e-400 m", "5 m ± 1e308 m", "0x10 m", "١ m", "1\n[job]\nname = 2", '"""', "\\", "#",
        ]
        place = [
            "space.main.walls.party.length", "space.main.ceiling.height", "space.main.noise", "job.name",
            "item.tv.on", "kit", "space", "space.main.walls", "space.main.diagonals", "rules.picture_angle_max",
            "site.latitude", "format", "space.main.opening.windows.size",
        ]
        for number, at in enumerate(place):
            for turn, value in enumerate(values):
                if self.long or (number + turn + self.seed) % (4 * self.one_in) == 0:
                    self.tried("odd value", [{"at": at, "set": value}])
        for at in ["", ".", "..", "a" * 100_000, ".".join("a" * 10_000), "space.main.walls.999999999999999999999",
                   "space.main.walls.-1", "space.main.walls.0.0.0.0", "job.\u0000", "job.\"name\"", "job.na me",
                   "__proto__", "space[0]", "space.main.walls.party.length.x", "ſpace", "job.name\n", "space.*"]:
            if self.one_in > 1 and (len(at) + self.seed) % self.one_in:
                continue
            for value in ["1 m", None, {"a": 1}]:
                self.tried(f"odd place {at[:20]}", [{"at": at, "set": value}])
        for far in [1e308, -1e308, 5e-324, 1e9, -0.0]:
            for move in [{"of": "item:tv", "wall": "party", "along_m": far, "height_m": far},
                         {"of": "item:tv", "wall": "none", "along_m": far, "height_m": far},
                         {"of": "seat:sofa-a", "x": far, "y": far, "height_m": far},
                         {"of": "opening:windows", "x": far, "y": far}, {"of": "\u0000", "x": far, "y": far}]:
                self.tried("far move", moves=[move])
        for text in self.some(self.known["values"]):
            if isinstance(text, str):
                for at in place:
                    self.throw("typed", "POST", f"/api/jobs/{self.flat}/field", {"at": at, "text": text})
        # The same, saved: on a job of its own, so that the others stay as they are.
        job = self.begun(self.known["documents"][0])
        for number, at in enumerate(place):
            for turn, value in enumerate(values[:: 1 if self.long else 5 * self.one_in]):
                asked = {"op": f"odd-{number}-{turn}", "base": 1, "edits": [{"at": at, "set": value}]}
                self.throw("odd value, saved", "POST", f"/api/jobs/{job}/edits", asked)
        for path in ["", "/findings", "/history", "/file", "/spaces/main/scene", "/spaces/main/walk", "/sheets"]:
            self.throw("a job of odd values", "GET", f"/api/jobs/{job}{path}")

    def begun(self, text):
        return self.server.post("/api/jobs", {"from": "text", "text": text})["id"]

    def many_edits(self):
        place = "space.main.walls.party.length"
        many = 10_000 // self.one_in
        self.tried("many edits of one place", [{"at": place, "set": "5.40 m"}] * many)
        self.tried("a thousand edits", [{"at": place, "set": "5.40 m"}] * (1000 // self.one_in))
        self.tried("many edits of no place", [{"at": f"nothing.{one}", "set": 1} for one in range(many)])
        self.tried("many fixtures", [
            {"at": f"space.main.fixture.f{one}", "set": {"kind": "socket"}} for one in range(many)])
        self.tried("many moves", moves=[{"of": "item:tv", "wall": "party", "along_m": 2.5, "height_m": 1.2}] * many)
        asked = {"op": "many", "base": 1, "edits": [{"at": place, "set": f"5.4{one % 10} m"} for one in range(many)]}
        job = self.begun(self.known["documents"][0])
        self.throw("many edits, saved", "POST", f"/api/jobs/{job}/edits", asked)
        for path in ["", "/findings", "/history"]:
            self.throw("a job of many edits", "GET", f"/api/jobs/{job}{path}")

    def surveys(self):
        """Rooms of many walls that do not close: whose length is wrong is looked for, within bounds."""
        surveys = {
            "60 walls, one mistyped": mistyped(comb(60)),
            "24 walls, each swapped with its neighbour": swapped(comb(24)),
        }
        if self.one_in == 1:
            surveys["60 walls, each swapped with its neighbour"] = swapped(comb(60))
            surveys["60 walls, each a little off"] = [
                (length + 0.003 * (at % 7 - 3), turn) for at, (length, turn) in enumerate(comb(60))]
        for name, walls in surveys.items():
            lines = "".join(
                f'  {{ id = "w{at}", length = "{length:.3f} m"{", corner = " + turn if turn else ""} }},\n'
                for at, (length, turn) in enumerate(walls))
            job = self.begun(f'format = 1\n[job]\nname = "Junk"\n[[space]]\nid = "main"\nwalls = [\n{lines}]\n')
            for path in ["/spaces/main/walk", "/findings", "/spaces/main/scene"]:
                self.throw(f"survey of {name}", "GET", f"/api/jobs/{job}{path}", accept={200},
                           within_s=SURVEY_WITHIN_S)

    def documents(self):
        head = 'format = 1\n[job]\nname = "Junk"\n'
        room = '[[space]]\nid = "main"\nwalls = [\n'
        walls = "".join(f'{{ id = "w{one}", length = "1 m", corner = "90 deg" }},\n' for one in range(2000))
        texts = {
            "no format": "",
            "another format": "format = 99999999999999999999\n",
            "letters of nothing": head + "\u0000",
            "arrays in arrays": head + "a = " + "[" * DEEP,
            "tables in tables": head + "a = " + "{a=" * DEEP,
            "a long dotted key": head + ".".join("a" * DEEP) + " = 1\n",
            "a long table name": head + "[" + ".".join("a" * DEEP) + "]\n",
            "a long string": head + 'b = "' + "a" * 4_000_000 + '"\n',
            "an open string": head + 'b = """' + "a" * 1_000_000,
            "many tables": head + "[[space]]\n" * 100_000,
            "many keys": head + "".join(f"a{one} = 1\n" for one in range(100_000)),
            "a name twice": head + '[[space]]\nid = "a"\n[[space]]\nid = "a"\n',
            "odd numbers": head + "[site]\nlatitude = nan\nlongitude = -inf\n",
            "a room of many walls": head + room + walls + "]\n",
            "many rooms": head + "".join(f'[[space]]\nid = "r{one}"\n' for one in range(2000)),
            "many seats": head + '[[space]]\nid = "main"\n' + "".join(
                f'[[space.seat]]\nid = "s{one}"\n' for one in range(2000)),
            "many items": head + '[[kit.loudspeaker]]\nid = "l"\n[[space]]\nid = "main"\n' + "".join(
                f'[[item]]\nid = "i{one}"\nis = "l"\nspace = "main"\n' for one in range(1000)),
            "odd ids": head + '[[space]]\nid = "../../etc"\n[[space]]\nid = "a b\\u0000"\n',
            "a loop": head + '[[space]]\nid = "a"\nin = "a"\nspace = "a"\n',
        }
        for name, text in self.some(texts).items():
            begun = time.monotonic()
            thrown = self.throw(f"document with {name}", "POST", "/api/jobs", {"from": "text", "text": text})
            self.throw(f"file with {name}", "POST", "/api/import", text.encode(), BYTES)
            if thrown and thrown[0] == 201:
                job = json.loads(thrown[1])["id"]
                for path in ["", "/findings", "/sheets", "/spaces/main/scene", "/spaces/main/walk"]:
                    self.throw(f"job with {name}", "GET", f"/api/jobs/{job}{path}")
            if time.monotonic() - begun > 5:
                print(f"  {name}: {time.monotonic() - begun:.1f} s", flush=True)
        for name in ["", " ", "a" * 1_000_000, "\u0000", "\u202e", "../..", "\n"]:
            for length in self.some(["1e308 m", "-1 m", "0", "", "1" * 10_000, "5 m"]):
                self.throw("blank", "POST", "/api/jobs", {
                    "from": "blank", "name": name, "room": name, "lengths": [length] * 4, "height": length,
                    "units": "metric"})
        for body in [b"", b"\xff" * 1000, bytes(100_000), b"PK", b"PK\x03\x04", b"\xef\xbb\xbfformat = 1\n"]:
            self.throw("file of junk", "POST", "/api/import", body, BYTES, accept={422})

    def tables(self):
        path = "/api/catalogue/read?kind=display"
        def book(sheet, more=()):
            return zipped([*workbook(), (XLSX_SHEET, sheet), *more])

        def cells(rows):
            return f"<worksheet {SHEET_SPACE}><sheetData>{rows}</sheetData></worksheet>".encode()

        def cell(at):
            return f'<row r="1"><c r="{at}" t="str"><v>id</v></c></row>'

        blanks = b" " * 150_000_000
        laughs = "".join(f'<!ENTITY l{one} "{f"&l{one - 1};" * 10 if one else "lol"}">' for one in range(12))
        tables = {
            "nothing": b"",
            "zeros": bytes(1000),
            "one row of many columns": b"," * 1_000_000,
            "many rows": b"a,b\n" * 1_000_000,
            "an open quote": b'"' + b"a" * 5_000_000,
            "UTF-16": "id,name\na,b\n".encode("utf-16"),
            "half UTF-16": b"\xff\xfea",
            "a table of formulas": b"id,name\n=cmd(),@SUM(1)\n",
            "a workbook of blanks": book(blanks),
            "a workbook of one far cell": book(cells(cell("XFD1048576"))),
            "a workbook of two cells far apart": book(cells(cell("A1") + cell("XFD1048576"))),
            "a workbook of a far row": book(cells(cell("A1") + cell("A1048576"))),
            "a workbook of no cell": book(cells('<row><c r="ZZZZZZZZ99999999999999999"/></row>')),
            "a workbook of odd sizes": book(
                f'<worksheet {SHEET_SPACE}><dimension ref="A1:XFD1048576"/><sheetData/></worksheet>'.encode()),
            "a workbook that says it is large": book(
                cells(cell("A1")),
                [("xl/sharedStrings.xml", f'<sst {SHEET_SPACE} count="4294967295" uniqueCount="4294967295"/>')]),
            "a workbook that repeats itself": book(
                f"<!DOCTYPE a [{laughs}]><worksheet {SHEET_SPACE}><sheetData><row><c t=\"str\"><v>&l11;</v></c></row>"
                "</sheetData></worksheet>".encode()),
            "tags in tags": book(f"<worksheet {SHEET_SPACE}>".encode() + b"<a>" * 500_000),
            "no text that is shared": book(cells('<row><c r="A1" t="s"><v>4294967295</v></c></row>')),
            "a merged sheet": book(
                f'<worksheet {SHEET_SPACE}><sheetData>{cell("A1")}</sheetData><mergeCells>'
                '<mergeCell ref="A1:XFD1048576"/></mergeCells></worksheet>'.encode()),
            "an archive of no workbook": zipped([("a", b"a")]),
            "an archive cut short": zipped([("a", b"a" * 1000)])[:60],
            "an archive of many": zipped([(f"{one}", b"") for one in range(20_000)]),
        }
        for name, body in self.some(tables).items():
            self.throw(name, "POST", path, body, BYTES, accept={200, 413, 422})
        self.throw("a large table", "POST", path, bytes(21_000_000), BYTES, accept={413})
        table = self.server.post(f"{path}&name=a", b"id,name\na,b\n", "text/csv")["key"]
        for index in [0, 2, 10**6, 2**32, 2**63, 2**64 - 1]:
            for fact in self.some([None, "id", "name", "none", "", "cutout.9", "a" * 10_000]):
                columns = [{"index": index, "fact": fact, "unit": "parsec"}] * 2
                asked = {"key": table, "kind": "display", "columns": columns}
                self.throw("odd columns", "POST", "/api/catalogue/import", asked)
        asked = {"key": table, "kind": "display", "columns": [{"index": 0, "fact": "id"}] * 10_000}
        self.throw("many columns", "POST", "/api/catalogue/import", asked)

    def bundles(self):
        manifest = b'{"format":1,"job":"a","revision":1,"sha256":"","history":false,"photographs":[]}'
        lying = bytearray(zipped([("manifest.json", manifest), ("job.toml", b"format = 1\n")]))
        for at in range(len(lying) - 4):
            # The sizes in the list at the end, as large as they can be said.
            if lying[at : at + 4] == b"PK\x01\x02":
                lying[at + 20 : at + 28] = b"\xfe\xff\xff\xff" * 2
        secret = bytearray(zipped([("manifest.json", manifest)]))
        secret[6] |= 1
        photograph = "photographs/" + "0" * 64
        bundles = {
            "nothing in it": zipped([]),
            "no manifest": zipped([("job.toml", b"format = 1\n")]),
            "a manifest of junk": zipped([("manifest.json", b"\xff"), ("job.toml", b"")]),
            "a deep manifest": zipped([("manifest.json", b"[" * DEEP), ("job.toml", b"")]),
            "a wrong hash": zipped([("manifest.json", manifest), ("job.toml", b"format = 1\n")]),
            "a large manifest": zipped([("manifest.json", b" " * 200_000_000)]),
            "a large history": zipped([("manifest.json", manifest), ("history.json", b" " * 200_000_000)]),
            "a large photograph": zipped([("manifest.json", manifest), (photograph, bytes(100_000_000))]),
            "many large ones": zipped(
                [("manifest.json", manifest)] + [(f"photographs/{one:064x}", bytes(3_000_000)) for one in range(40)]),
            "a way out": zipped([("../../../etc/passwd", b"a")]),
            "a whole path": zipped([("/etc/passwd", b"a")]),
            "letters of nothing": zipped([("manifest.json\u0000.png", b"a")]),
            "many": zipped([(f"photographs/{one:064x}", b"") for one in range(10_000)]),
            "sizes that lie": bytes(lying),
            "an entry with a password": bytes(secret),
            "its end alone": b"PK\x03\x04" + b"PK\x05\x06" + b"\xff" * 18,
            "an archive in an archive": zipped([("manifest.json", zipped([("manifest.json", bytes(10**6))]))]),
        }
        for name, body in self.some(bundles).items():
            self.throw(f"bundle of {name}", "POST", "/api/import", body, BYTES, accept={413, 422})

    def pictures(self):
        path = f"/api/jobs/{self.half}/photographs?op="
        small = png(4, 4)
        profile = zlib.compress(bytes(100_000_000), 9)
        told = b"iCCP" + b"a\0\0" + profile
        text = struct.pack(">I", len(told) - 4) + told + struct.pack(">I", zlib.crc32(told))
        jpeg_head = b"\xff\xd8\xff\xc0\x00\x11\x08\xff\xff\xff\xff\x03\x01\x22\x00\x02\x11\x01\x03\x11\x01"
        exif = b"Exif\0\0II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\xff\xff\xff\xff\x08\0\0\0\x08\0\0\0"
        pictures = {
            "nothing": b"",
            "a huge claim": claimed(2**31 - 1, 2**31 - 1),
            "no size": claimed(0, 0),
            "long and thin": claimed(20_000, 1),
            "large, its data left out": claimed(19_999, 19_999),
            "large, of nothing": png(4_000, 4_000),
            "a side too long": png(30_000, 10),
            "cut short": small[:-20],
            "bent": small[:45] + b"\xff\xff\xff" + small[48:],
            "a profile that unpacks to much": small[:33] + text + small[33:],
            "a JPEG's head alone": jpeg_head,
            "a JPEG of nothing": b"\xff\xd8\xff\xd9",
            "odd notes of a camera": b"\xff\xd8\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif + jpeg_head[2:],
            "a GIF": b"GIF89a\xff\xff\xff\xff\x80\0\0" + bytes(50),
            "a BMP": b"BM" + struct.pack("<IIIIiiHH", 0xFFFFFFFF, 0, 54, 40, -(2**31), -(2**31), 1, 24) + bytes(60),
            "a TIFF": b"II*\0\xff\xff\xff\xff",
            "a WebP": b"RIFF\xff\xff\xff\xffWEBPVP8X\x0a\0\0\0\0\0\0\0\xff\xff\xff\xff\xff\xff",
            "a QOI": b"qoif\xff\xff\xff\xff\xff\xff\xff\xff\x03\0",
            "a drawing": b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
        }
        for name, body in self.some(pictures).items():
            self.throw(f"picture of {name}", "POST", f"{path}{name.replace(' ', '-')}&keep_location=true", body, BYTES,
                       accept={201, 413, 422})
        self.throw("a large picture", "POST", f"{path}l", bytes(31_000_000), BYTES, accept={413})
        for query in ["a%00b", "%ff", "", "a" * 6000, "x&pinned=nothing.there", "y&pinned=%00", "z&caption=" + "a" * 6000]:
            self.throw("odd words on a picture", "POST", f"{path}{query}", small, BYTES)

    def entries(self):
        for kind in ["display", "none", "", "job", "kit"]:
            for entry in ["a", "a.b", "a%20b", "%00", "..", "%2e%2e", "a" * 3000, "%ff", "=1+1"]:
                path = f"/api/catalogue/{kind}/{entry}"
                for facts in self.some([{}, {"name": "=cmd()"}, {"name": "\u0000"}, {"id": "b"}, {"width": [[[]]]},
                              {"width": "1e308 m"}, {"a" * 10_000: 1}, {str(one): one for one in range(2000)}]):
                    self.throw("entry", "PUT", path, {"facts": facts})
                self.throw("entry", "DELETE", path)
        for query in ["kind=display&as=csv", "kind=display&as=xlsx", "kind=none&as=csv", "kind=display&as=exe"]:
            self.throw("export", "GET", f"/api/catalogue/export?{query}")

    def sharing(self):
        for code in ["", "000000", "0" * 100_000, "\u0000", "١٢٣٤٥٦", "1e5"]:
            for device in ["", "a" * 100_000, "\u0000", "\u202e", "Ann's phone"]:
                self.throw("pairing", "POST", "/api/pair", {"code": code, "device": device})
        for cookie in ["", ";;;=", "dryfit", "dryfit=", "dryfit=" + "a" * 50_000, "__Host-dryfit=%ff", '="'] :
            self.throw("cookie", "GET", "/api/me", headers=[("Cookie", cookie)], accept={200, 431})
            self.throw("cookie", "POST", "/api/sign-out", headers=[("Cookie", cookie)])
        for origin in ["null", "http://elsewhere.example", "http://", "a" * 5000, "http://localhost"]:
            self.throw("origin", "POST", "/api/jobs", {"from": "demo"}, headers=[("Origin", origin)], accept={403})
        for tick in ["", "\u0000", "a" * 100_000, "\u202e"]:
            for at in ["", "now", "9999-12-31T23:59:59Z", "-262144-01-01T00:00:00Z", "2026-02-30T25:61:61Z", "1e9"]:
                for op in self.some(["", "\u0000", "a" * 5000, f"{tick[:9]}{at}"]):
                    self.throw("tick", "POST", f"/api/jobs/{self.half}/ticks",
                               {"op": op, "tick": tick, "done": True, "at": at})
        for number in range(30):
            self.throw("prints", "POST", f"/api/jobs/{self.half}/print", {"paper": "a4", "date": f"day {number}"},
                       accept={201, 429})
        for date in ["", "9" * 41, "\u0000", "2026-99-99", "\\input{a}", "#set page()", "🏠"]:
            self.throw("print", "POST", f"/api/jobs/{self.half}/print", {"paper": "a4", "date": date})
        for name in ["", "a" * 100_000, "\u0000", "\n"]:
            self.throw("name", "POST", f"/api/jobs/{self.half}/revisions/1/name", {"name": name})

    def crowd(self):
        """Many at once, each latest of a client taking the place of the one before."""
        edits = [{"at": "space.main.noise", "set": "30 dB"}]

        def ask(client):
            for seq in range(5):
                asked = {"base": 1, "edits": edits, "client": f"crowd-{client % 4}", "seq": seq}
                self.throw("crowd", "POST", f"/api/jobs/{self.flat}/prove", asked, accept={200, 409})
                asked = {"op": f"crowd-{client}-{seq}", "base": 1, "edits": edits}
                self.throw("crowd saves", "POST", f"/api/jobs/{self.flat}/edits", asked, accept={200, 409})

        threads = [threading.Thread(target=ask, args=(client,)) for client in range(16 if self.long else 6)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()


def comb(count):
    """A room that closes, of so many walls: a long wall, and teeth along the other side. Each is its
    length in metres and the corner at its end; none for a square one."""
    outer, inner = "", '"270 deg"'
    teeth = (count - 4) // 4
    walls = [(2.0 * teeth + 1, outer), (3.0, outer)]
    for tooth in range(teeth):
        walls += [(1.0, outer), (1.0 + tooth / 100, inner), (1.0, inner), (1.0 + tooth / 100, outer)]
    return [*walls, (1.0, outer), (3.0, outer)]


def mistyped(walls):
    """The same with a metre too much in one wall."""
    return [(length + (at == 17), turn) for at, (length, turn) in enumerate(walls)]


def swapped(walls):
    """The same with the lengths of each two neighbours the other way round."""
    return [(walls[at ^ 1][0], turn) for at, (_, turn) in enumerate(walls)]


def workbook():
    """The parts of a workbook of one sheet, but for the sheet."""
    types = "http://schemas.openxmlformats.org/package/2006/content-types"
    relations = "http://schemas.openxmlformats.org/package/2006/relationships"
    office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    return [
        ("[Content_Types].xml", f'<Types xmlns="{types}"/>'),
        ("_rels/.rels", f'<Relationships xmlns="{relations}"><Relationship Id="r1" Type="{office}/officeDocument" '
                        'Target="xl/workbook.xml"/></Relationships>'),
        ("xl/workbook.xml", f'<workbook {SHEET_SPACE} {NAMES_SPACE}><sheets><sheet name="S" sheetId="1" r:id="r1"/>'
                            "</sheets></workbook>"),
        ("xl/_rels/workbook.xml.rels", f'<Relationships xmlns="{relations}"><Relationship Id="r1" '
                                       f'Type="{office}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>'),
    ]


def claimed(width, height):
    """A picture that claims a size and holds next to nothing."""
    honest = png(1, 1)
    head = b"IHDR" + struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return honest[:8] + struct.pack(">I", 13) + head + struct.pack(">I", zlib.crc32(head)) + honest[33:]
