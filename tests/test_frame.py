"""What holds for every answer: who may ask without signing in, what may keep it, what a browser may do with it."""

import re

import pytest
from django.contrib.auth import get_user_model
from django.template.loader import render_to_string
from django.test import Client, override_settings
from django.urls import URLPattern, URLResolver, get_resolver

PUBLIC = {
    "favicon",
    "come_in",
    "come_in_by",
    "account_login",
    "account_logout",
    "account_signup",
    "account_inactive",
    "account_email_verification_sent",
    "account_confirm_email",
    "account_confirm_login_code",
    "account_reset_password",
    "account_reset_password_done",
    "account_reset_password_from_key",
    "account_reset_password_from_key_done",
    "mfa_authenticate",
    "worker",
    "manifest",
    "no_signal",
    "this_phone",
    "phone_enrol",
    "token",
    "send",
}
"""Views that open without signing in, by name; every one of these is meant."""


def views(patterns: list[URLPattern | URLResolver]) -> dict[str, bool]:
    """Each named view, and whether it opens without signing in."""
    found: dict[str, bool] = {}
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            found |= views(pattern.url_patterns)
        else:
            assert pattern.name, f"a view without a name: {pattern.pattern}"
            found[pattern.name] = not getattr(pattern.callback, "login_required", True)
    return found


def test_every_view_asks_for_a_sign_in_unless_it_is_named_here() -> None:
    found = views(get_resolver().url_patterns)
    assert {name for name, public in found.items() if public} == PUBLIC


@pytest.mark.django_db
def test_anonymous_is_sent_to_sign_in_and_back(client: Client) -> None:
    answer = client.get("/account/password/change/")
    assert (answer.status_code, answer["Location"]) == (302, "/account/login/?next=/account/password/change/")


@pytest.mark.django_db
def test_sign_up_is_closed(client: Client) -> None:
    sent = {"username": "x", "email": "x@barn.example", "password1": "hay-net-by-the-door"}
    answer = client.post("/account/signup/", sent | {"password2": sent["password1"]})
    assert "Nobody signs up alone" in answer.content.decode()
    assert get_user_model().objects.count() == 0


@pytest.mark.django_db
@pytest.mark.parametrize("name", ["wren", "wren@barn.example"])
def test_signing_in_by_name_or_by_address(client: Client, name: str) -> None:
    get_user_model().objects.create_user("wren", "wren@barn.example", "hay-net-by-the-door")
    answer = client.post("/account/login/", {"login": name, "password": "hay-net-by-the-door"})
    assert (answer.status_code, answer["Location"]) == (302, "/")


@pytest.mark.django_db
def test_pages_are_kept_by_nobody_and_framed_by_nobody(client: Client) -> None:
    answer = client.get("/account/login/")
    kept = {part.strip() for part in answer["Cache-Control"].split(",")}
    assert {"no-store", "private"} <= kept
    expected = {
        "X-Frame-Options": "DENY",
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "same-origin",
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Permissions-Policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
    }
    assert {name: answer[name] for name in expected} == expected


@pytest.mark.django_db
def test_the_policy_lets_no_inline_script_or_style_run(client: Client) -> None:
    policy = dict(
        part.strip().partition(" ")[::2] for part in client.get("/account/login/")["Content-Security-Policy"].split(";")
    )
    assert policy["default-src"] == "'none'"
    assert policy["style-src"] == "'self'"
    assert re.fullmatch(r"'self'( 'nonce-[\w+/=]+')?", policy["script-src"])
    assert "unsafe" not in str(policy)


@pytest.mark.django_db
def test_dynamic_pages_travel_compressed(client: Client) -> None:
    assert client.get("/account/login/", headers={"Accept-Encoding": "gzip"})["Content-Encoding"] == "gzip"


@pytest.mark.django_db
def test_the_icon_is_ours_and_may_be_kept(client: Client) -> None:
    answer = client.get("/favicon.ico")
    assert (answer.status_code, answer["Location"]) == (302, "/static/barnrugs/mark.svg")
    assert "public" in answer["Cache-Control"]
    icon = client.get(answer["Location"])
    assert icon["Content-Type"] == "image/svg+xml"
    assert b"".join(icon).startswith(b"<svg")
    icon.close()


@pytest.mark.django_db
def test_a_page_that_is_not_there_says_so_in_our_words(client: Client) -> None:
    answer = client.get("/no-such-page/")
    assert answer.status_code == 404
    assert "Nothing here" in answer.content.decode()


@pytest.mark.django_db
@override_settings(ALLOWED_HOSTS=["barn.example"])
def test_another_host_is_refused_in_our_words(client: Client) -> None:
    answer = client.get("/account/login/", headers={"Host": "elsewhere.example"})
    assert answer.status_code == 400
    assert "did not arrive whole" in answer.content.decode()


@pytest.mark.django_db
def test_a_form_without_its_token_is_refused_in_our_words() -> None:
    answer = Client(enforce_csrf_checks=True).post("/account/login/", {"login": "x", "password": "y"})
    assert answer.status_code == 403
    assert "had grown old" in answer.content.decode()


@pytest.mark.parametrize("name", ["400", "403", "403_csrf", "404", "500"])
def test_error_pages_need_nothing_but_themselves(name: str) -> None:
    """They are shown when the request, the session or the database may be the thing that broke."""
    page = render_to_string(f"{name}.html")
    assert page.count("<h1>") == 1
    assert 'lang="en"' in page
