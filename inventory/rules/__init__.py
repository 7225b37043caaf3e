"""Who may see or do what, and what the journal calls each action: one module a noun."""

from inventory.rules import blankets, care, fit, imports, lists, questions, wearings


def register() -> None:
    for noun in (wearings, blankets, care, fit, imports, lists, questions):
        noun.register()
