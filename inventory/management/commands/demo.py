"""manage.py demo: an invented barn in a database of its own, its list for tonight, and the pages on this computer."""

import errno
import socketserver
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.core.servers.basehttp import ThreadedWSGIServer, WSGIRequestHandler
from django.core.wsgi import get_wsgi_application
from django.db import connection
from django.utils import timezone

from barnrugs.barns.models import Person
from inventory import demo
from inventory.demo import printed
from inventory.demo.people import PASSWORD

HOST = "127.0.0.1"
PORT = 8000
PORTS_TRIED = 20


class Server(ThreadedWSGIServer):
    """Threads, for this computer only; does not look its own name up."""

    def server_bind(self) -> None:
        socketserver.TCPServer.server_bind(self)
        self.server_name, self.server_port = HOST, self.server_address[1]
        self.setup_environ()


class Command(BaseCommand):
    help = (
        "Makes the demo barn in a database of its own, prints tonight's list and serves the pages on this computer. "
        "Running it again does no harm. The advice replaces neither a hand under the blanket nor a veterinarian."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="stop after the list")
        parser.add_argument("--port", type=int, help=f"default {PORT}, or the next free one")

    def handle(self, *args: Any, **options: Any) -> None:
        refuse_other_databases()
        call_command("migrate", verbosity=0)
        call_command("createcachetable", verbosity=0)
        now = timezone.now()
        barn = demo.make(now)
        demo.lay_night(barn, now)
        for line in printed.tonight(barn, now):
            self.stdout.write(line)
        if not options["no_serve"]:
            self.serve(options["port"])

    def serve(self, port: int | None) -> None:
        server = bind(port)
        self.stdout.write("")
        self.stdout.write(f"The pages:   http://{HOST}:{server.server_port}/    (stop with Ctrl-C)")
        self.stdout.write(f"Sign in as:  {sign_ins()}")
        self.stdout.write(f"Password:    {PASSWORD}")
        self.stdout.flush()
        connection.close()
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            self.stdout.write("Stopped.")
        finally:
            server.server_close()


def refuse_other_databases() -> None:
    """The demo writes invented records: never among a barn's own."""
    name = Path(connection.settings_dict["NAME"])
    if settings.MODE != "demo" or connection.vendor != "sqlite" or settings.DATA not in name.parents:
        raise CommandError(
            "The demo keeps a database of its own and leaves every other alone: run it as `manage.py demo`, "
            "without DATABASE_URL and without BARNRUGS_MODE."
        )


def bind(port: int | None) -> Server:
    """The port asked for, or the first free one from the usual."""
    tries = [port] if port is not None else range(PORT, PORT + PORTS_TRIED)
    for number in tries:
        try:
            server = Server((HOST, number), WSGIRequestHandler, ipv6=False)
        except OSError as fault:
            if fault.errno != errno.EADDRINUSE:
                raise CommandError(f"Port {number} cannot be used: {fault.strerror}.") from fault
        else:
            server.set_app(get_wsgi_application())
            return server
    raise CommandError(f"Port {tries[0]} is taken. Name another with --port.")


def sign_ins() -> str:
    people = Person.objects.filter(barn__slug=demo.SLUG, user__isnull=False).select_related("user").order_by("pk")
    return ", ".join(f"{person.user} ({' and '.join(sorted(person.roles))})" for person in people)
