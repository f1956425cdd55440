"""What a name looks like: two names that a reader cannot tell apart look the same, whatever letters they are made of.

Unicode's compatibility forms are undone (NFKD), and letters of other scripts that are drawn like a Latin one count as
that one. The table holds the plain cases of Cyrillic and Greek, from memory of the list in Unicode Technical Standard
#39; it is not that list. Letters of one script that look alike, such as l and I, stay what they are.
"""

from __future__ import annotations

import unicodedata

LETTERS = (
    ("АВЕЅІЈКМНОРСТУХаеорсухѕіјһԁԛԝΑΒΕΖΗΙΚΜΝΟΡΤΥΧαονρ", "ABESIJKMHOPCTYXaeopcyxsijhdqwABEZHIKMNOPTYXaovp"),
    ("‐‒–—―−’‘ʼ′", "------''''"),
)
"""Signs, and beside each line of them the signs that they look like."""

_TABLE: dict[int, str | None] = {
    ord(sign): looks for signs, alike in LETTERS for sign, looks in zip(signs, alike, strict=True)
}
_TABLE |= {0xFE0E: None, 0xFE0F: None}  # say in which form an emoji is drawn


def look_of(name: str) -> str:
    """What `name` looks like; the same for two names that nobody can tell apart."""
    return " ".join(unicodedata.normalize("NFKD", name).translate(_TABLE).split())
