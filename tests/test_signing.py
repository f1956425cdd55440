"""Signing a record: who may decide what, in whole messages; the chain; and what the reports show of it."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from filings import FOLDER, filed
from signed_filings import HELD, KITCHEN, PASSING, READING_ROOM, RELEASE, SEEN, read_back, signed
from surveys import rule_set_called
from wallwalk.checking import check
from wallwalk.climate_reader import read_climate
from wallwalk.errors import InputError
from wallwalk.filed_json import read_filed_json, write_filed_json
from wallwalk.filing import Filing, canonical, digest
from wallwalk.report.html import render_html
from wallwalk.report.terminal import render_sign_off, render_terminal
from wallwalk.rule_reader import read_rule_set
from wallwalk.signing import Signing, releases_in_force, sign
from wallwalk.survey_reader import parse_survey
from wallwalk.yamlio import parse_yaml

REASON = "Read dry by the meter in five places."


def refused(filing: Filing, signing: Signing) -> str:
    """The whole message with which a signing is refused."""
    with pytest.raises(InputError) as refusal:
        sign(filing, signing)
    return str(refusal.value)


def test_an_entry_says_who_decided_what_when_and_why_and_what_it_goes_on_from() -> None:
    """Every field of three entries, each with the digest of what stands before it; times at the site."""
    filing = signed()
    first, second, third = filing.entries
    assert first == {
        "number": 1,
        "at": "2026-03-11T16:00:00-05:00",
        "role": "inspector",
        "name": "Ilse Marrable",
        "decision": "released",
        "hold": {"rule": "primer-dried-long-enough", "subject": "East"},
        "remark": REASON,
        "previous": digest(filing.record),
    }
    assert (second["number"], second["hold"], second["previous"]) == (2, None, digest(first))
    assert (third["number"], third["at"], third["previous"]) == (3, "2026-03-11T18:30:00-05:00", digest(second))
    assert filing.end == digest(third)


def test_signing_changes_nothing_but_the_entries() -> None:
    """The record, its verdict and its inputs stay as they were filed, byte for byte."""
    before, after = filed(READING_ROOM), signed()
    assert (canonical(after.record), after.inputs) == (canonical(before.record), before.inputs)
    assert after.record["verdict"] == "hold"
    assert read_back(after).entries == after.entries


def test_the_same_signing_gives_the_same_bytes() -> None:
    """Nothing of the day, the clock or the machine goes in."""
    again = filed(READING_ROOM)
    for signing in (RELEASE, HELD, SEEN):
        again = sign(read_back(again), signing)
    assert write_filed_json(again) == write_filed_json(signed())


# Which party's holds each role may release, as a plan of hold points is kept: never a trade, never one's own.
_TRADES = {"painter", "drywall", "HVAC", "electrician or plumber"}
MAY_RELEASE: dict[str, dict[str, set[str]]] = {
    name: {
        "general contractor": {worker, *_TRADES},
        "owner": {worker, *_TRADES, "general contractor"},
        "inspector": {worker, *_TRADES, "general contractor", "owner"},
    }
    for name, worker in (("rigid-sheet", "installer"), ("pasted-wallcovering", "paperhanger"))
}


@pytest.mark.parametrize("name", MAY_RELEASE)
def test_who_may_release_stands_in_the_rule_set(name: str) -> None:
    """The general contractor those of the trades, the owner the contractor's as well, the inspector any."""
    rule_set = read_rule_set(name)
    assert {role: set(parties) for role, parties in rule_set.releases.items()} == MAY_RELEASE[name]
    assert set(rule_set.parties) == MAY_RELEASE[name]["inspector"]


def held_by(filing: Filing, party: str) -> Filing:
    """The reading room as if its primer's hold were that of `party`."""
    record: Any = {**filing.record, "findings": [
        {**f, "by": party} if f["rule"] == "primer-dried-long-enough" else f for f in filing.record["findings"]
    ]}  # fmt: skip
    return replace(filing, record=record)


ROLES = (
    "installer",
    "painter",
    "drywall",
    "general contractor",
    "HVAC",
    "electrician or plumber",
    "owner",
    "inspector",
)


@pytest.mark.slow
@pytest.mark.parametrize("role", ROLES)
def test_a_hold_is_released_only_by_who_may_release_it(role: str) -> None:
    """Each role against each party's hold: signed where the rule set says so, refused everywhere else."""
    may = MAY_RELEASE["pasted-wallcovering"]
    for party in sorted(may["inspector"]):
        filing = held_by(filed(READING_ROOM), party)
        signing = replace(RELEASE, role=role)
        if party in may.get(role, set()):
            assert sign(filing, signing).entries[0]["role"] == role
        elif role in may:
            who = [other for other in ("general contractor", "inspector", "owner") if party in may[other]]
            assert refused(filing, signing) == (
                f'--role: is "{role}", who may not release a hold of {party}: primer-dried-long-enough:East; '
                f"let one of these sign: {', '.join(sorted(who, key=list(may).index))}; or walk again"
            )
        else:
            assert refused(filing, signing) == (
                f'--role: is "{role}", who may release nothing by the rule set pasted-wallcovering; '
                "let one of these sign: general contractor, owner, inspector; or walk again"
            )


def test_without_releases_nobody_releases() -> None:
    """A rule set that does not say who may lets nobody; notes are still taken."""
    filing = filed(READING_ROOM)
    silent = replace(filing, record={**filing.record, "rule_set": {**filing.record["rule_set"], "releases": {}}})
    assert refused(silent, RELEASE) == (
        '--role: is "inspector", who may release nothing by the rule set pasted-wallcovering; '
        "put it right and walk again"
    )
    assert sign(silent, SEEN).entries[0]["decision"] == "noted"


def test_what_is_not_verified_is_released_by_nobody() -> None:
    """Neither by itself nor with the whole record; only a new walk settles what nobody knows."""
    unknown = [
        f for f in filed(READING_ROOM).record["findings"] if f["outcome"] == "not verified" and f["grade"] == "hold"
    ]
    name = f"{unknown[0]['rule']}:{unknown[0]['subject']}"
    settle = "find it out, write it down and check again"
    assert refused(filed(READING_ROOM), replace(RELEASE, hold=name)) == (
        f"--hold: is not verified, and what is not verified is not released by a signature: {name}; {settle}"
    )
    several = refused(filed(KITCHEN), Signing("inspector", "Ilse Marrable", "released", "2026-03-11 17:00", "", REASON))
    assert re.fullmatch(
        r"--hold: is not verified, and what is not verified is not released by a signature: "
        rf"([^,;]+:[^,;]+, ){{2}}[^,;]+:[^,;]+ and 175 more; {settle}",
        several,
    )


def test_a_record_that_passes_is_released_without_a_reason() -> None:
    """Nothing is gone over; a trade that may release nothing may not do that either."""
    signing = Signing("inspector", "Ilse Marrable", "released", "2026-03-09 16:00")
    released = sign(filed(PASSING), signing)
    shown = " ".join(render_terminal(released.record, released.entries).split())
    assert "The whole record: released by Ilse Marrable (inspector), Mon 9 Mar 2026 16:00" in shown
    assert refused(filed(PASSING), replace(signing, role="installer")) == (
        '--role: is "installer", who may release nothing by the rule set rigid-sheet; '
        "let one of these sign: general contractor, owner, inspector; or walk again"
    )


MANY = "primer-dried-long-enough"
REFUSED = {
    "role": (replace(RELEASE, role="Inspector"), f'--role: is "Inspector"; write one of: {", ".join(ROLES)}'),
    "name": (replace(RELEASE, name=" "), "--name: is empty; write the name of who signs"),
    "odd name": (
        replace(RELEASE, name="Ilse \u202eelbarraM"),
        '--name: is "Ilse \\u202eelbarraM", which has a character that cannot be printed; write it in plain text',
    ),
    "a name of signs": (
        replace(RELEASE, name="\u2800 \u2800"),
        '--name: is "\u2800 \u2800", which has no letter and no digit; write it in words',
    ),
    "a reason of signs": (
        replace(RELEASE, remark="- . \ufe0f"),
        '--remark: is "- . \ufe0f", which has no letter and no digit; write it in words',
    ),
    "a reason of blanks": (
        replace(RELEASE, remark="\u00a0\u2003\u3000"),
        "--remark: is empty; write the reason for going on over a hold",
    ),
    "a reason that is not seen": (
        replace(RELEASE, remark="\u200b\u3164"),
        '--remark: is "\\u200b\\u3164", which has a character that cannot be printed; write it in plain text',
    ),
    "a long reason": (
        replace(RELEASE, remark="so " * 400),
        "--remark: has 1,199 characters; write it in 1,000 or less",
    ),
    "a role that looks alike": (
        replace(RELEASE, role="inspe\u0441tor"),
        f'--role: is "inspe\u0441tor"; write one of: {", ".join(ROLES)}',
    ),
    "two holds in one": (
        replace(RELEASE, hold=f"{MANY}:East, {MANY}:West"),
        f'--hold: names "East, {MANY}:West", where it does not hold; write {MANY}:East',
    ),
    "before the walk": (
        replace(RELEASE, at="2026-03-11 14:59"),
        "--at: is 2026-03-11T14:59:00-05:00, before the walk that it signs (2026-03-11T15:00:00-05:00); "
        "write when it is signed",
    ),
    "no reason": (replace(RELEASE, remark="  "), "--remark: is empty; write the reason for going on over a hold"),
    "decision": (
        replace(RELEASE, decision="approved"),
        '--decision: is "approved"; write one of: released, held, noted',
    ),
    "a day": (
        replace(RELEASE, at="2026-03-11"),
        '--at: is "2026-03-11"; write the time as well, such as 2026-03-09 08:30',
    ),
    "no time": (
        replace(RELEASE, at="noon"),
        '--at: is "noon"; write it as year-month-day hour:minute, such as 2026-03-09 08:30',
    ),
    "a skipped hour": (
        replace(RELEASE, at="2026-03-08 02:30"),
        '--at: is "2026-03-08 02:30"; the clock change skips "2026-03-08 02:30" in America/Chicago; '
        "write 2026-03-08T01:30:00-06:00 or 2026-03-08T03:30:00-05:00",
    ),
    "rule misspelt": (
        replace(RELEASE, hold="primer-dried-long-enuf"),
        f'--hold: is "primer-dried-long-enuf", and the record has no such rule; write {MANY}',
    ),
    "a rule that passes": (
        replace(RELEASE, hold="power-off-at-boxes"),
        '--hold: is "power-off-at-boxes", which does not hold the work; name a check that holds, or take --hold out',
    ),
    "another wall": (
        replace(RELEASE, hold=f"{MANY}:North"),
        f'--hold: names "North", where it does not hold; write {MANY}:East',
    ),
    "no rule": (replace(RELEASE, hold=":East"), '--hold: is ":East"; write RULE or RULE:SUBJECT'),
}


@pytest.mark.parametrize("wrong", REFUSED)
def test_a_signing_is_refused_with_its_whole_message(wrong: str) -> None:
    """Where it is wrong, what was found, what to write instead."""
    signing, said = REFUSED[wrong]
    assert refused(filed(READING_ROOM), signing) == said


@pytest.mark.slow
def test_a_caution_holds_nothing_and_a_rule_of_several_places_wants_one() -> None:
    """A caution is nothing to release; where a rule holds on two walls, the wall has to be said."""
    record = filed("110-link-corridor").record
    caution = next(f["rule"] for f in record["findings"] if f["grade"] == "caution" and f["outcome"] == "hold")
    assert refused(filed("110-link-corridor"), replace(RELEASE, hold=caution)) == (
        f'--hold: is "{caution}", which only warns; name a check that holds, or take --hold out'
    )
    assert refused(filed("110-link-corridor"), replace(RELEASE, hold="primer-has-dwelled")) == (
        '--hold: is "primer-has-dwelled", which holds 2 times; '
        "write one of: primer-has-dwelled:South, primer-has-dwelled:West end"
    )


def test_entries_stand_in_the_order_of_time() -> None:
    """An entry is not dated before the one it goes on from."""
    assert refused(signed(), replace(SEEN, at="2026-03-11 18:29")) == (
        "--at: is 2026-03-11T18:29:00-05:00, before entry 3 was signed (2026-03-11T18:30:00-05:00); "
        "write when it is signed"
    )


def test_two_may_sign_at_one_moment() -> None:
    """An entry of the same minute as the one before it is in order."""
    assert sign(signed(), replace(SEEN, at="2026-03-11 18:30")).entries[3]["at"] == "2026-03-11T18:30:00-05:00"


def walked(when: str) -> Filing:
    """The reading room, where `when` stands as the time of the walk; empty: nobody said."""
    filing = filed(READING_ROOM)
    survey, line = filing.inputs[0], b"walk:\n  at: 2026-03-11 15:00\n"
    assert survey.content.count(line) == 1
    text = survey.content.replace(line, f"walk:\n  at: {when}\n".encode() if when else b"walk:\n")
    rules = rule_set_called("pasted-wallcovering")
    return replace(
        filing, record=check(read_climate(parse_survey(parse_yaml(text, survey.file)), rules, FOLDER), rules)
    )


@pytest.mark.parametrize(
    ("when", "at", "said"),
    [
        ("2026-03-11", "2026-03-11 00:00", ""),
        (
            "2026-03-11",
            "2026-03-10 23:59",
            "is 2026-03-10T23:59:00-05:00, before the walk that it signs (2026-03-11T00:00",
        ),
        ("2026-03-11 15:00", "2026-03-11 15:00", ""),
        ("2026-03-11 15:00", "2046-03-11 15:00", ""),
        ("", "2006-03-11 00:00", ""),
    ],
)
def test_nothing_is_signed_before_what_it_signs_was_walked(when: str, at: str, said: str) -> None:
    """Only where that is sure: a walk of which the day is known, or nothing, may have been earlier. Later is later."""
    filing = walked(when)
    if said:
        assert refused(filing, replace(SEEN, at=at)).startswith(f"--at: {said}")
    else:
        assert len(sign(filing, replace(SEEN, at=at)).entries) == 1


def test_everything_wrong_is_said_at_once() -> None:
    """Two faults, two lines."""
    assert refused(filed(READING_ROOM), replace(RELEASE, at="noon", hold="power-off-at-boxes")).count("\n") == 1


def test_a_later_held_undoes_a_release() -> None:
    """The last word on a hold counts, be it of the hold or of the whole record; a note is no word on it."""
    released = sign(filed(READING_ROOM), RELEASE)
    noted = sign(released, SEEN)
    again = sign(signed(), replace(RELEASE, at="2026-03-11 19:00"))
    in_force = [
        [(finding["rule"], entry["number"]) for finding, entry in releases_in_force(one.record, one.entries)]
        for one in (filed(READING_ROOM), released, noted, signed(), again)
    ]
    assert in_force == [[], [(MANY, 1)], [(MANY, 1)], [], [(MANY, 4)]]


def test_an_entry_that_nobody_may_sign_shows_no_release() -> None:
    """Written into a file by other means, it still does not stand at the hold."""
    filing = sign(filed(READING_ROOM), RELEASE)
    forged = ({**filing.entries[0], "role": "painter"},)
    assert list(releases_in_force(filing.record, forged)) == []


def texts(page: str) -> str:
    """The words of a page, without its tags."""
    return " ".join(re.sub(r"<[^>]*>", " ", re.sub(r"<(style|svg)\b.*?</\1>", " ", page, flags=re.S)).split())


def required() -> str:
    """What a report calls the released hold."""
    finding = next(f for f in filed(READING_ROOM).record["findings"] if f["rule"] == MANY)
    return f"Required: {finding['title']} · East"


SAID = f"released over hold by Ilse Marrable (inspector), Wed 11 Mar 2026 16:00: {REASON}"


def test_a_release_over_a_hold_is_shown_wherever_the_record_is_drawn() -> None:
    """At the top beside the verdict, which stays, at the hold, and in the sign-off."""
    filing = sign(filed(READING_ROOM), RELEASE)
    terminal = " ".join(render_terminal(filing.record, filing.entries).split())
    page = texts(render_html(filing.record, filing.entries))
    assert terminal.startswith("HOLD | ")
    assert terminal.count(f"{required()}: {SAID}") == 2
    assert page.count(f"{required()}: {SAID}") == 1
    assert f"{required()} {SAID}" in page
    assert f"East: {SAID}" in page
    assert SAID not in texts(render_html(filing.record))


def test_the_sign_off_shows_every_entry_and_keeps_room_for_the_pen() -> None:
    """Released, then held, then noted; the lines to sign in ink are all still there."""
    filing = signed()
    assert " ".join(render_sign_off(filing.record, filing.entries).split()).endswith(
        f"SIGNED - the verdict stays what it was -------------------------------------- 1. {required()}: {SAID} "
        "2. The whole record: held by Oke Brandvold (owner), Wed 11 Mar 2026 17:00: "
        "Not before the outside wall is settled. "
        "3. The whole record: noted by Tadeusz Quarn (general contractor), Wed 11 Mar 2026 18:30: Seen."
    )
    plain, page = render_html(filing.record), render_html(filing.record, filing.entries)
    assert page.count('<tr><th scope="row">Installer</th><td></td><td></td><td></td><td></td></tr>') == 1
    assert page.count("<td></td>") == plain.count("<td></td>") > 12
    assert "Signed on this record" not in plain


def test_a_record_in_spanish_shows_what_was_signed_in_spanish() -> None:
    """The fixed words and the role; names and remarks stay as they were written."""
    filing = sign(filed(READING_ROOM, language="es"), RELEASE)
    shown = " ".join(render_sign_off(filing.record, filing.entries).split())
    said = f"liberado pese a la retención por Ilse Marrable (inspector), mié 11 mar 2026 16:00: {REASON}"
    assert shown.startswith("RETENIDO | 507 ")
    assert f"· East: {said}" in shown
    assert "1. Se requiere: " in shown
    page = texts(render_html(filing.record, filing.entries))
    assert "Firmado en esta acta" in page
    assert page.count(said) == 3


def test_names_and_remarks_cannot_write_into_the_page() -> None:
    """What looks like markup is shown, not obeyed."""
    filing = sign(filed(READING_ROOM), replace(SEEN, name="<b>Quarn</b>", remark="<script>1</script>"))
    page = render_html(filing.record, filing.entries)
    assert "&lt;script&gt;1&lt;/script&gt;" in page
    assert "<script" not in page
    assert "<b>Quarn" not in page


def wallwalk(*arguments: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """The command line, run in `folder`."""
    return subprocess.run(["wallwalk", *arguments], cwd=folder, capture_output=True, text=True, check=False)


WHO = ("--role", "owner", "--name", "Oke Brandvold", "--decision", "noted", "--at", "2026-03-11 17:00")


def test_the_command_writes_the_signed_record_and_names_it(tmp_path: Path) -> None:
    """The new file holds the entry, the old one stays; the page beside it shows it."""
    (tmp_path / "room.json").write_bytes(write_filed_json(filed(READING_ROOM)))
    done = wallwalk("sign", "room.json", "-o", "signed.json", "-o", "signed.html", *WHO, folder=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines()[-3:] == [
        " 1. The whole record: noted by Oke Brandvold (owner), Wed 11 Mar 2026 17:00",
        "Wrote signed.json",
        "Wrote signed.html",
    ]
    after = read_filed_json((tmp_path / "signed.json").read_bytes(), "signed.json")
    assert [entry["name"] for entry in after.entries] == ["Oke Brandvold"]
    assert (tmp_path / "room.json").read_bytes() == write_filed_json(filed(READING_ROOM))
    assert "noted by Oke Brandvold (owner)" in (tmp_path / "signed.html").read_text()


@pytest.mark.slow
def test_the_command_refuses_in_one_clear_message(tmp_path: Path) -> None:
    """What was changed since, an output that nothing can be signed on, the record itself, a file that is none."""
    written = write_filed_json(signed())
    (tmp_path / "room.json").write_bytes(written)
    (tmp_path / "changed.json").write_bytes(written.replace(b"Oke Brandvold", b"Oke Brandveld"))
    (tmp_path / "room.pdf").write_bytes(b"%PDF-1.7")
    late = (*WHO[:-1], "2026-03-12 17:00")
    said = {
        ("changed.json", "-o", "x.json"): (
            "changed.json: entry 2 (held by Oke Brandveld, owner): changed since entry 3 was signed; "
            "sign the record as it was filed; wallwalk verify says more\n"
        ),
        ("room.json", "-o", "x.html"): (
            "-o: writes x.html, which nothing can be signed on or verified by; "
            "write a file that ends in .json or .pdf as well\n"
        ),
        ("room.json", "-o", "room.json"): "room.json: is read to make this; give another name\n",
        ("none.json", "-o", "x.json"): "none.json: is not there; give the path of a filed record\n",
        (".", "-o", "x.json"): ".: is a folder; give the path of a filed record\n",
    }
    for arguments, message in said.items():
        done = wallwalk("sign", *arguments, *late, folder=tmp_path)
        assert (done.returncode, done.stdout if done.stdout.startswith("Wrote") else "", done.stderr) == (
            2,
            "",
            message,
        )
    assert not list(tmp_path.glob("x.*"))


@pytest.mark.parametrize("command", ["sign", "verify"])
def test_help_says_what_a_name_proves(command: str, tmp_path: Path) -> None:
    """No claim of identity beyond what is there."""
    shown = " ".join(wallwalk(command, "--help", folder=tmp_path).stdout.split())
    assert "an entry proves that nothing was changed since, and not who made it" in shown
