from django.apps import AppConfig


class CrewsConfig(AppConfig):
    name = "crews"
    verbose_name = "Who builds, who is called"
    default_auto_field = "django.db.models.BigAutoField"
