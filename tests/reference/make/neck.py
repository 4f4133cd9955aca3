"""Makes fret_positions_648.tsv, harmonics.tsv and tunings.tsv.    python3 neck.py OUTDIR"""
import math
import sys

from music21 import instrument, pitch, tablature

from pitch import sharp_name
from table import HERE, agree, flats, read, version, write

SCALE = 648.0


def fret_positions(folder):
    divisor = 1 / (1 - 2 ** (-1 / 12))
    rows, left18 = [], SCALE
    for fret in range(25):
        place = SCALE * (1 - 2 ** (-fret / 12))
        before = SCALE * (1 - 2 ** (-(fret - 1) / 12))
        by_divisor = SCALE - SCALE * (1 - 1 / divisor) ** fret
        agree(abs(by_divisor - place) < 1e-9, f'fret {fret}')
        place18 = SCALE - left18
        rows.append((fret, '%.2f' % place, '%.2f' % (SCALE - place), '%.2f' % (place - before) if fret else '',
                     '%.6f' % place, '%.2f' % place18, '%.2f' % (place18 - place),
                     '%.2f' % (1200 * math.log2(SCALE / left18) - 100 * fret)))
        left18 *= 17 / 18
    write(folder, 'fret_positions_648.tsv', '''
        Fret distances for a 648 mm (25.5 in nominal) scale, mm. d_n = L * (1 - 2^(-n/12)).
        source: the equal-temperament definition; the 17.817154 divisor 1/(1 - 2^(-1/12)) gives the same places to 1e-9 mm (checked)
        rule18_* : the old 'rule of 18' (each fret at 1/18 of the remaining length): place, mm from the true place (negative = nearer the nut), cents from the true pitch
        licence: arithmetic, no copyright; generator: make/neck.py''',
          ['fret', 'from_nut_mm', 'to_bridge_mm', 'from_previous_mm', 'from_nut_mm_6dp',
           'rule18_mm', 'rule18_error_mm', 'rule18_error_cents'], rows)


def harmonics(folder):
    rows = []
    for partial in range(2, 13):
        cents = 1200 * math.log2(partial)
        nearest = round(cents / 100)
        sounding = pitch.Pitch('E2').getHarmonic(partial)
        agree(abs((sounding.ps - 40) * 100 - cents) < 1.01, f'partial {partial}')   # music21 rounds to whole cents
        for node in range(1, partial):
            fret = -12 * math.log2(1 - node / partial)
            common = math.gcd(node, partial)
            rows.append((partial, node, f'{node // common}/{partial // common}', partial // common,
                         'yes' if common == 1 else 'no', '%.6f' % (node / partial), '%.4f' % fret, round(fret),
                         '%+.4f' % (fret - round(fret)), '%.2f' % (SCALE * node / partial), '%.4f' % (cents / 100),
                         nearest, '%+.2f' % (cents - 100 * nearest), sharp_name(40 + nearest)))
    write(folder, 'harmonics.tsv', f'''
        Natural harmonics: touching an open string at m/k of its length (from the nut) sounds partial k/gcd(m,k).
        fret = -12*log2(1 - m/k); sounding interval above the open string = 12*log2(k) semitones.
        a row with own_node = no is a node of a lower partial too and sounds 'sounds_partial', not k (use the own_node = yes rows as tests)
        source: string division arithmetic; the sounding intervals checked against music21 {version('music21')} Pitch.getHarmonic to its rounding (1 cent)
        mm_from_nut_648 is for a 648 mm scale; nearest_name is for an open E2 string and describes partial k
        licence: arithmetic; generator: make/neck.py''',
          ['k', 'm', 'node', 'sounds_partial', 'own_node', 'fraction_from_nut', 'fret', 'nearest_fret',
           'fret_offset', 'mm_from_nut_648', 'k_semitones', 'k_nearest_semitone', 'k_cents_from_et',
           'nearest_name_on_E2'], rows)


def tunings(folder):
    rows = [(row['id'], row['name'], row['instrument'], len(row['notes'].split()), row['notes'],
             ' '.join(str(pitch.Pitch(flats(note)).midi) for note in row['notes'].split()), row['note'])
            for row in read(HERE / 'tunings.tsv')]
    notes = {row[0]: row[4] for row in rows}

    def stated(strings):
        return ' '.join(string.nameWithOctave for string in strings)
    for ident, strings in [('guitar-standard', instrument.AcousticGuitar().stringPitches),
                           ('guitar-standard', instrument.ElectricGuitar().stringPitches),
                           ('guitar-standard', tablature.GuitarFretBoard().tuning),
                           ('bass-4-standard', instrument.ElectricBass().stringPitches),
                           ('mandolin', instrument.Mandolin().stringPitches),
                           ('ukulele-reentrant', instrument.Ukulele().stringPitches)]:
        agree(stated(strings) == notes[ident], f'tuning {ident}')
    write(folder, 'tunings.tsv', f'''
        Usual tunings, strings from the highest string number down to string 1 (so the last is string 1, the top line of text tab).
        source: common practice of the trade, written from memory (make/tunings.tsv); MIDI numbers by music21 {version('music21')}. Independently stated by music21's
        instrument classes and so checked: guitar-standard, bass-4-standard, mandolin, ukulele-reentrant
        generator: make/neck.py''',
          ['id', 'name', 'instrument', 'strings', 'notes', 'midi', 'note'], rows)


if __name__ == '__main__':
    fret_positions(sys.argv[1])
    harmonics(sys.argv[1])
    tunings(sys.argv[1])
