"""What signing starts from: a record that is still what was filed, and a name for the new one that can be read back."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

from wallwalk.cli.compared import read_as_filed
from wallwalk.cli.outputs import FILED_FORMS, refuse_reads
from wallwalk.detached import signature_path
from wallwalk.errors import Fault, InputError
from wallwalk.filing import Filing
from wallwalk.writing import refuse_targets


def read_for_signing(path: Path) -> Filing:
    """The filing at `path`. Raises `InputError` where it is not what was filed, or makes no sense."""
    return read_as_filed(path, "sign the record as it was filed; wallwalk verify says more")


def refuse_outputs(outputs: tuple[Path, ...], record: Path, key: Path | None = None, *, overwrite: bool) -> None:
    """One output at least has to be a form that is read back; a page alone would lose what was signed.

    With a `key` a signature is put beside each of those, and nothing may stand there either.

    What keeps the outputs from being written is said before anything is said to be signed.
    """
    if not any(map(is_filed, outputs)):
        found = f"writes {', '.join(map(str, outputs))}, which nothing can be signed on or verified by"
        raise InputError([Fault("-o", 0, "", found, f"write a file that ends in {' or '.join(FILED_FORMS)} as well")])
    beside = tuple(signature_path(path) for path in outputs if key is not None and is_filed(path))
    refuse_reads((*outputs, *beside), (record, *([key] if key else ())))
    refuse_targets((*outputs, *beside), overwrite=overwrite)


def is_filed(path: Path) -> bool:
    """Whether an output is of a form that holds the record itself."""
    return path.suffix.lower() in FILED_FORMS


def with_signatures(
    drawn: list[tuple[Path, bytes]], signer: Callable[[bytes], bytes] | None
) -> Iterator[tuple[Path, bytes]]:
    """Each output, and behind it the signature over its bytes where it holds the record, and there is a `signer`."""
    for path, content in drawn:
        yield path, content
        if signer is not None and is_filed(path):
            yield signature_path(path), signer(content)
