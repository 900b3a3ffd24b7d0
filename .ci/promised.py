"""Print what pyproject.toml promises: ``versions`` of Python, or the ``least`` of each package."""

import sys
import tomllib
from pathlib import Path

PROJECT = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text())["project"]
PYTHON = "Programming Language :: Python :: 3."

if __name__ == "__main__":
    if sys.argv[1] == "versions":
        promised = [each for each in PROJECT["classifiers"] if each.startswith(PYTHON)]
        print(*(each.split()[-1] for each in promised))  # noqa: T201
    else:
        print(*(each.replace(">=", "==") for each in PROJECT["dependencies"]))  # noqa: T201
