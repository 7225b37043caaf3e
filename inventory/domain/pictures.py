"""Pictures of a blanket: kept, removed from sight, put back. images.py encodes them, before any lock."""

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from inventory.images import Shrunk
from inventory.models import Blanket, Picture

MOST: int = 24
"""Pictures shown of one blanket."""


@transaction.atomic
def add_picture(blanket: Blanket, *, shrunk: Shrunk, actor: Actor) -> Picture:
    """Keeps a picture that images.shrink() has made. Files come first: a row never names a file that is not there."""
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    if Picture.objects.filter(blanket=blanket, removed_at__isnull=True).count() >= MOST:
        raise Refused(_("This blanket has %(most)d pictures. Remove one first.") % {"most": MOST}, field="picture")
    picture = Picture(
        barn=blanket.barn,
        blanket=blanket,
        sha=shrunk.sha,
        width=shrunk.width,
        height=shrunk.height,
        taken_by=actor.person,
        at=actor.at,
    )
    try:
        default_storage.save(picture.path, ContentFile(shrunk.full))
        default_storage.save(picture.small_path, ContentFile(shrunk.small))
    except OSError as fault:
        raise Refused(_("There is no room for this picture just now. Tell the manager."), field="picture") from fault
    picture.save(force_insert=True)
    journal.write(actor, "picture_added", about=[blanket], after={"picture": picture.key, "sha": picture.sha})
    return picture


@transaction.atomic
def remove_picture(picture: Picture, *, actor: Actor, why: str = "") -> Picture:
    """Out of sight; the file stays, so that it can be put back."""
    picture = Picture.objects.select_for_update(of=("self",)).select_related("blanket").get(pk=picture.pk)
    if picture.removed_at:
        raise Refused(_("Somebody removed this picture just now."))
    picture.removed_at = actor.at
    picture.save(update_fields=["removed_at"])
    journal.write(actor, "picture_removed", about=[picture.blanket], after={"picture": picture.key}, why=why)
    return picture


@transaction.atomic
def put_back(blanket: Blanket, *, key: str, actor: Actor) -> Picture:
    picture = Picture.objects.select_for_update().get(blanket=blanket, key=key)
    if picture.removed_at is None:
        raise Refused(_("This picture is back already."))
    picture.removed_at = None
    picture.save(update_fields=["removed_at"])
    journal.write(actor, "picture_put_back", about=[blanket], after={"picture": picture.key})
    return picture
