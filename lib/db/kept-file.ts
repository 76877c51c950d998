import { readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { z } from 'zod'
import { settingsRead } from '../settings.ts'

export interface KeptFile<T> {
  read: () => T
  keep: (kept: T) => void
}

/**
 * One answer in the data folder that is made anew when it is lost: what cannot be read is `empty`, and a reader never sees half of
 * what is written.
 */
export function keptFile<S extends z.ZodType>(name: string, schema: S, empty: z.infer<S>): KeptFile<z.infer<S>> {
  const file = () => join(settingsRead().dataDir, name)
  return {
    read() {
      try {
        return schema.parse(JSON.parse(readFileSync(/*turbopackIgnore: true*/ file(), 'utf8')))
      } catch {
        return empty
      }
    },
    keep(kept) {
      const half = `${file()}.${process.pid}`
      writeFileSync(/*turbopackIgnore: true*/ half, JSON.stringify(kept))
      renameSync(/*turbopackIgnore: true*/ half, /*turbopackIgnore: true*/ file())
    },
  }
}
