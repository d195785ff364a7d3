"""Photos of cases: looked at, made small, freed of everything but the picture, kept, removed."""

import warnings
from dataclasses import dataclass
from datetime import date
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageOps
from sqlalchemy.orm import Session

from app.core.wording import day_words
from app.queries.history import act_of_rows
from app.services.cases import subject_of
from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.stays import not_ahead
from app.store import pictures
from app.store.actor import Actor, Forbidden
from app.store.cases import Case, CasePhoto
from app.store.journal import Act
from app.store.session import find

KINDS = ("JPEG", "PNG", "WEBP")
LONGEST_SIDE = 1600
MOST_BYTES = 15 * 1024 * 1024
MOST_PIXELS = 40_000_000
"""To be held in memory at once; a large JPEG is read at half its size or less, a small file that claims
more is a trap."""
QUALITY = 85


@dataclass(frozen=True, slots=True)
class Shrunk:
    """A picture as it is kept: a JPEG without place, time or camera."""

    jpeg: bytes
    width: int
    height: int


def shrink(upload: bytes) -> Shrunk:
    """Read an upload as a picture, set it upright, make it small, and drop all that it says beside."""
    if not upload:
        raise Refused("Choose a photo, or take one.", "photo")
    if len(upload) > MOST_BYTES:
        raise Refused(f"The photo is larger than {MOST_BYTES // 1024**2} MB. Send a smaller one.", "photo")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            return _shrunk(upload)
    except Refused:
        raise
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError) as error:
        raise Refused("This is no photo that can be read. Send a JPEG, PNG or WebP.", "photo") from error


def _shrunk(upload: bytes) -> Shrunk:
    with Image.open(BytesIO(upload), formats=KINDS) as opened:
        opened.draft("RGB", (2 * LONGEST_SIDE, 2 * LONGEST_SIDE))
        if opened.width * opened.height > MOST_PIXELS:
            raise Refused("The photo has too many pixels. Send a smaller one.", "photo")
        upright = ImageOps.exif_transpose(opened)
        plain = _on_white(upright)
    plain.thumbnail((LONGEST_SIDE, LONGEST_SIDE), Image.Resampling.LANCZOS)
    bare = Image.new("RGB", plain.size)
    bare.paste(plain)
    kept = BytesIO()
    bare.save(kept, "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return Shrunk(kept.getvalue(), bare.width, bare.height)


def _on_white(picture: Image.Image) -> Image.Image:
    """Return a picture in plain colours; what was see-through becomes white."""
    if picture.mode not in {"RGBA", "LA", "PA"} and "transparency" not in picture.info:
        return picture.convert("RGB")
    clear = picture.convert("RGBA")
    white = Image.new("RGBA", clear.size, "white")
    return Image.alpha_composite(white, clear).convert("RGB")


def add_photo(
    session: Session,
    actor: Actor,
    case_id: int,
    *,
    folder: Path,
    upload: bytes,
    taken_on: date,
    note: str = "",
) -> CasePhoto:
    """Keep a photo of a case, open or closed."""
    actor.must_log()
    not_ahead(actor, taken_on, "taken_on")
    case = find(session, Case, case_id)
    small = shrink(upload)
    entry = Entry(session, actor, "add photo")
    photo = entry.add(
        CasePhoto(
            case_id=case.id,
            digest=pictures.keep(folder, small.jpeg),
            width=small.width,
            height=small.height,
            taken_on=taken_on,
            added_at=actor.now,
            note=note.strip(),
        )
    )
    entry.tell(subject_of(case), f"Photo of {day_words(taken_on, actor.today)} added")
    return photo


def remove_photo(session: Session, actor: Actor, photo_id: int) -> Case:
    """Take a photo out of its case; the file stays, so that this can be taken back."""
    actor.must_log()
    photo = find(session, CasePhoto, photo_id)
    case = find(session, Case, photo.case_id)
    if not actor.may_manage and _added_by(session, actor, photo) != actor.user_id:
        raise Forbidden("Helpers can take back only what they logged themselves.")
    entry = Entry(session, actor, "remove photo")
    entry.remove(photo)
    entry.tell(subject_of(case), f"Photo of {day_words(photo.taken_on, actor.today)} taken out")
    return case


def _added_by(session: Session, actor: Actor, photo: CasePhoto) -> int | None:
    act_id = act_of_rows(session, actor, "case_photo", [photo.id]).get(photo.id)
    return find(session, Act, act_id).user_id if act_id is not None else None
