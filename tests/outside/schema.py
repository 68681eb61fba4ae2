"""Hold the JSON that the program writes against its own JSON Schemas, by the `jsonschema` library.

Every sample and starter goes through `numbers`, `check` and `bar`; the schemas themselves must be
valid (JSON Schema 2020-12), and each must refuse a file in which a figure was turned into text.
"""

import argparse
import json
import pathlib
import subprocess
import sys

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

    checks = 0
    blanks = sorted(ROOT.glob("samples/*.blank.json")) + sorted(ROOT.glob("assets/starters/*.blank.json"))
    for command, more in [("numbers", []), ("check", []), ("bar", ["--copies", "2", "--drill"])]:
        schema = said("schema", command)
        jsonschema.Draft202012Validator.check_schema(schema)
        validator = jsonschema.Draft202012Validator(schema)
        for blank in blanks:
            value = said(command, str(blank), *more, "--json")
            for error in validator.iter_errors(value):
                sys.exit(f"{command} {blank.name}: {error.json_path}: {error.message}")
            wrong, was_spoilt = spoilt(value)
            if was_spoilt() and validator.is_valid(wrong):
                sys.exit(f"{command} {blank.name}: the schema takes text for a figure")
            checks += 1
    if checks < 30:
        sys.exit(f"only {checks} files were checked")
    print(f"{checks} files as their schemas say")


main()
