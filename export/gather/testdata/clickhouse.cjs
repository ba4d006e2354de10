// Runs statements and then questions on ClickHouse: {"set": [...], "ask": {name: text}} on
// standard input, {name: {columns: [...], rows: [[...]]}} on standard output.
const { Session } = require('chdb');

const { set, ask } = JSON.parse(require('fs').readFileSync(0, 'utf8'));
const db = new Session();
for (const s of set) db.query(s);
const out = {};
for (const [name, text] of Object.entries(ask)) {
  try {
    const begun = Date.now();
    const r = JSON.parse(db.query(text, 'JSONCompact'));
    out[name] = { columns: r.meta.map((m) => m.name), rows: r.data, ms: Date.now() - begun };
  } catch (e) {
    console.error(name + ': ' + e.message);
    process.exit(1);
  }
}
require('fs').writeSync(1, JSON.stringify(out));
process.exit(0);
