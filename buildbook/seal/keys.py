"""A workshop's key for signing: RSA-3072 or ECDSA P-256, encrypted, with a certificate that it signs itself.

A self-signed certificate names the workshop and vouches for nothing: its fingerprint must reach the reader by
another way.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from buildbook.errors import AnswerIsNo, BuildbookError, InputUnreadable, WrongUsage

if TYPE_CHECKING:
    from cryptography.x509 import Certificate

KEY, CERTIFICATE = "signing-key.pem", "signing-certificate.pem"
LEAST_PASSPHRASE = 8
_MOST = 1 << 20
_INSTALL = "Install the extra: pip install 'buildbook[sign]'."


@dataclass(frozen=True, slots=True)
class Signer:
    """A key that was unlocked, its certificate, and the person who signs."""

    key: Any
    certificate: Certificate
    person: str

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate (DER), lower-case hex."""
        return fingerprint(self.certificate)

    @property
    def pem(self) -> bytes:
        """The certificate as it lies in an issue."""
        from cryptography.hazmat.primitives.serialization import Encoding

        return self.certificate.public_bytes(Encoding.PEM)


def need_extra() -> None:
    """Raises WrongUsage if the packages for signing are not installed."""
    try:
        import cryptography
        import pyhanko  # noqa: F401
    except ImportError as error:
        raise WrongUsage(f"Signing needs a package that is not installed ({error.name}).", _INSTALL) from error
    del cryptography


def fingerprint(certificate: Certificate) -> str:
    """SHA-256 of a certificate (DER), lower-case hex, as `openssl x509 -fingerprint -sha256` gives it."""
    from cryptography.hazmat.primitives.hashes import SHA256

    return certificate.fingerprint(SHA256()).hex()


def new_keys(folder: Path, name: str, passphrase: str, at: datetime, *, ec: bool = False, years: int = 10) -> str:
    """Write key and certificate into `folder` and give the certificate's fingerprint. Nothing is overwritten.

    Raises WrongUsage for a passphrase that is too short, or a folder inside a job folder (a key must never be sealed
    into an archive); AnswerIsNo if there is a key already.
    """
    need_extra()
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec as curves
    from cryptography.hazmat.primitives.asymmetric import rsa
    from cryptography.x509.oid import NameOID

    if not name.strip() or len(name) > 64:
        raise WrongUsage("The name in a certificate has 1 to 64 characters.", "Give the workshop's name with --name.")
    if len(passphrase) < LEAST_PASSPHRASE:
        raise WrongUsage(f"The passphrase is shorter than {LEAST_PASSPHRASE} characters.", "Choose a longer one.")
    whole = folder.resolve()
    if any((place / "job.toml").exists() for place in (whole, *whole.parents)):
        raise WrongUsage(f"{folder} lies in a job folder: the key would go into its archive.", "Choose another --out.")
    for file in (KEY, CERTIFICATE):
        if (folder / file).exists():
            raise AnswerIsNo(f"{folder / file} is there already. Nothing was written.", "Choose another --out.")
    key: Any = curves.generate_private_key(curves.SECP256R1()) if ec else rsa.generate_private_key(65537, 3072)
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name.strip())])
    usage = {
        "digital_signature": True, "content_commitment": True, "key_encipherment": False, "data_encipherment": False,
        "key_agreement": False, "key_cert_sign": False, "crl_sign": False, "encipher_only": False,
        "decipher_only": False,
    }  # fmt: skip
    certificate = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(at)
        .not_valid_after(at + timedelta(days=365 * years))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.KeyUsage(**usage), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    locked = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.BestAvailableEncryption(passphrase.encode("utf-8")),
    )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _write(folder / KEY, locked, 0o600)
        _write(folder / CERTIFICATE, certificate.public_bytes(serialization.Encoding.PEM), 0o644)
    except OSError as error:
        says = f"The key cannot be written in {folder}: {error.strerror or error}."
        raise BuildbookError(says, "Choose another --out.") from error
    return fingerprint(certificate)


def _write(path: Path, data: bytes, mode: int) -> None:
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    with os.fdopen(handle, "wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(handle)


def load_signer(key: Path, certificate: Path, passphrase: str, person: str, at: datetime) -> Signer:
    """Unlock a key. Raises InputUnreadable or WrongUsage, saying what does not fit."""
    need_extra()
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric import ec as curves
    from cryptography.hazmat.primitives.asymmetric import rsa
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    try:
        held = x509.load_pem_x509_certificate(_read(certificate))
    except ValueError as error:
        raise InputUnreadable(f"{certificate} is no certificate in PEM form.", "Give the one made with it.") from error
    try:
        opened = load_pem_private_key(_read(key), passphrase.encode("utf-8"))
    except TypeError as error:
        raise WrongUsage(f"{key} is not locked by a passphrase.", "Make a key with `buildbook keys new`.") from error
    except ValueError as error:
        raise WrongUsage(f"{key} cannot be unlocked: wrong passphrase, or no key.", "Check both.") from error
    if not isinstance(opened, rsa.RSAPrivateKey | curves.EllipticCurvePrivateKey):
        raise WrongUsage(f"{key} is neither an RSA nor an ECDSA key.", "Make a key with `buildbook keys new`.")
    if opened.public_key() != held.public_key():
        raise WrongUsage(f"{certificate} does not belong to {key}.", "Give the certificate made with the key.")
    if not held.not_valid_before_utc <= at <= held.not_valid_after_utc:
        until = f"{held.not_valid_before_utc:%Y-%m-%d} to {held.not_valid_after_utc:%Y-%m-%d}"
        raise WrongUsage(f"{certificate} holds from {until}, not today.", "Make a new key with `buildbook keys new`.")
    return Signer(opened, held, person)


def _read(path: Path) -> bytes:
    try:
        if not path.is_file() or path.stat().st_size > _MOST:
            raise InputUnreadable(f"{path} is not there, or is no file of a key's size.", "Check the path.")
        return path.read_bytes()
    except OSError as error:
        raise InputUnreadable(f"{path} cannot be read: {error.strerror or error}.", "Check its rights.") from error
