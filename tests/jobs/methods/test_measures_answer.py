"""What each measure answers, and how a bad entry is refused."""

from pathlib import Path

import pytest

import jobs.methods
from jobs.domain.errors import CannotDo
from jobs.methods.entry import read_file
from jobs.methods.exposure_file import read_exposures
from jobs.methods.loader import load_exposures, load_vocabulary

SHIPPED = (Path(jobs.methods.__path__[0]) / "exposure.toml").read_text(encoding="utf-8")
FIRST = 'answers = ["rain"]\nspares = 0.7\n'


def test_every_measure_that_spares_something_says_from_what():
    for exposure in load_exposures().values():
        for measure in exposure.measures:
            assert 0 <= measure.spares <= 1
            assert bool(measure.answers) == (measure.spares > 0)


POURS = ("slab_pour", "deck_pour", "shell_pour")


@pytest.mark.parametrize("key", POURS)
@pytest.mark.parametrize(
    "title", ["Blankets", "Heated enclosure", "Cooler mix", "Night pour", "sheet", "fog", "Windbreak"]
)
def test_a_flat_pour_has_every_usual_measure_with_price_effect_and_source(key, title):
    (found, *_) = [one for one in load_exposures()[key].measures if title in one.title]
    assert found.dollars > 0
    assert found.effect
    assert "E-LOSS" in found.source


def test_every_measure_says_what_it_does_and_where_its_price_comes_from():
    for exposure in load_exposures().values():
        for measure in exposure.measures:
            assert measure.effect, (exposure.key, measure.title)
            assert measure.source, (exposure.key, measure.title)


def test_a_wall_pour_s_coping_is_covered_in_the_cold():
    assert any("cold" in measure.answers for measure in load_exposures()["wall_pour"].measures)


@pytest.mark.parametrize("key", ["slab_pour", "wall_pour", "shell_pour", "spray_pour", "deck_pour"])
def test_every_pour_has_an_answer_to_rain(key):
    # ACI 301 (from memory): no placing in rain unless protected, so every pour has its protection listed.
    assert any("rain" in measure.answers for measure in load_exposures()[key].measures)


@pytest.mark.parametrize(
    ("wrong", "named"),
    [
        ('answers = ["rian"]\nspares = 0.7\n', "answers"),
        ('answers = ["rain"]\nspares = 1.2\n', "spares"),
        ('answers = ["rain"]\nspares = -0.1\n', "spares"),
        ('answers = "rain"\nspares = 0.7\n', "answers"),
    ],
)
def test_a_bad_measure_is_refused_by_its_field(tmp_path, wrong, named):
    assert SHIPPED.count(FIRST) > 0
    path = tmp_path / "exposure.toml"
    path.write_text(SHIPPED.replace(FIRST, wrong, 1), encoding="utf-8")
    with pytest.raises(CannotDo) as refused:
        read_exposures(read_file(path), load_vocabulary())
    assert refused.value.field.endswith(named)
    assert "exposure.toml" in refused.value.says
    assert refused.value.remedy
