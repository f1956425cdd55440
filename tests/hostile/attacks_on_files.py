"""Files that a survey names where none should be read, devices, folders with loops, outputs, and addresses in a PDF."""

from __future__ import annotations

import copy
import json
import os
import re
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from typing import Any

from attack import Attack, Check, Scene, attack
from surveys import FOLDER, example_document
from terminal import run
from wallwalk.report.pdf import load_weasyprint, page_of

CANARY = "canary-4711"
"""What stands in the file that no output may hold."""


@contextmanager
def within(seconds: int) -> Iterator[None]:
    """Fails where the block takes longer: something waits that must not."""

    def late(*_: object) -> None:
        raise AssertionError(f"took over {seconds} s")

    before = signal.signal(signal.SIGALRM, late)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def room_naming(folder: Path, log: str = "", photo: str = "", overlay: str = "") -> Path:
    """A survey in `folder` that names one file of a kind."""
    name = "014-old-dispensary" if photo else "204-treatment-room"
    data: Any = copy.deepcopy(example_document(name).data)
    if log:
        data["climate_log"][0]["file"] = log
    if photo:
        data["photos"] = [{"file": photo}]
        (folder / f"{name}.csv").write_bytes((FOLDER / f"{name}.csv").read_bytes())
    elif not log:
        (folder / f"{name}.csv").write_bytes((FOLDER / f"{name}.csv").read_bytes())
    if overlay:
        data["overlays"] = [{"file": overlay}]
    survey = folder / "s.yaml"
    survey.write_text(json.dumps(data))
    return survey


def _refused(name: str, prepare: Callable[[Path], object] | None, said: str) -> Check:
    """A log, a photo and an overlay of that name are refused in words, and nothing of the canary is read."""

    def check(scene: Scene) -> None:
        outside, folder = scene.folder / "outside", scene.folder / "room"
        outside.mkdir()
        folder.mkdir()
        for suffix in ("csv", "jpg", "yaml"):
            (outside / f"canary.{suffix}").write_text(CANARY)
        if prepare is not None:
            prepare(folder)
        shown = name.replace("OUTSIDE", str(outside))
        for kind in ("log", "photo", "overlay"):
            survey = room_naming(folder, **{kind: shown})
            with within(20):
                code, out, err = run("check", survey, "-o", folder / "r.json")
            assert (code, out) == (2, "")
            assert re.search(said, err), err
            assert CANARY not in err
            assert not (folder / "r.json").exists()

    return check


def _link(target: str) -> Callable[[Path], object]:
    return lambda folder: (folder / "linked").symlink_to(target)


_OUTSIDE = r"which is not in the folder of the survey; put the file beside the survey, and write its name"
_NO_FILE = r"which (is no(t there| plain file| file| CSV)|is a folder|cannot be read)"
_PATHS: tuple[tuple[str, str, str, str, Callable[[Path], object] | None, str], ...] = (
    ("up and out", "path", "`../outside/canary.csv`", "../outside/canary.csv", None, _OUTSIDE),
    ("down, up and out", "path", "`x/../../outside/canary.csv`", "x/../../outside/canary.csv", None, _OUTSIDE),
    ("an absolute path", "path", "the whole path of a file outside", "OUTSIDE/canary.csv", None, _OUTSIDE),
    ("somebody's home", "path", "`~/canary.csv`, `~root/x`", "~root/canary.csv", None, _NO_FILE),
    ("backslashes", "path", r"`..\outside\canary.csv`", "..\\outside\\canary.csv", None, _NO_FILE),
    ("a drive", "path", r"`C:\canary.csv`", "C:\\canary.csv", None, _NO_FILE),
    ("an address of a file", "path", "`file:///etc/passwd`", "file:///etc/passwd", None, _NO_FILE),
    ("an address of a server", "path", "`http://127.0.0.1:9/x`", "http://127.0.0.1:9/x", None, _NO_FILE),
    ("a share", "path", r"`\\host\share\x`", "\\\\host\\share\\x", None, _NO_FILE),
    ("the folder itself", "path", "`.`", "./x/..", None, "write it in letters|not in the folder of the survey"),
    ("a link to a file outside", "path", "a link in the folder", "linked", _link("../outside/canary.csv"), _OUTSIDE),
    ("a link to a folder outside", "path", "a link in the folder", "linked/canary.csv", _link("../outside"), _OUTSIDE),
    ("a link to the root", "path", "a link in the folder", "linked/etc/passwd", _link("/"), _OUTSIDE),
    ("a link to itself", "path", "a loop of links", "linked", _link("linked"), f"{_OUTSIDE}|{_NO_FILE}"),
    ("a link to a device", "device", "a link to /dev/zero", "linked", _link("/dev/zero"), _OUTSIDE),
    ("a device", "device", "`/dev/zero`", "/dev/zero", None, _OUTSIDE),
    ("standard input", "device", "`/dev/stdin`", "/dev/stdin", None, _OUTSIDE),
    ("a file of the kernel's", "device", "`/proc/self/environ`", "/proc/self/environ", None, _OUTSIDE),
    ("a pipe", "device", "a FIFO that nobody writes to", "pipe", lambda f: os.mkfifo(f / "pipe"), _NO_FILE),
    ("a folder", "device", "the name of a folder", "inner", lambda f: (f / "inner").mkdir(), _NO_FILE),
)

PATHS = tuple(
    Attack(
        f"{name} as log, photo and overlay",
        of,
        gives,
        "climate_log.file, photos.file, overlays.file",
        "check",
        "resources (find_named, find_beside), log_rows, photo_reader, inputs",
        "which of them it is and what to write instead, exit code 2; nothing of the file is read, nothing waits",
        _refused(path, prepare, said),
    )
    for name, of, gives, path, prepare, said in _PATHS
)


@attack(
    "NUL in a path",
    "path",
    gives="`a\\0b.csv`",
    through="climate_log.file, photos.file",
    into="check",
    stopped="yamlio",
    seen="`has the character U+0000, which is not text`, exit code 2",
)
def nul(scene: Scene) -> None:
    """It is no text to begin with."""
    for kind in ("log", "photo"):
        code, out, err = run("check", room_naming(scene.folder, **{kind: "a\0b.csv"}))
        assert (code, out) == (2, "")
        assert "has the character U+0000, which is not text; take it out" in err


@attack(
    "a device or a pipe given as the survey",
    "device",
    gives="/dev/zero, /dev/stdin, /proc/self/mem, a FIFO, a folder's link",
    through="the argument",
    into="check, plan, compare, verify, sign, board --spaces",
    stopped="yamlio (read_bytes), filed_reader",
    seen="`is no plain file`, exit code 2; nothing waits",
)
def as_survey(scene: Scene) -> None:
    """What is no plain file is not opened."""
    os.mkfifo(scene.folder / "pipe")
    for path in ("/dev/zero", "/dev/null", scene.folder / "pipe"):
        with within(20):
            for command in (("check",), ("plan",), ("verify",), ("compare", path), ("explain", "sheets-acclimated")):
                code, out, err = run(*command, path)
                assert (code, out) == (2, ""), command
                assert "is no plain file" in err
            code, out, err = run("board", scene.folder, "--spaces", path)
            assert (code, out) == (2, "")
    with within(20):
        code, out, err = run("check", "/proc/self/mem")
    assert (code, out) == (2, "")


@attack(
    "loops of links in a folder of surveys",
    "folder",
    gives="links to the folder itself, its parent, each other, /, a device; a pipe of a survey's name",
    through="a folder",
    into="check FOLDER, board FOLDER",
    stopped="survey_files",
    seen="each link is passed over with `is a link`; the rest is checked; nothing waits",
)
def loops(scene: Scene) -> None:
    """The survey is found once, links are passed over, and a pipe of a survey's name is not opened."""
    folder = scene.folder / "rooms"
    (folder / "inner").mkdir(parents=True)
    (folder / "inner" / "s.yaml").write_bytes((FOLDER / "031-staff-kitchen.yaml").read_bytes())
    links = {"again": folder, "up.yaml": scene.folder, "root": Path("/"), "zero.yaml": Path("/dev/zero")}
    links |= {
        "one.yaml": folder / "two.yaml",
        "two.yaml": folder / "one.yaml",
        "inner/s2.yaml": folder / "inner/s.yaml",
    }
    for name, target in links.items():
        (folder / name).symlink_to(target)
    os.mkfifo(folder / "pipe.yaml")
    with within(30):
        code, out, err = run("check", folder)
        lines = out.splitlines()
        assert (code, len(lines)) == (2, len(links) + 3)
        assert sum(line.endswith("| is a link") for line in lines) == len(links)
        assert sum(line.startswith("HOLD | ") for line in lines) == 1
        assert err == f"{folder / 'pipe.yaml'}: is no plain file; give the path of a YAML file\n"
        code, out, err = run("board", folder, "--today", "2026-03-09")
    assert (code, err, "031 Staff kitchen" in out) == (1, "", True)


@attack(
    "an output that is a link, a device or a folder",
    "output",
    gives="a link to a file that matters, one to nowhere, /dev/null, a FIFO, a folder; with --overwrite, too",
    through="-o",
    into="check -o, plan -o, rules schema -o",
    stopped="writing (refuse_targets)",
    seen="`is a link to …; give that name itself, or another`, exit code 2; the file is what it was",
    slow=True,
)
def outputs(scene: Scene) -> None:
    """Nothing is written through a link, to a device, or over what is read."""
    folder, survey = scene.folder, FOLDER / "031-staff-kitchen.yaml"
    (folder / "matters.html").write_text(CANARY)
    (folder / "link.html").symlink_to("matters.html")
    (folder / "nowhere.html").symlink_to("gone.html")
    (folder / "folder.html").mkdir()
    os.mkfifo(folder / "pipe.html")
    for name, said in (
        ("link.html", "is a link to matters.html"),
        ("nowhere.html", "is a link to gone.html"),
        ("folder.html", "is a folder"),
        ("pipe.html", "is no ordinary file"),
    ):
        for more in ((), ("--overwrite",)):
            for command in ("check", "plan"):
                with within(20):
                    code, _, err = run(command, survey, "-o", folder / name, *more)
                assert code == 2
                assert err.startswith(f"{folder / name}: {said}")
    (folder / "dev.html").symlink_to("/dev/null")
    assert run("check", survey, "-o", folder / "dev.html", "--overwrite")[0] == 2
    assert (folder / "matters.html").read_text() == CANARY
    assert not (folder / "gone.html").exists()
    own = folder / "own.json"
    own.write_text(json.dumps(example_document("031-staff-kitchen").data))
    before = own.read_bytes()
    (folder / "second.json").hardlink_to(own)
    code, _, err = run("check", own, "-o", folder / "." / "own.json", "--overwrite")
    assert (code, "is read to make this" in err) == (2, True)
    assert own.read_bytes() == before


@attack(
    "a place to write that leads elsewhere",
    "output",
    gives="a folder that is a link, `..`, a name without a folder",
    through="-o",
    into="check -o",
    stopped="nothing: who gives -o may write there",
    seen="the file is where the name says, whole; no temporary file is left",
)
def outside(scene: Scene) -> None:
    """What was named is written, and nothing beside it; a survey or a record never names an output."""
    (scene.folder / "real").mkdir()
    (scene.folder / "linked").symlink_to("real")
    code, _, err = run("check", FOLDER / "031-staff-kitchen.yaml", "-o", scene.folder / "linked" / ".." / "x.html")
    assert (code, err) == (1, "")
    assert {path.name for path in scene.folder.iterdir()} == {"real", "linked", "x.html"}


@contextmanager
def _server() -> Iterator[tuple[str, list[str]]]:
    """A server here, and what it was asked for."""
    asked: list[str] = []

    class Handler(BaseHTTPRequestHandler):
        """Notes each request."""

        def do_GET(self) -> None:
            """Note it, and give nothing."""
            asked.append(self.path)
            self.send_response(404)
            self.end_headers()

        def log_message(self, *_: object) -> None:
            """Say nothing."""

    server = HTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}", asked
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


@attack(
    "addresses that reach what draws the PDF",
    "fetch",
    gives="http:, file:, ftp:, relative and /dev addresses in img, link, style, svg, object, and attachments",
    through="a page (were markup to get in by a fault of ours)",
    into="WeasyPrint",
    stopped="report.pdf (the fetcher allows data: alone)",
    seen="drawing stops; a server here is asked for nothing, and the canary's file is in no PDF",
    slow=True,
)
def fetches(scene: Scene) -> None:
    """Each way to name an address is tried alone; no request comes, and no file is read."""
    canary = scene.folder / "canary.svg"
    canary.write_text(f'<svg xmlns="http://www.w3.org/2000/svg"><text>{CANARY}</text></svg>')
    weasyprint = load_weasyprint()
    tried = 0
    with _server() as (address, asked):
        for url in (f"{address}/x", canary.as_uri(), "file:///dev/zero", "//127.0.0.1/x", "ftp://127.0.0.1/x"):
            for markup in (
                '<img src="{}">',
                '<link rel="stylesheet" href="{}">',
                "<style>@import url('{}');</style>",
                "<style>@font-face {{ font-family: f; src: url('{}') }} p {{ font-family: f }}</style>",
                "<p style=\"background: url('{}')\">",
                '<svg xmlns="http://www.w3.org/2000/svg"><image href="{}" width="9" height="9"/></svg>',
                '<object data="{}"></object>',
                '<embed src="{}">',
                '<link rel="attachment" href="{}">',
            ):
                page = f"<html><head></head><body>{markup.format(url)}<p>x</p></body></html>"
                tried += 1
                with within(20):
                    try:
                        drawn = page_of(weasyprint, page).write_pdf(uncompressed_pdf=True)
                    except AssertionError:
                        raise
                    except BaseException as error:  # noqa: BLE001 - WeasyPrint stops with one that is no Exception
                        drawn = str(error).replace(CANARY, "").encode()
                assert CANARY.encode() not in drawn
                assert b"/EmbeddedFile" not in drawn
        assert asked == []
    assert tried == 45


@attack(
    "addresses in texts",
    "fetch",
    gives="http: and file: addresses, `url(…)`, `@import`",
    through="every name of a survey, overlay texts",
    into="report -o r.pdf",
    stopped="report.html (texts stay texts)",
    seen="the PDF is drawn; a server here is asked for nothing; no link, no action, no file but the inputs",
    slow=True,
)
def addresses_in_texts(scene: Scene) -> None:
    """They are drawn as text, in a PDF without any link."""
    with _server() as (address, asked):
        data: Any = copy.deepcopy(example_document("507-reading-room").data)
        data["project"]["name"] = f"{address}/a url({address}/b) @import '{address}/c';"
        data["space"]["name"] = f"file:///etc/passwd <img src={address}/d>"
        data.pop("climate_log", None)
        data.pop("climate_logs_kept", None)
        (scene.folder / "s.yaml").write_text(json.dumps(data))
        code, _, err = run("check", scene.folder / "s.yaml", "-o", scene.folder / "r.pdf")
        assert (code, err) == (1, "")
        assert asked == []
    from pypdf import PdfReader

    reader = PdfReader(scene.folder / "r.pdf")
    text = "".join(page.extract_text() for page in reader.pages[:1])
    assert "file:///etc/passwd" in text.replace("\n", "")
    links = [note.get_object().get("/A") for page in reader.pages for note in page.get("/Annots", [])]
    assert [link for link in links if link is not None and "/URI" in link] == []


FILES = (*PATHS, nul, as_survey, loops, outputs, outside, fetches, addresses_in_texts)
