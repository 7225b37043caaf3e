"""Makes a barn and its first manager."""

import getpass
import re
import sys
import uuid
from typing import Any

from django.contrib.auth import password_validation
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import OperationalError, ProgrammingError, transaction
from django.utils.text import slugify

from barnrugs.barns.domain import editing, house, invitations
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Person, User
from barnrugs.barns.models.barn import Units

SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


class Command(BaseCommand):
    help = (
        "Makes a barn with its first manager. Asks for the manager's password, or, with --invite and where nobody sits "
        "at the keyboard, prints an invitation code that is good once, for 72 hours."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="the barn's name, in quotes")
        parser.add_argument("--slug", help="its part of the address; made from the name if left out")
        parser.add_argument("--time-zone", required=True, help="for example Europe/Oslo or America/Anchorage")
        parser.add_argument("--manager", required=True, help="the name the first manager signs in with")
        parser.add_argument("--manager-name", default="", help="as it stands on lists; the sign-in name if left out")
        parser.add_argument("--units", choices=Units.values, default=Units.US)
        parser.add_argument("--known", action="store_true", help="the manager signs in to another barn here already")
        parser.add_argument("--invite", action="store_true", help="print an invitation code, ask for no password")

    def handle(self, *args: Any, **given: Any) -> None:
        try:
            self.make(given)
        except Refused as refused:
            raise CommandError(refused.sentence, returncode=2) from refused
        except (OperationalError, ProgrammingError) as error:
            raise CommandError(
                f"The database is not ready: run `manage.py migrate` first. ({error})", returncode=2
            ) from error

    def make(self, given: dict[str, Any]) -> None:
        new = house.NewBarn(given["name"].strip(), slug_of(given), given["time_zone"], given["units"])
        check_sign_in_name(given["manager"])
        call_command("createcachetable", verbosity=0)
        by_code = given["invite"] or not (given["known"] or sys.stdin.isatty())
        user = None if by_code and not given["known"] else self.user(given)
        with transaction.atomic():
            if user and not user.pk:
                user.save(force_insert=True)
            manager = house.make_barn(new, manager_name=given["manager_name"] or given["manager"], user=user)
            code = invite(manager) if user is None else ""
        self.told(manager, code)

    def user(self, given: dict[str, Any]) -> User:
        known = User.objects.filter(username__iexact=given["manager"]).first()
        if given["known"]:
            if known is None:
                raise Refused(f"Nobody signs in here as {given['manager']}. Leave out --known to make this person.")
            return known
        if known:
            raise Refused(f"Somebody signs in here as {known.username}. If it is the same person, add --known.")
        user = User(username=given["manager"])
        user.set_password(ask_password(user))
        editing.validate(user)
        return user

    def told(self, manager: Person, code: str) -> None:
        barn = manager.barn
        self.stdout.write(f"{barn.name} is made; its pages begin at /barns/{barn.slug}/.")
        if not code:
            self.stdout.write(f"{manager.name} signs in as {manager.user}.")
            return
        self.stdout.write(f"{manager.name} comes in at /come-in/ with this code, once, within 72 hours:")
        self.stdout.write(f"\n    {code}\n")
        self.stdout.write("The code is kept nowhere: note it now.")


def slug_of(given: dict[str, Any]) -> str:
    slug: str = given["slug"] or slugify(given["name"])
    if not SLUG.fullmatch(slug):
        raise Refused(f"The address part {slug!r} must be small letters, figures and single dashes: give --slug.")
    return slug


def check_sign_in_name(name: str) -> None:
    try:
        User._meta.get_field("username").clean(name, None)
    except ValidationError as error:
        raise Refused(f"--manager: {error.messages[0]}") from error


def ask_password(user: User) -> str:
    """Asks until a good password was typed twice."""
    while True:
        password = getpass.getpass(f"Password for {user.username}: ")
        try:
            password_validation.validate_password(password, user)
        except ValidationError as error:
            print(*error.messages, sep="\n", file=sys.stderr)
            continue
        if password == getpass.getpass("Once more: "):
            return password
        print("The two passwords differ.", file=sys.stderr)


def invite(manager: Person) -> str:
    """There is no form here: the code comes from a number made on the spot."""
    code = invitations.code_for(manager, uuid.uuid4())
    invitations.invite(manager, code=code, actor=Actor(person=manager))
    return code
