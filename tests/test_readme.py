"""The Python of the README runs as it stands, in its order, from the project's folder."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


def test_the_python_of_the_readme_runs_and_tells_of_a_heavier_motor_and_a_found_cavity(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    blocks = re.findall(r"```python\n(.*?)```", (ROOT / "README.md").read_text(), re.DOTALL)
    assert len(blocks) == 4
    monkeypatch.chdir(ROOT)
    known: dict[str, object] = {}
    printed = []
    for block in blocks:
        exec(compile(block, "README.md", "exec"), known)
        printed.append(capsys.readouterr().out.splitlines())
    assert all(len(lines) >= 3 for lines in printed[:3])
    study = [[float(value) for value in line.split()] for line in printed[2]]
    heavier, margins, depths = zip(*study, strict=True)
    assert heavier == (0.0, 10.0, 20.0)
    # under water the motor weighs as much more as it was made heavier; E takes off dead weight
    assert margins[0] - margins[2] == pytest.approx(20.0, abs=0.8)
    assert depths[0] < depths[1] < depths[2]
    (cavity,) = printed[3]
    volume, error = re.findall(r"[0-9]\.[0-9e-]+", cavity)[:2]
    assert 0.0 < float(error) < 0.05 * float(volume)
    assert "hull_moulding" in cavity
