"""The landing page, and the steps that lead a new barn to its first list."""

import pytest
from django.urls import reverse

from barnrugs.barns import first_run
from barnrugs.barns.domain import house
from barnrugs.barns.journal import Actor
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def manager():
    new = house.NewBarn(name="Hollow Farm", slug="hollow", time_zone="Europe/Oslo", units="metric")
    return house.make_barn(new, manager_name="Kim", user=make.UserFactory(username="kim"))


def done(barn):
    return {step.label for step in first_run.steps(barn) if step.done}


def test_a_new_barn_has_everything_to_do(manager):
    steps = first_run.steps(manager.barn)
    labels = [step.label for step in steps]
    assert labels[:2] == ["House rules", "Staffed times"]
    assert labels[2:] == ["Paddocks", "Horses", "Measurements", "Blankets", "People", "Weather"]
    assert done(manager.barn) == set()


def test_each_step_is_marked_when_its_work_is_done(manager, act):
    barn, actor = manager.barn, Actor(person=manager)
    house.change_house(barn, values={}, actor=actor)
    assert done(barn) == {"House rules"}
    house.set_staffed_times(barn, times=house.USUAL_TIMES, actor=actor)
    make.PersonFactory(barn=barn)
    make.PaddockFactory(barn=barn)
    horse = make.HorseFactory(barn=barn)
    assert done(barn) == {"House rules", "Staffed times", "People", "Paddocks", "Horses"}
    make.MeasurementFactory(horse=horse)
    make.BlanketFactory(barn=barn)
    assert first_run.steps(barn)[-1].done is False
    house.change_house(barn, values={"latitude": 60.0, "longitude": 11.0}, actor=actor)
    barn.refresh_from_db()
    assert first_run.is_finished(barn)


def test_work_in_another_barn_marks_nothing_here(manager, cast):
    assert done(manager.barn) == set()


def test_the_page_names_the_next_step(manager, sign_in):
    answer = sign_in(manager).get(reverse("first_run", args=["hollow"]))
    assert answer.context["next"].label == "House rules"
    assert answer.context["next"].url == reverse("house_change", args=["hollow"])


def test_when_all_is_done_nothing_of_it_is_left(manager, sign_in, monkeypatch):
    monkeypatch.setattr(first_run, "_steps", {})
    client = sign_in(manager)
    assert "nothing left to do" in client.get(reverse("first_run", args=["hollow"])).content.decode()
    assert "first-steps" not in client.get(reverse("barn", args=["hollow"])).content.decode()


class TestLanding:
    def test_a_manager_of_a_new_barn_begins_at_its_first_steps(self, manager, sign_in):
        assert sign_in(manager).get("/").url == reverse("first_run", args=["hollow"])

    def test_staff_begin_at_their_barns_first_page(self, cast, sign_in):
        answer = sign_in(cast.staff).get("/", follow=True)
        assert answer.status_code == 200
        assert answer.wsgi_request.path.startswith("/barns/home/")

    def test_somebody_in_two_barns_chooses(self, manager, sign_in, cast):
        make.PersonFactory(barn=cast.barn, user=manager.user, name="Kim")
        page = sign_in(manager).get("/").content.decode()
        assert "Hollow Farm" in page
        assert "Home Barn" in page

    def test_more_barns_cost_no_more_queries(self, manager, sign_in, django_assert_num_queries):
        client = sign_in(manager)
        make.PersonFactory(user=manager.user, is_manager=True)
        for _run in range(2):
            with django_assert_num_queries(3):
                client.get("/")
            make.PersonFactory.create_batch(3, user=manager.user, is_manager=True)

    def test_somebody_who_left_is_told_how_to_come_in(self, cast, sign_in):
        page = sign_in(cast.leaver).get("/").content.decode()
        assert "Home Barn" not in page
        assert reverse("come_in") in page

    def test_it_asks_to_sign_in_first(self, client, db):
        assert client.get("/").url == f"{reverse('account_login')}?next=/"


class TestAccount:
    def test_the_language_is_kept(self, cast, sign_in):
        client = sign_in(cast.staff)
        assert client.post(reverse("account"), {"language": "es"}).status_code == 302
        cast.staff.user.refresh_from_db()
        assert cast.staff.user.language == "es"

    def test_a_language_we_do_not_speak_is_refused(self, cast, sign_in):
        answer = sign_in(cast.staff).post(reverse("account"), {"language": "xx"})
        assert list(answer.context["form"].errors) == ["language"]
