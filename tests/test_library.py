"""wallwalk used by other programs: few names, loaded when asked for, pure, and the same on a cluster."""

from __future__ import annotations

import json
import pickle
import subprocess
import sys
from pathlib import Path

import pytest

import wallwalk
from make_surveys import make_surveys
from surveys import ROOT, example, rigid_sheet
from test_documents import DEVELOPERS, block
from wallwalk import InputError, Record, RuleSet, Survey, check, read_files, read_inputs, read_rule_set, read_survey
from wallwalk.filing import canonical
from wallwalk.values import Verdict

ROOM = ROOT / "examples" / "204-treatment-room.yaml"


def python(script: str, *arguments: str, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    """Run a script as a program of its own."""
    command = [sys.executable, "-c", script, *arguments]
    return subprocess.run(command, capture_output=True, text=True, cwd=cwd, check=False)


def test_every_name_is_there_and_documented() -> None:
    """The public face is about a dozen names, each in the contributor's guide, and no other is made up."""
    assert len(wallwalk.__all__) == 15
    part = DEVELOPERS[DEVELOPERS.index("## Use it as a library") :]
    part = part[: part.index("\n## ", 5)]
    for name in wallwalk.__all__:
        assert f"`{name}" in part
        assert getattr(wallwalk, name).__module__.startswith("wallwalk.") or name == "Record"
    with pytest.raises(AttributeError, match="module 'wallwalk' has no attribute 'judgement'"):
        wallwalk.judgement  # type: ignore[attr-defined]  # noqa: B018


def test_importing_it_loads_nothing() -> None:
    """Not one of its own modules, nor a package it leans on, until a name is asked for."""
    script = (
        "import sys; before = set(sys.modules); import wallwalk; print(*sorted(set(sys.modules) - before)); "
        "wallwalk.InputError; print('wallwalk.errors' in sys.modules, 'yaml' in sys.modules)"
    )
    own, after = python(script).stdout.splitlines()
    assert [name for name in own.split() if name.partition(".")[0] in {"wallwalk", "yaml", "click"}] == ["wallwalk"]
    assert after == "True False"


@pytest.mark.slow
def test_types_are_seen_by_other_programs(tmp_path: Path) -> None:
    """A type checker knows every name, and finds one that is not there."""
    (tmp_path / "good.py").write_text(
        "from pathlib import Path\nfrom wallwalk import Record, check, read_inputs\n"
        "def ask(path: Path) -> Record:\n    return check(*read_inputs(path))\n"
    )
    (tmp_path / "bad.py").write_text("from wallwalk import check, judgement\ncheck(1, 2)\n")
    command = [sys.executable, "-m", "mypy", "--strict", "--config-file", "", "good.py", "bad.py"]
    done = subprocess.run(command, capture_output=True, text=True, cwd=tmp_path, check=False)
    found = [line.partition(" error: ")[2].partition(";")[0] for line in done.stdout.splitlines() if "error: " in line]
    assert found == [
        'Module "wallwalk" has no attribute "judgement"  [attr-defined]',
        'Argument 1 to "check" has incompatible type "int"',
        'Argument 2 to "check" has incompatible type "int"',
    ]


def test_the_code_in_the_guide_runs(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """What DEVELOPERS shows is run as it stands; it prints what its last lines say, and nothing more."""
    monkeypatch.chdir(ROOT)
    code = block(DEVELOPERS, "python", "from wallwalk import")
    exec(compile(code, "DEVELOPERS.md", "exec"), {"__name__": "shown"})  # noqa: S102 - our own text
    said = [line.partition("# ")[2] for line in code.splitlines() if line.strip().startswith("print(")]
    out, err = capfd.readouterr()
    assert (out.splitlines(), err) == (said, "")
    assert len(said) == 3


def test_reading_and_judging_stand_apart() -> None:
    """Once read, nothing is read again: the same record comes out with every file gone and no name to find one by."""
    survey = read_survey(ROOM)
    rule_set = read_rule_set("rigid-sheet")
    whole = read_files(survey, rule_set, ROOM.parent)
    both = read_inputs(ROOM)
    assert (whole, rule_set) == both
    script = (
        "import builtins, os, pickle, sys\nread = pickle.load(sys.stdin.buffer)\nfrom wallwalk import check\n"
        "import wallwalk.words, zoneinfo\ncheck(*read)\n"
        "def gone(*a, **k): raise OSError('a file was asked for')\n"
        "import io, time\nbuiltins.open = io.open = os.open = os.stat = os.listdir = gone\n"
        "time.time = time.time_ns = time.monotonic = gone\n"
        "sys.stdout.buffer.write(pickle.dumps(check(*read)))"
    )
    given = pickle.dumps(both)
    done = subprocess.run([sys.executable, "-c", script], input=given, capture_output=True, check=False)
    assert done.stderr == b""
    assert pickle.loads(done.stdout) == check(*both)  # noqa: S301 - our own


def test_surveys_rule_sets_and_records_travel(tmp_path: Path) -> None:
    """Pickled and read again each is the same, gives the same record, and an error keeps its faults."""
    for name in ("204-treatment-room", "014-old-dispensary"):
        survey: Survey = example(name)
        again, rules = pickle.loads(pickle.dumps((survey, rigid_sheet())))  # noqa: S301 - our own
        assert (again, rules, again.content) == (survey, rigid_sheet(), survey.content)
        record: Record = check(again, rules)
        assert canonical(record) == canonical(check(survey, rigid_sheet()))
        assert pickle.loads(pickle.dumps(record)) == record  # noqa: S301 - our own
    (tmp_path / "bad.yaml").write_text("space: {name: A}\nwalls: 3\nwalk: [1]\n")
    with pytest.raises(InputError) as refused:
        read_survey(tmp_path / "bad.yaml")
    travelled = pickle.loads(pickle.dumps(refused.value))  # noqa: S301 - our own
    assert (travelled.faults, str(travelled)) == (refused.value.faults, str(refused.value))
    assert len(travelled.faults) == 2


def test_overlays_that_a_survey_names_are_not_forgotten(tmp_path: Path) -> None:
    """By a rule set without them another verdict might come out, so there is none."""
    path = tmp_path / "room.yaml"
    path.write_text("space: {name: A}\noverlays:\n  - file: ours.yaml\n  - file: theirs.yaml\n")
    with pytest.raises(InputError) as refused:
        check(read_survey(path), rigid_sheet())
    said = "which is not laid over the rule set; lay it over the rule set, or take it out"
    assert str(refused.value).splitlines() == [
        f'{path}:3: overlays[0].file is "ours.yaml", {said}',
        f'{path}:4: overlays[1].file is "theirs.yaml", {said}',
    ]


# -- on a cluster ---------------------------------------------------------------------------------------------------

BAG = """
import sys
from pathlib import Path
import dask.bag
from dask.distributed import Client, LocalCluster
from wallwalk import RuleSet, Survey, check, read_rule_set, read_survey
from wallwalk.filing import canonical

def record_of(survey: Survey, rule_set: RuleSet) -> bytes:
    return canonical(check(survey, rule_set))

if __name__ == "__main__":
    surveys = [read_survey(path) for path in sorted(Path(sys.argv[1]).glob("*.yaml"))[::5]]
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as here, Client(here):
        bag = dask.bag.from_sequence(surveys, npartitions=6)
        records = bag.map(record_of, read_rule_set("rigid-sheet")).compute()
    Path(sys.argv[2]).write_bytes(b"\\n".join(records))
"""


def complaints(stderr: str) -> list[str]:
    """What a cluster says, but that on a busy machine its processes were slow to end."""
    return [line for line in stderr.splitlines() if "Worker process still alive" not in line]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A hundred surveys of one or two walls."""
    folder = tmp_path_factory.mktemp("made")
    assert len(list(make_surveys(folder, 50, walls=1))) == 50
    for path in make_surveys(folder / "two", 50, walls=2, seed=8):
        path.rename(folder / f"two-{path.name}")
    return folder


@pytest.fixture(scope="module")
def records(made: Path) -> list[Record]:
    """The record of each, by a plain loop."""
    rule_set: RuleSet = read_rule_set("rigid-sheet")
    found = [check(read_survey(path), rule_set) for path in sorted(made.glob("*.yaml"))]
    assert len(found) == 100
    assert {record["verdict"] for record in found} == set(Verdict) - {Verdict.NOT_VERIFIED}
    return found


@pytest.mark.slow
def test_a_cluster_gives_the_records_of_a_plain_loop(made: Path, records: list[Record], tmp_path: Path) -> None:
    """The example script, on two processes of a local cluster: every record, in order; no warning from either side."""
    out = tmp_path / "records.jsonl"
    command = [sys.executable, "-W", "error", str(ROOT / "examples" / "many-surveys.py"), str(made), str(out)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, complaints(done.stderr)) == (0, "", [])
    assert [canonical(json.loads(line)) for line in out.read_text().splitlines()] == list(map(canonical, records))


@pytest.mark.slow
def test_surveys_travel_in_a_bag(made: Path, records: list[Record], tmp_path: Path) -> None:
    """Surveys that were read here, every fifth, are judged there, and give the same bytes."""
    (tmp_path / "bag.py").write_text(BAG)
    command = [sys.executable, "-W", "error", "bag.py", str(made), "records"]
    done = subprocess.run(command, capture_output=True, text=True, cwd=tmp_path, check=False)
    assert (done.returncode, done.stdout, complaints(done.stderr)) == (0, "", [])
    assert (tmp_path / "records").read_bytes().split(b"\n") == list(map(canonical, records[::5]))
