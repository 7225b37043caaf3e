from django.apps import AppConfig


class InventoryConfig(AppConfig):
    name = "inventory"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from horses.domain import measurement
        from inventory import first_run, rules
        from inventory.domain import charts

        rules.register()
        first_run.register()
        measurement.after_a_clip(charts.ask_after_a_clip)
