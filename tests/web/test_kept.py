"""An answer is kept while its stamp stands."""

from app.web.kept import Kept


def test_an_answer_is_made_once_for_a_stamp() -> None:
    kept, made = Kept(), list[bytes]()

    def make() -> bytes:
        made.append(b"x")
        return b"%d" % len(made)

    assert [kept.get(1, stamp, make) for stamp in ("a", "a", "b", "a")] == [b"1", b"1", b"2", b"3"]


def test_the_oldest_is_forgotten() -> None:
    kept = Kept(most=2)
    for key in (1, 2, 3):
        kept.get(key, "a", lambda: b"old")
    assert kept.get(1, "a", lambda: b"new") == b"new"
    assert kept.get(3, "a", lambda: b"new") == b"old"
