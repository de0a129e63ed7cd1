import { createHmac, randomUUID, timingSafeEqual } from 'node:crypto';

/** A message of the Jupyter protocol (version 5.3), without its routing part. */
export interface KernelMessage {
  readonly type: string;
  readonly id: string;
  /** Id of the request that it answers; empty where it answers none. */
  readonly parentId: string;
  readonly content: Readonly<Record<string, unknown>>;
}

const delimiter = Buffer.from('<IDS|MSG>');

function signature(key: string, parts: readonly Buffer[]): string {
  const hmac = createHmac('sha256', key);
  for (const part of parts) hmac.update(part);
  return hmac.digest('hex');
}

/**
 * Packs a request for the wire.
 * @param key the key of the connection, signs the message (HMAC-SHA256)
 * @param session id of this client's session
 * @returns the frames to send and the id under which answers come
 */
export function packRequest(
  key: string,
  session: string,
  type: string,
  content: Readonly<Record<string, unknown>>,
  metadata: Readonly<Record<string, unknown>> = {},
): { frames: Buffer[]; id: string } {
  const id = randomUUID();
  const header = {
    msg_id: id,
    msg_type: type,
    session,
    username: 'blankoff',
    date: new Date().toISOString(),
    version: '5.3',
  };
  const parts = [header, {}, metadata, content].map((part) => Buffer.from(JSON.stringify(part)));
  return { frames: [delimiter, Buffer.from(signature(key, parts)), ...parts], id };
}

/**
 * Reads a message off the wire.
 * @returns the message, or null where it is not one of this connection (no delimiter, a wrong signature, no JSON)
 */
export function unpackMessage(key: string, frames: readonly Buffer[]): KernelMessage | null {
  const start = frames.findIndex((frame) => frame.equals(delimiter));
  if (start < 0 || frames.length < start + 6) return null;
  const parts = frames.slice(start + 2, start + 6);
  const wanted = Buffer.from(signature(key, parts));
  const given = frames[start + 1];
  if (given.length !== wanted.length || !timingSafeEqual(given, wanted)) return null;
  try {
    const [header, parent, , content] = parts.map((part) => JSON.parse(part.toString('utf8')));
    return { type: header.msg_type, id: header.msg_id, parentId: parent.msg_id ?? '', content };
  } catch {
    return null;
  }
}
