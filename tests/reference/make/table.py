"""Reads and writes the tables of tests/reference: comment lines with '#', column names, tabs between columns."""
import importlib.metadata
import pathlib

HERE = pathlib.Path(__file__).parent


def version(package):
    return importlib.metadata.version(package)


def read(path):
    """The rows of a table, each as a dict of its columns."""
    with open(path, encoding='utf-8') as file:
        lines = [line.rstrip('\n').split('\t') for line in file if not line.startswith('#')]
    return [dict(zip(lines[0], row)) for row in lines[1:]]


def write(folder, name, header, columns, rows):
    lines = ['# ' + line.strip() for line in header.strip().split('\n')]
    lines += ['\t'.join(map(str, row)) for row in [columns, *rows]]
    (pathlib.Path(folder) / name).write_text('\n'.join(lines) + '\n', encoding='utf-8')
    print(f'{name}: {len(rows)} rows')


def agree(condition, what):
    """Two sources give one quantity: a difference stops the run."""
    if not condition:
        raise SystemExit(f'the sources disagree: {what}')


def plain(name):
    """music21 writes flats '-'; everyone else writes 'b'."""
    return name.replace('-', 'b')


def flats(name):
    return name.replace('b', '-')
