"""What a staff phone is told to keep: the coming day's lists first, nothing of money, nothing of another barn."""

import gzip
from datetime import time

import pytest
from django.urls import reverse

from barnrugs.barns.journal import Actor
from horses.models import Horse
from inventory.domain import lists, sessions, wearing
from inventory.models import ListLine
from tests import factories as make
from tests.inventory.lists import COLD, line_of, make_list, now

pytestmark = pytest.mark.django_db


def told(client):
    return client.get(reverse("kept", args=["home"])).json()


def test_the_list_at_hand_comes_first_with_each_horses_own_pages(cast, sign_in):
    made, line = make_list(cast), line_of(cast)
    answer = told(sign_in(cast.staff))
    paths = list(answer["pages"])
    assert answer["person"] == str(cast.staff.key)
    assert paths[0] == answer["lists"][0]["path"] == f"/barns/home/lists/{made.day}/{made.session}/"
    mine = {f"/barns/home/lines/{line.pk}/", f"/barns/home/lines/{line.pk}/other/"}
    mine |= {f"/barns/home/horses/{line.horse_id}/{page}/" for page in ("hand-check", "damage")}
    assert mine <= set(paths)
    assert answer["horses"][str(line.horse_id)] == f"/barns/home/lines/{line.pk}/"
    assert answer["lines"][str(line.pk)] == {"horse": "Bramble", "list": paths[0], "soaked": ""}
    worn = answer["blankets"][str(cast.worn.pk)]
    assert (worn["tag"], worn["where"], worn["home"]) == ("WRN22", "On Bramble", f"/barns/home/lines/{line.pk}/")
    assert answer["tags"]["WRN22"] == cast.worn.pk


def test_what_can_be_done_from_the_list_at_hand_comes_before_the_lists_of_later(cast, sign_in):
    for session, at in (("turnout", 7), ("midday", 12), ("bring_in", 16)):
        make.StaffedTimeFactory(barn=cast.barn, session=session, at=time(at))
    for slot in sessions.coming(cast.barn, now()):
        lists.ensure(cast.barn, slot, at=now(), conditions=COLD)
    answer = told(sign_in(cast.staff))
    paths, (at_hand, *others) = list(answer["pages"]), [one["path"] for one in answer["lists"]]
    stand_ins = [f"/barns/home/kept/{name}/" for name in ("no-signal", "hand-check", "other", "not-done")]
    assert paths[:5] == [at_hand, *stand_ins]
    lines = [int(pk) for pk, line in answer["lines"].items() if line["list"] == at_hand]
    horses = [line.horse_id for line in ListLine.objects.filter(pk__in=lines)]
    needed = {f"/barns/home/horses/{horse}/{page}/" for horse in horses for page in ("hand-check", "damage")}
    needed |= {f"/barns/home/lines/{line}/{page}" for line in lines for page in ("", "other/")}
    assert others
    assert needed < set(paths[: paths.index(others[0])])


def test_the_stand_in_of_a_hand_check_knows_the_horse(cast, sign_in):
    make_list(cast)
    Horse.objects.filter(pk=cast.owners_horse.pk).update(handling_note="Kicks behind.", two_people=True)
    hands = told(sign_in(cast.staff))["hands"]
    assert hands[str(cast.owners_horse.pk)] == {
        "horse": "Bramble",
        "on": "On now: WRN22.",
        "handle": "Needs two people. Kicks behind.",
    }
    assert hands[str(cast.barn_horse.pk)]["handle"] == ""


def test_every_page_named_is_there_and_tells_no_money(cast, sign_in):
    make_list(cast)
    make.CareMoveFactory(job=cast.care_job, cost="123.45")
    make.PictureFactory(blanket=cast.worn)
    client = sign_in(cast.staff)
    for path in told(client)["pages"]:
        answer = client.get(path)
        assert answer.status_code == 200, path
        if "/pictures/" not in path:
            text = answer.content.decode()
            assert "123.45" not in text, path
            assert "Their Horse" not in text, path
            assert "no-store" in answer.headers["Cache-Control"], path


def test_a_page_is_fetched_again_when_its_line_changed_and_only_then(cast, sign_in):
    make_list(cast)
    line, other = line_of(cast), line_of(cast, "barn_horse")
    client = sign_in(cast.staff)
    before = told(client)["pages"]
    assert told(client)["pages"] == before
    ListLine.objects.filter(pk=line.pk).update(tags_to=["BRN88"])
    after = told(client)["pages"]
    changed = {path for path in after if after[path] != before.get(path)}
    assert f"/barns/home/lines/{line.pk}/" in changed
    assert f"/barns/home/lines/{other.pk}/" not in changed


def test_a_page_is_fetched_again_when_what_the_horse_wears_is_soaked(cast, sign_in):
    make_list(cast)
    line, client = line_of(cast), sign_in(cast.staff)
    before = told(client)["pages"]
    wearing.mark_soaked(cast.wearing, actor=Actor(cast.staff))
    after = told(client)
    changed = {path for path in after["pages"] if after["pages"][path] != before.get(path)}
    assert {f"/barns/home/lines/{line.pk}/", f"/barns/home/lines/{line.pk}/other/"} <= changed
    assert after["lines"][str(line.pk)]["soaked"] == cast.worn.tag


def test_the_script_and_what_it_needs_are_small(client):
    """Compressed, as they are sent; the worker and its helpers come once and stay."""
    worker = client.get("/worker.js")
    assert worker.headers["Service-Worker-Allowed"] == "/"
    assert worker.headers["Cache-Control"] == "no-cache"
    assert len(gzip.compress(worker.content)) < 4000


def test_three_more_horses_cost_no_more_queries(cast, sign_in, django_assert_max_num_queries):
    made, client = make_list(cast), sign_in(cast.staff)
    told(client)
    for _run in range(2):
        with django_assert_max_num_queries(30):
            told(client)
        for _number in range(3):
            make.ListLineFactory(change_list=made, horse=make.HorseFactory(barn=cast.barn))
