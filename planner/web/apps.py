from django.apps import AppConfig


class WebConfig(AppConfig):
    name = "planner.web"
    default_auto_field = "django.db.models.BigAutoField"
    verbose_name = "Who may see and do what"
