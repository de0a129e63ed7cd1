/** Lets the browser paint and hear what was pressed meanwhile. */
export function breath(): Promise<void> {
  return new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      done();
    };
    port2.postMessage(null);
  });
}

/** Resolves when what stands on the page has been painted; soon in a page that nobody looks at, which is not painted. */
export function painted(): Promise<void> {
  return new Promise((done) => {
    requestAnimationFrame(() => void breath().then(done));
    setTimeout(done, LONGEST_TO_PAINT_MS);
  });
}

const LONGEST_TO_PAINT_MS = 100;
