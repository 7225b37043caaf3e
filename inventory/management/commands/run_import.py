from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from barnrugs.barns.domain.refusal import Refused
from inventory.enums import ImportStep
from inventory.models import ImportRun
from inventory.pace import go_on
from inventory.queries import imports as queries


class Command(BaseCommand):
    help = "Brings a confirmed list in to its end, as its page does; again or at the same time: no harm."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("id", type=int, help="the number at the end of the list's address")

    def handle(self, *args: Any, **options: Any) -> None:
        run = ImportRun.objects.select_related("barn").filter(pk=options["id"]).first()
        if run is None:
            raise CommandError(f"There is no list {options['id']}.", returncode=2)
        if run.step not in {ImportStep.WRITING, ImportStep.FINISHED}:
            raise CommandError("This list is not confirmed: look through it on its page first.", returncode=2)
        try:
            run = go_on(run, seconds=None)
        except Refused as refused:
            raise CommandError(refused.sentence, returncode=2) from refused
        told = run.choices.get("outcome") or queries.counts(run)
        self.stdout.write(
            f"{run.file_name}: {told['added']} added, {told['changed']} changed, {told['refused']} refused."
        )
