"""Makes key_signatures.tsv and diatonic_chords.tsv.    python3 keys.py OUTDIR"""
import sys

from music21 import key, pitch, scale

from table import agree, flats, plain, version, write

TRIADS = {(4, 7): '', (3, 7): 'm', (3, 6): 'dim', (4, 8): 'aug'}
SEVENTHS = {(4, 7, 11): 'maj7', (4, 7, 10): '7', (3, 7, 10): 'm7', (3, 6, 10): 'm7b5',
            (3, 6, 9): 'dim7', (3, 7, 11): 'm(maj7)', (4, 8, 11): 'maj7#5'}


def spelled(pitches):
    return [plain(found.name) for found in pitches][:7]


def raised(of, degree):
    return plain(pitch.Pitch(of.pitchFromDegree(degree).name).transpose('A1').name)


def forms(of):
    """The scales chords are built on: one for a major key, three for a minor one."""
    natural = spelled(of.getPitches())
    if of.mode == 'major':
        return [('major', natural)]
    harmonic = natural[:6] + [raised(of, 7)]
    melodic = natural[:5] + [raised(of, 6), raised(of, 7)]
    agree(spelled(scale.HarmonicMinorScale(of.tonic.name).getPitches()) == harmonic, f'harmonic minor on {of.tonic}')
    rising = scale.MelodicMinorScale(of.tonic.name).getPitches(direction=scale.Direction.ASCENDING)
    agree(spelled(rising) == melodic, f'melodic minor on {of.tonic}')
    return [('natural minor', natural), ('harmonic minor', harmonic), ('melodic minor ascending', melodic)]


def chords(notes):
    """The triad and the seventh on each degree: suffixes by the stacked thirds, notes in order."""
    classes = [pitch.Pitch(flats(note)).pitchClass for note in notes]
    for degree in range(7):
        places = [(degree + 2 * third) % 7 for third in range(4)]
        above = tuple((classes[place] - classes[degree]) % 12 for place in places[1:])
        tones = [notes[place] for place in places]
        yield (degree + 1, tones[0] + TRIADS[above[:2]], ' '.join(tones[:3]), tones[0] + SEVENTHS[above],
               ' '.join(tones))


def main(folder):
    signatures, diatonic = [], []
    for sharps in range(-7, 8):
        for mode in ('major', 'minor'):
            signature = key.KeySignature(sharps)
            of = signature.asKey(mode)
            altered = spelled(signature.alteredPitches)
            kind = 'sharps' if sharps > 0 else 'flats' if sharps < 0 else 'none'
            tonic, relative = plain(of.tonic.name), of.relative
            signatures.append((sharps, tonic, mode, len(altered), kind, ' '.join(altered),
                               ' '.join(spelled(of.getPitches())), f'{plain(relative.tonic.name)} {relative.mode}'))
            diatonic += [(sharps, tonic, form, *chord) for form, notes in forms(of) for chord in chords(notes)]
    source = f'''source: music21 {version('music21')} key.KeySignature.asKey, scale.HarmonicMinorScale, scale.MelodicMinorScale (BSD-3-Clause)
        generator: make/keys.py'''
    write(folder, 'key_signatures.tsv', f'''
        The thirty keys by place on the circle of fifths (positive = sharps, as MusicXML <fifths> and the MIDI key signature count).
        {source}''',
          ['fifths', 'tonic', 'mode', 'count', 'kind', 'altered_in_order', 'scale', 'relative'], signatures)
    write(folder, 'diatonic_chords.tsv', f'''
        Diatonic triads and sevenths of every key, spelled, for major and the three minor forms.
        {source}
        the chord names are made from the stacked thirds of the scale; make/tonal.cjs checks them against tonal, whose own name for degree 1 of
        the melodic minor is m6 where the stacked thirds give m(maj7)''',
          ['fifths', 'tonic', 'form', 'degree', 'triad', 'triad_notes', 'seventh', 'seventh_notes'], diatonic)


if __name__ == '__main__':
    main(sys.argv[1])
