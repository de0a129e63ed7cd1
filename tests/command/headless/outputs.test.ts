import { describe, expect, it } from 'vitest';
import { packRequest, unpackMessage } from '../../../kernel-helpers/command/headless/messages';
import type { CellOutput } from '../../../kernel-helpers/command/headless/notebook-file';
import { collectOutputs } from '../../../kernel-helpers/command/headless/outputs';

const message = (type: string, content: Record<string, unknown>, parentId = 'run') => ({
  type,
  id: 'x',
  parentId,
  content,
});
const display = (text: string, id?: string, type = 'display_data', parent = 'run') =>
  message(type, { data: { 'text/plain': text }, metadata: {}, transient: id ? { display_id: id } : {} }, parent);
const print = (text: string, name = 'stdout') => message('stream', { name, text });

function collect(...messages: ReturnType<typeof message>[]): CellOutput[] {
  const collector = collectOutputs();
  const outputs: CellOutput[] = [];
  collector.own('run', outputs);
  for (const one of messages) collector.take(one);
  return outputs;
}
const texts = (outputs: readonly CellOutput[]): unknown[] =>
  outputs.map((output) =>
    'data' in output ? output.data['text/plain'] : 'text' in output ? output.text : output.ename,
  );

/** The rules are those of the Jupyter messaging documentation, "display_data", "update_display_data", "clear_output". */
describe('outputs of a cell', () => {
  it('join neighbouring prints, and keep the two streams apart', () => {
    expect(texts(collect(print('a\n'), print('b\n'), print('c\n', 'stderr'), print('d\n')))).toEqual([
      'a\nb\n',
      'c\n',
      'd\n',
    ]);
  });

  it('are replaced wherever a display stands when it is updated', () => {
    const collector = collectOutputs();
    const [first, second]: CellOutput[][] = [[], []];
    collector.own('one', first);
    collector.own('two', second);
    collector.take(display('old', 'id', 'display_data', 'one'));
    collector.take(display('old', 'id', 'display_data', 'two'));
    collector.take(display('new', 'id', 'update_display_data', 'two'));
    expect([texts(first), texts(second)]).toEqual([['new'], ['new']]);
  });

  it('do not gain anything from an update of a display that is not there', () => {
    expect(collect(display('new', 'id', 'update_display_data'))).toEqual([]);
  });

  it('are emptied at once by clear_output, or with the next output where it waits', () => {
    expect(texts(collect(print('a'), message('clear_output', { wait: false }), print('b')))).toEqual(['b']);
    expect(texts(collect(print('a'), message('clear_output', { wait: true })))).toEqual(['a']);
    expect(texts(collect(print('a'), message('clear_output', { wait: true }), print('b'), print('c')))).toEqual(['bc']);
  });

  it('hold an error with its name, message and trace', () => {
    expect(collect(message('error', { ename: 'E', evalue: 'v', traceback: ['t'] }))).toEqual([
      { output_type: 'error', ename: 'E', evalue: 'v', traceback: ['t'] },
    ]);
  });

  it('do not take what belongs to another request', () => {
    expect(collect(message('stream', { name: 'stdout', text: 'x' }, 'other'))).toEqual([]);
  });
});

describe('messages', () => {
  const { frames, id } = packRequest('key', 'session', 'execute_request', { code: 'π' });

  it('come off the wire as they were sent', () => {
    const identity = Buffer.from('routing');
    expect(unpackMessage('key', [identity, ...frames])).toEqual({
      type: 'execute_request',
      id,
      parentId: '',
      content: { code: 'π' },
    });
  });

  it('with another signature, changed, or cut short are not taken', () => {
    expect(unpackMessage('other key', frames)).toBeNull();
    expect(unpackMessage('key', [...frames.slice(0, 5), Buffer.from('{"code":"x"}')])).toBeNull();
    expect(unpackMessage('key', frames.slice(0, 4))).toBeNull();
    expect(unpackMessage('key', frames.slice(1))).toBeNull();
  });
});
