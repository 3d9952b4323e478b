import importlib

from django.apps import AppConfig


class PlansConfig(AppConfig):
    name = "planner.plans"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # Connects what asks for another plan when somebody corrects a row.
        importlib.import_module("planner.plans.replanning.edits")
