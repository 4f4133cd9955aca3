// Makes chord_symbols_tonal.tsv, and checks the note names and the diatonic chords of the other tables against tonal.
//   node tonal.cjs OUTDIR          (after pitch.py, keys.py and symbols.py)
const path = require('path');
const { Chord, Key, Note } = require('tonal');
const { version } = require('tonal/package.json');
const { read, write } = require('./table.cjs');

const folder = process.argv[2];

function agree(condition, what) {
  if (!condition) throw new Error(`the sources disagree: ${what}`);
}

const sorted = (numbers) => [...new Set(numbers)].sort((a, b) => a - b);

function chordSymbols() {
  const suffixes = read(path.join(__dirname, 'suffixes.tsv'));
  const aliases = new Map(suffixes.map((row) => [row.suffix, row.tonal]));
  const slash = read(path.join(__dirname, 'slashes.tsv'))
    .flatMap(({ root, suffix, basses }) => basses.split(' ').map((bass) => [root, suffix, bass]));
  const roots = 'C C# Db D D# Eb E F F# Gb G G# Ab A A# Bb B'.split(' ');
  const symbols = suffixes.flatMap((row) => roots.map((root) => [root, row.suffix, ''])).concat(slash);
  const rows = symbols.map(([root, suffix, bass]) => {
    const over = bass ? `/${bass}` : '';
    const symbol = root + suffix + over;
    const alias = aliases.get(suffix);
    if (alias === '-') return [symbol, '', '', '', '', '', '', 'no alias in tonal'];
    const asked = root + alias + over;
    const chord = Chord.get(asked);
    if (chord.empty) return [symbol, asked, '', '', '', '', '', 'not parsed'];
    const classes = sorted(chord.notes.map((note) => Note.chroma(note)));
    const above = sorted(classes.map((tone) => (tone - Note.chroma(root) + 12) % 12));
    return [symbol, asked, chord.tonic, chord.bass || chord.tonic, chord.notes.join(' '), classes.join(' '),
      above.join(' '), 'ok'];
  });
  write(
    folder,
    'chord_symbols_tonal.tsv',
    [
      'The same chord symbols and the notes tonal gives them.',
      `source: tonal ${version} Chord.get (MIT). 'asked' is what it was given: its alias for the project's spelling; see make/suffixes.tsv`,
      'notes are in the order tonal returns them (bass first for a slash chord). Where the two libraries differ see chord_suffixes.tsv.',
      'generator: make/tonal.cjs',
    ],
    ['symbol', 'asked', 'root', 'bass', 'notes', 'pitch_classes', 'relative', 'status'],
    rows,
  );
  console.log(`chord_symbols_tonal.tsv: ${rows.length} rows, ${rows.filter((row) => row[7] === 'ok').length} parse`);
}

function checkNames() {
  const rows = read(path.join(folder, 'midi_names.tsv'));
  for (const { midi, sharp_name: sharp, flat_name: flat } of rows) {
    agree(Note.midi(sharp) === Number(midi) && Note.midi(flat) === Number(midi), `MIDI note ${midi}`);
  }
  console.log(`midi_names.tsv: tonal agrees on ${rows.length} rows`);
}

/** Every scale tonal knows for a tonic and a form of the table: its notes, triads and sevenths. */
function scaleOf(tonic, form) {
  if (form === 'major') return Key.majorKey(tonic);
  const minor = Key.minorKey(tonic);
  return { 'natural minor': minor.natural, 'harmonic minor': minor.harmonic }[form] ?? minor.melodic;
}

function checkDiatonicChords() {
  const ours = { '+maj7': 'maj7#5', mMaj7: 'm(maj7)', o7: 'dim7' };
  let checked = 0;
  for (const row of read(path.join(folder, 'diatonic_chords.tsv'))) {
    const place = Number(row.degree) - 1;
    const { scale, triads, chords } = scaleOf(row.tonic, row.form);
    const root = scale[place];
    const suffix = chords[place].slice(root.length);
    const where = `${row.form} on ${row.tonic}, degree ${row.degree}`;
    agree(row.triad_notes.startsWith(`${root} `) && triads[place] === row.triad, where);
    if (suffix === 'm6' && row.form.startsWith('melodic')) continue; // no stacked thirds: see the table's header
    agree(root + (ours[suffix] ?? suffix) === row.seventh, where);
    checked += 1;
  }
  console.log(`diatonic_chords.tsv: tonal agrees on ${checked} sevenths and all triads`);
}

chordSymbols();
checkNames();
checkDiatonicChords();
