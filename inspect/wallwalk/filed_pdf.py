"""A filed record read back from its PDF: the files attached to it, within bounds, whatever the bytes are."""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from pypdf import Configuration, PdfReader, apply_configuration
from pypdf.errors import DependencyError
from pypdf.generic import StreamObject

from wallwalk.attaching import filing_of
from wallwalk.errors import InputError, quote
from wallwalk.filed_json import INPUT_BYTES_MAX, TOO_MUCH, UNPACKS_FAR, input_bytes_max, not_filed
from wallwalk.filing import Filing

ATTACHMENTS_MAX = 1000
"""So many files may be attached; a survey with a hundred logs has a tenth of it."""

NO_RECORD = "is a PDF that holds no record"
"""What is said of a PDF that nothing is attached to: a drawing, a plan."""

ENCRYPTED = "is encrypted, which no filed record is"


def _bounds(most: int) -> Configuration:
    return Configuration(
        maximum_declared_stream_length=most,
        zlib_maximum_output_length=most + 1,
        lzw_maximum_output_length=most + 1,
        run_length_maximum_output_length=most + 1,
        # What does not unpack as it stands was changed after it was filed; guessing at it helps nobody.
        zlib_maximum_recovery_input_length=0,
    )


def read_filed_pdf(content: bytes, file: str) -> Filing:
    """The filing in the PDF `content`; that it is as it was filed is not checked here. Raises `InputError`."""
    with _silence():
        try:
            most = input_bytes_max(len(content))
            with apply_configuration(_bounds(most)):
                attached = dict(_attached(PdfReader(io.BytesIO(content)), most, file))
        except InputError:
            raise
        except DependencyError as error:  # its key is made by a library that nothing of ours needs
            raise not_filed(file, ENCRYPTED) from error
        except Exception as error:
            raise not_filed(file, "is no PDF that can be read") from error
    return filing_of(attached, file)


def _attached(reader: PdfReader, most: int, file: str) -> Iterator[tuple[str, bytes]]:
    """Name and content of each attached file."""
    if reader.is_encrypted:
        raise not_filed(file, ENCRYPTED)
    found = list(_found(reader, file))
    if (said := sum(size for _, _, size in found)) > most:
        raise not_filed(file, TOO_MUCH if said > INPUT_BYTES_MAX else UNPACKS_FAR)
    if len({name for name, _, _ in found}) < len(found):
        raise not_filed(file, "holds two files of one name")
    for name, stream, size in found:
        if not _is_packed_as_filed(stream):
            raise not_filed(file, f"holds {quote(name)}, which is not packed as it was filed")
        content = stream.get_data()
        if len(content) != size:
            raise not_filed(file, f"holds {quote(name)}, which is not as long as it says")
        yield name, content


def _is_packed_as_filed(stream: StreamObject) -> bool:
    """Whether it is packed by zlib, once or twice, or not at all: other ways take a library minutes over a small file.

    Twice, where once would end in a doubtful byte (`report.pdf_archive`).
    """
    zlib = "/FlateDecode"
    known = stream.get("/Filter", []) in (zlib, [], [zlib], [zlib, zlib])
    return known and "/DecodeParms" not in stream


def _found(reader: PdfReader, file: str) -> Iterator[tuple[str, StreamObject, int]]:
    """Name, stream and stated size in bytes of each attached file, not yet unpacked."""
    root: Any = reader.root_object
    if "/Names" not in root or "/EmbeddedFiles" not in root["/Names"]:
        raise not_filed(file, NO_RECORD)
    named = root["/Names"]["/EmbeddedFiles"]["/Names"]
    if len(named) > 2 * ATTACHMENTS_MAX:
        raise not_filed(file, f"holds more than {ATTACHMENTS_MAX} files")
    for reference in named[1::2]:
        spec = reference.get_object()
        stream = spec["/EF"]["/F"]
        yield str(spec["/UF"]), stream, abs(int(stream["/Params"]["/Size"]))


@contextmanager
def _silence() -> Iterator[None]:
    # pypdf logs what it mends; we say in one message of our own what will not do.
    logger = logging.getLogger("pypdf")
    before = logger.level
    logger.setLevel(logging.CRITICAL + 1)
    try:
        yield
    finally:
        logger.setLevel(before)
