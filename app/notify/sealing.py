"""Seals addresses with a key of their own, derived from the server's secret."""

from base64 import urlsafe_b64encode

from cryptography.fernet import Fernet, InvalidToken
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

PURPOSE = b"broodwater: where messages go"


class Unreadable(ValueError):
    """Sealed by another key: the server's secret has changed since."""


class Sealer:
    """Turns an address into what may lie in a database, and back."""

    def __init__(self, secret: str) -> None:
        """Derive the key; the same secret gives the same key (RFC 5869)."""
        key = HKDF(algorithm=SHA256(), length=32, salt=None, info=PURPOSE).derive(secret.encode())
        self._fernet = Fernet(urlsafe_b64encode(key))

    def seal(self, text: str) -> str:
        """Return ``text`` sealed."""
        return self._fernet.encrypt(text.encode()).decode("ascii")

    def unseal(self, sealed: str) -> str:
        """Return what was sealed, or raise :class:`Unreadable`."""
        try:
            return self._fernet.decrypt(sealed).decode()
        except InvalidToken as error:
            raise Unreadable("sealed by another key") from error
