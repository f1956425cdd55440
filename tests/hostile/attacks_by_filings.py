"""Filed records and PDFs made to mislead, or to stop a command; kept rule sets that are poisoned; the environment."""

from __future__ import annotations

import copy
import os
import pickle
import re
import subprocess
import sys
import zlib
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from attack import Attack, Check, Scene, attack
from attacks_on_files import within
from filings import filed
from surveys import FOLDER, ROOT
from terminal import run
from wallwalk.cli.rechecking import check_again, match_installed
from wallwalk.errors import InputError
from wallwalk.filed_json import write_filed_json
from wallwalk.filed_pdf import read_filed_pdf
from wallwalk.filing import CLIMATE_LOG, RULE_SET, SURVEY, Filing, Input
from wallwalk.keeping import kept
from wallwalk.limits import Limit
from wallwalk.matching import Match

Objects = Mapping[int, bytes]


def pdf_of(objects: Objects, trailer: bytes = b"/Root 1 0 R", starts: int | None = None) -> bytes:
    """A PDF of these objects with a plain table of them; `%d` in the trailer is where the table stands."""
    out, places = b"%PDF-1.7\n", {}
    for number, body in objects.items():
        places[number] = len(out)
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    table, size = len(out), max(objects) + 1
    out += b"xref\n0 %d\n0000000000 65535 f \n" % size
    for number in range(1, size):
        out += b"%010d 00000 n \n" % places[number] if number in places else b"0000000000 65535 f \n"
    said = trailer % table if b"%d" in trailer else trailer
    end = table if starts is None else starts
    return out + b"trailer\n<< /Size %d %s >>\nstartxref\n%d\n%%%%EOF\n" % (size, said, end)


def _stream(says: bytes, content: bytes) -> bytes:
    return b"<< %s /Length %d >>\nstream\n%s\nendstream" % (says, len(content), content)


def _spec(name: bytes, of: int) -> bytes:
    return b"<< /Type /Filespec /F (%s) /UF (%s) /EF << /F %d 0 R >> >>" % (name, name, of)


def _attached(*files: tuple[bytes, bytes, int, bytes]) -> bytes:
    """A PDF with attachments: name, content, the size it says, and how it is packed."""
    names = b" ".join(b"(%s) %d 0 R" % (file[0], 10 + 2 * i) for i, file in enumerate(files))
    objects = {1: _catalog(b"<< /Names [%s] >>" % names), 2: b"<< /Type /Pages /Kids [] /Count 0 >>"}
    for i, (name, content, size, packed) in enumerate(files):
        objects[10 + 2 * i] = _spec(name, 11 + 2 * i)
        says = b"/Type /EmbeddedFile /Params << /Size %d >> %s" % (size, packed)
        objects[11 + 2 * i] = _stream(says, content)
    return pdf_of(objects)


def _catalog(embedded: bytes) -> bytes:
    return b"<< /Type /Catalog /Pages 2 0 R /Names << /EmbeddedFiles %s >> >>" % embedded


def _bomb(megabytes: int) -> bytes:
    packer = zlib.compressobj(9)
    return b"".join(packer.compress(bytes(2**20)) for _ in range(megabytes)) + packer.flush()


_FLATE, _THRICE = b"/Filter /FlateDecode", b"/Filter [/FlateDecode /FlateDecode /FlateDecode]"
_RECORD = (b"record.json", b"{}", 2, b"")
_ENTRIES = (b"entries.json", b"{}", 2, b"")
_NO_PDF = "is no PDF that can be read"
_NOT_PACKED = 'holds "record.json", which is not packed as it was filed'
_NO_RECORD = "is a PDF that holds no record"
_LENGTH = 'holds "record.json", which is not as long as it says'
_PDFS: tuple[tuple[str, str, Callable[[], bytes], str], ...] = (
    (
        "a bomb that lies of its size",
        "258 MB that say 5 bytes",
        lambda: _attached((b"record.json", _bomb(258), 5, _FLATE)),
        _NO_PDF,
    ),
    (
        "a bomb that says its size",
        "300 MB",
        lambda: _attached((b"record.json", _bomb(2), 300 * 2**20, _FLATE)),
        "holds more than 256 MB of inputs",
    ),
    (
        "a bomb packed twice",
        "258 MB in 1.2 kB",
        lambda: _attached((b"record.json", zlib.compress(_bomb(258), 9), 5, b"/Filter [/FlateDecode /FlateDecode]")),
        _NO_PDF,
    ),
    (
        "a bomb packed three times",
        "258 MB in less than a kB",
        lambda: _attached((b"record.json", zlib.compress(zlib.compress(_bomb(258), 9), 9), 5, _THRICE)),
        _NOT_PACKED,
    ),
    (
        "a picture's packing",
        "50 MB in 50 kB, which take a library 15 s",
        lambda: _attached(
            (
                b"record.json",
                zlib.compress(bytes(50_000_000)),
                5,
                _FLATE + b" /DecodeParms << /Predictor 15 /Columns 1 >>",
            )
        ),
        _NOT_PACKED,
    ),
    (
        "a packing of long ago",
        "ASCII85 of 20 MB, which takes a library 10 s and 2 GB",
        lambda: _attached((b"record.json", b"z" * 20_000_000, 5, b"/Filter /ASCII85Decode")),
        _NOT_PACKED,
    ),
    (
        "a thousand packings",
        "100,000 filters on one file",
        lambda: _attached((b"record.json", b"00>", 5, b"/Filter [" + b"/ASCIIHexDecode " * 100_000 + b"]")),
        _NOT_PACKED,
    ),
    ("two files of one name", "record.json, twice", lambda: _attached(_RECORD, _RECORD), "holds two files of one name"),
    (
        "a name that is a path",
        "/etc/passwd",
        lambda: _attached(_RECORD, _ENTRIES, (b"/etc/passwd", b"{}", 2, b"")),
        'holds "/etc/passwd", which is no part of a filed record',
    ),
    (
        "thousands of files",
        "3,000",
        lambda: _attached(*((b"%d" % i, b"{}", 2, b"") for i in range(3000))),
        "holds more than 1000 files",
    ),
    ("a size that is wrong", "3 for 2 bytes", lambda: _attached((b"record.json", b"{}", 3, b"")), _LENGTH),
    (
        "an encrypted PDF",
        "/Encrypt with a key that no library has",
        lambda: pdf_of(
            {1: b"<< /Type /Catalog >>", 3: b"<< /Filter /Standard /V 5 /R 6 /O () /U () /P -1 >>"},
            b"/Root 1 0 R /Encrypt 3 0 R /ID [(a)(b)]",
        ),
        "is encrypted, which no filed record is",
    ),
    (
        "objects that name each other",
        "4 is 5, and 5 is 4",
        lambda: pdf_of({1: b"<< /Names 3 0 R >>", 3: b"<< /EmbeddedFiles 4 0 R >>", 4: b"5 0 R", 5: b"4 0 R"}),
        _NO_PDF,
    ),
    (
        "a length that is itself",
        "/Length 6 0 R in object 6",
        lambda: pdf_of(
            {
                1: _catalog(b"<< /Names [(record.json) 5 0 R] >>"),
                5: _spec(b"record.json", 6),
                6: b"<< /Length 6 0 R /Params << /Size 2 >> >>\nstream\n{}\nendstream",
            }
        ),
        _NO_PDF,
    ),
    (
        "a tree of names that holds itself",
        "/Kids [7 0 R] in object 7",
        lambda: pdf_of({1: _catalog(b"<< /Kids [7 0 R] >>"), 7: b"<< /Kids [7 0 R] >>"}),
        _NO_PDF,
    ),
    ("a root that is itself", "1 is 1", lambda: pdf_of({1: b"1 0 R"}), _NO_PDF),
    (
        "tables that name each other",
        "/Prev at itself",
        lambda: pdf_of({1: b"<< /Type /Catalog >>"}, b"/Root 1 0 R /Prev %d"),
        _NO_RECORD,
    ),
    (
        "a table that is nowhere",
        "startxref 10^18",
        lambda: pdf_of({1: b"<< /Type /Catalog >>"}, starts=10**18),
        _NO_RECORD,
    ),
    (
        "lists without end",
        "50,000 of [",
        lambda: pdf_of({1: b"<< /Type /Catalog /Names " + b"[" * 50_000 + b"]" * 50_000 + b" >>"}),
        _NO_PDF,
    ),
    ("nothing but a beginning", "%PDF-", lambda: b"%PDF-", _NO_PDF),
    ("brackets that stay open", "2 MB of (", lambda: b"%PDF-1.7\n1 0 obj\n" + b"(" * 2_000_000, _NO_PDF),
)


def _pdf_is_refused(make: Callable[[], bytes], said: str) -> Check:
    def check(_: Scene) -> None:
        content = make()
        with within(60), pytest.raises(InputError) as refused:
            read_filed_pdf(content, "r.pdf")
        assert str(refused.value) == f"r.pdf: {said}; give a file that wallwalk check or wallwalk sign wrote"

    return check


PDFS = tuple(
    Attack(
        name,
        "attachment",
        gives,
        "a PDF",
        "verify, compare, sign, board",
        "filed_pdf, attaching",
        f"`{said}`, exit code 2",
        _pdf_is_refused(make, said),
        slow="258 MB" in gives,
    )
    for name, gives, make, said in _PDFS
)


def changed(change: Callable[[Any], object], *, inputs: tuple[Input, ...] | None = None) -> Filing:
    """An example's filing with its record changed, as one who makes the whole file anew would write it."""
    filing = filed("031-staff-kitchen")
    record = copy.deepcopy(dict(filing.record))
    change(record)
    return Filing(record, filing.inputs if inputs is None else inputs)


def _nothing(_: object) -> None:
    """Leave the record as it is."""


@attack(
    "inputs that lead out of their folder",
    "filing",
    gives="`../../x`, `/etc/cron.d/x`, `a/../../b`, NUL, a rule set called `..`",
    through="the names of files inside a filed record",
    into="verify, which lays them out in a folder of its own",
    stopped="cli.rechecking (find_beside)",
    seen="`which leads out of its folder`: not checked once more, exit code 1; nothing is written outside",
    slow=True,
)
def inputs_out(scene: Scene) -> None:
    """Nothing is written but in that folder, which is gone afterwards."""
    filing = filed("031-staff-kitchen")
    names = ("../../escaped", str(scene.folder / "escaped"), "a/../../../escaped", "a\0b", "x" * 300)
    odd = [replace(filing, inputs=(*filing.inputs, Input(CLIMATE_LOG, name, b"x"))) for name in names]
    moved = [replace(one, file="../about.yaml") if one.file == "about.yaml" else one for one in filing.inputs]
    odd += [replace(filing, inputs=tuple(moved))]
    for name in ("..", ".", "a/b", "/etc", ""):
        record = {**filing.record, "rule_set": {**filing.record["rule_set"], "name": name}}
        odd.append(replace(filing, record=record))
    with mock.patch("tempfile.tempdir", str(scene.folder)):
        for one in odd:
            again = check_again(one)
            assert isinstance(again, InputError)
            assert re.search("leads out of|which no file can be|has no about.yaml|the name of a folder", str(again))
            assert [*scene.folder.iterdir()] == []


@attack(
    "a record that knows nothing of its names",
    "filing",
    gives="a party, a rule or a subject that is named and nowhere said",
    through="a filed record made anew",
    into="sign, compare, board",
    stopped="cli.compared (senseless), cli.signed",
    seen="what it names, exit code 2, and no traceback",
    slow=True,
)
def senseless_names(scene: Scene) -> None:
    """Each is refused in a line, before anything is drawn or signed."""

    def party(record: Any) -> None:  # noqa: ANN401 - a record
        record["rule_set"]["party_order"].append("nobody")

    def by(record: Any) -> None:  # noqa: ANN401 - a record
        record["findings"][0]["by"] = "nobody"

    def rule(record: Any) -> None:  # noqa: ANN401 - a record
        record["limits"][0]["used_by"].append("no-such-rule")

    def subject(record: Any) -> None:  # noqa: ANN401 - a record
        record["findings"][0]["subject"] = "Nowhere"

    path = scene.folder / "r.json"
    who = ("--role", "inspector", "--name", "A", "--decision", "noted", "--at", "2027-01-01 08:00")
    for change, said in (
        (party, 'names the party "nobody", and does not say who that is'),
        (by, 'leaves something to "nobody", which is none of its parties'),
        (rule, 'has a limit used by "no-such-rule", which is none of its rules'),
        (subject, "which is none of its subjects"),
    ):
        path.write_bytes(write_filed_json(changed(change)))
        for arguments in (("sign", path, *who, "-o", scene.folder / "s.json"), ("compare", path, path)):
            code, out, err = run(*arguments)
            assert (code, out) == (2, "")
            assert said in err
        assert not (scene.folder / "s.json").exists()


@attack(
    "a picture in a record that is none",
    "filing",
    gives='`"shown": "A"`, which is no picture in base64',
    through="a filed record made anew",
    into="sign -o signed.pdf, verify of a PDF",
    stopped="verifying",
    seen='`record.photos[0].shown is "A", which no filed record has`, exit code 2',
    slow=True,
)
def no_picture(scene: Scene) -> None:
    """WeasyPrint would stop with what is no `Exception`; it is never handed such a record."""
    filing = filed("014-old-dispensary")
    record = copy.deepcopy(dict(filing.record))
    record["photos"][0]["shown"] = "A"
    path = scene.folder / "r.json"
    path.write_bytes(write_filed_json(Filing(record, filing.inputs)))
    who = ("--role", "inspector", "--name", "A", "--decision", "noted", "--at", "2027-01-01 08:00")
    code, _, err = run("sign", path, *who, "-o", scene.folder / "s.json", "-o", scene.folder / "s.pdf")
    assert code == 2
    assert 'record.photos[0].shown is "A", which no filed record has' in err
    assert not (scene.folder / "s.json").exists()


@attack(
    "a rule set inside that is not the one it is called",
    "filing",
    gives="a lax rule set in a folder called rigid-sheet, and a record that passes by it",
    through="a filed record, sound in itself",
    into="verify",
    stopped="cli.rechecking (match_installed)",
    seen="`rule set rigid-sheet: not as it comes with this wallwalk`: a note, since another version's is not either",
    slow=True,
)
def other_rules(scene: Scene) -> None:
    """Whoever verifies is told that the rules inside are others than those of that name here."""
    filing = filed("031-staff-kitchen")
    lax = [replace(one, content=one.content + b"#") if one.role == RULE_SET else one for one in filing.inputs]
    (note,) = match_installed(replace(filing, inputs=tuple(lax)))
    says = "rule set rigid-sheet: not as it comes with this wallwalk; the check was made by the rules in the file"
    assert note == Match(RULE_SET, None, says)
    assert [*match_installed(filing)] == []
    path = scene.folder / "r.json"
    path.write_bytes(write_filed_json(replace(filing, inputs=tuple(lax))))
    assert says in " ".join(run("verify", path)[1].split())


@attack(
    "a record of PASS over a survey that holds",
    "filing",
    gives="verdict and findings set to pass, every digest made anew",
    through="a filed record",
    into="verify",
    stopped="verifying (checked once more from its own files)",
    seen="`checked once more, it comes out otherwise`, exit code 1",
    slow=True,
)
def pass_over_hold(scene: Scene) -> None:
    """The check is made once more, and does not come out so."""

    def passes(record: Any) -> None:  # noqa: ANN401 - a record
        record["verdict"] = "pass"
        for finding in record["findings"]:
            finding["outcome"] = "pass" if finding["grade"] == "hold" else finding["outcome"]

    path = scene.folder / "r.json"
    path.write_bytes(write_filed_json(changed(passes)))
    code, out, _ = run("verify", path)
    assert (code, "checked once more, it comes out otherwise" in " ".join(out.split())) == (1, True)
    survey = next(one for one in filed("031-staff-kitchen").inputs if one.role == SURVEY)
    others = tuple(one for one in filed("031-staff-kitchen").inputs if one is not survey)
    path.write_bytes(write_filed_json(changed(passes, inputs=others)))
    assert run("verify", path)[0] == 1


def _made() -> Limit:
    raise AssertionError("it was made anew")


@attack(
    "a kept rule set that runs something",
    "kept",
    gives="pickles that name os.system, builtins.eval, a module's own import, a dotted name, a function of ours",
    through="the folder of WALLWALK_CACHE, with owner, digest and mode as they should be",
    into="every command",
    stopped="keeping (_Reader.find_class)",
    seen="nothing runs; the rule set is read and proven anew",
)
def foreign_classes(scene: Scene) -> None:
    """Only classes of ours, and a few that do nothing, are ever made; the rest is made anew."""
    with mock.patch.dict(os.environ, {"WALLWALK_CACHE": str(scene.folder)}):
        source = scene.folder / "source"
        source.write_text("x")
        for module, name in (
            ("os", "system"),
            ("posix", "system"),
            ("builtins", "eval"),
            ("wallwalk.keeping", "os.system"),
            ("wallwalk.keeping", "tempfile"),
            ("wallwalk.keeping", "_write"),
            ("wallwalk.writing", "shutil.rmtree"),
            ("pathlib", "Path"),
        ):
            called = f"c{module}\n{name}\n(S'touch hit'\ntR.".encode()
            with mock.patch("pickle.dumps", return_value=called):
                kept(Limit, "bad", [source], _limit)
            with pytest.raises(AssertionError, match="it was made anew"):
                kept(Limit, "bad", [source], _made)
            for old in scene.folder.glob("*.kept"):
                old.unlink()
        assert not Path("hit").exists()


def _limit() -> Limit:
    from surveys import rigid_sheet

    return next(one for one in rigid_sheet().limits.values() if isinstance(one, Limit))


@attack(
    "a kept rule set of somebody else's",
    "kept",
    gives="a folder or a file that others may write to, a link, a pipe, a folder, a file cut short, one byte changed",
    through="the folder of WALLWALK_CACHE",
    into="every command",
    stopped="keeping (_is_own, seal)",
    seen="the rule set is read and proven anew; nothing waits",
)
def not_ours(scene: Scene) -> None:
    """What may be another's is never read, and what is no plain file never waited for."""
    source = scene.folder / "source"
    source.write_text("x")

    def spoil_pipe(place: Path) -> None:
        place.unlink()
        os.mkfifo(place)

    def spoil_folder(place: Path) -> None:
        place.unlink()
        place.mkdir()

    def spoil_link(place: Path) -> None:
        place.unlink()
        place.symlink_to("/dev/zero")

    ways: tuple[Callable[[Path], object], ...] = (
        spoil_pipe,
        spoil_folder,
        spoil_link,
        lambda place: place.chmod(0o666),
        lambda place: place.chmod(0o660),
        lambda place: place.parent.chmod(0o777),
        lambda place: place.write_bytes(place.read_bytes()[:-1]),
        lambda place: place.write_bytes(place.read_bytes()[:-1] + b"x"),
    )
    for i, spoil in enumerate(ways):
        folder = scene.folder / str(i)
        with mock.patch.dict(os.environ, {"WALLWALK_CACHE": str(folder)}):
            kept(Limit, "a", [source], _limit)
            assert kept(Limit, "a", [source], _made) == _limit()  # it is kept until it is spoilt
            spoil(next(folder.glob("*.kept")))
            with within(20), pytest.raises(AssertionError, match="it was made anew"):
                kept(Limit, "a", [source], _made)


@attack(
    "a kept thing of another kind",
    "kept",
    gives="a sound pickle of another class, and of another rule set",
    through="the folder of WALLWALK_CACHE",
    into="every command",
    stopped="keeping (kept)",
    seen="the rule set is read and proven anew",
)
def another_kind(scene: Scene) -> None:
    """What was kept for other files, or is not what was asked for, counts for nothing."""
    source = scene.folder / "source"
    source.write_text("x")
    with mock.patch.dict(os.environ, {"WALLWALK_CACHE": str(scene.folder / "cache")}):
        kept(frozenset, "a", [source], lambda: frozenset({"a"}))
        with pytest.raises(AssertionError, match="it was made anew"):
            kept(Limit, "a", [source], _made)
        kept(Limit, "a", [source], _limit)
        source.write_text("y")
        with pytest.raises(AssertionError, match="it was made anew"):
            kept(Limit, "a", [source], _made)
        assert pickle.loads(pickle.dumps(_limit())) == _limit()  # noqa: S301 - made here


@attack(
    "a hostile environment",
    "environment",
    gives="LANG, LC_ALL, LANGUAGE and TZ as paths or escapes, no HOME, COLUMNS=7, a cache that is a file",
    through="variables",
    into="check, verify: what they say and how they end",
    stopped="languages, moments, keeping: none of them decides anything",
    seen="byte for byte what is said without them",
    slow=True,
)
def environment(scene: Scene) -> None:
    """The same is said, with the same exit code."""
    command = [sys.executable, "-c", "from wallwalk.cli import main; main()", "check"]
    command += [str(FOLDER / "014-old-dispensary.yaml")]
    file = scene.folder / "file"
    file.write_text("x")
    usual = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT / "inspect"), "LANG": "C.UTF-8", "WALLWALK_CACHE": ""}
    odd = {"LANG": "../../../tmp\x1b[2J", "LC_ALL": "xx_XX.UTF-8", "LANGUAGE": "../../etc", "TZ": "../../etc/passwd"}
    odd |= {"HOME": "/nowhere", "COLUMNS": "7", "LINES": "-1", "WALLWALK_CACHE": str(file), "XDG_CACHE_HOME": "rel"}
    odd |= {"PYTHONUTF8": "1", "NO_COLOR": "x", "TERM": "\x1b", "WALLWALK_REFERENCE": "/etc", "SOURCE_DATE_EPOCH": "x"}
    told = [subprocess.run(command, env=usual | more, capture_output=True, check=False) for more in ({}, odd)]
    assert told[0].returncode == told[1].returncode == 1
    assert (told[0].stdout, told[0].stderr) == (told[1].stdout, told[1].stderr)
    assert file.read_text() == "x"


FILINGS = (
    *PDFS,
    inputs_out,
    senseless_names,
    no_picture,
    other_rules,
    pass_over_hold,
    foreign_classes,
    not_ours,
    another_kind,
    environment,
)
