"""Set up strutkit in this folder, and start it.

    python3 start.py              set up, then open the first notebook in JupyterLab
    python3 start.py test         set up, then run all tests
    python3 start.py test WORDS   the same, with WORDS handed to pytest
    python3 start.py benchmark    set up, then measure and print timings
    python3 start.py pins         renew constraints.txt, the list of pinned versions

On Windows:  py start.py

Everything goes into the folder .venv beside this file. Delete it and nothing is left.
"""

# Old Pythons must be able to read this file, to be told in a plain sentence that they are
# too old: it keeps to what Python 2.7 understands, and to the standard library.

from __future__ import print_function

import glob
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time

OLDEST = (3, 11)
NEWEST = (3, 14)
ROOT = os.path.dirname(os.path.abspath(__file__))
ENVIRONMENT = os.path.join(ROOT, ".venv")
STATE = os.path.join(ENVIRONMENT, "strutkit.json")
LOG = os.path.join(ENVIRONMENT, "install.log")
PINS = os.path.join(ROOT, "constraints.txt")
WINDOWS = os.name == "nt"
COMMAND = "py start.py" if WINDOWS else "python3 start.py"
PLATFORMS = ("x86_64-manylinux_2_28", "aarch64-manylinux_2_28", "windows", "aarch64-apple-darwin")
PINS_HEADER = """\
# The versions that start.py installs, for Python {oldest} to {newest} on Linux, macOS and Windows.
# Written by: python3 start.py pins
"""

WHOLE_RUN = ["-n", "2", "--dist", "loadfile", "--no-loadscope-reorder"]
# All tests by two workers, each file by one of them, in the order of tests/conftest.py, which
# also keeps those of JupyterLab together.

NO_NETWORK = (
    "NewConnectionError",
    "NameResolutionError",
    "Failed to establish a new connection",
    "Temporary failure in name resolution",
    "getaddrinfo failed",
    "Network is unreachable",
    "Connection refused",
    "Connection reset",
    "ConnectTimeout",
    "ReadTimeout",
    "ProxyError",
    "Max retries exceeded",
)


class SetupError(Exception):
    """Something is missing; the text says what, and what to do."""


def main(words):
    """Carry out the command line `words`; return the exit code."""
    command = words[0] if words else "notebook"
    if command in ("-h", "--help", "help"):
        say(__doc__.strip())
        return 0
    try:
        check_python()
        if command == "notebook" and len(words) <= 1:
            return open_notebook(prepare(test=False))
        if command == "test":
            return run(prepare(test=True), ["-m", "pytest"] + (words[1:] or WHOLE_RUN))
        if command == "benchmark":
            measure = ["--benchmark-enable", "--benchmark-only", "-s", "tests/benchmarks"]
            return run(prepare(test=True), ["-m", "pytest"] + measure + words[1:])
        if command == "pins" and len(words) == 1:
            return renew_pins()
        raise SetupError(
            "start.py does not know '{}'. It knows:\n\n{}".format(" ".join(words), __doc__.strip())
        )
    except SetupError as error:
        say("\n" + str(error))
        return 1
    except KeyboardInterrupt:
        say("\nStopped. Run the same command again to go on.")
        return 130


def say(text):
    print(text)
    sys.stdout.flush()


# -- the Python that runs this file ---------------------------------------------------------


def check_python():
    """Refuse a Python that the pinned packages do not support, and name one that will do."""
    if OLDEST <= sys.version_info[:2] <= NEWEST:
        return
    raise SetupError(
        "strutkit needs Python {} to {}, and this is Python {} ({}).\n{}".format(
            dotted(OLDEST),
            dotted(NEWEST),
            dotted(sys.version_info[:3]),
            sys.executable,
            python_advice(),
        )
    )


def dotted(version):
    return ".".join(str(part) for part in version)


def python_advice():
    minors = range(NEWEST[1], OLDEST[1] - 1, -1)
    for folder in os.environ.get("PATH", "").split(os.pathsep):
        for minor in minors:
            name = "python3.{}".format(minor)
            if runs(os.path.join(folder, name)):
                return "This machine has {0}. Run:  {0} start.py".format(name)
    if WINDOWS:
        return (
            "See which ones this machine has with  py --list  and name one, as in\n"
            "py -3.13 start.py . Without one, install it from python.org first."
        )
    return (
        "Install one from your system's packages (Debian, Ubuntu: sudo apt install python3\n"
        "python3-venv) or from python.org, and run this again with it."
    )


def runs(python):
    if not os.access(python, os.X_OK):
        return False
    trial = subprocess.Popen(
        [python, "-c", "import ensurepip"], stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    )
    trial.communicate()
    return trial.returncode == 0


# -- the environment ------------------------------------------------------------------------


def prepare(test):
    """Bring .venv up to date, with what the tests need if `test`; return its Python."""
    leave_environment()
    started = time.time()
    with locked():
        state = usable_state()
        if state is None:
            make_environment()
            state = usable_state()
            if state is None:
                raise SetupError(
                    "The new environment in .venv does not run. See what python3 -m venv says."
                )
        wanted = "test" if test else "run"
        if state["files"] != fingerprint() or wanted not in state["installed"]:
            installed = ["run", "test"] if test or "test" in state["installed"] else ["run"]
            install(state, installed)
            say("Set up in {:.0f} s.".format(time.time() - started))
    return environment_python()


def leave_environment():
    """When run by the environment's own Python, go on with the one it was made from."""
    base = getattr(sys, "_base_executable", sys.executable)
    if os.path.realpath(sys.prefix) == os.path.realpath(ENVIRONMENT) and base != sys.executable:
        sys.exit(subprocess.call([base, os.path.join(ROOT, "start.py")] + sys.argv[1:]))


class locked(object):
    """Only one start.py at a time sets up this folder; the system frees the lock at our end."""

    def __enter__(self):
        try:
            self.file = open(ENVIRONMENT + ".lock", "a+")
        except (IOError, OSError) as error:
            raise SetupError(
                "This folder cannot be written to ({}). Put strutkit in a folder of your own\n"
                "and run the same command there.".format(error)
            )
        told = False
        while not self.taken():
            if not told:
                say("Another start.py is at work in this folder; waiting until it is done.")
                told = True
            time.sleep(0.5)

    def taken(self):
        try:
            if WINDOWS:
                import msvcrt

                self.file.seek(0)
                msvcrt.locking(self.file.fileno(), msvcrt.LK_NBLCK, 1)
            else:
                import fcntl

                fcntl.flock(self.file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True

    def __exit__(self, *error):
        self.file.close()


def environment_python():
    return os.path.join(
        ENVIRONMENT, "Scripts" if WINDOWS else "bin", "python.exe" if WINDOWS else "python"
    )


def environment_variables():
    """The user's, less what would lead the environment's Python to packages outside of it, or have
    each kernel compile the kit anew."""
    variables = dict(os.environ)
    for name in ("PYTHONHOME", "PYTHONPATH", "PYTHONDONTWRITEBYTECODE", "PIP_TARGET", "PIP_PREFIX"):
        variables.pop(name, None)
    folder = os.path.dirname(environment_python())
    variables["PATH"] = folder + os.pathsep + variables.get("PATH", os.defpath)
    variables["VIRTUAL_ENV"] = ENVIRONMENT
    variables["PIP_USER"] = "0"
    variables["PIP_DISABLE_PIP_VERSION_CHECK"] = "1"
    variables["JUPYTER_PREFER_ENV_PATH"] = "1"
    return variables


def usable_state():
    """What is installed in .venv, or None when it must be made (anew)."""
    if not os.path.lexists(ENVIRONMENT):
        return None
    state = read_state()
    if state.get("unfinished"):
        return discard("An earlier set-up did not come to its end")
    if state.get("root", ROOT) != ROOT:
        return discard("This folder has been moved since it was set up")
    version = environment_version()
    if version is None:
        return discard("The environment in .venv does not run any more")
    if version != dotted(sys.version_info[:2]):
        return discard(
            "The environment in .venv is of Python {}, this is Python {}".format(
                version, dotted(sys.version_info[:2])
            )
        )
    return {"files": state.get("files", ""), "installed": state.get("installed", [])}


def discard(reason):
    if not (os.path.exists(STATE) or os.path.exists(os.path.join(ENVIRONMENT, "pyvenv.cfg"))):
        raise SetupError(
            "{} is in the way: it is no Python environment. Move it elsewhere and run\n"
            "{} again.".format(ENVIRONMENT, COMMAND)
        )
    say(reason + "; making it anew.")
    try:
        shutil.rmtree(ENVIRONMENT)
    except OSError as error:
        raise SetupError(
            "The old environment cannot be removed ({}).\nClose the notebooks that still run,"
            " delete {} and run {} again.".format(error, ENVIRONMENT, COMMAND)
        )


def environment_version():
    """The environment's Python version as text, None when it does not run or has no pip."""
    question = "import sys; from pip import __version__; print('%d.%d' % sys.version_info[:2])"
    try:
        answer = subprocess.check_output(
            [environment_python(), "-I", "-c", question], stderr=subprocess.STDOUT
        )
    except (OSError, subprocess.CalledProcessError):
        return None
    return answer.decode("ascii", "replace").strip()


def make_environment():
    import importlib.util

    if not all(importlib.util.find_spec(name) for name in ("venv", "ensurepip")):
        version = dotted(sys.version_info[:2])
        raise SetupError(
            "This Python {0} comes without 'venv' and 'ensurepip', which make the environment.\n"
            "On Debian or Ubuntu:  sudo apt install python{0}-venv\n"
            "Elsewhere, install Python from python.org. Then run  {1}  again.".format(
                version, COMMAND
            )
        )
    say(
        "Making an environment for Python {} in {}".format(
            dotted(sys.version_info[:3]), ENVIRONMENT
        )
    )
    os.mkdir(ENVIRONMENT)
    write_state(unfinished=True)
    making = subprocess.Popen(
        [sys.executable, "-I", "-m", "venv", ENVIRONMENT],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    words = making.communicate()[0].decode("utf-8", "replace")
    if making.returncode:
        raise SetupError("The environment could not be made. Python says:\n\n" + words.strip())
    write_state(files="", installed=[])


def fingerprint():
    """Changes when what is to be installed changes."""
    names = ("pyproject.toml", "constraints.txt", os.path.join("strutkit", "_version.py"))
    digest = hashlib.sha256()
    for name in names:
        with open(os.path.join(ROOT, name), "rb") as file:
            digest.update(file.read().replace(b"\r\n", b"\n"))
    return digest.hexdigest()


def read_state():
    try:
        with open(STATE) as file:
            state = json.load(file)
    except (IOError, OSError, ValueError):
        return {}
    return state if isinstance(state, dict) else {}


def write_state(**state):
    state["root"] = ROOT
    with open(STATE + ".new", "w") as file:
        json.dump(state, file)
    os.replace(STATE + ".new", STATE)


# -- installing -----------------------------------------------------------------------------


def install(state, wanted):
    """Install the kit and the pinned versions of what it needs."""
    what = "the kit and what its tests need" if "test" in wanted else "the kit"
    say("Installing {} in pinned versions (over a hundred packages)".format(what))
    variables = environment_variables()
    # named relative to the folder: pip splits these at blanks
    variables["PIP_CONSTRAINT"] = variables["PIP_BUILD_CONSTRAINT"] = "constraints.txt"
    process = subprocess.Popen(
        # --no-compile: Python compiles what is used when it is used, and keeps it
        [environment_python(), "-m", "pip", "install", "--no-color", "--only-binary", ":all:"]
        + ["--no-compile", "--editable", ".[test]" if "test" in wanted else "."],
        cwd=ROOT,
        env=variables,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    words = follow(process)
    if process.wait():
        raise SetupError(install_advice(words))
    write_state(files=fingerprint(), installed=wanted)


def follow(process):
    """Show how far pip has come, and return all it said."""
    words = []
    fetched = 0
    with open(LOG, "wb") as log:
        for line in iter(process.stdout.readline, b""):
            log.write(line)
            words.append(line.decode("utf-8", "replace").rstrip())
            text = words[-1].strip()
            if text.startswith("Collecting "):
                fetched += 1
                progress("  fetching {}: {}".format(fetched, text.split()[1]))
            elif "Retrying (" in text:
                progress("  the network does not answer, trying again")
            elif text.startswith("Installing collected packages"):
                write_state(unfinished=True)
                progress("")
                say("  unpacking {} of them, up to a minute".format(text.count(",") + 1))
    progress("")
    return "\n".join(words)


def progress(text):
    """One line that is written over, on a terminal only."""
    if sys.stdout.isatty():
        sys.stdout.write("\r" + text[:78].ljust(78) + ("" if text else "\r"))
        sys.stdout.flush()


def install_advice(words):
    again = "then run  {}  again.".format(COMMAND)
    if "CERTIFICATE_VERIFY_FAILED" in words:
        return (
            "The packages could not be fetched: the secure connection was not accepted. On a\n"
            "network that checks traffic, set PIP_CERT to the certificate file of that network, "
            + again
        )
    if any(sign in words for sign in NO_NETWORK):
        return (
            "The packages could not be fetched: no connection to the Python Package Index.\n"
            "Connect this machine to the network (or set pip's proxy or mirror), " + again
        )
    if "No space left on device" in words:
        return "The disk is full. The kit needs about 1 GB: make room, " + again
    if "No matching distribution found for" in words:
        name = words.split("No matching distribution found for")[1].split()[0]
        return (
            "There is no ready-built {} for this Python {} on this kind of machine ({}, {} bit).\n"
            "Take another Python from {} to {}, of 64 bit, {}".format(
                name,
                dotted(sys.version_info[:2]),
                sys.platform,
                64 if sys.maxsize > 2**32 else 32,
                dotted(OLDEST),
                dotted(NEWEST),
                again,
            )
        )
    if WINDOWS and "No such file or directory" in words:
        return (
            "A path became too long for Windows. Move this folder to a short one, such as\n"
            "C:\\strutkit, " + again
        )
    last = "\n".join(words.splitlines()[-12:])
    return "pip could not install the kit. Its last words (all of them are in {}):\n\n{}".format(
        LOG, last
    )


# -- what is run in it ----------------------------------------------------------------------


def open_notebook(python):
    notebooks = sorted(glob.glob(os.path.join(ROOT, "notebooks", "1_*.ipynb")))
    if not notebooks:
        raise SetupError(
            "The first notebook (notebooks/1_...) is missing. Get a whole copy of strutkit, then\n"
            "run  {}  again.".format(COMMAND)
        )
    say(
        "Opening {} in JupyterLab. Ctrl-C here ends it.".format(os.path.relpath(notebooks[0], ROOT))
    )
    return run(python, notebook_words(notebooks[0]))


def notebook_words(notebook):
    """The words after `python` that open `notebook`, with the checkout as JupyterLab's root."""
    keep_quiet()
    words = ["-m", "jupyterlab", notebook, "--ServerApp.root_dir=" + ROOT, "--log-level=WARN"]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        words.append("--allow-root")
    return words


def keep_quiet():
    """JupyterLab in this environment neither asks for news nor fetches any."""
    folder = os.path.join(ENVIRONMENT, "share", "jupyter", "lab", "settings")
    if not os.path.isdir(folder):
        os.makedirs(folder)
    with open(os.path.join(folder, "overrides.json"), "w") as file:
        json.dump({"@jupyterlab/apputils-extension:notification": {"fetchNews": "false"}}, file)


def run(python, words):
    """Run the environment's Python in this folder; what it prints last stays last."""
    os.chdir(ROOT)
    variables = environment_variables()
    if not WINDOWS:
        os.execve(python, [python] + words, variables)
    process = subprocess.Popen([python] + words, env=variables)
    while True:
        try:
            return process.wait()
        except KeyboardInterrupt:  # the console sends it to the child as well, which ends itself
            continue


# -- pinned versions ------------------------------------------------------------------------


def renew_pins():
    """Write constraints.txt anew: one version of each package for all Pythons and systems."""
    folder = tempfile.mkdtemp(prefix="strutkit-pins-")
    try:
        say("Fetching the resolver (uv)")
        subprocess.check_call([sys.executable, "-m", "venv", folder])
        python = os.path.join(folder, "Scripts" if WINDOWS else "bin", "python")
        subprocess.check_call([python, "-m", "pip", "install", "--quiet", "uv"])
        uv = [python, "-m", "uv", "--quiet", "pip"]
        found = os.path.join(folder, "pins.txt")
        say("Resolving")
        subprocess.check_call(
            uv
            + ["compile", "pyproject.toml", "--extra", "test", "--universal", "--no-header"]
            + ["--python-version", dotted(OLDEST), "--fork-strategy", "fewest", "--no-annotate"]
            + ["--only-binary", ":all:", "--output-file", found],
            cwd=ROOT,
            stdout=subprocess.DEVNULL,
        )
        for minor in range(OLDEST[1], NEWEST[1] + 1):
            for platform in PLATFORMS:
                check_wheels(uv, found, "3.{}".format(minor), platform, folder)
        with open(found) as file:
            pins = file.read()
    except subprocess.CalledProcessError as error:
        raise SetupError("The pins are as they were: a step failed ({}).".format(error))
    finally:
        shutil.rmtree(folder)
    header = PINS_HEADER.format(oldest=dotted(OLDEST), newest=dotted(NEWEST))
    with open(PINS, "w") as file:
        file.write(header + pins)
    say("constraints.txt has {} pins. Now run  {} test".format(len(pins.splitlines()), COMMAND))
    return 0


def check_wheels(uv, pins, version, platform, folder):
    """Ask the index whether each pin has a wheel for this Python on this system."""
    say("Checking for wheels: Python {}, {}".format(version, platform))
    target = os.path.join(folder, "target")
    subprocess.check_call(
        uv
        + ["install", "--dry-run", "--no-deps", "--only-binary", ":all:", "--target", target]
        + ["--python-version", version, "--python-platform", platform, "--requirement", pins]
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
