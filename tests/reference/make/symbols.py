"""Makes chord_symbols_music21.tsv.    python3 symbols.py OUTDIR"""
import sys

from music21 import harmony, pitch

from table import HERE, flats, plain, read, version, write

ROOTS = 'C C# Db D D# Eb E F F# Gb G G# Ab A A# Bb B'.split()
SUFFIXES = read(HERE / 'suffixes.tsv')


def symbols():
    """(root, row of suffixes.tsv, bass or ''), in the order of the symbol tables."""
    for row in SUFFIXES:
        for root in ROOTS:
            yield root, row, ''
    by_suffix = {row['suffix']: row for row in SUFFIXES}
    for slash in read(HERE / 'slashes.tsv'):
        for bass in slash['basses'].split():
            yield slash['root'], by_suffix[slash['suffix']], bass


def row_of(root, suffix, bass):
    slash = '/' + bass if bass else ''
    symbol, figure = root + suffix['suffix'] + slash, flats(root) + suffix['music21'] + flats(slash)
    try:
        chord = harmony.ChordSymbol(figure)
    except Exception as error:                                  # recorded, not hidden
        return (symbol, figure, '', '', '', '', '', '', 'error: %s' % str(error).split(';')[0])
    names = [plain(tone.name) for tone in sorted(chord.pitches, key=lambda tone: tone.ps)]
    classes = sorted({tone.pitchClass for tone in chord.pitches})
    above = sorted((tone - pitch.Pitch(flats(root)).pitchClass) % 12 for tone in classes)
    return (symbol, figure, plain(chord.root().name), plain(chord.bass().name), ' '.join(dict.fromkeys(names)),
            ' '.join(map(str, classes)), ' '.join(map(str, above)), chord.chordKind or '-', 'ok')


if __name__ == '__main__':
    write(sys.argv[1], 'chord_symbols_music21.tsv', f'''
        Chord symbols and the pitch names music21 gives them, lowest first, each name once.
        source: music21 {version('music21')} harmony.ChordSymbol (BSD-3-Clause). 'figure' is what it was given: it writes flats '-' and has its own spellings
        for some suffixes, so 'symbol' (the project's spelling) and 'figure' may differ; see make/suffixes.tsv
        relative: semitones above the root, folded. Where the two libraries differ see chord_suffixes.tsv before using a row as an expectation.
        generator: make/symbols.py''',
          ['symbol', 'figure', 'root', 'bass', 'notes', 'pitch_classes', 'relative', 'music21_kind', 'status'],
          [row_of(*symbol) for symbol in symbols()])
