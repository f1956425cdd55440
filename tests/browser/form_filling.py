"""A person who fills in the phone form by touch: every answer of a survey, each through its own control."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page

_QUANTITY = re.compile(
    r"(?P<number>-?[0-9.]+)?(?: ?(?P<part>[0-9]+/[0-9]+))?(?: ± (?P<spread>[0-9./]+))? ?(?P<unit>\D+)"
)
_LENGTH = re.compile(r"(?P<number>[0-9]+) ft(?: (?P<inches>[0-9]+) in)?")

Step = Callable[[Page], None]


def fill_in(page: Page, survey: Any, after_page: Step = lambda _: None) -> list[str]:  # noqa: ANN401 - a document's data
    """Answer all that `survey` answers and the form asks, page after page, until nothing moves; what it never asked.

    `after_page` is called whenever a page is left, by the button that leads to the next.
    """
    hand = _Hand(page, survey)
    page.locator("#pages button").first.tap()
    while True:
        done = len(hand.done)
        while True:
            hand.fill_page()
            after_page(page)
            onward = page.locator("#onward")
            if onward.inner_text() == "See the result":
                break
            onward.tap()
        if len(hand.done) == done:
            return [place for place in hand.answers if place not in hand.done]
        page.locator("#pages button").first.tap()


def wait_until_judged(page: Page) -> None:
    """Until what was typed is judged, and the page shows it: the form waits for a pause in typing."""
    page.wait_for_function("() => waiting === 0")


def answers_in(survey: Any, place: str = "") -> Iterator[tuple[str, Any]]:  # noqa: ANN401
    """Each answer of a survey by its place, such as walls[0].primer.finished; what is left empty is none."""
    if isinstance(survey, dict):
        for name, part in survey.items():
            yield from answers_in(part, f"{place}.{name}" if place else name)
    elif isinstance(survey, list):
        for i, part in enumerate(survey):
            yield from answers_in(part, f"{place}[{i}]")
    elif survey is not None:
        yield place, survey


def handed_over(page: Page, target: Path) -> None:
    """Export the survey, and keep the file at `target`."""
    with page.expect_download() as handed:
        page.get_by_role("button", name="Export", exact=True).tap()
    handed.value.save_as(target)


class _Hand:
    """What is still to be answered, and the fingers that do it."""

    def __init__(self, page: Page, survey: Any) -> None:  # noqa: ANN401
        self.page = page
        self.answers = dict(answers_in(survey))
        self.lengths = _lengths(survey)
        self.listed = dict.fromkeys(self.lengths, 0)
        self.done: set[str] = set()

    def fill_page(self) -> None:
        """Every answer that this page asks for, and those it asks for because of them."""
        while True:
            todo = [place for place in self._shown() if self._wants(place)]
            for place in todo:
                self._settle(place)
            wait_until_judged(self.page)
            if not todo:
                return

    def _shown(self) -> list[str]:
        found: list[str] = self.page.eval_on_selector_all("#questions [id^='q-']", "all => all.map(e => e.id.slice(2))")
        return found

    def _wants(self, place: str) -> bool:
        if place in self.lengths:
            return self.listed[place] < self.lengths[place]
        return (place in self.answers and place not in self.done) or self._is_stamp(place)

    def _is_stamp(self, place: str) -> bool:
        """Whether a reading was given the time or the instrument by the form, and its survey has none."""
        stamped = re.fullmatch(r"(.*\])\.(at|instrument)", place)
        return bool(stamped) and place not in self.answers and self._clear(place).is_visible()

    def _settle(self, place: str) -> None:
        if not self._box(place).count():
            return  # it went with what was answered before it
        self._unfold(place)
        if place in self.lengths:
            self._add_all(place)
        elif place not in self.answers:
            self._clear(place).tap()
        else:
            self._answer(place, self.answers[place])
            self._see(place)
            self.done.add(place)

    def _see(self, place: str) -> None:
        """The answer is there; one touch may go astray where the page moves under the finger, a second may not."""
        if not self.page.evaluate("place => isAnswered(STATE.doc, place)", place):
            self._answer(place, self.answers[place])
            assert self.page.evaluate("place => isAnswered(STATE.doc, place)", place), place

    # -- lists ------------------------------------------------------------------------------------------------------

    def _add_all(self, place: str) -> None:
        """A wall opens its own page, where it is named; anything else is filled in where it stands."""
        if place == "photos":
            self._choose_photos()
            return
        for i in range(self.listed[place], self.lengths[place]):
            here = self.page.inner_text("#page-title")
            self._box(place).locator("> button.strong").tap()
            self.listed[place] += 1
            if self.page.inner_text("#page-title") != here:
                name = f"{place}[{i}].name"
                self._answer(name, self.answers[name])
                self.done.add(name)
                self.page.locator("#pages button").get_by_text(here).tap()

    def _choose_photos(self) -> None:
        """By the phone's own picker, which gives the names of the files."""
        names = [self.answers[f"photos[{i}].file"] for i in range(self.lengths["photos"])]
        files = [{"name": name, "mimeType": "image/jpeg", "buffer": b"x"} for name in names]
        self.page.set_input_files("[id='q-photos-files']", files)  # type: ignore[arg-type]
        self.listed["photos"] = len(names)
        self.done.update(f"photos[{i}].file" for i in range(len(names)))

    # -- one answer -------------------------------------------------------------------------------------------------

    def _answer(self, place: str, value: Any) -> None:  # noqa: ANN401
        box = self._box(place)
        if box.get_attribute("role") == "radiogroup":
            shown = {True: "Yes", False: "No", "unknown": "Not known"}.get(value, value)
            box.get_by_role("radio", name=shown, exact=True).tap()
        elif box.locator("input[type=datetime-local], input[type=date]").count():
            self._set_moment(box, value)
        elif box.get_by_label("Unit", exact=True).count():
            self._set_quantity(box, value)
        elif box.locator("select").count():
            box.locator("select").select_option(value)
        else:
            self._type(box.locator("input").first, value)

    def _type(self, field: Locator, text: str) -> None:
        field.tap()
        field.fill(text)
        if field.input_value() == text and field.get_attribute("type") in {"text", None}:
            field.blur()

    def _set_moment(self, box: Locator, text: str) -> None:
        day = re.fullmatch(r"\d{4}-\d\d-\d\d", text)
        field = box.locator("input").first
        if day and field.get_attribute("type") != "date":
            box.get_by_role("button", name="Only the day", exact=True).tap()
        if not day and field.get_attribute("type") != "datetime-local":
            box.get_by_role("button", name="With the hour", exact=True).tap()
        field.fill(text.replace(" ", "T"))

    def _set_quantity(self, box: Locator, text: str) -> None:
        """By the fields for number, fraction, ± and unit; what does not fit them is written out."""
        unit = box.get_by_label("Unit", exact=True)
        told = _parted(text, _offered(unit), _offered(box.get_by_label("Part of an inch", exact=True)))
        unit.select_option(told.get("unit", "…"))
        fields = box.locator("input:visible")
        self._type(fields.first, told.get("number", text if not told else ""))
        if told.get("inches"):
            self._type(fields.nth(1), told["inches"])
        if told.get("part"):
            box.get_by_label("Part of an inch", exact=True).select_option(told["part"])
        if told.get("spread"):
            box.get_by_role("button", name="Say how sure the reading is").tap()
            self._type(fields.nth(1), told["spread"])

    # -- where things are -------------------------------------------------------------------------------------------

    def _box(self, place: str) -> Locator:
        own = f"[id='q-{place}']"
        return self.page.locator(f".ask{own}, .list{own}, .ask:has({own})")

    def _clear(self, place: str) -> Locator:
        return self._box(place).get_by_role("button", name=re.compile("^Clear: "))

    def _unfold(self, place: str) -> None:
        """Open what hides it, from the outside in, by its own heading."""
        closed = self._box(place).locator("xpath=ancestor::details[not(@open)]/summary")
        while closed.count():
            closed.first.tap()


def _offered(choices: Locator) -> list[str]:
    found: list[str] = choices.locator("option").evaluate_all("all => all.map(e => e.value)")
    return found


def _parted(text: str, units: list[str], fractions: list[str]) -> dict[str, str]:
    """A quantity by the fields it goes into; nothing where it fits none of them."""
    length, other = _LENGTH.fullmatch(text), _QUANTITY.fullmatch(text)
    feet = {**length.groupdict(), "unit": "ft"} if length and "ft" in units else None
    told = {name: part for name, part in (feet or (other.groupdict() if other else {})).items() if part}
    fits = told.get("unit") in units and (not told.get("part") or (told["unit"] == "in" and told["part"] in fractions))
    return told if fits else {}


def _lengths(survey: Any, place: str = "") -> dict[str, int]:  # noqa: ANN401
    """How many entries each list of a survey has, by its place."""
    found: dict[str, int] = {}
    parts = survey.items() if isinstance(survey, dict) else enumerate(survey) if isinstance(survey, list) else ()
    if isinstance(survey, list):
        found[place] = len(survey)
    for key, part in parts:
        inside = f"{place}[{key}]" if isinstance(key, int) else f"{place}.{key}" if place else key
        found.update(_lengths(part, inside))
    return found
