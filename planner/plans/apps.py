from django.apps import AppConfig


class PlansConfig(AppConfig):
    name = "planner.plans"
    default_auto_field = "django.db.models.BigAutoField"
