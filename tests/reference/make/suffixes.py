"""Makes chord_suffixes.tsv: the sources beside one another.    python3 suffixes.py OUTDIR

After symbols.py and tonal.cjs, whose tables it reads."""
import pathlib
import sys
from collections import Counter

import mir_eval.chord

from kinds import schema_kinds
from symbols import ROOTS, SUFFIXES
from table import agree, read, write

# What a degree that is added means: relative to a dominant chord, says the schema.
DOMINANT = {1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 10, 9: 14, 11: 17, 13: 21}


def by_schema(content, degrees):
    content = dict(content)
    for part in filter(None, degrees.split(';')):
        what, value, alter = part.split()
        value, alter = int(value), int(alter)
        if what == 'add':
            content[value] = DOMINANT[value] + alter
        elif what == 'alter':
            content[value] += alter
        else:
            del content[value]
    return frozenset(semitones % 12 for semitones in content.values())


def by_mir_eval(label):
    _, bits, _ = mir_eval.chord.encode('C:' + label, reduce_extended_chords=True)
    return frozenset(place for place in range(12) if bits[place] > 0)


def by_library(table, suffix):
    """What a library says, which must be the same on every root; None where it has no way to say it."""
    said = {table[root + suffix]['relative'] for root in ROOTS if table[root + suffix]['status'] == 'ok'}
    agree(len(said) <= 1, f'{suffix} on different roots')
    return frozenset(map(int, said.pop().split())) if said else None


def spelled_alike(suffix, tables):
    for root in ROOTS:
        one, other = (table[root + suffix] for table in tables)
        same = one['status'] == other['status'] == 'ok' and one['relative'] == other['relative']
        if same and set(one['notes'].split()) != set(other['notes'].split()):
            return False
    return True


def verdict(said):
    counts = Counter(said.values())
    if len(counts) == 1:
        return f'all agree ({len(said)})'
    most, count = counts.most_common(1)[0]
    return f"{count} of {len(said)} agree: {'+'.join(sorted(name for name in said if said[name] == most))}"


def show(tones):
    return '' if tones is None else ' '.join(map(str, sorted(tones)))


def check_slashes(music21, tonal):
    """Slash chords hold the same pitch classes over the same bass."""
    for symbol, one in music21.items():
        name, slash, bass = symbol.rpartition('/')
        if slash and bass[0] in 'ABCDEFG' and name:
            other = tonal[symbol]
            agree((one['bass'], one['pitch_classes']) == (other['bass'], other['pitch_classes']), symbol)
            agree(one['bass'] == bass, symbol)


def main(folder):
    music21, tonal = ({row['symbol']: row for row in read(pathlib.Path(folder) / f'chord_symbols_{name}.tsv')}
                      for name in ('music21', 'tonal'))
    check_slashes(music21, tonal)
    _, kinds = schema_kinds()
    rows = []
    for row in SUFFIXES:
        suffix = row['suffix']
        columns = {'music21': by_library(music21, suffix), 'tonal': by_library(tonal, suffix),
                   'schema': by_schema(kinds[row['kind']], row['degrees']), 'mir_eval': by_mir_eval(row['mir_eval'])}
        said = {name: tones for name, tones in columns.items() if tones is not None}
        rows.append((suffix or '(major)', row['kind'], row['degrees'], row['mir_eval'], *map(show, columns.values()),
                     verdict(said), 'same' if spelled_alike(suffix, (music21, tonal)) else 'differs', row['note']))
    write(folder, 'chord_suffixes.tsv', '''
        What each chord suffix holds by four sources, in semitones above the root folded into an octave.
        music21, tonal: from the two symbol files, the same on all 17 roots (checked); schema: MusicXML 4.0 kind + degree by the schema's rule;
        mir_eval: chord.encode of the label with reduce_extended_chords=True. Empty = that source has no way to say it.
        A test should expect the 'all agree' rows as they stand; for the others the project chooses, says so, and cites the column it follows.
        spelling: whether music21 and tonal spell every root's notes alike (only where their content is the same)
        generator: make/suffixes.py from make/suffixes.tsv, whose notes are by hand; versions of the sources in the headers of the other tables''',
          ['suffix', 'musicxml_kind', 'musicxml_degrees', 'mir_eval_label', 'music21', 'tonal', 'schema',
           'mir_eval', 'verdict', 'spelling', 'note'], rows)


if __name__ == '__main__':
    main(sys.argv[1])
