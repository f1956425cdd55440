"""An invented project of rooms for tests of the board: each is the ready example room with a few answers changed."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path

from surveys import ROOT
from wallwalk.checking import check
from wallwalk.cli.starting import read_inputs
from wallwalk.filed_json import write_filed_json
from wallwalk.filing import Filing, file_record
from wallwalk.signing import Signing, sign

PROJECT = "Fennimore Wharf Clinic"
_LOG = re.compile(r"climate_logs_kept: 1\nclimate_log:.*?(?=walls_in_scope)", re.DOTALL)
_MOMENT = re.compile(r"2026-03-\d\d \d\d:\d\d")
_NAME = "name: 204 Treatment room"
DUSTY = ("wipe_clean: yes\n      tape_made: no", "wipe_clean: no\n      tape_made: yes\n      tape_quantity: 3")
RELEASE = Signing(
    "general contractor",
    "Tadeusz Quarn",
    "released",
    "2026-03-09 17:00",
    "no-dust:North",
    "Dust is behind the door frame only.",
)


@cache
def base() -> str:
    """The example room that is ready, of the invented project and without its climate log."""
    text = (ROOT / "examples" / "204-treatment-room.yaml").read_text(encoding="utf-8")
    text = _LOG.sub("climate_logs_kept: 0\n\n", text).replace("Quillen Ferry Clinic, refit and link", PROJECT)
    assert "climate_logs_kept: 0" in text
    assert PROJECT in text
    return text


def room(name: str, level: str = "1", *changes: tuple[str, str], days: int = 0, wall: str = "") -> str:
    """The survey of a room with that name; each change is made once, below `wall` where one is named.

    `days`: so many days later than the example.
    """
    text = base().replace(_NAME, f"name: {name}").replace("level: 2", f"level: {level}")
    for old, new in changes:
        at = text.index(f"  - name: {wall}") if wall else 0
        assert old in text[at:], old
        text = text[:at] + text[at:].replace(old, new, 1)
    return _MOMENT.sub(lambda found: _later(found[0], days), text) if days else text


def _later(moment: str, days: int) -> str:
    return f"{datetime.fromisoformat(moment) + timedelta(days=days):%Y-%m-%d %H:%M}"


def filed(survey: Path, *signings: Signing) -> Filing:
    """The survey at a path, checked, filed and signed."""
    read, rule_set = read_inputs(survey, None)
    filing = file_record(check(read, rule_set), read, rule_set, survey.parent)
    for signing in signings:
        filing = sign(filing, signing)
    return filing


def write_project(folder: Path) -> Path:
    """The project in a folder, with its list of spaces in spaces.yaml; gives the folder."""
    space_not_clear = ("space_clear: yes", "space_clear: no")
    dusty_north = room("104 Store", "1", DUSTY, wall="North")
    rooms = {
        "1/101.yaml": room("101 Office"),
        "1/102.yaml": room(
            "102 Office", "1", ("finished: 2026-03-06 14:10", "finished: 2026-03-09 14:10"), wall="North"
        ),
        "1/103.yaml": room("103 Store", "1", DUSTY, wall="North"),
        "1/104.yaml": _also(dusty_north, DUSTY, "West"),
        "2/201.yaml": room("201 Ward", "2", ("pva_primer: no", "pva_primer: unknown"), wall="South"),
        "2/202.yaml": room("202 Ward", "2", DUSTY, wall="North").replace(*space_not_clear),
        "2/203-first.yaml": room("203 Ward", "2", DUSTY, wall="North", days=-3),
        "2/203-second.yaml": room("203 Ward", "2"),
        "2/204-a.yaml": room("204 Ward", "2"),
        "2/204-b.yaml": room("204 Ward", "2", DUSTY, wall="North"),
        "2/206-first.yaml": room("206 Ward", "2", days=0),
        "2/206-second.yaml": room("206 Ward", "2", ("planned_start: 2026-03-10 08:00", "planned_start: tomorrow")),
        "2/unnamed.yaml": room("X", "2", ("  name: X\n", "")),
        "3/301.yaml": room("301 Plant", "3", days=-7),
        "3/302.yaml": room("302 Plant", "3", days=-2),
        "overlay.yaml": (ROOT / "examples" / "overlays" / "nessuval-2026.yaml").read_text(encoding="utf-8"),
        "notes.yaml": "milk: 2\n",
        "torn.yaml": "air: [\n  {temperature: 68 °F}\nair_taken: 1\n",
        ".drafts/101.yaml": room("101 Office", "1", DUSTY, wall="North", days=1),
        "spaces.yaml": LISTED,
    }
    for name, text in rooms.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    (folder / "link.yaml").symlink_to("1/101.yaml")
    survey = folder.parent / "205.yaml"
    survey.write_text(room("205 Ward", "2", DUSTY, wall="North"), encoding="utf-8")
    (folder / "2" / "205.json").write_bytes(write_filed_json(filed(survey, RELEASE)))
    return folder


def _also(text: str, change: tuple[str, str], wall: str) -> str:
    at = text.index(f"  - name: {wall}")
    assert change[0] in text[at:]
    return text[:at] + text[at:].replace(*change, 1)


LISTED = """\
spaces:
  - {name: 101 Office, level: 1}
  - {name: 102 Office, level: 1}
  - {name: 103 Store, level: 1}
  - {name: 104 Store, level: 1}
  - {name: 201 Ward, level: 2}
  - {name: 202 ward, level: 2}
  - {name: 203 Ward}
  - {name: 204  Ward, level: 2, project: Fennimore Wharf Clinic}
  - {name: 205 Ward, level: 2}
  - {name: 206 Ward, level: 2}
  - {name: 301 Plant, level: 3}
  - {name: 401 Laboratory, level: 4}
"""
