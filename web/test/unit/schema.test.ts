// @vitest-environment node
//
// The types of what the server takes and answers are those of its description as it stands.

import { readFileSync } from 'node:fs';

import { expect, it } from 'vitest';

import { generated, SCHEMA } from '../../codegen.mjs';

it('src/api/schema.ts is fresh', async () => {
  const fresh = (await generated()) === readFileSync(SCHEMA, 'utf8');
  expect(fresh, 'crates/server/openapi.json has changed: run `npm run codegen` in web/').toBe(true);
});
