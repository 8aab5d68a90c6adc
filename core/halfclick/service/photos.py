"""Photos of a brew: files in a folder beside the journal, which moves with it."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from uuid import UUID, uuid4

from halfclick.errors import BadInput, StoreUnwritable
from halfclick.model.brew import Brew
from halfclick.model.photo import Photo, PhotoOf
from halfclick.service.copies import copies
from halfclick.service.corrections import brew_versions
from halfclick.service.done import Done, Touched
from halfclick.store.faults import translated
from halfclick.store.journal import Store

FOLDER = "photos"
LARGEST_BYTES = 20_000_000
# How long the file of a removed photo is kept at least (our own choice).
KEPT_FOR = timedelta(days=30)

# The first bytes that tell the format: PNG specification (W3C, 2003) 5.2; JPEG, ITU-T T.81 B.1.1.3
# (start of image, then another marker); WebP container, RFC 9649 section 2.4 (checked below).
_PNG, _JPEG = b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownPhoto:
    """A photo with the place of its file; no place where the file is missing."""

    photo: Photo
    place: Path | None


def add_photo(
    store: Store,
    brew_id: UUID,
    source: Path,
    *,
    decodes: Callable[[bytes, str], bool],
    clock: Callable[[], datetime],
    of_what: PhotoOf = PhotoOf.BED,
) -> Done[Photo]:
    """Copy a picture's file into the journal's folder of photos, and keep it with a brew.

    Args:
        store: the journal.
        brew_id: the brew it shows.
        source: the file; it is taken for hostile until it was decoded.
        decodes: tells whether bytes of a format ("png", "jpeg" or "webp") are a whole picture.
        clock: tells the time.
        of_what: what it shows.

    Raises:
        BadInput: the file is no such picture, too large, or cannot be read.
        StoreUnwritable: the copy or the journal cannot be written; nothing of it is left.
    """
    if store.read_only:
        raise StoreUnwritable("store.opened_to_read", path=str(store.path))
    brew: Brew = brew_versions(store, brew_id)[0].record
    content = _read(source)
    kind = _format_of(content)
    if kind is None or not decodes(content, kind):
        raise BadInput("photo.no_picture", file=source.name[:80])
    photo_id = uuid4()
    name = f"{photo_id}.{'jpg' if kind == 'jpeg' else kind}"
    photo = Photo(id=photo_id, brew_id=brew.id, file=name, of_what=of_what)
    place = photos_folder(store) / name
    with translated(place):
        _write(place, content)
    try:
        with store.writing(clock()) as w:
            w.add(photo)
    except BaseException:
        place.unlink(missing_ok=True)
        raise
    return Done(photo, Touched.BREWS)


def photos_of(store: Store, brew_id: UUID) -> tuple[ShownPhoto, ...]:
    """Return the photos of a brew and of the versions it corrects, oldest first."""
    ids = [version.record.id for version in brew_versions(store, brew_id)]
    with store.reading() as r:
        found = [photo for one in reversed(ids) for photo in r.all(Photo, brew_id=one)]
    folder = photos_folder(store)
    places = [(photo, folder / photo.file) for photo in found]
    # A link could lead out of the folder: what is shown is a file that lies in it.
    return tuple(
        ShownPhoto(photo=p, place=at if at.is_file() and not at.is_symlink() else None)
        for p, at in places
    )


def remove_photo(store: Store, photo_id: UUID, *, clock: Callable[[], datetime]) -> Done[UUID]:
    """Take a photo away; its file stays, so that it can come back."""
    with store.writing(clock()) as w:
        w.bury(Photo, photo_id)
    return Done(photo_id, Touched.BREWS)


def bring_back_photo(store: Store, photo_id: UUID, *, clock: Callable[[], datetime]) -> Done[UUID]:
    """Undo the removal of a photo."""
    with store.writing(clock()) as w:
        w.unbury(Photo, photo_id)
    return Done(photo_id, Touched.BREWS)


def sweep_photos(store: Store, *, clock: Callable[[], datetime]) -> tuple[Path, ...]:
    """Delete the files of photos that nothing can bring back any more, and return them.

    A file stays while its removal is younger than `KEPT_FOR`, so that an undo finds it, and
    while a copy of the journal is as old as the removal: put back, it would show the photo again.
    Files that the journal does not know are left alone.

    Raises:
        StoreError: a file could not be removed.
    """
    if store.read_only:
        return ()
    before = min([clock() - KEPT_FOR, *(copy.made_at for copy in copies(store))])
    with store.reading() as r:
        gone = r.buried(Photo, before)
    folder = photos_folder(store)
    places = [folder / photo.file for photo in gone]
    # A name that leads out of the folder is none of ours.
    swept = tuple(at for at in places if at.parent == folder and at.is_file())
    with translated(folder):
        for at in swept:
            at.unlink(missing_ok=True)
    return swept


def photos_folder(store: Store) -> Path:
    """Return the folder of photos beside the journal; it is made with the first photo."""
    return store.path.parent / FOLDER


def _read(source: Path) -> bytes:
    try:
        if not source.is_file():
            raise BadInput("photo.no_file", file=source.name[:80])
        with source.open("rb") as stream:
            # One byte more than may be: a file that grows while it is read is caught too.
            content = stream.read(LARGEST_BYTES + 1)
    except OSError as error:
        raise BadInput("photo.no_file", file=source.name[:80]) from error
    if len(content) > LARGEST_BYTES:
        raise BadInput("photo.too_large", most_mb=LARGEST_BYTES // 1_000_000)
    return content


def _format_of(content: bytes) -> str | None:
    if content.startswith(_PNG):
        return "png"
    if content.startswith(_JPEG):
        return "jpeg"
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return "webp"
    return None


def _write(place: Path, content: bytes) -> None:
    """Write a file aside and put it in its place whole."""
    place.parent.mkdir(exist_ok=True)
    aside = place.with_name(f".{place.name}.part")
    try:
        with aside.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        aside.replace(place)
    except BaseException:
        aside.unlink(missing_ok=True)
        raise
