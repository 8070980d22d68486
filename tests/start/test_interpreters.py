"""The start commands find a Python that will do, on each system, or say in a sentence what is needed."""

from __future__ import annotations

import ast
import sys
import tomllib
from collections.abc import Sequence
from pathlib import Path

import pytest
from interpreters import OLDEST, Interpreter, StartError, ask_it, candidates, choose, plain_environment, written

CHECKOUT = Path(__file__).resolve().parents[2]
STARTERS = [*sorted((CHECKOUT / "demo").glob("*.py")), CHECKOUT / "tests/run.py", CHECKOUT / "tests/checks.py"]


def choice(*answers: Interpreter | None, system: str = "linux") -> Interpreter:
    """Choose among candidates that answer like this, in their order."""
    return choose([[str(place)] for place in range(len(answers))], lambda command: answers[int(command[0])], system)


def python(version: str, *missing: str, final: bool = True, kind: str = "cpython") -> Interpreter:
    """Invent a Python."""
    return Interpreter(f"/opt/{kind}-{version}/python3", version, "any", kind, final, missing)


def listed(environ: dict[str, str], system: str, launcher: str = "") -> list[str]:
    """List the candidates after the one that runs this, with what the Windows launcher says."""
    found = list(candidates("", environ, system, lambda _: launcher))
    assert found[0] == [sys.executable]
    return [" ".join(command) for command in found[1:]]


def put(folder: Path, *names: str) -> Path:
    """Put programs into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in names:
        (folder / name).touch(mode=0o755)
    return folder


def test_the_first_that_will_do_is_taken() -> None:
    """One that is too old, dead or of another kind is passed over, whatever comes after."""
    old, other = python("3.9.18"), python("3.11.13", kind="pypy")
    assert choice(old, None, other, python("3.12.1"), python("3.13.0")).version == "3.12.1"


@pytest.mark.parametrize("version", ["3.11.0", "3.14.2", "3.15.0", "3.40.1", "4.0.0"])
def test_no_python_is_too_new(version: str) -> None:
    """The oldest that will do is written down, and no newest."""
    assert choice(python(version)).version == version


def test_one_before_its_release_is_the_last_resort() -> None:
    """A finished one is preferred, and an unfinished one is better than none."""
    early = python("3.15.0", final=False)
    assert choice(early, python("3.11.7")).version == "3.11.7"
    assert choice(python("3.10.1"), early) == early


def test_one_that_cannot_make_an_environment_is_passed_over_or_named() -> None:
    """Where Python comes in parts, the missing part and its package are named, unless another one will do."""
    part = python("3.11.2", "ensurepip")
    assert choice(part, python("3.12.1")).version == "3.12.1"
    with pytest.raises(StartError, match=r"3\.11\.2 .*without its module ensurepip.*apt install python3\.11-venv"):
        choice(python("3.9.1"), part)


@pytest.mark.parametrize(
    ("system", "where"), [("linux", "system's packages"), ("darwin", "brew install"), ("win32", "Microsoft Store")]
)
def test_where_none_will_do_one_sentence_says_what_is_needed(system: str, where: str) -> None:
    """It names what was found, what is needed, and where to get that on this system."""
    with pytest.raises(StartError) as refused:
        choice(None, python("3.9.18"), system=system)
    said = str(refused.value)
    assert "needs Python 3.11 or later; here is only 3.9.18 (/opt/cpython-3.9.18/python3)" in said
    assert where in said
    assert "python.org" in said
    assert "\n" not in said
    with pytest.raises(StartError, match="none was found"):
        choice(None, system=system)


def test_a_python_with_many_names_is_named_once(tmp_path: Path) -> None:
    """What was found is told by where it lies behind its links."""
    put(tmp_path, "python3.9")
    names = [tmp_path / "python3", tmp_path / "python"]
    for name in names:
        name.symlink_to("python3.9")
    with pytest.raises(StartError, match=r"here is only 3\.9\.18 \(\S+/python3\)\. Get"):
        choice(*(Interpreter(str(name), "3.9.18", "any") for name in names))


def test_last_time_s_comes_second() -> None:
    """Where the one that runs this is too old, the one found last time is asked before any search."""
    assert list(candidates("/opt/mine/python3", {"PATH": ""}, "linux"))[:2] == [[sys.executable], ["/opt/mine/python3"]]


def test_the_path_is_searched_before_the_usual_folders(tmp_path: Path) -> None:
    """`python3` of each folder, the numbered from the newest, then plain `python`; too old a number is not asked."""
    first = put(tmp_path / "first", "python3", "python3.9", "python3.12", "python3.12-config", "python")
    second = put(tmp_path / "se[c]ond", "python3.14", "python3")
    pyenv = put(tmp_path / "home/.pyenv/versions/3.13.0/bin", "python3.13")
    (first / "python3.11").touch(mode=0o644)
    environ = {"PATH": f"{first}::{second}", "HOME": str(tmp_path / "home")}
    found = [Path(each) for each in listed(environ, "linux") if each.startswith(str(tmp_path))]
    assert found == [
        first / "python3",
        second / "python3",
        second / "python3.14",
        pyenv / "python3.13",
        first / "python3.12",
        first / "python",
    ]


def test_a_home_that_is_not_set_is_no_hindrance(tmp_path: Path) -> None:
    """The path alone is enough, and without one the usual folders are looked into."""
    folder = put(tmp_path / "only", "python3")
    assert str(folder / "python3") in listed({"PATH": str(folder)}, "linux")
    assert isinstance(listed({}, "darwin"), list)


def test_on_windows_the_launcher_is_asked_first(tmp_path: Path) -> None:
    """Its newest, then each that it lists, then the path, then the folders of installers."""
    on_path = put(tmp_path / "on path", "python.exe")
    installed = put(tmp_path / "Local/Programs/Python/Python312", "python.exe")
    launcher = " -V:3.13 *        C:\\Python 313\\python.exe\n -V:3.9          C:\\Py39\\python.exe\r\n -V:none\n"
    environ = {"PATH": f"{on_path};", "LOCALAPPDATA": str(tmp_path / "Local")}
    assert listed(environ, "win32", launcher) == [
        "py -3",
        "C:\\Python 313\\python.exe",
        "C:\\Py39\\python.exe",
        str(on_path / "python.exe"),
        str(installed / "python.exe"),
    ]


def test_on_windows_without_a_launcher_others_are_found(tmp_path: Path) -> None:
    """What the launcher does not say is no candidate, and variables that are not set match nothing."""
    on_path = put(tmp_path, "python3.exe")
    assert listed({"PATH": str(on_path)}, "win32") == ["py -3", str(on_path / "python3.exe")]


def test_a_python_is_asked_by_running_it() -> None:
    """The one that runs these tests says its version, and that of its base where it is an environment's own."""
    told = ask_it([sys.executable])
    assert told is not None
    assert told.version == written(sys.version_info[:3])
    assert told.is_suitable
    assert Path(told.command).resolve() == Path(sys.executable).resolve()
    assert ask_it([told.command]) == told


@pytest.mark.parametrize("body", ["exit 127", "echo rubbish", "echo '{}'", "echo '[]'", "kill -9 $$"])
def test_a_name_without_a_python_behind_it_is_none(tmp_path: Path, body: str) -> None:
    """A shim that does not run, or says something else, is passed over."""
    shim = tmp_path / "python3"
    shim.write_text(f"#!/bin/sh\n{body}\n", encoding="utf-8")
    shim.chmod(0o755)
    assert ask_it([str(shim)]) is None
    assert ask_it([str(tmp_path / "nothing")]) is None


def test_what_was_set_for_another_python_is_left_out() -> None:
    """A home or path of another Python's would break the one that is started."""
    given = {"PYTHONHOME": "/a", "PYTHONPATH": "/b", "__PYVENV_LAUNCHER__": "/c", "PATH": "/d", "PYTHONUTF8": "1"}
    assert plain_environment(given) == {"PATH": "/d", "PYTHONUTF8": "1"}


def test_the_oldest_python_is_the_project_s() -> None:
    """The start commands ask for what pyproject.toml asks for."""
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["requires-python"] == f">={written(OLDEST)}"


@pytest.mark.parametrize("file", STARTERS, ids=lambda file: str(file.relative_to(CHECKOUT)))
def test_python_3_8_can_read_what_starts(file: Path) -> None:
    """An older Python than the program needs gets as far as looking for a newer one."""
    ast.parse(file.read_text(encoding="utf-8"), feature_version=(3, 8))


@pytest.mark.parametrize("name", ["demo/run.py", "tests/run.py"])
def test_any_python_can_read_how_it_begins(name: str) -> None:
    """No annotation, no f-string and no name by keyword stands where Python 2 says its sentence."""
    newer = (ast.JoinedStr, ast.AnnAssign, ast.arg, ast.NamedExpr, ast.ImportFrom)
    module = ast.parse((CHECKOUT / name).read_text(encoding="utf-8"))
    found: Sequence[ast.AST] = [node for node in ast.walk(module) if isinstance(node, newer)]
    assert [node for node in found if not (isinstance(node, ast.ImportFrom) and node.module == "tests")] == []


def test_both_shell_scripts_are_the_same() -> None:
    """Each hands over to the program that lies beside it under its own name."""
    assert (CHECKOUT / "demo/run").read_text(encoding="utf-8") == (CHECKOUT / "tests/run").read_text(encoding="utf-8")
