from django.apps import AppConfig


class EstimatesConfig(AppConfig):
    name = "estimates"
    verbose_name = "Estimates"

    def ready(self):
        from estimates import beside_jobs  # noqa: F401 - registers what this room adds to the jobs' pages
