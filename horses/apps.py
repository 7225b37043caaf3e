from django.apps import AppConfig


class HorsesConfig(AppConfig):
    name = "horses"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from horses import first_run, rules

        rules.register()
        first_run.register()
