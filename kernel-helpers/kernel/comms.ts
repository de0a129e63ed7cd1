import { randomUUID } from 'node:crypto';
import type { JupyterMessage } from './tslab-parts';

/** A channel to something in the front end. */
export interface Comm {
  readonly id: string;
  /** Sends data to the front end's side. */
  send(data: Record<string, unknown>): void;
  close(): void;
}

/** What happens with what the front end sends over a channel; a promise tells when all that follows has been done. */
export type CommListener = (data: Record<string, unknown>) => Promise<void> | void;

/** A target that the front end itself may open. */
export type CommTarget = (comm: Comm, data: Record<string, unknown>) => CommListener;

interface OpenComm {
  readonly target: string;
  readonly listener: CommListener;
}

/** Sends a message on iopub, as part of what a request caused. */
export type PublishComm = (type: string, content: Record<string, unknown>, metadata?: Record<string, unknown>) => void;

/** The channels that are open, with both sides of the protocol: `comm_open`, `comm_msg`, `comm_close`, `comm_info`. */
export class Comms {
  readonly #publish: PublishComm;
  readonly #open = new Map<string, OpenComm>();
  readonly #targets = new Map<string, CommTarget>();

  constructor(publish: PublishComm) {
    this.#publish = publish;
  }

  /** Lets the front end open channels of a name. */
  register(target: string, accept: CommTarget): void {
    this.#targets.set(target, accept);
  }

  /**
   * Opens a channel to a target in the front end.
   * @param metadata of the opening message, such as the version of its protocol
   */
  open(target: string, data: Record<string, unknown>, metadata: Record<string, unknown>, listener: CommListener): Comm {
    const id = randomUUID().replaceAll('-', '');
    this.#open.set(id, { target, listener });
    this.#publish('comm_open', { comm_id: id, target_name: target, data }, metadata);
    return this.#side(id);
  }

  /**
   * Takes a `comm_open`, `comm_msg` or `comm_close` of the front end.
   * @returns resolves when what it caused has been done
   */
  async take(message: JupyterMessage): Promise<void> {
    const { comm_id: id, target_name: target, data = {} } = message.content as unknown as CommContent;
    switch (message.header.msg_type) {
      case 'comm_open': {
        const accept = this.#targets.get(target);
        if (!accept) return this.#publish('comm_close', { comm_id: id, data: {} });
        this.#open.set(id, { target, listener: accept(this.#side(id), data) });
        return;
      }
      case 'comm_msg':
        await this.#open.get(id)?.listener(data);
        return;
      case 'comm_close':
        this.#open.delete(id);
    }
  }

  /** Answers a `comm_info_request`: the open channels, of one target where it asks for one. */
  info(target: unknown): Record<string, { target_name: string }> {
    const wanted = [...this.#open].filter(([, comm]) => typeof target !== 'string' || comm.target === target);
    return Object.fromEntries(wanted.map(([id, comm]) => [id, { target_name: comm.target }]));
  }

  #side(id: string): Comm {
    return {
      id,
      send: (data) => this.#publish('comm_msg', { comm_id: id, data }),
      close: () => {
        if (this.#open.delete(id)) this.#publish('comm_close', { comm_id: id, data: {} });
      },
    };
  }
}

interface CommContent {
  readonly comm_id: string;
  readonly target_name: string;
  readonly data?: Record<string, unknown>;
}
