"""Pictures of a blanket: kept re-encoded, served to those who see the record, removed and put back."""

import io
import uuid
from collections.abc import Callable
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry, Person
from barnrugs.barns.queries import journal
from inventory import images
from inventory.domain import pictures as domain
from inventory.models import Picture
from tests import factories as make
from tests.cast import Cast
from tests.inventory.forms import picture_file
from tests.inventory.sending import address, records, send
from tests.inventory.test_images import HOSTILE

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]
ALL = (Picture, JournalEntry)


def files(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()] if folder.exists() else []


@pytest.fixture
def media(media_in_a_folder_of_its_own: Path) -> Path:
    return media_in_a_folder_of_its_own


@pytest.fixture
def picture(cast: Cast) -> Picture:
    return make.PictureFactory(blanket=cast.owners_blanket, taken_by=cast.staff)


class TestAdding:
    def url(self, cast: Cast) -> str:
        return address("picture_add", cast.owners_blanket.pk)

    def test_it_works_and_nothing_is_stored_as_sent(self, cast: Cast, sign_in: SignIn, media: Path) -> None:
        file = picture_file("IMG_61.2181N_149.9003W.jpg", (3000, 2000), comment=b"by the back door")
        sent = file.read()
        file.seek(0)
        send(sign_in(cast.staff), self.url(cast), picture=file)
        kept = Picture.objects.get()
        assert (kept.blanket, kept.taken_by, kept.width, kept.height) == (cast.owners_blanket, cast.staff, 1600, 1067)
        stored = files(media)
        assert {str(path.relative_to(media)) for path in stored} == {kept.path, kept.small_path}
        for path in stored:
            data = path.read_bytes()
            assert data != sent
            assert b"by the back door" not in data
        told = [sentence.text for sentence in journal.sentences(journal.about(cast.owners_blanket), cast.staff)]
        assert told == ["Staff took a picture of WNR33."]

    def test_without_a_picture_the_form_asks_for_one(self, cast: Cast, sign_in: SignIn) -> None:
        before = records(ALL)
        assert "Choose a picture first." in send(sign_in(cast.staff), self.url(cast)).text
        assert records(ALL) == before

    @pytest.mark.parametrize("name", HOSTILE)
    def test_hostile_pictures_are_refused_and_leave_no_file(
        self, cast: Cast, sign_in: SignIn, media: Path, name: str
    ) -> None:
        make_it, word = HOSTILE[name]
        file = SimpleUploadedFile("picture.jpg", make_it().getvalue(), content_type="image/jpeg")
        if not file.size:
            word = "Choose a picture|no picture"
        answer = send(sign_in(cast.staff), self.url(cast), picture=file)
        (sentence,) = answer.context["form"].errors["picture"]
        assert any(part in sentence for part in word.split("|")), sentence
        assert not Picture.objects.exists()
        assert files(media) == []

    def test_a_hundred_megabytes_are_not_even_kept_for_a_while(
        self, cast: Cast, sign_in: SignIn, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        kept: list[int] = []
        shrink = images.shrink
        monkeypatch.setattr(images, "shrink", lambda file: (kept.append(file.seek(0, io.SEEK_END)), shrink(file))[1])
        file = SimpleUploadedFile("picture.jpg", bytes(100 * 1024 * 1024), content_type="image/jpeg")
        answer = send(sign_in(cast.staff), self.url(cast), picture=file)
        assert answer.context["form"].errors["picture"] == ["This file is larger than 25 MB. Send a smaller picture."]
        assert images.MOST_BYTES < kept[0] <= images.MOST_BYTES + 1024 * 1024

    @pytest.mark.parametrize(("who", "status"), [(None, 302), ("other_owner", 404), ("stranger", 404), ("leaver", 404)])
    def test_others_may_not(self, cast: Cast, sign_in: SignIn, media: Path, who: str | None, status: int) -> None:
        client = sign_in(getattr(cast, who) if who else None)
        assert send(client, self.url(cast), picture=picture_file()).status_code == status
        assert not Picture.objects.exists()
        assert files(media) == []

    def test_sent_again_it_is_kept_once(self, cast: Cast, sign_in: SignIn, media: Path) -> None:
        once, client = uuid.uuid4(), sign_in(cast.staff)
        for _time in range(2):
            assert send(client, self.url(cast), once=once, picture=picture_file()).status_code == 302
        assert Picture.objects.count() == 1
        assert len(files(media)) == 2
        assert send(client, self.url(cast), once=once, picture=picture_file(size=(900, 600))).status_code == 422

    def test_there_is_a_most(self, cast: Cast, sign_in: SignIn, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(domain, "MOST", 1)
        make.PictureFactory(blanket=cast.owners_blanket, taken_by=cast.staff)
        assert "has 1 pictures" in send(sign_in(cast.staff), self.url(cast), picture=picture_file()).text

    def test_a_full_disk_is_a_sentence(
        self, cast: Cast, act: Callable[..., Actor], media: Path, settings: object
    ) -> None:
        media.parent.mkdir(exist_ok=True)
        media.write_text("a file where the folder should be")
        shrunk = images.shrink(picture_file().file)
        with pytest.raises(Refused, match="no room"):
            domain.add_picture(cast.owners_blanket, shrunk=shrunk, actor=act(cast.staff))
        assert not Picture.objects.exists()


class TestSeeing:
    @pytest.mark.parametrize("name", ["picture", "picture_small"])
    def test_who_sees_the_record_sees_the_picture(
        self, cast: Cast, sign_in: SignIn, picture: Picture, name: str
    ) -> None:
        for who in (cast.manager, cast.staff, cast.owner):
            answer = sign_in(who).get(address(name, picture.pk))
            assert (answer.status_code, answer.content) == (200, b"picture")
            assert answer["Content-Type"] == "image/jpeg"
            assert answer["Cache-Control"] == "private, no-store"
            assert answer["X-Content-Type-Options"] == "nosniff"

    @pytest.mark.parametrize("name", ["picture", "picture_small"])
    def test_who_does_not_see_the_record_does_not(
        self, cast: Cast, sign_in: SignIn, picture: Picture, name: str
    ) -> None:
        for who in (cast.other_owner, cast.lessee, cast.stranger, cast.leaver):
            assert sign_in(who).get(address(name, picture.pk)).status_code == 404

    def test_a_removed_one_is_gone_for_everybody(self, cast: Cast, sign_in: SignIn, picture: Picture) -> None:
        send(sign_in(cast.manager), address("picture_remove", picture.pk))
        assert sign_in(cast.manager).get(address("picture", picture.pk)).status_code == 404

    def test_a_file_that_is_gone_is_404(self, cast: Cast, sign_in: SignIn, picture: Picture, media: Path) -> None:
        (media / picture.path).unlink()
        assert sign_in(cast.manager).get(address("picture", picture.pk)).status_code == 404

    def test_the_newest_stands_first(self, cast: Cast, sign_in: SignIn, picture: Picture) -> None:
        newer = make.PictureFactory(
            blanket=cast.owners_blanket, taken_by=cast.owner, at=picture.at.replace(year=picture.at.year + 1)
        )
        client = sign_in(cast.owner)
        shown = client.get(address("blanket", cast.owners_blanket.pk)).context["pictures"]
        assert shown == [(newer, True), (picture, True)]
        rows = client.get(address("blankets")).context["rows"]
        assert {row.blanket.picture_id for row in rows if row.blanket.tag == "WNR33"} == {newer.pk}

    def test_the_files_of_two_barns_share_no_address(self, cast: Cast, sign_in: SignIn) -> None:
        theirs = make.PictureFactory(blanket=cast.other.blanket, taken_by=cast.other.person)
        assert sign_in(cast.manager).get(address("picture", theirs.pk)).status_code == 404


class TestRemoving:
    def url(self, picture: Picture) -> str:
        return address("picture_remove", picture.pk)

    def test_it_works_and_can_be_put_back_from_the_log(self, cast: Cast, sign_in: SignIn, picture: Picture) -> None:
        client = sign_in(cast.owner)
        send(client, self.url(picture), why="Not mine")
        page = client.get(address("blanket", cast.owners_blanket.pk))
        assert page.context["pictures"] == []
        (entry,) = page.context["undoable"]
        send(client, address("blanket_take_back", cast.owners_blanket.pk, entry))
        assert sign_in(cast.owner).get(address("picture", picture.pk)).status_code == 200
        told = [sentence.text for sentence in journal.sentences(journal.about(cast.owners_blanket), cast.owner)]
        assert told == ["Owner put back a picture of WNR33.", "Owner removed a picture of WNR33."]

    def test_a_bad_form_changes_nothing(self, cast: Cast, sign_in: SignIn, picture: Picture) -> None:
        assert sign_in(cast.owner).post(self.url(picture), {"once": "none"}).status_code == 200
        picture.refresh_from_db()
        assert picture.removed_at is None

    @pytest.mark.parametrize(("who", "status"), [(None, 302), ("other_owner", 404), ("stranger", 404)])
    def test_others_may_not(self, cast: Cast, sign_in: SignIn, picture: Picture, who: str | None, status: int) -> None:
        assert send(sign_in(getattr(cast, who) if who else None), self.url(picture)).status_code == status
        picture.refresh_from_db()
        assert picture.removed_at is None

    def test_staff_remove_what_they_took_and_nothing_else(self, cast: Cast, sign_in: SignIn, picture: Picture) -> None:
        owners = make.PictureFactory(blanket=cast.owners_blanket, taken_by=cast.owner)
        client = sign_in(cast.staff)
        assert send(client, self.url(owners)).status_code == 403
        assert send(client, self.url(picture)).status_code == 302

    def test_sent_again_it_happens_once(self, cast: Cast, sign_in: SignIn, picture: Picture) -> None:
        once, client = uuid.uuid4(), sign_in(cast.owner)
        send(client, self.url(picture), once=once)
        after = records(ALL)
        assert send(client, self.url(picture), once=once).status_code == 404
        assert records(ALL) == after


PAGE_QUERIES = 16


@pytest.mark.parametrize("number", [1, 3])
def test_the_pages_queries_do_not_grow(
    cast: Cast, sign_in: SignIn, act: Callable[..., Actor], number: int, django_assert_num_queries: Callable
) -> None:
    """With one or three pictures, fit notes and entries in the log."""
    blanket = cast.barn_blanket
    for _time in range(number):
        shrunk = images.shrink(picture_file().file)
        domain.add_picture(blanket, shrunk=shrunk, actor=act(cast.staff))
        make.FitNoteFactory(blanket=blanket, horse=make.HorseFactory(barn=cast.barn))
    client = sign_in(cast.manager)
    with django_assert_num_queries(PAGE_QUERIES):
        answer = client.get(address("blanket", blanket.pk))
    assert len(answer.context["pictures"]) == len(answer.context["sentences"]) == number


def test_the_small_file_is_small(cast: Cast, act: Callable[..., Actor], media: Path) -> None:
    shrunk = images.shrink(picture_file(size=(3000, 2000)).file)
    kept = domain.add_picture(cast.owners_blanket, shrunk=shrunk, actor=act(cast.staff))
    assert Image.open(io.BytesIO((media / kept.small_path).read_bytes())).size == (320, 213)
