import { createHash } from 'node:crypto'
import type { RandomBytes } from '../../lib/db/people.ts'

/** Bytes that look random and are the same in every run; each call gives others. */
export function seededBytes(seed: string): RandomBytes {
  let calls = 0
  return (count) => {
    calls += 1
    const blocks = Array.from({ length: Math.ceil(count / 32) }, (_, block) =>
      createHash('sha256').update(`${seed}/${calls}/${block}`).digest(),
    )
    return Buffer.concat(blocks).subarray(0, count)
  }
}
