"""The bench page and what is pressed on it, with and without a script."""

import pytest
from django.urls import reverse


def url(name, stage):
    return reverse(name, args=[stage.code])


def test_every_stage_has_its_bench(stages, shaper_client):
    for stage in stages.values():
        page = shaper_client.get(url("bench", stage))
        assert page.status_code == 200
        assert stage.kind.name in page.content.decode()
