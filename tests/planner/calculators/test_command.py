"""``manage.py calc``: options, units in values, one sentence on a mistake."""

import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command

from manage import READER_GONE
from planner.calculators.catalog import CALCULATORS
from planner.management.commands.calc import Command

ROOT = Path(__file__).parents[3]


def said(*arguments: str) -> str:
    out = StringIO()
    call_command("calc", *arguments, stdout=out)
    return out.getvalue()


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    """Exit status and what stands on standard error, as a shell sees them."""
    with pytest.raises(SystemExit) as ended:
        Command().run_from_argv(["manage.py", "calc", *arguments])
    return int(ended.value.code or 0), capsys.readouterr().err


@pytest.mark.parametrize("name", CALCULATORS)
def test_an_answer_is_printed_with_everything(name: str) -> None:
    chosen = CALCULATORS[name]
    out = said(name, *(f"--{key.replace('_', '-')}={value}" for key, value in chosen.examples().items()))
    answer = chosen.answer(chosen.examples())
    lines = [" ".join(line.split()) for line in out.splitlines()]
    assert [head for head in lines if head in ("Formula", "Range", "Source", "Caution")] == [
        "Formula",
        "Range",
        "Source",
        "Caution",
    ]
    text = " ".join(lines)
    for sentence in (answer.says, *answer.formula, *answer.valid, *answer.sources, *answer.cautions):
        assert " ".join(sentence.split()) in text
    for line in answer.lines:
        assert f"{line.label} {line.words}" in text
    assert max(len(line) for line in out.splitlines()) <= 92


def test_rows_and_the_shape_they_belong_to() -> None:
    """45 ft wide, 3 to 5 ft over 30 ft and 12 ft over 45: 29,700 ft3 of a published problem, 222,171 gallons."""
    out = said("pool", "--shape", "stations", "--stations", "0, 45, 3; 30, 45, 5; 30ft, 45, 12; 75, 540in, 12")
    assert "222,171 gal" in out
    assert "--stations" not in out


def test_a_negative_value_with_its_unit_is_no_option() -> None:
    out = said("heat", "--air-temp", "-5C", "--humidity", "40", "--wind", "20 km/h")
    assert out == said("heat", "--air-temp=23 F", "--humidity", "40", "--wind", "12.4274238 mph")
    assert "Wind chill" in out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((), "the following arguments are required: NAME"),
        (("brick",), "invalid choice: 'brick'"),
        (("salt", "--colour", "red"), "unrecognized arguments: --colour"),
        (("salt", "--volume"), "--volume: expected one argument"),
        (
            ("salt", "--volume", "20,000 ft", "--now", "0", "--wanted", "3"),
            "--volume: Water in the pool is given in 'ft'",
        ),
        (("salt", "--now", "0", "--wanted", "3"), "--volume: Water in the pool is missing."),
    ],
)
def test_a_mistake_ends_in_words_and_not_in_nought(
    capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], words: str
) -> None:
    status, told = refused(capsys, *arguments)
    assert status != 0
    assert words in told
    assert len(told.strip().splitlines()) == 1


@pytest.mark.parametrize("arguments", [("--help",), ("strength", "--help")])
def test_help_lists_questions_and_inputs(capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...]) -> None:
    with pytest.raises(SystemExit) as ended:
        Command().run_from_argv(["manage.py", "calc", *arguments])
    assert not ended.value.code
    out = capsys.readouterr().out
    if arguments == ("--help",):
        assert all(name in out for name in CALCULATORS)
    else:
        assert all(f"--{one.name.replace('_', '-')}" in out for one in CALCULATORS["strength"].inputs)


@pytest.mark.parametrize(
    "words",
    [
        ("calc", "salt", "--volume", "20000gal", "--now", "0ppm", "--wanted", "3200ppm"),
        ("help",),
    ],
)
def test_a_reader_that_has_read_enough_gets_no_traceback(words: tuple[str, ...]) -> None:
    """As ``manage.py calc … | head`` leaves it: the pipe is closed while the answer is written."""
    command = [sys.executable, "manage.py", *words]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as asked:
        assert asked.stdout is not None
        assert asked.stderr is not None
        asked.stdout.close()
        said_on_error = asked.stderr.read().decode()
    assert said_on_error == ""
    assert asked.returncode == READER_GONE
