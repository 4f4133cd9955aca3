"""Checks the packages that `cargo metadata` names against the lists of a deny.toml: licences, sources, wildcards.

The expressions of licences are those of SPDX 2.3, annex D: AND binds closer than OR, `a/b` is an older way to write
`a OR b`. Packages that come in several versions are told, not refused.
"""

import collections
import json
import re
import sys
import tomllib


def allowed(expression, names):
    """Returns whether an SPDX expression can be met with licences from `names`."""
    tokens = re.findall(r"\(|\)|[^\s()]+", expression.replace("/", " OR "))

    def either():
        met = both()
        while tokens and tokens[0] == "OR":
            tokens.pop(0)
            met = both() or met
        return met

    def both():
        met = one()
        while tokens and tokens[0] == "AND":
            tokens.pop(0)
            met = one() and met
        return met

    def one():
        if not tokens:
            return False
        token = tokens.pop(0)
        if token == "(":
            met = either()
            return bool(tokens) and tokens.pop(0) == ")" and met
        if tokens and tokens[0] == "WITH":
            tokens.pop(0)
            token = f"{token} WITH {tokens.pop(0) if tokens else ''}"
        return token in names

    met = either()
    return met and not tokens


def main():
    with open(sys.argv[1], "rb") as file:
        rules = tomllib.load(file)
    names = set(rules["licenses"]["allow"])
    registries = {f"registry+{url}" for url in rules["sources"]["allow-registry"]}
    packages = json.load(sys.stdin)["packages"]
    wrong, versions = [], collections.defaultdict(set)
    for package in packages:
        name = f"{package['name']} {package['version']}"
        versions[package["name"]].add(package["version"])
        licence = package["license"]
        if licence is None or not allowed(licence, names):
            wrong.append(f"{name}: the licence {licence} is not on the list")
        # The program itself has no source.
        if package["source"] is None:
            for needed in package["dependencies"]:
                if needed["req"] == "*":
                    wrong.append(f"{name}: any version of {needed['name']} would do")
        elif package["source"] not in registries:
            wrong.append(f"{name}: it comes from {package['source']}")
    twice = sorted(name for name, known in versions.items() if len(known) > 1)
    print(f"{len(packages)} packages; in several versions: {', '.join(twice) or 'none'}")
    for line in wrong:
        print(line, file=sys.stderr)
    sys.exit(1 if wrong else 0)


main()
