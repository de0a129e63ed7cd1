/**
 * A note of the kernel beside the outputs of a cell, in a form that survives in an untrusted notebook.
 * @param text a sentence, plain text
 */
export function noteBundle(text: string): Record<string, unknown> {
  const safe = text.replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`);
  const style = 'border-left: 4px solid #b8860b; padding: 2px 8px; margin: 2px 0';
  const data = { 'text/html': `<div style="${style}">${safe}</div>`, 'text/plain': text };
  return { data, metadata: {}, transient: {} };
}
