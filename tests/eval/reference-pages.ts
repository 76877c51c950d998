import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { PageCase } from './page-case.ts'
import { truthRead } from './truth.ts'

/** ISO 216: the long side of A4 in inches; pages that do not say their resolution are taken as A4. */
const A4_LONG_INCHES = 297 / 25.4

export function referencePages(folder: string): PageCase[] {
  return readdirSync(folder)
    .filter((name) => existsSync(join(folder, name, 'truth.json')))
    .sort()
    .map((name) => ({
      name,
      group: 'clean' as const,
      base: name,
      about: 'reference drawing',
      make: async () => {
        const { truth, dpi } = truthRead(join(folder, name, 'truth.json'))
        return {
          bytes: readFileSync(join(folder, name, 'page.png')),
          extension: 'png' as const,
          truth,
          dpi: dpi ?? Math.max(truth.width, truth.height) / A4_LONG_INCHES,
        }
      },
    }))
}
