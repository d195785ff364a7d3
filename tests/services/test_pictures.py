"""Photos: only pictures come in, small, upright and without anything that is not the picture."""

from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from app.services import pictures
from app.services.refusals import NotFound, Refused
from app.services.undo import undo
from app.store import pictures as files
from app.store.actor import Forbidden
from app.store.cases import CasePhoto
from app.store.session import enter, rows
from tests.conftest import People
from tests.factories import Made
from tests.services.test_cases import opened

ORIENTATION, GPS, MAKER = 0x0112, 0x8825, 0x010F


def picture(size: tuple[int, int] = (40, 20), kind: str = "JPEG", **more: bytes) -> bytes:
    kept = BytesIO()
    Image.new("RGB", size, "teal").save(kept, kind, **more)
    return kept.getvalue()


def from_a_phone() -> bytes:
    """Return a picture that lies on its side and says where and with what it was taken."""
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKER] = 6, "Invented Camera"
    exif[GPS] = {1: "N", 2: (52.0, 31.0, 12.0), 3: "E", 4: (13.0, 24.0, 18.0)}
    return picture(exif=exif.tobytes())


def opened_again(jpeg: bytes) -> Image.Image:
    return Image.open(BytesIO(jpeg))


def test_a_photo_is_kept_upright_and_tells_nothing_beside_itself() -> None:
    upload = from_a_phone()
    assert b"Invented Camera" in upload
    kept = pictures.shrink(upload)
    assert (kept.width, kept.height) == (20, 40)
    assert not opened_again(kept.jpeg).getexif()
    assert b"Exif" not in kept.jpeg
    assert b"Invented" not in kept.jpeg


def test_a_comment_in_the_file_does_not_come_along() -> None:
    assert b"my street" not in pictures.shrink(picture(comment=b"my street")).jpeg


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_large_photo_is_made_small(kind: str) -> None:
    kept = pictures.shrink(picture((3300, 2200), kind))
    assert (kept.width, kept.height) == (1600, 1067)
    assert opened_again(kept.jpeg).format == "JPEG"


def test_a_small_photo_keeps_its_size() -> None:
    kept = pictures.shrink(picture((300, 200)))
    assert (kept.width, kept.height) == (300, 200)


def test_what_is_see_through_becomes_white() -> None:
    clear = BytesIO()
    Image.new("RGBA", (8, 8), (0, 0, 0, 0)).save(clear, "PNG")
    assert opened_again(pictures.shrink(clear.getvalue()).jpeg).getpixel((4, 4)) == (255, 255, 255)


@pytest.mark.parametrize(
    "upload",
    [b"<svg onload='alert(1)'>", b"GIF89a" + b"\0" * 20, b"\xff\xd8\xff" + b"\0" * 30, picture()[:200]],
    ids=["svg", "gif", "no jpeg", "cut off"],
)
def test_what_is_no_picture_is_refused(upload: bytes) -> None:
    with pytest.raises(Refused) as caught:
        pictures.shrink(upload)
    assert caught.value.field == "photo"


def test_nothing_chosen_is_said_so() -> None:
    with pytest.raises(Refused, match="Choose a photo"):
        pictures.shrink(b"")


def test_a_photo_beyond_all_measure_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(Refused, match="15 MB"):
        pictures.shrink(b"x" * (pictures.MOST_BYTES + 1))
    monkeypatch.setattr(pictures, "MOST_PIXELS", 100)
    with pytest.raises(Refused, match="too many pixels"):
        pictures.shrink(picture())


def added(made: Made, folder: Path) -> CasePhoto:
    return pictures.add_photo(
        made.session, made.actor, opened(made).id, folder=folder, upload=picture(), taken_on=made.actor.today
    )


def test_a_photo_lies_under_its_digest_once(made: Made, tmp_path: Path) -> None:
    first, second = added(made, tmp_path), added(made, tmp_path)
    assert first.digest == second.digest
    assert [path.name for path in tmp_path.rglob("*") if path.is_file()] == [f"{first.digest}.jpg"]


def test_a_photo_taken_out_can_be_put_back(made: Made, tmp_path: Path) -> None:
    photo = added(made, tmp_path)
    pictures.remove_photo(made.session, made.actor, photo.id)
    assert not rows(made.session, CasePhoto)
    undo(made.session, made.actor, made.session.info["act"].id)
    (again,) = rows(made.session, CasePhoto)
    assert files.path_of(tmp_path, again.digest).is_file()


def test_a_helper_takes_out_only_their_own_photos(made: Made, people: People, tmp_path: Path) -> None:
    photo = added(made, tmp_path)
    enter(made.session, people.helper.fishroom_id)
    with pytest.raises(Forbidden):
        pictures.remove_photo(made.session, people.helper, photo.id)


def test_no_digest_leads_out_of_the_folder(tmp_path: Path) -> None:
    with pytest.raises(NotFound):
        files.path_of(tmp_path, "../../etc/passwd")
