"""The fixed words of records and reports in one language: the English ones stand in the code, and are the key.

`templates/locale/` holds what they are in another language. A text that is marked here with `fixed`, or said by one of
the methods of `Words`, is found there by `tests/test_spanish.py`, which wants every one translated.
"""

from __future__ import annotations

import gettext
import io
from dataclasses import dataclass
from datetime import datetime
from functools import cache

from wallwalk.languages import ENGLISH, SPANISH
from wallwalk.resources import data_folder

_LOCALES = {SPANISH: "es_US"}
"""Whose dates and numbers are shown: es_US keeps the decimal point, as meters, labels and the survey write it."""

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def fixed(text: str) -> str:
    """`text` itself: marks a fixed word where it stands apart from the place that says it."""
    return text


@dataclass(frozen=True, slots=True)
class Words:
    """The fixed words of one language. `locale` is that of its dates and numbers, empty for English."""

    language: str
    locale: str
    translations: gettext.NullTranslations

    def say(self, text: str, /, **parts: object) -> str:
        """`text`, written out at the place that says it, in this language, with `parts` in the places it names."""
        return self.tell(text, **parts)

    def tell(self, text: str, /, **parts: object) -> str:
        """A `text` marked as `fixed` where it is written, in this language, with `parts` in the places it names."""
        told = self.translations.gettext(text)
        return told.format(**parts) if parts else told

    def say_as(self, context: str, text: str) -> str:
        """`text` in this language as what `context` says it is, where the English word has more than one meaning."""
        return self.translations.pgettext(context, text)

    def say_many(self, one: str, many: str, number: int, /, **parts: object) -> str:
        """`one` or `many` in this language, as the number asks for; `{count}` in it is the number."""
        return self.translations.ngettext(one, many, number).format(count=number, **parts)

    def show_day(self, at: datetime) -> str:
        """The day of a moment in four words: `Tue 10 Mar 2026`."""
        if not self.locale:
            return f"{_DAYS[at.weekday()]} {at.day} {_MONTHS[at.month - 1]} {at.year}"
        from babel.dates import format_datetime

        return format_datetime(at.replace(tzinfo=None), "EEE d MMM y", locale=self.locale)

    def show_count(self, number: int) -> str:
        """A whole number, its thousands kept apart: `12,345`."""
        if not self.locale:
            return f"{number:,}"
        from babel.numbers import format_decimal

        return format_decimal(number, locale=self.locale)

    def show_numeral(self, digits: str) -> str:
        """A number written with a point, with the sign that this language parts its decimals by."""
        if not self.locale:
            return digits
        from babel.numbers import get_decimal_symbol

        return digits.replace(".", get_decimal_symbol(self.locale))


@cache
def words_in(language: str) -> Words:
    """The fixed words of `language`, one of `LANGUAGES`."""
    return Words(language, _LOCALES.get(language, ""), read_translations(language))


def read_translations(language: str) -> gettext.NullTranslations:
    """What `templates/locale/` holds for `language`; for English nothing, since its words stand in the code."""
    if language == ENGLISH:
        return gettext.NullTranslations()
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    path = data_folder("templates") / "locale" / language / "LC_MESSAGES" / "wallwalk.po"
    with path.open("rb") as file:
        catalog = read_po(file, locale=language, abort_invalid=True)
    compiled = io.BytesIO()
    write_mo(compiled, catalog)
    compiled.seek(0)
    return gettext.GNUTranslations(compiled)


IN_ENGLISH = words_in(ENGLISH)
