import type { Result } from 'vega-embed';
import { sameContent } from '../../../src/numerics/remembering';

/** What the page reads of a chart's specification. */
export interface Spec {
  readonly title?: { readonly text: string; readonly subtitle?: readonly string[] };
  readonly usermeta?: { readonly text?: string; readonly brush?: Brush };
  readonly params?: readonly object[];
}

/** Where a chart says that dragging over it sets an input. */
export interface Brush {
  readonly input: string;
  readonly seconds: number;
  readonly startS?: number;
}

/** A chart's specification parted into how it is drawn, which takes long to work out, and what can be put in later. */
export interface LiveChart {
  /** The specification with names where words, rows and ends of scales stand. */
  readonly drawn: object;
  /** Words and ends of scales by name. */
  readonly signals: ReadonlyMap<string, unknown>;
  /** Rows by name. */
  readonly rows: ReadonlyMap<string, readonly object[]>;
}

/**
 * Parts a specification, so that a chart that only has other numbers need not be made anew.
 * @param spec of Vega-Lite, with its rows in it
 */
export function liveChart(spec: Spec): LiveChart {
  const signals = new Map<string, unknown>();
  const rows = new Map<string, readonly object[]>();
  const drawn = named(spec, signals, rows) as Record<string, unknown>;
  // What the chart says in words is told by the page.
  drawn.usermeta = spec.usermeta?.brush ? { brush: spec.usermeta.brush } : undefined;
  if (spec.title) {
    const { text, subtitle } = spec.title;
    const title: Record<string, unknown> = { ...spec.title, text: { expr: nameFor(signals, 'Heading', text) } };
    // Vega-Lite lays out a title by its number of lines.
    if (subtitle) title.subtitle = { expr: nameFor(signals, `Below${subtitle.length}Lines`, subtitle) };
    drawn.title = title;
  }
  return { drawn, signals, rows };
}

/**
 * Whether a chart can show another one's numbers without being made anew.
 * @param one chart
 * @param other chart
 */
export function drawnAlike(one: LiveChart, other: LiveChart): boolean {
  return sameContent(one.drawn, other.drawn);
}

/**
 * The specification as Vega-Lite takes it.
 * @param chart the parted one
 */
export function specOf({ drawn, signals, rows }: LiveChart): object {
  const { params = [] } = drawn as Spec;
  const all = [...params, ...[...signals].map(([name, value]) => ({ name, value }))];
  return withRows({ ...drawn, params: all }, rows);
}

/**
 * Puts other numbers and words into a drawn chart.
 * @param view of the chart
 * @param before what it shows
 * @param now what it shall show; drawn alike
 */
export async function update(view: Result['view'], before: LiveChart, now: LiveChart): Promise<void> {
  for (const [name, value] of now.signals) {
    if (!sameContent(before.signals.get(name), value)) view.signal(name, value);
  }
  for (const [name, rows] of now.rows) {
    if (!sameContent(before.rows.get(name), rows)) view.data(name, [...rows]);
  }
  await view.runAsync();
}

/** A copy in which rows and ends of scales have given way to names; like content has one name. */
function named(part: unknown, signals: Map<string, unknown>, rows: Map<string, readonly object[]>): unknown {
  if (Array.isArray(part)) return part.map((one) => named(one, signals, rows));
  if (typeof part !== 'object' || part === null) return part;
  return Object.fromEntries(
    Object.entries(part).map(([key, value]) => {
      if (key === 'data' && hasRows(value)) return [key, { name: nameFor(rows, 'Rows', value.values) }];
      if (key === 'scale' && hasEnds(value)) {
        const domain = value.domain.map((end) => ({ expr: nameFor(signals, 'End', end) }));
        return [key, { ...value, domain }];
      }
      return [key, named(value, signals, rows)];
    }),
  );
}

function nameFor<T>(names: Map<string, T>, kind: string, value: T): string {
  const prefix = `blankoff${kind}`;
  for (const [name, known] of names) if (name.startsWith(prefix) && sameContent(known, value)) return name;
  const name = `${prefix}${names.size}`;
  names.set(name, value);
  return name;
}

function withRows(part: unknown, rows: ReadonlyMap<string, readonly object[]>): object {
  const fill = (one: unknown): unknown => {
    if (Array.isArray(one)) return one.map(fill);
    if (typeof one !== 'object' || one === null) return one;
    return Object.fromEntries(
      Object.entries(one).map(([key, value]) => {
        const name = key === 'data' ? (value as { readonly name?: string } | null)?.name : undefined;
        const values = name === undefined ? undefined : rows.get(name);
        return [key, values ? { name, values } : fill(value)];
      }),
    );
  };
  return fill(part) as object;
}

function hasRows(value: unknown): value is { readonly values: readonly object[] } {
  if (typeof value !== 'object' || value === null) return false;
  return Object.keys(value).length === 1 && Array.isArray((value as { readonly values?: unknown }).values);
}

function hasEnds(value: unknown): value is { readonly domain: readonly number[] } {
  const domain = typeof value === 'object' && value !== null && 'domain' in value ? value.domain : null;
  return Array.isArray(domain) && domain.length > 0 && domain.every((end) => typeof end === 'number');
}
