"""Free memory as the system tells it."""

from pathlib import Path

from voyager.files.memory import free_bytes


def test_what_linux_would_give_up_counts(tmp_path: Path) -> None:
    said = tmp_path / "meminfo"
    said.write_text("MemTotal: 8000 kB\nMemFree: 100 kB\nMemAvailable:    5000 kB\n")
    assert free_bytes(said) == 5000 * 1024


def test_another_system_tells_its_idle_pages(tmp_path: Path) -> None:
    found = free_bytes(tmp_path / "nothing")
    assert found is None or found > 0
    broken = tmp_path / "meminfo"
    broken.write_text("MemAvailable: plenty\n")
    assert free_bytes(broken) == found or free_bytes(broken) is not None


def test_here_something_is_free() -> None:
    found = free_bytes()
    assert found is None or found > 1e6
