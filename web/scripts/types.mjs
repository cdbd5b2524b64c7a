// SPDX-License-Identifier: Apache-2.0
// Makes src/api/schema.d.ts from schema/openapi.json. TypeScript cannot say "one of these keys must
// be there", and an anyOf that says only that would turn its whole type into `unknown`: it is left
// out here; the program checks it.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import openapiTS, { astToString } from 'openapi-typescript';

const web = dirname(dirname(fileURLToPath(import.meta.url)));
const from = join(web, '..', 'schema');
const work = join(web, 'node_modules', '.cache', 'schema');

function plain(node) {
  if (Array.isArray(node)) return node.map(plain);
  if (typeof node !== 'object' || node === null) return node;
  const onlyRequired = (part) => Object.keys(part).join() === 'required';
  return Object.fromEntries(
    Object.entries(node)
      .filter(
        ([key, value]) => !(key === 'anyOf' && Array.isArray(value) && value.every(onlyRequired)),
      )
      .map(([key, value]) => [key, plain(value)]),
  );
}

mkdirSync(work, { recursive: true });
for (const name of ['openapi.json', 'face.schema.json']) {
  const schema = JSON.parse(readFileSync(join(from, name), 'utf8'));
  writeFileSync(join(work, name), JSON.stringify(plain(schema)));
}
const nodes = await openapiTS(pathToFileURL(join(work, 'openapi.json')), { silent: true });
const head = '// Made by scripts/types.mjs from schema/openapi.json. Not kept in the tree.\n';
writeFileSync(join(web, 'src', 'api', 'schema.d.ts'), head + astToString(nodes));
