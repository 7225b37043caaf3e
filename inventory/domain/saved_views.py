"""A person's saved views of the inventory."""

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from inventory.models import SavedView

MOST = 20


@transaction.atomic
def save_view(name: str, *, query: str, actor: Actor) -> SavedView:
    """Keeps filters and order under a name; the same name again stands for the new ones."""
    mine = SavedView.objects.select_for_update().filter(person=actor.person)
    view = mine.filter(name=name).first()
    if view is None and mine.count() >= MOST:
        raise Refused(_("You have %(most)d saved views. Remove one first.") % {"most": MOST}, field="name")
    before = {"query": view.query} if view else {}
    view = view or SavedView(barn=actor.barn, person=actor.person, name=name)
    view.query = query
    editing.validate(view)
    view.save()
    journal.write(actor, "view_saved", about=[actor.person], before=before, after={"name": name, "query": query})
    return view


@transaction.atomic
def remove_view(view: SavedView, *, actor: Actor) -> None:
    kept = {"name": view.name, "query": view.query}
    journal.write(actor, "view_removed", about=[actor.person], before=kept, after={"name": view.name})
    view.delete()
