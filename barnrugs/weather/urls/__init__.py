"""The addresses of this app: every module beside this one that names `urlpatterns`, in order of name."""

from importlib import import_module
from pkgutil import iter_modules

from django.urls import URLPattern, URLResolver

urlpatterns: list[URLPattern | URLResolver] = [
    pattern for module in iter_modules(__path__) for pattern in import_module(f"{__name__}.{module.name}").urlpatterns
]
