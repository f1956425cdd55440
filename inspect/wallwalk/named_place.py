"""The place that a survey names which cannot be used as it is: read as far as it goes, so that its space is known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import yaml

from wallwalk.spaces_reader import Place

_LOADER = yaml.CSafeLoader if yaml.__with_libyaml__ else yaml.SafeLoader
_ASKED = (("project", "name"), ("space", "name"), ("space", "level"), ("space", "area_covered"))
_NOT_SAID = {"", "~", "null", "unknown"}


def place_named(content: bytes) -> Place | None:
    """What the YAML in `content` says of its place before it breaks off; None where it names no space."""
    said: dict[tuple[str, str], str] = {}
    try:
        for where, text in _texts(yaml.parse(content.decode("utf-8-sig", "replace"), Loader=_LOADER)):
            said.setdefault(where, "" if text.lower() in _NOT_SAID else text)
    except (yaml.YAMLError, RecursionError):
        pass  # what stood before it counts
    place = Place(*(said.get(where, "") for where in _ASKED))
    return place if place.name else None


def _texts(events: Iterable[yaml.Event]) -> Iterator[tuple[tuple[str, str], str]]:
    """Each text that stands two levels deep, with the key of its group and its own."""
    above: list[tuple[str, bool]] = []
    key: str | None = None
    for event in events:
        if isinstance(event, yaml.CollectionStartEvent):
            above.append((key or "", isinstance(event, yaml.MappingStartEvent)))
            key = None
        elif isinstance(event, yaml.CollectionEndEvent):
            above.pop()
            key = None
        elif isinstance(event, yaml.ScalarEvent) and above and above[-1][1]:
            if key is None:
                key = event.value
                continue
            if len(above) == 2:
                yield (above[1][0], key), event.value
            key = None
