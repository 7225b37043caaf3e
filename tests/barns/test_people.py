"""People of a barn: their parts, their coming and going, and the manager who must stay."""

import threading
from datetime import timedelta

import pytest
from django.db import connection, transaction
from django.urls import reverse
from django.utils import timezone

from barnrugs.barns.domain import people as domain
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Invitation, Person
from tests import factories as make
from tests.writes import Write, six_tests, typed


def a_second_manager(cast):
    make.PersonFactory(barn=cast.barn, name="Second", is_manager=True)


def has_left(cast):
    domain.leaves(cast.staff, actor=Actor(person=cast.manager))


WRITES = [
    Write("person_add", "person_added", data={"name": "New", "is_staff": "on"}, bad={"name": "N" * 81}, at="name"),
    Write(
        "person_change",
        "person_changed",
        parts={"pk": "staff"},
        data={"phone": "555 0100"},
        bad={"is_staff": None},
        at="is_manager",
    ),
    Write("person_leaves", "person_left", parts={"pk": "staff"}),
    Write("person_returns", "person_returned", parts={"pk": "staff"}, set_up=has_left),
]
# An owner may not see that the others exist.
TestWrites = six_tests(
    [write if "pk" not in write.parts else Write(**{**vars(write), "others": 404}) for write in WRITES]
)


def manager_page(cast, name="person_change"):
    return reverse(name, args=[cast.barn.slug, cast.manager.pk])


@pytest.mark.django_db
class TestTheList:
    def test_three_more_people_cost_no_more_queries(self, cast, sign_in, django_assert_num_queries):
        client = sign_in(cast.manager)
        page = reverse("people", args=[cast.barn.slug])
        for _run in range(2):
            with django_assert_num_queries(4):
                answer = client.get(page)
            assert {person.name for person in answer.context["gone"]} == {"Leaver"}
            make.PersonFactory.create_batch(3, barn=cast.barn)
        assert len(client.get(page).context["here"]) == 12

    def test_it_names_nobody_of_another_barn(self, cast, sign_in):
        answer = sign_in(cast.manager).get(reverse("people", args=[cast.barn.slug]))
        assert "Stranger" not in answer.content.decode()


@pytest.mark.django_db
class TestTheLastManager:
    def test_cannot_leave(self, cast, sign_in):
        client = sign_in(cast.manager)
        answer = client.post(manager_page(cast, "person_leaves"), typed(client, manager_page(cast, "person_leaves")))
        assert "last manager" in answer.context["form"].non_field_errors()[0]
        cast.manager.refresh_from_db()
        assert cast.manager.left_at is None

    def test_cannot_become_something_else(self, cast, sign_in):
        client = sign_in(cast.manager)
        data = typed(client, manager_page(cast), is_manager=None, is_staff="on")
        answer = client.post(manager_page(cast), data)
        assert "last manager" in answer.context["form"].non_field_errors()[0]
        cast.manager.refresh_from_db()
        assert cast.manager.is_manager

    def test_is_the_last_one_who_can_sign_in(self, cast):
        make.PersonFactory(barn=cast.barn, name="Invited only", is_manager=True, user=None)
        with pytest.raises(Refused, match="last manager"):
            domain.leaves(cast.manager, actor=Actor(person=cast.manager))

    def test_goes_when_there_is_another(self, cast):
        a_second_manager(cast)
        assert domain.leaves(cast.manager, actor=Actor(person=cast.manager)).left_at


@pytest.mark.django_db(transaction=True)
def test_two_managers_who_leave_at_once_do_not_both_go():
    """The second begins while the first is not through: it must wait, count again and be refused."""
    barn = make.BarnFactory()
    first, second = (make.PersonFactory(barn=barn, is_manager=True) for _person in range(2))
    told = []

    def go():
        try:
            domain.leaves(second, actor=Actor(person=second))
        except Refused as refused:
            told.append(refused.sentence)
        finally:
            connection.close()

    other = threading.Thread(target=go)
    with transaction.atomic():
        domain.leaves(first, actor=Actor(person=first))
        other.start()
        other.join(timeout=0.5)
        assert other.is_alive()
    other.join()
    assert list(Person.objects.filter(barn=barn, left_at__isnull=True)) == [second]
    assert "last manager" in told[0]


@pytest.mark.django_db
class TestLeaving:
    def test_no_page_opens_any_more_at_once(self, cast, sign_in):
        client = sign_in(cast.staff)
        page = reverse("barn", args=[cast.barn.slug])
        assert client.get(page).status_code == 200
        domain.leaves(cast.staff, actor=Actor(person=cast.manager))
        assert client.get(page).status_code == 404

    def test_their_invitation_no_longer_holds(self, cast):
        make.InvitationFactory(barn=cast.barn, person=cast.owner, expires_at=timezone.now() + timedelta(hours=1))
        domain.leaves(cast.owner, actor=Actor(person=cast.manager))
        assert not Invitation.objects.filter(person=cast.owner).exists()

    def test_twice_is_a_sentence(self, cast):
        with pytest.raises(Refused, match="already left"):
            domain.leaves(cast.leaver, actor=Actor(person=cast.manager))

    def test_coming_back_opens_the_pages_again(self, cast, sign_in):
        has_left(cast)
        domain.returns(cast.staff, actor=Actor(person=cast.manager))
        assert sign_in(cast.staff).get(reverse("barn", args=[cast.barn.slug])).status_code == 200


@pytest.mark.django_db
def test_a_person_without_a_part_is_refused(cast):
    with pytest.raises(Refused, match="at least one part"):
        domain.add_person(name="Nobody", roles={"is_staff": False}, actor=Actor(person=cast.manager))
