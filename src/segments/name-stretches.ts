import { atAtmosphere, endOfAtmosphere, findHump, type Hump, pressureBefore, rises } from './hump';
import { firstInflow, nameInflow } from './inflow';
import { nameQuietRise } from './quiet-rise';
import type { SegmentKind } from './segment';
import { endOfShelf } from './shelf';
import { FEWEST_READINGS, type Incident, type NamedRecord, type Span } from './span';
import type { Stretch, WorkingRecord } from './stretches';

const PUMPED = 'the pressure falls or stands while the pump works on the chamber';

/** Walks along the stretches and says what happens in each. */
export function nameStretches(record: WorkingRecord, stretches: readonly Stretch[]): NamedRecord {
  const spans: Span[] = [];
  const incidents: Incident[] = [];
  const put = (kind: SegmentKind, from: number, to: number, grounds: string[]): void => {
    if (to < from) return;
    const last = spans[spans.length - 1];
    if (last !== undefined && last.kind === kind && (kind === 'pump-down' || kind === 'atmosphere')) last.to = to;
    else spans.push({ kind, from, to, grounds });
  };
  let k = 0;
  while (k < stretches.length) {
    const s = stretches[k];
    const stood = atAtmosphere(record, s) ? s.to : endOfAtmosphere(record, s);
    if (stood >= 0) {
      put('atmosphere', s.from, stood, [`the pressure stands at about ${record.show(s.startPa)}, one atmosphere`]);
      put('pump-down', stood + 1, s.to, [PUMPED]);
      k++;
    } else if (rises(record, stretches, k)) {
      const hump = findHump(record, stretches, k);
      const named = nameHump(record, stretches, hump);
      for (const span of named.spans) put(span.kind, span.from, span.to, span.grounds);
      incidents.push(...named.incidents);
      k = hump.next;
    } else {
      put('pump-down', s.from, s.to, [PUMPED]);
      k++;
    }
  }
  return { spans, incidents };
}

function nameHump(record: WorkingRecord, stretches: readonly Stretch[], hump: Hump): NamedRecord {
  const from = stretches[hump.first].from;
  const to = stretches[hump.next - 1].to;
  if (hump.decays === true) {
    return {
      spans: [{ kind: 'pump-down', from, to, grounds: ['gas that came in a burst is pumped away'] }],
      incidents: [{ kind: 'burst', at: from, fromPa: hump.basePa, toPa: hump.topPa }],
    };
  }
  const anew = endOfShelf(record, stretches, hump);
  const aboutShelf = anew > 0 ? nameAboutShelf(record, stretches, hump, anew) : undefined;
  if (aboutShelf !== undefined) return aboutShelf;
  const inflow = firstInflow(record, stretches, hump);
  if (inflow.at < 0) return nameQuietRise(record, stretches, beforeAir(record, stretches, hump), from, to);
  const inflowFrom = stretches[inflow.at].from;
  if (inflowFrom - from < FEWEST_READINGS) {
    if (inflow.byRateJump) return nameQuietRise(record, stretches, hump, from, to);
    return nameInflow(record, stretches, hump, hump.first);
  }
  const quiet = nameQuietRise(
    record,
    stretches,
    {
      ...hump,
      next: inflow.at,
      topPa: stretches[inflow.at - 1].endPa,
      open: false,
      cut: true,
    },
    from,
    inflowFrom - 1,
  );
  const rest = { ...hump, first: inflow.at, basePa: stretches[inflow.at - 1].endPa };
  if (!inflow.byRateJump) return joined(quiet, nameInflow(record, stretches, rest, inflow.at));
  // A rate that grows at once in a chamber that was only drifting is a valve that closes; in any other it is gas.
  const small = hump.first > 0 && rest.basePa < 1.6 * hump.basePa && hump.topPa > 5 * hump.basePa;
  if (small || quiet.spans.every((span) => span.kind === 'pump-down')) {
    const drift: Span = { kind: 'pump-down', from, to: inflowFrom - 1, grounds: ['the pressure drifts a little'] };
    return joined({ spans: [drift], incidents: quiet.incidents }, nameHump(record, stretches, rest));
  }
  return joined(quiet, nameInflow(record, stretches, rest, inflow.at));
}

/** Where air let in within a reading or two ends a rise, its top is the last reading before that, and no fall says how it ends. */
function beforeAir(record: WorkingRecord, stretches: readonly Stretch[], hump: Hump): Hump {
  const next = stretches[hump.next];
  if (hump.open || next === undefined || !atAtmosphere(record, next)) return hump;
  const last = stretches[hump.next - 1];
  return { ...hump, topPa: Math.max(last.startPa, last.endPa), cut: true };
}

/** A rise from a shelf by more than this ratio is the gas that held it, with the valve shut; vapour brings less. */
const FILLS = 30;
/** Nobody fills a chamber to less, Pa. */
const FILLS_TO_PA = 1000;

/** Names a rise in two parts: up to a shelf, where gas flows through, and anew from it. */
function nameAboutShelf(
  record: WorkingRecord,
  stretches: readonly Stretch[],
  hump: Hump,
  anew: number,
): NamedRecord | undefined {
  const shelfPa = stretches[anew - 1].endPa;
  const raised = shelfPa > RAISED * hump.basePa;
  const after = { ...hump, first: anew, basePa: pressureBefore(record, stretches, anew) };
  const fills = raised && after.topPa > Math.max(FILLS * after.basePa, FILLS_TO_PA);
  const risen = fills ? nameInflow(record, stretches, after, anew) : nameHump(record, stretches, after);
  // Gas let in after a slow rise may end an isolation.
  if (!raised && ['fill', 'venting'].includes(risen.spans[0]?.kind)) return undefined;
  const before = { ...hump, next: anew, topPa: Math.min(hump.topPa, shelfPa), open: false, cut: true };
  const held = nameHump(record, stretches, before);
  // A chamber cannot be shut twice: what holds the shelf is gas that flows through.
  for (const span of held.spans) {
    if (span.kind !== 'isolation') continue;
    span.kind = raised ? 'regulated' : 'pump-down';
    span.grounds = [
      raised
        ? 'gas flows through: the pressure comes up, stands, and rises anew when the valve closes'
        : 'the pressure drifts before the valve closes',
    ];
  }
  return joined(held, risen);
}

/** A shelf this much above what was before it is held by gas. */
const RAISED = 1.5;

const joined = (a: NamedRecord, b: NamedRecord): NamedRecord => ({
  spans: [...a.spans, ...b.spans],
  incidents: [...a.incidents, ...b.incidents],
});
