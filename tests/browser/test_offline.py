"""Without signal: nothing seen is missing, nothing done is lost. A real browser on a wire that is cut."""

import pytest
from playwright.sync_api import expect

from inventory.models import ListLine, Wearing
from tests.browser.away import away, shot, wire
from tests.browser.looking import violations
from tests.cast import Cast, build_cast
from tests.inventory.lists import line_of, make_list

__all__ = ["away", "wire"]


@pytest.fixture
def cast(live_server, transactional_db) -> Cast:
    cast = build_cast()
    make_list(cast)
    return cast


def test_the_list_and_a_tap_without_signal(cast, away):
    phone, line = away(cast.staff), line_of(cast)
    page = phone.visit()
    phone.cut()
    phone.open()
    expect(page.locator(f"#line-{line.pk}")).to_contain_text("Bramble")
    phone.tap(line.pk, "Done")
    phone.waiting(1)
    expect(page.locator(f"#line-{line.pk} .queued")).to_contain_text("Done · On this phone")
    shot(page, "on-this-phone")
    assert violations(page) == []
    assert ListLine.objects.get(pk=line.pk).outcome == ""
    phone.signal()
    page.locator("#queue-send").click()
    phone.all_sent()
    line.refresh_from_db()
    assert (line.outcome, line.done_by) == ("done", cast.staff)
    assert {one.blanket.tag for one in Wearing.objects.filter(horse=line.horse, off_at=None)} == set(line.tags_to)
    shot(page, "sent")
