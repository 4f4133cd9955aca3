// Makes acting_characters.tsv: the characters that Unicode says act on the text around them or show nothing.
//   node acting.cjs OUTDIR
const { write } = require('./table.cjs');

const properties = [
  ['Cc', /^\p{General_Category=Control}$/u],
  ['Zl', /^\p{General_Category=Line_Separator}$/u],
  ['Zp', /^\p{General_Category=Paragraph_Separator}$/u],
  ['Bidi_Control', /^\p{Bidi_Control}$/u],
  ['Variation_Selector', /^\p{Variation_Selector}$/u],
  ['Default_Ignorable_Code_Point', /^\p{Default_Ignorable_Code_Point}$/u],
];

const hex = (point) => point.toString(16).toUpperCase().padStart(4, '0');
const rows = [];
for (let point = 0; point <= 0x10ffff; point += 1) {
  if (point >= 0xd800 && point <= 0xdfff) continue;
  const character = String.fromCodePoint(point);
  const found = properties.find(([, property]) => property.test(character));
  const last = rows[rows.length - 1];
  if (!found) continue;
  if (last && last[2] === found[0] && last[1] === point - 1) last[1] = point;
  else rows.push([point, point, found[0]]);
}

write(
  process.argv[2],
  'acting_characters.tsv',
  [
    'Characters that act on the text around them or show nothing, as ranges of code points with both ends.',
    'property: the first of these that a character has: the general categories Cc, Zl and Zp (UnicodeData.txt), Bidi_Control and',
    'Variation_Selector (PropList.txt), Default_Ignorable_Code_Point (DerivedCoreProperties.txt).',
    'source: the Unicode Character Database, through the property escapes of the regular expressions of Node 22',
    'licence: facts of the Unicode Standard; generator: make/acting.cjs',
  ],
  ['first', 'last', 'property'],
  rows.map(([first, last, property]) => [hex(first), hex(last), property]),
);
