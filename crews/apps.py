from django.apps import AppConfig


class CrewsConfig(AppConfig):
    name = "crews"
    default_auto_field = "django.db.models.BigAutoField"
