import { packCase } from '../../kernel-helpers/crate/pack-case';
import { writeTrial } from '../page/trial-notebook';

const cells = {
  text: '# A small case\n\nInvented.',
  tools: "import { input, readLogFile, show } from 'blankoff/notebook';",
  known: "const volume = input('12 L', { label: 'volume' });",
  read: "const log = await readLogFile('log.csv');",
  load: "show(['load', (volume.si * (log.channels[0].values[3] - log.channels[0].values[0])) / 30, 'Pa m3/s'].join(' '));",
  found: "show(['found a rise of', (log.channels[0].values[3] - log.channels[0].values[0]) / 30, 'Pa/s'].join(' '));",
};

/**
 * Packs a small investigation of an invented rise of 1 Pa/s in 12 L.
 * @param name of its folder in `out/page/`
 */
export function packTrial(name: string): Promise<Uint8Array> {
  const log = 'time s,pressure mbar\n0,0.10\n10,0.20\n20,0.30\n30,0.40\n';
  return packCase(writeTrial(name, cells, log), { who: 'an invented person', date: '2026-01-02' });
}
