// Writes src/api/schema.ts from the server's own description: `npm run codegen`.

import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

import openapiTS, { astToString } from 'openapi-typescript';

const HERE = fileURLToPath(new URL('.', import.meta.url));
export const SCHEMA = join(HERE, 'src/api/schema.ts');

/** Names for shapes that the description only spells out. */
const NAMED = `
/** A point in plan, m. */
export type Xy = [number, number];
/** A point in a space, m. */
export type Xyz = [number, number, number];
export type Wall = SceneWall;
export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };
`;

/** The types of everything that the server takes and answers. */
export async function generated() {
  const description = JSON.parse(readFileSync(join(HERE, '../crates/server/openapi.json'), 'utf8'));
  const types = await openapiTS(merged(description), {
    // Points are tuples.
    arrayLength: true,
    // What has a default may be left out of a request.
    defaultNonNullable: false,
    rootTypes: true,
    rootTypesNoSchemaPrefix: true,
  });
  return `// Generated from crates/server/openapi.json by \`npm run codegen\`; never edited.\n\n${astToString(types)}${NAMED}`;
}

/**
 * A schema may hold a reference or alternatives with further members beside it (a variant's `kind`) and mean all
 * of them, which the generator takes only as `allOf`.
 */
function merged(value) {
  if (Array.isArray(value)) return value.map(merged);
  if (typeof value !== 'object' || value === null) return value;
  const { $ref, anyOf, oneOf, ...rest } = Object.fromEntries(
    Object.entries(value).map(([key, one]) => [key, merged(one)]),
  );
  const parts = [$ref && { $ref }, anyOf && { anyOf }, oneOf && { oneOf }].filter(Boolean);
  if (parts.length === 0) return rest;
  return 'properties' in rest ? { allOf: [...parts, rest] } : Object.assign(rest, ...parts);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  writeFileSync(SCHEMA, await generated());
}
