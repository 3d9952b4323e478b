"""Files stay short and folders small; a file that outgrows its room is split, not excused."""

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LONGEST_LINES = 400
MOST_ENTRIES = 16
PACKAGES = ("jobs", "crews", "planner", "tests")
JUNK = {"utils", "util", "helpers", "helper", "common", "misc", "core", "tools", "constants"}


def python_files() -> list[Path]:
    return [
        path
        for package in PACKAGES
        for path in (ROOT / package).rglob("*.py")
        if "migrations" not in path.parts and "__pycache__" not in path.parts
    ]


def test_no_file_is_longer_than_it_may_be() -> None:
    long = {
        str(path.relative_to(ROOT)): count
        for path in python_files()
        if (count := len(path.read_text(encoding="utf-8").splitlines())) > LONGEST_LINES
    }
    assert long == {}


def test_no_folder_holds_more_than_it_may() -> None:
    crowded = {}
    for folder in {path.parent for path in python_files()}:
        entries = [
            entry
            for entry in folder.iterdir()
            if entry.name not in {"__init__.py", "__pycache__"} and entry.suffix != ".pyc"
        ]
        if len(entries) > MOST_ENTRIES and "tests" not in folder.parts:
            crowded[str(folder.relative_to(ROOT))] = len(entries)
    assert crowded == {}


def test_no_junk_drawer() -> None:
    assert [str(path.relative_to(ROOT)) for path in python_files() if path.stem in JUNK] == []


def test_package_markers_are_empty() -> None:
    filled = [
        str(path.relative_to(ROOT))
        for path in python_files()
        if path.name == "__init__.py" and path.read_text(encoding="utf-8").strip() and path.parent.name != "words"
    ]
    assert filled == []
