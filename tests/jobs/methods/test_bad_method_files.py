"""A bad method file gets an error that names file, task or link, and field, with a remedy."""

from collections.abc import Callable
from pathlib import Path

import pytest

import jobs.methods
from jobs.domain.errors import CannotDo
from jobs.methods.loader import load_method

SHIPPED = (Path(jobs.methods.__path__[0]) / "insulated_form_liner.toml").read_text(encoding="utf-8")

GOOD = """
key = "small"
title = "Small"
pace_cap = 1.3
first_pool_factor = 0.8
flow_m3_h = 2.73
long_day_hours = 10
[value_sources]
crew_size = "common practice, no source"
[[task]]
key = "dig"
title = "Dig"
kind = "work"
run = "work"
trade = "excavation"
crew_size = 2
crew_min = 2
setup_hours = 1
rate = 12
quantity = "excavation_m3"
exposure = "dig"
gear = ["excavator"]
cautions = ["dig_edge"]
source = "E2"
[[task]]
key = "look"
title = "Look"
kind = "visit"
run = "visit"
visit_span = "morning"
trade = "inspector"
crew_size = 0
crew_min = 0
authority = "building_authority"
exposure = "general"
releases_hold = "hold_look"
source = "common practice, no source"
[[task]]
key = "pour"
title = "Pour"
kind = "work"
run = "work"
trade = "concrete_forms"
crew_size = 5
crew_min = 4
setup_hours = 1
rate = 1.6
quantity = "slab_pour_m3"
exposure = "slab_pour"
needs_hold = "hold_look"
source = "E5"
[[link]]
before = "dig"
after = "look"
kind = "notice"
min_working_days = 1
why = "notice"
source = "local rule"
[[link]]
before = "look"
after = "pour"
kind = "plain"
max_hours = 240
why = "seen"
source = "local rule"
[[hold]]
key = "hold_look"
title = "Look"
visit = "look"
looks_at = "the dig"
notice_working_days = 1
if_fails = "Again."
source = "local rule"
"""


@pytest.fixture
def load(tmp_path: Path) -> Callable[[str], object]:
    def from_text(text: str) -> object:
        path = tmp_path / "own.toml"
        path.write_text(text, encoding="utf-8")
        return load_method(path)

    return from_text


def changed(old: str, new: str) -> str:
    assert old in GOOD
    return GOOD.replace(old, new, 1)


def test_an_office_may_bring_its_own_file(load):
    method = load(GOOD)
    assert [task.key for task in method.tasks] == ["dig", "look", "pour"]
    assert method.holds[0].blocks == ("pour",)


def test_a_copy_of_the_shipped_file_loads(load):
    assert load(SHIPPED).tasks == load_method("insulated_form_liner").tasks


@pytest.mark.parametrize(
    ("old", "new", "where", "field"),
    [
        ('trade = "excavation"', 'trade = "excavaton"', "task dig", "trade"),
        ('gear = ["excavator"]', 'gear = ["digger"]', "task dig", "gear"),
        ('gear = ["excavator"]', 'gear = "excavator"', "task dig", "gear"),
        ('gear = ["excavator"]', 'gear = ["excavator", "excavator"]', "task dig", "gear"),
        ('gear = ["excavator"]', 'bookings = ["lorry"]', "task dig", "bookings"),
        ('cautions = ["dig_edge"]', 'cautions = ["care"]', "task dig", "cautions"),
        ('exposure = "dig"', 'exposure = "digging"', "task dig", "exposure"),
        ('quantity = "excavation_m3"', 'quantity = "earth_m3"', "task dig", "quantity"),
        ('quantity = "excavation_m3"', "", "task dig", "rate"),
        ('authority = "building_authority"', 'authority = "town_hall"', "task look", "authority"),
        ('authority = "building_authority"', "", "task look", "authority"),
        ('visit_span = "morning"', 'visit_span = "evening"', "task look", "visit_span"),
        ('visit_span = "morning"', "", "task look", "visit_span"),
        ("rate = 12", "rate = -12", "task dig", "rate"),
        ("rate = 12", "rate = 0", "task dig", "rate"),
        ("rate = 12", "rate = nan", "task dig", "rate"),
        ("rate = 12", 'rate = "12"', "task dig", "rate"),
        ("rate = 12", "rate = true", "task dig", "rate"),
        ("rate = 12", "", "task dig", "rate"),
        ("setup_hours = 1", "setup_hours = -0.5", "task dig", "setup_hours"),
        ("setup_hours = 1", "", "task dig", "setup_hours"),
        ("crew_size = 2", "crew_size = 2.5", "task dig", "crew_size"),
        ("crew_size = 2", "crew_size = 0", "task dig", "crew_size"),
        ("crew_min = 2", "crew_min = 3", "task dig", "crew_min"),
        ("crew_min = 2", "crew_min = 2\nsplit_nights = true", "task dig", "split_nights"),
        ("crew_min = 2", "crew_min = 2\nsplits_nights = 1", "task dig", "splits_nights"),
        ("crew_min = 2", "crew_min = 2\nstart_by_hour = 25", "task dig", "start_by_hour"),
        ("crew_min = 2", "crew_min = 2\nneeds_hold = 'hold_x'", "task dig", "needs_hold"),
        ("crew_min = 2", "crew_min = 2\nreleases_hold = 'hold_look'", "task dig", "releases_hold"),
        ('title = "Dig"', 'title = " "', "task dig", "title"),
        ('kind = "work"', 'kind = "labour"', "task dig", "kind"),
        ('run = "work"', 'run = "attended"', "task dig", "run"),
        ('source = "E2"', "", "task dig", "source"),
        ('key = "pour"', 'key = "dig"', "task dig", "key"),
        ('key = "dig"', 'key = "Dig it"', "task Dig it", "key"),
        ('before = "dig"', 'before = "dug"', "link dug to look", "before"),
        ('after = "pour"', 'after = "pours"', "link look to pours", "after"),
        ("min_working_days = 1", "", "link dig to look", "min_working_days"),
        ("min_working_days = 1", "min_working_days = 2\nmax_working_days = 1", "link dig to look", "max_working_days"),
        ("max_hours = 240", "max_hours = 2\nmin_hours = 4", "link look to pour", "max_hours"),
        ("max_hours = 240", "max_hours = -1", "link look to pour", "max_hours"),
        ('kind = "plain"', 'kind = "strength"', "link look to pour", "fraction"),
        ('kind = "plain"', 'kind = "strength"\nfraction = 1.5', "link look to pour", "fraction"),
        ('kind = "plain"', 'kind = "dryness"', "link look to pour", "surface"),
        ('kind = "plain"', 'kind = "level"', "link look to pour", "level"),
        ('kind = "plain"', 'kind = "plain"\nfraction = 0.5', "link look to pour", "fraction"),
        ('releases_hold = "hold_look"', "", "hold hold_look", "visit"),
        ('needs_hold = "hold_look"', "", "hold hold_look", "key"),
        ('visit = "look"', 'visit = "dig"', "hold hold_look", "visit"),
        ("notice_working_days = 1", "notice_working_days = 2", "hold hold_look", "notice_working_days"),
        ('after = "pour"', 'after = "dig"\n#', "the file itself", "link"),
        ("pace_cap = 1.3", "pace_cap = 0.9", "the file itself", "pace_cap"),
        ("flow_m3_h = 2.73", "", "the file itself", "flow_m3_h"),
        ('title = "Small"', 'title = "Small"\ncolour = "red"', "the file itself", "colour"),
    ],
)
def test_what_is_wrong_is_named(load, old, new, where, field):
    with pytest.raises(CannotDo) as caught:
        load(changed(old, new))
    assert caught.value.field == field
    assert "own.toml" in caught.value.says
    if where != "the file itself":
        assert where in caught.value.says
    assert caught.value.remedy


def test_a_cycle_is_named(load):
    with pytest.raises(CannotDo) as caught:
        load(GOOD + '\n[[link]]\nbefore = "pour"\nafter = "dig"\nkind = "plain"\nwhy = "x"\nsource = "x"\n')
    assert "dig to look to pour to dig" in caught.value.says
    assert "own.toml" in caught.value.says


def test_a_hold_inspected_after_what_it_blocks_is_refused(load):
    text = changed('before = "look"\nafter = "pour"', 'before = "dig"\nafter = "pour"')
    with pytest.raises(CannotDo) as caught:
        load(text)
    assert caught.value.code == "method.hold_after_task"
    assert "pour does not come after look" in caught.value.says


def test_the_same_link_twice_is_refused(load):
    second = GOOD[GOOD.index("[[link]]") : GOOD.index("[[hold]]")]
    with pytest.raises(CannotDo) as caught:
        load(GOOD + second)
    assert caught.value.code == "method.duplicate"
    assert "dig to look" in caught.value.says


def test_two_visits_cannot_release_one_hold(load):
    visit = GOOD[GOOD.index('[[task]]\nkey = "look"') : GOOD.index('[[task]]\nkey = "pour"')]
    with pytest.raises(CannotDo) as caught:
        load(GOOD + visit.replace('key = "look"', 'key = "look_again"'))
    assert caught.value.field == "releases_hold"


@pytest.mark.parametrize(
    ("gear_hold", "field"),
    [
        ('gear = "crane"\nfrom_task = "dig"\nuntil_task = "pour"', "gear"),
        ('gear = "brace_set"\nfrom_task = "stack"\nuntil_task = "pour"', "from_task"),
        ('gear = "brace_set"\nfrom_task = "pour"\nuntil_task = "dig"', "until_task"),
        (
            'gear = "brace_set"\nfrom_task = "dig"\nuntil_task = "pour"\nper_quantity = "walls_m"\nper_amount = 4',
            "per_quantity",
        ),
        ('gear = "brace_set"\nfrom_task = "dig"\nuntil_task = "pour"\nper_quantity = "perimeter_m"', "per_amount"),
    ],
)
def test_bad_gear_holds_are_named(load, gear_hold, field):
    with pytest.raises(CannotDo) as caught:
        load(f'{GOOD}\n[[gear_hold]]\n{gear_hold}\nsource = "x"\n')
    assert caught.value.field == field


def test_a_mended_file_is_read_again(load):
    with pytest.raises(CannotDo):
        load(changed("rate = 12", "rate = -12"))
    assert load(changed("rate = 12", "rate = 13")).tasks[0].rate == 13
    assert load(GOOD).tasks[0].rate == 12


def test_broken_toml_says_where(load):
    with pytest.raises(CannotDo) as caught:
        load(GOOD + "\nrate = = 3\n")
    assert caught.value.code == "method.not_toml"
    assert "line" in caught.value.says


def test_a_file_without_tasks_is_refused(load):
    with pytest.raises(CannotDo) as caught:
        load('key = "empty"\ntitle = "Empty"\n')
    assert caught.value.field == "task"


def test_a_missing_file_and_an_unknown_method_are_refused(tmp_path):
    with pytest.raises(CannotDo) as caught:
        load_method(tmp_path / "absent.toml")
    assert caught.value.code == "method.no_file"
    with pytest.raises(CannotDo) as caught:
        load_method("straw_bales")
    assert "insulated_form_liner" in caught.value.remedy
    with pytest.raises(CannotDo):
        load_method("vocabulary")
