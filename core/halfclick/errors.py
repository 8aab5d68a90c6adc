"""What a person can mend: errors that carry a message code and its values."""

from collections.abc import Mapping
from types import MappingProxyType


class CoreError(Exception):
    """Something a person can mend; `wording` turns its code and values into a sentence.

    Args:
        code: message code in the catalogues.
        values: named values of the message; a name's unit suffix says how it is printed.
    """

    def __init__(self, code: str, **values: object) -> None:
        super().__init__(code, values)
        self.code = code
        self.values: Mapping[str, object] = MappingProxyType(values)


class BadInput(CoreError):
    """A value that a person typed, or a file held, and that cannot be."""


class NotFound(CoreError):
    """A record that was asked for by identity is not in the journal."""


class StoreError(CoreError):
    """The journal cannot be opened, read or written as asked."""


class StoreBusy(StoreError):
    """Another program holds the journal."""


class StoreNewer(StoreError):
    """The journal was written by a newer release and is left untouched."""


class StoreDamaged(StoreError):
    """The journal fails its own integrity check."""


class StoreForeign(StoreError):
    """The file is not a journal of this program."""


class StoreUnwritable(StoreError):
    """The disk is full, read-only, or refuses to write."""
