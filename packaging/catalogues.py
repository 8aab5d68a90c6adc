"""Compile the message catalogues: every .po of a language becomes part of its one halfclick.mo.

The command line's own sentences stand in command_line.mo too, which its help reads without others.

Run from anywhere: python packaging/catalogues.py. Needs babel (it is in the test set).
"""

import os
import sys
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import PoFileError, read_po

DATED = datetime(2026, 1, 1, tzinfo=UTC)
# The compiled catalogues of a language, and how the codes in each begin.
COMPILED = {"halfclick.mo": "", "command_line.mo": "commands."}
CATALOGUES = Path(__file__).parent.parent / "resources" / "halfclick_resources" / "catalogues"


def compiled(language: Path, begins: str = "") -> bytes:
    """Return the compiled catalogue of a language's folder, of the codes that begin so.

    Raises:
        SystemExit: a file is damaged, or a code stands twice or has no text.
    """
    # Dated once and for all, so that the same sources always compile to the same bytes.
    merged = Catalog(locale=language.name, fuzzy=False, creation_date=DATED, revision_date=DATED)
    for path in sorted(language.glob("*.po")):
        with path.open("rb") as stream:
            try:
                catalogue = read_po(stream, locale=language.name, abort_invalid=True)
            except PoFileError as error:
                raise SystemExit(f"{path.name}: {error}") from error
        for message in catalogue:
            if not message.id:
                continue
            code = message.id if isinstance(message.id, str) else message.id[0]
            if not code.startswith(begins):
                continue
            if code in merged:
                raise SystemExit(f"{path.name}: {code} stands in another file already")
            if not message.string or not all(message.string):
                raise SystemExit(f"{path.name}: {code} has no text")
            merged.add(message.id, message.string)
    merged.header_comment = ""
    buffer = BytesIO()
    write_mo(buffer, merged)
    return buffer.getvalue()


def main() -> int:
    """Write every language's compiled catalogues where its texts lie."""
    for language in sorted(path for path in CATALOGUES.iterdir() if path.is_dir()):
        for name, begins in COMPILED.items():
            partial = language / f"{name}.{os.getpid()}"
            partial.write_bytes(compiled(language, begins))
            partial.replace(language / name)
    return 0


if __name__ == "__main__":
    sys.exit(main())
