"""How a domain function says no: a sentence for a person, and the form field it belongs to."""


class Refused(Exception):
    def __init__(self, sentence: str, field: str | None = None) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field
