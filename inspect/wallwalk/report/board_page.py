"""The board as one page that needs nothing but itself, and as a PDF drawn from it."""

from __future__ import annotations

import base64
import hashlib

from markupsafe import Markup

from wallwalk.board_todo import Part
from wallwalk.report.board_view import lay_out_board
from wallwalk.report.html import draw_page
from wallwalk.report.pdf import draw_pdf
from wallwalk.resources import data_folder

MOST_OPEN = 12
"""So many checks of a space are told in its row; every job of a party names all its rooms."""


def render_board_html(board: Part, *, page_size: str = "Letter") -> str:
    """The board as a page, which sorts and filters by a script of its own, and says the same without it."""
    return _draw(board, page_size, (data_folder("templates") / "board.js").read_text(encoding="utf-8"))


def render_board_pdf(board: Part, *, page_size: str = "Letter") -> bytes:
    """The board as a PDF. Raises `MissingPartError` where the machine lacks the libraries that draw it."""
    return draw_pdf(_draw(board, page_size, ""), dated=board["today"]["at"])


def _draw(board: Part, page_size: str, script: str) -> str:
    view = lay_out_board(board)
    text = f"\n{script}"
    shown = {
        "view": view,
        "board": board,
        "most_open": MOST_OPEN,
        "script": Markup(text) if script else "",  # noqa: S704 - our own
        "script_digest": base64.b64encode(hashlib.sha256(text.encode()).digest()).decode(),
    }
    edge = (view.project, view.words.say("readiness board"), board["today"]["shown"])
    return draw_page("board.html", edge, page_size, shown, view.words, ("report.css", "board.css"))
