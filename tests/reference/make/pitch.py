"""Makes midi_names.tsv and et_frequencies.tsv.    python3 pitch.py OUTDIR"""
import sys

import mir_eval
from music21 import pitch

from table import agree, version, write

FLAT = {1: 'Db', 3: 'Eb', 6: 'Gb', 8: 'Ab', 10: 'Bb'}


def sharp_name(number):
    """What music21 calls a MIDI number, sharps for the black keys."""
    found = pitch.Pitch(midi=number)
    if found.accidental is not None and found.accidental.alter < 0:
        found = found.getEnharmonic()
    agree(found.midi == number, f'MIDI note {number}')
    return f'{found.name}{found.octave}'


def midi_names(folder):
    rows = []
    for number in range(128):
        octave, pitch_class = number // 12 - 1, number % 12
        sharp = sharp_name(number)
        flat = f'{FLAT[pitch_class]}{octave}' if pitch_class in FLAT else sharp
        agree(sharp.endswith(str(octave)), f'octave of MIDI note {number}')
        rows.append((number, sharp, flat, pitch_class, octave))
    write(folder, 'midi_names.tsv', f'''
        MIDI note number <-> scientific pitch name (C4 = 60 = middle C, A4 = 69), 0..127.
        source: music21 {version('music21')} Pitch.midi (BSD-3-Clause); tonal Note.midi gives every name the same number (checked by make/tonal.cjs)
        generator: make/pitch.py''',
          ['midi', 'sharp_name', 'flat_name', 'pitch_class', 'octave'], rows)


def et_frequencies(folder):
    rows = []
    for number in range(128):
        hertz = 440.0 * 2 ** ((number - 69) / 12)
        agree(abs(float(mir_eval.util.midi_to_hz(number)) - hertz) < 1e-9 * hertz, f'mir_eval, MIDI note {number}')
        agree(abs(pitch.Pitch(midi=number).frequency - hertz) < 1e-6 * hertz, f'music21, MIDI note {number}')
        others = ['%.6f' % (hertz * reference / 440) for reference in (415, 432, 442)]
        rows.append((number, sharp_name(number), '%.6f' % hertz, '%.2f' % hertz, *others))
    write(folder, 'et_frequencies.tsv', f'''
        12-tone equal temperament, f = 440 Hz * 2^((n-69)/12) (A4 = 440 Hz, ISO 16:1975); other references scale it.
        source: the definition; mir_eval {version('mir_eval')} util.midi_to_hz (MIT) and music21 {version('music21')} Pitch.frequency (BSD-3-Clause) agree to 1e-6 relative (checked)
        generator: make/pitch.py''',
          ['midi', 'name', 'hz_a440', 'hz_a440_2dp', 'hz_a415', 'hz_a432', 'hz_a442'], rows)


if __name__ == '__main__':
    midi_names(sys.argv[1])
    et_frequencies(sys.argv[1])
