// Checks manifests against the schema of a Job of batch/v1, as the OpenAPI description of
// Kubernetes gives it (kubernetes-models is generated of that):
//
//   node manifest.mjs JOB.yaml…
//
// and tells on standard output, as JSON, what is wrong with each: "" for nothing. Keys that
// the schema does not have it lets pass.
import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { Job } from 'kubernetes-models/batch/v1';

const results = {};
for (const file of process.argv.slice(2)) {
  try {
    new Job(parse(readFileSync(file, 'utf8'), { schema: 'core', uniqueKeys: true, merge: false })).validate();
    results[file] = '';
  } catch (e) {
    results[file] = String(e.message);
  }
}
process.stdout.write(JSON.stringify(results));
