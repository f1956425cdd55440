"""Photos of a survey: listed, held against the walk, shown beside what they belong to, filed and verified.

Pictures inside a PDF are read back by `pypdf`, a position is looked for by its bytes.
"""

from __future__ import annotations

import base64
import hashlib
import io
import json
import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from html import unescape
from pathlib import Path
from typing import Any, Literal
from unicodedata import normalize

import pytest
from PIL import Image
from pypdf import PdfReader
from pypdf.generic import IndirectObject, StreamObject

import wallwalk.photo_reader
from marked_language import Shown
from pictures import BROKEN, GPS, corners, jpeg, opened, png_of, saved
from surveys import ROOT, example_document, rigid_sheet, survey_of
from test_cli import wallwalk as run
from wallwalk.checking import check
from wallwalk.cli.rechecking import check_again
from wallwalk.cli.starting import read_inputs
from wallwalk.climate_reader import read_climate
from wallwalk.differences import first_difference
from wallwalk.errors import InputError
from wallwalk.filed_json import read_filed_json, write_filed_json
from wallwalk.filing import PHOTO, Filing, canonical, file_record
from wallwalk.photo_reader import read_photos
from wallwalk.picture import read_picture
from wallwalk.record import Record
from wallwalk.report.html import render_html
from wallwalk.report.pdf import render_pdf
from wallwalk.report.terminal import render_terminal
from wallwalk.report.view import lay_out
from wallwalk.survey import Survey
from wallwalk.survey_reader import read_survey

Form = Literal["NFC", "NFD"]
EXAMPLE = ROOT / "examples" / "014-old-dispensary.yaml"
PHOTO_FILE = ROOT / "examples" / "014-old-dispensary.jpg"
UNREAD = "the time in the file is none that can be read"


# -- a survey with photos -------------------------------------------------------------------------------------------


@pytest.fixture
def site(tmp_path: Path) -> Callable[..., Path]:
    """Writes the survey of the old dispensary with `photos`, and their files, into a folder of its own."""

    def write(photos: list[Any], files: dict[str, bytes] | None = None, *changes: tuple[str, str]) -> Path:
        text = EXAMPLE.read_text().split("\nphotos:")[0]
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        path = tmp_path / "room.yaml"
        path.write_text(
            f"{text}\nphotos:\n" + "".join(f"  - {json.dumps(photo, ensure_ascii=False)}\n" for photo in photos)
        )
        (tmp_path / "014-old-dispensary.csv").write_bytes(EXAMPLE.with_suffix(".csv").read_bytes())
        for name, content in (files or {}).items():
            (tmp_path / name).parent.mkdir(exist_ok=True)
            (tmp_path / name).write_bytes(content)
        return path

    return write


def survey_at(path: Path) -> Survey:
    """A survey of rigid sheet with its logs and photos, as the command line reads it."""
    logged = read_climate(read_survey(path), rigid_sheet(), path.parent)
    return read_photos(logged, rigid_sheet(), path.parent)


def record_of(path: Path) -> Record:
    """The record of a survey file."""
    return check(survey_at(path), rigid_sheet())


def refusal_of(path: Path) -> list[str]:
    """What is said of a survey that is refused, without its line, which the photos' own place gives."""
    with pytest.raises(InputError) as refused:
        survey_at(path)
    return [str(fault).removeprefix(f"{path}:").partition(": ")[2] for fault in refused.value.faults]


def test_the_record_holds_what_a_report_shows(site: Callable[..., Path]) -> None:
    """File, wall, rule, note, digest of the file, size upright, time and the small picture; nothing else."""
    content = jpeg(corners(2000, 1000), taken="2026:03:09 13:22:10", offset="-05:00", turned=6)
    note = "Ring below the pipe"
    path = site(
        [{"file": "a.jpg", "of": "North", "rule": "stains-blocked", "note": note}, {"file": "a.jpg"}],
        {"a.jpg": content},
    )
    first, second = record_of(path)["photos"]
    assert first == {
        "file": "a.jpg",
        "of": "North",
        "rule": "stains-blocked",
        "note": note,
        "sha256": hashlib.sha256(content).hexdigest(),
        "width": 1000,
        "height": 2000,
        "taken": {"at": "2026-03-09T13:22:10-05:00", "shown": "Mon 9 Mar 2026 13:22"},
        "caution": "",
        "shown": base64.b64encode(read_picture(content).shown).decode(),
    }
    assert second == {**first, "of": "", "rule": "", "note": ""}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("taken", "offset", "walk", "says"),
    [
        ("2026:03:09 00:00:00", "", "2026-03-09 13:20", "taken Mon 9 Mar 2026 00:00"),
        ("2026:03:09 23:59:59", "", "2026-03-09 13:20", "taken Mon 9 Mar 2026 23:59"),
        ("2026:03:08 23:59:59", "", "2026-03-09 00:10", "taken the day before the walk, Sun 8 Mar 2026 23:59"),
        ("2026:03:06 13:20:00", "", "2026-03-09 13:20", "taken 3 days before the walk, Fri 6 Mar 2026 13:20"),
        ("2026:03:10 00:00:00", "", "2026-03-09 13:20", "taken the day after the walk, Tue 10 Mar 2026 00:00"),
        ("2027:03:09 13:20:00", "", "2026-03-09 13:20", "taken 365 days after the walk, Tue 9 Mar 2027 13:20"),
        ("2026:03:10 01:00:00", "+01:00", "2026-03-09 13:20", "taken Mon 9 Mar 2026 19:00"),
        ("2026:03:09 10:00:00", "", "2026-03-09", "taken Mon 9 Mar 2026 10:00"),
        ("2026:03:10 00:00:00", "", "2026-03-09", "taken the day after the walk, Tue 10 Mar 2026 00:00"),
        ("2026:03:06 13:20:00", "", "unknown", "taken Fri 6 Mar 2026 13:20"),
        ("", "", "2026-03-09 13:20", "no time in the file"),
        ("0000:00:00 00:00:00", "", "2026-03-09 13:20", "no time in the file"),
        ("    :  :     :  :  ", "", "2026-03-09 13:20", "no time in the file"),
        ("0000:00:00 13:22:10", "", "2026-03-09 13:20", f'{UNREAD} ("0000:00:00 13:22:10")'),
        ("2026:02:30 13:22:10", "+01:00", "unknown", f'{UNREAD} ("2026:02:30 13:22:10")'),
        ("2026:03:09 yesterday at noon, I think", "", "2026-03-09", f'{UNREAD} ("2026:03:09 yesterday at …")'),
    ],
)
def test_the_time_of_a_photo_is_held_against_the_walk(
    taken: str, offset: str, walk: str, says: str, site: Callable[..., Path]
) -> None:
    """On its day by the site's calendar, nothing is said; on another, how many days apart, in every form."""
    path = site(
        [{"file": "a.jpg"}], {"a.jpg": jpeg(taken=taken, offset=offset)}, ("at: 2026-03-09 13:20", f"at: {walk}")
    )
    record = record_of(path)
    assert f"(a.jpg; {says})" in " ".join(render_terminal(record).split())
    (photo,) = lay_out(record).photos
    is_odd = "the walk" in says or UNREAD in says
    assert (photo.taken, photo.is_odd) == (says, is_odd)
    page = unescape(render_html(record))
    kind = "beware" if is_odd else "taken"
    assert f'<p class="{kind}">{says[0].upper()}{says[1:]}</p>' in page


def test_a_time_on_a_clock_that_nobody_names_is_said_to_be_so(site: Callable[..., Path]) -> None:
    """Without the site's zone a camera's bare time is no moment; with an offset it is, and is held against the walk."""
    photos = [{"file": name} for name in ("bare.jpg", "offset.jpg", "next.jpg", "unset.jpg", "none.jpg")]
    files = {
        "bare.jpg": jpeg(taken="2026:03:09 13:22:10"),
        "offset.jpg": jpeg(taken="2026:03:09 23:00:00", offset="-05:00"),
        "next.jpg": jpeg(taken="2026:03:11 13:22:10", offset="-05:00"),
        "unset.jpg": jpeg(taken="0000:00:00 00:00:00"),
        "none.jpg": jpeg(taken="2026:02:30 13:22:10"),
    }
    path = site(photos, files)
    path.write_text(f"walk: {{at: 2026-03-09T13:20-05:00}}\nwalls_in_scope: 0\nphotos: {json.dumps(photos)}\n")
    told = [photo.taken for photo in lay_out(record_of(path)).photos]
    assert told == [
        "its time is on a clock that the survey does not name (time_zone)",
        "taken Tue 10 Mar 2026 04:00 UTC",
        "taken 2 days after the walk, Wed 11 Mar 2026 18:22 UTC",
        "no time in the file",
        f'{UNREAD} ("2026:02:30 13:22:10")',
    ]


def test_photos_change_no_finding(site: Callable[..., Path]) -> None:
    """With none, with one of each time and with one of a rule that passes, all but the photos is the same record."""
    files = {"a.jpg": jpeg(taken="2020:01:01 00:00:00"), "b.png": saved(corners(), "PNG")}
    photos = [
        {"file": "a.jpg", "of": "North", "rule": "stains-blocked"},
        {"file": "b.png", "of": "East", "rule": "stains-blocked", "note": "sound"},
        {"file": "a.jpg", "rule": "space-clear", "note": "clear now"},
    ]
    with_photos = dict(record_of(site(photos, files)))
    without = dict(record_of(site([])))
    assert len(with_photos.pop("photos")) == 3
    assert without.pop("photos") == []
    for record in (with_photos, without):
        record.pop("survey")  # its name and its digest
    assert canonical(with_photos) == canonical(without)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("photo", "said"),
    [
        (
            {"file": "a.jpg", "of": "Nroth"},
            'photos[0].of is "Nroth", no wall of this survey; write North, or take it out',
        ),
        (
            {"file": "a.jpg", "of": "Ceiling"},
            'photos[0].of is "Ceiling", no wall of this survey; write one of: North, East, South infill, West',
        ),
        (
            {"file": "a.jpg", "of": "walls not written down"},
            'photos[0].of is "walls not written down", no wall of this survey; '
            "write one of: North, East, South infill, West",
        ),
        (
            {"file": "a.jpg", "rule": "stain-blocked"},
            'photos[0].rule is "stain-blocked", no rule of rigid-sheet; write stains-blocked, or take it out',
        ),
        (
            {"file": "a.jpg", "rule": "Q7"},
            'photos[0].rule is "Q7", no rule of rigid-sheet; take it out, or see wallwalk rules show rigid-sheet',
        ),
        ({"of": "North"}, "photos[0] has no file; write file: the name of a photo's file"),
        ({"file": "unknown"}, "photos[0] has no file; write file: the name of a photo's file"),
        ({"file": "a.jpg", "wall": "North"}, "photos[0].wall is not asked here; write one of: file, of, rule, note"),
        ({"file": "b.jpg"}, 'photos[0].file is "b.jpg", which is not there; write the name of a photo\'s file'),
        ({"file": "sub"}, 'photos[0].file is "sub", which is a folder; write the name of a photo\'s file'),
        ({"file": "pipe"}, 'photos[0].file is "pipe", which is no plain file; write the name of a photo\'s file'),
        *(
            (
                {"file": file},
                f'photos[0].file is "{file}", which is not in the folder of the survey; '
                "put the file beside the survey, and write its name",
            )
            for file in ("../outside.jpg", "sub/../../outside.jpg", str(PHOTO_FILE), "link.jpg", "loop.jpg")
        ),
        (
            {"file": "text.jpg"},
            'photos[0].file is "text.jpg", which is no JPEG, PNG or WebP picture; save the photo as one of these',
        ),
        (
            {"file": "cut.jpg"},
            f'photos[0].file is "cut.jpg", which {BROKEN}; copy it from the camera again',
        ),
        (
            {"file": "bomb.png"},
            'photos[0].file is "bomb.png", which has 60000 × 60000 pixels, over 50 million; save it smaller',
        ),
        ({"file": "large.jpg"}, 'photos[0].file is "large.jpg", which is over 25 MB; save it smaller'),
    ],
)
def test_a_photo_that_cannot_be_shown_is_refused_in_one_message(
    photo: dict[str, str], said: str, site: Callable[..., Path], tmp_path: Path
) -> None:
    """Where it stands, what was found and what to write instead."""
    files = {
        "a.jpg": jpeg(),
        "text.jpg": b"north wall",
        "cut.jpg": jpeg()[:-400],
        "bomb.png": png_of(60000, 60000),
        "large.jpg": jpeg() + bytes(25 * 1024 * 1024),
        "sub/deep.jpg": jpeg(),
    }
    path = site([photo], files)
    home = tmp_path / "home"
    home.mkdir()
    for one in (
        path,
        *(tmp_path / name for name in (*files, "014-old-dispensary.csv") if "/" not in name),
        tmp_path / "sub",
    ):
        one.rename(home / one.name)
    (tmp_path / "outside.jpg").write_bytes(jpeg())
    (home / "link.jpg").symlink_to(tmp_path / "outside.jpg")
    (home / "loop.jpg").symlink_to(home / "loop.jpg")
    os.mkfifo(home / "pipe")
    assert refusal_of(home / path.name) == [said]


@pytest.mark.slow
@pytest.mark.parametrize("photo", [{"file": "cut.jpg"}, {"file": "no.jpg"}, {"file": "a.jpg", "of": "Up"}])
def test_a_photo_that_is_refused_ends_with_two_and_nothing_is_written(
    photo: dict[str, str], site: Callable[..., Path], tmp_path: Path
) -> None:
    """One line on standard error, and no file that was not there before."""
    path = site([{"file": "a.jpg"}, photo], {"a.jpg": jpeg(), "cut.jpg": jpeg()[:-400]})
    before = sorted(tmp_path.iterdir())
    outputs = [part for suffix in ("html", "pdf", "json") for part in ("-o", str(tmp_path / f"r.{suffix}"))]
    done = run("check", str(path), *outputs)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert "photos[1]" in done.stderr
    assert sorted(tmp_path.iterdir()) == before


def test_every_fault_of_every_photo_is_said_at_once(site: Callable[..., Path]) -> None:
    """A wrong wall, a wrong rule and a wrong file, each with its own line."""
    path = site(
        [{"file": "no.jpg", "of": "Up", "rule": "space-claer"}, {"file": "a.jpg", "of": "Down"}], {"a.jpg": jpeg()}
    )
    assert [text.partition(" is ")[0] for text in refusal_of(path)] == [
        "photos[0].file",
        "photos[0].of",
        "photos[0].rule",
        "photos[1].of",
    ]


def test_photos_lie_in_folders_below_too(site: Callable[..., Path]) -> None:
    """A folder of photos beside the survey is the usual thing."""
    record = record_of(site([{"file": "photos/a.jpg"}], {"photos/a.jpg": jpeg()}))
    assert [photo["file"] for photo in record["photos"]] == ["photos/a.jpg"]


@pytest.mark.slow
@pytest.mark.parametrize(("written", "lies"), [("NFC", "NFD"), ("NFD", "NFC"), ("NFC", "NFC")])
def test_a_name_with_accents_is_one_name_however_they_are_written(
    written: Form, lies: Form, site: Callable[..., Path], tmp_path: Path
) -> None:
    """An ñ of one sign and one of two look alike: the photo, the log and what is filed of them are found by either."""
    name, log = "señora Ñúñez, pared.jpg", "registro de mañana.csv"
    path = site(
        [{"file": normalize(written, name)}],
        {normalize(lies, name): jpeg()},
        ("014-old-dispensary.csv", normalize(written, log)),
    )
    (tmp_path / "014-old-dispensary.csv").rename(tmp_path / normalize(lies, log))
    survey, rule_set = read_inputs(path, None)
    filing = file_record(check(survey, rule_set), survey, rule_set, tmp_path)
    named = [(i.file, i.sha256) for i in filing.inputs if i.role == PHOTO]
    assert named == [(normalize(written, name), hashlib.sha256(jpeg()).hexdigest())]
    again = check_again(read_filed_json(write_filed_json(filing), "room.json"))
    assert not isinstance(again, InputError)
    assert canonical(again.record) == canonical(filing.record)


def test_of_two_names_that_look_alike_the_one_that_is_written_counts(site: Callable[..., Path]) -> None:
    """Where both lie there; a name that is not there at all is told as it is written."""
    one, two = normalize("NFC", "ñ.jpg"), normalize("NFD", "ñ.jpg")
    path = site([{"file": one}, {"file": two}], {one: jpeg(corners(40, 30)), two: jpeg(corners(30, 40))})
    assert [photo["width"] for photo in record_of(path)["photos"]] == [40, 30]
    assert refusal_of(site([{"file": "ó.jpg"}]))[0].startswith('photos[0].file is "ó.jpg", which is not there;')


def test_a_name_longer_than_any_file_s_is_refused_in_words(site: Callable[..., Path]) -> None:
    """Of a photo and of a log, with the place where it stands."""
    advice = "which is not in the folder of the survey; put the file beside the survey, and write its name"
    name = "ñ" * 130 + ".jpg"
    shown = f'"{"ñ" * 60}…"'
    assert refusal_of(site([{"file": name}])) == [f"photos[0].file is {shown}, {advice}"]
    path = site([], {}, ("014-old-dispensary.csv", name))
    assert refusal_of(path) == [f"climate_log[0].file is {shown}, {advice}"]


def test_two_hundred_photos_are_read_and_one_more_is_refused(site: Callable[..., Path]) -> None:
    """The number is looked at before any file is."""
    small = {"a.jpg": jpeg(corners(4, 4))}
    assert len(record_of(site([{"file": "a.jpg"}] * 200, small))["photos"]) == 200
    path = site([{"file": "nowhere.jpg"}] * 201)
    with pytest.raises(InputError) as refused:
        survey_at(path)
    assert [str(f) for f in refused.value.faults] == [f"{path}: photos lists 201 photos; keep the 200 that show most"]


def test_all_photos_together_stay_within_what_can_be_filed(
    site: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Those that still fit are counted, each file once; one that takes them over the limit is named."""
    one = jpeg()
    monkeypatch.setattr(wallwalk.photo_reader, "ALL_BYTES_MAX", 2 * len(one))
    photos = [{"file": f} for f in ("a.jpg", "b.jpg", "a.jpg", "c.jpg")]
    path = site(photos, dict.fromkeys(("a.jpg", "b.jpg", "c.jpg"), one))
    (said,) = refusal_of(path)
    over = r'photos\[3\]\.file is "c\.jpg", which takes all photos over \d+ MB together; save them smaller, or .*'
    assert re.fullmatch(over, said)


@pytest.mark.slow
def test_a_rule_that_an_overlay_drops_may_still_be_named(site: Callable[..., Path], tmp_path: Path) -> None:
    """The photo is then one of the others, by the rule's name."""
    overlay = (
        "overlay: Site paper\nfor: rigid-sheet\nrevision: 2026-11-25\n"
        "drop:\n  space-clear: {because: The site has its own paper., basis: common practice}\n"
    )
    path = site([{"file": "a.jpg", "rule": "space-clear"}], {"a.jpg": jpeg(), "paper.yaml": overlay.encode()})
    survey, rule_set = read_inputs(path, None, (tmp_path / "paper.yaml",))
    assert "space-clear" not in rule_set.rules
    ((where, (photo,)),) = lay_out(check(survey, rule_set)).photos_apart
    assert (where, photo.check) == ("The space", "space-clear")


def test_a_rule_of_the_survey_s_own_rule_set_may_be_named_under_another(site: Callable[..., Path]) -> None:
    """Checked by the rules of another covering, the survey is read all the same, and the photo is one of the others."""
    path = site([{"file": "a.jpg", "of": "North", "rule": "no-pva-primer"}], {"a.jpg": jpeg()})
    survey, rule_set = read_inputs(path, "pasted-wallcovering")
    assert "no-pva-primer" not in rule_set.rules
    ((where, (photo,)),) = lay_out(check(survey, rule_set)).photos_apart
    assert (where, photo.check) == ("North", "no-pva-primer")
    path = site([{"file": "a.jpg", "rule": "rolls-of-one-run"}], {"a.jpg": jpeg()})
    assert refusal_of(path) == [
        'photos[0].rule is "rolls-of-one-run", no rule of rigid-sheet; '
        "take it out, or see wallwalk rules show rigid-sheet"
    ]


# -- the reports ----------------------------------------------------------------------------------------------------

PLACED = [
    {"file": "a.jpg", "of": "North", "rule": "stains-blocked", "note": "Ring"},  # holds
    {"file": "a.jpg", "of": "East", "rule": "no-pva-primer", "note": "Pail in the closet"},  # holds, as on West
    {"file": "a.jpg", "of": "North", "rule": "no-pva-primer", "note": "Old coats"},  # not verified there
    {"file": "a.jpg", "rule": "no-pva-primer", "note": "Van"},  # of no wall: beside the first of the three
    {"file": "a.jpg", "of": "West", "rule": "space-clear", "note": "Rubble"},  # a rule about the space
    {"file": "a.jpg", "of": "North", "rule": "old-paint-not-disturbed", "note": "Lead?"},  # a caution
    {"file": "a.jpg", "of": "East", "rule": "stains-blocked", "note": "No stain"},  # passes there
    {"file": "a.jpg", "of": "West", "note": "Seams"},
    {"file": "a.jpg", "note": "As we came in"},
]


def test_each_photo_stands_beside_what_it_belongs_to_and_once(site: Callable[..., Path]) -> None:
    """By rule and wall among holds, not verified and cautions; the others at the end, the space first, then by wall."""
    view = lay_out(record_of(site(PLACED, {"a.jpg": jpeg()})))
    items = {
        kind: {
            item.rule: [[p.note for p in point.photos] for point in item.points] + [[p.note for p in item.photos]]
            for item in group
            if item.all_photos
        }
        for kind, group in (
            ("hold", [item for party in view.holds for item in party.items]),
            ("not verified", view.not_verified),
            ("caution", view.cautions),
        )
    }
    assert items == {
        "hold": {
            "stains-blocked": [["Ring"], []],
            "no-pva-primer": [["Pail in the closet"], [], ["Van"]],
            "space-clear": [[], ["Rubble"]],
        },
        "not verified": {"no-pva-primer": [["Old coats"], []]},
        "caution": {"old-paint-not-disturbed": [["Lead?"], []]},
    }
    apart = [(where, [p.note for p in lines]) for where, lines in view.photos_apart]
    assert apart == [("The space", ["As we came in"]), ("East", ["No stain"]), ("West", ["Seams"])]
    assert [p.number for p in view.photos] == list(range(1, 10))


def test_the_page_shows_every_photo_once_with_its_words(site: Callable[..., Path]) -> None:
    """Each picture inside the page, in the order of the report, with a caption and a text in its place."""
    record = record_of(site(PLACED, {"a.jpg": jpeg()}))
    page = render_html(record)
    images = re.findall(r'<img src="data:image/jpeg;base64,([^"]+)" width="400" height="300" alt="([^"]+)">', page)
    assert len(images) == page.count("<img") == page.count('<figure class="photo"') == 9
    assert {shown for shown, _ in images} == {record["photos"][0]["shown"]}
    assert sorted(alt for _, alt in images) == sorted(
        f"Photo {n}, {photo.get('of', 'The space')}: {photo['note']}" for n, photo in enumerate(PLACED, 1)
    )
    digest = record["photos"][0]["sha256"][:12]
    assert page.count(f"<code>a.jpg</code> · SHA-256 <code>{digest}</code>") == 9
    stain = page.index("Stains show that would bleed")
    assert stain < page.index("Photo 1, North: Ring") < page.index("Put right", stain)
    section = page[page.index('id="photos"') : page.index('id="every-check"')]
    assert re.findall(r"<h3>([^<]+)</h3>", section) == ["The space", "East", "West"]
    assert "For: No stain is left that would bleed through" in section


def test_the_page_allows_pictures_of_its_own_and_nothing_else(site: Callable[..., Path]) -> None:
    """The policy lets data: pictures in, and nothing from anywhere."""
    page = render_html(record_of(site(PLACED[:1], {"a.jpg": jpeg()})))
    (policy,) = re.findall(r'http-equiv="Content-Security-Policy" content="([^"]+)"', page)
    assert [part.strip() for part in policy.split(";") if "src" in part][:2] == ["default-src 'none'", "img-src data:"]
    assert re.findall(r"(?:src|href)=\"(?!data:image/jpeg;base64,|#)", page) == []


@pytest.mark.slow
@pytest.mark.parametrize("markup", ['"><script>alert(1)</script>', "' onerror='x", "{{ 7*7 }}", "</figcaption><b>"])
def test_markup_in_a_note_is_text(markup: str, site: Callable[..., Path]) -> None:
    """Whatever a note holds, it adds no element and no attribute, in the caption as in the text for the blind."""
    plain, marked = (
        render_html(record_of(site([{"file": "a.jpg", "note": f"x {n} y"}], {"a.jpg": jpeg()}))) for n in ("n", markup)
    )
    tags = [re.findall(r"<[a-z/!][^\s>]*", page) for page in (plain, marked)]
    assert tags[0] == tags[1]
    assert f"x {markup} y" in Shown(marked).text


def images_in(pdf: bytes) -> list[bytes]:
    """Every picture of a PDF once, in the bytes that stand in the file."""
    sheets: Any = PdfReader(io.BytesIO(pdf)).pages
    streams: dict[int, Any] = {
        id(one): one for sheet in sheets for one in sheet["/Resources"].get("/XObject", {}).values()
    }
    found: dict[int, Any] = {one.idnum: one.get_object() for one in streams.values() if isinstance(one, IndirectObject)}
    return [one._data for one in found.values() if isinstance(one, StreamObject) and str(one["/Subtype"]) == "/Image"]


def tree_of(reader: PdfReader) -> Iterator[Any]:
    """Every part of the structure that a reader for the blind follows."""
    left: list[Any] = [reader.trailer["/Root"]["/StructTreeRoot"]]  # type: ignore[index]
    while left:
        part = left.pop().get_object()
        if isinstance(part, list):
            left += part
        elif isinstance(part, dict):
            yield part
            left += [part["/K"]] if "/K" in part else []


@pytest.mark.slow
def test_no_position_reaches_a_report(site: Callable[..., Path]) -> None:
    """Nothing of the original but its digest stands in a page, of HTML or PDF; only what is filed holds the file."""
    exif = Image.Exif()
    exif.get_ifd(GPS).update({1: "N", 2: (41.0, 52.0, 11.0), 29: "SECRET-POSITION"})
    content = saved(corners(1600, 1200), "JPEG", exif=exif)
    assert b"SECRET-POSITION" in content
    path = site([{"file": "a.jpg", "of": "North", "rule": "stains-blocked"}], {"a.jpg": content})
    record = record_of(path)
    page = render_html(record)
    (shown,) = re.findall(r"data:image/jpeg;base64,([^\"]+)", page)
    assert b"SECRET" not in page.encode() + base64.b64decode(shown)
    (drawn,) = images_in(render_pdf(Filing(record, ())))
    assert b"SECRET" not in drawn
    assert b"SECRET" not in canonical(record)


@pytest.mark.slow
def test_the_pdf_shows_the_pictures_of_the_record(site: Callable[..., Path]) -> None:
    """The very JPEG of the record, with the text that stands for it, and the same PDF every time."""
    content = jpeg(corners(1600, 1200), taken="2026:03:06 08:00:00")
    path = site(
        [{"file": "a.jpg", "of": "North", "rule": "stains-blocked", "note": "Ring below the pipe"}], {"a.jpg": content}
    )
    record = record_of(path)
    pdf = render_pdf(Filing(record, ()))
    reader = PdfReader(io.BytesIO(pdf))
    assert images_in(pdf) == [base64.b64decode(record["photos"][0]["shown"])]
    assert "Photo 1, North: Ring below the pipe" in {part.get("/Alt") for part in tree_of(reader)}
    text = " ".join(" ".join(sheet.extract_text() for sheet in reader.pages).split())
    assert "Taken 3 days before the walk, Fri 6 Mar 2026 08:00" in text
    assert render_pdf(Filing(record, ())) == pdf


def test_a_saved_record_draws_the_same_with_the_photo_gone(site: Callable[..., Path], tmp_path: Path) -> None:
    """The small picture is in the record, so that neither the file nor this Pillow is asked again."""
    path = site(PLACED, {"a.jpg": jpeg(taken="2026:03:06 08:00:00")})
    record = record_of(path)
    saved_record = json.loads(canonical(record))
    (tmp_path / "a.jpg").unlink()
    assert render_html(saved_record) == render_html(record)
    assert render_terminal(saved_record) == render_terminal(record)


def test_photos_in_spanish(site: Callable[..., Path]) -> None:
    """Every fixed word; names and notes as their author wrote them."""
    files = {"a.jpg": jpeg(taken="2026:03:06 08:00:00"), "b.jpg": jpeg(), "c.jpg": jpeg(taken="2026:03:10 08:00:00")}
    photos = [{"file": "a.jpg", "of": "North", "note": "Ring"}, {"file": "b.jpg"}, {"file": "c.jpg"}]
    survey, rule_set = read_inputs(site(photos, files), None, (), "es")
    record = check(survey, rule_set)
    printed = " ".join(render_terminal(record).split())
    assert "FOTOS - no deciden nada" in printed
    assert "1. North: Ring (a.jpg; tomada 3 días antes del recorrido, vie 6 mar 2026 08:00)" in printed
    assert "2. El espacio (b.jpg; el archivo no trae hora)" in printed
    assert "3. El espacio (c.jpg; tomada el día después del recorrido, mar 10 mar 2026 08:00)" in printed
    page = render_html(record)
    assert 'alt="Foto 1, North: Ring"' in page
    assert '<h2 id="photos">Fotos</h2>' in page


def test_a_report_without_photos_says_nothing_of_them() -> None:
    """No heading, no section, no picture."""
    record = check(survey_of({**example_document("014-old-dispensary").data, "photos": []}), rigid_sheet())  # type: ignore[dict-item]
    assert record["photos"] == []
    page = render_html(record)
    assert ("<img" in page, 'id="photos"' in page, "PHOTOS" in render_terminal(record)) == (False, False, False)


# -- what is filed --------------------------------------------------------------------------------------------------


@pytest.mark.slow
def test_the_filing_holds_each_photo_s_own_bytes_once(site: Callable[..., Path], tmp_path: Path) -> None:
    """Byte for byte, with position and all: they are what the digest in the record is of."""
    files = {"a.jpg": jpeg(taken="2026:03:06 08:00:00"), "b.png": saved(corners(), "PNG")}
    path = site([{"file": "a.jpg", "of": "North"}, {"file": "b.png"}, {"file": "a.jpg", "of": "East"}], files)
    survey, rule_set = read_inputs(path, None)
    filing = file_record(check(survey, rule_set), survey, rule_set, tmp_path)
    photos = [(i.file, i.content) for i in filing.inputs if i.role == PHOTO]
    assert photos == list(files.items())
    digests = {hashlib.sha256(content).hexdigest() for content in files.values()}
    assert {photo["sha256"] for photo in filing.record["photos"]} == digests
    read = read_filed_json(write_filed_json(filing), "room.json")
    assert (canonical(read.record), read.inputs) == (canonical(filing.record), filing.inputs)


@pytest.mark.parametrize("gone", [False, True])
def test_a_photo_that_changes_while_it_is_read_is_not_filed(
    site: Callable[..., Path], tmp_path: Path, *, gone: bool
) -> None:
    """Or is taken away. One message with the place of its name, as for a log."""
    path = site([{"file": "a.jpg"}], {"a.jpg": jpeg()})
    survey, rule_set = read_inputs(path, None)
    if gone:
        (tmp_path / "a.jpg").unlink()
    else:
        (tmp_path / "a.jpg").write_bytes(jpeg(taken="2026:03:06 08:00:00"))
    with pytest.raises(InputError) as refused:
        file_record(check(survey, rule_set), survey, rule_set, tmp_path)
    (said,) = (str(fault) for fault in refused.value.faults)
    assert said.endswith(
        'photos[0].file is "a.jpg", which changed while it was read; let nobody change the file, and check again'
    )


Change = Callable[[Image.Image], Image.Image]


def altered(site: Callable[..., Path], tmp_path: Path, change: Change, quality: int = 80) -> str:
    """What `verify` says of a filed record whose small picture was changed and saved anew; empty where nothing."""
    survey = survey_at(site([{"file": "a.jpg", "of": "North"}], {"a.jpg": PHOTO_FILE.read_bytes()}))
    filing = file_record(check(survey, rigid_sheet()), survey, rigid_sheet(), tmp_path)
    (photo,) = filing.record["photos"]
    image = change(opened(base64.b64decode(photo["shown"])))
    shown = base64.b64encode(saved(image, "JPEG", quality=quality, progressive=True)).decode()
    changed = replace(filing, record={**filing.record, "photos": [{**photo, "shown": shown}]})
    again = check_again(changed)
    assert not isinstance(again, InputError)
    return first_difference(changed.record, again.record)


def painted(image: Image.Image) -> Image.Image:
    """The picture with a part of its stain painted over."""
    image.paste((166, 165, 150), (350, 230, 374, 254))
    return image


def test_a_picture_made_small_by_another_version_is_verified(site: Callable[..., Path], tmp_path: Path) -> None:
    """Other bytes that look the same, as another encoder makes them, are no other record."""
    assert altered(site, tmp_path, lambda image: image, 78) == ""


@pytest.mark.slow
@pytest.mark.parametrize(
    "change",
    [painted, lambda image: image.transpose(Image.Transpose.FLIP_LEFT_RIGHT), lambda image: image.resize((999, 750))],
)
def test_a_picture_that_shows_something_else_is_seen(change: Change, site: Callable[..., Path], tmp_path: Path) -> None:
    """A small place painted over is enough, and so is another size."""
    assert altered(site, tmp_path, change).startswith("photos[0].shown")


# -- the example ----------------------------------------------------------------------------------------------------


def test_the_example_has_a_photo_beside_its_stain() -> None:
    """The drawn photo of the old dispensary stands beside the stain it shows, taken on the walk."""
    record = record_of(EXAMPLE)
    (photo,) = record["photos"]
    assert photo["sha256"] == hashlib.sha256(PHOTO_FILE.read_bytes()).hexdigest()
    assert (photo["of"], photo["rule"], photo["caution"]) == ("North", "stains-blocked", "")
    holding = [item for party in lay_out(record).holds for item in party.items if item.all_photos]
    assert [item.rule for item in holding] == ["stains-blocked"]
    assert PHOTO_FILE.stat().st_size < 60_000


@pytest.mark.slow
def test_the_example_s_photo_is_what_its_script_draws(tmp_path: Path) -> None:
    """Pixel for pixel, but for what another Pillow's JPEG rounds otherwise."""
    script = tmp_path / "draw-photo.py"
    script.write_bytes((ROOT / "examples" / "draw-photo.py").read_bytes())
    subprocess.run([sys.executable, str(script)], check=True, cwd=tmp_path)
    drawn, kept = (
        opened((folder / PHOTO_FILE.name).read_bytes()).convert("RGB") for folder in (tmp_path, PHOTO_FILE.parent)
    )
    assert drawn.size == kept.size
    apart = [abs(a - b) for a, b in zip(drawn.tobytes(), kept.tobytes(), strict=True)]
    assert sum(apart) / len(apart) < 2
