import { Lane } from './lane.ts'

/** More than this and the process is stopped: a page of A3 needs about a third of it. */
const MEGABYTES_MAX = 1600

declare global {
  // A server that reloads its modules must not lose sight of processes it started.
  var cotterbookLanes: { look: Lane; read: Lane } | undefined
}

/**
 * Two processes: `look` opens files and draws pictures, `read` reads pages, so that a thumbnail does not wait behind a
 * reading. Each ends by itself when nothing was asked for a while, and with the process that started it.
 */
export function lanes(): { look: Lane; read: Lane } {
  globalThis.cotterbookLanes ??= {
    look: new Lane({ seconds: 60, megabytes: MEGABYTES_MAX, idleSeconds: 60 }),
    read: new Lane({ seconds: 60, megabytes: MEGABYTES_MAX, idleSeconds: 300 }),
  }
  return globalThis.cotterbookLanes
}

/** Ends both processes at once: a command that has its answer does not wait for them. */
export function lanesClose(): void {
  globalThis.cotterbookLanes?.look.close()
  globalThis.cotterbookLanes?.read.close()
  globalThis.cotterbookLanes = undefined
}
