// Reads and writes the tables of tests/reference: comment lines with '#', column names, tabs between columns.
const fs = require('fs');
const path = require('path');

/** The rows of a table, each as an object of its columns. */
function read(file) {
  const lines = fs.readFileSync(file, 'utf8').split('\n').filter((line) => line && !line.startsWith('#'));
  const columns = lines[0].split('\t');
  return lines.slice(1).map((line) => {
    const cells = line.split('\t');
    return Object.fromEntries(columns.map((column, place) => [column, cells[place] ?? '']));
  });
}

function write(folder, name, header, columns, rows) {
  const head = header.map((line) => (line === '' ? '#' : `# ${line}`));
  const body = [columns, ...rows].map((row) => row.join('\t'));
  fs.writeFileSync(path.join(folder, name), [...head, ...body].join('\n') + '\n');
}

module.exports = { read, write };
