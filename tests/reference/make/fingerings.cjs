// Makes fingerings_guitar.tsv and fingerings_ukulele.tsv from an open dataset of chord fingerings.
//   node fingerings.cjs OUTDIR          (regenerate.sh installs what it reads)
const { Note } = require('tonal');
const { version } = require('@tombatossals/chords-db/package.json');
const { write } = require('./table.cjs');

const folder = process.argv[2];

/** A fret of the dataset counts from its base fret; muted is -1 and open 0 wherever the base is. */
function absolute(fret, base) {
  return fret > 0 ? fret + base - 1 : fret;
}

/** What is odd in a row; the row is kept as published. */
function oddities(frets, fingers, barres) {
  const found = [];
  if (frets.some((fret, place) => fret > 0 && fingers[place] === 0)) found.push('a fretted string without a finger');
  if (frets.some((fret, place) => fret <= 0 && fingers[place] !== 0)) found.push('a finger on an open or muted string');
  if (barres.some((barre) => frets.filter((fret) => fret === barre).length < 2)) {
    found.push('a barre at a fret where fewer than two strings are stopped');
  }
  return found;
}

function convert(instrument) {
  const data = require(`@tombatossals/chords-db/lib/${instrument}.json`);
  const tuning = data.tunings.standard;
  const rows = [];
  const odd = new Map();
  const seen = new Set();
  let disagreeing = 0;
  let repeated = 0;
  for (const { key, suffix, positions } of Object.values(data.chords).flat()) {
    for (const position of positions) {
      const frets = position.frets.map((fret) => absolute(fret, position.baseFret));
      const barres = position.barres.map((fret) => absolute(fret, position.baseFret));
      const sounding = frets.flatMap((fret, place) => (fret < 0 ? [] : [Note.midi(tuning[place]) + fret]));
      if (sounding.join(' ') !== position.midi.join(' ')) {
        disagreeing += 1;
        console.log(`${instrument} ${key} ${suffix} ${frets}: sounds ${sounding}, its own midi column says ${position.midi}`);
      }
      for (const oddity of oddities(frets, position.fingers, barres)) odd.set(oddity, (odd.get(oddity) ?? 0) + 1);
      const written = frets.map((fret) => (fret < 0 ? 'x' : fret)).join(' ');
      if (seen.has(`${key} ${suffix} ${written}`)) repeated += 1;
      seen.add(`${key} ${suffix} ${written}`);
      rows.push([key, suffix, written, position.fingers.join(' '), barres.join(' ')]);
    }
  }
  write(
    folder,
    `fingerings_${instrument}.tsv`,
    [
      `Fingerings of chords on the ${instrument}, as an open dataset publishes them.`,
      `source: npm package @tombatossals/chords-db ${version}, lib/${instrument}.json (MIT, Copyright (c) 2016 David Rubert; licence in LICENCES.md)`,
      `tuning: ${tuning.join(' ')}, highest string number first, as the frets are written`,
      "frets: from the nut, 'x' muted (the dataset counts from a base fret: fret + base - 1); fingers: 1-4, 0 where none;",
      'barres: the frets held by a barre, empty where none. key and suffix are the dataset\'s own names.',
      `${rows.length} rows in its order; the pitches of ${disagreeing} of them differ from its own midi column`,
      `kept as published: ${[...odd].map(([what, count]) => `${count} with ${what}`).concat(`${repeated} shapes printed twice for a chord`).join('; ')}`,
      'generator: make/fingerings.cjs',
    ],
    ['key', 'suffix', 'frets', 'fingers', 'barres'],
    rows,
  );
  console.log(`fingerings_${instrument}: ${rows.length} rows, ${disagreeing} against their midi column`);
}

convert('guitar');
convert('ukulele');
