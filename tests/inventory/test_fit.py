"""Fit notes: what trying a blanket on showed, until it is closed; and the horse's page that shows it."""

from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from barnrugs.barns.domain.refusal import Refused
from inventory.domain import fit as domain
from inventory.domain import snapshot
from inventory.enums import Fit, RubPlace
from inventory.models import FitNote
from tests import factories as make
from tests.writes import Write, six_tests, typed

BLANKET = {"pk": "owners_blanket"}


def its_horse(cast):
    return cast.owners_horse.pk


TestWrites = six_tests(
    [
        Write(
            "fit_note_add",
            "fit_noted",
            "staff",
            BLANKET,
            {"horse": its_horse, "fit": "tight"},
            {"note": "x" * 201},
            "note",
            404,
        ),
        Write(
            "fit_note_close",
            "fit_note_closed",
            "owner",
            {"pk": "fit_note"},
            bad={"why": "x" * 201},
            at="why",
            others=404,
        ),
    ]
)

pytestmark = pytest.mark.django_db
DAY = date(2026, 1, 2)


def note(cast, act, fit, *, where="", horse=None):
    return domain.note_fit(
        cast.owners_blanket,
        horse=horse or cast.owners_horse,
        fit=fit,
        rubs_where=where,
        on=DAY,
        actor=act(cast.staff),
    )


def matched(cast):
    """What the matching is told of this blanket on this horse."""
    subject = snapshot.read(cast.barn, timezone.now(), only=cast.owners_horse).subject(cast.owners_horse)
    return next(value for value in subject.wardrobe if value.tag == cast.owners_blanket.tag)


class TestNoting:
    def test_it_feeds_the_matching_until_it_is_closed(self, cast, act):
        noted = note(cast, act, Fit.TIGHT)
        assert matched(cast).fit == Fit.TIGHT
        domain.close_note(noted, actor=act(cast.owner))
        assert matched(cast).fit is None

    def test_a_rub_is_told_with_its_place(self, cast, act):
        note(cast, act, Fit.RUBS, where=RubPlace.WITHERS)
        assert (matched(cast).fit, matched(cast).rubs_where) == (Fit.RUBS, "withers")

    def test_a_new_word_on_the_size_ends_the_one_before(self, cast, act):
        """The cast's note says that it fits; a blanket cannot both fit and be tight."""
        note(cast, act, Fit.TIGHT)
        open_now = FitNote.objects.filter(horse=cast.owners_horse, closed_on__isnull=True)
        assert [found.fit for found in open_now] == [Fit.TIGHT]

    def test_rubs_stand_beside_each_other_by_place(self, cast, act):
        for place in (RubPlace.WITHERS, RubPlace.CHEST):
            note(cast, act, Fit.RUBS, where=place)
        open_now = FitNote.objects.filter(horse=cast.owners_horse, closed_on__isnull=True)
        assert {domain.in_words(found) for found in open_now} == {"fits", "rubs: withers", "rubs: chest"}

    def test_the_same_blanket_on_another_horse_is_another_note(self, cast, act):
        note(cast, act, Fit.TIGHT, horse=cast.staff_owners_horse)
        assert matched(cast).fit == Fit.FITS

    @pytest.mark.parametrize(
        ("fit", "where", "sentence"),
        [
            (Fit.FITS, "", "noted already"),
            (Fit.RUBS, "", "Where does it rub"),
            (Fit.TIGHT, RubPlace.HIP, "belongs to a rub"),
        ],
    )
    def test_what_contradicts_itself_is_refused(self, cast, act, fit, where, sentence):
        with pytest.raises(Refused, match=sentence):
            note(cast, act, fit, where=where)

    def test_a_note_is_closed_once(self, cast, act):
        domain.close_note(cast.fit_note, actor=act(cast.owner))
        with pytest.raises(Refused, match="closed already"):
            domain.close_note(cast.fit_note, actor=act(cast.owner))


class TestTheForm:
    def url(self, cast):
        return reverse("fit_note_add", args=[cast.barn.slug, cast.owners_blanket.pk])

    def test_a_place_tapped_on_the_drawing_is_a_rub_without_more_taps(self, cast, sign_in):
        client = sign_in(cast.staff)
        data = typed(client, self.url(cast), horse=cast.owners_horse.pk, rubs_where="withers")
        assert client.post(self.url(cast), data).status_code == 302
        assert FitNote.objects.latest("pk").fit == Fit.RUBS

    def test_each_place_of_the_drawing_is_a_choice_of_the_list(self, cast, sign_in):
        page = sign_in(cast.staff).get(self.url(cast)).content.decode()
        for number, place in enumerate(RubPlace, start=1):
            assert f'class="tap-dot tap-{place.value}" for="id_rubs_where_{number}"' in page
            assert f'value="{place.value}" id="id_rubs_where_{number}"' in page

    def test_from_a_horses_page_one_goes_back_there(self, cast, sign_in):
        client = sign_in(cast.staff)
        url = f"{self.url(cast)}?horse={cast.owners_horse.pk}"
        answer = client.post(url, typed(client, url, fit="tight"))
        assert answer.url == reverse("horse", args=[cast.barn.slug, cast.owners_horse.pk])

    def test_a_horse_one_may_not_see_is_no_choice(self, cast, sign_in):
        client = sign_in(cast.owner)
        answer = client.post(self.url(cast), typed(client, self.url(cast), horse=cast.other_horse.pk, fit="tight"))
        assert list(answer.context["form"].errors) == ["horse"]


class TestTheHorsesPage:
    def page(self, cast, sign_in, person):
        answer = sign_in(person).get(reverse("horse", args=[cast.barn.slug, cast.owners_horse.pk]))
        assert answer.status_code == 200
        return answer

    def fits(self, answer):
        return {one.blanket.tag: (one.verdict, one.fit) for one in answer.context["fittings"]}

    def test_it_says_how_each_blanket_fits_by_what_was_tried_else_by_its_size(self, cast, act, sign_in):
        """The horse measures 78 inches: 0 to under 3 inches over is right, a step is 3 (the house's design)."""
        for tag, size in (("AAAA2", 75), ("BBBB2", 72), ("CCCC2", 81), ("DDDD2", 84)):
            make.BlanketFactory(barn=cast.barn, tag=tag, size_in=size, owner=cast.owner, usual_horse=cast.owners_horse)
        domain.note_fit(
            cast.worn, horse=cast.owners_horse, fit=Fit.RUBS, rubs_where="hip", on=DAY, actor=act(cast.staff)
        )
        assert self.fits(self.page(cast, sign_in, cast.owner)) == {
            "WRN22": ("caution", "tried on: rubs: hip; the size suits"),
            "WNR33": ("wear", "tried on: fits"),
            "LNR44": ("wear", "the size suits"),
            "AAAA2": ("caution", "a step small by its size"),
            "BBBB2": ("no", "too small by its size"),
            "CCCC2": ("caution", "a step big by its size"),
            "DDDD2": ("no", "too big by its size"),
        }

    def test_a_rub_on_a_blanket_too_small_stays_a_no(self, cast, act, sign_in):
        small = make.BlanketFactory(
            barn=cast.barn, tag="BBBB2", size_in=72, owner=cast.owner, usual_horse=cast.owners_horse
        )
        domain.note_fit(small, horse=cast.owners_horse, fit=Fit.RUBS, rubs_where="hip", on=DAY, actor=act(cast.staff))
        assert self.fits(self.page(cast, sign_in, cast.owner))["BBBB2"][0] == "no"

    def test_an_owner_sees_no_other_owners_blanket_there(self, cast, act, sign_in):
        make.LeaveFactory(blanket=cast.other_blanket, horse=cast.owners_horse)
        domain.note_fit(cast.other_blanket, horse=cast.owners_horse, fit=Fit.FITS, on=DAY, actor=act(cast.staff))
        assert "THR55" in self.fits(self.page(cast, sign_in, cast.staff))
        answer = self.page(cast, sign_in, cast.owner)
        assert "THR55" not in self.fits(answer)

    def test_it_names_the_size_to_look_for_and_when_to_measure_again(self, cast, sign_in):
        page = self.page(cast, sign_in, cast.owner).content.decode()
        assert "78&quot; (6&#x27;6)" in page
        assert "1 Jan 2027" in page

    def test_a_note_of_the_veterinarian_stands_on_it_while_it_holds(self, cast, sign_in):
        cast.owners_horse.vet_says, cast.owners_horse.vet_note = "nothing", "Skin must dry."
        cast.owners_horse.save(update_fields=["vet_says", "vet_note"])
        assert "Skin must dry." in self.page(cast, sign_in, cast.staff).content.decode()
        cast.owners_horse.vet_until = date(2026, 1, 1)
        cast.owners_horse.save(update_fields=["vet_until"])
        assert self.page(cast, sign_in, cast.staff).context["vet_holds"] is False

    def test_more_blankets_and_entries_cost_no_more_queries(self, cast, sign_in, django_assert_num_queries, act):
        client = sign_in(cast.manager)
        url = reverse("horse", args=[cast.barn.slug, cast.owners_horse.pk])
        for _run in range(2):
            with django_assert_num_queries(37):
                client.get(url)
            for blanket in make.BlanketFactory.create_batch(3, barn=cast.barn, usual_horse=cast.owners_horse):
                note_on = {"horse": cast.owners_horse, "fit": Fit.FITS, "on": DAY, "actor": act(cast.staff)}
                domain.note_fit(blanket, **note_on)
                make.PaddockStayFactory(horse=cast.owners_horse, paddock=cast.paddock, until=DAY)

    def test_an_edit_offers_to_be_taken_back_once(self, cast, sign_in):
        client = sign_in(cast.owner)
        url = reverse("horse_change", args=[cast.barn.slug, cast.owners_horse.pk])
        client.post(url, typed(client, url, stall="99"))
        (entry,) = self.page(cast, sign_in, cast.owner).context["undoable"]
        back = reverse("horse_take_back", args=[cast.barn.slug, cast.owners_horse.pk, entry])
        client.post(back, typed(client, back))
        assert entry not in self.page(cast, sign_in, cast.owner).context["undoable"]
