"""The languages of rule sets and reports: a text stands in English, and below `es:` beside it in Spanish."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

ENGLISH, SPANISH = "en", "es"
LANGUAGES = (ENGLISH, SPANISH)
"""Every language that reports are made in."""


def in_language(part: Mapping[str, Any], language: str) -> Mapping[str, Any]:
    """`part` with the texts it carries in `language` in the place of the English ones."""
    return {**part, **part.get(language, {})}


def title_of(name: str, part: Mapping[str, Any]) -> str:
    """How reports call the fact or limit called `name`: as `part`, in its language, says, else by its name in words."""
    title: str = part.get("title") or name.replace("_", " ").capitalize()
    return title


def untranslated(part: Mapping[str, Any], texts: Iterable[str], languages: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Each language in which `part` lacks one of the `texts` that it has in English, and that text's name."""
    for language in languages:
        for text in texts:
            if language != ENGLISH and text in part and text not in part.get(language, {}):
                yield language, text
