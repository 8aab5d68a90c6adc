"""Photos: copied whole beside the journal, hostile until decoded, removed with undo."""

from pathlib import Path

import pytest

from halfclick.errors import BadInput, StoreUnwritable
from halfclick.model.photo import Photo
from halfclick.service import photos
from halfclick.service.copies import copy_now
from halfclick.service.photos import (
    add_photo,
    bring_back_photo,
    photos_folder,
    photos_of,
    remove_photo,
    sweep_photos,
)
from halfclick.service.record import correct_drained
from halfclick.store.opening import open_store

PNG = b"\x89PNG\r\n\x1a\n" + b"picture"
JPEG = b"\xff\xd8\xff\xe0" + b"picture"
WEBP = b"RIFF\x00\x00\x00\x00WEBPpicture"


@pytest.fixture
def brew(cup, coffee):
    return cup(coffee("Tarn Hollow"), "20")


@pytest.fixture
def add(store, clock, brew, tmp_path):
    def added(content: bytes, *, decodes=lambda content, kind: True, name="bed.png"):
        source = tmp_path / "camera" / name
        source.parent.mkdir(exist_ok=True)
        source.write_bytes(content)
        return add_photo(store, brew.id, source, decodes=decodes, clock=clock).value

    return added


@pytest.mark.parametrize(("content", "ending"), [(PNG, "png"), (JPEG, "jpg"), (WEBP, "webp")])
def test_a_picture_is_copied_under_its_own_identity(store, brew, add, content, ending):
    photo = add(content, name="../odd name.exe".replace("../", ""))
    assert photo.file == f"{photo.id}.{ending}"
    (shown,) = photos_of(store, brew.id)
    assert shown.place.read_bytes() == content
    assert shown.place.parent == store.path.parent / "photos"


@pytest.mark.parametrize("content", [b"", b"GIF89a", b"<svg/>", b"RIFF\x00\x00\x00\x00WAVE"])
def test_what_is_no_such_picture_is_refused_and_nothing_copied(store, add, words, content):
    with pytest.raises(BadInput) as refused:
        add(content)
    assert words.sentence(refused.value)
    assert not photos_folder(store).exists()


def test_what_does_not_decode_is_refused(store, add, brew):
    with pytest.raises(BadInput):
        add(PNG, decodes=lambda content, kind: False)
    assert photos_of(store, brew.id) == ()


def test_a_picture_too_large_is_refused(store, add, monkeypatch, words):
    monkeypatch.setattr(photos, "LARGEST_BYTES", 10)
    with pytest.raises(BadInput) as refused:
        add(PNG)
    assert words.sentence(refused.value)


def test_a_folder_or_a_missing_file_is_refused(store, clock, brew, tmp_path):
    for source in (tmp_path, tmp_path / "missing.png"):
        with pytest.raises(BadInput):
            add_photo(store, brew.id, source, decodes=lambda *_: True, clock=clock)


def test_nothing_is_half_written(store, add, monkeypatch, brew):
    def full(self, target):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(StoreUnwritable):
        add(PNG)
    assert list(photos_folder(store).iterdir()) == []
    assert photos_of(store, brew.id) == ()


def test_a_photo_is_removed_and_comes_back(store, clock, brew, add):
    photo = add(PNG)
    remove_photo(store, photo.id, clock=clock)
    assert photos_of(store, brew.id) == ()
    bring_back_photo(store, photo.id, clock=clock)
    assert [shown.photo for shown in photos_of(store, brew.id)] == [photo]


def test_a_corrected_brew_keeps_its_photos_and_a_missing_file_is_told(store, clock, brew, add):
    photo = add(PNG)
    right = correct_drained(store, brew.id, 170.0, clock=clock).value
    assert [shown.photo for shown in photos_of(store, right.id)] == [photo]
    (photos_folder(store) / photo.file).unlink()
    assert photos_of(store, right.id)[0].place is None


def test_a_link_out_of_the_folder_is_not_shown(store, clock, brew, add, tmp_path):
    photo = add(PNG)
    place = photos_folder(store) / photo.file
    place.unlink()
    secret = tmp_path / "secret.png"
    secret.write_bytes(PNG)
    place.symlink_to(secret)
    assert photos_of(store, brew.id)[0].place is None
    assert isinstance(photo, Photo)


def test_only_what_nothing_can_bring_back_is_swept(store, clock, add):
    kept, removed = add(PNG), add(JPEG)
    remove_photo(store, removed.id, clock=clock)
    clock.advance(29 * 86_400)
    assert sweep_photos(store, clock=clock) == ()
    clock.advance(2 * 86_400)
    assert sweep_photos(store, clock=clock) == (photos_folder(store) / removed.file,)
    assert [one.name for one in photos_folder(store).iterdir()] == [kept.file]


def test_a_copy_that_still_shows_a_photo_keeps_its_file(store, clock, add):
    removed = add(PNG)
    copy_now(store, clock=clock)
    clock.advance(60)
    remove_photo(store, removed.id, clock=clock)
    clock.advance(90 * 86_400)
    assert sweep_photos(store, clock=clock) == ()


def test_photos_move_with_the_journal_and_the_folders_beside_it(store, clock, brew, add, tmp_path):
    photo = add(PNG)
    store.close()
    there = tmp_path / "elsewhere"
    there.mkdir()
    for name in (store.path.name, photos.FOLDER):
        (store.path.parent / name).rename(there / name)
    moved = open_store(there / store.path.name, clock=clock)
    (shown,) = photos_of(moved, brew.id)
    assert shown.photo.id == photo.id
    assert shown.place.read_bytes() == PNG
    assert shown.place.parent == there / photos.FOLDER
    moved.close()
