import { stat } from 'node:fs/promises';
import { attachedKernel, currentRun } from '../kernel';
import { whereItLies } from './files-read';

/** So fine does the time go on, s. */
const STEP_S = 5;

/**
 * How long ago a log last grew, in steps of five seconds; the cell runs again as that time goes on, so that a log which
 * nobody writes any more is noticed. Headless, and where nothing follows, nobody watches.
 * @param path the log
 * @returns s; null where nobody watches, or there is no such file
 */
export async function sinceLastRow(path: string): Promise<number | null> {
  const run = currentRun();
  const kernel = attachedKernel()?.kernel;
  if (!run?.controls || !kernel) return null;
  const place = whereItLies(path);
  const said = await age(place);
  const look = async (): Promise<void> => {
    if ((await age(place)) !== said) void kernel.rerun(run.cell);
  };
  const timer = setInterval(look, 500);
  timer.unref();
  void run.onOvertaken.then(() => clearInterval(timer));
  return said;
}

async function age(place: string): Promise<number | null> {
  const found = await stat(place).catch(() => null);
  if (!found) return null;
  const s = Math.max(0, Date.now() - found.mtimeMs) / 1000;
  // Beyond some minutes the seconds do not matter, and the cell need not run so often.
  const step = s < 120 ? STEP_S : s < 7200 ? 60 : 3600;
  return Math.floor(s / step) * step;
}
