from django.apps import AppConfig


class BarnsConfig(AppConfig):
    name = "barnrugs.barns"
    label = "barns"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from barnrugs.barns import checks, triggers

        checks.register()
        triggers.connect()
        from barnrugs.barns import first_run, rules

        rules.register()
        first_run.register_own()
