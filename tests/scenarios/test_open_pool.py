"""A pool is opened from a file, whole or not at all."""

from pathlib import Path

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from jobs.models import Branch, Job, Site

ENTRY = """
[[job]]
name = "Tern Close"
address = "4 Tern Close"
latitude = 40.6
longitude = -74.4
soil = "loam"
promised_on = "2026-09-30"
[job.basin]
length_m = 9.14
width_m = 4.57
shallow_depth_m = 1.07
deep_depth_m = 1.68
shallow_length_m = 3.66
slope_length_m = 3.65
deep_length_m = 1.83
freeboard_m = 0.15
[job.design]
deck_width_m = 1.22
fence_m = 40
pipe_m = 52
floor_pipe_m = 12
floor_steel_kg = 260
bond_points_each = 6
deck_joint_m = 24
equipment_each = 4
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "pools.toml"


def test_a_file_opens_a_pool(branch: Branch, file: Path) -> None:
    file.write_text(ENTRY)
    call_command("open_pool", str(file))
    assert Job.objects.get(branch=branch, name="Tern Close").tasks.count() == 49


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (("soil = ", "ground = "), "soil: is missing"),
        (("length_m = 9.14", "length_m = 3"), "length"),
        (("fence_m = 40", "fence_m = -1"), "fence is -1 m"),
        (('promised_on = "2026-09-30"', 'promised_on = "soon"'), "promised_on"),
        (("[[job]]", "[job"), "cannot be read"),
    ],
)
def test_a_bad_file_is_named_and_keeps_nothing(branch: Branch, file: Path, change: tuple[str, str], says: str) -> None:
    sites = Site.objects.count()
    file.write_text(ENTRY.replace(*change))
    with pytest.raises(CommandError, match=says):
        call_command("open_pool", str(file))
    assert not Job.objects.filter(name="Tern Close").exists()
    assert Site.objects.count() == sites
