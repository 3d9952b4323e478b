from django.apps import AppConfig


class ForecastConfig(AppConfig):
    name = "planner.forecast"
    default_auto_field = "django.db.models.BigAutoField"
