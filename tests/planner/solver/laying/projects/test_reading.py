"""Patterson's text: read whatever the line breaks, refused by name where it is broken."""

from pathlib import Path

import pytest

from tests.benchmarks.rcpsp.reading import read_file, read_folder

TEXT = "4 2\n3 1\n0 0 0 2 2 3\n5 2\n1 1 4\n7 1 0 1 4\n0 0 0 0\n"


def test_an_instance_is_read_whatever_its_line_breaks(tmp_path: Path) -> None:
    (tmp_path / "one.rcp").write_text(TEXT, encoding="utf-8")
    (tmp_path / "best_known.csv").write_text("file,best_known_ub\none.rcp,12\n", encoding="utf-8")
    (instance,) = read_folder(tmp_path)
    assert instance.lengths == (0, 5, 7, 0)
    assert instance.demands == ((0, 0), (2, 1), (1, 0), (0, 0))
    assert instance.after == ((1, 2), (3,), (3,), ())
    assert (instance.counts, instance.best_known, instance.activities) == ((3, 1), 12, 2)


@pytest.mark.parametrize("text", ["", "4 2\n3 1\n0 0 0 9 2 3", TEXT.replace("2 2 3", "2 2 9"), "four 2"])
def test_a_broken_file_is_refused_by_name(tmp_path: Path, text: str) -> None:
    (tmp_path / "bad.rcp").write_text(text, encoding="utf-8")
    with pytest.raises(SystemExit, match=r"bad\.rcp"):
        read_file(tmp_path / "bad.rcp", 1)


def test_a_folder_without_its_list_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SystemExit, match=r"best_known\.csv"):
        read_folder(tmp_path)
