"""Hold the JSON that the program writes against its own JSON Schemas, by the `jsonschema` library.

Every sample and starter goes through each command that takes one, and the others run once; the
schemas themselves must be
valid (JSON Schema 2020-12), and each must refuse a file in which a figure was turned into text.
"""

import argparse
import json
import pathlib
import subprocess
import sys
import tempfile

import jsonschema

ROOT = pathlib.Path(__file__).resolve().parents[2]


def spoilt(value):
    """The same JSON with its first number at some depth turned into text."""
    done = False

    def walk(part):
        nonlocal done
        if done:
            return part
        if isinstance(part, dict):
            return {key: walk(inner) for key, inner in part.items()}
        if isinstance(part, list):
            return [walk(inner) for inner in part]
        if isinstance(part, float):
            done = True
            return str(part)
        return part

    return walk(value), lambda: done


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", required=True)
    program = parser.parse_args().program

    def said(*words):
        done = subprocess.run([program, *words], capture_output=True, text=True)
        if done.returncode == 2:
            sys.exit(f"{' '.join(words)}: {done.stderr}")
        return json.loads(done.stdout)

    blanks = sorted(ROOT.glob("samples/*.blank.json")) + sorted(ROOT.glob("assets/starters/*.blank.json"))
    each = {name: [[str(blank)] for blank in blanks] for name in ("numbers", "check", "materials", "build")}
    each["bar"] = [[str(blank), "--copies", "2", "--drill"] for blank in blanks]
    each["papers"] = [[], ["a5", "roll:610mm"]]
    each["starters"] = [[]]
    checks = 0
    with tempfile.TemporaryDirectory() as folder:
        shop = ["--shop", f"{folder}/shop.json"]
        readings = ["--across", "176.1", "--up", "225.8", "--rising", "286.0", "--falling", "286.7"]
        each["trim"] = [["club", *shop, "--paper", "letter", *readings], ["club", *shop]]
        for command, runs in each.items():
            schema = said("schema", command)
            jsonschema.Draft202012Validator.check_schema(schema)
            validator = jsonschema.Draft202012Validator(schema)
            for words in runs:
                value = said(command, *words, "--json")
                for error in validator.iter_errors(value):
                    sys.exit(f"{command} {words}: {error.json_path}: {error.message}")
                wrong, was_spoilt = spoilt(value)
                if was_spoilt() and validator.is_valid(wrong):
                    sys.exit(f"{command} {words}: the schema takes text for a figure")
                checks += 1
    if checks < 90:
        sys.exit(f"only {checks} files were checked")
    print(f"{checks} files as their schemas say")


main()
