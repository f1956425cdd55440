"""What signing starts from: a record that is still what was filed, and a name for the new one that can be read back."""

from __future__ import annotations

from pathlib import Path

from wallwalk.cli.compared import read_as_filed
from wallwalk.cli.outputs import FILED_FORMS, refuse_reads
from wallwalk.errors import Fault, InputError
from wallwalk.filing import Filing
from wallwalk.writing import refuse_targets


def read_for_signing(path: Path) -> Filing:
    """The filing at `path`. Raises `InputError` where it is not what was filed, or makes no sense."""
    return read_as_filed(path, "sign the record as it was filed; wallwalk verify says more")


def refuse_outputs(outputs: tuple[Path, ...], record: Path, *, overwrite: bool) -> None:
    """One output at least has to be a form that is read back; a page alone would lose what was signed.

    What keeps the outputs from being written is said before anything is said to be signed.
    """
    if not any(path.suffix.lower() in FILED_FORMS for path in outputs):
        found = f"writes {', '.join(map(str, outputs))}, which nothing can be signed on or verified by"
        raise InputError([Fault("-o", 0, "", found, f"write a file that ends in {' or '.join(FILED_FORMS)} as well")])
    refuse_reads(outputs, (record,))
    refuse_targets(outputs, overwrite=overwrite)
