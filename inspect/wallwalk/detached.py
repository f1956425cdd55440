"""Detached signatures: Ed25519 (RFC 8032) over all bytes of a filed record, in a file of 64 bytes beside it.

A key proves a person only where somebody keeps a list of whose key it is. None is kept here.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from wallwalk.errors import Fault, InputError, MissingPartError, quote
from wallwalk.filed_reader import read_plain
from wallwalk.matching import Match
from wallwalk.words import IN_ENGLISH, Words

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

SIGNATURE = "signature"
"""What a line about one is about."""

NOT_INSTALLED = (
    "signing with a key needs the package cryptography, which is not here; "
    "run: python -m pip install 'wallwalk[signature]'"
)

SIGNATURE_BYTES = 64
_KEY_BYTES_MAX = 16 * 1024
_PRIVATE, _PUBLIC, _ENCRYPTED = b"PRIVATE KEY-----", b"BEGIN PUBLIC KEY-----", b"BEGIN ENCRYPTED PRIVATE KEY-----"
_MAKE = "make one by: openssl genpkey -algorithm ed25519 -out private.pem"
_DERIVE = "make the public one by: openssl pkey -in private.pem -pubout -out public.pem"


def signature_path(path: Path) -> Path:
    """Where the signature over the file at `path` lies: beside it."""
    return path.with_name(f"{path.name}.sig")


def read_private_key(path: Path, ask: Callable[[], str]) -> Ed25519PrivateKey:
    """The private key in the file at `path` (PEM, PKCS#8); `ask` gives the passphrase of one that is encrypted.

    Raises `InputError` where it is none, `MissingPartError` where `cryptography` is not installed.
    """
    _need_cryptography()
    from cryptography.exceptions import UnsupportedAlgorithm
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    content = _read_key(path, "a private key")
    if _PRIVATE not in content:
        found = "is a public key" if _PUBLIC in content else "is no private key in PEM (PKCS#8)"
        raise _refused(path, found, f"sign with a private key; {_MAKE}")
    encrypted = _ENCRYPTED in content
    try:
        key = load_pem_private_key(content, ask().encode() if encrypted else None)
    except (ValueError, TypeError, UnsupportedAlgorithm) as error:
        if encrypted:
            raise _refused(path, "is not opened by that passphrase", "type the one it was encrypted with") from error
        raise _refused(path, "is no private key in PEM (PKCS#8)", _MAKE) from error
    if not isinstance(key, Ed25519PrivateKey):
        raise _refused(path, "is a private key of another kind than Ed25519", _MAKE)
    return key


def read_public_key(path: Path) -> Ed25519PublicKey:
    """The public key in the file at `path` (PEM, SubjectPublicKeyInfo). Raises as `read_private_key` does."""
    _need_cryptography()
    from cryptography.exceptions import UnsupportedAlgorithm
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
    from cryptography.hazmat.primitives.serialization import load_pem_public_key

    content = _read_key(path, "a public key")
    if _PRIVATE in content:
        raise _refused(path, "is a private key", f"keep it to who signs, and verify by the public one; {_DERIVE}")
    try:
        key = load_pem_public_key(content)
    except (ValueError, UnsupportedAlgorithm) as error:
        raise _refused(path, "is no public key in PEM (SubjectPublicKeyInfo)", _DERIVE) from error
    if not isinstance(key, Ed25519PublicKey):
        raise _refused(path, "is a public key of another kind than Ed25519", "give that of who signed")
    return key


def read_signature(path: Path) -> bytes:
    """The signature in the file at `path`, 64 bytes as RFC 8032 has them. Raises `InputError`."""
    content = read_plain(path, SIGNATURE_BYTES, "a signature")
    if len(content) != SIGNATURE_BYTES:
        size = f"over {SIGNATURE_BYTES}" if len(content) > SIGNATURE_BYTES else str(len(content))
        found = f"is {size} bytes, and an Ed25519 signature is {SIGNATURE_BYTES}"
        raise _refused(path, found, "give the file that wallwalk sign --key wrote")
    return content


def match_signature(
    content: bytes, signature: bytes, key: Ed25519PublicKey, file: str, words: Words = IN_ENGLISH
) -> Match:
    """Whether `signature`, read from `file`, is over `content` and by the private key that goes with `key`."""
    from cryptography.exceptions import InvalidSignature

    try:
        key.verify(signature, content)
    except InvalidSignature:
        said = words.say(
            "signature {file}: does not match these bytes and this key; the file was changed since, or another key "
            "made it",
            file=quote(file),
        )
        return Match(SIGNATURE, False, said)
    return Match(SIGNATURE, True, words.say("signature {file}: made over these bytes with this key", file=quote(file)))


def _need_cryptography() -> None:
    try:
        import cryptography.hazmat.primitives.asymmetric.ed25519  # noqa: F401 - optional, and asked for only here
    except ImportError as error:
        raise MissingPartError(NOT_INSTALLED) from error


def _read_key(path: Path, what: str) -> bytes:
    content = read_plain(path, _KEY_BYTES_MAX, what)
    if not content.strip():
        raise _refused(path, "is empty", f"give the path of {what}")
    if len(content) > _KEY_BYTES_MAX:
        raise _refused(path, f"is over {_KEY_BYTES_MAX // 1024} kB, which no key is", f"give the path of {what}")
    return content


def _refused(path: Path, found: str, instead: str) -> InputError:
    return InputError([Fault(str(path), 0, "", found, instead)])
