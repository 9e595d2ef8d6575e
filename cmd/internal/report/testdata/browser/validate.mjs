// Validates plans against a JSON Schema with ajv, an outside validator, and
// reads them with an outside YAML reader (YAML 1.2, core schema):
//
//   node validate.mjs SCHEMA.json PLAN.yaml…
//
// and tells on standard output, as JSON, for each plan: "valid", "invalid" or
// "unreadable" (no YAML), with the reasons.
import { readFileSync } from 'node:fs';
import Ajv2020 from 'ajv/dist/2020.js';
import { parse } from 'yaml';

const [schemaFile, ...plans] = process.argv.slice(2);
// strictRequired wants every required key beside its properties, which is more
// than the draft asks.
const ajv = new Ajv2020.default({ strict: true, strictRequired: false, allowUnionTypes: true, allErrors: true });
const schema = JSON.parse(readFileSync(schemaFile, 'utf8'));
if (!ajv.validateSchema(schema)) throw new Error('no JSON Schema: ' + ajv.errorsText());
const valid = ajv.compile(schema);

const results = {};
for (const file of plans) {
  let plan;
  try {
    plan = parse(readFileSync(file, 'utf8'), { schema: 'core', uniqueKeys: true, merge: false });
  } catch (e) {
    results[file] = { verdict: 'unreadable', reasons: [String(e.message).split('\n')[0]] };
    continue;
  }
  const ok = valid(plan);
  results[file] = { verdict: ok ? 'valid' : 'invalid', reasons: ok ? [] : valid.errors.map((e) => `${e.instancePath} ${e.message}`) };
}
process.stdout.write(JSON.stringify(results));
