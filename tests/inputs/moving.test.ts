// biome-ignore-all lint/suspicious/noTemplateCurlyInString: cells hold templates
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type FrontEnd, openNotebook } from '../kernel/front-end';

let lab: FrontEnd;

interface Model {
  readonly id: string;
  readonly state: Record<string, unknown>;
}

/** The controls that the kernel has opened, the newest last, by the start of what stands beside them. */
function controls(label: string): Model[] {
  return lab.messages
    .filter(({ type }) => type === 'comm_open')
    .map(({ content }) => ({
      id: String(content.comm_id),
      state: (content.data as { state: Record<string, unknown> }).state,
    }))
    .filter(({ state }) => String(state.description ?? '').startsWith(label));
}

const move = (model: Model, state: Record<string, unknown>): Promise<void> =>
  lab.tell('comm_msg', { comm_id: model.id, data: { method: 'update', state, buffer_paths: [] } });

beforeAll(async () => {
  lab = await openNotebook();
  await lab.run('kit', `import { input, show, formatQuantity } from 'blankoff/notebook';`);
});
afterAll(() => lab.stop());

describe('an input in JupyterLab', () => {
  it('is a standard control, with its value as text for other front ends', async () => {
    await lab.run('volume', `const volume = input('12.4 L ± 5 %', { min: '5 L', max: '20 L', label: 'volume' });`);
    expect(lab.shows('volume')).toEqual(['volume: 12.4 ± 0.6 L (k = 2)']);
    const [model] = controls('volume');
    expect(model.state).toMatchObject({ _model_name: 'FloatSliderModel', value: 12.4, min: 5, max: 20 });
    expect(model.state.description).toBe('volume, L');
  });

  it('when moved, is followed at once by what uses its name', async () => {
    await lab.run('twice', 'const twice = 2000 * volume.si; console.log(twice.toFixed(1));');
    await lab.run('chart', 'show(`twice ${twice.toFixed(1)} of ${formatQuantity(volume)}`);');
    expect(lab.shows('twice')).toEqual(['24.8\n']);
    await move(controls('volume')[0], { value: 8 });
    expect(lab.shows('twice')).toEqual(['16.0\n']);
    expect(lab.shows('chart')).toEqual(['twice 16.0 of 8.0 ± 0.4 L (k = 2)']);
  });

  it('keeps a moved value when its cell is run again, until its default or options are edited', async () => {
    const source = `const volume = input('12.4 L ± 5 %', { min: '5 L', max: '20 L', label: 'volume' });`;
    await lab.run('volume', source);
    expect([lab.shows('twice'), controls('volume').length]).toEqual([['16.0\n'], 1]);
    await lab.run('volume', source.replace('12.4', '10'));
    expect([lab.shows('twice'), controls('volume').length]).toEqual([['20.0\n'], 2]);
  });

  it('leaves other inputs alone, also those in the same cell', async () => {
    await lab.run('pair', 'const left = input(1, { min: 0, max: 9 }); const right = input(2, { min: 0, max: 9 });');
    await lab.run('sum', 'console.log(left, right);');
    await move(controls('left')[0], { value: 5 });
    await move(controls('right')[0], { value: 7 });
    expect(lab.shows('sum')).toEqual(['5 7\n']);
  });

  it('of every kind gives what it holds', async () => {
    await lab.run(
      'kinds',
      `const gas = input('air', { choices: ['air', 'helium'] }); const dry = input(true); const who = input('nobody');
       const judged = input([0, 60], { unit: 's' }); const n = input(3); const tiny = input(1e-3, { min: 1e-6, max: 1, log: true });`,
    );
    await lab.run('said', 'console.log(JSON.stringify([gas, dry, who, judged, n, tiny]));');
    expect(lab.shows('said')).toEqual(['["air",true,"nobody",[0,60],3,0.001]\n']);
    await move(controls('gas')[0], { index: 1 });
    await move(controls('dry')[0], { value: false });
    await move(controls('who')[0], { value: 'somebody' });
    await move(controls('judged')[0], { value: [10, 20] });
    await move(controls('n')[0], { value: 4 });
    await move(controls('tiny')[0], { value: 0.01 });
    expect(lab.shows('said')).toEqual(['["helium",false,"somebody",[10,20],4,0.01]\n']);
  });

  it('does not take what is no value, says so beside the control, and goes on with the last', async () => {
    await lab.run('leak', `const leak = input('1e-3 mbar L/s');`);
    await lab.run('leaks', 'console.log(formatQuantity(leak));');
    const before = lab.messages.length;
    await move(controls('leak')[0], { value: 'quite a lot' });
    const said = lab.messages.slice(before).filter(({ type }) => type === 'comm_msg');
    expect(JSON.stringify(said.map(({ content }) => content.data))).toContain('not taken: quantity: met');
    expect(lab.shows('leaks')).toEqual([expect.stringContaining('mbar L/s')]);
    await move(controls('leak')[0], { value: '2 Pa m3/s' });
    expect(lab.shows('leaks')).toEqual(['2 Pa m3/s\n']);
  });

  it('whose own cell uses it again, runs that cell when the hand rests', async () => {
    await lab.run('own', 'const gain = input(2, { min: 0, max: 9 }); const double = gain * 2; console.log(double);');
    await lab.run('uses', 'console.log("double", double);');
    await move(controls('gain')[0], { value: 3 });
    await lab.until(() => lab.shows('uses')[0] === 'double 6\n', 'the cell of the input has run');
    expect(lab.shows('own')).toEqual(['gain: 3', '6\n']);
  });

  it('never lets the notebook fall behind: of many moves at once the last one counts', async () => {
    await lab.run('wait', 'await new Promise((r) => setTimeout(r, 30)); console.log("at", left);');
    const [left] = controls('left');
    const before = lab.messages.length;
    await Promise.all(Array.from({ length: 50 }, (_, i) => move(left, { value: i / 10 })));
    await lab.until(() => lab.shows('wait')[0] === 'at 4.9\n', 'the last move has been followed');
    const runs = lab.messages.slice(before).filter(({ content }) => String(content.text).startsWith('at '));
    expect(runs.length).toBeLessThan(10);
  });

  it('shows a chart without its picture while the hand moves, and with it when the hand rests', async () => {
    const spec = `{ $schema: 'https://vega.github.io/schema/vega-lite/v5.json', description: \`at \${left}\`,
      data: { values: [{ x: left }] }, mark: 'point', encoding: { x: { field: 'x', type: 'quantitative' } } }`;
    await lab.run('drawn', `show(${spec});`);
    const before = lab.messages.length;
    await move(controls('left')[0], { value: 3 });
    // The hand may have rested long enough before this line runs: what counts is what came until the move was done.
    const done = lab.messages.findIndex(
      ({ type, content }, i) => i >= before && type === 'status' && content.execution_state === 'idle',
    );
    const pictures = (until?: number): number[] =>
      lab.messages
        .slice(before, until)
        .map(({ content }) => (content.data as Record<string, string> | undefined)?.['image/png']?.length ?? 0)
        .filter((length) => length > 0);
    expect(done).toBeGreaterThan(before);
    expect(pictures(done)).toEqual([expect.any(Number)]);
    expect(pictures(done)[0]).toBeLessThan(200);
    await lab.until(() => pictures().length === 2, 'the picture has come');
    expect(pictures()[1]).toBeGreaterThan(2000);
    expect(lab.shows('drawn')).toEqual(['at 3']);
    await move(controls('left')[0], { value: 4.9 });
  });

  it('answers a page that was loaded anew with the state of all controls', async () => {
    const info = await lab.ask('comm_info_request', { target_name: 'jupyter.widget' });
    const comms = info.content.comms as Record<string, { target_name: string }>;
    expect(comms[controls('left')[0].id]).toEqual({ target_name: 'jupyter.widget' });
    const before = lab.messages.length;
    await lab.tell('comm_open', { comm_id: 'page', target_name: 'jupyter.widget.control', data: {} });
    await lab.tell('comm_msg', { comm_id: 'page', data: { method: 'request_states' } });
    const [answer] = lab.messages.slice(before).filter(({ type }) => type === 'comm_msg');
    const { states } = answer.content.data as { states: Record<string, { state: { value: unknown } }> };
    expect(states[controls('left')[0].id].state.value).toBe(4.9);
  });

  it('moved on a page that was loaded anew, says beside the control which outputs are stale', async () => {
    lab.reload();
    const before = lab.messages.length;
    await move(controls('left')[0], { value: 1 });
    const said = lab.messages.slice(before).filter(({ type }) => type === 'comm_msg');
    const text = JSON.stringify(said.map(({ content }) => content.data));
    expect(text).toMatch(/cell \[\d+\].*: what is shown is stale, because the page was loaded anew/);
    expect(text).toContain('children');
  });

  it('refuses a channel that nobody listens to', async () => {
    const before = lab.messages.length;
    await lab.tell('comm_open', { comm_id: 'stray', target_name: 'somebody.else', data: {} });
    expect(lab.messages.slice(before).map(({ type }) => type)).toContain('comm_close');
  });
});

describe('an input elsewhere', () => {
  it('is its default: without ids, and with the extension off', async () => {
    const source = `const volume = input('12.4 L'); console.log(volume.si.toFixed(4));`;
    const plain = await openNotebook({ BLANKOFF_PLAIN: '1' });
    await plain.run('kit', `import { input } from 'blankoff/notebook';`);
    await plain.run('volume', source);
    expect(plain.shows('volume')).toEqual(['12.4 L', '0.0124\n']);
    await plain.stop();
    const opened = lab.messages.filter(({ type }) => type === 'comm_open').length;
    await lab.run('bare', source.replaceAll('volume', 'bare'), { cellId: undefined });
    expect(lab.shows('bare')).toEqual(['bare: 12.4 L', '0.0124\n']);
    expect(lab.messages.filter(({ type }) => type === 'comm_open').length).toBe(opened);
  });
});
