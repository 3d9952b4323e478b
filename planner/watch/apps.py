from django.apps import AppConfig


class WatchConfig(AppConfig):
    name = "planner.watch"
    default_auto_field = "django.db.models.BigAutoField"
