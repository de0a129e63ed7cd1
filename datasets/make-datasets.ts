/**
 * Writes the demo logs, their truth and `datapackage.json`. From the root of the project:
 *
 *   npx esbuild datasets/make-datasets.ts --bundle --platform=node --outfile=out/make-datasets.js
 *   node out/make-datasets.js
 *
 * The same seeds give the same bytes (on the same version of Node: the last digit of an exponential may differ between
 * engines).
 */

import { createHash } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { demoLogs, textOf, truthOf } from './scenario';

const folder = join(process.cwd(), 'datasets');

function resource(path: string, text: string): { path: string; bytes: number; hash: string } {
  writeFileSync(join(folder, path), text);
  const bytes = Buffer.from(text, 'utf8');
  return { path, bytes: bytes.length, hash: `sha256:${createHash('sha256').update(bytes).digest('hex')}` };
}

const demos = demoLogs();
const tables = demos.map((demo) => ({
  profile: 'tabular-data-resource',
  name: demo.path.replace('.csv', ''),
  title: demo.title,
  description: demo.description,
  ...resource(demo.path, textOf(demo)),
  format: 'csv',
  mediatype: 'text/csv',
  encoding: 'utf-8',
  dialect: { delimiter: demo.dialect.separator ?? ',', commentChar: '#', header: true },
  schema: {
    fields: demo.fields.map((field) => ({
      ...field,
      name: field.unit === '' ? field.name : `${field.name} [${field.unit}]`,
      ...(demo.dialect.decimalMark === ',' && field.type === 'number' ? { decimalChar: ',' } : {}),
    })),
    missingValues: ['', 'OVER', 'UNDER', 'HI', 'LO'],
  },
}));
const truth = resource('truth.json', `${JSON.stringify(truthOf(demos), null, 1)}\n`);
const datapackage = {
  profile: 'data-package',
  name: 'blankoff-demo-logs',
  title: 'Pressure logs of an invented school workshop',
  description:
    'Invented data: simulated from seeds by datasets/make-datasets.ts. No real plant, person or product. For trying and ' +
    'teaching only.',
  licenses: [{ name: 'MIT', title: 'MIT License' }],
  resources: [
    ...tables,
    {
      profile: 'data-resource',
      name: 'truth',
      title: 'What truly happened in the invented logs',
      description: 'Segments with what each cause brought, Pa m3, and the loads at their ends, Pa m3/s.',
      ...truth,
      format: 'json',
      mediatype: 'application/json',
      encoding: 'utf-8',
    },
  ],
};
writeFileSync(join(folder, 'datapackage.json'), `${JSON.stringify(datapackage, null, 2)}\n`);
for (const { path, bytes } of tables) console.log(`${path}: ${bytes} bytes`);
