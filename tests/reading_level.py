"""How hard an English text reads: Flesch-Kincaid grade and sentence length, counted in words and syllables.

Grade = 0.39 x words per sentence + 11.8 x syllables per word - 15.59, as the package textstat 0.7.3 has it. Syllables
are told from the spelling, by the vowels that stand together; numbers, units and capitals count as one each.
"""

from __future__ import annotations

import re

_SENTENCE_END = re.compile(r"(?<=[.!?])\s+")
_PLACEHOLDER = re.compile(r"\{[a-z_]+\}")
_WORD = re.compile(r"\S*[A-Za-z0-9]\S*")
_VOWELS = re.compile(r"[aeiou]+y?|y")
_PARTED = re.compile(r"(?<![cgst])i(?=a)|[eo](?=ing)")
_SILENT = re.compile(r"(?:(?<![td])ed|(?<![^aeiouy]l)(?<![scgxz])(?<!sh)(?<!ch)es|(?<![^aeiouy]l)e)$")


def sentences(text: str) -> list[str]:
    """The sentences of a text; a placeholder is read as a value, two words such as `72 °F`."""
    return [part for part in _SENTENCE_END.split(_PLACEHOLDER.sub("72 °F", text).strip()) if part]


def words(text: str) -> list[str]:
    """What stands between blanks and holds a letter or a digit."""
    return _WORD.findall(text)


def syllables(word: str) -> int:
    """How many syllables a word has by its spelling, never less than one; a hyphen parts two words."""
    return sum(_part_syllables(part) for part in re.split(r"[-/]", word) if re.search(r"[A-Za-z0-9]", part)) or 1


def _part_syllables(part: str) -> int:
    letters = re.sub(r"[^a-z]", "", part.lower())
    if not letters or any(c.isdigit() for c in part) or part.isupper():
        return 1
    sounded = _SILENT.sub("", letters).removeprefix("y")
    return max(1, len(_VOWELS.findall(sounded)) + len(_PARTED.findall(sounded)))


def grade(text: str) -> float:
    """Flesch-Kincaid grade of a text with at least one word."""
    parts = sentences(text)
    said = [word for part in parts for word in words(part)]
    return 0.39 * len(said) / len(parts) + 11.8 * sum(map(syllables, said)) / len(said) - 15.59
