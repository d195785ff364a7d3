"""The way in and out."""

from datetime import timedelta

from freezegun import freeze_time

from app.services import accounts
from app.store.fishrooms import Fishroom
from app.store.session import RoomSession
from app.store.users import Role, User
from tests.conftest import NOON, PASSWORD, People
from tests.support.client import Page, Visitor


def knock(visit: Visitor, email: str, password: str, **more: str) -> Page:
    client = visit.app.test_client()
    token = Page(visit.app, client.get("/sign-in")).token
    answer = client.post(
        "/sign-in",
        data={"csrf_token": token, "email": email, "password": password, **more},
        follow_redirects=True,
    )
    return Page(visit.app, answer)


def test_the_right_password_opens_the_rounds(visit: Visitor) -> None:
    assert "Rounds" in knock(visit, " Keeper@fish.example ", PASSWORD).words


def test_a_wrong_password_says_nothing_of_the_account(visit: Visitor) -> None:
    wrong = knock(visit, "keeper@fish.example", "wrong wrong wrong")
    unknown = knock(visit, "nobody@fish.example", "wrong wrong wrong")
    assert wrong.status == unknown.status == 422
    assert "do not belong together" in wrong.words
    assert "do not belong together" in unknown.words


def test_after_ten_tries_the_door_stays_shut_for_five_minutes(visit: Visitor) -> None:
    for _ in range(10):
        knock(visit, "keeper@fish.example", "wrong wrong wrong")
    assert "Too many tries" in knock(visit, "keeper@fish.example", PASSWORD).words
    with freeze_time(NOON + timedelta(minutes=6)):
        assert "Too many tries" not in knock(visit, "keeper@fish.example", PASSWORD).words


def test_the_way_on_stays_on_this_site(visit: Visitor) -> None:
    for bad in ("//evil.example/", "https://evil.example/", "/\\evil.example"):
        client = visit.app.test_client()
        token = Page(visit.app, client.get("/sign-in")).token
        data = {"csrf_token": token, "email": "keeper@fish.example", "password": PASSWORD, "next": bad}
        assert client.post("/sign-in", data=data).headers["Location"] == "/"


def test_a_link_signs_in_once(visit: Visitor, people: People) -> None:
    with visit.app.app_context():
        from app.web.db import db  # noqa: PLC0415 - needs the context

        with visit.app.test_request_context():
            user = db().get_one(User, people.keeper.user_id)
            token = accounts.make_link(db(), user, NOON)
            db().commit()
    first, second = visit.app.test_client(), visit.app.test_client()
    assert first.get(f"/sign-in/{token}").status_code == 303
    assert first.get("/").status_code == 200
    assert second.get(f"/sign-in/{token}").status_code == 410


def test_signing_out_forgets(visit: Visitor) -> None:
    visit.post("/sign-out", "/")
    assert visit.client.get("/").status_code == 303


def test_a_form_from_another_site_is_refused(visit: Visitor) -> None:
    page = visit.open("/")
    data = {"csrf_token": page.token}
    assert (
        visit.client.post("/sign-out", data=data, headers={"Sec-Fetch-Site": "cross-site"}).status_code == 403
    )
    evil = {"Origin": "https://evil.example"}
    assert visit.client.post("/sign-out", data=data, headers=evil).status_code == 403
    assert visit.client.get("/").status_code == 200


def test_a_form_without_a_token_is_refused(visit: Visitor) -> None:
    assert visit.client.post("/sign-out", data={}).status_code == 403


def test_every_answer_carries_its_headers(visit: Visitor) -> None:
    headers = visit.client.get("/").headers
    assert "unsafe" not in headers["Content-Security-Policy"]
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert headers["Cache-Control"] == "no-store"


def test_the_cookie_is_closed_to_scripts(visit: Visitor) -> None:
    client = visit.app.test_client()
    token = Page(visit.app, client.get("/sign-in")).token
    data = {"csrf_token": token, "email": "keeper@fish.example", "password": PASSWORD}
    cookie = client.post("/sign-in", data=data).headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie


def test_healthz_answers_without_sign_in(visit: Visitor) -> None:
    answer = visit.app.test_client().get("/healthz")
    assert (answer.status_code, answer.get_data(as_text=True)) == (200, "ok\n")


def test_the_theme_is_kept(visit: Visitor) -> None:
    page = visit.post("/theme", "/", theme="dark", next="/")
    assert next(page.all("html")).get("data-theme") == "dark"


def test_a_member_of_two_fishrooms_goes_over_to_the_other(
    visit: Visitor, people: People, session: RoomSession
) -> None:
    other = session.get_one(Fishroom, people.stranger.fishroom_id)
    keeper = session.get_one(User, people.keeper.user_id)
    accounts.add_member(session, other, keeper, Role.READER)
    session.commit()
    assert "Attic" in visit.post(f"/fishroom/{other.id}").words


def test_nobody_goes_over_to_a_fishroom_of_others(visit: Visitor, people: People) -> None:
    assert visit.post(f"/fishroom/{people.stranger.fishroom_id}").status == 404
