"""manage.py makemessages: takes what tables mark by `mark` and `lazy` too, and never guesses a translation."""

from django.core.management.commands import makemessages


class Command(makemessages.Command):
    xgettext_options = [*makemessages.Command.xgettext_options, "--keyword=lazy", "--keyword=mark"]
    msgmerge_options = [*makemessages.Command.msgmerge_options, "--no-fuzzy-matching"]
