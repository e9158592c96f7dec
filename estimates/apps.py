from django.apps import AppConfig


class EstimatesConfig(AppConfig):
    name = "estimates"
    verbose_name = "Estimates"

    def ready(self):
        from estimates import (  # noqa: F401 - they register what this room adds to the jobs' pages
            beside_jobs,
            beside_jobs_at_work,
        )
