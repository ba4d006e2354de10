// Runs statements and then questions on DuckDB: {"set": [...], "ask": {name: text}} on
// standard input, {name: {columns: [...], rows: [[...]]}} on standard output.
const { DuckDBInstance } = require('@duckdb/node-api');

async function main() {
  const { set, ask } = JSON.parse(require('fs').readFileSync(0, 'utf8'));
  const db = await (await DuckDBInstance.create(':memory:')).connect();
  for (const s of set) await db.run(s);
  const out = {};
  for (const [name, text] of Object.entries(ask)) {
    try {
      const begun = Date.now();
      const r = await db.runAndReadAll(text);
      out[name] = { columns: r.columnNames(), rows: r.getRowsJson(), ms: Date.now() - begun };
    } catch (e) {
      throw new Error(name + ': ' + e.message);
    }
  }
  process.stdout.write(JSON.stringify(out));
}

main().catch((e) => { console.error(e.message); process.exit(1); });
