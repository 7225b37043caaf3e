from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest


class ClosedSignUp(DefaultAccountAdapter):
    """People come into a barn by their manager's hand; nobody signs up alone."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False
