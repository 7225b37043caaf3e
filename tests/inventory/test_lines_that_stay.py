"""Lines that change nothing: kept in for want of a blanket, or without advice. What is on stays on, and one looks."""

import uuid

import pytest

from barnrugs.barns.models import JournalEntry
from barnrugs.matching.words import PrecipKind
from horses.models import Coat, Horse
from inventory.domain import lists, wearing
from inventory.domain.advice import Conditions
from inventory.models import Blanket, ListLine, Wearing
from inventory.queries import wearings
from inventory.views import list_rows
from tests.inventory.lists import COLD, line_of, make_list, now
from tests.inventory.sending import address, send

pytestmark = pytest.mark.django_db
RAINY = Conditions(air_c=2, wind_10m_ms=8, falling=PrecipKind.RAIN)


@pytest.fixture
def kept_in(cast):
    """A clipped horse that stands out in the rain, in a barn whose blankets are all for the stable."""
    Horse.objects.filter(barn=cast.barn).update(out_plan="always")
    Coat.objects.filter(horse=cast.owners_horse).update(clip="full")
    Blanket.objects.filter(barn=cast.barn).exclude(kind="liner").update(kind="stable", waterproofing="none")
    make_list(cast, RAINY)
    return line_of(cast)


@pytest.fixture
def no_advice(cast):
    Horse.objects.filter(pk=cast.owners_horse.pk).update(vet_says="no_advice", vet_note="Call me first")
    make_list(cast, COLD)
    return line_of(cast)


def row_of(cast, line):
    return list_rows.row(line, list_rows.read(cast.staff, [line], now()))


def worn(horse):
    return list(wearings.open_on(horse).order_by("pk").values("pk", "layer", "neck_on", "blanket__tag"))


def test_a_horse_kept_in_carries_what_stays_on_and_says_so(cast, kept_in):
    assert (kept_in.tags_to, kept_in.verdict) == (["WRN22"], "no")
    row = row_of(cast, kept_in)
    assert (row.title, row.off, row.is_one_tap, row.keeps) == ("Keep it in; what it has on stays on", (), False, True)
    assert [piece.tag for piece in row.pieces] == ["WRN22"]


def test_done_of_a_horse_kept_in_leaves_its_wearings_as_they_are(cast, kept_in, sign_in):
    before = worn(cast.owners_horse)
    answer = send(sign_in(cast.staff), address("line_done", kept_in.pk), shown=row_of(cast, kept_in).shown)
    assert answer.status_code == 302
    assert worn(cast.owners_horse) == before != []
    kept_in.refresh_from_db()
    assert (kept_in.outcome, kept_in.tags_done) == ("done", ["WRN22"])
    assert not JournalEntry.objects.filter(action="blanket_taken_off").exists()


def test_a_bare_horse_kept_in_stays_as_it_is(cast, kept_in, act):
    wearing.change(cast.owners_horse, to=[], actor=act(cast.staff))
    lists.make_anew(kept_in.change_list, actor=act(cast.staff), at=now())
    kept_in.refresh_from_db()
    assert (kept_in.tags_to, row_of(cast, kept_in).title) == ([], "Keep it in")
    assert not row_of(cast, kept_in).is_one_tap


def test_a_veterinarian_who_wants_nothing_on_is_obeyed_although_it_is_kept_in(cast, kept_in, act):
    Horse.objects.filter(pk=cast.owners_horse.pk).update(vet_says="nothing", vet_note="Skin must dry")
    lists.make_anew(kept_in.change_list, actor=act(cast.staff), at=now())
    line = line_of(cast)
    assert (line.tags_to, line.decided_by) == ([], "vet")
    assert row_of(cast, line).title.startswith("Take off WRN22")
    lists.mark_done(line, actor=act(cast.staff))
    assert worn(cast.owners_horse) == []


def test_all_done_here_leaves_out_a_horse_kept_in_and_says_why(cast, kept_in, sign_in, act):
    made, client = kept_in.change_list, sign_in(cast.staff)
    url = address("list_here", made.day.isoformat(), made.session, f"paddock-{cast.paddock.pk}")
    page = client.get(url)
    assert "Bramble" not in [row.line.horse.name for row in page.context["rows"]]
    assert "Bramble" in [row.line.horse.name for row in page.context["apart"]]
    assert "Keep it in; what it has on stays on" in page.content.decode()
    client.post(url, {"once": str(uuid.uuid4()), f"shown-{kept_in.pk}": lists.as_shown(kept_in)})
    kept_in.refresh_from_db()
    assert kept_in.outcome == ""
    done, left = lists.mark_rest_done(made, shown={kept_in.pk: ""}, actor=act(cast.staff))
    assert (done, [(line.pk, why) for line, why in left]) == (
        [],
        [(kept_in.pk, "Look at it yourself, and note it by itself.")],
    )


def test_done_without_advice_keeps_what_is_on_at_that_moment(cast, no_advice, act):
    """The blanket that the list was made from is not put back."""
    assert (no_advice.tags_to, no_advice.verdict) == (["WRN22"], "")
    wearing.change(cast.owners_horse, to=[cast.owners_blanket], actor=act(cast.manager))
    before = worn(cast.owners_horse)
    row = row_of(cast, no_advice)
    assert ([piece.tag for piece in row.pieces], row.is_one_tap) == (["WNR33"], False)
    done = lists.mark_done(no_advice, actor=act(cast.staff), shown=row.shown)
    assert (done.tags_done, worn(cast.owners_horse)) == (["WNR33"], before)
    lists.take_back(done, actor=act(cast.staff))
    assert worn(cast.owners_horse) == before


def test_done_without_advice_leaves_the_neck_on(cast, no_advice, act):
    Blanket.objects.filter(pk=cast.worn.pk).update(neck="removable")
    Wearing.objects.filter(pk=cast.wearing.pk).update(neck_on=True)
    ListLine.objects.filter(pk=no_advice.pk).delete()
    lists.make_anew(no_advice.change_list, actor=act(cast.staff), at=now())
    line = line_of(cast)
    assert line.neck
    lists.mark_done(line, actor=act(cast.staff))
    assert wearings.open_on(cast.owners_horse).get().neck_on


def test_all_done_here_leaves_out_what_has_no_advice(cast, no_advice, act):
    _done, left = lists.mark_rest_done(no_advice.change_list, shown={no_advice.pk: ""}, actor=act(cast.staff))
    assert [line.pk for line, _why in left] == [no_advice.pk]


@pytest.mark.parametrize("which", ["kept_in", "no_advice"])
def test_something_soaked_does_not_stay_on_by_a_done(cast, request, act, which):
    line = request.getfixturevalue(which)
    wearing.mark_soaked(cast.wearing, actor=act(cast.staff, now=now()))
    row = row_of(cast, line)
    assert row.blocked
    assert row.grave[:1] == ("WRN22 on it is wet: take it off and hang it up.",)
