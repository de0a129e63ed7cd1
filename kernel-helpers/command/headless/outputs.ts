import type { KernelMessage } from './messages';
import type { CellOutput } from './notebook-file';

/** Collects what a kernel sends into the outputs of the cells that asked for it. */
export interface OutputCollector {
  /** Outputs of the request with this id go into this list from now on. */
  own(requestId: string, outputs: CellOutput[]): void;
  /** Takes one message; those that are no output are ignored. */
  take(message: KernelMessage): void;
}

type Bundle = { data: Record<string, unknown>; metadata: Record<string, unknown> };

function bundleOf(content: Readonly<Record<string, unknown>>): Bundle {
  const record = (value: unknown): Record<string, unknown> =>
    value !== null && typeof value === 'object' ? (value as Record<string, unknown>) : {};
  return { data: record(content.data), metadata: record(content.metadata) };
}

function displayId(content: Readonly<Record<string, unknown>>): string | null {
  const transient = content.transient as { display_id?: unknown } | undefined;
  return typeof transient?.display_id === 'string' ? transient.display_id : null;
}

/**
 * The rules of the Jupyter protocol for outputs: neighbouring prints are one stream; an update replaces a display wherever
 * it stands; `clear_output` empties the cell at once or, if asked to wait, with the next output.
 */
export function collectOutputs(): OutputCollector {
  const cells = new Map<string, CellOutput[]>();
  const displays = new Map<string, Bundle[]>();
  const waitingToClear = new Set<CellOutput[]>();

  const add = (outputs: CellOutput[], output: CellOutput): void => {
    if (waitingToClear.delete(outputs)) outputs.length = 0;
    const last = outputs.at(-1);
    if (output.output_type === 'stream' && last?.output_type === 'stream' && last.name === output.name) {
      last.text += output.text;
    } else {
      outputs.push(output);
    }
  };
  const addBundle = (outputs: CellOutput[], output: CellOutput & Bundle, id: string | null): void => {
    add(outputs, output);
    if (id !== null) displays.set(id, [...(displays.get(id) ?? []), output]);
  };

  const take = (message: KernelMessage): void => {
    const { type, content } = message;
    if (type === 'update_display_data') {
      for (const shown of displays.get(displayId(content) ?? '') ?? []) Object.assign(shown, bundleOf(content));
      return;
    }
    const outputs = cells.get(message.parentId);
    if (!outputs) return;
    if (type === 'stream') {
      const name = content.name === 'stderr' ? 'stderr' : 'stdout';
      add(outputs, { output_type: 'stream', name, text: String(content.text ?? '') });
    } else if (type === 'display_data') {
      addBundle(outputs, { output_type: 'display_data', ...bundleOf(content) }, displayId(content));
    } else if (type === 'execute_result') {
      const count = typeof content.execution_count === 'number' ? content.execution_count : null;
      const result = { output_type: 'execute_result' as const, ...bundleOf(content), execution_count: count };
      addBundle(outputs, result, displayId(content));
    } else if (type === 'error') {
      const traceback = Array.isArray(content.traceback) ? content.traceback.map(String) : [];
      add(outputs, {
        output_type: 'error',
        ename: String(content.ename ?? ''),
        evalue: String(content.evalue ?? ''),
        traceback,
      });
    } else if (type === 'clear_output') {
      if (content.wait === true) waitingToClear.add(outputs);
      else outputs.length = 0;
    }
  };
  return { take, own: (requestId, outputs) => void cells.set(requestId, outputs) };
}
