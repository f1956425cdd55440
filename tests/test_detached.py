"""Detached signatures: those of RFC 8032, openssl both ways, and each key or file that is refused, in full."""

from __future__ import annotations

import base64
import hashlib
import os
import pty
import shlex
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
import yaml

from filings import filed, filed_pdf
from signed_filings import READING_ROOM
from surveys import ROOT
from wallwalk.detached import match_signature, read_private_key, read_public_key, read_signature
from wallwalk.errors import InputError
from wallwalk.filed_json import write_filed_json
from wallwalk.matching import Match

VECTORS = yaml.safe_load((ROOT / "tests" / "rfc8032.yaml").read_text(encoding="utf-8"))
# RFC 8410, section 7 and section 4: what stands before the 32 bytes of an Ed25519 key.
PKCS8, SPKI = "302e020100300506032b657004220420", "302a300506032b6570032100"
WHO = ("--role", "owner", "--name", "Oke Brandvold", "--decision", "noted", "--at", "2026-03-11 17:00")
CHANGED = (
    'signature "room.sig": does not match these bytes and this key; the file was changed since, or another key made it'
)
MADE = 'signature "room.sig": made over these bytes with this key'


def pem(label: str, der: str) -> str:
    """A key as PEM has it, of hexadecimal DER."""
    return f"-----BEGIN {label}-----\n{base64.b64encode(bytes.fromhex(der)).decode()}\n-----END {label}-----\n"


def written(path: Path, text: str | bytes) -> Path:
    """`path`, with that in it."""
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def no_passphrase() -> str:
    """Nothing asks for one here."""
    raise AssertionError("a passphrase was asked for")


def openssl(*arguments: str, folder: Path) -> subprocess.CompletedProcess[bytes]:
    """openssl, run in `folder`."""
    return subprocess.run(
        ["openssl", *arguments], cwd=folder, capture_output=True, check=False, stdin=subprocess.DEVNULL
    )


@pytest.fixture
def keys(tmp_path: Path) -> Path:
    """A folder with `private.pem` and `public.pem` of one key, `other.pem` of another, made by openssl."""
    for private, public in (("private.pem", "public.pem"), ("their.pem", "other.pem")):
        assert openssl("genpkey", "-algorithm", "ed25519", "-out", private, folder=tmp_path).returncode == 0
        assert openssl("pkey", "-in", private, "-pubout", "-out", public, folder=tmp_path).returncode == 0
    return tmp_path


def wallwalk(command: str, folder: Path, **more: str) -> subprocess.CompletedProcess[str]:
    """The command line, run in `folder`, with no terminal to ask at."""
    return subprocess.run(
        ["wallwalk", *shlex.split(command)],
        cwd=folder,
        env=os.environ | more,
        capture_output=True,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
        start_new_session=True,
    )


@pytest.mark.parametrize("vector", VECTORS, ids=lambda v: str(v["test"]))
def test_signatures_are_those_of_the_rfc(vector: dict[str, str], tmp_path: Path) -> None:
    """Key files, signature and verdict for each vector of RFC 8032, section 7.1; one bit more and it is none."""
    message, signature = bytes.fromhex(vector["message"]), bytes.fromhex(vector["signature"])
    private = written(tmp_path / "private.pem", pem("PRIVATE KEY", PKCS8 + vector["secret"]))
    public = read_public_key(written(tmp_path / "public.pem", pem("PUBLIC KEY", SPKI + vector["public"])))
    assert read_private_key(private, no_passphrase).sign(message) == signature
    assert match_signature(message, signature, public, "room.sig") == Match("signature", True, MADE)
    for changed, over in ((signature, message + b"\0"), (bytes([signature[0] ^ 1]) + signature[1:], message)):
        assert match_signature(over, changed, public, "room.sig") == Match("signature", False, CHANGED)


def test_there_are_five_vectors() -> None:
    """Those of 0, 1, 2, 1,023 and 64 bytes."""
    assert [(v["test"], len(bytes.fromhex(v["message"]))) for v in VECTORS] == [
        ("1", 0), ("2", 1), ("3", 2), ("1024", 1023), ("SHA(abc)", 64),
    ]  # fmt: skip


def test_a_signature_has_one_form(tmp_path: Path) -> None:
    """RFC 8032, 5.1.7: the second half is below the order of the group; with that order added it is refused."""
    order = 2**252 + 27742317777372353535851937790883648493
    signature = bytes.fromhex(VECTORS[1]["signature"])
    other = signature[:32] + (int.from_bytes(signature[32:], "little") + order).to_bytes(32, "little")
    public = read_public_key(written(tmp_path / "public.pem", pem("PUBLIC KEY", SPKI + VECTORS[1]["public"])))
    assert match_signature(b"\x72", other, public, "room.sig").matches is False


@pytest.mark.slow
def test_openssl_verifies_what_is_signed_here_and_the_other_way_round(keys: Path) -> None:
    """JSON, PDF and page at once: a signature beside each filed one, by the bytes as they lie on the disk."""
    written(keys / "room.json", write_filed_json(filed(READING_ROOM)))
    outputs = "-o signed.json -o signed.pdf -o signed.html"
    done = wallwalk(f"sign room.json {outputs} {shlex.join(WHO)} --key private.pem", keys)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines()[-5:] == [
        f"Wrote signed.{name}" for name in ("json", "json.sig", "pdf", "pdf.sig", "html")
    ]
    assert sorted(path.name for path in keys.glob("*.sig")) == ["signed.json.sig", "signed.pdf.sig"]
    for name in ("signed.json", "signed.pdf"):
        asked = ("-verify", "-pubin", "-inkey", "public.pem", "-rawin", "-in", name, "-sigfile", f"{name}.sig")
        assert openssl("pkeyutl", *asked, folder=keys).stdout == b"Signature Verified Successfully\n"
    theirs = ("-sign", "-inkey", "private.pem", "-rawin", "-in", "signed.json", "-out", "by-openssl.sig")
    assert openssl("pkeyutl", *theirs, folder=keys).returncode == 0
    assert (keys / "by-openssl.sig").read_bytes() == (keys / "signed.json.sig").read_bytes()


@pytest.mark.slow
def test_verify_says_it_in_one_line_and_its_exit_code_does(keys: Path) -> None:
    """Matches: 0. Another key, another file of the same record, one bit of the signature: 1, and all else matches."""
    written(keys / "room.json", write_filed_json(filed(READING_ROOM)))
    written(keys / "room.pdf", filed_pdf(READING_ROOM))
    openssl("pkeyutl", "-sign", "-inkey", "private.pem", "-rawin", "-in", "room.json", "-out", "room.sig", folder=keys)
    signature = (keys / "room.sig").read_bytes()
    written(keys / "bit.sig", signature[:-1] + bytes([signature[-1] ^ 1]))
    good = wallwalk("verify room.json --signature room.sig --key public.pem", keys)
    assert (good.returncode, good.stderr) == (0, "")
    assert good.stdout.endswith(f"\nok  {MADE}\n\nMATCHES: it is what was checked.\n")
    for command in (
        "verify room.json --signature room.sig --key other.pem",
        "verify room.pdf --signature room.sig --key public.pem",
        "verify room.json --signature bit.sig --key public.pem",
    ):
        found = wallwalk(command, keys)
        said = CHANGED.replace("room.sig", command.split()[3])
        assert (found.returncode, found.stderr) == (1, "")
        assert " ".join(found.stdout.split()).endswith(f"DOES NOT MATCH: 1 thing does not match. The first: {said}")


MAKE = "make one by: openssl genpkey -algorithm ed25519 -out private.pem"
DERIVE = "make the public one by: openssl pkey -in private.pem -pubout -out public.pem"
NO_PRIVATE, NO_PUBLIC = "is no private key in PEM (PKCS#8)", "is no public key in PEM (SubjectPublicKeyInfo)"


def refused(read: Callable[[Path], object], path: Path) -> str:
    """The whole message with which a file is refused, without its name."""
    with pytest.raises(InputError) as refusal:
        read(path)
    return str(refusal.value).removeprefix(f"{path}: ")


def test_what_is_no_key_to_sign_with_is_refused(keys: Path) -> None:
    """A public key, other kinds of key, no PEM, too much, nothing, a folder, a pipe, no file."""
    for name, algorithm in (("rsa", "RSA"), ("ec", "EC"), ("x", "X25519"), ("ed448", "ED448")):
        curve = ("-pkeyopt", "ec_paramgen_curve:P-256") if algorithm == "EC" else ()
        assert openssl("genpkey", "-algorithm", algorithm, *curve, "-out", name, folder=keys).returncode == 0
    openssl("pkey", "-in", "private.pem", "-outform", "DER", "-out", "der", folder=keys)
    written(keys / "torn", (keys / "private.pem").read_bytes()[:60] + b"\n-----END PRIVATE KEY-----\n")
    written(keys / "empty", " \n")
    written(keys / "large", b"-" * 16385)
    written(keys / "x.json", "{}")
    os.mkfifo(keys / "pipe")

    def read(path: Path) -> object:
        return read_private_key(path, no_passphrase)

    other = f"is a private key of another kind than Ed25519; {MAKE}"
    said = {name: refused(read, keys / name) for name in ("rsa", "ec", "x", "ed448")}
    assert said == dict.fromkeys(said, other)
    names = ("public.pem", "der", "x.json", "torn", "empty", "large", "pipe", ".", "none")
    assert {name: refused(read, keys / name) for name in names} == {
        "public.pem": f"is a public key; sign with a private key; {MAKE}",
        "der": f"{NO_PRIVATE}; sign with a private key; {MAKE}",
        "x.json": f"{NO_PRIVATE}; sign with a private key; {MAKE}",
        "torn": f"{NO_PRIVATE}; {MAKE}",
        "empty": "is empty; give the path of a private key",
        "large": "is over 16 kB, which no key is; give the path of a private key",
        "pipe": "is no plain file; give the path of a private key",
        ".": "is a folder; give the path of a private key",
        "none": "is not there; give the path of a private key",
    }


def test_what_is_no_key_to_verify_by_is_refused(keys: Path) -> None:
    """A private key, encrypted or not, before all: it should not lie about. Then other kinds, and no key."""
    locked = ("-aes256", "-passout", "pass:x", "-out", "locked.pem")
    assert openssl("pkey", "-in", "private.pem", *locked, folder=keys).returncode == 0
    curve = ("-algorithm", "EC", "-pkeyopt", "ec_paramgen_curve:P-256")
    assert openssl("genpkey", *curve, "-out", "ec", folder=keys).returncode == 0
    assert openssl("pkey", "-in", "ec", "-pubout", "-out", "ec.pem", folder=keys).returncode == 0
    both = (keys / "public.pem").read_bytes() + (keys / "private.pem").read_bytes()
    written(keys / "both.pem", both)
    written(keys / "x.json", "{}")
    private = f"is a private key; keep it to who signs, and verify by the public one; {DERIVE}"
    names = ("private.pem", "locked.pem", "both.pem", "ec.pem", "x.json", "none")
    assert {name: refused(read_public_key, keys / name) for name in names} == {
        "private.pem": private,
        "locked.pem": private,
        "both.pem": private,
        "ec.pem": "is a public key of another kind than Ed25519; give that of who signed",
        "x.json": f"{NO_PUBLIC}; {DERIVE}",
        "none": "is not there; give the path of a public key",
    }


def test_what_is_no_signature_is_refused(tmp_path: Path) -> None:
    """64 bytes as they are: none, base64, hexadecimal, a byte less or more."""
    give = "and an Ed25519 signature is 64; give the file that wallwalk sign --key wrote"
    raw = hashlib.sha512(b"").digest()
    assert read_signature(written(tmp_path / "raw.sig", raw)) == raw
    for content, said in ((b"", "0"), (raw[1:], "63"), (raw + b"\n", "over 64"), (raw.hex().encode(), "over 64")):
        assert refused(read_signature, written(tmp_path / "x.sig", content)) == f"is {said} bytes, {give}"
    assert refused(read_signature, tmp_path) == "is a folder; give the path of a signature"


@pytest.mark.slow
def test_nothing_is_written_where_one_output_cannot_be(keys: Path) -> None:
    """A signature that is there already is kept, and then no output is made; the key itself is no output."""
    written(keys / "room.json", write_filed_json(filed(READING_ROOM)))
    written(keys / "signed.json.sig", "kept")
    before = sorted(path.name for path in keys.iterdir())
    sign = f"sign room.json -o signed.json {shlex.join(WHO)} --key private.pem"
    refusals = {
        sign: "signed.json.sig: is there already; give another name, or add --overwrite\n",
        sign.replace("private.pem", "public.pem"): (
            "signed.json.sig: is there already; give another name, or add --overwrite\n"
        ),
        f"{sign} --overwrite".replace("--key private.pem", "--key signed.json.sig"): (
            "signed.json.sig: is read to make this; give another name\n"
        ),
        f"{sign} --overwrite".replace("private.pem", "public.pem"): (
            f"public.pem: is a public key; sign with a private key; {MAKE}\n"
        ),
    }
    for command, said in refusals.items():
        done = wallwalk(command, keys)
        assert (done.returncode, done.stdout, done.stderr) == (2, "", said)
    assert sorted(path.name for path in keys.iterdir()) == before
    assert (keys / "signed.json.sig").read_bytes() == b"kept"
    assert wallwalk(f"{sign} --overwrite", keys).returncode == 0
    assert len((keys / "signed.json.sig").read_bytes()) == 64


def test_signature_and_key_go_together(keys: Path) -> None:
    """One without the other is a slip, and never passed over."""
    said = "Error: --signature and --key go together: the signature, and the public key of who made it\n"
    for command in ("verify room.json --key public.pem", "verify room.json --signature room.sig"):
        done = wallwalk(command, keys)
        assert (done.returncode, done.stdout) == (2, "")
        assert done.stderr.endswith(said)


def at_a_terminal(command: str, folder: Path, typed: str) -> tuple[int, str]:
    """How a command ends at a terminal where `typed` is entered, and all that is seen there."""
    pid, terminal = pty.fork()
    if pid == 0:
        os.chdir(folder)
        os.execvp("wallwalk", ["wallwalk", *shlex.split(command)])  # noqa: S606 - nothing is handed to a shell
    seen = b""
    while True:
        try:
            seen += os.read(terminal, 4096)
        except OSError:
            break
        if seen.endswith(b": ") and typed:
            os.write(terminal, typed.encode())
            typed = ""
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]), seen.decode().replace("\r\n", "\n")


@pytest.mark.slow
def test_the_passphrase_of_a_key_is_asked_for_and_not_shown(keys: Path) -> None:
    """Right: it is signed. Wrong, none, Ctrl-C, or no terminal to type it at: one message, and nothing is written."""
    locked = ("-aes256", "-passout", "pass:paño mojado", "-out", "locked.pem")
    assert openssl("pkey", "-in", "private.pem", *locked, folder=keys).returncode == 0
    written(keys / "room.json", write_filed_json(filed(READING_ROOM)))
    sign = f"sign room.json -o signed.json {shlex.join(WHO)} --key locked.pem"
    asked, wrong = "Passphrase of locked.pem: \n", "locked.pem: is not opened by that passphrase"
    none = "locked.pem: is encrypted, and no passphrase was typed; run this in a terminal, and type it there\n"
    for typed, said in (("other\n", f"{wrong}; type the one it was encrypted with\n"), ("\x03", none)):
        assert at_a_terminal(sign, keys, typed) == (2, asked + said)
    done = wallwalk(sign, keys)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.endswith(none)
    assert not (keys / "signed.json").exists()
    code, seen = at_a_terminal(sign, keys, "paño mojado\n")
    assert (code, seen.startswith(asked), "mojado" in seen) == (0, True, False)
    raw = ("-sign", "-inkey", "private.pem", "-rawin", "-in", "signed.json", "-out", "x.sig")
    assert openssl("pkeyutl", *raw, folder=keys).returncode == 0
    assert (keys / "x.sig").read_bytes() == (keys / "signed.json.sig").read_bytes()


@pytest.mark.slow
def test_without_the_package_it_says_what_to_install(keys: Path) -> None:
    """One line, and nothing is written; without --key nothing asks for it."""
    written(keys / "room.json", write_filed_json(filed(READING_ROOM)))
    (keys / "hide" / "cryptography").mkdir(parents=True)
    written(keys / "hide" / "cryptography" / "__init__.py", "raise ImportError")
    hidden = {"PYTHONPATH": os.pathsep.join([str(keys / "hide"), os.environ.get("PYTHONPATH", "")])}
    said = (
        "signing with a key needs the package cryptography, which is not here; "
        "run: python -m pip install 'wallwalk[signature]'\n"
    )
    written(keys / "room.sig", bytes(64))
    sign = f"sign room.json -o signed.json {shlex.join(WHO)}"
    for command in (f"{sign} --key private.pem", "verify room.json --signature room.sig --key public.pem"):
        done = wallwalk(command, keys, **hidden)
        assert (done.returncode, done.stdout, done.stderr) == (2, "", said)
    assert not (keys / "signed.json").exists()
    assert wallwalk(sign, keys, **hidden).returncode == 0
