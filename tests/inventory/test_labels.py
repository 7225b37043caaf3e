"""From tag to blanket, typed or scanned; labels with the address that never changes."""

import re
from collections.abc import Callable

import pytest
import segno
from django.test import Client

from barnrugs.barns.models import Person
from inventory import labels, tags
from inventory.models import Blanket
from tests import factories as make
from tests.cast import Cast
from tests.inventory.sending import address

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]


@pytest.fixture
def tagged(cast: Cast) -> Blanket:
    return make.BlanketFactory(
        barn=cast.barn, tag=tags.tag("AB22"), owner=cast.owner, usual_horse=cast.owners_horse, fill_g=250
    )


class TestTyping:
    def test_it_opens_the_blanket(self, cast: Cast, tagged: Blanket, sign_in: SignIn) -> None:
        typed = f" {tagged.tag[:2].lower()} {tagged.tag[2:]} "
        answer = sign_in(cast.staff).get(address("tag"), {"tag": typed})
        assert answer.url == address("blanket", tagged.pk)

    @pytest.mark.parametrize(
        ("typed", "sentence"),
        [
            ("", "Type the five characters of the tag."),
            ("AB0CD", "Tags have no zero: look at character 3, “0”, once more."),
            ("ABC", "A tag has 5 characters; this has 3."),
            ("AB229", "One character is wrong, or two are changed round."),
            (tags.tag("ZZ99"), "The tag is right, but no blanket that you may see here has it."),
        ],
    )
    def test_what_is_wrong_is_said(
        self, cast: Cast, tagged: Blanket, sign_in: SignIn, typed: str, sentence: str
    ) -> None:
        answer = sign_in(cast.staff).get(address("tag"), {"tag": typed})
        assert answer.status_code == 200
        assert sentence in answer.text

    def test_another_owners_tag_tells_nothing(self, cast: Cast, tagged: Blanket, sign_in: SignIn) -> None:
        client = sign_in(cast.other_owner)
        there, nowhere = (
            client.get(address("tag"), {"tag": tag}).context["form"].errors["tag"]
            for tag in (tagged.tag, tags.tag("ZZ99"))
        )
        assert there == nowhere

    def test_another_barns_tag_tells_nothing(self, cast: Cast, sign_in: SignIn) -> None:
        theirs = make.BlanketFactory(barn=cast.other.barn, tag=tags.tag("XY33"))
        assert "no blanket" in sign_in(cast.manager).get(address("tag"), {"tag": theirs.tag}).text


class TestScanning:
    def url(self, blanket: Blanket) -> str:
        return f"/t/{blanket.barn_id}/{blanket.tag}"

    def test_it_opens_the_blanket(self, cast: Cast, tagged: Blanket, sign_in: SignIn) -> None:
        assert sign_in(cast.staff).get(self.url(tagged)).url == address("blanket", tagged.pk)

    def test_the_address_outlives_the_barns_name(self, cast: Cast, tagged: Blanket, sign_in: SignIn) -> None:
        cast.barn.slug = "new-name"
        cast.barn.save()
        assert sign_in(cast.staff).get(self.url(tagged)).url == f"/barns/new-name/blankets/{tagged.pk}/"

    def test_signing_in_comes_first_and_leads_back(self, cast: Cast, tagged: Blanket, sign_in: SignIn) -> None:
        answer = sign_in(None).get(self.url(tagged))
        assert answer.url == f"/account/login/?next={self.url(tagged)}"

    def test_strangers_learn_nothing(self, cast: Cast, tagged: Blanket, sign_in: SignIn) -> None:
        for who in (cast.stranger, cast.leaver):
            assert sign_in(who).get(self.url(tagged)).status_code == 404
            assert sign_in(who).get("/t/999999/AB22X").status_code == 404

    def test_what_i_may_not_see_is_said_to_be_nothing(self, cast: Cast, tagged: Blanket, sign_in: SignIn) -> None:
        client = sign_in(cast.other_owner)
        answer = client.get(self.url(tagged), follow=True)
        assert "no blanket that you may see here" in answer.text

    def test_a_damaged_label_leads_to_typing_it(self, cast: Cast, sign_in: SignIn) -> None:
        answer = sign_in(cast.staff).get(f"/t/{cast.barn.pk}/AB0CD", follow=True)
        assert answer.redirect_chain[0][0] == f"{address('tag')}?tag=AB0CD"
        assert "Tags have no zero" in answer.text

    def test_only_for_looking(self, cast: Cast, tagged: Blanket, sign_in: SignIn) -> None:
        assert sign_in(cast.staff).post(self.url(tagged)).status_code == 405


class TestLabels:
    def test_what_stands_on_it(self, cast: Cast, tagged: Blanket) -> None:
        label = labels.label(tagged, "https://barn.example/t/1/AB22X")
        assert (label.tag, label.horse, label.kind, label.grams, label.size) == (
            tagged.tag,
            "Bramble",
            "Turnout",
            "250 g",
            '78"',
        )

    def test_one_of_no_horse_along_the_back(self, cast: Cast) -> None:
        blanket = make.BlanketFactory(barn=cast.barn, size_in=None, size_back_cm=145, fill_g=0)
        label = labels.label(blanket, "https://barn.example/")
        assert (label.horse, label.grams, label.size) == ("any horse", "0 g", "145 cm")

    def test_the_square_holds_the_address(self, cast: Cast, tagged: Blanket, sign_in: SignIn) -> None:
        """Drawn by the library that the QR code comes from, for the barn's number and the tag."""
        page = sign_in(cast.staff).get(address("labels"), {"b": tagged.pk}).text
        drawn = re.search(r"<svg.*?</svg>", page, re.DOTALL)
        assert drawn
        wanted = segno.make(f"http://testserver/t/{cast.barn.pk}/{tagged.tag}", error="q", micro=False)
        assert wanted.error in {"Q", "H"}
        assert re.findall(r' d="([^"]*)"', wanted.svg_inline(border=4))[-1] in drawn[0]

    def test_only_what_i_may_see_is_printed(self, cast: Cast, tagged: Blanket, sign_in: SignIn) -> None:
        everything = [tagged.pk, cast.other_blanket.pk, cast.other.blanket.pk, cast.barn_blanket.pk]
        printed = {
            who: {
                label.tag
                for sheet in sign_in(getattr(cast, who)).get(address("labels"), {"b": everything}).context["sheets"]
                for label in sheet
            }
            for who in ("manager", "owner", "other_owner")
        }
        assert printed == {
            "manager": {tagged.tag, "THR55", "BRN88"},
            "owner": {tagged.tag},
            "other_owner": {"THR55"},
        }

    @pytest.mark.parametrize("query", [{}, {"b": "x"}, {"b": "9" * 30}, {"b": "-1"}, {"paper": "tabloid"}])
    def test_nothing_ticked_is_an_empty_page_with_a_way_on(self, cast: Cast, sign_in: SignIn, query: dict) -> None:
        answer = sign_in(cast.staff).get(address("labels"), query)
        assert answer.context["sheets"] == []
        assert "Choose other blankets" in answer.text

    def test_ten_to_a_sheet(self, cast: Cast, sign_in: SignIn, django_assert_num_queries: Callable) -> None:
        many = make.BlanketFactory.create_batch(23, barn=cast.barn)
        client = sign_in(cast.staff)
        for count, sheets in [(1, [1]), (23, [10, 10, 3])]:
            with django_assert_num_queries(4):
                answer = client.get(address("labels"), {"b": [blanket.pk for blanket in many[:count]]})
            assert [len(sheet) for sheet in answer.context["sheets"]] == sheets

    def test_all_are_ticked_until_a_link_unticks_them(self, cast: Cast, tagged: Blanket, sign_in: SignIn) -> None:
        client, ticked = sign_in(cast.staff), re.compile(r'name="b" value="\d+" checked')
        page = client.get(address("tags"), {"fill": "heavy"})
        assert len(ticked.findall(page.text)) == 2
        bare = client.get(address("tags") + page.context["none_ticked"])
        assert {row.blanket.tag for row in bare.context["rows"]} == {tagged.tag, "WNR33"}
        assert ticked.findall(bare.text) == []
        again = client.get(address("tags") + bare.context["all_ticked"])
        assert len(ticked.findall(again.text)) == 2

    def test_which_ones_is_the_same_search_as_the_list(self, cast: Cast, tagged: Blanket, sign_in: SignIn) -> None:
        answer = sign_in(cast.staff).get(address("tags"), {"fill": "heavy"})
        assert {row.blanket.tag for row in answer.context["rows"]} == {tagged.tag, "WNR33"}
        assert answer.text.count('name="b"') == 2
