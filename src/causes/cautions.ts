import type { Cause, Finding, RankedCause } from './finding';

/** What a step may be dangerous with; each has its ground in docs/safety.md. */
const CAUTION = {
  trap: 'no liquid-nitrogen trap while an air leak is not excluded: oxygen condenses at 77 K and can explode with oil or solvent',
  closed:
    'do not keep a vessel with boiling, subliming or trapped contents closed for long: its pressure can pass atmosphere; provide relief',
  warm: 'do not warm a closed wet vessel; let vapour go to the pump or a vent, and keep solvents away from heat and sparks',
  filament: 'switch hot filaments and high voltage off before gas, solvent or tracer is let in',
  inlet:
    'let gas in through a regulator and with a relief device open to a vent: over-pressure bursts glass and windows',
  local: 'local codes, site procedures and licensed practice come first; this finding certifies no equipment',
} as const;

/** What the steps that a verdict advises (`whatToDo`) need: gas let in, walls warmed, tracer sprayed. */
const OF_STEPS: Partial<Record<Cause, readonly CautionName[]>> = {
  'real leak': ['filament'],
  'virtual leak': ['filament', 'inlet'],
  outgassing: ['warm', 'filament', 'inlet'],
  sink: ['warm'],
};

/** Cautions that tests need, by name. */
export type CautionName = keyof typeof CAUTION;

/**
 * The sentence of a caution.
 * @param name which one
 * @returns the sentence, lower-case
 */
export function caution(name: CautionName): string {
  return CAUTION[name];
}

/**
 * The cautions that belong to a finding: those whose cause is not excluded (1 % for a leak, 3 % for a vapour), and those
 * that the steps of its verdict need.
 * @param mainCause the ranked causes
 * @param leakPresent probability that there is a real leak, 0 to 1
 * @param verdict of the finding
 * @returns sentences
 */
export function cautionsFor(
  mainCause: readonly RankedCause[],
  leakPresent: number,
  verdict: Finding['verdict'],
): string[] {
  const probability = (cause: Cause): number => mainCause.find((one) => one.cause === cause)?.probability ?? 0;
  const found = new Set<CautionName>();
  if (leakPresent > 0.01 || probability('real leak') > 0.01) found.add('trap');
  if (probability('evaporation') > 0.03) found.add('closed').add('warm');
  else if (probability('virtual leak') > 0.2) found.add('closed');
  for (const name of verdict === 'undetermined' ? [] : (OF_STEPS[verdict] ?? [])) found.add(name);
  found.add('local');
  return [...found].map(caution);
}
