"""Keys on the command line: a passphrase that is asked for, and what a detached signature of a file comes to."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wallwalk.detached import match_signature, read_private_key, read_public_key, read_signature
from wallwalk.errors import Fault, InputError, on_one_line
from wallwalk.matching import Match
from wallwalk.words import Words

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey


def read_signer(key: Path | None) -> Callable[[bytes], bytes] | None:
    """What signs the bytes of a file by the private key at `key`, whose passphrase is asked for; None without one."""
    return None if key is None else read_private_key(key, lambda: _ask(key)).sign


def _ask(key: Path) -> str:
    try:
        typed: str = click.prompt(
            f"Passphrase of {on_one_line(key)}", default="", hide_input=True, show_default=False, err=True
        )
    except click.Abort as error:
        found = "is encrypted, and no passphrase was typed"
        raise InputError([Fault(str(key), 0, "", found, "run this in a terminal, and type it there")]) from error
    return typed


def read_asked(signature: Path | None, key: Path | None) -> tuple[bytes, Ed25519PublicKey] | None:
    """The signature and the public key to verify it by; None where neither is asked for."""
    if signature is None and key is None:
        return None
    if signature is None or key is None:
        raise click.UsageError("--signature and --key go together: the signature, and the public key of who made it")
    return read_signature(signature), read_public_key(key)


def match_detached(
    file: Path, signature: Path | None, asked: tuple[bytes, Ed25519PublicKey] | None, words: Words
) -> Iterator[Match]:
    """One line on the signature of the file at `file`; nothing where none is asked for."""
    if signature is not None and asked is not None:
        yield match_signature(file.read_bytes(), *asked, str(signature), words)
