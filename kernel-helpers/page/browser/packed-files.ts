import { gunzipSync } from 'fflate';
import type { PackedFile } from '../page-content';

/**
 * The content of a packed file.
 * @param file the file
 * @returns its bytes, as they were on disk
 */
export function bytesOfPacked(file: PackedFile): Uint8Array {
  const binary = atob(file.content);
  const bytes = new Uint8Array(binary.length);
  for (let i = 0; i < binary.length; i += 1) bytes[i] = binary.charCodeAt(i);
  return gunzipSync(bytes);
}

/**
 * Lets the reader save a file.
 * @param name its name
 * @param bytes its content
 */
export function saveFile(name: string, bytes: Uint8Array | string): void {
  const address = URL.createObjectURL(new Blob([bytes as BlobPart], { type: 'application/octet-stream' }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
