"""The commands on filed records: signing one, comparing two, and asking whether one is what was checked."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from wallwalk.cli.outputs import (
    COMPARISON_FORMS,
    FILED_FORMS,
    REPORT_FORMS,
    OutputPath,
    draw_outputs,
    overwrite_option,
    paper_option,
    refuse_reads,
    write_drawn,
    write_outputs,
)
from wallwalk.cli.telling import tell, tell_line
from wallwalk.writing import refuse_targets

NO_PROOF = (
    "A name is taken as it is given: an entry proves that nothing was changed since, and not who made it. "
    "Where that matters, print the report and sign it with a pen. A key proves that who holds it made the whole file; "
    "whose key it is, only a list tells that somebody keeps."
)


@click.command(epilog=NO_PROOF)
@click.argument("record", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    "outputs",
    multiple=True,
    required=True,
    type=OutputPath(REPORT_FORMS, "report"),
    help=f"Write the signed record; {' or '.join(FILED_FORMS)} at least, others beside it. Repeatable.",
)
@overwrite_option
@click.option("--role", required=True, help="Role of who signs, one of those a walk can be made in, such as inspector.")
@click.option("--name", required=True, help="Name of who signs.")
@click.option("--decision", required=True, type=click.Choice(["released", "held", "noted"]), help="What is decided.")
@click.option("--hold", default="", metavar="RULE[:SUBJECT]", help="The hold it is about (the whole record).")
@click.option("--remark", default="", help="Anything to add; the reason, where a hold is released.")
@click.option("--at", required=True, metavar="MOMENT", help="When it is signed, in the time zone of the site.")
@click.option(
    "--key",
    type=click.Path(path_type=Path),
    help="Also sign each .json and .pdf by the Ed25519 key in this file (PEM): FILE.sig, 64 bytes, beside it.",
)
@paper_option
def sign(
    record: Path,
    outputs: tuple[Path, ...],
    overwrite: bool,
    role: str,
    name: str,
    decision: str,
    hold: str,
    remark: str,
    at: str,
    key: Path | None,
    paper: str,
) -> None:
    """Sign a filed RECORD: release a hold, hold it, or note something. The verdict stays what it was.

    Who may release whose holds is data of the rule set. What is not verified is released by nobody: walk again.
    """
    from wallwalk.cli.keyed import read_signer
    from wallwalk.cli.signed import read_for_signing, refuse_outputs, with_signatures
    from wallwalk.report.terminal import render_sign_off
    from wallwalk.signing import Signing
    from wallwalk.signing import sign as sign_record

    refuse_outputs(outputs, record, key, overwrite=overwrite)
    filing = sign_record(read_for_signing(record), Signing(role, name, decision, at, hold, remark))
    signer = read_signer(key)
    tell(render_sign_off(filing.record, filing.entries), nl=False)
    drawn = draw_outputs(filing, outputs, REPORT_FORMS, paper)
    write_drawn(with_signatures(drawn, signer), overwrite=overwrite)


@click.command(epilog="Exit codes: 0 NEW passes; 1 it holds; 2 input or usage error.")
@click.argument("old", type=click.Path(path_type=Path))
@click.argument("new", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    "outputs",
    multiple=True,
    type=OutputPath(COMPARISON_FORMS, "comparison"),
    help=f"Also write the comparison; its suffix picks the form: {', '.join(COMPARISON_FORMS)}. Repeatable.",
)
@overwrite_option
@paper_option
def compare(old: Path, new: Path, outputs: tuple[Path, ...], overwrite: bool, paper: str) -> None:
    """Set filed record OLD of an earlier walk beside NEW of a later one: what was cleared, still holds, or is new."""
    from wallwalk.cli.compared import read_for_comparing
    from wallwalk.comparing import compare_records
    from wallwalk.report.comparison_forms import render_comparison

    then, now = read_for_comparing(old), read_for_comparing(new)
    found = compare_records(then.record, now.record, (then.entries, now.entries))
    tell(render_comparison(found), nl=False)
    write_outputs(found, outputs, COMPARISON_FORMS, paper, overwrite=overwrite, keep=(old, new))
    sys.exit(0 if found["now"]["verdict"] == "pass" else 1)


@click.command(epilog="Exit codes: 0 everything matches; 1 something does not; 2 no filed record. " + NO_PROOF)
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--signature",
    type=click.Path(path_type=Path),
    help="Also ask whether this signature, as sign --key writes it, is over FILE as it is.",
)
@click.option("--key", type=click.Path(path_type=Path), help="The public Ed25519 key (PEM) of who made --signature.")
@click.option(
    "-o",
    "--output",
    "outputs",
    multiple=True,
    type=OutputPath(REPORT_FORMS, "report"),
    help=f"Where all inside FILE matches, also write it anew, as {', '.join(REPORT_FORMS)} by suffix. Repeatable.",
)
@overwrite_option
@paper_option
def verify(
    file: Path, signature: Path | None, key: Path | None, outputs: tuple[Path, ...], overwrite: bool, paper: str
) -> None:
    """Is FILE, a filed record, what was checked? Digests, signatures, and the same check once more from its inputs.

    It is said in the language of the record. Whoever makes a whole file anew, with all its digests, is not seen by
    this.
    """
    from wallwalk.cli.keyed import match_detached, read_asked
    from wallwalk.cli.verified import verify_file
    from wallwalk.matching import is_sound
    from wallwalk.report.terminal import render_matches
    from wallwalk.words import words_in

    refuse_reads(outputs, (file,))
    refuse_targets(outputs, overwrite=overwrite)
    asked = read_asked(signature, key)
    found = verify_file(file)
    words = words_in(found.language)
    signed = tuple(match_detached(file, signature, asked, words))
    matches = (*found.inside, *found.pages, *signed)
    tell(render_matches(matches, words), nl=False)
    # The pages of a PDF are drawn anew; where only they differ, what is inside is what was filed.
    if is_sound((*found.inside, *signed)):
        write_outputs(found.filing, outputs, REPORT_FORMS, paper, overwrite=overwrite, keep=(file,))
    elif outputs:
        tell_line(f"Wrote nothing: {file} is not what was filed, and is not written anew as if it were.", err=True)
    sys.exit(0 if is_sound(matches) else 1)
