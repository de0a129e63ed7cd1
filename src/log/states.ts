/** States of valves and the like as words, and their numbers. */
const STATES = new Map<string, number>();
for (const word of 'open opened on true yes auf offen ouvert ouverte abierto abierta aperto aperta öppen öppet till åben åpen marche ein'.split(
  ' ',
))
  STATES.set(word, 1);
for (const word of 'close closed shut off false no zu geschlossen fermé fermée cerrado cerrada chiuso chiusa stängd stängt lukket stengt från arrêt aus'.split(
  ' ',
)) {
  STATES.set(word, 0);
}

/**
 * The number that a state in words stands for: 1 for open, on, true; 0 for closed, off, false.
 * @param word the cell
 * @returns undefined where it is no such word
 */
export function stateNumber(word: string): number | undefined {
  return STATES.get(word.trim().toLowerCase());
}
