# SPDX-License-Identifier: MIT
"""The command line starts light: heavy libraries are imported only once a command needs them."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from style.tree import TOP

HEAVY = {"numpy", "scipy", "tomlkit", "matplotlib", "pandas", "pint", "hypothesis", "rich", "jinja2", "typst"}

# Modules in memory beyond a bare interpreter: 90 for --help when this was written, and a little.
CEILING = 100

START = "import retortwright.cli.main"
HELP = """
import contextlib, io, sys
import retortwright.cli.main
sys.argv = ["retortwright", "--help"]
with contextlib.redirect_stdout(io.StringIO()) as shown, contextlib.suppress(SystemExit):
    retortwright.cli.main.main()
assert "assess" in shown.getvalue()
"""


def loaded(code: str) -> set[str]:
    """The modules in memory after this code, beyond those of a bare interpreter."""
    program = f"import sys\nbare = set(sys.modules)\n{code}\nprint(*(set(sys.modules) - bare))"
    path = os.pathsep.join([str(TOP / "src"), os.environ.get("PYTHONPATH", "")])
    result = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True, text=True, check=False, env={**os.environ, "PYTHONPATH": path},
    )
    assert result.returncode == 0, result.stderr
    return set(result.stdout.split())


@pytest.mark.parametrize("code", [START, HELP], ids=["import", "help"])
def test_the_start_is_light(code: str) -> None:
    modules = loaded(code)
    assert {name.split(".")[0] for name in modules} & HEAVY == set()
    print(f"{len(modules)} modules")
    assert len(modules) <= CEILING


def test_the_package_itself_imports_nothing() -> None:
    assert loaded("import retortwright") <= {"retortwright", "__future__"}


def test_a_heavy_import_is_caught() -> None:
    assert {name.split(".")[0] for name in loaded("import numpy")} & HEAVY == {"numpy"}
    assert len(loaded("import click, numpy")) > CEILING
