"""Ways of altering a filed record, each one thing at a time, and what a check of it must then name.

Each takes the file as plain data and a source of chance, alters the data, and says which kinds of line may name it and
what that line must hold.
"""

from __future__ import annotations

import base64
import hashlib
import re
import zlib
from collections.abc import Callable, Iterator
from random import Random
from typing import Any

from wallwalk.filing import CLIMATE_LOG, OVERLAY, PHOTO, RULE_SET, SURVEY
from wallwalk.matching import ENTRY, RECORD, SHAPE

Whole = Any
Part = Any
Named = tuple[set[str], str]
"""The kinds of line one of which must say so, and a pattern that is found in it."""


def _content(part: Part) -> bytes:
    return zlib.decompress(base64.b64decode(part["content"]))


def _pack(part: Part, content: bytes) -> None:
    part["content"] = base64.b64encode(zlib.compress(content, 9)).decode()


def _inputs(whole: Whole, role: str) -> list[Any]:
    return [part for part in whole["inputs"] if part["role"] == role]


def _other_letter(chance: Random, text: bytes, places: list[int]) -> bytes:
    place = chance.choice(places)
    old = text[place : place + 1]
    pool = b"0123456789" if old.isdigit() else b"abcdefghijklmnopqrstuvwxyz"
    new = chance.choice([c for c in pool if c != old[0]])
    return text[:place] + bytes([new]) + text[place + 1 :]


def _letters(text: bytes) -> list[int]:
    return [i for i, c in enumerate(text) if chr(c).isalnum() and c < 128]


def survey_answer(whole: Whole, chance: Random) -> Named:
    """One letter or digit of one answer."""
    part = _inputs(whole, SURVEY)[0]
    text = _content(part)
    letters = set(_letters(text))
    answers = [i for m in re.finditer(rb": ([^\n#]+)", text) for i in range(*m.span(1)) if i in letters]
    _pack(part, _other_letter(chance, text, answers))
    return {SURVEY}, "changed since it was checked"


def log_row(whole: Whole, chance: Random) -> Named:
    """One digit of a row, or a whole row taken out."""
    part = _inputs(whole, CLIMATE_LOG)[0]
    lines = _content(part).splitlines(keepends=True)
    row = chance.randrange(2, len(lines))
    if chance.random() < 0.5:
        del lines[row]
    else:
        digits = [i for i, c in enumerate(lines[row]) if chr(c).isdigit()]
        lines[row] = _other_letter(chance, lines[row], digits)
    _pack(part, b"".join(lines))
    return {CLIMATE_LOG}, "changed since it was checked"


def rule_limit(whole: Whole, chance: Random) -> Named:
    """One digit of one limit."""
    parts = [p for p in _inputs(whole, RULE_SET) if re.search(rb"value: [0-9]", _content(p))]
    part = chance.choice(parts)
    text = _content(part)
    numbers = [
        i for m in re.finditer(rb"value: ([0-9][^,}]*)", text) for i in range(*m.span(1)) if text[i : i + 1].isdigit()
    ]
    _pack(part, _other_letter(chance, text, numbers))
    return {RULE_SET}, f"{re.escape(part['file'])}: changed since it was checked by"


def overlay_byte(whole: Whole, chance: Random) -> Named:
    """One letter of the overlay."""
    part = _inputs(whole, OVERLAY)[0]
    text = _content(part)
    _pack(part, _other_letter(chance, text, _letters(text)))
    return {OVERLAY}, "changed since it was checked"


def photo_byte(whole: Whole, chance: Random) -> Named:
    """One byte of the pixels of a photo."""
    part = _inputs(whole, PHOTO)[0]
    content = bytearray(_content(part))
    content[chance.randrange(len(content) // 2, len(content) - 2)] ^= 1 << chance.randrange(8)
    _pack(part, bytes(content))
    return {PHOTO}, "changed since it was checked"


def photo_shown(whole: Whole, chance: Random) -> Named:
    """One byte of the small picture that the report shows."""
    photo = whole["record"]["photos"][0]
    content = bytearray(base64.b64decode(photo["shown"]))
    content[chance.randrange(len(content) // 2, len(content) - 2)] ^= 1 << chance.randrange(8)
    photo["shown"] = base64.b64encode(content).decode()
    return {RECORD}, r"photos\[0\]\.shown is "


def photo_caption(whole: Whole, chance: Random) -> Named:
    """What a photo is said to be of, when it was taken, or its note."""
    key = chance.choice(["note", "of", "rule", "caution"])
    whole["record"]["photos"][0][key] += "x"
    return {RECORD}, rf"photos\[0\]\.{key} is "


def verdict(whole: Whole, _: Random) -> Named:
    """Hold becomes pass."""
    record = whole["record"]
    was, record["verdict"] = record["verdict"], "pass" if record["verdict"] == "hold" else "hold"
    return {RECORD}, f'verdict is "{record["verdict"]}", and the inputs give "{was}"'


def finding(whole: Whole, chance: Random) -> Named:
    """The outcome of one finding."""
    findings = whole["record"]["findings"]
    i = chance.randrange(len(findings))
    was = findings[i]["outcome"]
    now = chance.choice([o for o in ("pass", "hold", "not verified", "does not apply") if o != was])
    findings[i]["outcome"] = now
    return {RECORD}, re.escape(
        f'findings[{i}].outcome is "{now}", and the inputs give "{was}" ({findings[i]["rule"]}, '
    )


def margin(whole: Whole, chance: Random) -> Named:
    """The words of one margin."""
    places = [
        (i, j)
        for i, f in enumerate(whole["record"]["findings"])
        for j, compared in enumerate(f["compared"])
        if compared["margin"]
    ]
    i, j = chance.choice(places)
    whole["record"]["findings"][i]["compared"][j]["margin"] += "0"
    return {RECORD}, re.escape(f"findings[{i}].compared[{j}].margin is ")


def recorded_limit(whole: Whole, chance: Random) -> Named:
    """A limit as the record says it was."""
    limits = whole["record"]["limits"]
    i = chance.randrange(len(limits))
    limits[i]["written"] = f"1{limits[i]['written']}"
    return {RECORD}, re.escape(f"limits[{i}].written is ") + rf".*\({limits[i]['name']}\)"


def leaf_of_record(whole: Whole, chance: Random) -> Named:
    """Any one text, number or truth of the record."""
    places = list(_leaves(whole["record"]))
    parent, key = chance.choice(places)
    old = parent[key]
    if isinstance(old, bool):
        parent[key] = not old
    elif isinstance(old, (int, float)):
        parent[key] = old + 1
    else:
        parent[key] = f"{old}x"
    return {RECORD, SHAPE, SURVEY, CLIMATE_LOG, RULE_SET, OVERLAY}, "."


def _leaves(node: Part) -> Iterator[tuple[Any, Any]]:
    for key, part in node.items() if isinstance(node, dict) else enumerate(node):
        if isinstance(part, (dict, list)):
            yield from _leaves(part)
        elif part is not None:
            yield node, key


def leaf_taken_out(whole: Whole, chance: Random) -> Named:
    """One named thing of one finding taken out."""
    i = chance.randrange(len(whole["record"]["findings"]))
    key = chance.choice(sorted(whole["record"]["findings"][i]))
    del whole["record"]["findings"][i][key]
    return {SHAPE}, re.escape(f"record.findings[{i}] has no {key}, which no filed record has")


def finding_taken_out(whole: Whole, chance: Random) -> Named:
    """One finding less."""
    findings = whole["record"]["findings"]
    del findings[chance.randrange(len(findings))]
    return {RECORD}, r"findings\[\d+\]\.|findings has "


def _an_entry(whole: Whole, chance: Random) -> tuple[int, Any]:
    i = chance.randrange(len(whole["entries"]))
    return i + 1, whole["entries"][i]


def signer(whole: Whole, chance: Random) -> Named:
    """One letter of the name of who signed."""
    number, entry = _an_entry(whole, chance)
    name = entry["name"].encode()
    entry["name"] = _other_letter(chance, name, _letters(name)).decode()
    return {ENTRY}, f"^entry {number} "


def remark(whole: Whole, chance: Random) -> Named:
    """A word more in a remark."""
    number, entry = _an_entry(whole, chance)
    entry["remark"] += " Not."
    return {ENTRY}, f"^entry {number} "


def signed_part(whole: Whole, chance: Random) -> Named:
    """The role, the moment, the decision or the hold of an entry."""
    number, entry = _an_entry(whole, chance)
    part = chance.choice(["role", "at", "decision", "hold"])
    entry[part] = {
        "role": "drywall" if entry["role"] != "drywall" else "owner",
        "at": entry["at"].replace(":00-", ":01-"),
        "decision": "held" if entry["decision"] != "held" else "noted",
        "hold": None if entry["hold"] else {"rule": "primer-dried-long-enough", "subject": "East"},
    }[part]
    return {ENTRY}, f"^entry {number} "


def entries_moved(whole: Whole, chance: Random) -> Named:
    """Two entries in each other's place."""
    i, j = chance.sample(range(len(whole["entries"])), 2)
    entries = whole["entries"]
    entries[i], entries[j] = entries[j], entries[i]
    return {ENTRY}, "^entries: number . stands where number . belongs"


def entry_dropped(whole: Whole, chance: Random) -> Named:
    """One entry less."""
    count = len(whole["entries"])
    i = chance.randrange(count)
    del whole["entries"][i]
    if i == count - 1:
        return {ENTRY}, f"^entries: {count} were signed when the file was written, and {count - 1} are in it"
    return {ENTRY}, f"^entries: number {i + 2} stands where number {i + 1} belongs"


def entry_twice(whole: Whole, chance: Random) -> Named:
    """An entry written in once more."""
    _, entry = _an_entry(whole, chance)
    whole["entries"].append(dict(entry))
    return {ENTRY}, "^entries: "


def _other_digest(chance: Random) -> str:
    return hashlib.sha256(chance.randbytes(8)).hexdigest()


def previous(whole: Whole, chance: Random) -> Named:
    """What an entry goes on from."""
    number, entry = _an_entry(whole, chance)
    entry["previous"] = _other_digest(chance)
    return {ENTRY}, f"^entry {number} "


def end_digest(whole: Whole, chance: Random) -> Named:
    """The digest at the end of the file."""
    whole["end"]["digest"] = _other_digest(chance)
    return {ENTRY, RECORD}, "or the digest at the end of the file was"


def end_count(whole: Whole, chance: Random) -> Named:
    """How many entries there were."""
    whole["end"]["entries"] += chance.randint(1, 3)
    return {ENTRY}, "^entries: "


def recorded_digest(whole: Whole, chance: Random) -> Named:
    """A digest of an input, in the record."""
    record = whole["record"]
    places = [(SURVEY, "survey", record["survey"]), (RULE_SET, "rule_set", record["rule_set"])]
    places += [
        (CLIMATE_LOG, f"climate.logs[{i}]", log) for i, log in enumerate((record["climate"] or {}).get("logs", ()))
    ]
    places += [(OVERLAY, f"rule_set.overlays[{i}]", o) for i, o in enumerate(record["rule_set"]["overlays"])]
    role, place, part = chance.choice(places)
    part["sha256"] = _other_digest(chance)
    return {role}, re.escape(f"record.{place}.sha256")


def digest_beside(whole: Whole, chance: Random) -> Named:
    """The digest that is filed beside an input."""
    part = chance.choice(whole["inputs"])
    part["sha256"] = _other_digest(chance)
    return {part["role"]}, "it or the digest filed beside it was changed: its own is .*, and the one filed beside it"


def input_and_digest(whole: Whole, chance: Random) -> Named:
    """An input with the digest beside it, as one who knows the form would."""
    part = chance.choice(whole["inputs"])
    text = _content(part)
    changed = _other_letter(chance, text, _letters(text))
    _pack(part, changed)
    part["sha256"] = hashlib.sha256(changed).hexdigest()
    return {part["role"]}, r"record\..*sha256"


def input_dropped(whole: Whole, chance: Random) -> Named:
    """One file less."""
    i = chance.randrange(len(whole["inputs"]))
    part = whole["inputs"].pop(i)
    return {part["role"]}, "is not in the file|its files do not give"


def input_renamed(whole: Whole, chance: Random) -> Named:
    """A file under another name."""
    part = chance.choice(whole["inputs"])
    part["file"] = f"x{part['file']}"
    return {part["role"]}, "the file names it|its files do not give"


def input_of_another_role(whole: Whole, chance: Random) -> Named:
    """A file that was something else to the check."""
    part = chance.choice(whole["inputs"])
    part["role"] = chance.choice([r for r in (SURVEY, CLIMATE_LOG, RULE_SET, OVERLAY) if r != part["role"]])
    return {SURVEY, CLIMATE_LOG, RULE_SET, OVERLAY}, "."


def packed_content(whole: Whole, chance: Random) -> Named:
    """One letter of an input as it is packed."""
    part = chance.choice(whole["inputs"])
    letters = part["content"]
    place = chance.randrange(len(letters.rstrip("=")))
    new = chance.choice(
        [c for c in "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/" if c != letters[place]]
    )
    part["content"] = letters[:place] + new + letters[place + 1 :]
    return {part["role"]}, "changed since it was checked|packed otherwise"


ALTERATIONS: tuple[Callable[[Whole, Random], Named], ...] = (
    survey_answer, log_row, rule_limit, overlay_byte, photo_byte, photo_shown, photo_caption,
    verdict, finding, margin, recorded_limit, leaf_of_record,
    leaf_taken_out, finding_taken_out, signer, remark, signed_part, entries_moved, entry_dropped, entry_twice, previous,
    end_digest, end_count, recorded_digest, digest_beside, input_and_digest, input_dropped, input_renamed,
    input_of_another_role, packed_content,
)  # fmt: skip
