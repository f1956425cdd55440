"""What the trade asks for, as a rule set writes it down: each condition, with the rules that ask for it or why none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TradeRow:
    """One condition of the trade: the names of the rules that ask for it, or what it is `left` for, never both."""

    condition: str
    rules: tuple[str, ...]
    left: str


@dataclass(frozen=True, slots=True)
class TradeSection:
    """Conditions of one sort, in the order they are read."""

    title: str
    rows: tuple[TradeRow, ...]


@dataclass(frozen=True, slots=True)
class TradeTable:
    """Every condition by section. `own` holds the rules that no condition asks for, each with its reason."""

    title: str
    sections: tuple[TradeSection, ...]
    own: Mapping[str, str]
