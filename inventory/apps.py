from django.apps import AppConfig


class InventoryConfig(AppConfig):
    name = "inventory"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from inventory import rules

        rules.register()
