from django.apps import AppConfig


class WeatherConfig(AppConfig):
    name = "barnrugs.weather"
    label = "weather"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from barnrugs.weather import rules

        rules.register()
