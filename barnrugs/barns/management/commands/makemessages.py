"""manage.py makemessages: also takes what the columns of spreadsheets mark by `lazy` and tables mark by `mark`."""

from django.core.management.commands import makemessages


class Command(makemessages.Command):
    xgettext_options = [*makemessages.Command.xgettext_options, "--keyword=lazy", "--keyword=mark"]
