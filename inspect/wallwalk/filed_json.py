"""A filed record as one JSON file, canonical by RFC 8785, with its inputs inside."""

from __future__ import annotations

import base64
import zlib
from typing import Any

from wallwalk.filing import Filing, Input, canonical

FORM = 1
"""The number of the file's form; it goes up when a field changes its meaning."""


def write_filed_json(filing: Filing) -> bytes:
    """The filing as canonical JSON, ending in a newline; each input is compressed (zlib) and in base64."""
    whole: dict[str, Any] = {
        "filed": FORM,
        "record": filing.record,
        "inputs": [
            {"role": i.role, "file": i.file, "sha256": i.sha256, "content": base64.b64encode(_packed(i)).decode()}
            for i in filing.inputs
        ],
        "entries": list(filing.entries),
    }
    return canonical(whole) + b"\n"


def _packed(part: Input) -> bytes:
    return zlib.compress(part.content, 9)
