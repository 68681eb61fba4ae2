#!/usr/bin/env python3
"""The Debian package on this machine, as its user meets it: installed, valid by the desktop's own
checkers, started from its menu entry, opened by a file's type, with its icon and name at the window,
writing only where freedesktop's base directories say, and gone without a trace when it is removed.

Needs root, and Debian's xvfb, xdotool, x11-utils, imagemagick, desktop-file-utils, appstream,
shared-mime-info, libglib2.0-bin, man-db and the libraries that the package asks for; lintian is run
where it is installed.

  installed.py --deb blankwright_….deb [--keep FOLDER]
"""
import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ENTRY = Path("/usr/share/applications/blankwright.desktop")
META = Path("/usr/share/metainfo/org.example.blankwright.metainfo.xml")
KIND = "application/x-blankwright-blank+json"
failed, passed = [], 0


def check(fine, what):
    global passed
    passed += 1
    if not fine:
        failed.append(what)
        print("FAILED:", what)


def run(*words, env=None, fine=True):
    done = subprocess.run([*map(str, words)], capture_output=True, text=True, env=env, check=False)
    if fine:
        check(done.returncode == 0, f"{' '.join(map(str, words))}: {done.stdout}{done.stderr}")
    return done.stdout


def launch(*words, env):
    """Starts what goes on by itself, and doesn't wait for its output to end."""
    done = subprocess.run([*map(str, words)], env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
    check(done.returncode == 0, " ".join(map(str, words)))


def wait(what, seconds=90.0):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        answer = what()
        if answer:
            return answer
        time.sleep(0.3)
    return None


def files_below(*folders):
    found = set()
    for folder in folders:
        for place, _, names in os.walk(folder):
            found.update(os.path.join(place, name) for name in names)
    return found


def valid():
    """What the desktop's own checkers say of the installed files."""
    run("desktop-file-validate", ENTRY)
    run("appstreamcli", "validate", "--no-net", META)
    check(KIND in Path("/usr/share/mime/globs2").read_text(), "the file type is known")
    pages = sorted(Path("/usr/share/man/man1").glob("blankwright*.gz"))
    check(len(pages) > 15, f"{len(pages)} man pages")
    for page in pages:
        done = subprocess.run(["man", "--warnings", "-l", str(page)], capture_output=True, text=True,
                              env={**os.environ, "MANPAGER": "cat", "LC_ALL": "C.UTF-8"}, check=False)
        check(done.returncode == 0 and not done.stderr and "SYNOPSIS" in done.stdout, f"{page}: {done.stderr}")
    for shell, file, checks in [
        ("bash", "bash-completion/completions/blankwright", ["bash", "-n"]),
        ("zsh", "zsh/vendor-completions/_blankwright", ["zsh", "-n"]),
        ("fish", "fish/vendor_completions.d/blankwright.fish", ["fish", "-n"]),
    ]:
        file = Path("/usr/share") / file
        check(file.exists(), f"completions for {shell}")
        if shutil.which(shell):
            run(*checks, file)
        else:
            print(f"not checked: no {shell} here")


class Screen:
    """A display and a home of its own, with folders as freedesktop names them."""

    def __init__(self, folder):
        told, tell = os.pipe()
        # Without `-noreset` the display starts anew whenever the last to ask it has gone, and refuses
        # a program that comes just then.
        self.display = subprocess.Popen(
            ["Xvfb", "-displayfd", str(tell), "-noreset", "-screen", "0", "1280x800x24"],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, pass_fds=[tell])
        os.close(tell)
        with os.fdopen(told) as number:
            display = ":" + number.readline().strip()
        self.home = folder / "home"
        self.home.mkdir()
        self.env = {**os.environ, "DISPLAY": display, "HOME": str(self.home), "LIBGL_ALWAYS_SOFTWARE": "1"}
        for name in list(self.env):
            if name.startswith("XDG_") or name == "WAYLAND_DISPLAY":
                del self.env[name]

    def tool(self, *words):
        return run(*words, env=self.env, fine=False).strip()

    def window(self):
        return wait(lambda: self.tool("xdotool", "search", "--onlyvisible", "--class", "blankwright").split("\n")[-1])

    def picture(self, path):
        self.tool("import", "-window", "root", path)

    def leave(self, window):
        time.sleep(2.0)
        self.tool("xdotool", "windowfocus", window)
        time.sleep(0.5)
        self.tool("xdotool", "key", "ctrl+q")
        gone = wait(lambda: not self.tool("xdotool", "search", "--class", "blankwright"), 20.0)
        check(gone, "it closes by Ctrl+Q")


def used(keep, folder):
    """Started from its menu entry, then by a file's type."""
    screen = Screen(folder)
    try:
        launch("gio", "launch", ENTRY, env=screen.env)
        window = screen.window()
        check(window, "the menu entry opens a window")
        if window:
            time.sleep(4.0)
            told = screen.tool("xprop", "-id", window, "WM_CLASS", "_NET_WM_NAME", "_NET_WM_ICON")
            check('"blankwright"' in told.split("\n")[0], told[:200])
            check("Icon (128 x 128)" in told, "the window's icon is ours")
            if keep:
                screen.picture(keep / "menu.png")
            screen.leave(window)
        work = screen.home / "class" / "mine.blank.json"
        work.parent.mkdir()
        shutil.copy("/usr/share/doc/blankwright/samples/first-knife.blank.json", work)
        kind = screen.tool("gio", "info", "-a", "standard::content-type", work)
        check(KIND in kind, f"a blank's type: {kind}")
        handler = screen.tool("gio", "mime", KIND)
        check("blankwright.desktop" in handler, f"what opens it: {handler}")
        launch("gio", "open", work, env=screen.env)
        window = screen.window()
        check(window, "a file opens a window")
        if window:
            name = wait(lambda: "First knife" in screen.tool("xprop", "-id", window, "_NET_WM_NAME"))
            check(name, "the window bears the knife's name")
            time.sleep(4.0)
            if keep:
                screen.picture(keep / "file.png")
            screen.leave(window)
        left = sorted(str(Path(path).relative_to(screen.home)) for path in files_below(screen.home))
        print("files at home:", left)
        outside = [path for path in left if not path.startswith((".local/share/", ".cache/", ".config/", "class/"))]
        check(not outside, f"written outside the base directories: {outside}")
        own = [path for path in left if path.startswith(".local/share/blankwright/")]
        check(own, "its settings lie in its data folder")
        check(sorted(p for p in left if p.startswith("class/")) == ["class/mine.blank.json"], "nothing beside the file")
    finally:
        screen.display.terminate()
        screen.display.wait(10)


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--deb", required=True, type=Path)
    parser.add_argument("--keep", type=Path, help="keep pictures of the windows here")
    args = parser.parse_args()
    if args.keep:
        args.keep.mkdir(parents=True, exist_ok=True)
    if shutil.which("lintian"):
        told = run("lintian", "--tag-display-limit", "0", args.deb, fine=False)
        print(told)
        check("E: " not in told, "lintian finds an error")
    before = files_below("/usr", "/etc", "/opt", "/var/lib")
    with tempfile.TemporaryDirectory() as folder:
        run("apt-get", "install", "-y", "-qq", args.deb.resolve())
        try:
            valid()
            used(args.keep, Path(folder))
        finally:
            run("apt-get", "purge", "-y", "-qq", "blankwright")
    left = files_below("/usr", "/etc", "/opt", "/var/lib") - before
    # Lists that the system keeps of all packages; ours is in none of them any more.
    ours = [path for path in left if "blankwright" in path]
    check(not ours, f"left behind: {ours}")
    for lists in (ENTRY.parent / "mimeinfo.cache", Path("/usr/share/mime/globs2")):
        check(not lists.exists() or "blankwright" not in lists.read_text(), f"{lists} still names it")
    print(f"{passed} checks of the installed program, {len(failed)} failed")
    sys.exit(bool(failed))


main()
