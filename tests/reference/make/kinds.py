"""Makes musicxml_kinds.tsv and mir_eval_qualities.tsv.    python3 kinds.py OUTDIR"""
import importlib.util
import pathlib
import re
import sys
import xml.etree.ElementTree as etree

import mir_eval.chord
from music21 import harmony

from table import agree, version, write

# The words of the schema: which degree they mean and how many semitones above the root it lies.
INTERVALS = {'major third': (3, 4), 'minor third': (3, 3), 'perfect fifth': (5, 7), 'augmented fifth': (5, 8),
             'diminished fifth': (5, 6), 'minor seventh': (7, 10), 'major seventh': (7, 11),
             'diminished seventh': (7, 9), 'added sixth': (6, 9), 'major ninth': (9, 14), 'perfect 11th': (11, 17),
             'major 13th': (13, 21), 'major second': (2, 2), 'perfect fourth': (4, 5)}
BASES = {'major triad': 'major', 'minor triad': 'minor', 'diminished triad': 'diminished',
         'augmented triad': 'augmented', 'dominant-seventh': 'dominant'}
MUSIC21_NAMES = {'dominant': 'dominant-seventh', 'major-minor': 'minor-major-seventh',
                 'half-diminished': 'half-diminished-seventh'}
UNDEFINED = {'pedal': 'the schema says only "pedal-point bass"', 'other': 'made of <degree> adds alone',
             'none': 'no chord: root means nothing'}


def schema_kinds():
    """Every kind of the schema, and kind -> {degree: semitones} for those whose content its wording defines."""
    package = pathlib.Path(importlib.util.find_spec('musicxml').origin).parent
    tree = etree.parse(package / 'generate_classes' / 'musicxml_4_0.xsd')
    xs = '{http://www.w3.org/2001/XMLSchema}'
    kind_value = tree.find(f'.//{xs}simpleType[@name="kind-value"]')
    wording = kind_value.find(f'.//{xs}documentation').text
    kinds = [entry.get('value') for entry in kind_value.iter(f'{xs}enumeration')]
    defined = {}
    for name, body in re.findall(r'^\s+([\w-]+) \(([^)]*)\)', wording, re.M):
        if name not in kinds or name == 'pedal':
            continue
        content = {1: 0}
        for part in body.split(', '):
            content.update([INTERVALS[part]] if part in INTERVALS else defined[BASES.get(part, part)])
        defined[name] = content
    return kinds, defined


def music21_semitones(degrees):
    """Semitones of music21's way to write a chord: '1,-3,5'; '-' is a flat."""
    found = set()
    for degree in degrees.split(','):
        octave, step = divmod(int(degree.strip('#-')) - 1, 7)
        found.add([0, 2, 4, 5, 7, 9, 11][step] + 12 * octave + degree.count('#') - degree.count('-'))
    return sorted(found)


def musicxml_kinds(folder):
    kinds, defined = schema_kinds()
    agree(len(kinds) == 33, f'{len(kinds)} kinds')
    rows = []
    for kind in kinds:
        degrees = harmony.CHORD_TYPES.get(MUSIC21_NAMES.get(kind, kind), [''])[0]
        if kind not in defined:
            note = UNDEFINED.get(kind, 'the schema gives no content; music21 has its own reading, not a standard')
            rows.append((kind, 'none', '', '', '', '', degrees, note))
            continue
        content = defined[kind]
        semitones = sorted(content.values())
        agree(music21_semitones(degrees) == semitones, f'kind {kind}: {degrees} and {semitones}')
        classes = sorted({semitone % 12 for semitone in semitones})
        rows.append((kind, 'schema', ' '.join(f'{degree}:{content[degree]}' for degree in sorted(content)),
                     ' '.join(map(str, semitones)), ' '.join(map(str, classes)),
                     ''.join('1' if place in classes else '0' for place in range(12)), degrees, 'music21 the same'))
    write(folder, 'musicxml_kinds.tsv', f'''
        The 33 values of the MusicXML 4.0 <kind> element with their content above the root.
        source: the wording of simpleType kind-value in the MusicXML 4.0 schema (the copy in the PyPI package musicxml {version('musicxml')}), parsed;
        what interval each of its words means stands by hand in the generator;
        checked against music21 {version('music21')} harmony.CHORD_TYPES (music21_degrees; '-' is a flat there); both agree for every kind the schema defines
        degrees are 'degree:semitones above the root'; semitones are not folded into the octave; the bitmap is, bit 0 = root first
        licence: W3C Community Final Specification Agreement (MusicXML 4.0); BSD-3-Clause (music21); generator: make/kinds.py''',
          ['kind', 'defined_by', 'degrees', 'semitones', 'pitch_classes', 'bitmap', 'music21_degrees', 'note'], rows)


def mir_eval_qualities(folder):
    rows = []
    for quality, bits in mir_eval.chord.QUALITIES.items():
        reduced, added, extended = '', '', ''
        if quality:
            base, extra = mir_eval.chord.reduce_extended_quality(quality)
            added = ' '.join(sorted(extra, key=lambda degree: int(degree.strip('b#'))))
            reduced = base if added else ''
            _, wide, _ = mir_eval.chord.encode('C:' + quality, reduce_extended_chords=True)
            extended = ''.join(str(int(bit)) for bit in wide)
        rows.append((quality or '(empty)', ''.join(map(str, bits)), reduced, added, extended))
    write(folder, 'mir_eval_qualities.tsv', f'''
        Chord shorthand -> 12-bit pitch-class map relative to the root, bit 0 (root) first.
        source: mir_eval {version('mir_eval')} chord.QUALITIES, chord.EXTENDED_QUALITY_REDUX, chord.encode (MIT); syntax of Harte et al. 2005 / Harte 2010
        bitmap: mir_eval's closed map (9ths, 11ths, 13ths left out); bitmap_extended: with reduce_extended_chords=True, the upper degrees folded in
        note: mir_eval's label pattern also accepts aug7 and maj11, but QUALITIES has no entry for them and encode() refuses them
        generator: make/kinds.py''',
          ['quality', 'bitmap', 'reduces_to', 'added_degrees', 'bitmap_extended'], rows)


if __name__ == '__main__':
    musicxml_kinds(sys.argv[1])
    mir_eval_qualities(sys.argv[1])
