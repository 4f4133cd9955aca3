"""Checks the pitch of every note from B0 to E6, for every sound, with librosa's pYIN.

pYIN chooses among pitches on a grid. First a coarse one over nearly three octaves finds the note (steps of half a
semitone): an octave too high or too low would show. Then a grid of steps of two cents over a tone. Both are laid so that
the right pitch is one of their steps: a note that lands on that step of the second is off by no more than half a step, one
cent.
"""

import subprocess
import sys

import librosa
import numpy
import soundfile

PROGRAM, FOLDER = sys.argv[1:3]
SECONDS = 0.7
# Instrument, place of the string among the arguments' columns, number of strings, open string, frets from and to.
STRETCHES = [
    ("5-string bass", 0, 5, 23, 0, 21),
    ("7-string guitar", 2, 7, 45, 0, 18),
    ("7-string guitar", 6, 7, 64, 0, 24),
]
SOUNDS = ["nylon", "steel", "clean", "overdriven", "bass", "ukulele"]


def shape(string, strings, fret):
    return "-".join(str(fret) if place == string else "x" for place in range(strings))


def render(name, shapes, *options):
    path = f"{FOLDER}/{name}"
    line = [PROGRAM, "sound", *shapes, "--stroke", "together", "--seconds", str(SECONDS), "-o", path, *options]
    subprocess.run(line, check=True, stderr=subprocess.DEVNULL)
    return path


def pyin(samples, rate, lowest, highest, resolution):
    found, voiced, _ = librosa.pyin(
        samples,
        fmin=lowest,
        fmax=highest,
        sr=rate,
        frame_length=8192,
        hop_length=4096,
        resolution=resolution,
        # A step from frame to frame must fit the narrow grid; these notes stand still.
        max_transition_rate=0.8,
    )
    return numpy.nanmedian(found[voiced]) if voiced.any() else float("nan")


def cents(found, meant):
    return 1200 * numpy.log2(found / meant)


def check(sound, rate, reference):
    worst, notes = 0.0, 0
    for instrument, string, strings, open_string, first, last in STRETCHES:
        frets = range(first, last + 1)
        options = ["--instrument", instrument, "--sound", sound, "--rate", str(rate), "--reference", str(reference)]
        path = render("notes.wav", [shape(string, strings, fret) for fret in frets], *options, "--bits", "24")
        samples, read_rate = soundfile.read(path, dtype="float32")
        assert read_rate == rate
        for place, fret in enumerate(frets):
            meant = reference * 2 ** ((open_string + fret - 69) / 12)
            start = int((place * SECONDS + 0.06) * rate)
            note = samples[start : start + int((SECONDS - 0.08) * rate)]
            wide = 2 ** (16 / 12)
            coarse = pyin(note, rate, meant / wide, meant * wide, 0.5)
            assert abs(cents(coarse, meant)) < 25, f"{sound} {open_string + fret}: {coarse} Hz for {meant}"
            half = 2 ** (1 / 12)
            fine = pyin(note, rate, meant / half, meant * half, 0.02)
            off = cents(fine, meant)
            assert abs(off) <= 1.0, f"{sound} {open_string + fret}: {off:+.2f} cents"
            worst, notes = max(worst, abs(off)), notes + 1
    print(f"{sound}, A4 = {reference} Hz, {rate} Hz: {notes} notes, each on its step of two cents")


def check_files():
    for bits in ("16", "24"):
        wav, flac = (render(f"chord.{ending}", ["x-3-2-0-1-0"], "--bits", bits) for ending in ("wav", "flac"))
        (one, rate), (other, other_rate) = (soundfile.read(path, dtype="int32") for path in (wav, flac))
        assert rate == other_rate and numpy.array_equal(one, other), f"{bits} bits: FLAC differs from WAV"
    print("FLAC holds what WAV does, as libsndfile reads them")


for name in SOUNDS:
    check(name, 44100, 440)
check("steel", 48000, 432)
check_files()
