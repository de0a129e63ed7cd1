import { SERVICE_STEPS, type ServiceStep, type ServiceStepName } from './service-step';

/** Where a service call stands. */
export interface ServiceCall {
  /** All steps in their order; those not made are `not given`. */
  readonly steps: readonly ServiceStep[];
  /** Where it stands, in sentences, the most pressing first. */
  readonly stands: readonly string[];
  /**
   * What to do next: of the first step that is not as it should be (of the tracer where line or chamber is not, and it has
   * answered), else of the first that is open; null where nothing is.
   */
  readonly next: { readonly step: ServiceStepName; readonly todo: readonly string[] } | null;
  /** Steps that were not made. */
  readonly missing: readonly ServiceStepName[];
}

/**
 * Puts the steps of a service call together: gauge before pump, pump before line, line before chamber, tracer last, since
 * each later step leans on those before it.
 * @param made the steps that were made, in any order
 * @returns all steps in order, where the call stands, what is missing and what comes next
 */
export function serviceCall(made: readonly ServiceStep[]): ServiceCall {
  const steps = SERVICE_STEPS.map(
    (step): ServiceStep =>
      made.find((one) => one.step === step) ?? { step, state: 'not given', shows: ['no log was given'], todo: [] },
  );
  const named = (state: ServiceStep['state']): ServiceStepName[] =>
    steps.filter((one) => one.state === state).map(({ step }) => step);
  const [wrong, unclear, missing] = [named('not as it should be'), named('cannot tell'), named('not given')];
  const mended = steps.some(
    ({ step, state }) => step === 'pump blanked off, ballast shut again' && state === 'as it should be',
  );
  // A pump that the ballast has cleared is in order now: what it was before is no step to act on.
  const acted = wrong.filter((step) => !(mended && step === 'pump blanked off, ballast shut'));
  const searched = acted.includes('tracer') && ['line, section by section', 'chamber'].includes(acted[0]);
  const first = steps.find(({ step }) => step === (searched ? 'tracer' : (acted[0] ?? unclear[0] ?? missing[0])));
  const stands: string[] = [];
  if (acted.length > 0) stands.push(`not as it should be: ${acted.join('; ')}`);
  if (acted.length < wrong.length) stands.push('the pump was not in order before its ballast was opened, and is now');
  const gaugeOpen = [...wrong, ...unclear, ...missing].filter((step) => step.startsWith('gauge'));
  if (gaugeOpen.length > 0) {
    stands.push(`everything else leans on the gauge, which is not settled: ${gaugeOpen.join('; ')}`);
  }
  if (unclear.length > 0) stands.push(`cannot be told yet: ${unclear.join('; ')}`);
  if (missing.length > 0) stands.push(`not given: ${missing.join('; ')}`);
  if (stands.length === 0) stands.push('every step is as it should be');
  const next = first === undefined ? null : { step: first.step, todo: first.todo };
  return { steps, stands, next, missing };
}
