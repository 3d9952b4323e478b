from django.apps import AppConfig


class DayplansConfig(AppConfig):
    name = "planner.dayplans"
    default_auto_field = "django.db.models.BigAutoField"
