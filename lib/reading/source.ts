import { resolve } from 'node:path'
import { lanes } from './lanes.ts'
import type { SourceFacts } from './message.ts'

/**
 * What a file holds, told from its content and never from its name. Refuses with 'page/no-file', 'page/wrong-type',
 * 'page/too-heavy', 'page/locked' and 'page/broken', each naming the file and what to do next.
 */
export function sourceOpen(path: string, { signal }: { signal?: AbortSignal } = {}): Promise<SourceFacts> {
  return lanes().look.run({ kind: 'open', path: resolve(path) }, { signal })
}

/**
 * PNG of one page (counted from 1), upright and on white. Without `longestSide` it has the pixels in which a reading of
 * the page gives its coordinates. Refuses as `sourceOpen`, and with 'page/no-such-page' and 'page/too-large'.
 */
export async function pagePicture(
  path: string,
  page: number,
  longestSide?: number,
  { signal }: { signal?: AbortSignal } = {},
): Promise<Buffer> {
  const task = { kind: 'picture', path: resolve(path), page, longestSide: longestSide ?? null } as const
  return Buffer.from(await lanes().look.run(task, { signal }))
}
