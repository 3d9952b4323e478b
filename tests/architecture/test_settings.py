"""The example of settings is complete, both ways, and nothing of this machine is committed."""

import re
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
READ = re.compile(r"""environ(?:\.get\(|\[)\s*["'](PLANNER_[A-Z_]+)["']""")
STATED = re.compile(r"^(PLANNER_[A-Z_]+)=", re.MULTILINE)


def settings_read() -> set[str]:
    return {
        name for path in (ROOT / "planner").rglob("*.py") for name in READ.findall(path.read_text(encoding="utf-8"))
    }


def test_every_setting_read_is_in_the_example() -> None:
    stated = set(STATED.findall((ROOT / ".env.example").read_text(encoding="utf-8")))
    assert settings_read() - stated == set()


def test_every_setting_in_the_example_is_read() -> None:
    stated = set(STATED.findall((ROOT / ".env.example").read_text(encoding="utf-8")))
    assert stated - settings_read() == set()


def committed_files() -> list[Path]:
    found = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True, text=True)
    return [ROOT / name for name in found.stdout.split("\0") if name]


def test_no_registry_address_is_committed() -> None:
    hosts = ["py" + "pi.org", "python" + "hosted", "npm" + "js.com", "deb." + "debian"]
    texts = [path for path in committed_files() if path.suffix in {".py", ".toml", ".txt", ".md", ".html", ".js", ""}]
    wrong = [
        f"{path.relative_to(ROOT)}: {host}"
        for path in texts
        if path.is_file()
        for host in hosts
        if host in path.read_text(encoding="utf-8", errors="ignore")
    ]
    assert wrong == []
